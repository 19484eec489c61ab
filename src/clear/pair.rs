//! Least distance of two bounded convex solids.

use nalgebra::{Point3, Vector3};

use super::DISTANCE_TOLERANCE;
use super::convex::Compact;
use super::direction::greatest;
use super::simplex::link;

/// Least distance of two solids.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PairNearest {
    /// Distance, mm; when they overlap, minus the least translation that parts them.
    pub distance: f64,
    /// Proven: the distance is no lower than this.
    pub lower: f64,
    /// Whether the proof is within [`DISTANCE_TOLERANCE`].
    pub proven: bool,
    /// Unit direction of the distance, from the second solid to the first.
    pub direction: Vector3<f64>,
    /// A point of the first solid: its nearest, or, of overlapping solids, its deepest.
    pub on_a: Point3<f64>,
    /// The same of the second.
    pub on_b: Point3<f64>,
    /// Rounds and cells looked at.
    pub cells: usize,
}

/// Least distance of two solids: by support points where they are apart, else by a search over
/// all directions (slow, some 10 ms, when they overlap about a common axis).
pub fn least_distance_convex(a: &dyn Compact, b: &dyn Compact) -> PairNearest {
    let round = a.rounding() + b.rounding();
    let link = link(a, b);
    let mut cells = link.as_ref().map_or(0, |link| link.rounds);
    let mut result = match link {
        Some(link) => PairNearest {
            distance: link.length - round,
            lower: link.reached - round,
            proven: false,
            direction: link.direction,
            on_a: link.on_a,
            on_b: link.on_b,
            cells,
        },
        None => PairNearest {
            distance: f64::INFINITY,
            lower: f64::NEG_INFINITY,
            proven: false,
            direction: Vector3::z(),
            on_a: Point3::origin(),
            on_b: Point3::origin(),
            cells,
        },
    };
    if result.distance - result.lower > DISTANCE_TOLERANCE {
        let found = greatest(a, b);
        cells += found.cells;
        if found.reached - round > result.lower {
            result.lower = found.reached - round;
            result.direction = found.direction;
        }
        if found.upper - round < result.distance {
            // Overlap: the upper bound is of the separation, reached by no pair of points.
            result.distance = found.upper - round;
            result.on_a = a.core_support(&-found.direction);
            result.on_b = b.core_support(&found.direction);
        }
        result.cells = cells;
    }
    result.proven = result.distance - result.lower <= DISTANCE_TOLERANCE;
    result.on_a -= result.direction * a.rounding();
    result.on_b += result.direction * b.rounding();
    result
}
