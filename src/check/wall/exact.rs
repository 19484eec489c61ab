//! From a way of the mesh to the way between the exact faces.

use super::body::{APART_COS, Body, V};
use super::descent::{Foot, descend};
use super::pair::{Pair, Way};
use crate::brep::shape::{Curve, Half, Surface};
use crate::mesh::chart::{Chart, Local};

/// How far beside its exact edge a point may lie, mm: the model's edges lie on both faces to
/// 1e-7.
const BESIDE: f64 = 1e-7;
/// Slip back from an edge that counts as none, as a share of the distance.
const BACK: f64 = 1e-7;

/// Normals no further apart than this may stand at the 120 degrees of a round, radians: 20 degrees
/// more, which a mesh turns from one facet to the next on a small round.
const NEAR_BEND: f64 = std::f64::consts::PI * 140.0 / 180.0;

/// An exact face with its edges.
pub(super) struct Face {
    pub surface: Surface,
    pub edges: Vec<Edge>,
}

pub(super) struct Edge {
    curve: Curve,
    /// Whether the loop, counter-clockwise from outside, runs along the curve.
    forward: bool,
    lo: [f64; 3],
    hi: [f64; 3],
}

/// Exact faces of a half, in their order.
pub(super) fn faces(half: &Half) -> Vec<Face> {
    half.solid
        .face_iter()
        .map(|face| Face {
            surface: face.surface(),
            edges: face
                .boundaries()
                .iter()
                .flat_map(|wire| {
                    wire.edge_iter()
                        .map(|e| Edge::new(e.curve(), e.orientation()))
                })
                .collect(),
        })
        .collect()
}

/// What becomes of a way of the mesh.
pub(super) enum End {
    /// A least distance of the exact faces, and its ends.
    Exact(f64, [V; 2]),
    /// It goes on falling towards a shared edge, or round a bend.
    Slides,
    /// Nothing was found near.
    Lost,
}

pub(super) struct Finish<'a> {
    pub faces: &'a [Face],
    pub body: &'a Body,
    /// How far the mesh lies off the faces at most, mm.
    pub deviation: f64,
}

impl Finish<'_> {
    /// Between the two exact faces, or their edges near the ends.
    pub fn way(&self, pair: &Pair, way: &Way) -> End {
        let near = 4.0 * self.deviation + 1e-3;
        let (a, b) = pair.faces;
        let distance = way.square.sqrt();
        let mut best: Option<Foot> = None;
        let sides = |face: usize, p: &V| {
            let own = &self.faces[face];
            let mut all = vec![Chart::of_surface(&own.surface, (*p).into())];
            let close = own.edges.iter().filter(|e| e.square(p) < near * near);
            let charts = close.map(|e| Chart::of_curve(&e.curve, (*p).into()));
            all.extend(charts.filter(|(c, at)| (V::from(c.local(*at).point) - p).norm() < near));
            all
        };
        let (ours, theirs) = (sides(a, &way.ends[0]), sides(b, &way.ends[1]));
        for (one, start) in &ours {
            for (two, begin) in &theirs {
                let reach = 2.0 * pair.limit;
                let Some(foot) = descend([one, two], [*start, *begin], reach) else {
                    continue;
                };
                let better = best.is_none_or(|b| foot.distance < b.distance);
                // Both lie within the deviation of the mesh, where they are the same place.
                let same = (foot.distance - distance).abs() <= 2.0 * self.deviation + 1e-6;
                if better && same && self.stands([one, two], pair, way, &foot) {
                    best = Some(foot);
                }
            }
        }
        match best {
            Some(foot) => End::Exact(foot.distance, foot.ends),
            None if self.bordering(pair, way) => End::Slides,
            None => End::Lost,
        }
    }

    /// Whether the foot is a wall: within both trims, not falling back from an edge, the faces
    /// looking away from each other, and outside the zones.
    fn stands(&self, charts: [&Chart; 2], pair: &Pair, way: &Way, foot: &Foot) -> bool {
        let sides = [pair.faces.0, pair.faces.1];
        let mut normals = way.normals;
        for k in 0..2 {
            let face = &self.faces[sides[k]];
            let local = if charts[k].is_edge() {
                let (chart, at) = Chart::of_surface(&face.surface, foot.ends[k].into());
                chart.local(at)
            } else {
                foot.locals[k]
            };
            let Some(normal) = normal(&local, &way.normals[k]) else {
                return false;
            };
            normals[k] = normal;
            let to_other = foot.ends[1 - k] - foot.ends[k];
            if charts[k].is_edge() {
                if face.falls_back(&foot.ends[k], &normal, &to_other) {
                    return false;
                }
            } else if !self.within(sides[k], &foot.ends[k], &normal) {
                return false;
            }
        }
        normals[0].dot(&normals[1]) < APART_COS
            && foot.ends.iter().all(|p| {
                !pair
                    .zones
                    .hold(sides[0], sides[1], p, pair.limit * (1.0 - 1e-9))
            })
    }

    /// Whether a point of the surface lies within the face's edges.
    fn within(&self, face: usize, p: &V, normal: &V) -> bool {
        let slack = 2.0 * self.deviation + 1e-3;
        if self.body.nearest(face, p).is_none_or(|off| off > slack) {
            return false;
        }
        self.faces[face].beside(p, normal, 2.0 * slack) >= -BESIDE
    }

    /// Whether the way lies at the border of what was searched: of a zone, or of the angle
    /// between faces that look away.
    fn bordering(&self, pair: &Pair, way: &Way) -> bool {
        let (a, b) = pair.faces;
        let margin = 0.3 * pair.limit + 4.0 * self.deviation;
        let held = |p: &V| pair.zones.hold(a, b, p, pair.limit + margin);
        let out = pair
            .out
            .iter()
            .any(|(c, r)| way.ends.iter().any(|p| (p - c).norm() < r + margin));
        let bend = way.normals[0].dot(&way.normals[1]) > NEAR_BEND.cos();
        out || bend || way.ends.iter().any(held)
    }
}

/// Unit normal on the side of `like`; none where the chart has none.
fn normal(local: &Local, like: &V) -> Option<V> {
    let n = V::from(local.first[0]).cross(&V::from(local.first[1]));
    let n = n.try_normalize(0.0)?;
    Some(if n.dot(like) < 0.0 { -n } else { n })
}

impl Face {
    /// How far inside its nearest edge a point lies, mm, negative outside; endless when no edge
    /// is within `near` mm.
    fn beside(&self, p: &V, normal: &V, near: f64) -> f64 {
        let mut best = f64::INFINITY;
        let mut least = near;
        for edge in self.edges.iter().filter(|e| e.square(p) < near * near) {
            let (point, inwards) = edge.inwards(p, normal);
            let off = (p - point).norm();
            let side = (p - point).dot(&inwards);
            if off < least - 1e-9 {
                (least, best) = (off, side);
            } else if off < least + 1e-9 {
                // At a corner both edges have their say.
                best = best.min(side);
            }
        }
        best
    }

    /// Whether, from a point of an edge, the way gets shorter towards the inside.
    fn falls_back(&self, p: &V, normal: &V, way: &V) -> bool {
        let own = self.edges.iter().filter(|e| e.square(p) < 1e-6);
        let near = own
            .map(|e| e.inwards(p, normal))
            .filter(|(c, _)| (p - c).norm() < 1e-6);
        near.map(|(_, inwards)| inwards.dot(way))
            .fold(f64::NEG_INFINITY, f64::max)
            > BACK * way.norm()
    }
}

impl Edge {
    fn new(curve: Curve, forward: bool) -> Edge {
        let (from, to) = curve.range();
        let mut edge = Edge {
            curve,
            forward,
            lo: [f64::INFINITY; 3],
            hi: [f64::NEG_INFINITY; 3],
        };
        // A sixteenth of the range bends from its chord by less than the chord is long.
        let points: Vec<[f64; 3]> = (0..=16)
            .map(|k| {
                edge.curve
                    .at(from + (to - from) * f64::from(k) / 16.0)
                    .into()
            })
            .collect();
        let step = points
            .windows(2)
            .map(|w| (V::from(w[1]) - V::from(w[0])).norm())
            .fold(0.0, f64::max);
        for p in points {
            for (k, at) in p.into_iter().enumerate() {
                edge.lo[k] = edge.lo[k].min(at - step);
                edge.hi[k] = edge.hi[k].max(at + step);
            }
        }
        edge
    }

    /// Square of the distance of a point from the edge's box.
    fn square(&self, p: &V) -> f64 {
        (0..3)
            .map(|k| (self.lo[k] - p[k]).max(p[k] - self.hi[k]).max(0.0).powi(2))
            .sum()
    }

    /// Nearest point of the edge, and the unit direction from there into the face.
    fn inwards(&self, p: &V, normal: &V) -> (V, V) {
        let (chart, at) = Chart::of_curve(&self.curve, (*p).into());
        let local = chart.local(at);
        let along = V::from(local.first[0]) * if self.forward { 1.0 } else { -1.0 };
        let inwards = normal.cross(&along);
        (
            V::from(local.point),
            inwards.try_normalize(0.0).unwrap_or(inwards),
        )
    }
}
