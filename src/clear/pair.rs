//! Least distance of two bounded convex solids.

use nalgebra::{Point3, Vector3};

use super::DISTANCE_TOLERANCE;
use super::convex::Compact;
use super::direction::{along, greatest};

/// Rounds of projection before the search over directions takes over. No source.
const MAX_ROUNDS: usize = 400;

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
    /// Rounds of projection and cells looked at.
    pub cells: usize,
}

/// Nearest point of the solid's core, `p` itself inside it.
fn project(solid: &dyn Compact, p: &Point3<f64>) -> Point3<f64> {
    let (distance, gradient) = solid.signed_distance(p);
    p - gradient * (distance + solid.rounding()).max(0.0)
}

/// Two points of the cores and the direction between them.
struct Link {
    on_a: Point3<f64>,
    on_b: Point3<f64>,
    direction: Vector3<f64>,
    length: f64,
    /// Separation of the cores along the direction.
    reached: f64,
    rounds: usize,
}

/// Projects to and fro between the cores. Ends when the separation along the link proves its
/// length, or when the cores touch or nearly do.
fn link(a: &dyn Compact, b: &dyn Compact) -> Option<Link> {
    let mut on_a = a.core_support(&Vector3::x());
    let mut best: Option<Link> = None;
    for rounds in 1..=MAX_ROUNDS {
        let on_b = project(b, &on_a);
        on_a = project(a, &on_b);
        let length = (on_a - on_b).norm();
        let direction = (on_a - on_b).try_normalize(super::DIRECTION_FLOOR)?;
        let (reached, _) = along(a, b, &direction);
        let done = length - reached <= 0.5 * DISTANCE_TOLERANCE;
        best = Some(Link {
            on_a,
            on_b,
            direction,
            length,
            reached,
            rounds,
        });
        if done {
            break;
        }
    }
    best
}

/// Least distance of two solids: by projections where they are apart and that ends with a
/// proof, else by a search over all directions.
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
