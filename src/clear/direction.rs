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

/// Bounds the separation over a triangle by the support points of its middle direction.
///
/// Every n of the triangle is sum(k_i n_i) with k_i >= 0 and 1 <= sum(k_i) <= 1/p, p the
/// distance of the corners' plane from the origin.
fn add(
    heap: &mut BinaryHeap<Cell>,
    best: &mut Separation,
    a: &dyn Compact,
    b: &dyn Compact,
    corners: [Vector3<f64>; 3],
) {
    let middle = (corners[0] + corners[1] + corners[2]).normalize();
    let (value, difference) = along(a, b, &middle);
    best.cells += 1;
    if value > best.reached {
        best.reached = value;
        best.direction = middle;
    }
    let most = corners
        .iter()
        .fold(f64::NEG_INFINITY, |most, n| most.max(n.dot(&difference)));
    let upper = if most > 0.0 {
        let normal = (corners[1] - corners[0]).cross(&(corners[2] - corners[0]));
        most / normal.normalize().dot(&corners[0]).abs()
    } else {
        most
    };
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
