//! Does a closed segment meet a closed triangle: exactly decided.

use super::exact::{Corners, Point, best_view, side, turn, widen};

/// Where and how a segment meets a triangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Hit {
    /// The common point (one of them, when there are many), within rounding.
    pub(super) place: [f64; 3],
    /// The segment passes through the inside of the triangle from one side to the other.
    pub(super) through: bool,
}

/// The segment's ends and the sides of the triangle's plane they lie on.
#[derive(Debug, Clone, Copy)]
pub(super) struct Segment<'a> {
    pub(super) ends: [&'a Point; 2],
    pub(super) sides: [f64; 2],
}

impl Segment<'_> {
    /// First common point of the segment with a triangle that has area, if there is one.
    pub(super) fn hit(&self, triangle: &Corners) -> Option<Hit> {
        let [p, q] = self.ends;
        let [sp, sq] = self.sides;
        if (sp > 0.0 && sq > 0.0) || (sp < 0.0 && sq < 0.0) {
            return None;
        }
        if sp == 0.0 && sq == 0.0 {
            let view = View::new(triangle);
            return view.segment_meets(p, q).map(touch);
        }
        if sp == 0.0 || sq == 0.0 {
            let end = if sp == 0.0 { p } else { q };
            return View::new(triangle).holds(end).then(|| touch(widen(end)));
        }
        pierce(p, q, triangle).map(|inside| Hit {
            place: between(p, q, sp / (sp - sq)),
            through: inside,
        })
    }
}

fn touch(place: [f64; 3]) -> Hit {
    Hit {
        place,
        through: false,
    }
}

/// For ends on opposite sides of the plane: does the line pass through the triangle, and if so
/// through its inside? The three volumes have one sign inside and vanish on the border.
fn pierce(p: &Point, q: &Point, t: &Corners) -> Option<bool> {
    let mut low = false;
    let mut high = false;
    let mut border = false;
    for k in 0..3 {
        let s = side(&[*p, *q, t[k]], &t[(k + 1) % 3]);
        low |= s < 0.0;
        high |= s > 0.0;
        border |= s == 0.0;
    }
    (!(low && high)).then_some(!border)
}

fn between(p: &Point, q: &Point, share: f64) -> [f64; 3] {
    let (p, q) = (widen(p), widen(q));
    std::array::from_fn(|k| p[k] + (q[k] - p[k]) * share)
}

/// A triangle seen along the axis from which it looks largest; the questions are about points
/// of its plane.
pub(super) struct View<'a> {
    axis: usize,
    triangle: &'a Corners,
    /// Sign of the triangle's own turn.
    way: f64,
}

impl<'a> View<'a> {
    /// For a triangle that has area.
    pub(super) fn new(triangle: &'a Corners) -> View<'a> {
        let axis = best_view(triangle);
        let [a, b, c] = triangle;
        View {
            axis,
            triangle,
            way: turn(axis, a, b, c).signum(),
        }
    }

    /// Turn in this view, positive the triangle's own way round.
    pub(super) fn turn(&self, a: &Point, b: &Point, c: &Point) -> f64 {
        turn(self.axis, a, b, c) * self.way
    }

    /// Whether the closed triangle holds `p`.
    pub(super) fn holds(&self, p: &Point) -> bool {
        let [a, b, c] = self.triangle;
        self.turn(a, b, p) >= 0.0 && self.turn(b, c, p) >= 0.0 && self.turn(c, a, p) >= 0.0
    }

    /// A common point of the closed triangle and the closed segment.
    fn segment_meets(&self, p: &Point, q: &Point) -> Option<[f64; 3]> {
        if self.holds(p) {
            return Some(widen(p));
        }
        if self.holds(q) {
            return Some(widen(q));
        }
        let [a, b, c] = self.triangle;
        [[a, b], [b, c], [c, a]]
            .into_iter()
            .find_map(|[s, t]| self.segments_meet([p, q], [s, t]))
    }

    fn segments_meet(&self, [p, q]: [&Point; 2], [s, t]: [&Point; 2]) -> Option<[f64; 3]> {
        let (ps, pt) = (self.turn(p, q, s), self.turn(p, q, t));
        let (sp, sq) = (self.turn(s, t, p), self.turn(s, t, q));
        if opposite(ps, pt) && opposite(sp, sq) {
            return Some(between(p, q, sp / (sp - sq)));
        }
        if ps == 0.0 && self.spans(p, q, s) {
            return Some(widen(s));
        }
        if pt == 0.0 && self.spans(p, q, t) {
            return Some(widen(t));
        }
        // An end of pq on st is held by the triangle, which was asked before.
        None
    }

    /// For a point on the line pq: whether it lies between p and q.
    fn spans(&self, p: &Point, q: &Point, on: &Point) -> bool {
        (0..3)
            .filter(|&k| k != self.axis)
            .all(|k| p[k].min(q[k]) <= on[k] && on[k] <= p[k].max(q[k]))
    }
}

fn opposite(a: f64, b: f64) -> bool {
    (a < 0.0 && b > 0.0) || (a > 0.0 && b < 0.0)
}
