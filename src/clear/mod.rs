//! Exact least distances between designed features and the outer form, before anything is built.
//!
//! A feature (socket, pin hole, flare, neck, axis) is a convex solid with a signed distance;
//! the outer form is a set of Bezier patches. Because the signed distance of a convex body is a
//! convex function, a tangent of it bounds it from below on the whole hull of a patch's control
//! points, so a branch and bound over subdivided patches ends with a proof: nothing is lower
//! than the result by more than [`DISTANCE_TOLERANCE`]. Lengths are mm.

mod bezier;
mod bound;
mod bowl;
mod convex;
mod cut_cone;
mod descent;
mod direction;
mod ellipse;
mod faces;
pub mod half;
mod pair;
mod search;
mod simplex;
mod solids;
mod upright;

pub use bezier::{BezierCurve, BezierError, BezierPatch, MAX_DEGREE};
pub use bowl::Bowl;
pub(crate) use convex::perpendicular;
pub use convex::{Compact, Convex, Curved};
pub use cut_cone::CutCone;
pub use ellipse::Ellipse;
pub use faces::{Gap, inside_sphere, outside_sphere, to_plane};
pub use pair::{PairNearest, least_distance_convex};
pub use search::{Nearest, least_distance_curves, least_distance_patches};
pub use solids::{Ball, Capsule, Frustum, HalfSpace, Stadium};
pub use upright::{ArcHull, Taper};

/// Largest gap between a reported least distance and its proven lower bound, mm.
///
/// Derived: a hundredth of the finest length that the project prints (0.01 mm) would do; a
/// further factor of a hundred keeps sums and differences of such distances below notice.
pub const DISTANCE_TOLERANCE: f64 = 1e-6;

/// Below this length a direction taken from a difference of coordinates is noise, and any
/// subgradient will do; the values it leads to are wrong by no more than itself. mm.
///
/// Derived: coordinates near 100 mm are rounded to about 1e-14 mm, so a difference of 1e-7 has
/// a direction good to 1e-7, and both faults stay a tenth of the tolerance.
const DIRECTION_FLOOR: f64 = 1e-7;

#[cfg(test)]
mod tests;
