//! The wood round a part as level passes of a flat cutter leave it: upright walls over convex contours,
//! level steps between them, and a thin floor round the tabs.
//!
//! From a face of the stock inwards: the window's wall down to the height of the tabs' outer faces; the
//! steps, each contour wider than the one before; at that height a level face that goes out to the window
//! over every tab; between the tabs pockets down to the floor.

use truck_modeling::{Point3, Vector3};

use super::pocket::{band, ring, wall};
use super::pose::Pose;
use super::shape::{Edge, FaceKind, Surface};
use super::star::{Star, straight};
use super::weave::{NotClosed, Weave, frame, line};
use crate::skin::plan::Corner;

/// A place in plan, mm.
pub type Place = [f64; 2];

/// What roughing leaves of a part and its window on one face of the stock; contours in the part's own
/// frame, heights over the face of the stock with the split faces.
#[derive(Debug, Clone, PartialEq)]
pub struct Terraces {
    /// Where the first contour begins.
    pub from: f64,
    /// Convex contours, counter-clockwise, each within the next, and where each ends; the last at the
    /// outer face of the tabs.
    pub steps: Vec<(Vec<Place>, f64)>,
    /// The contour from there to the floor, wider again.
    pub contour: Vec<Place>,
    /// The outer face of the tabs.
    pub level: f64,
    /// The floor in the window.
    pub floor: f64,
    /// Both sides of every tab, counter-clockwise, from the last contour to the window.
    pub arms: Vec<[[Place; 2]; 2]>,
}

impl Terraces {
    /// In another pose, in plan.
    pub(super) fn moved(&self, pose: Pose) -> Self {
        let place = |p: &Place| {
            let q = pose.apply([p[0], p[1], 0.0]);
            [q[0], q[1]]
        };
        let all = |c: &[Place]| c.iter().map(place).collect::<Vec<_>>();
        Terraces {
            steps: self.steps.iter().map(|(c, to)| (all(c), *to)).collect(),
            contour: all(&self.contour),
            arms: self
                .arms
                .iter()
                .map(|arm| arm.map(|side| side.map(|p| place(&p))))
                .collect(),
            ..self.clone()
        }
    }
}

/// Adds the faces of a part and its window on the face of the stock at a height; returns the window's
/// ring there, counter-clockwise from above.
///
/// # Errors
/// [`NotClosed`] when a tab does not end on straight runs, or on a fault of topology.
pub(super) fn terraces(
    weave: &mut Weave,
    own: &Terraces,
    window: &[Corner],
    face: f64,
) -> Result<Vec<Edge>, NotClosed> {
    let works = Works {
        up: own.floor < face,
    };
    let star = Star::of(own, window)?;
    let rim = ring(&star.window, face);
    let kind = FaceKind::WindowWall;
    let (low, high) = works.sorted(&rim, &star.outer);
    band(weave, kind, (low, high), Vec::new(), |edge, k| {
        wall(edge, &star.window[k].way)
    })?;
    let mut top = own.from;
    let mut hole: Option<Vec<Edge>> = None;
    for (contour, to) in &own.steps {
        let corners = straight(contour);
        let (begin, end) = (ring(&corners, top), ring(&corners, *to));
        let (low, high) = works.sorted(&begin, &end);
        island(weave, low, high)?;
        let kind = if top == face {
            FaceKind::StockFace
        } else {
            FaceKind::RoughLevel
        };
        works.level(weave, kind, top, begin, hole.take())?;
        hole = Some(end);
        top = *to;
    }
    works.level(weave, FaceKind::RoughLevel, own.level, star.border(), hole)?;
    for pocket in star.pockets() {
        let foot = ring(&pocket.outline, own.floor);
        let (low, high) = works.sorted(&pocket.edges, &foot);
        band(
            weave,
            FaceKind::RoughWall,
            (low, high),
            Vec::new(),
            |edge, k| wall(edge, &pocket.outline[k].way),
        )?;
        works.level(weave, FaceKind::RoughLevel, own.floor, foot, None)?;
    }
    Ok(rim)
}

/// From which side the wood is cut.
struct Works {
    /// From the outer face, downwards.
    up: bool,
}

impl Works {
    /// Two rings, the one nearer to the face of the stock first, in the order of their heights.
    fn sorted<'a>(&self, near: &'a [Edge], far: &'a [Edge]) -> (&'a [Edge], &'a [Edge]) {
        if self.up { (far, near) } else { (near, far) }
    }

    /// Adds a level face; its loops run counter-clockwise from above.
    fn level(
        &self,
        weave: &mut Weave,
        kind: FaceKind,
        z: f64,
        border: Vec<Edge>,
        hole: Option<Vec<Edge>>,
    ) -> Result<(), NotClosed> {
        let (border, hole) = if self.up {
            (border, hole.map(turned))
        } else {
            (turned(border), hole)
        };
        let normal = Vector3::unit_z() * if self.up { 1.0 } else { -1.0 };
        let plane = frame(Point3::new(0.0, 0.0, z), normal, Vector3::unit_x());
        let loops = std::iter::once(border).chain(hole).collect();
        weave.face(kind, Surface::Plane(plane), true, loops)
    }
}

fn turned(edges: Vec<Edge>) -> Vec<Edge> {
    edges.iter().rev().map(Edge::inverse).collect()
}

/// Adds the walls round wood between two rings of straight edges.
fn island(weave: &mut Weave, low: &[Edge], high: &[Edge]) -> Result<(), NotClosed> {
    let count = low.len();
    let rise: Vec<Edge> = (0..count)
        .map(|k| line(low[k].front(), high[k].front()))
        .collect();
    for k in 0..count {
        let (p, q) = (low[k].front().point(), low[k].back().point());
        let out = frame(p, (q - p).cross(Vector3::unit_z()), q - p);
        let round = vec![
            low[k].clone(),
            rise[(k + 1) % count].clone(),
            high[k].inverse(),
            rise[k].inverse(),
        ];
        weave.face(FaceKind::RoughWall, Surface::Plane(out), true, vec![round])?;
    }
    Ok(())
}
