//! The least angle over all pairs of triangles, by two trees at once.

use nalgebra::Vector3;

use super::event::{Facet, cross, meeting};
use super::poised::Poised;
use super::round::{Axis, Round};
use super::{Contact, TOUCH};
use crate::mesh::tree::LEAF;

/// A pair of nodes that may meet.
#[derive(Clone, Copy)]
struct Pair {
    /// Not before this angle.
    gap: f64,
    nodes: [usize; 2],
    rounds: [Round; 2],
}

struct Search<'a> {
    bodies: [&'a Poised<'a>; 2],
    axis: &'a Axis,
    best: Contact,
}

/// First contact of two bodies about the origin, the second turned up to `most` about the axis.
pub(super) fn search(still: &Poised, moving: &Poised, axis: &Axis, most: f64) -> Contact {
    let mut search = Search {
        bodies: [still, moving],
        axis,
        best: Contact {
            angle: most,
            touched: false,
            place: [0.0; 3],
        },
    };
    let rounds = search.bodies.map(|b| axis.round_box(&b.bounds[0]));
    let root = rounds[0].gap(&rounds[1]).map(|gap| Pair {
        gap,
        nodes: [0, 0],
        rounds,
    });
    let mut stack: Vec<Pair> = root.into_iter().collect();
    while let Some(pair) = stack.pop() {
        if !search.may(pair.gap) {
            continue;
        }
        match search.divided(&pair) {
            None => search.leaves(&pair),
            Some(children) => {
                let mut all = children.map(|c| c.filter(|c| search.may(c.gap)));
                // The nearer one last, so that it is looked at first.
                let gap = |c: &Option<Pair>| c.map_or(f64::INFINITY, |c| c.gap);
                if gap(&all[0]) < gap(&all[1]) {
                    all.swap(0, 1);
                }
                stack.extend(all.into_iter().flatten());
            }
        }
    }
    search.best
}

impl Search<'_> {
    /// Whether a pair with this lower bound can still change the answer.
    fn may(&self, gap: f64) -> bool {
        gap < self.best.angle || (!self.best.touched && gap <= self.best.angle)
    }

    /// The pairs of the greater node's children with the other node; `None` for two leaves.
    fn divided(&self, pair: &Pair) -> Option<[Option<Pair>; 2]> {
        let leaf = [0, 1].map(|b| self.bodies[b].node(pair.nodes[b]).is_leaf());
        let size = |b: usize| self.bodies[b].bounds[pair.nodes[b]].size();
        let side = match leaf {
            [true, true] => return None,
            [true, false] => 1,
            [false, true] => 0,
            [false, false] => usize::from(size(1) > size(0)),
        };
        let body = self.bodies[side];
        let own = pair.nodes[side];
        Some([own + 1, body.node(own).first as usize].map(|child| {
            let mut next = *pair;
            next.nodes[side] = child;
            next.rounds[side] = self.axis.round_box(&body.bounds[child]);
            next.gap = next.rounds[0].gap(&next.rounds[1])?;
            Some(next)
        }))
    }

    /// All pairs of triangles of two leaves.
    fn leaves(&mut self, pair: &Pair) {
        let [still, moving] = self.bodies;
        let axis = self.axis;
        let round = |body: &Poised, t: usize| axis.round_triangle(&body.corners[t], body.far[t]);
        let reach = still.bounds[pair.nodes[0]].far;
        let mut rounds = [None; LEAF];
        for j in moving.node(pair.nodes[1]).run() {
            // Distances from the centre are at hand; the triangle against the whole other leaf
            // comes next: most fall here.
            if apart(reach, moving.far[j]) {
                continue;
            }
            let own = round(moving, j);
            if !pair.rounds[0].gap(&own).is_some_and(|gap| self.may(gap)) {
                continue;
            }
            let mut facet = None;
            for (slot, i) in still.node(pair.nodes[0]).run().enumerate() {
                if apart(still.far[i], moving.far[j]) {
                    continue;
                }
                let other = rounds[slot].get_or_insert_with(|| round(still, i));
                if let Some(gap) = other.gap(&own).filter(|&gap| self.may(gap)) {
                    let facet = facet.get_or_insert_with(|| Facet::new(&moving.corners[j]));
                    self.triangles(i, gap, facet);
                }
            }
        }
    }

    /// The still triangle in a slot of its tree against a moving one.
    fn triangles(&mut self, slot: usize, gap: f64, moving: &Facet) {
        let still = Facet::new(&self.bodies[0].corners[slot]);
        let begin = if gap == 0.0 {
            cross(&still, moving)
        } else {
            None
        };
        // At the very end of the turn a contact counts too.
        let before = if self.best.touched {
            self.best.angle
        } else {
            self.best.angle.next_up()
        };
        let found: Option<(f64, Vector3<f64>)> = match begin {
            Some(place) => Some((0.0, place)),
            None => meeting(self.axis, &still, moving, before),
        };
        if let Some((angle, place)) = found {
            self.best = Contact {
                angle,
                touched: true,
                place: place.into(),
            };
        }
    }
}

/// Whether two ranges of distances from the centre, mm, leave more than a touch between them.
fn apart(a: [f64; 2], b: [f64; 2]) -> bool {
    a[0] > b[1] + 2.0 * TOUCH || b[0] > a[1] + 2.0 * TOUCH
}
