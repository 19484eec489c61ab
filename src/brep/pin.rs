//! Pin holes: pockets in the split face with upright walls and a flat floor.

use truck_modeling::{InnerSpace, Point3, Vector3};

use super::shape::{Edge, FaceKind, Surface, Vertex};
use super::weave::{NotClosed, Weave, arc, frame, line, vertex};
use crate::chain::HalfPin;

/// Adds a hole's walls and floor; returns its loop on the split face, counter-clockwise seen
/// from above (z > 0), which is the split face's hole orientation.
///
/// # Errors
/// [`NotClosed`] on a fault of topology.
pub fn hole(weave: &mut Weave, pin: &HalfPin) -> Result<Vec<Edge>, NotClosed> {
    let mouth = ring(pin, 0.0);
    let foot = ring(pin, pin.depth);
    let count = mouth.len();
    let uprights: Vec<Edge> = (0..count)
        .map(|i| line(mouth[i].front(), foot[i].front()))
        .collect();
    for i in 0..count {
        let next = (i + 1) % count;
        let edges = vec![
            mouth[i].inverse(),
            uprights[i].clone(),
            foot[i].clone(),
            uprights[next].inverse(),
        ];
        let (surface, outside) = wall(pin, &mouth[i]);
        weave.face(FaceKind::PinWall, surface, outside, vec![edges])?;
    }
    let floor = frame(
        Point3::new(pin.x, pin.y, pin.depth),
        -Vector3::unit_z(),
        Vector3::unit_x(),
    );
    let edges = foot.iter().rev().map(Edge::inverse).collect();
    weave.face(FaceKind::PinFloor, Surface::Plane(floor), true, vec![edges])?;
    Ok(mouth)
}

/// The hole's outline at height z: two half circles, joined by lines in a slotted hole.
fn ring(pin: &HalfPin, z: f64) -> Vec<Edge> {
    let (r, h) = (pin.radius, 0.5 * pin.slot);
    let at = |x: f64, y: f64| vertex(Point3::new(pin.x + x, pin.y + y, z));
    let up = Vector3::unit_z();
    let centre = |side: f64| Point3::new(pin.x + side * h, pin.y, z);
    let (a, b): (Vertex, Vertex) = (at(h, -r), at(h, r));
    if h == 0.0 {
        return vec![arc(&a, &b, centre(1.0), up), arc(&b, &a, centre(1.0), up)];
    }
    let (c, d) = (at(-h, r), at(-h, -r));
    vec![
        arc(&a, &b, centre(1.0), up),
        line(&b, &c),
        arc(&c, &d, centre(-1.0), up),
        line(&d, &a),
    ]
}

/// The wall over an outline edge, and whether its surface's normal points out of the wood.
fn wall(pin: &HalfPin, mouth: &Edge) -> (Surface, bool) {
    let (p, q) = (mouth.front().point(), mouth.back().point());
    let along = q - p;
    let straight = pin.slot > 0.0 && along.x.abs() > along.y.abs();
    if straight {
        // Counter-clockwise outline: the hole lies to the left, and out of the wood is into it.
        let inwards = Vector3::unit_z().cross(along);
        return (Surface::Plane(frame(p, inwards, along)), true);
    }
    let centre = p + along * 0.5;
    let reference = p - centre;
    (
        Surface::Cylinder {
            frame: frame(centre, Vector3::unit_z(), reference.normalize()),
            radius: pin.radius,
        },
        false,
    )
}
