//! What a feature must offer.

use nalgebra::{Point3, Vector3};

/// A minorant of a signed distance that keeps one curvature exactly.
///
/// m(x) = constant + linear . x + slope r(x), with r the distance of x from the centre, or from
/// the line through the centre along the axis. m(x) <= d(x) for every x, with equality at the
/// point for which it was asked. Round a common axis a plain tangent needs very many cells (the
/// least distance is reached all along a circle); this one needs few.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Curved {
    /// Centre, or a point of the axis.
    pub centre: Point3<f64>,
    /// Unit axis; none for the distance from the centre.
    pub axis: Option<Vector3<f64>>,
    /// Factor of r, at least 0.
    pub slope: f64,
    /// Linear part.
    pub linear: Vector3<f64>,
    /// Constant part, mm.
    pub constant: f64,
}

/// A convex solid, bounded or not.
pub trait Convex {
    /// Signed distance of `p` from the surface (negative inside, mm) and a unit (sub)gradient of
    /// it. `p - distance * gradient` is the nearest point of the surface.
    fn signed_distance(&self, p: &Point3<f64>) -> (f64, Vector3<f64>);

    /// A minorant that touches the signed distance at `p`, sharper than the tangent plane.
    fn curved(&self, p: &Point3<f64>) -> Option<Curved> {
        let _ = p;
        None
    }
}

/// A bounded convex solid: a core, thickened by a ball of radius [`Compact::rounding`].
pub trait Compact: Convex {
    /// A point of the core furthest along `direction` (any length but zero).
    fn core_support(&self, direction: &Vector3<f64>) -> Point3<f64>;

    /// Radius of the ball that thickens the core, mm.
    fn rounding(&self) -> f64 {
        0.0
    }

    /// The point of the solid furthest from `from`.
    fn farthest(&self, from: &Point3<f64>) -> Point3<f64>;

    /// A point of the solid furthest along `direction`.
    fn support(&self, direction: &Vector3<f64>) -> Point3<f64> {
        let unit = direction.try_normalize(0.0).unwrap_or_else(Vector3::z);
        self.core_support(direction) + unit * self.rounding()
    }
}

/// A unit vector at right angles to the unit vector `axis`.
pub(crate) fn perpendicular(axis: &Vector3<f64>) -> Vector3<f64> {
    let least = axis.iamin();
    let mut other = Vector3::zeros();
    other[least] = 1.0;
    axis.cross(&other).normalize()
}
