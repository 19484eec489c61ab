//! A socket up to its mouth: a ball cut by a plane.

use nalgebra::{Point3, Vector3};

use super::DIRECTION_FLOOR;
use super::convex::{Compact, Convex, Curved, perpendicular};
use super::solids::{disc_support, polar, polar_across};

/// The part of a ball that lies behind a plane in front of its centre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bowl {
    /// Centre of the ball.
    pub centre: Point3<f64>,
    /// Radius of the ball, mm.
    pub radius: f64,
    /// Unit axis, from the centre to the mouth.
    pub axis: Vector3<f64>,
    /// From the centre to the mouth's plane, mm, 0 up to the radius.
    pub mouth: f64,
}

/// A place seen along the axis.
struct Meridian {
    r: f64,
    out: Vector3<f64>,
    h: f64,
    /// Distance from the centre, and direction.
    far: f64,
    away: Vector3<f64>,
}

impl Bowl {
    /// Radius of the mouth circle, mm.
    pub fn mouth_radius(&self) -> f64 {
        ((self.radius - self.mouth) * (self.radius + self.mouth))
            .max(0.0)
            .sqrt()
    }

    fn mouth_centre(&self) -> Point3<f64> {
        self.centre + self.axis * self.mouth
    }

    /// Whether the point nearest to the ball's centre along `away` (unit) is part of the bowl.
    pub(super) fn keeps(&self, away: &Vector3<f64>) -> bool {
        self.radius * away.dot(&self.axis) <= self.mouth
    }

    fn meridian(&self, p: &Point3<f64>) -> Meridian {
        let v = p - self.centre;
        let h = v.dot(&self.axis);
        let flat = v - self.axis * h;
        let (r, out) = polar_across(&flat, &self.axis, || perpendicular(&self.axis));
        let (far, away) = polar(&v, || -self.axis);
        Meridian {
            r,
            out,
            h,
            far,
            away,
        }
    }

    /// Signed distance with its gradient in (r, h); none for the gradient where the ball's own
    /// applies.
    fn section(&self, m: &Meridian) -> (f64, Option<[f64; 2]>) {
        let (ball, plane) = (m.far - self.radius, m.h - self.mouth);
        if ball <= 0.0 && plane <= 0.0 {
            return if ball >= plane {
                (ball, None)
            } else {
                (plane, Some([0.0, 1.0]))
            };
        }
        if ball > 0.0 && self.keeps(&m.away) {
            return (ball, None);
        }
        let (dr, dh) = (m.r - self.mouth_radius(), plane);
        if dr <= 0.0 {
            return (plane, Some([0.0, 1.0]));
        }
        let distance = dr.hypot(dh);
        if distance > DIRECTION_FLOOR {
            (distance, Some([dr / distance, dh / distance]))
        } else {
            (distance, None)
        }
    }
}

impl Convex for Bowl {
    fn signed_distance(&self, p: &Point3<f64>) -> (f64, Vector3<f64>) {
        let m = self.meridian(p);
        match self.section(&m) {
            (distance, None) => (distance, m.away),
            (distance, Some([gr, gh])) => (distance, m.out * gr + self.axis * gh),
        }
    }

    fn curved(&self, p: &Point3<f64>) -> Option<Curved> {
        let m = self.meridian(p);
        let (distance, gradient) = self.section(&m);
        let Some([gr, gh]) = gradient else {
            // The whole ball is no farther than its part.
            return Some(Curved {
                centre: self.centre,
                axis: None,
                slope: 1.0,
                linear: Vector3::zeros(),
                constant: -self.radius,
            });
        };
        let linear = self.axis * gh;
        Some(Curved {
            centre: self.centre,
            axis: Some(self.axis),
            slope: gr.max(0.0),
            linear,
            constant: distance - gr * m.r - gh * m.h - linear.dot(&self.centre.coords),
        })
    }
}

impl Compact for Bowl {
    fn core_support(&self, direction: &Vector3<f64>) -> Point3<f64> {
        let unit = direction.try_normalize(0.0).unwrap_or_else(|| -self.axis);
        if self.keeps(&unit) {
            self.centre + unit * self.radius
        } else {
            disc_support(
                &self.mouth_centre(),
                &self.axis,
                self.mouth_radius(),
                direction,
            )
        }
    }

    fn farthest(&self, from: &Point3<f64>) -> Point3<f64> {
        let away = polar(&(self.centre - from), || -self.axis).1;
        if self.keeps(&away) {
            return self.centre + away * self.radius;
        }
        let centre = self.mouth_centre();
        let v = centre - from;
        let across = v - self.axis * v.dot(&self.axis);
        centre + polar(&across, || perpendicular(&self.axis)).1 * self.mouth_radius()
    }
}
