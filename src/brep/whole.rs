//! A whole section: the shells of its two halves sewn along the outline of the split plane, both
//! split faces left out. Every face stays a half face.

use std::collections::{HashMap, HashSet};

use truck_modeling::{InnerSpace, Point3};
use truck_topology::VertexID;

use super::pose::{Pose, posed};
use super::shape::{Edge, EdgeId, Face, FaceKind, Half, Shell, Solid, Vertex, Wire};
use super::weave::NotClosed;
use crate::skin::MODEL_TOLERANCE;

/// Places at which two edges are compared, as parts of their ranges; a curve run backward passes
/// them too.
const PLACES: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];

/// Edges and vertices of the lower half that the upper one has already.
struct Seam {
    edges: HashMap<EdgeId, Edge>,
    vertices: HashMap<VertexID<Point3>, Vertex>,
}

/// Sews two halves of a section, each in its own frame, to one body in the section's frame.
///
/// # Errors
/// [`NotClosed`] when a half has a hole in its split face, or the outlines are not the same: a
/// fault of this program, since both come from one section.
pub fn sew(upper: &Half, lower: &Half) -> Result<Half, NotClosed> {
    // Half a turn about x, never a mirror.
    let turned = posed(
        lower,
        Pose {
            quarters: 2,
            ..Pose::NONE
        },
    );
    let seam = Seam::of(&outline(upper)?, &outline(&turned)?)?;
    let mut made: HashMap<EdgeId, Edge> = HashMap::new();
    let mut faces: Vec<Face> = Vec::new();
    let mut kinds = Vec::new();
    for (face, kind) in upper.solid.face_iter().zip(&upper.kinds) {
        if *kind != FaceKind::SplitFace {
            faces.push(face.clone());
            kinds.push(*kind);
        }
    }
    for (face, kind) in turned.solid.face_iter().zip(&turned.kinds) {
        if *kind != FaceKind::SplitFace {
            faces.push(seam.moved(face, &mut made)?);
            kinds.push(*kind);
        }
    }
    let shell: Shell = faces.into_iter().collect();
    let solid = Solid::try_new(vec![shell]).map_err(|e| NotClosed(e.to_string()))?;
    Ok(Half { solid, kinds })
}

/// Edges round the split face.
fn outline(half: &Half) -> Result<Vec<Edge>, NotClosed> {
    let faces = half.solid.face_iter().zip(&half.kinds);
    let mut split = faces.filter(|(_, kind)| **kind == FaceKind::SplitFace);
    let fault = |what: &str| NotClosed(format!("a whole section: {what}"));
    let (face, _) = split.next().ok_or_else(|| fault("no split face"))?;
    let boundaries = face.absolute_boundaries();
    let [wire] = boundaries.as_slice() else {
        return Err(fault("a hole in the split face"));
    };
    Ok(wire.edge_iter().cloned().collect())
}

impl Seam {
    fn of(upper: &[Edge], lower: &[Edge]) -> Result<Self, NotClosed> {
        let mut seam = Seam {
            edges: HashMap::new(),
            vertices: HashMap::new(),
        };
        let mut taken: HashSet<usize> = HashSet::new();
        for edge in lower {
            let place = |(k, own): (usize, &Edge)| {
                (!taken.contains(&k))
                    .then(|| alike(own, edge))
                    .flatten()
                    .map(|with| (k, with))
            };
            let (k, with) = upper.iter().enumerate().find_map(place).ok_or_else(|| {
                let at = edge.absolute_front().point();
                NotClosed(format!("an edge at {at:?} that the other half lacks"))
            })?;
            taken.insert(k);
            let own = absolute(&upper[k]);
            let own = if with { own } else { own.inverse() };
            let edge = absolute(edge);
            seam.vertices.insert(edge.front().id(), own.front().clone());
            seam.vertices.insert(edge.back().id(), own.back().clone());
            seam.edges.insert(edge.id(), own);
        }
        if taken.len() != upper.len() {
            return Err(NotClosed(
                "an outline with more edges than the other".to_owned(),
            ));
        }
        Ok(seam)
    }

    /// A face of the lower half over the upper half's edges.
    fn moved(&self, face: &Face, made: &mut HashMap<EdgeId, Edge>) -> Result<Face, NotClosed> {
        let wires = face.absolute_boundaries().iter().map(|wire| {
            wire.edge_iter()
                .map(|edge| {
                    let new = self.edge(edge, made);
                    if edge.orientation() {
                        new
                    } else {
                        new.inverse()
                    }
                })
                .collect::<Wire>()
        });
        let mut new =
            Face::try_new(wires.collect(), face.surface()).map_err(|e| NotClosed(e.to_string()))?;
        if !face.orientation() {
            new.invert();
        }
        Ok(new)
    }

    /// The edge in its curve's direction, over the upper half's vertices.
    fn edge(&self, edge: &Edge, made: &mut HashMap<EdgeId, Edge>) -> Edge {
        if let Some(own) = self.edges.get(&edge.id()) {
            return own.clone();
        }
        let vertex = |v: &Vertex| self.vertices.get(&v.id()).unwrap_or(v).clone();
        let new = || {
            Edge::new(
                &vertex(edge.absolute_front()),
                &vertex(edge.absolute_back()),
                edge.curve(),
            )
        };
        made.entry(edge.id()).or_insert_with(new).clone()
    }
}

/// An edge in its curve's direction.
fn absolute(edge: &Edge) -> Edge {
    if edge.orientation() {
        edge.clone()
    } else {
        edge.inverse()
    }
}

/// Whether two edges are the same curve; if so, whether they run the same way.
fn alike(a: &Edge, b: &Edge) -> Option<bool> {
    let (p, q) = (a.curve(), b.curve());
    let at = |c: &super::shape::Curve, part: f64| {
        let (from, to) = c.range();
        c.at(from + (to - from) * part)
    };
    let same = |s: f64, t: f64| (at(&p, s) - at(&q, t)).magnitude() < MODEL_TOLERANCE;
    let all = |forward: bool| {
        PLACES
            .iter()
            .all(|&s| same(s, if forward { s } else { 1.0 - s }))
    };
    if all(true) {
        Some(true)
    } else {
        all(false).then_some(false)
    }
}
