//! A body shifted so that the centre of the turn is the origin.

use nalgebra::{SVector, Vector3};

use crate::mesh::nearest::MeshTree;
use crate::mesh::tree::Node;

/// A body about the origin, with what no turn about it changes: distances from it.
pub(super) struct Poised<'a> {
    nodes: &'a [Node],
    /// Corners about the centre, in the tree's order.
    pub(super) corners: Vec<[Vector3<f64>; 3]>,
    /// Least and greatest distance of each triangle from the centre.
    pub(super) far: Vec<[f64; 2]>,
    /// Bounds of the tree's nodes.
    pub(super) bounds: Vec<Bounds>,
}

/// A box, and the distances from the origin of what lies in it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Bounds {
    pub(super) lo: Vector3<f64>,
    pub(super) hi: Vector3<f64>,
    pub(super) far: [f64; 2],
}

impl Poised<'_> {
    pub(super) fn new(body: &MeshTree, shift: Vector3<f64>) -> Poised<'_> {
        let nodes = body.nodes();
        let moved = body.corners().iter().map(|t| {
            let about = |p: truck_modeling::Point3| Vector3::new(p.x, p.y, p.z) + shift;
            t.map(about)
        });
        let corners: Vec<_> = moved.collect();
        let far: Vec<_> = corners.iter().map(distances).collect();
        let mut bounds = vec![Bounds::EMPTY; nodes.len()];
        // Children come after their parents.
        for (k, node) in nodes.iter().enumerate().rev() {
            bounds[k] = if node.is_leaf() {
                let all = node.run().map(|t| Bounds::of(&corners[t], far[t]));
                all.fold(Bounds::EMPTY, |all, own| all.join(&own))
            } else {
                bounds[k + 1].join(&bounds[node.first as usize])
            };
        }
        Poised {
            nodes,
            corners,
            far,
            bounds,
        }
    }

    pub(super) fn node(&self, k: usize) -> &Node {
        &self.nodes[k]
    }
}

impl Bounds {
    const EMPTY: Bounds = Bounds {
        lo: Vector3::new(f64::INFINITY, f64::INFINITY, f64::INFINITY),
        hi: Vector3::new(f64::NEG_INFINITY, f64::NEG_INFINITY, f64::NEG_INFINITY),
        far: [f64::INFINITY, f64::NEG_INFINITY],
    };

    fn of([a, b, c]: &[Vector3<f64>; 3], far: [f64; 2]) -> Bounds {
        Bounds {
            lo: a.inf(b).inf(c),
            hi: a.sup(b).sup(c),
            far,
        }
    }

    fn join(&self, other: &Bounds) -> Bounds {
        Bounds {
            lo: self.lo.inf(&other.lo),
            hi: self.hi.sup(&other.hi),
            far: [self.far[0].min(other.far[0]), self.far[1].max(other.far[1])],
        }
    }

    /// Length of the diagonal: which of two boxes is divided first.
    pub(super) fn size(&self) -> f64 {
        (self.hi - self.lo).norm_squared()
    }
}

/// Least and greatest distance of a triangle from the origin.
fn distances(t: &[Vector3<f64>; 3]) -> [f64; 2] {
    let most = t.iter().map(|p| p.norm_squared()).fold(0.0, f64::max);
    let [a, b, c] = t;
    let normal = (b - a).cross(&(c - a));
    let inside = |a: &Vector3<f64>, b: &Vector3<f64>| (b - a).cross(a).dot(&normal) <= 0.0;
    let square = normal.norm_squared();
    let least = if square > 0.0 && inside(a, b) && inside(b, c) && inside(c, a) {
        normal.dot(a).powi(2) / square
    } else {
        to_segment(a, b).min(to_segment(b, c)).min(to_segment(c, a))
    };
    [least.sqrt(), most.sqrt()]
}

/// Square of the distance of a segment from the origin, in space or in a plane.
pub(super) fn to_segment<const N: usize>(a: &SVector<f64, N>, b: &SVector<f64, N>) -> f64 {
    let along = b - a;
    let square = along.norm_squared();
    let share = if square > 0.0 {
        (-a.dot(&along) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (a + along * share).norm_squared()
}
