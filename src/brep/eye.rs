//! Eyes: round pockets in the skin with upright walls and a flat floor.

use truck_modeling::{Point3, Vector3};

use super::half::BuildError;
use super::shape::{Curve, Edge, FaceKind, Surface, Vertex};
use super::spline::curve;
use super::weave::{Weave, arc, frame, line, vertex};
use crate::chain::Eye;
use crate::skin::Skin;
use crate::skin::eye::eye_rim;

/// Adds an eye's walls and floor; returns its loop on the skin, clockwise seen from above.
///
/// # Errors
/// An eye without an edge on the skin, or a fault of topology.
pub(super) fn eye(weave: &mut Weave, skin: &Skin, eye: &Eye) -> Result<Vec<Edge>, BuildError> {
    let rim = eye_rim(skin, eye).map_err(BuildError::Eye)?;
    let at = |p: [f64; 3]| vertex(Point3::new(p[0], p[1], p[2]));
    let [first, second] = &rim.halves;
    let high: [Vertex; 2] = [at(first.1[0]), at(second.1[0])];
    let low = [1.0, -1.0].map(|s| at([eye.x + s * eye.radius, eye.y, rim.floor]));
    let top = [0, 1].map(|k: usize| {
        let (knots, points) = &rim.halves[k];
        let spline = Curve::Spline(curve(knots.clone(), points));
        Edge::new(&high[k], &high[1 - k], spline)
    });
    let centre = Point3::new(eye.x, eye.y, rim.floor);
    let up = Vector3::unit_z();
    let floor = [0, 1].map(|k: usize| arc(&low[k], &low[1 - k], centre, up));
    let upright = [0, 1].map(|k: usize| line(&low[k], &high[k]));
    for k in 0..2 {
        let edges = vec![
            floor[k].inverse(),
            upright[k].clone(),
            top[k].clone(),
            upright[1 - k].inverse(),
        ];
        let towards = Vector3::unit_x() * if k == 0 { 1.0 } else { -1.0 };
        let surface = Surface::Cylinder {
            frame: frame(centre, up, towards),
            radius: eye.radius,
        };
        weave.face(FaceKind::EyeWall, surface, false, vec![edges])?;
    }
    let plane = Surface::Plane(frame(centre, up, Vector3::unit_x()));
    weave.face(FaceKind::EyeFloor, plane, true, vec![floor.to_vec()])?;
    Ok(vec![top[1].inverse(), top[0].inverse()])
}
