//! Contour, tabs and window in the level plane of the tabs' outer faces: how they are divided where tabs
//! leave the one and reach the other.

use super::pocket::ring;
use super::shape::Edge;
use super::terraces::{Place, Terraces};
use super::weave::{NotClosed, line};
use crate::skin::MODEL_TOLERANCE;
use crate::skin::plan::{Corner, Way, gap};

/// A place nearer to a corner of a contour is taken to be that corner, mm: no edge is shorter.
const NEAR: f64 = 1e-3;

/// A contour as an outline of straight runs.
pub(super) fn straight(contour: &[Place]) -> Vec<Corner> {
    let corner = |&at: &Place| Corner { at, way: Way::Line };
    contour.iter().map(corner).collect()
}

/// Contour, tabs and window at the height of the tabs' outer face.
pub(super) struct Star {
    /// The window with a corner at every side of a tab, and its edges.
    pub window: Vec<Corner>,
    pub outer: Vec<Edge>,
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
pub(super) struct Pocket {
    pub outline: Vec<Corner>,
    pub edges: Vec<Edge>,
}

impl Star {
    /// Of a part's terraces and the border of its window.
    ///
    /// # Errors
    /// [`NotClosed`] when a tab does not end on straight runs, or there is none.
    pub fn of(own: &Terraces, window: &[Corner]) -> Result<Self, NotClosed> {
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
    pub fn border(&self) -> Vec<Edge> {
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

    /// The hollows between the tabs.
    pub fn pockets(&self) -> Vec<Pocket> {
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
