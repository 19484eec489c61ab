//! A model of a section's wood, for placing pins: the smooth outline of each half, with plain
//! superellipses leaned over it. The skin's patches come later and differ a little near ends and
//! in how the lean blends; a margin covers that and the directions looked along. The exact
//! distances are measured later.

use crate::chain::form::{Side, Station};
use crate::chain::half::HalfStation;
use crate::chain::outline::Outline;

/// What the model may hide, mm.
const MARGIN: f64 = 0.3;

/// The wood of a section.
#[derive(Clone)]
pub(super) struct Wood {
    /// Upper and lower half.
    halves: [Outline; 2],
    /// Least and greatest x of the outline.
    ends: (f64, f64),
    rim: f64,
    lean: f64,
}

impl Wood {
    /// Of at least two stations; `closed` says which ends are.
    pub fn new(stations: &[Station], closed: [bool; 2], rim: f64, lean: f64) -> Self {
        let half = |side: Side| {
            let stations = stations.iter().map(|s| HalfStation::of(s, side));
            Outline::through(&stations.collect::<Vec<_>>(), closed)
        };
        let x = |s: Option<&Station>| s.map_or(0.0, |s| s.x);
        Wood {
            halves: [Side::Upper, Side::Lower].map(half),
            ends: (x(stations.first()), x(stations.last())),
            rim,
            lean,
        }
    }

    /// Whether a point of a half lies in the wood (z >= 0 in both halves). The lean has moved it
    /// along x by up to its height times the lean, either way: the wood must be there in all.
    fn holds(&self, side: Side, [x, y, z]: [f64; 3]) -> bool {
        let inset = z * self.lean.tan();
        if x - inset < self.ends.0 || x + inset > self.ends.1 {
            return false;
        }
        [-inset, 0.0, inset]
            .into_iter()
            .all(|moved| self.covers(side, x + moved, y, z))
    }

    /// Whether the section at x, leaned inwards, covers a point.
    fn covers(&self, side: Side, x: f64, y: f64, z: f64) -> bool {
        let outline = &self.halves[usize::from(side == Side::Lower)];
        let ([_, half_width, height, n], _) = outline.at(outline.u_of_x(x));
        let reach = half_width - z * self.lean.tan();
        if z <= self.rim {
            return y.abs() <= reach;
        }
        if reach <= 0.0 || height <= self.rim {
            return false;
        }
        (y.abs() / reach).powf(n) + ((z - self.rim) / (height - self.rim)).powf(n) <= 1.0
    }

    /// At least so high does the wood of a half stand over a place in plan, mm.
    pub fn top(&self, side: Side, [x, y]: [f64; 2]) -> f64 {
        let (mut wood, mut air) = (0.0, 1.0);
        while self.holds(side, [x, y, air]) {
            (wood, air) = (air, 2.0 * air);
        }
        while air - wood > 0.01 {
            let middle = 0.5 * (wood + air);
            if self.holds(side, [x, y, middle]) {
                wood = middle;
            } else {
                air = middle;
            }
        }
        wood - MARGIN
    }

    /// Whether a hole with its floor at `depth` keeps `wall` of wood all round and under it.
    pub fn takes(&self, side: Side, hole: &Hole, depth: f64, wall: f64) -> bool {
        let wall = wall + MARGIN;
        (0..8).all(|k| {
            let (sin, cos) = (f64::from(k) * 45f64.to_radians()).sin_cos();
            // A slotted hole is two half circles, drawn apart along x.
            let apart = if k % 4 == 2 { 0.0 } else { cos.signum() };
            let x = hole.x + hole.radius * cos + 0.5 * hole.slot * apart;
            let y = hole.y + hole.radius * sin;
            (0..4).all(|j| {
                let (up, out) = (f64::from(j) * 30f64.to_radians()).sin_cos();
                let point = [
                    x + wall * out * cos,
                    y + wall * out * sin,
                    depth + wall * up,
                ];
                self.holds(side, point)
            })
        })
    }

    /// Deepest floor up to `most` that keeps the wall, to 0.1 mm downwards; `None` below
    /// `least`.
    pub fn deepest(
        &self,
        side: Side,
        hole: &Hole,
        wall: f64,
        least: f64,
        most: f64,
    ) -> Option<f64> {
        if !self.takes(side, hole, least, wall) {
            return None;
        }
        if self.takes(side, hole, most, wall) {
            return Some(most);
        }
        let (mut kept, mut broken) = (least, most);
        while broken - kept > 0.01 {
            let middle = 0.5 * (kept + broken);
            if self.takes(side, hole, middle, wall) {
                kept = middle;
            } else {
                broken = middle;
            }
        }
        Some(((kept * 10.0).floor() / 10.0).max(least))
    }
}

/// A hole to be placed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Hole {
    pub x: f64,
    pub y: f64,
    pub radius: f64,
    pub slot: f64,
}
