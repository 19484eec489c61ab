//! Quadrature along the edges of a face.

use truck_modeling::{Point3, Vector3};

use super::super::shape::{Curve, Face};
use super::gauss;

/// Longest piece of an arc that one rule takes, radians: 24 nodes on it leave rounding only.
const ARC_PIECE: f64 = std::f64::consts::FRAC_PI_4;

/// Parameters that cut the curve into smooth pieces.
pub(super) fn breaks(curve: &Curve) -> Vec<f64> {
    let (from, to) = curve.range();
    match curve {
        Curve::Line(..) => vec![from, to],
        Curve::Arc(_) => {
            let pieces = ((to - from) / ARC_PIECE).ceil().max(1.0);
            let at = |i: usize| from + (to - from) * i as f64 / pieces;
            (0..=pieces as usize).map(at).collect()
        }
        Curve::Spline(spline) => {
            let mut knots: Vec<f64> = spline.knot_vec().iter().copied().collect();
            knots.dedup();
            knots
        }
    }
}

/// The edges' curves, with 1 or -1 for their direction round the face as its surface sees it.
pub(super) fn curves(face: &Face) -> Vec<(Curve, f64)> {
    face.absolute_boundaries()
        .iter()
        .flat_map(|wire| wire.edge_iter())
        .map(|edge| (edge.curve(), if edge.orientation() { 1.0 } else { -1.0 }))
        .collect()
}

/// Calls `visit(point, step)` along all edges: the sum of g(point) . step is the line integral
/// of g round the face.
pub(super) fn around(face: &Face, mut visit: impl FnMut(Point3, Vector3)) {
    for (curve, sign) in curves(face) {
        for piece in breaks(&curve).windows(2) {
            gauss::over(piece[0], piece[1], |t, w| {
                visit(curve.at(t), curve.der(t) * (sign * w));
            });
        }
    }
}
