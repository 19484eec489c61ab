//! What an exact half is asked: closed, oriented, every edge on both its faces.

use limberwood::brep::shape::{Curve, Frame, Half, Surface};
use truck_modeling::{InnerSpace, Point3, Vector3};
use truck_topology::shell::ShellCondition;

use super::spline::Spline;

/// Places tested on each edge.
const PLACES: i32 = 9;

/// A face's surface for distances.
pub enum Exact {
    Spline(Box<Spline>),
    Other(Surface),
}

impl Exact {
    pub fn of(surface: Surface) -> Self {
        match surface {
            Surface::Spline(s) => Exact::Spline(Box::new(Spline::of_face(&s))),
            other => Exact::Other(other),
        }
    }

    /// Distance of a point; a spline's nearest place is looked for near the hint, which moves
    /// there, and everywhere when that is farther than `enough`.
    pub fn distance(&self, p: Point3, hint: &mut (f64, f64), enough: f64) -> f64 {
        match self {
            Exact::Spline(s) => {
                let (d, at) = s.distance([p.x, p.y, p.z], *hint, enough);
                *hint = at;
                d
            }
            Exact::Other(surface) => elementary(surface, p),
        }
    }
}

/// Height over the origin and distance from the axis.
fn cylindrical(frame: &Frame, p: Point3) -> (f64, f64) {
    let d = p - frame.origin;
    let h = d.dot(frame.z);
    (h, (d - frame.z * h).magnitude())
}

fn elementary(surface: &Surface, p: Point3) -> f64 {
    match surface {
        Surface::Plane(f) => f.z.dot(p - f.origin).abs(),
        Surface::Sphere { frame, radius } => ((p - frame.origin).magnitude() - radius).abs(),
        Surface::Cylinder { frame, radius } => (cylindrical(frame, p).1 - radius).abs(),
        Surface::Cone {
            frame,
            radius,
            half_angle,
        } => {
            let (h, r) = cylindrical(frame, p);
            ((r - radius) * half_angle.cos() - h * half_angle.sin()).abs()
        }
        Surface::Torus {
            frame,
            major,
            minor,
        } => {
            let (h, r) = cylindrical(frame, p);
            ((r - major).hypot(h) - minor).abs()
        }
        Surface::Spline(_) => f64::NAN,
    }
}

fn unit(frame: &Frame) -> bool {
    let near = |a: f64, b: f64| (a - b).abs() < 1e-12;
    near(frame.x.magnitude(), 1.0)
        && near(frame.z.magnitude(), 1.0)
        && near(frame.x.dot(frame.z), 0.0)
}

/// Frame of an elementary surface.
fn frame(surface: &Surface) -> Option<&Frame> {
    match surface {
        Surface::Plane(frame)
        | Surface::Sphere { frame, .. }
        | Surface::Cylinder { frame, .. }
        | Surface::Cone { frame, .. }
        | Surface::Torus { frame, .. } => Some(frame),
        Surface::Spline(_) => None,
    }
}

/// Checks the topology; returns the largest distance of an edge from one of its faces, and of an
/// edge's end from its vertex.
pub fn check(half: &Half) -> Result<f64, String> {
    let shells = half.solid.boundaries();
    if shells.len() != 1 || shells[0].shell_condition() != ShellCondition::Closed {
        return Err("not one closed oriented shell".to_owned());
    }
    if half.kinds.len() != shells[0].len() {
        return Err("a face without a kind".to_owned());
    }
    let mut worst = 0.0f64;
    for (index, face) in half.solid.face_iter().enumerate() {
        let surface = face.surface();
        if !frame(&surface).is_none_or(unit) {
            return Err(format!("frame of face {index} {:?}", half.kinds[index]));
        }
        let exact = Exact::of(surface);
        for edge in face.boundaries().iter().flat_map(|w| w.edge_iter()) {
            let curve = edge.curve();
            let (a, b) = curve.range();
            let ends = [
                curve.at(a) - edge.absolute_front().point(),
                curve.at(b) - edge.absolute_back().point(),
            ];
            worst = ends
                .iter()
                .fold(worst, |w, e: &Vector3| w.max(e.magnitude()));
            let mut hint = (f64::MAX, f64::MAX);
            for i in 0..PLACES {
                let t = a + (b - a) * f64::from(i) / f64::from(PLACES - 1);
                let off = exact.distance(curve.at(t), &mut hint, 1e-9);
                if off.is_nan() || off > 1e-7 {
                    let curve = match curve {
                        Curve::Line(..) => "line",
                        Curve::Arc(_) => "arc",
                        Curve::Spline(_) => "spline",
                    };
                    let kind = half.kinds[index];
                    return Err(format!("a {curve} lies {off} off face {index} {kind:?}"));
                }
                worst = worst.max(off);
            }
        }
    }
    Ok(worst)
}
