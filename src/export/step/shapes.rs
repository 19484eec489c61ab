//! Points, placements, curves and surfaces as records (ISO 10303-42).

use super::part21::{Id, Part21};
use super::spline;
use crate::brep::shape::{Arc, Curve, Frame, Surface};
use std::collections::HashMap;
use truck_modeling::{InnerSpace, Point3, Vector3};

/// Semi-axes closer than this, in mm, are one radius. Below the model tolerance of 1e-7 mm
/// by far, so an ellipse is never hidden by it.
const SAME_RADIUS: f64 = 1e-10;

/// Adds geometry to a file and writes equal points and directions once.
pub(super) struct Shapes<'a> {
    pub(super) p: &'a mut Part21,
    points: HashMap<[u64; 3], Id>,
    directions: HashMap<[u64; 3], Id>,
}

impl<'a> Shapes<'a> {
    pub(super) fn new(p: &'a mut Part21) -> Self {
        Shapes {
            p,
            points: HashMap::new(),
            directions: HashMap::new(),
        }
    }

    pub(super) fn point(&mut self, point: Point3) -> Id {
        let xyz = [point.x, point.y, point.z];
        *self
            .points
            .entry(xyz.map(bits))
            .or_insert_with(|| add_triple(self.p, "CARTESIAN_POINT", &xyz))
    }

    /// Direction of a vector of any length above zero.
    fn direction(&mut self, vector: Vector3) -> Id {
        let unit = vector / vector.magnitude();
        let xyz = [unit.x, unit.y, unit.z];
        *self
            .directions
            .entry(xyz.map(bits))
            .or_insert_with(|| add_triple(self.p, "DIRECTION", &xyz))
    }

    pub(super) fn placement(&mut self, origin: Point3, z: Vector3, x: Vector3) -> Id {
        let (origin, z, x) = (self.point(origin), self.direction(z), self.direction(x));
        self.p.add("AXIS2_PLACEMENT_3D", |r| {
            r.text("").id(origin).id(z).id(x);
        })
    }

    fn frame(&mut self, frame: &Frame) -> Id {
        self.placement(frame.origin, frame.z, frame.x)
    }

    pub(super) fn curve(&mut self, curve: &Curve) -> Id {
        match curve {
            Curve::Line(from, to) => self.line(*from, *to),
            Curve::Arc(arc) => self.arc(arc),
            Curve::Spline(nurbs) => spline::curve(self, nurbs),
        }
    }

    fn line(&mut self, from: Point3, to: Point3) -> Id {
        let (point, direction) = (self.point(from), self.direction(to - from));
        let vector = self.p.add("VECTOR", |r| {
            r.text("").id(direction).real(1.0);
        });
        self.p.add("LINE", |r| {
            r.text("").id(point).id(vector);
        })
    }

    /// The whole circle or ellipse; the edge's vertices trim it. It runs about a x b from a
    /// to b as the arc does.
    fn arc(&mut self, arc: &Arc) -> Id {
        let normal = arc.a.cross(arc.b);
        let (a, b) = (arc.a.magnitude(), arc.b.magnitude());
        if (a - b).abs() <= SAME_RADIUS {
            let placement = self.placement(arc.centre, normal, arc.a);
            return self.p.add("CIRCLE", |r| {
                r.text("").id(placement).real(a);
            });
        }
        // Some readers want the larger semi-axis first; a quarter turn keeps the direction.
        let (x, major, minor) = if a > b { (arc.a, a, b) } else { (arc.b, b, a) };
        let placement = self.placement(arc.centre, normal, x);
        self.p.add("ELLIPSE", |r| {
            r.text("").id(placement).real(major).real(minor);
        })
    }

    pub(super) fn surface(&mut self, surface: &Surface) -> Id {
        let (keyword, frame, sizes): (_, _, &[f64]) = match surface {
            Surface::Plane(frame) => ("PLANE", frame, &[]),
            Surface::Sphere { frame, radius } => ("SPHERICAL_SURFACE", frame, &[*radius]),
            Surface::Cylinder { frame, radius } => ("CYLINDRICAL_SURFACE", frame, &[*radius]),
            Surface::Cone {
                frame,
                radius,
                half_angle,
            } => ("CONICAL_SURFACE", frame, &[*radius, *half_angle]),
            Surface::Torus {
                frame,
                major,
                minor,
            } => ("TOROIDAL_SURFACE", frame, &[*major, *minor]),
            Surface::Spline(nurbs) => return spline::surface(self, nurbs),
        };
        let placement = self.frame(frame);
        self.p.add(keyword, |r| {
            r.text("").id(placement);
            for size in sizes {
                r.real(*size);
            }
        })
    }
}

fn add_triple(p: &mut Part21, keyword: &str, xyz: &[f64; 3]) -> Id {
    p.add(keyword, |r| {
        r.text("").reals(xyz);
    })
}

/// Bits as a key; both zeros are one.
fn bits(x: f64) -> u64 {
    (x + 0.0).to_bits()
}
