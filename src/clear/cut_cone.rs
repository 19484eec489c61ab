//! A flare up to a tilted end: a cone between its mouth circle and a slanting plane.

use nalgebra::{Point3, Vector3};

use super::DIRECTION_FLOOR;
use super::convex::{Compact, Convex, Curved, perpendicular};
use super::ellipse::Ellipse;
use super::solids::{Frustum, disc_support};

/// The hull of a circle and an ellipse that lie on one cone about the circle's axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CutCone {
    /// The cone from the circle to beyond the plane everywhere.
    pub cone: Frustum,
    /// Where the plane cuts the cone.
    pub edge: Ellipse,
    /// Unit normal of the plane, out of the solid.
    pub normal: Vector3<f64>,
}

impl CutCone {
    fn beyond(&self, p: &Point3<f64>) -> f64 {
        (p - self.edge.centre).dot(&self.normal)
    }

    /// The point of the ellipse's disc that is nearest to `p`.
    fn on_disc(&self, p: &Point3<f64>) -> Point3<f64> {
        if self.edge.holds(p) {
            self.edge.flat(p)
        } else {
            self.edge.foot(p).point
        }
    }

    /// Signed distance, gradient, and whether they are the uncut cone's. Where the nearest point
    /// of the uncut cone is cut off, the nearest point lies in the plane.
    fn nearest(&self, p: &Point3<f64>) -> (f64, Vector3<f64>, bool) {
        let (cone, gradient) = self.cone.signed_distance(p);
        let beyond = self.beyond(p);
        if cone <= 0.0 && beyond <= 0.0 {
            return if cone >= beyond {
                (cone, gradient, true)
            } else {
                (beyond, self.normal, false)
            };
        }
        if cone > 0.0 && self.beyond(&(p - gradient * cone)) <= 0.0 {
            return (cone, gradient, true);
        }
        let v = p - self.on_disc(p);
        let distance = v.norm();
        if distance > DIRECTION_FLOOR {
            (distance, v / distance, false)
        } else {
            (distance, self.normal, false)
        }
    }
}

impl Convex for CutCone {
    fn signed_distance(&self, p: &Point3<f64>) -> (f64, Vector3<f64>) {
        let (distance, gradient, _) = self.nearest(p);
        (distance, gradient)
    }

    fn curved(&self, p: &Point3<f64>) -> Option<Curved> {
        // The uncut cone is no farther than its part.
        self.nearest(p).2.then(|| self.cone.curved(p)).flatten()
    }
}

impl Compact for CutCone {
    fn core_support(&self, direction: &Vector3<f64>) -> Point3<f64> {
        let Frustum {
            base,
            axis,
            base_radius,
            ..
        } = self.cone;
        let mouth = disc_support(&base, &axis, base_radius, direction);
        let edge = self.edge.support(direction);
        if edge.coords.dot(direction) > mouth.coords.dot(direction) {
            edge
        } else {
            mouth
        }
    }

    /// Of the mouth circle exactly, of the ellipse by trying: 64 places, then ever finer.
    fn farthest(&self, from: &Point3<f64>) -> Point3<f64> {
        let Frustum {
            base,
            axis,
            base_radius,
            ..
        } = self.cone;
        let v = base - from;
        let across = v - axis * v.dot(&axis);
        let out = across
            .try_normalize(DIRECTION_FLOOR)
            .unwrap_or_else(|| perpendicular(&axis));
        let mouth = base + out * base_radius;
        let at = |angle: f64| {
            self.edge.centre
                + self.edge.axes[0] * (self.edge.radii[0] * angle.cos())
                + self.edge.axes[1] * (self.edge.radii[1] * angle.sin())
        };
        let far = |angle: f64| (at(angle) - from).norm_squared();
        let mut step = std::f64::consts::TAU / 64.0;
        let mut best = (0..64)
            .map(|k| f64::from(k) * step)
            .fold(0.0, |best, a| if far(a) > far(best) { a } else { best });
        while step > 1e-9 {
            step *= 0.5;
            for angle in [best - step, best + step] {
                if far(angle) > far(best) {
                    best = angle;
                }
            }
        }
        if far(best) > (mouth - from).norm_squared() {
            at(best)
        } else {
            mouth
        }
    }
}
