//! Which samples a triangle covers.

use std::ops::Range;

/// Triangles of less than this area (in samples) cover nothing that is seen (rounding noise).
const LEAST_AREA: f64 = 1e-9;
/// Weights down to this count as inside, so that rounding leaves no gap between neighbours (over
/// the rounding of places up to some ten thousand samples).
const EDGE: f64 = 1e-9;

/// Tells every sample (column, row) whose centre a triangle covers, with the weights of its
/// corners, row by row. Each weight is the area beside one edge, so it is linear in the place,
/// and a row is cut to the span where all three are positive.
pub(super) fn cover(
    corners: [[f64; 2]; 3],
    rows: Range<usize>,
    columns: usize,
    mut tell: impl FnMut(usize, usize, [f64; 3]),
) {
    let [a, b, c] = corners;
    let area = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
    if area.is_nan() || area.abs() < LEAST_AREA {
        return;
    }
    let bounds = |k: usize| {
        let all = corners.map(|p| p[k]);
        let low = all.iter().copied().fold(f64::INFINITY, f64::min);
        (low, all.iter().copied().fold(f64::NEG_INFINITY, f64::max))
    };
    let ((left, right), (top, bottom)) = (bounds(0), bounds(1));
    let first = first_centre(top).max(rows.start);
    let end = first_centre(bottom + EDGE).min(rows.end);
    // Most triangles of a fine mesh lie between the centres.
    if first >= end || first_centre(left) >= first_centre(right + EDGE).min(columns) {
        return;
    }
    // weight = along x * x + along y * y + rest, for the corner opposite the edge p q.
    let share = 1.0 / area;
    let weight = |p: [f64; 2], q: [f64; 2]| {
        let (x, y) = ((p[1] - q[1]) * share, (q[0] - p[0]) * share);
        [x, y, -x * p[0] - y * p[1]]
    };
    let weights = [weight(b, c), weight(c, a), weight(a, b)];
    let inverse = weights.map(|w| 1.0 / w[0]);
    for row in first..end {
        let y = row as f64 + 0.5;
        let rests = weights.map(|w| w[1] * y + w[2]);
        let (mut low, mut high) = (left, right);
        for k in 0..3 {
            let slope = weights[k][0];
            if slope == 0.0 {
                if rests[k] < -EDGE {
                    high = f64::NEG_INFINITY;
                }
                continue;
            }
            let at = -(rests[k] + EDGE) * inverse[k];
            if slope > 0.0 {
                low = low.max(at);
            } else {
                high = high.min(at);
            }
        }
        if low > high {
            continue;
        }
        for column in first_centre(low)..first_centre(high + EDGE).min(columns) {
            let x = column as f64 + 0.5;
            tell(column, row, [0, 1, 2].map(|k| weights[k][0] * x + rests[k]));
        }
    }
}

/// The first sample whose centre is not before a place. By casts: without newer instructions,
/// `ceil` is a call, here in the innermost loops.
fn first_centre(at: f64) -> usize {
    let below = (at - 0.5).max(0.0) as usize;
    below + usize::from((below as f64) < at - 0.5)
}
