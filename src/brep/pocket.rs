//! Pockets in the split face: upright walls over an outline in plan, a flat floor, and at the
//! mouth a 45 degree chamfer where wanted. Pin holes, glue grooves and marks are pockets.

use std::f64::consts::FRAC_PI_4;

use truck_modeling::{InnerSpace, Point3, Vector3};

use super::plan::{self, Corner, Way};
use super::shape::{Edge, FaceKind, Surface, Vertex};
use super::weave::{NotClosed, Weave, arc, frame, line, vertex};
use crate::chain::{HalfForm, HalfPin};

/// Kinds of a pocket's faces.
#[derive(Debug, Clone, Copy)]
struct Kinds {
    wall: FaceKind,
    floor: FaceKind,
}

/// Adds the pockets of a half; returns their loops on the split face, counter-clockwise seen from
/// above (z > 0), which is the split face's hole orientation.
///
/// # Errors
/// [`NotClosed`] when a stroke crosses itself, or on a fault of topology.
pub fn pockets(weave: &mut Weave, half: &HalfForm) -> Result<Vec<Vec<Edge>>, NotClosed> {
    let mut loops = Vec::new();
    for pin in &half.pins {
        loops.push(hole(weave, pin, half.features.pin_chamfer)?);
    }
    let kinds = Kinds {
        wall: FaceKind::GrooveWall,
        floor: FaceKind::GrooveFloor,
    };
    for groove in &half.features.grooves {
        loops.push(plain(weave, &plan::groove(groove), groove.depth, kinds)?);
    }
    let kinds = Kinds {
        wall: FaceKind::MarkWall,
        floor: FaceKind::MarkFloor,
    };
    for mark in &half.features.marks {
        for stroke in &mark.strokes {
            let outline = plan::stroke(&stroke.path, mark.half_width)
                .ok_or_else(|| NotClosed(format!("a stroke of mark `{}` folds", mark.text)))?;
            loops.push(plain(weave, &outline, mark.depth, kinds)?);
        }
    }
    Ok(loops)
}

/// A pocket without a chamfer.
fn plain(
    weave: &mut Weave,
    outline: &[Corner],
    depth: f64,
    kinds: Kinds,
) -> Result<Vec<Edge>, NotClosed> {
    let [x, y] = outline[0].at;
    let mouth = ring(outline, 0.0);
    pocket(weave, mouth, outline, Point3::new(x, y, depth), kinds)
}

/// A pin hole with the chamfer at its mouth, if it has one.
fn hole(weave: &mut Weave, pin: &HalfPin, chamfer: f64) -> Result<Vec<Edge>, NotClosed> {
    let kinds = Kinds {
        wall: FaceKind::PinWall,
        floor: FaceKind::PinFloor,
    };
    let outline = plan::hole(pin, 0.0);
    let origin = Point3::new(pin.x, pin.y, pin.depth);
    if chamfer == 0.0 {
        return pocket(weave, ring(&outline, 0.0), &outline, origin, kinds);
    }
    let wide = plan::hole(pin, chamfer);
    let (mouth, neck) = (ring(&wide, 0.0), ring(&outline, chamfer));
    band(
        weave,
        FaceKind::PinChamfer,
        (&mouth, &neck),
        Vec::new(),
        |edge, k| slope(edge, &outline[k].way, chamfer),
    )?;
    pocket(weave, neck, &outline, origin, kinds)?;
    Ok(mouth)
}

/// Walls from an upper ring over `outline` to the floor at the height of `origin`, and the floor;
/// returns the ring.
fn pocket(
    weave: &mut Weave,
    mouth: Vec<Edge>,
    outline: &[Corner],
    origin: Point3,
    kinds: Kinds,
) -> Result<Vec<Edge>, NotClosed> {
    let foot = ring(outline, origin.z);
    band(weave, kinds.wall, (&mouth, &foot), Vec::new(), |edge, k| {
        wall(edge, &outline[k].way)
    })?;
    let floor = frame(origin, -Vector3::unit_z(), Vector3::unit_x());
    let edges = foot.iter().rev().map(Edge::inverse).collect();
    weave.face(kinds.floor, Surface::Plane(floor), true, vec![edges])?;
    Ok(mouth)
}

/// The outline at a height.
pub(super) fn ring(outline: &[Corner], z: f64) -> Vec<Edge> {
    let corners: Vec<Vertex> = outline
        .iter()
        .map(|c| vertex(Point3::new(c.at[0], c.at[1], z)))
        .collect();
    let up = Vector3::unit_z();
    let place = |c: [f64; 2]| Point3::new(c[0], c[1], z);
    (0..corners.len())
        .map(|k| {
            let (a, b) = (&corners[k], &corners[(k + 1) % corners.len()]);
            match outline[k].way {
                Way::Line => line(a, b),
                Way::Left { centre, .. } => arc(a, b, place(centre), up),
                Way::Right { centre, .. } => arc(a, b, place(centre), -up),
            }
        })
        .collect()
}

/// Loops left out of each face of a band.
pub(super) type Bands = Vec<Vec<Vec<Edge>>>;

/// Faces between two rings with the loops left out of each; `surface` says of an upper edge and its number what lies under it,
/// and whether that surface's normal points out of the wood.
pub(super) fn band(
    weave: &mut Weave,
    kind: FaceKind,
    (upper, lower): (&[Edge], &[Edge]),
    holes: Bands,
    surface: impl Fn(&Edge, usize) -> (Surface, bool),
) -> Result<(), NotClosed> {
    let count = upper.len();
    let uprights: Vec<Edge> = (0..count)
        .map(|k| line(upper[k].front(), lower[k].front()))
        .collect();
    for k in 0..count {
        let edges = vec![
            upper[k].inverse(),
            uprights[k].clone(),
            lower[k].clone(),
            uprights[(k + 1) % count].inverse(),
        ];
        let (surface, outside) = surface(&upper[k], k);
        let own = holes.get(k).cloned().unwrap_or_default();
        let loops = std::iter::once(edges).chain(own).collect();
        weave.face(kind, surface, outside, loops)?;
    }
    Ok(())
}

/// The upright wall under an edge.
pub(super) fn wall(edge: &Edge, way: &Way) -> (Surface, bool) {
    let (p, q) = (edge.front().point(), edge.back().point());
    let up = Vector3::unit_z();
    let round = |centre: [f64; 2], radius: f64| {
        let centre = Point3::new(centre[0], centre[1], p.z);
        Surface::Cylinder {
            frame: frame(centre, up, (p - centre).normalize()),
            radius,
        }
    };
    match *way {
        // Counter-clockwise outline: the pocket lies to the left, and out of the wood is into it.
        Way::Line => (Surface::Plane(frame(p, up.cross(q - p), q - p)), true),
        Way::Left { centre, radius } => (round(centre, radius), false),
        Way::Right { centre, radius } => (round(centre, radius), true),
    }
}

/// The chamfer of 45 degrees under an edge of the wider ring; `way` is that of the narrower one,
/// `height` below. Holes have no arcs to the right.
fn slope(edge: &Edge, way: &Way, height: f64) -> (Surface, bool) {
    let (p, q) = (edge.front().point(), edge.back().point());
    let up = Vector3::unit_z();
    match *way {
        Way::Line => {
            let inwards = up.cross((q - p).normalize());
            (Surface::Plane(frame(p, inwards - up, q - p)), true)
        }
        Way::Left { centre, radius } | Way::Right { centre, radius } => {
            let base = Point3::new(centre[0], centre[1], p.z + height);
            let cone = Surface::Cone {
                frame: frame(base, -up, p - base),
                radius,
                half_angle: FRAC_PI_4,
            };
            (cone, false)
        }
    }
}
