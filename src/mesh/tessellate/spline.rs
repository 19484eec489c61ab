//! How finely a spline patch must be divided.

use crate::skin::patch::{Jet, Patch, breaks, cross};

use super::SHARE;
use super::topology::PatchSide;

/// Samples per knot span and direction that look for the largest second derivative.
const PER_SPAN: usize = 4;

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
/// chord; a cell's error is at most the sum over its two directions as long as its twist
/// h_u h_v |S_uv . n| / 4 is within the deviation too, since the cell is split along the better
/// diagonal (derived). All from samples.
pub fn counts(patch: &Patch, deviation: f64) -> (Vec<usize>, Vec<usize>) {
    let (ub, vb) = (breaks(&patch.u_knots), breaks(&patch.v_knots));
    let (us, vs) = (samples(&ub), samples(&vb));
    let (mut bend_u, mut bend_v) = (vec![0.0f64; ub.len() - 1], vec![0.0f64; vb.len() - 1]);
    let rows: Vec<Vec<_>> = us
        .iter()
        .map(|&u| {
            let section = patch.section(u);
            vs.iter().map(|&v| section.jet(v)).collect()
        })
        .collect();
    for (i, group) in rows.chunks_exact(PER_SPAN).enumerate() {
        let step = (ub[i + 1] - ub[i]) / (PER_SPAN - 1) as f64;
        let bends = (0..vs.len()).map(|j| {
            let d = std::array::from_fn(|k| group[k][j].du);
            largest_bend(d, step)
        });
        bend_u[i] = bends.fold(0.0, f64::max);
    }
    for row in &rows {
        for (j, group) in row.chunks_exact(PER_SPAN).enumerate() {
            let step = (vb[j + 1] - vb[j]) / (PER_SPAN - 1) as f64;
            let d = std::array::from_fn(|k| group[k].dv);
            bend_v[j] = bend_v[j].max(largest_bend(d, step));
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
    let mut counts = (pieces(&ub, &bend_u), pieces(&vb, &bend_v));
    untwist(&rows, (&ub, &vb), deviation, &mut counts);
    counts
}

/// Divides the longer side of cells whose twist is too large.
fn untwist(
    rows: &[Vec<Jet>],
    (ub, vb): (&[f64], &[f64]),
    deviation: f64,
    (nu, nv): &mut (Vec<usize>, Vec<usize>),
) {
    for (i, group) in rows.chunks_exact(PER_SPAN).enumerate() {
        for j in 0..nv.len() {
            let block: Vec<&[Jet]> = group
                .iter()
                .map(|row| &row[j * PER_SPAN..(j + 1) * PER_SPAN])
                .collect();
            let (du, dv) = (ub[i + 1] - ub[i], vb[j + 1] - vb[j]);
            let (hu, hv) = (du / nu[i] as f64, dv / nv[j] as f64);
            let excess = twist(&block, dv) * hu * hv / (4.0 * deviation);
            if excess > 1.0 {
                let middle = &block[PER_SPAN / 2][PER_SPAN / 2];
                let u_longer = hu * length(middle.du) >= hv * length(middle.dv);
                let n = if u_longer { &mut nu[i] } else { &mut nv[j] };
                *n = (*n as f64 * excess).ceil() as usize;
            }
        }
    }
}

/// Largest mixed derivative along the normal over a block of samples.
fn twist(block: &[&[Jet]], dv: f64) -> f64 {
    let step = dv / (PER_SPAN - 1) as f64;
    let mut most = 0.0f64;
    for row in block {
        for pair in row.windows(2) {
            let normal = pair[0].normal();
            let along: f64 = (0..3)
                .map(|c| (pair[1].du[c] - pair[0].du[c]) * normal[c])
                .sum();
            let size = length(normal);
            if size > 0.0 {
                most = most.max(along.abs() / (size * step));
            }
        }
    }
    most
}

/// Sample parameters, span by span, both ends of each span included.
fn samples(breaks: &[f64]) -> Vec<f64> {
    let mut out = Vec::new();
    for k in breaks.windows(2) {
        for i in 0..PER_SPAN {
            // Just inside the span, so that a knot's derivative is that of this side.
            let part = (i as f64 / (PER_SPAN - 1) as f64).clamp(1e-9, 1.0 - 1e-9);
            out.push(k[0] + (k[1] - k[0]) * part);
        }
    }
    out
}

/// Largest second derivative across the curve, from first derivatives at four even places of a
/// span. The second derivative of a cubic is linear, so it is largest at an end: there it follows
/// from the differences, which belong to the middles between the places (derived).
fn largest_bend(d: [[f64; 3]; PER_SPAN], step: f64) -> f64 {
    let second = |i: usize| [0, 1, 2].map(|c| (d[i + 1][c] - d[i][c]) / step);
    let (first, middle, last) = (second(0), second(1), second(2));
    let end = |near: [f64; 3]| [0, 1, 2].map(|c| 1.5 * near[c] - 0.5 * middle[c]);
    across(end(first), d[0]).max(across(end(last), d[PER_SPAN - 1]))
}

/// Size of a second derivative across the curve's direction.
fn across(second: [f64; 3], direction: [f64; 3]) -> f64 {
    let speed = length(direction);
    if speed == 0.0 {
        length(second)
    } else {
        length(cross(second, direction)) / speed
    }
}

fn length(v: [f64; 3]) -> f64 {
    (v[0] * v[0] + v[1] * v[1] + v[2] * v[2]).sqrt()
}
