//! The least way through wood between two faces of the mesh.

use std::cmp::Reverse;
use std::collections::BinaryHeap;

use super::body::{APART_COS, Body, Node, Triangle, V};
use super::zone::Zones;
use crate::mesh::nearest::between_triangles;

/// Halvings of a triangle whose nearest point lies in a place that is left out.
const HALVINGS: u32 = 4;

/// A way from the first face to the second.
#[derive(Debug, Clone, Copy)]
pub(super) struct Way {
    pub square: f64,
    pub ends: [V; 2],
    /// Normals of the two triangles.
    pub normals: [V; 2],
}

/// Two faces and what is left out.
pub(super) struct Pair<'a> {
    pub body: &'a Body,
    /// Where to search: trees that hold the two faces as far as they lie outside the zones.
    pub search: &'a Body,
    /// Roots of the two faces in `search`.
    pub roots: [Option<usize>; 2],
    pub zones: &'a Zones,
    pub faces: (usize, usize),
    /// One wall limit, mm.
    pub limit: f64,
    /// Balls (centre, radius) that are left out.
    pub out: &'a [(V, f64)],
}

impl Pair<'_> {
    /// The least way shorter than `most` mm, if there is one.
    pub fn least(&self, most: f64) -> Option<Way> {
        let (a, b) = (self.roots[0]?, self.roots[1]?);
        let (nodes, all) = (&self.search.nodes, &self.search.triangles);
        let mut best: Option<Way> = None;
        let mut square = most * most;
        // Nearest first, so that nothing further than the least way is looked at. Squares are
        // not negative, and then their bits are in their order.
        let mut heap = BinaryHeap::from([Reverse((0, a, b))]);
        while let Some(Reverse((least, i, j))) = heap.pop() {
            if f64::from_bits(least) >= square {
                break;
            }
            let (m, n) = (&nodes[i], &nodes[j]);
            if m.count > 0 && n.count > 0 {
                for k in m.run() {
                    for l in n.run() {
                        self.two(&all[k], &all[l], &mut square, &mut best, HALVINGS);
                    }
                }
                continue;
            }
            for (i, j) in children(m, i, n, j) {
                let (m, n) = (&nodes[i], &nodes[j]);
                let least = m.apart(n);
                if least < square && m.faces(n) && m.inwards(n) && !self.left_out(m, n) {
                    heap.push(Reverse((least.to_bits(), i, j)));
                }
            }
        }
        best
    }

    /// Whether any two triangles of the whole faces, zones and all, could be ends of a way shorter
    /// than `most` mm.
    pub fn any(body: &Body, faces: (usize, usize), most: f64) -> bool {
        let (Some(a), Some(b)) = (body.roots[faces.0], body.roots[faces.1]) else {
            return false;
        };
        let square = most * most;
        let mut stack = vec![(a, b)];
        while let Some((i, j)) = stack.pop() {
            let (m, n) = (&body.nodes[i], &body.nodes[j]);
            if m.apart(n) >= square || !m.faces(n) || !m.inwards(n) {
                continue;
            }
            if m.count == 0 || n.count == 0 {
                stack.extend(children(m, i, n, j));
                continue;
            }
            for s in &body.triangles[m.run()] {
                let other = &body.triangles[n.run()];
                let may = |t: &Triangle| s.normal.dot(&t.normal) < APART_COS && s.inwards(t);
                if other.iter().any(|t| may(t) && s.apart(t) < square) {
                    return true;
                }
            }
        }
        false
    }

    /// Whether one ball that is left out holds both nodes.
    fn left_out(&self, m: &Node, n: &Node) -> bool {
        let mut balls = self.out.iter();
        balls.any(|(centre, r)| m.within(centre, *r) && n.within(centre, *r))
    }

    fn two(&self, s: &Triangle, t: &Triangle, square: &mut f64, best: &mut Option<Way>, left: u32) {
        let apart = s.normal.dot(&t.normal) < APART_COS;
        if !apart || s.apart(t) >= *square || !s.inwards(t) {
            return;
        }
        let ends = between_triangles(&s.corners, &t.corners).map(V::from);
        let way = ends[1] - ends[0];
        let found = way.norm_squared();
        if found >= *square {
            return;
        }
        let both = |(c, r): &(V, f64)| ends.iter().all(|p| (p - c).norm_squared() < r * r);
        if self.out.iter().any(both) {
            // Its nearest point is left out, the rest of it need not be.
            if left > 0 && s.size().max(t.size()) > 0.25 * self.limit {
                let (first, halve_s) = (s.size() >= t.size(), s.size() >= t.size());
                let parts = if first { s.halves() } else { t.halves() };
                for part in parts {
                    let (s, t) = if halve_s { (&part, t) } else { (s, &part) };
                    self.two(s, t, square, best, left - 1);
                }
            }
            return;
        }
        let inwards = way.dot(&s.normal) <= 0.0 && way.dot(&t.normal) >= 0.0;
        if found > 0.0 && inwards && self.body.clear(&ends[0], &ends[1]) {
            *square = found;
            *best = Some(Way {
                square: found,
                ends,
                normals: [s.normal, t.normal],
            });
        }
    }
}

fn children(m: &Node, i: usize, n: &Node, j: usize) -> Vec<(usize, usize)> {
    let girth = |n: &Node| (0..3).map(|k| n.hi[k] - n.lo[k]).sum::<f64>();
    if i == j {
        let (one, two) = (i + 1, m.first as usize);
        vec![(one, one), (two, two), (one, two)]
    } else if n.count > 0 || (m.count == 0 && girth(m) >= girth(n)) {
        vec![(i + 1, j), (m.first as usize, j)]
    } else {
        vec![(i, j + 1), (i, n.first as usize)]
    }
}

impl Triangle {
    /// Length of the longest edge.
    pub fn size(&self) -> f64 {
        (0..3).map(|k| self.edge(k).norm()).fold(0.0, f64::max)
    }

    fn edge(&self, k: usize) -> V {
        V::from(self.corners[(k + 1) % 3]) - V::from(self.corners[k])
    }

    /// Cut across its longest edge.
    pub fn halves(&self) -> [Triangle; 2] {
        let k = (0..3).fold(0, |most, k| {
            if self.edge(k).norm() > self.edge(most).norm() {
                k
            } else {
                most
            }
        });
        let [a, b, c] = [k, (k + 1) % 3, (k + 2) % 3].map(|k| self.corners[k]);
        let middle = [0, 1, 2].map(|k| 0.5 * (a[k] + b[k]));
        [[a, middle, c], [middle, b, c]].map(|corners| Triangle {
            corners,
            normal: self.normal,
        })
    }
}
