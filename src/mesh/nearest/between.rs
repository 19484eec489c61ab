//! The least distance between two meshes.

use truck_modeling::Point3;

use super::primitive::{self, Apart};
use super::{MeshTree, SHRINK};
use crate::mesh::tree::{Bounds, Node};

/// The nearest points of two meshes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Closest {
    /// Distance, mm; 0 where the surfaces meet.
    pub distance: f64,
    /// Numbers of the two triangles in their inputs.
    pub triangles: [u32; 2],
    /// The point on each.
    pub points: [Point3; 2],
}

/// Least distance between two meshes: pairs of boxes farther apart than the best pair of
/// triangles so far are passed over. Inside one another counts as the distance of the walls.
pub fn least_distance_between(a: &MeshTree, b: &MeshTree) -> Closest {
    let start = a.corners[0][0];
    let near = b.nearest(start);
    let mut best = Apart {
        square: near.distance * near.distance,
        points: [start, near.point],
    };
    let mut triangles = [a.tree.order[0], near.triangle];
    let mut stack = vec![(0.0, 0usize, 0usize)];
    while let Some((least, i, j)) = stack.pop() {
        if least >= best.square {
            continue;
        }
        let (m, n) = (&a.tree.nodes[i], &b.tree.nodes[j]);
        if m.is_leaf() && n.is_leaf() {
            for k in m.run() {
                for l in n.run() {
                    let apart = primitive::triangles(&a.corners[k], &b.corners[l]);
                    if apart.square < best.square {
                        best = apart;
                        triangles = [a.tree.order[k], b.tree.order[l]];
                    }
                }
            }
            continue;
        }
        let pairs = if n.is_leaf() || (!m.is_leaf() && size(m) >= size(n)) {
            [(i + 1, j), (m.first as usize, j)]
        } else {
            [(i, j + 1), (i, n.first as usize)]
        };
        let [one, two] = pairs.map(|(i, j)| {
            let square = boxes_apart(&a.tree.nodes[i].bounds, &b.tree.nodes[j].bounds);
            (square, i, j)
        });
        // The nearer pair last, so that it is looked at first.
        stack.extend(if one.0 < two.0 {
            [two, one]
        } else {
            [one, two]
        });
    }
    Closest {
        distance: best.square.sqrt(),
        triangles,
        points: best.points,
    }
}

/// Square of the distance between two boxes, never more than between what is in them.
fn boxes_apart(a: &Bounds, b: &Bounds) -> f64 {
    let mut square = 0.0;
    for k in 0..3 {
        let one = f64::from(a.lo[k]) - f64::from(b.hi[k]);
        let two = f64::from(b.lo[k]) - f64::from(a.hi[k]);
        square += one.max(two).max(0.0).powi(2);
    }
    square * SHRINK
}

/// Half the girth of a node's box.
fn size(node: &Node) -> f32 {
    let Bounds { lo, hi } = node.bounds;
    (hi[0] - lo[0]) + (hi[1] - lo[1]) + (hi[2] - lo[2])
}
