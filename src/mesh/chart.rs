//! Parameters of exact faces and edges near a given point, with derivatives up to the second.
//!
//! Guaranteed: the chart of a sphere, cylinder, cone or torus is regular near the point it was
//! made for (a sphere is turned so that its poles lie a quarter turn away); charts of splines are
//! those of the patch or curve, held within its parameters. Lengths mm, angles radians.

use truck_modeling::{InnerSpace, MetricSpace, Point3, Vector3};

use super::deviation::foot;
use super::jet::Jet;
use crate::brep::shape::{Curve, Frame, Surface};

/// Places of a curve from which its nearest point is sought.
const PLACES: usize = 24;
/// Steps towards the nearest point of a curve.
const STEPS: usize = 12;

/// An edge, or a face near a point.
#[derive(Debug, Clone)]
pub struct Chart<'a>(Kind<'a>);

#[derive(Debug, Clone)]
enum Kind<'a> {
    Flat(Frame),
    /// Cylinder and cone: radius at the origin's height and its growth with the height.
    Straight(Frame, f64, f64),
    /// Torus and sphere: distance of the tube's centre from the axis, radius of the tube.
    Round(Frame, f64, f64),
    Patch(&'a truck_modeling::NurbsSurface<truck_modeling::Vector4>),
    Edge(&'a Curve),
}

/// Point and derivatives; of an edge those by the second parameter are 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Local {
    /// The point.
    pub point: [f64; 3],
    /// First derivatives.
    pub first: [[f64; 3]; 2],
    /// Second derivatives: uu, uv, vv.
    pub second: [[f64; 3]; 3],
}

impl<'a> Chart<'a> {
    /// Chart of a surface and the parameters of its point nearest to `near`.
    pub fn of_surface(surface: &'a Surface, near: [f64; 3]) -> (Chart<'a>, [f64; 2]) {
        let near = Point3::from(near);
        match surface {
            Surface::Plane(frame) => {
                let d = near - frame.origin;
                let at = [d.dot(frame.x), d.dot(frame.y())];
                (Chart(Kind::Flat(*frame)), at)
            }
            Surface::Cylinder { frame, radius } => straight(frame, *radius, 0.0, near),
            Surface::Cone {
                frame,
                radius,
                half_angle,
            } => straight(frame, *radius, half_angle.tan(), near),
            Surface::Sphere { frame, radius } => round(&facing(frame, near), 0.0, *radius, near),
            Surface::Torus {
                frame,
                major,
                minor,
            } => round(frame, *major, *minor, near),
            Surface::Spline(patch) => {
                let (u, v) = foot(patch, near, None);
                (Chart(Kind::Patch(patch)), [u, v])
            }
        }
    }

    /// Chart of an edge and the parameter of its point nearest to `near` (sampled, then by
    /// Newton steps).
    pub fn of_curve(curve: &'a Curve, near: [f64; 3]) -> (Chart<'a>, [f64; 2]) {
        let near = Point3::from(near);
        let (from, to) = curve.range();
        let place = |k: usize| from + (to - from) * k as f64 / PLACES as f64;
        let off = |t: f64| curve.at(t).distance2(near);
        let mut t = (0..=PLACES)
            .map(place)
            .min_by(|a, b| off(*a).total_cmp(&off(*b)))
            .unwrap_or(from);
        for _ in 0..STEPS {
            let (r, d) = (curve.at(t) - near, curve.der(t));
            let bent = d.magnitude2() + r.dot(bend(curve, t));
            // Newton where the distance bends upwards; else, and where that fails, smaller steps.
            let by = r.dot(d) / if bent > 0.0 { bent } else { d.magnitude2() };
            let tries = [1.0, 0.25, 0.0625].map(|share| (t - share * by).clamp(from, to));
            let Some(next) = tries.into_iter().find(|next| off(*next) < off(t)) else {
                break;
            };
            t = next;
        }
        (Chart(Kind::Edge(curve)), [t, 0.0])
    }

    /// Whether it is an edge, with one parameter.
    pub fn is_edge(&self) -> bool {
        matches!(self.0, Kind::Edge(_))
    }

    /// Least and greatest value of each parameter.
    pub fn bounds(&self) -> [(f64, f64); 2] {
        let endless = (f64::NEG_INFINITY, f64::INFINITY);
        match &self.0 {
            Kind::Patch(patch) => {
                let ends = |k: &truck_modeling::KnotVec| (k[0], k[k.len() - 1]);
                [ends(patch.uknot_vec()), ends(patch.vknot_vec())]
            }
            Kind::Edge(curve) => [curve.range(), (0.0, 0.0)],
            _ => [endless; 2],
        }
    }

    /// Point and derivatives.
    pub fn local(&self, [u, v]: [f64; 2]) -> Local {
        let zero = Vector3::new(0.0, 0.0, 0.0);
        let (point, first, second) = match &self.0 {
            Kind::Flat(f) => {
                let point = f.origin + f.x * u + f.y() * v;
                (point, [f.x, f.y()], [zero; 3])
            }
            Kind::Straight(f, radius, growth) => {
                let (out, across) = spin(f, u);
                let r = radius + growth * v;
                let point = f.origin + out * r + f.z * v;
                let second = [out * -r, across * *growth, zero];
                (point, [across * r, out * *growth + f.z], second)
            }
            Kind::Round(f, major, minor) => {
                let (out, across) = spin(f, u);
                let (sin, cos) = v.sin_cos();
                let r = major + minor * cos;
                let point = f.origin + out * r + f.z * (minor * sin);
                let v1 = f.z * (minor * cos) - out * (minor * sin);
                let second = [
                    out * -r,
                    across * (-minor * sin),
                    out * (-minor * cos) - f.z * (minor * sin),
                ];
                (point, [across * r, v1], second)
            }
            Kind::Patch(patch) => {
                let j = Jet::of(patch, u, v);
                (j.point, [j.u, j.v], [j.uu, j.uv, j.vv])
            }
            Kind::Edge(curve) => {
                let second = [bend(curve, u), zero, zero];
                (curve.at(u), [curve.der(u), zero], second)
            }
        };
        Local {
            point: point.into(),
            first: first.map(Into::into),
            second: second.map(Into::into),
        }
    }
}

/// Unit vector away from the axis at an angle, and its derivative.
fn spin(frame: &Frame, angle: f64) -> (Vector3, Vector3) {
    let (sin, cos) = angle.sin_cos();
    let y = frame.y();
    (frame.x * cos + y * sin, y * cos - frame.x * sin)
}

/// Second derivative of a curve; of a spline by differences, whose error only slows Newton down.
fn bend(curve: &Curve, t: f64) -> Vector3 {
    match curve {
        Curve::Line(..) => Vector3::new(0.0, 0.0, 0.0),
        Curve::Arc(arc) => arc.a * -t.cos() - arc.b * t.sin(),
        Curve::Spline(_) => {
            let (from, to) = curve.range();
            let h = 1e-5 * (to - from);
            let (a, b) = ((t - h).max(from), (t + h).min(to));
            (curve.der(b) - curve.der(a)) / (b - a)
        }
    }
}

fn straight<'a>(frame: &Frame, radius: f64, growth: f64, near: Point3) -> (Chart<'a>, [f64; 2]) {
    let d = near - frame.origin;
    let (x, y, h) = (d.dot(frame.x), d.dot(frame.y()), d.dot(frame.z));
    // Along the ruling: foot of the meridian point on r = radius + growth h.
    let along = (h + growth * (x.hypot(y) - radius)) / (1.0 + growth * growth);
    let chart = Chart(Kind::Straight(*frame, radius, growth));
    (chart, [y.atan2(x), along])
}

fn round<'a>(frame: &Frame, major: f64, minor: f64, near: Point3) -> (Chart<'a>, [f64; 2]) {
    let d = near - frame.origin;
    let (x, y, h) = (d.dot(frame.x), d.dot(frame.y()), d.dot(frame.z));
    let at = [y.atan2(x), h.atan2(x.hypot(y) - major)];
    (Chart(Kind::Round(*frame, major, minor)), at)
}

/// The frame turned so that the point lies on its x axis.
fn facing(frame: &Frame, near: Point3) -> Frame {
    let d = near - frame.origin;
    let x = if d.magnitude() > 0.0 {
        d.normalize()
    } else {
        frame.x
    };
    let side = [frame.z, frame.x]
        .into_iter()
        .min_by(|a, b| a.dot(x).abs().total_cmp(&b.dot(x).abs()))
        .unwrap_or(frame.z);
    let z = (side - x * side.dot(x)).normalize();
    Frame {
        origin: frame.origin,
        x,
        z,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use truck_modeling::EuclideanSpace;

    fn frame() -> Frame {
        let z = Vector3::new(0.3, -0.4, 0.8).normalize();
        Frame {
            origin: Point3::new(1.0, -2.0, 0.5),
            x: z.cross(Vector3::unit_x()).normalize(),
            z,
        }
    }

    #[test]
    fn derivatives_are_the_limits_of_differences_and_feet_are_at_right_angles() {
        let frame = frame();
        let surfaces = [
            Surface::Plane(frame),
            Surface::Sphere { frame, radius: 4.0 },
            Surface::Cylinder { frame, radius: 3.0 },
            Surface::Cone {
                frame,
                radius: 5.0,
                half_angle: 0.5,
            },
            Surface::Torus {
                frame,
                major: 6.0,
                minor: 1.5,
            },
        ];
        let arc = Curve::Arc(crate::brep::shape::Arc {
            centre: frame.origin,
            a: frame.x * 3.0,
            b: frame.y() * 2.0,
            range: (0.2, 2.9),
        });
        let near = (frame.origin + frame.x * 4.5 + frame.y() * 3.0 + frame.z * 0.7).to_vec();
        let charts = surfaces
            .iter()
            .map(|s| Chart::of_surface(s, near.into()))
            .chain([Chart::of_curve(&arc, near.into())]);
        for (chart, at) in charts {
            let h = 1e-4;
            let v =
                |i: f64, j: f64| Vector3::from(chart.local([at[0] + i * h, at[1] + j * h]).point);
            let l = chart.local(at);
            let cross = v(1.0, 1.0) + v(-1.0, -1.0) - v(1.0, -1.0) - v(-1.0, 1.0);
            let mid = v(0.0, 0.0);
            for (ours, limit) in [
                (l.first[0], (v(1.0, 0.0) - v(-1.0, 0.0)) / (2.0 * h)),
                (l.first[1], (v(0.0, 1.0) - v(0.0, -1.0)) / (2.0 * h)),
                (
                    l.second[0],
                    (v(1.0, 0.0) + v(-1.0, 0.0) - mid * 2.0) / (h * h),
                ),
                (l.second[1], cross / (4.0 * h * h)),
                (
                    l.second[2],
                    (v(0.0, 1.0) + v(0.0, -1.0) - mid * 2.0) / (h * h),
                ),
            ] {
                assert!(
                    (Vector3::from(ours) - limit).magnitude() < 1e-5,
                    "{chart:?}"
                );
            }
            for d in l.first {
                let slip = (mid - near).dot(Vector3::from(d));
                assert!(slip.abs() < 1e-6, "{chart:?} {slip}");
            }
        }
    }
}
