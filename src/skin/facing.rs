//! Does the outer form face up everywhere? Where it faces down no cutter from outside can see it,
//! and where outline and lean turn it over altogether it folds into itself.

use super::Skin;
use super::patch::{Patch, breaks};

/// Samples per knot span and direction.
const SAMPLES: usize = 4;
/// An upright wall is legal; its normal's rise is rounding noise below this (rounding noise of
/// 1e-9, with room for the cancellation in a cross product).
const LEVEL: f64 = 1e-7;

impl Skin {
    /// The place (mm) at which the outer form faces down most, and by how much (radians); `None`
    /// when it faces up or is upright everywhere. Sampled, not proven.
    pub fn faces_down(&self) -> Option<([f64; 3], f64)> {
        let worst = [&self.skin, &self.rim].into_iter().filter_map(faces_down);
        worst.max_by(|a, b| a.1.total_cmp(&b.1))
    }
}

/// The place at which a patch faces down most, and by how much.
fn faces_down(patch: &Patch) -> Option<([f64; 3], f64)> {
    let mut worst: Option<([f64; 3], f64)> = None;
    let columns = samples(&breaks(&patch.v_knots));
    for u in samples(&breaks(&patch.u_knots)) {
        let section = patch.section(u);
        for &v in &columns {
            let jet = section.jet(v);
            let [x, y, z] = jet.normal();
            let size = (x * x + y * y + z * z).sqrt();
            if size == 0.0 {
                continue;
            }
            let down = (-z / size).asin();
            if down > worst.map_or(LEVEL, |w| w.1) {
                worst = Some((jet.p, down));
            }
        }
    }
    worst
}

/// Parameters inside every knot span and at its ends.
fn samples(breaks: &[f64]) -> Vec<f64> {
    let inner = breaks
        .windows(2)
        .flat_map(|k| (0..SAMPLES).map(move |i| k[0] + (k[1] - k[0]) * i as f64 / SAMPLES as f64));
    inner.chain(breaks.last().copied()).collect()
}

#[cfg(test)]
mod tests {
    use super::super::skin;
    use crate::chain::{End, EndFace, EndJoint, Fixes, HalfForm, HalfStation};

    fn half(half_widths: [f64; 4], lean_degrees: f64) -> HalfForm {
        let end = End {
            face: EndFace::Flat,
            joint: EndJoint::None,
        };
        let stations = half_widths.iter().zip([0.0, 16.0, 21.0, 56.0]);
        HalfForm {
            length: 56.0,
            stations: stations
                .map(|(&half_width, x)| HalfStation {
                    x,
                    half_width,
                    height: 19.0,
                    squareness: 2.5,
                    fixes: Fixes::All,
                })
                .collect(),
            crown: 19.0,
            rim: 4.5,
            lean: lean_degrees.to_radians(),
            front: end,
            rear: end,
            pins: Vec::new(),
            features: crate::chain::Features::default(),
        }
    }

    #[test]
    fn a_plan_that_turns_too_sharply_for_its_lean_faces_down() {
        let sharp = [16.0, 16.2, 26.0, 16.0];
        let down = |widths, lean| skin(&half(widths, lean)).unwrap().faces_down();
        let (place, _) = down(sharp, 8.0).unwrap();
        assert!((10.0..25.0).contains(&place[0]), "{place:?}");
        assert_eq!(down(sharp, 0.0), None);
        assert_eq!(down([16.0, 17.0, 18.0, 16.0], 8.0), None);
    }
}
