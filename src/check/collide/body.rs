//! Triangles with a tree of boxes over them.

use std::fmt;

use nalgebra::Vector3;

/// Most triangles in a leaf (a guess; only pace depends on it).
pub(super) const LEAF: usize = 4;

/// A triangle mesh to be turned or turned against.
#[derive(Debug, Clone)]
pub struct Body {
    /// Corners, leaf by leaf.
    pub(super) corners: Vec<[Vector3<f64>; 3]>,
    /// Numbers of the triangles in the input, leaf by leaf.
    pub(super) order: Vec<u32>,
    /// The tree; node 0 is the root, the first child follows its parent.
    pub(super) nodes: Vec<Node>,
}

/// A node of the tree.
#[derive(Debug, Clone, Copy)]
pub(super) struct Node {
    /// First triangle of a leaf; second child of an inner node.
    pub(super) first: u32,
    /// Triangles of a leaf; 0 marks an inner node.
    pub(super) count: u32,
}

/// Why a mesh is no body.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BadBody {
    /// There is no triangle.
    Empty,
    /// A triangle names a position that does not exist.
    NoSuchPosition {
        /// The triangle.
        triangle: u32,
    },
    /// A coordinate is not finite.
    NotFinite {
        /// The triangle.
        triangle: u32,
    },
}

impl fmt::Display for BadBody {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            BadBody::Empty => f.write_str("the mesh has no triangle"),
            BadBody::NoSuchPosition { triangle } => {
                write!(f, "triangle {triangle} names a position that is missing")
            }
            BadBody::NotFinite { triangle } => {
                write!(
                    f,
                    "triangle {triangle} has a coordinate that is not a number"
                )
            }
        }
    }
}

impl std::error::Error for BadBody {}

impl Body {
    /// Body of a mesh with positions in mm. The mesh may be several closed ones side by side.
    ///
    /// # Errors
    /// No triangle, an index out of range, or a coordinate that is not finite.
    pub fn new(positions: &[[f64; 3]], triangles: &[[u32; 3]]) -> Result<Body, BadBody> {
        let mut all = Vec::with_capacity(triangles.len());
        for (triangle, numbers) in (0u32..).zip(triangles) {
            let missing = BadBody::NoSuchPosition { triangle };
            let at = |k: usize| positions.get(numbers[k] as usize).ok_or(missing);
            let own = [*at(0)?, *at(1)?, *at(2)?];
            if !own.as_flattened().iter().all(|x| x.is_finite()) {
                return Err(BadBody::NotFinite { triangle });
            }
            all.push(own.map(Vector3::from));
        }
        if all.is_empty() {
            return Err(BadBody::Empty);
        }
        let middles: Vec<[f64; 3]> = all.iter().map(|[a, b, c]| (a + b + c).into()).collect();
        let mut body = Body {
            corners: Vec::new(),
            order: (0..all.len() as u32).collect(),
            nodes: Vec::with_capacity(all.len()),
        };
        let mut order = std::mem::take(&mut body.order);
        body.grow(&middles, &mut order, 0);
        body.corners = order.iter().map(|&t| all[t as usize]).collect();
        body.order = order;
        Ok(body)
    }

    /// Number of triangles.
    pub fn triangles(&self) -> usize {
        self.order.len()
    }

    /// Adds the node over `run`, which begins at `start` of the whole order: halved along the
    /// axis on which the middles spread most.
    fn grow(&mut self, middles: &[[f64; 3]], run: &mut [u32], start: usize) {
        let own = self.nodes.len();
        self.nodes.push(Node {
            first: start as u32,
            count: run.len() as u32,
        });
        if run.len() <= LEAF {
            return;
        }
        let spread = [0, 1, 2].map(|k| {
            let all = run.iter().map(|&t| middles[t as usize][k]);
            let (lo, hi) = all.fold((f64::INFINITY, f64::NEG_INFINITY), |(lo, hi), x| {
                (lo.min(x), hi.max(x))
            });
            hi - lo
        });
        let axis = (0..3).fold(0, |most, k| if spread[k] > spread[most] { k } else { most });
        let half = run.len() / 2;
        let along = |t: &u32| middles[*t as usize][axis];
        // The triangle's number makes the order total.
        run.select_nth_unstable_by(half, |a, b| along(a).total_cmp(&along(b)).then(a.cmp(b)));
        let (before, after) = run.split_at_mut(half);
        self.grow(middles, before, start);
        let second = self.nodes.len() as u32;
        self.grow(middles, after, start + half);
        self.nodes[own] = Node {
            first: second,
            count: 0,
        };
    }
}

impl Node {
    /// Its triangles in the tree's order, of a leaf.
    pub(super) fn run(&self) -> std::ops::Range<usize> {
        self.first as usize..(self.first + self.count) as usize
    }

    /// Whether it has no children.
    pub(super) fn is_leaf(&self) -> bool {
        self.count > 0
    }
}
