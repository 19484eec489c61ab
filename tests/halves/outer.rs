//! The outer form comes out of a two-sided mould: no undercut, and the rim keeps its draft.

use limberwood::chain::{EndFace, HalfForm};
use limberwood::skin::Skin;

use super::spline::Spline;

/// The lean may be this much less between knots, radians: half a degree.
const SLACK: f64 = 0.5 * std::f64::consts::PI / 180.0;
/// Length of the zone beside a dome in which the rim leaves the circle, over its radius.
const ROUND_ZONE: f64 = 0.5;

/// Normals of the whole outer form do not look down, those of the rim keep the draft; returns the
/// most the rim has lost of its lean, degrees.
pub fn check(half: &HalfForm, skin: &Skin) -> Result<f64, String> {
    let mut lost = 0.0f64;
    for (name, patch) in [("skin", &skin.skin), ("rim", &skin.rim)] {
        let spline = Spline::of_patch(patch);
        let (us, vs) = spline.breaks();
        for u in inner(&us) {
            for v in inner(&vs) {
                let jet = spline.jet(u, v);
                let up = jet.normal()[2];
                let [x, y, z] = jet.at;
                if up.is_nan() || up < -1e-9 {
                    return Err(format!("{name} undercut by {up} at {x:.3} {y:.3} {z:.3}"));
                }
                if name == "rim" && !in_round_zone(half, x) {
                    let loss = half.lean - up.asin();
                    if loss > SLACK {
                        return Err(format!(
                            "rim draft {:.3} of {:.3} deg at {x:.3} {z:.3}",
                            up.asin().to_degrees(),
                            half.lean.to_degrees()
                        ));
                    }
                    lost = lost.max(loss.to_degrees());
                }
            }
        }
    }
    Ok(lost)
}

/// Places in every span; its ends just inside, where both sides of a knot are seen.
fn inner(breaks: &[f64]) -> Vec<f64> {
    let parts = [1e-6, 0.17, 0.33, 0.5, 0.67, 0.83, 1.0 - 1e-6];
    breaks
        .windows(2)
        .flat_map(|k| parts.map(|s| k[0] + s * (k[1] - k[0])))
        .collect()
}

fn in_round_zone(half: &HalfForm, x: f64) -> bool {
    let last = half.stations.len() - 1;
    [(&half.front, 0), (&half.rear, last)]
        .into_iter()
        .any(|(end, k)| {
            let s = &half.stations[k];
            matches!(end.face, EndFace::Domed { .. })
                && (x - s.x).abs() < ROUND_ZONE * s.half_width + 1e-6
        })
}

/// Foot and crown at the stations are those that were asked for; the crown within the misfit of
/// the fitted section curve.
pub fn stations(half: &HalfForm, skin: &Skin) -> Result<(), String> {
    let (top, rim) = (Spline::of_patch(&skin.skin), Spline::of_patch(&skin.rim));
    let near = |a: f64, b: f64| (a - b).abs() < 1e-9 * (1.0 + b.abs());
    let us = rim.breaks().0;
    for s in &half.stations {
        // x of the foot rises with u.
        let found = us
            .iter()
            .map(|&u| (u, rim.jet(u, 0.0).at))
            .find(|(_, p)| near(p[0], s.x));
        let Some((u, foot)) = found else {
            return Err(format!("no knot at the station x = {}", s.x));
        };
        let crown = top.jet(u, 0.5).at;
        if !near(-foot[1], s.half_width) || (crown[2] - s.height).abs() > skin.misfit + 1e-9 {
            return Err(format!("station {s:?}: foot {foot:?} crown {crown:?}"));
        }
    }
    Ok(())
}
