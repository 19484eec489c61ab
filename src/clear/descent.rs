//! Projected Newton steps on a patch: a good upper bound early.

use nalgebra::{Matrix2, Point3, Vector2};

use super::bezier::BezierPatch;
use super::convex::Convex;

/// A place on a patch with the signed distance there.
#[derive(Debug, Clone, Copy)]
pub(super) struct Found {
    pub uv: Vector2<f64>,
    pub point: Point3<f64>,
    pub distance: f64,
}

fn slope(feature: &dyn Convex, patch: &BezierPatch, uv: Vector2<f64>) -> (Found, Vector2<f64>) {
    let jet = patch.jet(uv.x, uv.y);
    let (distance, gradient) = feature.signed_distance(&jet.point);
    let found = Found {
        uv,
        point: jet.point,
        distance,
    };
    (
        found,
        Vector2::new(gradient.dot(&jet.du), gradient.dot(&jet.dv)),
    )
}

fn clamp(uv: Vector2<f64>) -> Vector2<f64> {
    uv.map(|c| c.clamp(0.0, 1.0))
}

/// Second derivatives by differences of the slope, taken inwards.
fn curvature(
    feature: &dyn Convex,
    patch: &BezierPatch,
    uv: Vector2<f64>,
    here: Vector2<f64>,
) -> Matrix2<f64> {
    const STEP: f64 = 1e-6;
    let mut h = Matrix2::zeros();
    for k in 0..2 {
        let step = if uv[k] > 0.5 { -STEP } else { STEP };
        let mut moved = uv;
        moved[k] += step;
        let (_, there) = slope(feature, patch, moved);
        h.set_column(k, &((there - here) / step));
    }
    (h + h.transpose()) * 0.5
}

/// The Newton step over the free directions; along steepest descent's side where the second
/// derivatives are not positive.
fn step(h: Matrix2<f64>, g: Vector2<f64>, free: [bool; 2]) -> Vector2<f64> {
    match free {
        [true, true] => {
            let eigen = h.symmetric_eigen();
            let floor = 1e-9 * eigen.eigenvalues.amax().max(1e-9);
            let mut local = eigen.eigenvectors.transpose() * g;
            for k in 0..2 {
                local[k] /= -eigen.eigenvalues[k].abs().max(floor);
            }
            eigen.eigenvectors * local
        }
        [true, false] => Vector2::new(-g.x / h[(0, 0)].abs().max(1e-12), 0.0),
        [false, true] => Vector2::new(0.0, -g.y / h[(1, 1)].abs().max(1e-12)),
        [false, false] => Vector2::zeros(),
    }
}

/// Walks down from `from` to a least signed distance nearby, inside the unit square.
pub(super) fn descend(feature: &dyn Convex, patch: &BezierPatch, from: Vector2<f64>) -> Found {
    let (mut best, mut g) = slope(feature, patch, from);
    for _ in 0..30 {
        let free = [0, 1]
            .map(|k| !((best.uv[k] <= 0.0 && g[k] >= 0.0) || (best.uv[k] >= 1.0 && g[k] <= 0.0)));
        if free == [false, false] {
            break;
        }
        let h = curvature(feature, patch, best.uv, g);
        let full = step(h, g, free);
        let Some((next, next_g)) = shorten(feature, patch, &best, full) else {
            break;
        };
        let gain = best.distance - next.distance;
        (best, g) = (next, next_g);
        if gain < 1e-13 {
            break;
        }
    }
    best
}

/// The first of ever shorter steps that goes down.
fn shorten(
    feature: &dyn Convex,
    patch: &BezierPatch,
    best: &Found,
    full: Vector2<f64>,
) -> Option<(Found, Vector2<f64>)> {
    let mut factor = 1.0;
    for _ in 0..20 {
        let uv = clamp(best.uv + full * factor);
        if (uv - best.uv).amax() < 1e-14 {
            return None;
        }
        let (next, g) = slope(feature, patch, uv);
        if next.distance < best.distance {
            return Some((next, g));
        }
        factor *= 0.4;
    }
    None
}
