//! Closed lines of a solid in plan, told apart by the faces beside their edges.

use super::layer::Layer;
use super::stroke::{Stroke, joined};
use super::{Contour, Shape};
use crate::brep::Beside;
use crate::brep::set_up::SetUp;
use crate::brep::shape::{Edge, Face, FaceKind, Half};

/// An edge lies in the split plane when its ends and its middle do, mm (rounding noise).
const LEVEL: f64 = 1e-9;

/// Outline, what is cut into the split face, eyes and flats of the finished body.
pub(super) fn of_finished(half: &Half) -> Vec<Shape> {
    let beside = Beside::of(half);
    let mut shapes = Vec::new();
    let split: Vec<Face> = faces(half, FaceKind::SplitFace).cloned().collect();
    if split.is_empty() {
        let level = level_edges(half, |_| true);
        shapes.extend(chains(level).iter().map(|e| shape(Layer::Outline, e)));
    }
    for edges in split.iter().flat_map(loops) {
        shapes.push(shape(layer(&beside, &edges), &edges));
    }
    if shapes.iter().any(|s| s.layer == Layer::PinChamfers) {
        // The mouth is chamfered: the hole itself is as wide as its floor.
        let floors = faces(half, FaceKind::PinFloor).flat_map(loops);
        shapes.extend(floors.map(|edges| shape(Layer::PinHoles, &edges)));
    }
    let outer = [
        (FaceKind::EyeFloor, Layer::Eyes),
        (FaceKind::Flat, Layer::Flats),
    ];
    for (kind, layer) in outer {
        shapes.extend(faces(half, kind).flat_map(loops).map(|edges| Shape {
            seen: Some(side_of(&edges)),
            ..shape(layer, &edges)
        }));
    }
    shapes
}

/// Tabs of the held body: the undersides, or with tabs on the split plane, as whole sections have
/// them, their sides there, which end on the outline.
pub(super) fn of_held(half: &Half) -> Vec<Shape> {
    let mut lines: Vec<Vec<Edge>> = faces(half, FaceKind::TabUnderside)
        .flat_map(loops)
        .collect();
    let beside = Beside::of(half);
    let wall = |edge: &Edge| beside.any(std::slice::from_ref(edge), &[FaceKind::TabWall]);
    lines.extend(chains(level_edges(half, wall)));
    lines.iter().map(|e| shape(Layer::Tabs, e)).collect()
}

fn faces(half: &Half, kind: FaceKind) -> impl Iterator<Item = &Face> {
    let faces = half.solid.face_iter().zip(&half.kinds);
    faces
        .filter(move |(_, k)| **k == kind)
        .map(|(face, _)| face)
}

fn loops(face: &Face) -> Vec<Vec<Edge>> {
    let wires = face.boundaries();
    wires
        .iter()
        .map(|wire| wire.edge_iter().cloned().collect())
        .collect()
}

/// The layer of a loop of the split face.
fn layer(beside: &Beside, edges: &[Edge]) -> Layer {
    let by_kind = [
        (FaceKind::PinChamfer, Layer::PinChamfers),
        (FaceKind::PinWall, Layer::PinHoles),
        (FaceKind::GrooveWall, Layer::GlueGroove),
        (FaceKind::MarkWall, Layer::Marks),
    ];
    let found = by_kind.iter().find(|(k, _)| beside.any(edges, &[*k]));
    found.map_or(Layer::Outline, |(_, layer)| *layer)
}

/// The set-up from which an eye or a flat is seen; a whole section has them below the split plane
/// too.
fn side_of(edges: &[Edge]) -> SetUp {
    let below = edges.first().is_some_and(|e| e.front().point().z < 0.0);
    if below {
        SetUp::InsideUp
    } else {
        SetUp::OutsideUp
    }
}

/// Edges in the split plane, each once, in the order of the faces.
fn level_edges(half: &Half, wanted: impl Fn(&Edge) -> bool) -> Vec<Edge> {
    let mut seen = std::collections::HashSet::new();
    let faces = half.solid.face_iter().flat_map(loops).flatten();
    faces
        .filter(|edge| is_level(edge) && wanted(edge) && seen.insert(edge.id()))
        .collect()
}

fn is_level(edge: &Edge) -> bool {
    let curve = edge.curve();
    let (from, to) = curve.range();
    let level = |t: f64| curve.at(t).z.abs() < LEVEL;
    level(from) && level(0.5 * (from + to)) && level(to)
}

/// Edges put end to end, each line as long as it goes.
fn chains(mut left: Vec<Edge>) -> Vec<Vec<Edge>> {
    let mut lines = Vec::new();
    while !left.is_empty() {
        let mut line = std::collections::VecDeque::from([left.remove(0)]);
        while let Some(next) = take(&mut left, line.back().map(|e| e.back().id()), false) {
            line.push_back(next);
        }
        while let Some(before) = take(&mut left, line.front().map(|e| e.front().id()), true) {
            line.push_front(before);
        }
        lines.push(line.into());
    }
    lines
}

/// Takes out the edge that begins at a vertex (ends there, when looking back), turned if need be.
fn take(
    left: &mut Vec<Edge>,
    at: Option<truck_topology::VertexID<truck_modeling::Point3>>,
    back: bool,
) -> Option<Edge> {
    let at = at?;
    let place = left
        .iter()
        .position(|e| e.front().id() == at || e.back().id() == at)?;
    let edge = left.remove(place);
    let fits = if back {
        edge.back().id() == at
    } else {
        edge.front().id() == at
    };
    Some(if fits { edge } else { edge.inverse() })
}

fn shape(layer: Layer, edges: &[Edge]) -> Shape {
    let strokes = edges
        .iter()
        .map(|e| Stroke::of(&e.curve(), e.orientation()))
        .collect();
    let ends = edges.first().zip(edges.last());
    let seen = match layer {
        Layer::Outline | Layer::Tabs => None,
        _ => Some(SetUp::InsideUp),
    };
    let closed = ends.is_some_and(|(a, b)| a.front().id() == b.back().id());
    Shape {
        layer,
        seen,
        contour: Contour {
            strokes: joined(strokes),
            closed,
        },
    }
}
