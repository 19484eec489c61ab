//! Separation of two convex cores by a search over all directions.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use nalgebra::Vector3;

use super::DISTANCE_TOLERANCE;
use super::convex::Compact;

/// As for patches: no case in the tests comes near. No source.
const MAX_CELLS: usize = 400_000;

/// The best direction found, with the proof.
pub(super) struct Separation {
    /// Unit direction along which the cores are furthest apart, from `b` to `a`.
    pub direction: Vector3<f64>,
    /// Their distance along it; negative when they overlap even so.
    pub reached: f64,
    /// No direction has more.
    pub upper: f64,
    pub cells: usize,
}

impl Separation {
    /// Tries a direction; gives the difference vector of its support points.
    fn look(&mut self, a: &dyn Compact, b: &dyn Compact, n: &Vector3<f64>) -> Vector3<f64> {
        let (value, difference) = along(a, b, n);
        if value > self.reached {
            self.reached = value;
            self.direction = *n;
        }
        difference
    }
}

/// A spherical triangle of directions; `upper` bounds the separation along all of them.
struct Cell {
    upper: f64,
    corners: [Vector3<f64>; 3],
}

impl PartialEq for Cell {
    fn eq(&self, other: &Self) -> bool {
        self.upper.total_cmp(&other.upper) == Ordering::Equal
    }
}

impl Eq for Cell {}

impl PartialOrd for Cell {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Cell {
    fn cmp(&self, other: &Self) -> Ordering {
        self.upper.total_cmp(&other.upper)
    }
}

/// Separation of the cores along the unit direction n, and the difference vector of the two
/// support points: along any m the separation is at most m . difference.
pub(super) fn along(a: &dyn Compact, b: &dyn Compact, n: &Vector3<f64>) -> (f64, Vector3<f64>) {
    let difference = a.core_support(&-n) - b.core_support(n);
    (n.dot(&difference), difference)
}

/// Most of n . x over the triangle. Every n of it is sum(k_i n_i) with k_i >= 0 and
/// 1 <= sum(k_i) <= 1/p, p the distance of the corners' plane from the origin.
fn most(corners: &[Vector3<f64>; 3], x: &Vector3<f64>) -> f64 {
    let most = corners
        .iter()
        .fold(f64::NEG_INFINITY, |most, n| most.max(n.dot(x)));
    if most <= 0.0 {
        return most;
    }
    let normal = (corners[1] - corners[0]).cross(&(corners[2] - corners[0]));
    most / normal.normalize().dot(&corners[0]).abs()
}

/// Least of [`most`] over mixtures of two difference vectors, each of which bounds: where the
/// separation has a ridge, no single one is good on both sides. It is convex in the share, and
/// every share is valid, so it need not be met exactly.
fn most_of_mixture(corners: &[Vector3<f64>; 3], x: &Vector3<f64>, y: &Vector3<f64>) -> f64 {
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    let mut best = most(corners, x);
    for _ in 0..24 {
        let (a, b) = (from + (to - from) / 3.0, to - (to - from) / 3.0);
        let (at_a, at_b) = (most(corners, &x.lerp(y, a)), most(corners, &x.lerp(y, b)));
        best = best.min(at_a).min(at_b);
        if at_a > at_b {
            from = a;
        } else {
            to = b;
        }
    }
    best
}

/// Bounds the separation over a triangle by the support points of its middle direction, and of
/// the corner that comes out worst.
fn add(
    heap: &mut BinaryHeap<Cell>,
    best: &mut Separation,
    a: &dyn Compact,
    b: &dyn Compact,
    corners: [Vector3<f64>; 3],
) {
    let middle = (corners[0] + corners[1] + corners[2]).normalize();
    let difference = best.look(a, b, &middle);
    best.cells += 1;
    let mut upper = most(&corners, &difference);
    if upper > best.reached + DISTANCE_TOLERANCE {
        let [p, q, r] = corners;
        let worst = [q, r].into_iter().fold(p, |worst, n| {
            if n.dot(&difference) > worst.dot(&difference) {
                n
            } else {
                worst
            }
        });
        // A greatest separation is often a ridge along which corners lie, never middles.
        let other = best.look(a, b, &worst);
        upper = most_of_mixture(&corners, &difference, &other);
    }
    heap.push(Cell { upper, corners });
}

/// The greatest separation over all directions.
pub(super) fn greatest(a: &dyn Compact, b: &dyn Compact) -> Separation {
    let mut best = Separation {
        direction: Vector3::z(),
        reached: f64::NEG_INFINITY,
        upper: f64::INFINITY,
        cells: 0,
    };
    let mut heap = BinaryHeap::with_capacity(1024);
    for octant in 0..8 {
        let sign = |bit: usize| if octant >> bit & 1 == 0 { 1.0 } else { -1.0 };
        let corners = [
            Vector3::x() * sign(0),
            Vector3::y() * sign(1),
            Vector3::z() * sign(2),
        ];
        add(&mut heap, &mut best, a, b, corners);
    }
    while let Some(cell) = heap.pop() {
        best.upper = cell.upper.max(best.reached);
        if cell.upper <= best.reached + DISTANCE_TOLERANCE || best.cells >= MAX_CELLS {
            break;
        }
        let [p, q, r] = cell.corners;
        let (pq, qr, rp) = (
            (p + q).normalize(),
            (q + r).normalize(),
            (r + p).normalize(),
        );
        for corners in [[p, pq, rp], [pq, q, qr], [rp, qr, r], [pq, qr, rp]] {
            add(&mut heap, &mut best, a, b, corners);
        }
    }
    best
}
