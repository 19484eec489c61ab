//! What roughing leaves of a part in its window: level passes of a flat cutter, each as far round a convex
//! contour that keeps an allowance for the last pass.
//!
//! The contour of a pass holds all of the part that lies over its bottom, less the allowance, so no wood is
//! cut nearer to the part than that. It is convex: what a thin finishing cutter finds between a rear face
//! and its ball a rough one, with an allowance on both sides, does not as a rule.

use truck_modeling::{InnerSpace, Point3};

use super::polygon::{Polygon, Side};
use super::window::{Ray, Window, leaves};
use crate::brep::shape::Half;
use crate::brep::terraces::Terraces;
use crate::brep::{NotClosed, openings};
use crate::mesh::tessellate;

/// Wood that roughing leaves for the last pass, mm (common practice, no source).
pub const ALLOWANCE: f64 = 0.5;
/// Depth of a pass of a rough cutter whose own is not in the shop file, mm (common practice, no source).
pub const USUAL_PASS: f64 = 3.0;
/// Shallower passes are drawn together, mm: each leaves no less wood than those it stands for.
const LEAST_PASS: f64 = 1.0;
/// Each contour stands out at least so far over the one before, mm: so that no two walls coincide.
const STEP: f64 = 0.05;
/// Directions of a contour's runs.
const DIRECTIONS: usize = 24;
/// The floor between the tabs is as thick as this part of the thinnest one, and so gives way first
/// (habit).
const FLOOR: f64 = 0.5;
/// Least distance of the last contour from the window, mm: less is no ring to cut.
const LEAST_RING: f64 = 0.1;
/// Deviation of the mesh that stands for a part, mm; contours are wider by as much.
const DEVIATION: f64 = 0.1;

/// Chords of the half circle of a mouth: within R (1 - cos(pi / 120)) of it, 0.01 mm of one of 29 mm.
const CHORDS: usize = 60;

/// Corners and triangles of a part's mesh, and the half circles in which its hollows open into the relief
/// groove: the wood in front of a hollow stays, too.
#[derive(Debug)]
pub struct Cloud {
    positions: Vec<[f64; 3]>,
    triangles: Vec<[u32; 3]>,
}

impl Cloud {
    /// Of a finished body without tabs.
    ///
    /// # Errors
    /// The mesher's.
    pub fn of(body: &Half) -> Result<Self, NotClosed> {
        let mesh = tessellate(body, DEVIATION)?;
        let mut cloud = Cloud {
            positions: mesh.positions,
            triangles: mesh.triangles,
        };
        for [a, b] in openings(body)? {
            cloud.disc(a, b);
        }
        Ok(cloud)
    }

    /// Adds the half disc over two points.
    fn disc(&mut self, a: Point3, b: Point3) {
        let (centre, first) = (a + (b - a) * 0.5, self.positions.len() as u32);
        let radius = (a - centre).magnitude();
        let place = |k: usize| {
            let t = std::f64::consts::PI * k as f64 / CHORDS as f64;
            let p = centre + (a - centre) * t.cos();
            [p.x, p.y, p.z + radius * t.sin()]
        };
        self.positions.extend((0..=CHORDS).map(place));
        let pieces = 1..CHORDS as u32;
        self.triangles
            .extend(pieces.map(|k| [first, first + k, first + k + 1]));
    }

    /// Places in plan whose hull holds all of it at a height or over it; `sign` is -1 where heights count
    /// downwards.
    fn over(&self, sign: f64, height: f64) -> Vec<[f64; 2]> {
        let at = |i: u32| self.positions[i as usize];
        let high = |i: u32| sign * at(i)[2] - height;
        let over = self.positions.iter().filter(|p| sign * p[2] >= height);
        let mut all: Vec<[f64; 2]> = over.map(|p| [p[0], p[1]]).collect();
        for t in &self.triangles {
            for (a, b) in [(t[0], t[1]), (t[1], t[2]), (t[2], t[0])] {
                let (from, to) = (high(a), high(b));
                if from >= 0.0 && to < 0.0 {
                    let (p, q, part) = (at(a), at(b), from / (from - to));
                    all.push([0, 1].map(|k: usize| p[k] + part * (q[k] - p[k])));
                }
            }
        }
        all
    }
}

/// How a part lies in the stock, seen from one face of it; heights are over the split plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Height {
    /// Seen from the face over the split plane, or from the one below.
    pub above: bool,
    /// The split plane over the face with the split faces, mm.
    pub split: f64,
    /// Thickness of the stock, mm.
    pub thickness: f64,
    /// Where the floor may begin: the floor of the relief groove, or the split plane, mm.
    pub foot: f64,
    /// Where the lowest and the highest tab end, mm.
    pub tabs: [f64; 2],
}

impl Height {
    /// Of the face of the stock.
    fn face(&self) -> f64 {
        if self.above {
            self.thickness - self.split
        } else {
            self.split
        }
    }

    /// Over the face with the split faces.
    fn at(&self, height: f64) -> f64 {
        match (self.above, height == self.face()) {
            (true, true) => self.thickness,
            (false, true) => 0.0,
            (true, false) => self.split + height,
            (false, false) => self.split - height,
        }
    }
}

/// The terraces of a part with its tabs' sides on one face of the stock; nothing where the window leaves
/// no ring to cut. `pass` is the depth of a pass, mm.
pub fn terraces(
    (cloud, tabs): (&Cloud, &[[Ray; 2]]),
    window: &Window,
    height: &Height,
    pass: f64,
) -> Option<Terraces> {
    let sign = if height.above { 1.0 } else { -1.0 };
    let over = |bottom: f64| cloud.over(sign, bottom - ALLOWANCE - DEVIATION);
    let (face, level) = (height.face(), height.tabs[1]);
    let passes = ((face - level) / pass.max(LEAST_PASS)).ceil().max(1.0);
    let mut from = face;
    let mut steps: Vec<(Vec<[f64; 2]>, f64)> = Vec::new();
    let mut last: Option<Polygon> = None;
    for k in 1..=passes as usize {
        let bottom = level + (face - level) * (1.0 - k as f64 / passes);
        let places = over(bottom);
        if places.is_empty() {
            from = bottom;
            continue;
        }
        let contour = contour(&places, last.as_ref())?;
        steps.push((contour.corners().collect(), height.at(bottom)));
        last = Some(contour);
    }
    let floor = height.foot + FLOOR * (height.tabs[0] - height.foot);
    let contour = contour(&over(floor), last.as_ref())?;
    let mut far = contour.corners().map(|p| window.core.distance(p));
    if steps.is_empty() || far.any(|d| d > window.width - LEAST_RING) {
        return None;
    }
    Some(Terraces {
        from: height.at(from),
        steps,
        arms: tabs.iter().map(|tab| arm(*tab, &contour, window)).collect(),
        contour: contour.corners().collect(),
        level: height.at(level),
        floor: height.at(floor),
    })
}

/// A tab from a contour to the window, its sides counter-clockwise.
fn arm(tab: [Ray; 2], contour: &Polygon, window: &Window) -> [[[f64; 2]; 2]; 2] {
    let sides = tab.map(|ray| {
        let border = leaves(ray, &window.core, window.width);
        [leaves(ray, contour, 0.0), border]
    });
    let [[foot, end], [_, other]] = sides;
    let (way, to) = (
        [end[0] - foot[0], end[1] - foot[1]],
        [other[0] - end[0], other[1] - end[1]],
    );
    if way[0] * to[1] - way[1] * to[0] > 0.0 {
        sides
    } else {
        [sides[1], sides[0]]
    }
}

/// The contour round places and the one before; nothing when it has no runs.
fn contour(places: &[[f64; 2]], before: Option<&Polygon>) -> Option<Polygon> {
    let support = |k: usize| {
        let a = std::f64::consts::TAU * k as f64 / DIRECTIONS as f64;
        let n = [a.cos(), a.sin()];
        let far = places.iter().map(|p| n[0] * p[0] + n[1] * p[1]);
        let own = far.fold(f64::NEG_INFINITY, f64::max) + ALLOWANCE + DEVIATION;
        (n, before.map_or(own, |w| own.max(w.support(n) + STEP)))
    };
    let supports: Vec<_> = (0..DIRECTIONS).map(support).collect();
    let polygon = Polygon::of_supports(&supports, &[]);
    let runs = |s: &Side| {
        let along = [-s.normal[1], s.normal[0]];
        along[0] * (s.to[0] - s.from[0]) + along[1] * (s.to[1] - s.from[1]) > STEP
    };
    let sound = polygon.sides().len() > 2 && polygon.sides().iter().all(runs);
    sound.then_some(polygon)
}
