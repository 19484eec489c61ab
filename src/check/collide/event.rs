//! The angle at which a turning triangle first meets a still one.
//!
//! Two triangles first meet with a corner on a face or with two edges crossing. Let R(t) be the
//! turn. Every product u . R(t) v is c + p cos t + q sin t by Rodrigues' formula, and so are:
//! the height of a turning corner over a still face, n . R v - n . a; that of a still corner over
//! a turning face, the same with the turn reversed; and the product of two lines in Pluecker's
//! coordinates (direction d, moment m = a x d), d1 . R m2 + m1 . R d2, which is zero when they
//! meet. So each of the 15 events has at most two roots, in closed form.

use std::f64::consts::TAU;

use nalgebra::Vector3;

use super::TOUCH;
use super::round::Axis;

/// Lines farther apart than this at their root are parallel, not meeting, mm.
const MEETING: f64 = 10.0 * TOUCH;
/// Squared sine under which two lines count as parallel: their corners then decide.
const PARALLEL: f64 = 1e-16;
/// Roots so little under a whole turn are at 0: they touch before the turn begins.
const BEGIN: f64 = 1e-9;

/// A triangle with its plane and lines.
pub(super) struct Facet {
    corners: [Vector3<f64>; 3],
    /// Unit normal; zero without area.
    normal: Vector3<f64>,
    /// Sides and their moments about the origin.
    sides: [Vector3<f64>; 3],
    moments: [Vector3<f64>; 3],
}

impl Facet {
    pub(super) fn new(corners: &[Vector3<f64>; 3]) -> Facet {
        let [a, b, c] = corners;
        let sides = [b - a, c - b, a - c];
        let normal = sides[0].cross(&sides[1]);
        Facet {
            corners: *corners,
            normal: normal.try_normalize(0.0).unwrap_or_default(),
            sides,
            moments: std::array::from_fn(|k| corners[k].cross(&sides[k])),
        }
    }

    /// Whether a point of the plane lies in the triangle.
    fn holds(&self, p: &Vector3<f64>) -> bool {
        (0..3).all(|k| {
            let side = &self.sides[k];
            side.cross(&(p - self.corners[k])).dot(&self.normal) >= -TOUCH * side.norm()
        })
    }
}

/// c + p cos t + q sin t.
#[derive(Clone, Copy)]
struct Wave {
    c: f64,
    p: f64,
    q: f64,
}

impl Wave {
    /// u . R(t) v.
    #[inline]
    fn product(axis: &Vector3<f64>, u: &Vector3<f64>, v: &Vector3<f64>) -> Wave {
        let c = u.dot(axis) * v.dot(axis);
        Wave {
            c,
            p: u.dot(v) - c,
            q: u.dot(&axis.cross(v)),
        }
    }

    fn plus(self, o: Wave) -> Wave {
        Wave {
            c: self.c + o.c,
            p: self.p + o.p,
            q: self.q + o.q,
        }
    }

    /// Roots in [0, 2 pi) below `before`; a wave that misses 0 by no more than `slack` grazes it.
    #[inline]
    fn roots(self, slack: f64, before: f64) -> impl Iterator<Item = f64> {
        let size = self.p.hypot(self.q);
        let meets = self.c.abs() <= size + slack && size > 0.0;
        let both = meets.then(|| {
            let middle = self.q.atan2(self.p);
            let half = (-self.c / size).clamp(-1.0, 1.0).acos();
            [middle - half, middle + half]
        });
        both.into_iter().flatten().filter_map(move |t| {
            let t = t.rem_euclid(TAU);
            let t = if t > TAU - BEGIN { 0.0 } else { t };
            (t < before).then_some(t)
        })
    }
}

/// The first angle below `before` (radians) at which `moving`, turned about the axis, meets
/// `still`, and the place.
pub(super) fn meeting(
    axis: &Axis,
    still: &Facet,
    moving: &Facet,
    before: f64,
) -> Option<(f64, Vector3<f64>)> {
    let mut best = None;
    let mut before = before;
    let mut found = |event: Option<(f64, Vector3<f64>)>, before: &mut f64| {
        if let Some((t, _)) = event {
            *before = t;
            best = event;
        }
    };
    for k in 0..3 {
        let event = corner_on_face(axis, still, &moving.corners[k], 1.0, before);
        found(event, &mut before);
        let event = corner_on_face(axis, moving, &still.corners[k], -1.0, before);
        found(event.map(|(t, _)| (t, still.corners[k])), &mut before);
        for l in 0..3 {
            found(lines(axis, still, k, moving, l, before), &mut before);
        }
    }
    best
}

/// A corner that turns one way or (`way` -1) the other meets a face: angle and place.
fn corner_on_face(
    axis: &Axis,
    face: &Facet,
    corner: &Vector3<f64>,
    way: f64,
    before: f64,
) -> Option<(f64, Vector3<f64>)> {
    let mut height = Wave::product(&axis.along, &face.normal, corner);
    height.c -= face.normal.dot(&face.corners[0]);
    height.q *= way;
    height
        .roots(TOUCH, before)
        .map(|t| {
            let (sin, cos) = t.sin_cos();
            (t, axis.turn(corner, (way * sin, cos)))
        })
        .filter(|(_, p)| face.holds(p))
        .min_by(|a, b| a.0.total_cmp(&b.0))
}

/// Side `l` of the moving triangle crosses side `k` of the still one.
fn lines(
    axis: &Axis,
    still: &Facet,
    k: usize,
    moving: &Facet,
    l: usize,
    before: f64,
) -> Option<(f64, Vector3<f64>)> {
    let (d, e) = (&still.sides[k], &moving.sides[l]);
    let product = Wave::product(&axis.along, d, &moving.moments[l]).plus(Wave::product(
        &axis.along,
        &still.moments[k],
        e,
    ));
    let slack = TOUCH * (d.norm_squared() * e.norm_squared()).sqrt();
    product
        .roots(slack, before)
        .filter_map(|t| {
            let turn = t.sin_cos();
            let (b, e) = (axis.turn(&moving.corners[l], turn), axis.turn(e, turn));
            crossing(&still.corners[k], d, &b, &e).map(|p| (t, p))
        })
        .min_by(|a, b| a.0.total_cmp(&b.0))
}

/// Where the segments a + [0, 1] d and b + [0, 1] e cross.
fn crossing(
    a: &Vector3<f64>,
    d: &Vector3<f64>,
    b: &Vector3<f64>,
    e: &Vector3<f64>,
) -> Option<Vector3<f64>> {
    let (dd, ee, de) = (d.norm_squared(), e.norm_squared(), d.dot(e));
    let sine = dd * ee - de * de;
    if sine <= PARALLEL * dd * ee {
        return None;
    }
    let between = b - a;
    let (x, y) = (between.dot(d), between.dot(e));
    let (s, u) = ((x * ee - y * de) / sine, (x * de - y * dd) / sine);
    let within = |s: f64, square: f64| {
        let slack = TOUCH / square.sqrt();
        (-slack..=1.0 + slack).contains(&s)
    };
    let (p, q) = (a + d * s, b + e * u);
    (within(s, dd) && within(u, ee) && (p - q).norm() <= MEETING).then_some(p)
}

/// Whether two triangles cross before any turn: a side of one passes through the other.
pub(super) fn cross(a: &Facet, b: &Facet) -> Option<Vector3<f64>> {
    pierced(a, b).or_else(|| pierced(b, a))
}

fn pierced(face: &Facet, other: &Facet) -> Option<Vector3<f64>> {
    let height = |p: &Vector3<f64>| face.normal.dot(&(p - face.corners[0]));
    (0..3).find_map(|k| {
        let (from, side) = (&other.corners[k], &other.sides[k]);
        let (lo, hi) = (height(from), height(&other.corners[(k + 1) % 3]));
        let through = (lo < 0.0) != (hi < 0.0);
        let p = from + side * (lo / (lo - hi));
        (through && face.holds(&p)).then_some(p)
    })
}
