//! Do two triangles meet where they must not: exactly decided.
//!
//! Two triangles without a common corner must have no point in common. With one common corner
//! v, that corner only: any further common point lies on a ray from v that leaves both
//! triangles through the edges opposite v, and the nearer of the two crossings belongs to both
//! triangles, so it is enough to test each opposite edge against the other triangle. With a
//! common edge, that edge only: triangles of different planes have nothing else in common, in
//! one plane the third corners must lie on different sides of the edge.

use super::exact::{Corners, Plane, Point, widen};
use super::finding::{Meeting, Way};
use super::segment::{Hit, Segment, View};

/// A triangle with area and finite corners.
#[derive(Debug, Clone, Copy)]
pub(super) struct Facet {
    /// Welded corner numbers.
    corners: [u32; 3],
    /// Their places.
    at: Corners,
    plane: Plane,
}

impl Facet {
    /// From welded corner numbers and their places.
    pub(super) fn new(corners: [u32; 3], at: Corners) -> Facet {
        let plane = Plane::new(&at);
        Facet { corners, at, plane }
    }

    /// Sides of this facet's plane.
    fn sides<const N: usize>(&self, points: [&Point; N]) -> [f64; N] {
        points.map(|p| self.plane.side(p))
    }

    /// The corners, beginning with corner `first`.
    fn from(&self, first: usize) -> [&Point; 3] {
        [0, 1, 2].map(|k| &self.at[(first + k) % 3])
    }
}

/// How and where two facets meet against the rule; `None` when they keep it. Facets with three
/// common corners are left to the test for repeated triangles.
pub(super) fn meeting(a: &Facet, b: &Facet) -> Option<(Meeting, [f64; 3])> {
    let mut shared = [(0, 0); 3];
    let mut common = 0;
    for i in 0..3 {
        for j in 0..3 {
            if a.corners[i] == b.corners[j] {
                shared[common] = (i, j);
                common += 1;
            }
        }
    }
    let (way, place) = match common {
        0 => strangers(a, b),
        1 => corner_mates(a, b, shared[0]),
        2 => {
            let i = 3 - shared[0].0 - shared[1].0;
            let j = 3 - shared[0].1 - shared[1].1;
            edge_mates(a, i, &b.at[j])
        }
        _ => None,
    }?;
    let common = common as u8;
    Some((Meeting { common, way }, place))
}

/// All strictly on one side: nothing in common with the plane.
fn clear<const N: usize>(sides: &[f64; N]) -> bool {
    sides.iter().all(|&s| s > 0.0) || sides.iter().all(|&s| s < 0.0)
}

fn strangers(a: &Facet, b: &Facet) -> Option<(Way, [f64; 3])> {
    let of_b = a.sides(b.from(0));
    if clear(&of_b) {
        return None;
    }
    let of_a = b.sides(a.from(0));
    if clear(&of_a) {
        return None;
    }
    let flat = of_b == [0.0; 3];
    let (a, b) = (&a.at, &b.at);
    if flat && (edge_between(a, b) || edge_between(b, a)) {
        return None;
    }
    let edges = (0..3).map(|k| (k, (k + 1) % 3));
    let b_through_a = edges
        .clone()
        .map(|(i, j)| hit([&b[i], &b[j]], [of_b[i], of_b[j]], a));
    let a_through_b = edges.map(|(i, j)| hit([&a[i], &a[j]], [of_a[i], of_a[j]], b));
    worst(b_through_a.chain(a_through_b), flat)
}

/// For two triangles of one plane: an edge of `a` has all of `b` strictly on its outer side.
fn edge_between(a: &Corners, b: &Corners) -> bool {
    let view = View::new(a);
    (0..3).any(|k| {
        let (from, to) = (&a[k], &a[(k + 1) % 3]);
        b.iter().all(|p| view.turn(from, to, p) < 0.0)
    })
}

/// `shared` names the common corner in both.
fn corner_mates(a: &Facet, b: &Facet, shared: (usize, usize)) -> Option<(Way, [f64; 3])> {
    let [_, b1, b2] = b.from(shared.1);
    let of_b = a.sides([b1, b2]);
    if clear(&of_b) {
        return None;
    }
    let [v, a1, a2] = a.from(shared.0);
    let of_a = b.sides([a1, a2]);
    if clear(&of_a) {
        return None;
    }
    let flat = of_b == [0.0; 2];
    if flat && sectors_apart(&View::new(&a.at), v, [a1, a2], [b1, b2]) {
        return None;
    }
    let hits = [hit([b1, b2], of_b, &a.at), hit([a1, a2], of_a, &b.at)];
    worst(hits.into_iter(), flat)
}

/// For two sectors of one plane from `v`: a line along a leg of one has its other leg strictly
/// on one side and both legs of the other strictly on the other side. Quick, and true for all
/// but a few of the pairs that keep the rule; the few are decided by their edges.
fn sectors_apart(view: &View, v: &Point, a: [&Point; 2], b: [&Point; 2]) -> bool {
    let beyond = |leg: &Point, own: &Point, other: [&Point; 2]| {
        let s = view.turn(v, leg, own);
        other.iter().all(|p| s * view.turn(v, leg, p) < 0.0)
    };
    beyond(a[0], a[1], b) || beyond(a[1], a[0], b) || beyond(b[0], b[1], a) || beyond(b[1], b[0], a)
}

/// Corner `own` of `a` and `apex` of the other are the corners that are not common.
fn edge_mates(a: &Facet, own: usize, apex: &Point) -> Option<(Way, [f64; 3])> {
    if a.plane.side(apex) != 0.0 {
        return None;
    }
    let [_, from, to] = a.from(own);
    // The view turns a's corners positively, so its own corner is left of the edge.
    (View::new(&a.at).turn(from, to, apex) > 0.0).then(|| (Way::Plane, widen(apex)))
}

fn hit(ends: [&Point; 2], sides: [f64; 2], t: &Corners) -> Option<Hit> {
    Segment { ends, sides }.hit(t)
}

/// The first hit that passes through, else the first.
fn worst(hits: impl Iterator<Item = Option<Hit>>, flat: bool) -> Option<(Way, [f64; 3])> {
    let mut first = None;
    for hit in hits.flatten() {
        if hit.through {
            return Some((Way::Cross, hit.place));
        }
        first.get_or_insert(hit);
    }
    let way = if flat { Way::Plane } else { Way::Touch };
    first.map(|hit| (way, hit.place))
}
