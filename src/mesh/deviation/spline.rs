//! The nearest point of a spline patch, parameters held within the patch.
//!
//! Newton on half the squared distance, with the full second derivatives where they make a
//! minimum and without the curvature term (Gauss-Newton) where they do not, halved until the
//! distance falls. A parameter at its bound that wants to go further is held there.

use truck_modeling::{InnerSpace, KnotVec, NurbsSurface, Point3, Vector4};

/// Starts per knot span and direction without a hint; a cubic span turns at most twice.
const PER_SPAN: usize = 4;

/// Grid points from which Newton starts without a hint: a fold can hide behind the best one.
const STARTS: usize = 3;

/// Newton steps; a dozen is enough where it converges at all, each halving counts as one.
const MOST_STEPS: usize = 60;

/// Step, as a share of the parameter range, under which the foot stands still (rounding noise).
const STILL: f64 = 1e-13;

/// A point of the patch.
#[derive(Debug, Clone, Copy)]
pub(super) struct Foot {
    pub(super) at: (f64, f64),
    pub(super) distance: f64,
}

type Patch = NurbsSurface<Vector4>;

/// Nearest point: near `hint`, or of the whole patch as a grid sees it.
pub(super) fn nearest(patch: &Patch, point: Point3, hint: Option<(f64, f64)>) -> Foot {
    let range = [bounds(patch.uknot_vec()), bounds(patch.vknot_vec())];
    if let Some((u, v)) = hint {
        let start = (
            u.clamp(range[0].0, range[0].1),
            v.clamp(range[1].0, range[1].1),
        );
        return descend(patch, point, start, range);
    }
    let mut best = descend(patch, point, (range[0].0, range[1].0), range);
    for start in starts(patch, point) {
        let foot = descend(patch, point, start, range);
        if foot.distance < best.distance {
            best = foot;
        }
    }
    best
}

fn bounds(knots: &KnotVec) -> (f64, f64) {
    (knots[0], knots[knots.len() - 1])
}

/// The grid points nearest to the point.
fn starts(patch: &Patch, point: Point3) -> Vec<(f64, f64)> {
    let (us, vs) = (grid(patch.uknot_vec()), grid(patch.vknot_vec()));
    let mut seen: Vec<(f64, (f64, f64))> = us
        .iter()
        .flat_map(|&u| vs.iter().map(move |&v| (u, v)))
        .map(|(u, v)| ((patch.subs(u, v) - point).magnitude2(), (u, v)))
        .collect();
    seen.sort_by(|a, b| a.0.total_cmp(&b.0));
    seen.truncate(STARTS);
    seen.into_iter().map(|s| s.1).collect()
}

/// Parameters at the knots and between them.
fn grid(knots: &KnotVec) -> Vec<f64> {
    let mut grid = vec![knots[0]];
    for k in 1..knots.len() {
        let (from, to) = (knots[k - 1], knots[k]);
        if to > from {
            let part = |i: usize| from + (to - from) * i as f64 / PER_SPAN as f64;
            grid.extend((1..=PER_SPAN).map(part));
        }
    }
    grid
}

/// Descends from a start to a place where the distance no longer falls.
fn descend(patch: &Patch, point: Point3, start: (f64, f64), range: [(f64, f64); 2]) -> Foot {
    let mut at = start;
    let mut half_square = (patch.subs(at.0, at.1) - point).magnitude2() / 2.0;
    let mut share = 1.0;
    let mut step = step(patch, point, at, range);
    for _ in 0..MOST_STEPS {
        let next = (
            (at.0 + share * step.0).clamp(range[0].0, range[0].1),
            (at.1 + share * step.1).clamp(range[1].0, range[1].1),
        );
        let still = |from: f64, to: f64, r: (f64, f64)| (to - from).abs() <= STILL * (r.1 - r.0);
        if still(at.0, next.0, range[0]) && still(at.1, next.1, range[1]) {
            break;
        }
        let value = (patch.subs(next.0, next.1) - point).magnitude2() / 2.0;
        if value < half_square {
            (at, half_square, share) = (next, value, 1.0);
            step = self::step(patch, point, at, range);
        } else {
            share /= 2.0;
        }
    }
    Foot {
        at,
        distance: (2.0 * half_square).sqrt(),
    }
}

/// The step from `at`, a direction in which the distance falls.
fn step(patch: &Patch, point: Point3, (u, v): (f64, f64), range: [(f64, f64); 2]) -> (f64, f64) {
    let r = patch.subs(u, v) - point;
    let (su, sv) = (patch.uder(u, v), patch.vder(u, v));
    let (gu, gv) = (r.dot(su), r.dot(sv));
    let held = |x: f64, g: f64, b: (f64, f64)| (x <= b.0 && g > 0.0) || (x >= b.1 && g < 0.0);
    let (hold_u, hold_v) = (held(u, gu, range[0]), held(v, gv, range[1]));
    let (a, b, c) = (su.dot(su), su.dot(sv), sv.dot(sv));
    let (p, q, s) = (
        a + r.dot(patch.uuder(u, v)),
        b + r.dot(patch.uvder(u, v)),
        c + r.dot(patch.vvder(u, v)),
    );
    match (hold_u, hold_v) {
        (true, true) => (0.0, 0.0),
        (true, false) => (
            0.0,
            -gv / if s > 0.0 { s } else { c.max(f64::MIN_POSITIVE) },
        ),
        (false, true) => (
            -gu / if p > 0.0 { p } else { a.max(f64::MIN_POSITIVE) },
            0.0,
        ),
        (false, false) => solve(p, q, s, gu, gv)
            .or_else(|| solve(a, b, c, gu, gv))
            .unwrap_or_else(|| steepest(a, c, gu, gv)),
    }
}

/// Where the tangents are in line: down the slope, scaled to the longer tangent.
fn steepest(a: f64, c: f64, gu: f64, gv: f64) -> (f64, f64) {
    let most = a.max(c).max(f64::MIN_POSITIVE);
    (-gu / most, -gv / most)
}

/// Solves the symmetric system when it is safely positive.
fn solve(p: f64, q: f64, s: f64, gu: f64, gv: f64) -> Option<(f64, f64)> {
    let det = p * s - q * q;
    // A relative determinant under 1e-12 leaves no figure of the step.
    (p > 0.0 && det > 1e-12 * p * s.abs())
        .then(|| ((q * gv - s * gu) / det, (q * gu - p * gv) / det))
}
