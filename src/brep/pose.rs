//! Moving a finished half: quarter turns about the x axis, half a turn about the z axis, and a shift.
//!
//! Quarter turns are exact in floating point, so a posed solid is the same solid.

use truck_modeling::{Point3, Vector3, Vector4};

use super::shape::{Arc, Curve, Frame, Half, Surface};

/// A rigid motion, never a mirror.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pose {
    /// Quarter turns about the x axis, right-handed, 0 to 3.
    pub quarters: u8,
    /// Half a turn about the z axis after them.
    pub about_z: bool,
    /// Shift after the turns, mm.
    pub shift: [f64; 3],
}

impl Pose {
    /// No motion.
    pub const NONE: Pose = Pose {
        quarters: 0,
        about_z: false,
        shift: [0.0; 3],
    };

    fn cos_sin(self) -> (f64, f64) {
        match self.quarters % 4 {
            0 => (1.0, 0.0),
            1 => (0.0, 1.0),
            2 => (-1.0, 0.0),
            _ => (0.0, -1.0),
        }
    }

    /// A direction, turned.
    pub fn turn(self, [x, y, z]: [f64; 3]) -> [f64; 3] {
        let (c, s) = self.cos_sin();
        let half = self.half();
        [half * x, half * (c * y - s * z), s * y + c * z]
    }

    /// What half a turn about z does to x and y.
    fn half(self) -> f64 {
        if self.about_z { -1.0 } else { 1.0 }
    }

    /// A point, turned and shifted.
    pub fn apply(self, p: [f64; 3]) -> [f64; 3] {
        let q = self.turn(p);
        [0, 1, 2].map(|k| q[k] + self.shift[k])
    }

    /// The point that [`Pose::apply`] takes to `p`.
    pub fn undo(self, p: [f64; 3]) -> [f64; 3] {
        let [x, y, z] = [0, 1, 2].map(|k| p[k] - self.shift[k]);
        let (c, s) = self.cos_sin();
        let (x, y) = (self.half() * x, self.half() * y);
        [x, c * y + s * z, c * z - s * y]
    }

    /// Rows of the 4 x 4 matrix for column vectors.
    pub fn matrix(self) -> [[f64; 4]; 4] {
        let (c, s) = self.cos_sin();
        let h = self.half();
        let [x, y, z] = self.shift;
        [
            [h, 0.0, 0.0, x],
            [0.0, h * c, h * -s, y],
            [0.0, s, c, z],
            [0.0, 0.0, 0.0, 1.0],
        ]
    }

    fn point(self, p: Point3) -> Point3 {
        Point3::from(self.apply([p.x, p.y, p.z]))
    }

    fn vector(self, v: Vector3) -> Vector3 {
        Vector3::from(self.turn([v.x, v.y, v.z]))
    }

    fn control(self, p: Vector4) -> Vector4 {
        let q = self.apply([p.x / p.w, p.y / p.w, p.z / p.w]);
        Vector4::new(q[0] * p.w, q[1] * p.w, q[2] * p.w, p.w)
    }

    fn frame(self, f: Frame) -> Frame {
        Frame {
            origin: self.point(f.origin),
            x: self.vector(f.x),
            z: self.vector(f.z),
        }
    }

    fn curve(self, curve: &Curve) -> Curve {
        match curve {
            Curve::Line(a, b) => Curve::Line(self.point(*a), self.point(*b)),
            Curve::Arc(arc) => Curve::Arc(Arc {
                centre: self.point(arc.centre),
                a: self.vector(arc.a),
                b: self.vector(arc.b),
                range: arc.range,
            }),
            Curve::Spline(spline) => {
                let mut spline = spline.clone();
                spline.transform_control_points(|p| *p = self.control(*p));
                Curve::Spline(spline)
            }
        }
    }

    fn surface(self, surface: &Surface) -> Surface {
        match surface.clone() {
            Surface::Plane(f) => Surface::Plane(self.frame(f)),
            Surface::Sphere { frame, radius } => Surface::Sphere {
                frame: self.frame(frame),
                radius,
            },
            Surface::Cylinder { frame, radius } => Surface::Cylinder {
                frame: self.frame(frame),
                radius,
            },
            Surface::Cone {
                frame,
                radius,
                half_angle,
            } => Surface::Cone {
                frame: self.frame(frame),
                radius,
                half_angle,
            },
            Surface::Torus {
                frame,
                major,
                minor,
            } => Surface::Torus {
                frame: self.frame(frame),
                major,
                minor,
            },
            Surface::Spline(mut spline) => {
                spline.transform_control_points(|p| *p = self.control(*p));
                Surface::Spline(spline)
            }
        }
    }
}

/// The half in another pose.
pub fn posed(half: &Half, pose: Pose) -> Half {
    if pose == Pose::NONE {
        return half.clone();
    }
    let solid = half
        .solid
        .mapped(|p| pose.point(*p), |c| pose.curve(c), |s| pose.surface(s));
    Half {
        solid,
        kinds: half.kinds.clone(),
    }
}
