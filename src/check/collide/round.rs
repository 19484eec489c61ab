//! Bounds in coordinates about an axis: what a turn keeps, and the angle that it shifts.

use std::f64::consts::TAU;

use nalgebra::{Vector2, Vector3};

use super::TOUCH;
use super::poised::{Bounds, to_segment};

/// Angles are widened by this on both sides, radians: rounding, far over that of arc tangents.
const ANGLE_NOISE: f64 = 1e-9;

/// An axis through the origin with two directions across it, right-handed.
pub(super) struct Axis {
    pub(super) along: Vector3<f64>,
    x: Vector3<f64>,
    y: Vector3<f64>,
}

/// Bounds about an axis.
#[derive(Debug, Clone, Copy)]
pub(super) struct Round {
    /// Along the axis, from the axis and from the origin, mm: least and greatest. No turn changes
    /// them.
    kept: [[f64; 2]; 3],
    /// Angle about the axis, radians; a whole turn when the axis passes through.
    angle: [f64; 2],
}

impl Axis {
    /// The axis along a vector of any length but 0.
    pub(super) fn new(along: Vector3<f64>) -> Axis {
        let along = along.normalize();
        // Across: y if it is not nearly along, else x, less the part along.
        let aim = if along.y.abs() < 0.9 {
            Vector3::y()
        } else {
            Vector3::x()
        };
        let x = (aim - along * along.dot(&aim)).normalize();
        let y = along.cross(&x);
        Axis { along, x, y }
    }

    /// Direction across the axis at an angle about it.
    pub(super) fn across(&self, angle: f64) -> Vector3<f64> {
        self.x * angle.cos() + self.y * angle.sin()
    }

    /// A point turned about the axis by an angle given as (sine, cosine).
    pub(super) fn turn(&self, p: &Vector3<f64>, (sin, cos): (f64, f64)) -> Vector3<f64> {
        let kept = self.along * self.along.dot(p);
        kept + (p - kept) * cos + self.along.cross(p) * sin
    }

    fn flat(&self, p: &Vector3<f64>) -> Vector2<f64> {
        Vector2::new(self.x.dot(p), self.y.dot(p))
    }

    /// Bounds of a box: seen along the axis, it lies in a rectangle that points to the axis.
    pub(super) fn round_box(&self, bounds: &Bounds) -> Round {
        let middle = (bounds.lo + bounds.hi) * 0.5;
        let half = (bounds.hi - bounds.lo) * 0.5;
        let reach = |d: &Vector3<f64>| half.dot(&d.abs());
        let flat = self.flat(&middle);
        let away = flat.norm();
        let out = if away > TOUCH {
            (self.x * flat.x + self.y * flat.y) / away
        } else {
            self.x
        };
        let (deep, wide) = (reach(&out), reach(&self.along.cross(&out)));
        let height = self.along.dot(&middle);
        let tall = reach(&self.along);
        let near = away - deep;
        let angle = if near > TOUCH {
            let (own, half) = (flat.y.atan2(flat.x), wide.atan2(near));
            [own - half, own + half]
        } else {
            [0.0, TAU]
        };
        let from_axis = [near.max(0.0), (away + deep).hypot(wide)];
        Round::new([height - tall, height + tall], from_axis, bounds.far, angle)
    }

    /// Bounds of a triangle, sharp.
    pub(super) fn round_triangle(&self, t: &[Vector3<f64>; 3], far: [f64; 2]) -> Round {
        let heights = t.map(|p| self.along.dot(&p));
        let flat = t.map(|p| self.flat(&p));
        let most = flat.iter().map(Vector2::norm_squared).fold(0.0, f64::max);
        let least = from_axis(&flat);
        let angle = if least > TOUCH {
            // A triangle beside the axis is seen under less than half a turn.
            let middle = flat[0] + flat[1] + flat[2];
            let own = middle.y.atan2(middle.x);
            let beside = flat.map(|p| middle.perp(&p).atan2(middle.dot(&p)));
            [own + min(beside), own + max(beside)]
        } else {
            [0.0, TAU]
        };
        Round::new(
            [min(heights), max(heights)],
            [least, most.sqrt()],
            far,
            angle,
        )
    }
}

impl Round {
    fn new(height: [f64; 2], from_axis: [f64; 2], far: [f64; 2], angle: [f64; 2]) -> Round {
        let kept = [height, from_axis, far].map(|[lo, hi]| [lo - TOUCH, hi + TOUCH]);
        // What two touching points lie apart turns by more near the axis.
        let wide = ANGLE_NOISE + 2.0 * TOUCH / from_axis[0].max(TOUCH);
        Round {
            kept,
            angle: [angle[0] - wide, angle[1] + wide],
        }
    }

    /// Lower bound of the angle by which `moving` turns until it meets `self`; `None` when no
    /// turn brings them together.
    #[inline]
    pub(super) fn gap(&self, moving: &Round) -> Option<f64> {
        let shared = |k: usize| {
            (self.kept[k][0] <= moving.kept[k][1]) & (moving.kept[k][0] <= self.kept[k][1])
        };
        if !(shared(0) & shared(1) & shared(2)) {
            return None;
        }
        let (least, most) = (
            self.angle[0] - moving.angle[1],
            self.angle[1] - moving.angle[0],
        );
        let turned = least.rem_euclid(TAU);
        Some(if turned + (most - least) >= TAU {
            0.0
        } else {
            turned
        })
    }
}

/// Distance of a triangle in the plane from the origin; 0 when it holds it.
fn from_axis(t: &[Vector2<f64>; 3]) -> f64 {
    let mut least = f64::INFINITY;
    let (mut left, mut right) = (true, true);
    for k in 0..3 {
        let (a, b) = (t[k], t[(k + 1) % 3]);
        least = least.min(to_segment(&a, &b));
        let side = a.perp(&b);
        left &= side >= 0.0;
        right &= side <= 0.0;
    }
    // Seen edge on, all three sides are 0: the distance decides.
    let area = (t[1] - t[0]).perp(&(t[2] - t[0]));
    if (left || right) && area != 0.0 {
        0.0
    } else {
        least.sqrt()
    }
}

fn min([a, b, c]: [f64; 3]) -> f64 {
    a.min(b).min(c)
}

fn max([a, b, c]: [f64; 3]) -> f64 {
    a.max(b).max(c)
}
