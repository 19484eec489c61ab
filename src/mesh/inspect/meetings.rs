//! No two triangles meet except in common corners and edges.
//!
//! Rule: see [`super::pair`]. Reason: closed, oriented and of positive volume is also the half
//! whose socket pokes through its skin, or whose two holes cross. Found by descending the box
//! tree against itself; each pair of boxes that touch is decided exactly.

use super::finding::{Fault, Finding, Meeting};
use super::pair::{Facet, meeting};
use super::weld::Welded;
use crate::mesh::tree::{Bounds, Node, Tree};

/// Triangles in the order of the tree, so that a leaf's triangles lie together.
struct Field {
    tree: Tree,
    facets: Vec<Facet>,
    bounds: Vec<Bounds>,
}

/// Where two triangles (numbers in the field's order) meet.
struct Met {
    pair: [u32; 2],
    meeting: Meeting,
    place: [f64; 3],
}

/// Meetings among the triangles not left out, at most `most` of them, and whether that is all.
pub(super) fn meetings(
    mesh: &Welded,
    left_out: impl Fn(usize) -> bool,
    most: usize,
) -> (Vec<Finding>, bool) {
    let kept: Vec<u32> = (0..mesh.triangles.len() as u32)
        .filter(|&t| !left_out(t as usize))
        .collect();
    let field = Field::new(mesh, &kept);
    let mut met = Vec::new();
    let complete = field.search(most, &mut met);
    let number = |k: u32| mesh.source[kept[field.tree.order[k as usize] as usize] as usize];
    let findings = met
        .iter()
        .map(|m| Finding::new(Fault::Meeting(m.meeting), m.pair.map(number), Some(m.place)))
        .collect();
    (findings, complete)
}

impl Field {
    fn new(mesh: &Welded, kept: &[u32]) -> Field {
        let boxes: Vec<Bounds> = kept
            .iter()
            .map(|&t| Bounds::of(&mesh.at(t as usize)))
            .collect();
        let tree = Tree::new(&boxes);
        let facets = tree
            .order
            .iter()
            .map(|&k| {
                let t = kept[k as usize] as usize;
                Facet::new(mesh.triangles[t], mesh.at(t))
            })
            .collect();
        let bounds = tree.order.iter().map(|&k| boxes[k as usize]).collect();
        Field {
            tree,
            facets,
            bounds,
        }
    }

    /// Descends pairs of nodes whose boxes touch. False when `most` ended the search.
    fn search(&self, most: usize, met: &mut Vec<Met>) -> bool {
        let nodes = &self.tree.nodes;
        let mut stack: Vec<(u32, u32)> = Vec::with_capacity(64);
        stack.extend((!nodes.is_empty()).then_some((0, 0)));
        while let Some((i, j)) = stack.pop() {
            let (a, b) = (&nodes[i as usize], &nodes[j as usize]);
            if i == j {
                if a.is_leaf() {
                    self.within(a, met);
                } else {
                    stack.extend([(i + 1, i + 1), (a.first, a.first), (i + 1, a.first)]);
                }
            } else if a.bounds.touches(&b.bounds) {
                match (a.is_leaf(), b.is_leaf()) {
                    (true, true) => self.across(a, b, met),
                    (true, false) => stack.extend([(i, j + 1), (i, b.first)]),
                    (false, true) => stack.extend([(i + 1, j), (a.first, j)]),
                    (false, false) => stack.extend([
                        (i + 1, j + 1),
                        (i + 1, b.first),
                        (a.first, j + 1),
                        (a.first, b.first),
                    ]),
                }
            }
            if met.len() > most {
                met.truncate(most);
                return false;
            }
        }
        true
    }

    fn within(&self, leaf: &Node, met: &mut Vec<Met>) {
        let run = leaf.run();
        for k in run.clone() {
            for l in k + 1..run.end {
                self.decide(k, l, met);
            }
        }
    }

    fn across(&self, a: &Node, b: &Node, met: &mut Vec<Met>) {
        for k in a.run().filter(|&k| self.bounds[k].touches(&b.bounds)) {
            for l in b.run() {
                self.decide(k, l, met);
            }
        }
    }

    fn decide(&self, k: usize, l: usize, met: &mut Vec<Met>) {
        if self.bounds[k].touches(&self.bounds[l])
            && let Some((meeting, place)) = meeting(&self.facets[k], &self.facets[l])
        {
            let pair = [k as u32, l as u32];
            met.push(Met {
                pair,
                meeting,
                place,
            });
        }
    }
}
