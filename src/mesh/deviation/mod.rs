//! How far a mesh lies off the exact surface it stands for, by samples.
//!
//! Guaranteed: [`distance_to_surface`] is exact to rounding for planes, spheres, cylinders,
//! cones and tori (whole, not cut to a face). For a spline patch it is the distance to some
//! point of the patch, so never too small: the least near the hint, or, without one, the least
//! of the valleys that a grid of two cells a span shows. That finds the nearest point for
//! patches sloped to 45 degrees from a few millimetres off (tested), but proves nothing; the
//! grid costs four evaluations a pair of spans, so give a hint where one is known.
//!
//! Not guaranteed: the largest deviation of a triangle lies between its seven samples, so the
//! sampled one is a lower bound of it. Of a smooth surface much wider than the triangle the
//! samples see most: the middle of an arc's chord is its farthest point.

mod spline;

#[cfg(test)]
mod tests;

use truck_modeling::{InnerSpace, MetricSpace, Point3};

use crate::brep::shape::{Frame, Surface};

/// A sampled deviation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Deviation {
    /// Distance from the surface, mm, not negative.
    pub distance: f64,
    /// The sample that lies that far off.
    pub place: Point3,
}

/// The largest deviation of [`samples`] from the surface the triangle stands for. `hint` is the
/// surface parameter of a point nearby and is used by spline patches only.
pub fn of_triangle(surface: &Surface, corners: [Point3; 3], hint: Option<(f64, f64)>) -> Deviation {
    let mut hint = hint;
    let mut worst = Deviation {
        distance: 0.0,
        place: corners[0],
    };
    for place in samples(corners) {
        let (distance, found) = measure(surface, place, hint);
        hint = found.or(hint);
        if distance > worst.distance {
            worst = Deviation { distance, place };
        }
    }
    worst
}

/// Seven points of a triangle: the middles of its edges, its centroid, and the points half way
/// from the centroid to the corners. The corners are left out: a mesher puts them on the
/// surface.
pub fn samples(corners: [Point3; 3]) -> [Point3; 7] {
    let [a, b, c] = corners;
    let middle = |p: Point3, q: Point3| p + (q - p) * 0.5;
    let centroid = a + ((b - a) + (c - a)) / 3.0;
    [
        middle(a, b),
        middle(b, c),
        middle(c, a),
        centroid,
        middle(centroid, a),
        middle(centroid, b),
        middle(centroid, c),
    ]
}

/// Distance in mm of a point from a surface: from the whole plane, sphere, cylinder, cone (the
/// nappe of positive radius) or torus, from the patch as far as its parameters go for a spline.
/// `hint` is a parameter of the spline near which to look.
pub fn distance_to_surface(surface: &Surface, point: Point3, hint: Option<(f64, f64)>) -> f64 {
    measure(surface, point, hint).0
}

/// Parameters of the nearest point of a patch: near `hint`, or as a grid sees it.
pub(super) fn foot(
    patch: &truck_modeling::NurbsSurface<truck_modeling::Vector4>,
    point: Point3,
    hint: Option<(f64, f64)>,
) -> (f64, f64) {
    spline::nearest(patch, point, hint).at
}

/// Distance, and for a spline the parameter of the nearest point found.
fn measure(
    surface: &Surface,
    point: Point3,
    hint: Option<(f64, f64)>,
) -> (f64, Option<(f64, f64)>) {
    let distance = match surface {
        Surface::Plane(frame) => (point - frame.origin).dot(frame.z).abs(),
        Surface::Sphere { frame, radius } => (point.distance(frame.origin) - radius).abs(),
        Surface::Cylinder { frame, radius } => (meridian(frame, point).0 - radius).abs(),
        Surface::Cone {
            frame,
            radius,
            half_angle,
        } => to_nappe(meridian(frame, point), *radius, *half_angle),
        Surface::Torus {
            frame,
            major,
            minor,
        } => to_tube(meridian(frame, point), *major, *minor),
        Surface::Spline(patch) => {
            let foot = spline::nearest(patch, point, hint);
            return (foot.distance, Some(foot.at));
        }
    };
    (distance, None)
}

/// Distance from the axis, and height over the origin.
fn meridian(frame: &Frame, point: Point3) -> (f64, f64) {
    let d = point - frame.origin;
    let height = d.dot(frame.z);
    // The cross product keeps its figures where a difference of squares would lose them.
    (d.cross(frame.z).magnitude(), height)
}

/// Distance to the ray from the apex in the half plane of the point.
fn to_nappe((from_axis, height): (f64, f64), radius: f64, half_angle: f64) -> f64 {
    let (sin, cos) = half_angle.sin_cos();
    // From the apex, which stands radius / tan below the origin.
    let up = height + radius * cos / sin;
    let along = from_axis * sin + up * cos;
    if along <= 0.0 {
        from_axis.hypot(up)
    } else {
        (from_axis * cos - up * sin).abs()
    }
}

/// Distance to the two circles in the plane through axis and point; the farther one is nearer
/// only inside a tube wider than the ring.
fn to_tube((from_axis, height): (f64, f64), major: f64, minor: f64) -> f64 {
    let near = ((from_axis - major).hypot(height) - minor).abs();
    let far = ((from_axis + major).hypot(height) - minor).abs();
    near.min(far)
}
