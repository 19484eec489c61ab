//! Closed forms: a feature and a plane or a sphere.

use nalgebra::{Point3, Vector3};

use super::convex::{Compact, Convex};

/// A signed distance with the points between which it lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gap {
    /// Signed distance, mm; negative when the feature passes the face.
    pub distance: f64,
    /// The point of the feature.
    pub on_feature: Point3<f64>,
    /// The point of the face.
    pub on_face: Point3<f64>,
}

/// How far the feature stays on the side of the plane to which the unit `normal` points.
pub fn to_plane(feature: &dyn Compact, point: &Point3<f64>, normal: &Vector3<f64>) -> Gap {
    let on_feature = feature.support(&-normal);
    let distance = (on_feature - point).dot(normal);
    Gap {
        distance,
        on_feature,
        on_face: on_feature - normal * distance,
    }
}

/// How far the feature stays inside a sphere (a socket inside a dome).
pub fn inside_sphere(feature: &dyn Compact, centre: &Point3<f64>, radius: f64) -> Gap {
    let on_feature = feature.farthest(centre);
    let out = on_feature - centre;
    let far = out.norm();
    let unit = out.try_normalize(0.0).unwrap_or_else(Vector3::z);
    Gap {
        distance: radius - far,
        on_feature,
        on_face: centre + unit * radius,
    }
}

/// How far the feature stays outside a sphere.
pub fn outside_sphere(feature: &dyn Convex, centre: &Point3<f64>, radius: f64) -> Gap {
    let (distance, gradient) = feature.signed_distance(centre);
    Gap {
        distance: distance - radius,
        on_feature: centre - gradient * distance,
        on_face: centre - gradient * radius,
    }
}
