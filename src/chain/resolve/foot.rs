//! The outline at the split plane as plates and tabs see it while the creature is resolved. The
//! rim's rulings come later and differ a little beside flat ends; exact distances are measured
//! then.

use crate::chain::feature::PlateCorner;
use crate::chain::form::{Side, Station};
use crate::chain::half::HalfStation;
use crate::chain::outline::{Outline, ROUND_ZONE};

/// The foot of the outer form at y < 0.
pub(super) struct FootLine {
    /// Length between the end datums.
    pub length: f64,
    /// Least and greatest x of the outline.
    pub ends: (f64, f64),
    /// Where the rim's rulings are straight, along x: not beside a domed end.
    pub straight: (f64, f64),
    outline: Outline,
}

impl FootLine {
    /// Of at least two stations; `closed` and `domed` say which ends are.
    pub fn of(length: f64, stations: &[Station], closed: [bool; 2], domed: [bool; 2]) -> Self {
        let halves: Vec<HalfStation> = stations
            .iter()
            .map(|s| HalfStation::of(s, Side::Upper))
            .collect();
        let last = stations.len() - 1;
        let ends = (stations[0].x, stations[last].x);
        let zone = |end: usize, inner: usize| {
            let reach = ROUND_ZONE * stations[end].half_width;
            reach.min((stations[inner].x - stations[end].x).abs())
        };
        FootLine {
            length,
            ends,
            straight: (
                ends.0 + if domed[0] { zone(0, 1) } else { 0.0 },
                ends.1 - if domed[1] { zone(last, last - 1) } else { 0.0 },
            ),
            outline: Outline::through(&halves, closed),
        }
    }

    /// Half width at x, and its slope by x.
    pub fn half_width(&self, x: f64) -> (f64, f64) {
        let (v, d) = self.outline.at(self.outline.u_of_x(x));
        (
            v[1],
            if d[0] > 0.0 {
                d[1] / d[0]
            } else {
                f64::INFINITY
            },
        )
    }

    /// The foot in plan.
    pub fn foot(&self, x: f64) -> [f64; 2] {
        [x, -self.half_width(x).0]
    }

    /// The corners of a plate in plan, between the feet of its first and its last.
    pub fn path(&self, corners: &[PlateCorner]) -> Vec<[f64; 2]> {
        let foot = |c: Option<&PlateCorner>| c.map(|c| self.foot(c.x));
        let out = corners.iter().map(|c| self.out(c.x, c.out));
        let all = foot(corners.first()).into_iter().chain(out);
        all.chain(foot(corners.last())).collect()
    }

    /// The place so far out of the foot along the plan normal.
    pub fn out(&self, x: f64, far: f64) -> [f64; 2] {
        let (width, slope) = self.half_width(x);
        let size = slope.hypot(1.0);
        let (sin, cos) = if slope.is_finite() {
            (slope / size, 1.0 / size)
        } else {
            (slope.signum(), 0.0)
        };
        [x - far * sin, -width - far * cos]
    }
}

/// The turn of a path at each of its inner points, radians.
pub(super) fn turns(path: &[[f64; 2]]) -> Vec<f64> {
    let turn = |p: &[[f64; 2]]| {
        let (a, b) = (sub(p[1], p[0]), sub(p[2], p[1]));
        (a[0] * b[1] - a[1] * b[0]).atan2(a[0] * b[0] + a[1] * b[1])
    };
    path.windows(3).map(turn).collect()
}

/// From b to a.
pub(super) fn sub(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    [a[0] - b[0], a[1] - b[1]]
}
