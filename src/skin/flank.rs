//! One long side of the outer form: where a plate or a tab stands on the rim.
//!
//! Everything is written for the rim at y < 0; a caller turns the sign of y for the other side.
//! Rulings of the rim are straight and its lines of equal height are lines of equal v, but for the
//! span beside a domed end, where the rim bends into the dome's circle.

use super::Skin;
use super::patch::{Patch, breaks};
use crate::chain::{EndFace, HalfForm, Outline};

/// Below this shift in plan over the rim's height, mm, a ruling counts as upright.
const UPRIGHT: f64 = 1e-9;

/// The rim at y < 0 with its outline.
#[derive(Debug, Clone)]
pub struct RimSide {
    /// The rim; u from front to rear, v from the split plane up.
    pub patch: Patch,
    /// Height of the rim, mm.
    pub height: f64,
    outline: Outline,
    /// Where the rulings are straight, along u.
    pub straight: (f64, f64),
}

impl RimSide {
    /// The rim of a half.
    pub fn of(half: &HalfForm, skin: &Skin) -> Self {
        let knots = breaks(&skin.rim.u_knots);
        let last = knots.len() - 1;
        let domed = |end: EndFace| matches!(end, EndFace::Domed { .. });
        let inside = |is: bool, end: usize, inner: usize| knots[if is { inner } else { end }];
        RimSide {
            patch: skin.rim.clone(),
            height: half.rim,
            outline: Outline::of(half),
            straight: (
                inside(domed(half.front.face), 0, 1),
                inside(domed(half.rear.face), last, last - 1),
            ),
        }
    }

    /// Parameter of the foot at x on the split plane.
    pub fn u_of_x(&self, x: f64) -> f64 {
        self.outline.u_of_x(x)
    }

    /// Where the rulings are straight, along x on the split plane, mm.
    pub fn straight_x(&self) -> (f64, f64) {
        let x = |u: f64| self.outline.at(u).0[0];
        (x(self.straight.0), x(self.straight.1))
    }

    /// The parameter v of a height where rulings are straight. On the rational rim beside a dome
    /// z / rim = (c v (1 - v) + v^2) / (1 - 2 (1 - c) v (1 - v)), c the weight of its middle
    /// column (derived).
    pub fn v_of_z(&self, z: f64) -> f64 {
        let part = z / self.height;
        if self.patch.v_degree == 1 {
            return part;
        }
        let c = self.patch.weights[1];
        let d = 1.0 - c;
        let (a, b) = (d * (1.0 - 2.0 * part), c + 2.0 * d * part);
        // a v^2 + b v - part = 0, the root from 0 to 1 without cancellation.
        2.0 * part / (b + (b * b + 4.0 * a * part).sqrt())
    }

    /// The point over the foot's ruling at a height.
    pub fn point(&self, u: f64, z: f64) -> [f64; 3] {
        let p = self.patch.jet(u, self.v_of_z(z)).p;
        [p[0], p[1], z]
    }

    /// Unit vector in plan out of the body, in the vertical plane through the ruling; the plan
    /// normal where the ruling is upright.
    pub fn outwards(&self, u: f64) -> [f64; 2] {
        let (foot, top) = (self.patch.jet(u, 0.0), self.point(u, self.height));
        let lean = [foot.p[0] - top[0], foot.p[1] - top[1]];
        let size = lean[0].hypot(lean[1]);
        if size > UPRIGHT {
            return lean.map(|c| c / size);
        }
        // Along the outline to the rear the body lies to the left.
        let along = foot.du[0].hypot(foot.du[1]);
        [foot.du[1] / along, -foot.du[0] / along]
    }

    /// Foot of the outline at u, in plan.
    pub fn foot(&self, u: f64) -> [f64; 2] {
        let p = self.patch.jet(u, 0.0).p;
        [p[0], p[1]]
    }

    /// The place so far out of the foot.
    pub fn out(&self, u: f64, far: f64) -> [f64; 2] {
        let (foot, way) = (self.foot(u), self.outwards(u));
        [foot[0] + far * way[0], foot[1] + far * way[1]]
    }
}
