//! Nearest points of two convex cores that are apart, by support points alone: the point of
//! least norm of their difference set, over simplices of ever nearer points of it. (The method
//! of Gilbert, Johnson and Keerthi, 1988, with the inner step by trying all faces; from memory.)

use nalgebra::{Matrix3, Point3, Vector3};

use super::convex::Compact;
use super::{DIRECTION_FLOOR, DISTANCE_TOLERANCE};

/// Rounds before the search over directions takes over. No source; the tests need under 100.
const MAX_ROUNDS: usize = 400;

/// Two points of the cores and what is proven by the direction between them.
pub(super) struct Link {
    pub on_a: Point3<f64>,
    pub on_b: Point3<f64>,
    /// Unit, from b to a.
    pub direction: Vector3<f64>,
    pub length: f64,
    /// Separation of the cores along the direction.
    pub reached: f64,
    pub rounds: usize,
}

/// A point of the difference set with its parents.
#[derive(Clone, Copy)]
struct Corner {
    difference: Vector3<f64>,
    on_a: Point3<f64>,
    on_b: Point3<f64>,
}

impl Corner {
    /// The one lowest along the unit direction n.
    fn lowest(a: &dyn Compact, b: &dyn Compact, n: &Vector3<f64>) -> Self {
        let (on_a, on_b) = (a.core_support(&-n), b.core_support(n));
        Self {
            difference: on_a - on_b,
            on_a,
            on_b,
        }
    }
}

/// The point of least norm in the plane, line or point through `corners`, as shares of them;
/// none when it lies outside their simplex.
fn shares(corners: &[Corner]) -> Option<[f64; 4]> {
    let first = corners[0].difference;
    let mut gram = Matrix3::identity();
    let mut right = Vector3::zeros();
    for (i, p) in corners[1..].iter().enumerate() {
        let e = p.difference - first;
        right[i] = -e.dot(&first);
        for (j, q) in corners[1..].iter().enumerate() {
            gram[(i, j)] = e.dot(&(q.difference - first));
        }
    }
    let inner = gram.try_inverse()? * right;
    let all = [1.0 - inner.sum(), inner.x, inner.y, inner.z];
    all[..corners.len()]
        .iter()
        .all(|s| *s >= 0.0)
        .then_some(all)
}

/// The face of the simplex whose point of least norm is the simplex's, and that point.
fn nearest_face(simplex: &[Corner]) -> (Vec<Corner>, Corner) {
    let mut best: Option<(f64, Vec<Corner>, Corner)> = None;
    for mask in 1..1_u32 << simplex.len() {
        let face: Vec<Corner> = simplex
            .iter()
            .enumerate()
            .filter(|(i, _)| mask >> i & 1 == 1)
            .map(|(_, corner)| *corner)
            .collect();
        let Some(shares) = shares(&face) else {
            continue;
        };
        let mut sum = [Vector3::zeros(); 3];
        for (corner, share) in face.iter().zip(shares) {
            sum[0] += corner.difference * share;
            sum[1] += corner.on_a.coords * share;
            sum[2] += corner.on_b.coords * share;
        }
        let [difference, on_a, on_b] = sum;
        let norm = difference.norm();
        if best.as_ref().is_none_or(|b| norm < b.0) {
            let point = Corner {
                difference,
                on_a: Point3::from(on_a),
                on_b: Point3::from(on_b),
            };
            best = Some((norm, face, point));
        }
    }
    // A single corner is always its own nearest point.
    best.map_or_else(|| (simplex[..1].to_vec(), simplex[0]), |b| (b.1, b.2))
}

/// Nearest points of the cores; none when they touch or overlap. Not always proven.
pub(super) fn link(a: &dyn Compact, b: &dyn Compact) -> Option<Link> {
    let mut simplex = vec![Corner::lowest(a, b, &Vector3::x())];
    let mut best: Option<Link> = None;
    for rounds in 1..=MAX_ROUNDS {
        let (face, point) = nearest_face(&simplex);
        let direction = point.difference.try_normalize(DIRECTION_FLOOR)?;
        let next = Corner::lowest(a, b, &direction);
        let link = Link {
            on_a: point.on_a,
            on_b: point.on_b,
            direction,
            length: point.difference.norm(),
            reached: next.difference.dot(&direction),
            rounds,
        };
        let done = link.length - link.reached <= 0.5 * DISTANCE_TOLERANCE;
        // Rounding ends the progress of a simplex that has become very small.
        let stuck = best.as_ref().is_some_and(|b| link.length >= b.length);
        if !stuck {
            best = Some(link);
        }
        if done || stuck {
            break;
        }
        simplex = face;
        simplex.truncate(3);
        simplex.push(next);
    }
    best
}
