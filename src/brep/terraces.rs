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
use super::weave::{NotClosed, Weave, frame, line};
use crate::skin::MODEL_TOLERANCE;
use crate::skin::plan::{Corner, Way, gap};

/// A place nearer to a corner of a contour is taken to be that corner, mm: no edge is shorter.
const NEAR: f64 = 1e-3;

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

fn straight(contour: &[Place]) -> Vec<Corner> {
    let corner = |&at: &Place| Corner { at, way: Way::Line };
    contour.iter().map(corner).collect()
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

/// Contour, tabs and window at the height of the tabs' outer face.
struct Star {
    /// The window with a corner at every side of a tab, and its edges.
    window: Vec<Corner>,
    outer: Vec<Edge>,
    /// The contour likewise.
    contour: Vec<Corner>,
    inner: Vec<Edge>,
    /// In the order of the window.
    arms: Vec<Arm>,
}

/// A tab: numbers of the corners of its sides on contour and window, and the edges between.
struct Arm {
    inner: [usize; 2],
    outer: [usize; 2],
    sides: [Edge; 2],
}

/// The hollow between two tabs: its outline, counter-clockwise, and the edges over it.
struct Pocket {
    outline: Vec<Corner>,
    edges: Vec<Edge>,
}

impl Star {
    fn of(own: &Terraces, window: &[Corner]) -> Result<Self, NotClosed> {
        let places = |end: usize| -> Vec<Place> {
            let sides = own.arms.iter().flatten();
            sides.map(|side| side[end]).collect()
        };
        let (contour, inner_at) = divided(&straight(&own.contour), &places(0))?;
        let (window, outer_at) = divided(window, &places(1))?;
        let (inner, outer) = (ring(&contour, own.level), ring(&window, own.level));
        let arm = |k: usize| {
            let (i, o) = (
                [0, 1].map(|s| inner_at[2 * k + s]),
                [0, 1].map(|s| outer_at[2 * k + s]),
            );
            Arm {
                inner: i,
                outer: o,
                sides: [0, 1].map(|s: usize| line(inner[i[s]].front(), outer[o[s]].front())),
            }
        };
        let mut arms: Vec<Arm> = (0..own.arms.len()).map(arm).collect();
        arms.sort_by_key(|a| a.outer[0]);
        if arms.is_empty() {
            return Err(NotClosed("a part that no tab holds".to_owned()));
        }
        Ok(Star {
            window,
            outer,
            contour,
            inner,
            arms,
        })
    }

    /// The tab behind each, counter-clockwise.
    fn pairs(&self) -> impl Iterator<Item = (&Arm, &Arm)> {
        let next = self.arms.iter().cycle().skip(1);
        self.arms.iter().zip(next)
    }

    /// Round contour and tabs, counter-clockwise.
    fn border(&self) -> Vec<Edge> {
        let mut round = Vec::new();
        for (arm, next) in self.pairs() {
            round.push(arm.sides[0].clone());
            let over = run(&self.outer, arm.outer[0], arm.outer[1]);
            round.extend(over.map(|k| self.outer[k].clone()));
            round.push(arm.sides[1].inverse());
            let beside = run(&self.inner, arm.inner[1], next.inner[0]);
            round.extend(beside.map(|k| self.inner[k].clone()));
        }
        round
    }

    fn pockets(&self) -> Vec<Pocket> {
        let pocket = |(arm, next): (&Arm, &Arm)| {
            let mut outline = Vec::new();
            let mut edges = Vec::new();
            for k in run(&self.outer, arm.outer[1], next.outer[0]) {
                outline.push(self.window[k]);
                edges.push(self.outer[k].clone());
            }
            let mut straight = |at: Place, edge: Edge| {
                outline.push(Corner { at, way: Way::Line });
                edges.push(edge);
            };
            straight(self.window[next.outer[0]].at, next.sides[0].inverse());
            let along: Vec<usize> = run(&self.inner, arm.inner[1], next.inner[0]).collect();
            for k in along.into_iter().rev() {
                let from = (k + 1) % self.contour.len();
                straight(self.contour[from].at, self.inner[k].inverse());
            }
            straight(self.contour[arm.inner[1]].at, arm.sides[1].clone());
            Pocket { outline, edges }
        };
        self.pairs().map(pocket).collect()
    }
}

/// Numbers of the edges of a ring from one corner to another.
fn run(ring: &[Edge], from: usize, to: usize) -> impl Iterator<Item = usize> + use<> {
    let count = ring.len();
    // From a corner round to itself is the whole ring: no tab is that narrow.
    let length = match (to + count - from) % count {
        0 => count,
        length => length,
    };
    (from..from + length).map(move |k| k % count)
}

/// An outline with a corner at each place, all of which lie on straight runs, and their numbers.
fn divided(outline: &[Corner], places: &[Place]) -> Result<(Vec<Corner>, Vec<usize>), NotClosed> {
    let count = outline.len();
    let mut runs: Vec<Vec<(f64, usize)>> = vec![Vec::new(); count];
    let mut at_corner: Vec<Option<usize>> = vec![None; places.len()];
    for (number, place) in places.iter().enumerate() {
        at_corner[number] = (0..count).find(|&k| gap(outline[k].at, *place) < NEAR);
        if at_corner[number].is_some() {
            continue;
        }
        let on = (0..count).find_map(|k| {
            let (p, q) = (outline[k].at, outline[(k + 1) % count].at);
            let (along, length) = ([q[0] - p[0], q[1] - p[1]], gap(p, q));
            let to = [place[0] - p[0], place[1] - p[1]];
            let far = (to[0] * along[0] + to[1] * along[1]) / length;
            let off = (to[0] * along[1] - to[1] * along[0]).abs() / length;
            let hit = outline[k].way == Way::Line && off < MODEL_TOLERANCE;
            (hit && far > 0.0 && far < length).then_some((k, far))
        });
        let (k, far) =
            on.ok_or_else(|| NotClosed(format!("a tab that ends off its run, at {place:?}")))?;
        runs[k].push((far, number));
    }
    let mut all = Vec::new();
    let mut numbers = vec![0; places.len()];
    for (k, mut run) in runs.into_iter().enumerate() {
        for (number, at) in at_corner.iter().enumerate() {
            if *at == Some(k) {
                numbers[number] = all.len();
            }
        }
        all.push(outline[k]);
        run.sort_by(|a, b| a.0.total_cmp(&b.0));
        for (_, number) in run {
            numbers[number] = all.len();
            all.push(Corner {
                at: places[number],
                way: Way::Line,
            });
        }
    }
    Ok((all, numbers))
}
