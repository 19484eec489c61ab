//! A rough model of a section's wood, for placing pins: straight lines between stations. The
//! true skin is smooth; a margin covers the difference, and the exact distances are measured
//! later.

use crate::chain::form::{Side, Station};

/// What the straight model may hide, mm.
const MARGIN: f64 = 0.3;

/// The wood of a section.
pub(super) struct Wood<'a> {
    pub stations: &'a [Station],
    pub rim: f64,
    pub lean: f64,
}

impl Wood<'_> {
    /// Sizes at x; `None` beyond the ends.
    fn at(&self, x: f64) -> Option<Station> {
        let k = self.stations.partition_point(|s| s.x <= x);
        let (a, b) = (self.stations.get(k.checked_sub(1)?)?, self.stations.get(k)?);
        let t = (x - a.x) / (b.x - a.x);
        let mix = |a: f64, b: f64| a + t * (b - a);
        Some(Station {
            x,
            half_width: mix(a.half_width, b.half_width),
            above: mix(a.above, b.above),
            below: mix(a.below, b.below),
            squareness: mix(a.squareness, b.squareness),
        })
    }

    /// Whether a point of a half lies in the wood (z >= 0 in both halves).
    fn holds(&self, side: Side, [x, y, z]: [f64; 3]) -> bool {
        let lean = self.lean.tan();
        // The ends lean inwards as they rise.
        let inset = z * lean;
        let (Some(first), Some(last)) = (self.stations.first(), self.stations.last()) else {
            return false;
        };
        if x - inset < first.x || x + inset > last.x {
            return false;
        }
        let Some(s) = self.at(x) else { return false };
        let height = match side {
            Side::Upper => s.above,
            Side::Lower => s.below,
        };
        let top = s.half_width - self.rim * lean;
        if z <= self.rim {
            return y.abs() <= s.half_width - z * lean;
        }
        if top <= 0.0 || height <= self.rim {
            return false;
        }
        let n = s.squareness;
        (y.abs() / top).powf(n) + ((z - self.rim) / (height - self.rim)).powf(n) <= 1.0
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
