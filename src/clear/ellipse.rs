//! An ellipse in its plane: where a flare or a neck meets a tilted end.

use nalgebra::{Point3, Vector3};

use super::convex::{Convex, Curved};

/// Rounds of Newton's method; some 10 are usual, near the long axis up to 60.
const ROUNDS: usize = 100;

/// An ellipse; as a [`Convex`] solid the endless cylinder over it, so that for points of its
/// plane the signed distance is that in the plane.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ellipse {
    /// Centre.
    pub centre: Point3<f64>,
    /// Unit directions of the two axes, at right angles.
    pub axes: [Vector3<f64>; 2],
    /// Semi-axes, mm, above 0.
    pub radii: [f64; 2],
}

/// The nearest point of the outline.
pub(super) struct Foot {
    pub point: Point3<f64>,
    /// Unit, outwards in the ellipse's plane.
    pub normal: Vector3<f64>,
}

impl Ellipse {
    fn local(&self, p: &Point3<f64>) -> [f64; 2] {
        let v = p - self.centre;
        self.axes.map(|axis| v.dot(&axis))
    }

    fn global(&self, [x, y]: [f64; 2]) -> Vector3<f64> {
        self.axes[0] * x + self.axes[1] * y
    }

    /// Whether the foot of `p` on the ellipse's plane lies inside.
    pub(super) fn holds(&self, p: &Point3<f64>) -> bool {
        let [x, y] = self.local(p);
        (x / self.radii[0]).hypot(y / self.radii[1]) <= 1.0
    }

    /// The foot of `p` on the ellipse's plane.
    pub(super) fn flat(&self, p: &Point3<f64>) -> Point3<f64> {
        self.centre + self.global(self.local(p))
    }

    /// The point of the outline nearest to `p`'s foot on the plane. With q the nearest point and
    /// t its distance along (q / radii^2), q = radii^2 p / (t + radii^2); t is the largest root
    /// of a convex falling function, which Newton's method meets from the left (derived).
    pub(super) fn foot(&self, p: &Point3<f64>) -> Foot {
        let [a, b] = self.radii;
        let local = self.local(p);
        // Off the axes by a hair, so that no case is special.
        let x = local[0].abs().max(1e-12 * a);
        let y = local[1].abs().max(1e-12 * b);
        let mut t = (a * x - a * a).max(b * y - b * b);
        for _ in 0..ROUNDS {
            let (u, v) = (a * x / (t + a * a), b * y / (t + b * b));
            let value = u * u + v * v - 1.0;
            let step = 0.5 * value / (u * u / (t + a * a) + v * v / (t + b * b));
            if step <= 1e-15 * a * b {
                break;
            }
            t += step;
        }
        let q = [a * a * x / (t + a * a), b * b * y / (t + b * b)];
        let scale = (q[0] / a).hypot(q[1] / b);
        let q = [
            (q[0] / scale).copysign(local[0]),
            (q[1] / scale).copysign(local[1]),
        ];
        let normal = self.global([q[0] / (a * a), q[1] / (b * b)]).normalize();
        Foot {
            point: self.centre + self.global(q),
            normal,
        }
    }

    /// The point furthest along `direction`; the centre when it has no part in the plane.
    pub(super) fn support(&self, direction: &Vector3<f64>) -> Point3<f64> {
        let [a, b] = self.radii;
        let [x, y] = self.axes.map(|axis| direction.dot(&axis));
        let long = (a * x).hypot(b * y);
        if long <= 1e-10 * direction.norm() * a {
            return self.centre;
        }
        self.centre + self.global([a * a * x / long, b * b * y / long])
    }
}

impl Convex for Ellipse {
    fn signed_distance(&self, p: &Point3<f64>) -> (f64, Vector3<f64>) {
        let foot = self.foot(p);
        ((p - foot.point).dot(&foot.normal), foot.normal)
    }

    /// Distance from the circle that touches at the foot and holds the ellipse: that of its
    /// flattest place (Blaschke: a curve fits into a circle of its least curvature).
    fn curved(&self, p: &Point3<f64>) -> Option<Curved> {
        let [a, b] = self.radii;
        let radius = a.max(b).powi(2) / a.min(b);
        let foot = self.foot(p);
        Some(Curved {
            centre: foot.point - foot.normal * radius,
            axis: Some(self.axes[0].cross(&self.axes[1])),
            slope: 1.0,
            linear: Vector3::zeros(),
            constant: -radius,
        })
    }
}
