//! A flat tree of float32 boxes round triangles.
//!
//! Guaranteed: every box holds its triangles whole (bounds are never rounded inward), the
//! tree is balanced (depth under 32), the same triangles in the same order give the same
//! tree. Not guaranteed: tight boxes; a triangle is held by its bounds, not its shape.

/// Most triangles in a leaf; of 2, 4 and 8 this took the fewest instructions in
/// `benches/inspect.rs`.
pub(crate) const LEAF: usize = 8;

/// Closed box, lower and upper corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Bounds {
    pub(super) lo: [f32; 3],
    pub(super) hi: [f32; 3],
}

/// A node: its box, and either its children or its leaf's run of [`Tree::order`].
#[derive(Debug, Clone, Copy)]
pub(crate) struct Node {
    pub(super) bounds: Bounds,
    /// First position in `order` of a leaf; second child of an inner node (the first child
    /// is the next node).
    pub(crate) first: u32,
    /// Triangles in the leaf; 0 marks an inner node.
    pub(super) count: u32,
}

/// The tree; node 0 is the root, no node at all when there are no triangles.
#[derive(Debug, Clone)]
pub(super) struct Tree {
    pub(super) nodes: Vec<Node>,
    /// Triangle numbers, leaf by leaf.
    pub(super) order: Vec<u32>,
}

impl Bounds {
    /// Holds nothing; joined with a box gives that box.
    pub(super) const EMPTY: Bounds = Bounds {
        lo: [f32::INFINITY; 3],
        hi: [f32::NEG_INFINITY; 3],
    };

    /// Box of a float32 triangle, exactly.
    pub(super) fn of(corners: &[[f32; 3]; 3]) -> Bounds {
        let [a, b, c] = corners;
        Bounds {
            lo: std::array::from_fn(|k| low(low(a[k], b[k]), c[k])),
            hi: std::array::from_fn(|k| high(high(a[k], b[k]), c[k])),
        }
    }

    /// Smallest box that holds both.
    pub(super) fn join(&self, other: &Bounds) -> Bounds {
        Bounds {
            lo: std::array::from_fn(|k| low(self.lo[k], other.lo[k])),
            hi: std::array::from_fn(|k| high(self.hi[k], other.hi[k])),
        }
    }

    /// Whether the closed boxes have a point in common.
    #[inline]
    pub(super) fn touches(&self, other: &Bounds) -> bool {
        // One branch for six comparisons: this runs several times per triangle.
        (self.lo[0] <= other.hi[0])
            & (other.lo[0] <= self.hi[0])
            & (self.lo[1] <= other.hi[1])
            & (other.lo[1] <= self.hi[1])
            & (self.lo[2] <= other.hi[2])
            & (other.lo[2] <= self.hi[2])
    }

    /// Twice the middle along an axis: enough to order by.
    fn middle(&self, axis: usize) -> f32 {
        self.lo[axis] + self.hi[axis]
    }
}

impl Tree {
    /// Tree over boxes without NaN; triangle k has `boxes[k]`.
    pub(super) fn new(boxes: &[Bounds]) -> Tree {
        let mut tree = Tree {
            nodes: Vec::with_capacity(boxes.len()),
            order: (0..boxes.len() as u32).collect(),
        };
        if !boxes.is_empty() {
            let mut order = std::mem::take(&mut tree.order);
            tree.grow(boxes, &mut order, 0, &mut vec![0; boxes.len()]);
            tree.order = order;
        }
        tree
    }

    /// Adds the node over `run`, which starts at `start` of the whole order; `keys` is room to
    /// sort in.
    fn grow(&mut self, boxes: &[Bounds], run: &mut [u32], start: usize, keys: &mut [u64]) {
        let own = self.nodes.len();
        self.nodes.push(Node {
            bounds: Bounds::EMPTY,
            first: start as u32,
            count: run.len() as u32,
        });
        if run.len() <= LEAF {
            let all = run.iter().map(|&t| boxes[t as usize]);
            self.nodes[own].bounds = all.fold(Bounds::EMPTY, |all, b| all.join(&b));
            return;
        }
        let axis = widest(boxes, run);
        let half = run.len() / 2;
        // Middle above, triangle below, in one word: the order is total and quickly compared.
        let keys = &mut keys[..run.len()];
        for (key, &t) in keys.iter_mut().zip(run.iter()) {
            let middle = ascending(boxes[t as usize].middle(axis));
            *key = u64::from(middle) << 32 | u64::from(t);
        }
        keys.select_nth_unstable(half);
        for (key, t) in keys.iter().zip(run.iter_mut()) {
            *t = *key as u32;
        }
        let (before, after) = run.split_at_mut(half);
        self.grow(boxes, before, start, keys);
        let second = self.nodes.len();
        self.grow(boxes, after, start + half, keys);
        self.nodes[own].bounds = self.nodes[own + 1].bounds.join(&self.nodes[second].bounds);
        self.nodes[own].first = second as u32;
        self.nodes[own].count = 0;
    }
}

impl Node {
    /// Whether the node is a leaf.
    pub(crate) fn is_leaf(&self) -> bool {
        self.count > 0
    }

    /// Its run of the order.
    pub(crate) fn run(&self) -> std::ops::Range<usize> {
        self.first as usize..(self.first + self.count) as usize
    }
}

/// The lesser of two numbers that are not NaN: one instruction, where `f32::min` takes several.
#[inline]
fn low(a: f32, b: f32) -> f32 {
    if a < b { a } else { b }
}

/// The greater of two numbers that are not NaN.
#[inline]
fn high(a: f32, b: f32) -> f32 {
    if a > b { a } else { b }
}

/// The number's bits, changed so that they ascend with it.
fn ascending(x: f32) -> u32 {
    let bits = x.to_bits();
    bits ^ if bits >> 31 == 1 { u32::MAX } else { 1 << 31 }
}

/// Axis along which the middles spread most.
fn widest(boxes: &[Bounds], run: &[u32]) -> usize {
    let (mut lo, mut hi) = ([f32::INFINITY; 3], [f32::NEG_INFINITY; 3]);
    for &t in run {
        for k in 0..3 {
            let m = boxes[t as usize].middle(k);
            lo[k] = low(lo[k], m);
            hi[k] = high(hi[k], m);
        }
    }
    let wide: [f32; 3] = std::array::from_fn(|k| hi[k] - lo[k]);
    if wide[0] >= wide[1] && wide[0] >= wide[2] {
        0
    } else if wide[1] >= wide[2] {
        1
    } else {
        2
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn boxes(n: usize) -> Vec<Bounds> {
        // A scattered but fixed set; the multipliers are arbitrary odd numbers.
        (0..n as u32)
            .map(|k| {
                let lo = [7919, 104_729, 1_299_709].map(|m: u32| (k.wrapping_mul(m) % 997) as f32);
                let hi = [lo[0] + (k % 7) as f32, lo[1] + (k % 5) as f32, lo[2] + 1.0];
                Bounds { lo, hi }
            })
            .collect()
    }

    #[test]
    fn each_triangle_once_and_inside_every_box_above_it() {
        for n in [1, 2, 8, 9, 63, 1000] {
            let boxes = boxes(n);
            let tree = Tree::new(&boxes);
            let mut sorted = tree.order.clone();
            sorted.sort_unstable();
            assert_eq!(sorted, (0..n as u32).collect::<Vec<_>>());
            let mut reached = 0;
            let mut stack = vec![(0usize, Vec::<Bounds>::new())];
            while let Some((k, mut above)) = stack.pop() {
                let node = tree.nodes[k];
                above.push(node.bounds);
                if !node.is_leaf() {
                    stack.push((k + 1, above.clone()));
                    stack.push((node.first as usize, above));
                    continue;
                }
                for p in node.run() {
                    reached += 1;
                    let b = boxes[tree.order[p] as usize];
                    assert!(above.iter().all(|a| a.join(&b) == *a));
                }
            }
            assert_eq!(reached, n);
        }
    }

    #[test]
    fn no_triangles_no_nodes() {
        assert!(Tree::new(&[]).nodes.is_empty());
    }

    #[test]
    fn boxes_that_touch_in_a_corner_touch() {
        let a = Bounds::of(&[[0.0; 3], [1.0; 3], [0.5; 3]]);
        let b = Bounds::of(&[[1.0; 3], [2.0; 3], [1.5; 3]]);
        let next = f32::from_bits(1f32.to_bits() + 1);
        let c = Bounds::of(&[[next; 3], [2.0; 3], [1.5; 3]]);
        assert!(a.touches(&b) && !a.touches(&c));
    }
}
