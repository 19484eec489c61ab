//! How finely a spline patch must be divided.

use crate::skin::patch::{Patch, breaks, cross};

use super::SHARE;
use super::topology::PatchSide;

/// Samples per knot span and direction that look for the largest second derivative.
const SAMPLES: usize = 3;

/// Point of a patch on one of its sides.
pub fn on_side(patch: &Patch, side: PatchSide, t: f64) -> [f64; 3] {
    let (u, v) = (patch.u_range(), patch.v_range());
    let other = |range: (f64, f64)| if side.last { range.1 } else { range.0 };
    if side.along_u {
        patch.jet(t, other(v)).p
    } else {
        patch.jet(other(u), t).p
    }
}

/// Pieces per knot span along u and along v so that a grid cell keeps within `deviation`.
///
/// A chord of an iso-curve of parameter length h is within h^2/8 max|C''| of it, C'' across the
/// chord; a cell's error is the sum over its two directions and the twist h_u h_v |S_uv . n| / 4,
/// each from samples.
pub fn counts(patch: &Patch, deviation: f64) -> (Vec<usize>, Vec<usize>) {
    let (ub, vb) = (breaks(&patch.u_knots), breaks(&patch.v_knots));
    let (us, vs) = (samples(&ub), samples(&vb));
    let (mut bend_u, mut bend_v) = (vec![0.0f64; ub.len() - 1], vec![0.0f64; vb.len() - 1]);
    let rows: Vec<Vec<_>> = us
        .iter()
        .map(|&(_, u)| {
            let section = patch.section(u);
            vs.iter().map(|&(_, v)| section.jet(v)).collect()
        })
        .collect();
    // Second derivatives as differences of first ones between neighbouring samples of a span.
    for (i, pair) in us.windows(2).enumerate() {
        if pair[0].0 == pair[1].0 {
            for (a, b) in rows[i].iter().zip(&rows[i + 1]) {
                let bend = across(a.du, b.du, pair[1].1 - pair[0].1);
                bend_u[pair[0].0] = bend_u[pair[0].0].max(bend);
            }
        }
    }
    for row in &rows {
        for (j, pair) in vs.windows(2).enumerate() {
            if pair[0].0 == pair[1].0 {
                let bend = across(row[j].dv, row[j + 1].dv, pair[1].1 - pair[0].1);
                bend_v[pair[0].0] = bend_v[pair[0].0].max(bend);
            }
        }
    }
    let pieces = |breaks: &[f64], bends: &[f64]| -> Vec<usize> {
        breaks
            .windows(2)
            .zip(bends)
            .map(|(k, m)| {
                ((k[1] - k[0]) * (m / (8.0 * SHARE * deviation)).sqrt())
                    .ceil()
                    .max(1.0) as usize
            })
            .collect()
    };
    (pieces(&ub, &bend_u), pieces(&vb, &bend_v))
}

/// Sample parameters with their span, both ends of each span included.
fn samples(breaks: &[f64]) -> Vec<(usize, f64)> {
    let mut out = Vec::new();
    for (span, k) in breaks.windows(2).enumerate() {
        for i in 0..=SAMPLES {
            // Just inside the span, so that a knot's derivative is that of this side.
            let part = (i as f64 / SAMPLES as f64).clamp(1e-9, 1.0 - 1e-9);
            out.push((span, k[0] + (k[1] - k[0]) * part));
        }
    }
    out
}

/// Size of the second derivative across the curve, from its first derivatives at two places.
fn across(a: [f64; 3], b: [f64; 3], h: f64) -> f64 {
    let second = [0, 1, 2].map(|c| (b[c] - a[c]) / h);
    let mean = [0, 1, 2].map(|c| 0.5 * (a[c] + b[c]));
    let speed = length(mean);
    if speed == 0.0 {
        length(second)
    } else {
        length(cross(second, mean)) / speed
    }
}

fn length(v: [f64; 3]) -> f64 {
    (v[0] * v[0] + v[1] * v[1] + v[2] * v[2]).sqrt()
}
