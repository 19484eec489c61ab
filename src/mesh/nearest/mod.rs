//! Nearest points of a triangle mesh, and the least distance between two meshes.
//!
//! Guaranteed: the answer is the least over all triangles, to float64 rounding of the
//! coordinates; the points named lie on the triangles; the tree only spares work. Distances are of the surfaces: a point or
//! a mesh inside another is as far off as its walls. Not guaranteed: which of several equally
//! near triangles is named (the same mesh gives the same one).

mod between;
mod primitive;

#[cfg(test)]
mod tests;

use std::fmt;

use truck_modeling::{InnerSpace, Point3};

use super::tree::{Bounds, Node, Tree};

pub use between::{Closest, least_distance_between};
pub(super) use primitive::on_triangle;

/// Triangles with a tree over them.
#[derive(Debug, Clone)]
pub struct MeshTree {
    tree: Tree,
    /// Corners in the order of the tree.
    corners: Vec<[Point3; 3]>,
}

/// The nearest point of a mesh.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nearest {
    /// Distance, mm.
    pub distance: f64,
    /// Number of the triangle in the input.
    pub triangle: u32,
    /// The nearest point on it.
    pub point: Point3,
}

/// Why no tree can be built.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BadMesh {
    /// There is no triangle.
    Empty,
    /// A triangle names a position that does not exist.
    NoSuchPosition {
        /// The triangle.
        triangle: u32,
    },
    /// A coordinate is not finite, or too large for float32.
    NotFinite {
        /// The triangle.
        triangle: u32,
    },
}

impl fmt::Display for BadMesh {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            BadMesh::Empty => f.write_str("the mesh has no triangle"),
            BadMesh::NoSuchPosition { triangle } => {
                write!(f, "triangle {triangle} names a position that is missing")
            }
            BadMesh::NotFinite { triangle } => {
                write!(f, "triangle {triangle} has a coordinate out of range")
            }
        }
    }
}

impl std::error::Error for BadMesh {}

impl MeshTree {
    /// Tree over a mesh with positions in mm.
    ///
    /// # Errors
    /// No triangle, an index out of range, or a coordinate beyond float32.
    pub fn new<P: Copy + Into<Point3>>(
        positions: &[P],
        triangles: &[[u32; 3]],
    ) -> Result<MeshTree, BadMesh> {
        let mut corners = Vec::with_capacity(triangles.len());
        let mut boxes = Vec::with_capacity(triangles.len());
        for (triangle, numbers) in (0u32..).zip(triangles) {
            let missing = BadMesh::NoSuchPosition { triangle };
            let at = |k: usize| {
                let position = positions.get(numbers[k] as usize).ok_or(missing)?;
                Ok((*position).into())
            };
            let own = [at(0)?, at(1)?, at(2)?];
            boxes.push(bounds(&own).ok_or(BadMesh::NotFinite { triangle })?);
            corners.push(own);
        }
        if corners.is_empty() {
            return Err(BadMesh::Empty);
        }
        let tree = Tree::new(&boxes);
        let corners = tree.order.iter().map(|&t| corners[t as usize]).collect();
        Ok(MeshTree { tree, corners })
    }

    /// Nodes of the tree; 0 is the root, the first child follows its parent.
    pub(crate) fn nodes(&self) -> &[Node] {
        &self.tree.nodes
    }

    /// Corners of the triangles in the order of the tree, to which the leaves' runs refer.
    pub(crate) fn corners(&self) -> &[[Point3; 3]] {
        &self.corners
    }

    /// The nearest point of the mesh. For a point with a coordinate that is not a number the
    /// distance is infinite.
    pub fn nearest(&self, point: Point3) -> Nearest {
        let mut best = Nearest {
            distance: f64::INFINITY,
            triangle: self.tree.order[0],
            point: self.corners[0][0],
        };
        let mut stack = vec![(0.0, 0usize)];
        while let Some((least, k)) = stack.pop() {
            if least >= best.distance {
                continue;
            }
            let node = &self.tree.nodes[k];
            if node.is_leaf() {
                for slot in node.run() {
                    let near = primitive::on_triangle(point, &self.corners[slot]);
                    let distance = (near - point).magnitude();
                    if distance < best.distance {
                        best = Nearest {
                            distance,
                            triangle: self.tree.order[slot],
                            point: near,
                        };
                    }
                }
                continue;
            }
            let far = |k: usize| (to_box(point, &self.tree.nodes[k].bounds), k);
            let (one, two) = (far(k + 1), far(node.first as usize));
            // The nearer child last, so that it is looked at first.
            stack.extend(if one.0 < two.0 {
                [two, one]
            } else {
                [one, two]
            });
        }
        best
    }
}

/// Nearest points of two triangles, the first on `a`; degenerate ones are allowed, and triangles
/// that cross are 0 apart.
pub fn between_triangles(a: &[[f64; 3]; 3], b: &[[f64; 3]; 3]) -> [[f64; 3]; 2] {
    let points = primitive::triangles(&a.map(Point3::from), &b.map(Point3::from)).points;
    points.map(Into::into)
}

/// Nearest point of a triangle.
pub fn nearest_on_triangle(p: [f64; 3], t: &[[f64; 3]; 3]) -> [f64; 3] {
    primitive::on_triangle(p.into(), &t.map(Point3::from)).into()
}

/// Float32 box that holds a float64 triangle: rounded outward.
fn bounds(corners: &[Point3; 3]) -> Option<Bounds> {
    let mut all = Bounds::EMPTY;
    for corner in corners {
        let mut own = Bounds::EMPTY;
        for k in 0..3 {
            let near = corner[k] as f32;
            if !near.is_finite() {
                return None;
            }
            let low = f64::from(near) > corner[k];
            let high = f64::from(near) < corner[k];
            own.lo[k] = if low { near.next_down() } else { near };
            own.hi[k] = if high { near.next_up() } else { near };
        }
        all = all.join(&own);
    }
    Some(all)
}

/// Distance of a point from a box, never more than from what is in it: rounding is taken off.
fn to_box(point: Point3, bounds: &Bounds) -> f64 {
    let mut square = 0.0;
    for (k, x) in [point.x, point.y, point.z].into_iter().enumerate() {
        let out = (f64::from(bounds.lo[k]) - x).max(x - f64::from(bounds.hi[k]));
        square += out.max(0.0).powi(2);
    }
    square.sqrt() * SHRINK
}

/// Takes the rounding of a handful of operations off a lower bound.
const SHRINK: f64 = 1.0 - 16.0 * f64::EPSILON;
