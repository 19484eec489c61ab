//! Spline patches as truck's rational types, and back.

use truck_modeling::{BSplineCurve, BSplineSurface, KnotVec, NurbsCurve, NurbsSurface, Vector4};

use crate::skin::patch::Patch;

/// The patch as truck's rational surface.
pub fn surface(patch: &Patch) -> NurbsSurface<Vector4> {
    let net = patch
        .net
        .iter()
        .map(|row| homogeneous(row, &patch.weights))
        .collect();
    let knots = (
        KnotVec::from(patch.u_knots.clone()),
        KnotVec::from(patch.v_knots.clone()),
    );
    NurbsSurface::new(BSplineSurface::new(knots, net))
}

/// Reads a truck surface back; its weights must depend on v alone, as all of ours do.
pub fn patch(surface: &NurbsSurface<Vector4>) -> Patch {
    let control = surface.control_points();
    let point = |p: &Vector4| [p.x / p.w, p.y / p.w, p.z / p.w];
    Patch {
        u_knots: surface.uknot_vec().to_vec(),
        v_knots: surface.vknot_vec().to_vec(),
        v_degree: surface.vdegree(),
        weights: control[0].iter().map(|p| p.w).collect(),
        net: control
            .iter()
            .map(|row| row.iter().map(point).collect())
            .collect(),
    }
}

/// The patch's side along u at the first or last v; those columns have weight 1.
pub fn along_u(patch: &Patch, last: bool) -> NurbsCurve<Vector4> {
    let j = if last { patch.weights.len() - 1 } else { 0 };
    let points: Vec<[f64; 3]> = patch.net.iter().map(|row| row[j]).collect();
    let knots = KnotVec::from(patch.u_knots.clone());
    NurbsCurve::new(BSplineCurve::new(
        knots,
        homogeneous(&points, &vec![1.0; points.len()]),
    ))
}

/// The patch's side along v at the first or last u.
pub fn along_v(patch: &Patch, last: bool) -> NurbsCurve<Vector4> {
    let i = if last { patch.net.len() - 1 } else { 0 };
    let knots = KnotVec::from(patch.v_knots.clone());
    NurbsCurve::new(BSplineCurve::new(
        knots,
        homogeneous(&patch.net[i], &patch.weights),
    ))
}

fn homogeneous(points: &[[f64; 3]], weights: &[f64]) -> Vec<Vector4> {
    points
        .iter()
        .zip(weights)
        .map(|(p, &w)| Vector4::new(p[0] * w, p[1] * w, p[2] * w, w))
        .collect()
}
