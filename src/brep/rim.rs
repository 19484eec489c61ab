//! The rim of one flank: the leaning band with the windows of its tabs and the notches of its
//! plates. Written for y < 0; the other flank is its image, with loops turned round.

use truck_modeling::{Point3, Vector3};

use super::plate;
use super::shape::{Curve, Edge, FaceKind, Surface, Vertex};
use super::spline;
use super::tab;
use super::weave::{NotClosed, Weave, frame, vertex};
use crate::chain::{Flank, HalfForm, Tab, TabRoot};
use crate::skin::flank::RimSide;

/// A flank under construction.
pub(super) struct RimOf<'a> {
    pub side: &'a RimSide,
    /// -1 at y < 0, where everything is written, 1 on the image.
    pub sign: f64,
}

/// What a flank gives to the other faces.
pub(super) struct Foot {
    /// From the front foot to the rear foot along rim and plates: a part of the split face's
    /// outline.
    pub split: Vec<Edge>,
}

/// What stands on a flank between two places along u.
pub(super) struct Stand {
    pub from: f64,
    pub to: f64,
    pub kind: Standing,
}

/// A notch (edges of the rim and of the split face from its front foot to its rear foot) or a
/// window (a hole in the rim).
pub(super) enum Standing {
    Notch { rim: Vec<Edge>, split: Vec<Edge> },
    Window(Vec<Edge>),
}

impl RimOf<'_> {
    /// A point of the flank from one at y < 0.
    pub fn at(&self, [x, y, z]: [f64; 3]) -> Point3 {
        Point3::new(x, -self.sign * y, z)
    }

    /// A place in plan, at a height.
    pub fn plan(&self, [x, y]: [f64; 2], z: f64) -> Point3 {
        self.at([x, y, z])
    }

    /// A vector in plan.
    pub fn way(&self, [x, y]: [f64; 2]) -> Vector3 {
        Vector3::new(x, -self.sign * y, 0.0)
    }

    /// The line of equal height between two feet.
    pub fn level(&self, a: &Vertex, b: &Vertex, (from, to): (f64, f64), z: f64) -> Edge {
        let v = if z == 0.0 { 0.0 } else { self.side.v_of_z(z) };
        let mut patch_line = spline::level(&self.side.patch, v, (from, to));
        for p in &mut patch_line.1 {
            p[1] *= -self.sign;
            p[2] = z;
        }
        Edge::new(
            a,
            b,
            Curve::Spline(spline::curve(patch_line.0, &patch_line.1)),
        )
    }

    /// Adds a face whose loops run counter-clockwise seen from outside at y < 0.
    pub fn face(
        &self,
        weave: &mut Weave,
        kind: FaceKind,
        surface: Surface,
        outside: bool,
        loops: Vec<Vec<Edge>>,
    ) -> Result<(), NotClosed> {
        let loops = loops.into_iter().map(|edges| self.turned(edges)).collect();
        weave.face(kind, surface, outside, loops)
    }

    /// A loop written for y < 0, turned round on the image.
    fn turned(&self, edges: Vec<Edge>) -> Vec<Edge> {
        if self.sign < 0.0 {
            edges
        } else {
            edges.iter().rev().map(Edge::inverse).collect()
        }
    }

    /// A plane face through `origin` with the outward normal given for y < 0.
    pub fn plane(
        &self,
        weave: &mut Weave,
        kind: FaceKind,
        (origin, normal): (Point3, [f64; 3]),
        edges: Vec<Edge>,
    ) -> Result<(), NotClosed> {
        let normal = Vector3::new(normal[0], -self.sign * normal[1], normal[2]);
        let near = if normal.z.abs() > 0.5 {
            Vector3::unit_x()
        } else {
            Vector3::unit_z()
        };
        let surface = Surface::Plane(frame(origin, normal, near));
        self.face(weave, kind, surface, true, vec![edges])
    }
}

/// Ends of a flank: its feet, its top edge and the edges up the rim's ends, all at their places.
pub(super) struct Border<'a> {
    pub feet: [&'a Vertex; 2],
    pub top: &'a Edge,
    pub ends: [&'a Edge; 2],
}

/// Adds the rim of a flank with all that stands on it.
///
/// # Errors
/// [`NotClosed`] when things that stand on it overlap, or on a fault of topology.
pub(super) fn rim(
    weave: &mut Weave,
    half: &HalfForm,
    side: &RimSide,
    flank: Flank,
    border: &Border<'_>,
) -> Result<Foot, NotClosed> {
    let rim = RimOf {
        side,
        sign: flank.sign(),
    };
    let mut stands = Vec::new();
    let plates = half.features.plates.iter().filter(|p| p.flank == flank);
    let tabs = |on: TabRoot| {
        let own = half.features.tabs.iter();
        own.filter(move |t| t.flank == flank && t.on == on)
    };
    let mut standing = 0;
    for (number, plate) in plates.enumerate() {
        let held: Vec<&Tab> = tabs(TabRoot::Plate(number)).collect();
        standing += held.len();
        stands.push(plate::plate(weave, &rim, plate, &held)?);
    }
    for tab in tabs(TabRoot::Rim) {
        standing += 1;
        stands.push(tab::tab(weave, &rim, tab)?);
    }
    let all = half.features.tabs.iter().filter(|t| t.flank == flank);
    if all.count() != standing {
        return Err(NotClosed("a tab of a plate that is not there".to_owned()));
    }
    stands.sort_by(|a, b| a.from.total_cmp(&b.from));
    if stands.windows(2).any(|s| s[1].from <= s[0].to) {
        return Err(NotClosed("plates or tabs that overlap on a rim".to_owned()));
    }
    let (mut bottom, mut split, mut holes) = (Vec::new(), Vec::new(), Vec::new());
    let (first, last) = side.patch.u_range();
    let mut at = (border.feet[0].clone(), first);
    for stand in stands {
        match stand.kind {
            Standing::Window(edges) => holes.push(edges),
            Standing::Notch {
                rim: over,
                split: round,
            } => {
                let foot = over[0].front().clone();
                let run = rim.level(&at.0, &foot, (at.1, stand.from), 0.0);
                bottom.push(run.clone());
                split.push(run);
                at = (over[over.len() - 1].back().clone(), stand.to);
                bottom.extend(over);
                split.extend(round);
            }
        }
    }
    let run = rim.level(&at.0, border.feet[1], (at.1, last), 0.0);
    bottom.push(run.clone());
    split.push(run);
    bottom.push(border.ends[1].clone());
    bottom.push(border.top.inverse());
    bottom.push(border.ends[0].inverse());
    let patch = if flank == Flank::Minus {
        side.patch.clone()
    } else {
        side.patch.mirrored_y()
    };
    let mut loops = vec![bottom];
    loops.extend(holes);
    let surface = Surface::Spline(spline::surface(&patch));
    rim.face(weave, FaceKind::Rim, surface, flank == Flank::Minus, loops)?;
    Ok(Foot { split })
}

/// A vertex of the flank.
pub(super) fn corner(rim: &RimOf<'_>, p: [f64; 3]) -> Vertex {
    vertex(rim.at(p))
}
