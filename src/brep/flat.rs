//! Flats on the outer form: a plane rectangle in a hole of the skin, which is planar round it.

use truck_modeling::{Point3, Vector3};

use super::shape::{Edge, FaceKind, Surface};
use super::weave::{NotClosed, Weave, frame, line, vertex};
use crate::chain::Flat;

/// Adds a flat; returns its loop on the skin, clockwise seen from above.
///
/// # Errors
/// A fault of topology.
pub(super) fn flat(weave: &mut Weave, flat: &Flat) -> Result<Vec<Edge>, NotClosed> {
    let (w, z) = (flat.half_width, flat.height);
    let corners = [(flat.from, -w), (flat.to, -w), (flat.to, w), (flat.from, w)]
        .map(|(x, y)| vertex(Point3::new(x, y, z)));
    let edges: Vec<Edge> = (0..4)
        .map(|k| line(&corners[k], &corners[(k + 1) % 4]))
        .collect();
    let hole = edges.iter().rev().map(Edge::inverse).collect();
    let middle = Point3::new(0.5 * (flat.from + flat.to), 0.0, z);
    let plane = Surface::Plane(frame(middle, Vector3::unit_z(), Vector3::unit_x()));
    weave.face(FaceKind::Flat, plane, true, vec![edges])?;
    Ok(hole)
}
