//! The nearest point of a spline patch, parameters held within the patch.
//!
//! Newton on half the squared distance, downhill also where its second derivatives make no
//! minimum, halved until the distance falls. A parameter at its bound that wants to go further
//! is held there.

use truck_modeling::{InnerSpace, KnotVec, NurbsSurface, Point3, Vector4};

use crate::mesh::jet::Jet;

/// Grid cells per knot span and direction; in the tests 4 found no more than 2.
const PER_SPAN: usize = 2;

/// Valleys of the grid in which Newton starts without a hint: the deepest need not be the one
/// with the nearest grid point.
const STARTS: usize = 6;

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

/// Nearest point: near `hint`, or of the whole patch as a grid sees it.
pub(super) fn nearest(
    patch: &NurbsSurface<Vector4>,
    point: Point3,
    hint: Option<(f64, f64)>,
) -> Foot {
    let search = Search {
        patch,
        point,
        along: [grid(patch.uknot_vec()), grid(patch.vknot_vec())],
    };
    if let Some(hint) = hint {
        return search.descend(search.held(hint));
    }
    let mut best = search.descend(search.held((f64::NEG_INFINITY, f64::NEG_INFINITY)));
    for start in search.starts() {
        let foot = search.descend(start);
        if foot.distance < best.distance {
            best = foot;
        }
    }
    best
}

/// Parameters at the knots and between them, ascending.
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

struct Search<'a> {
    patch: &'a NurbsSurface<Vector4>,
    point: Point3,
    /// Grid parameters of u and of v; never empty, ends are the patch's.
    along: [Vec<f64>; 2],
}

impl Search<'_> {
    fn bounds(&self, k: usize) -> (f64, f64) {
        (self.along[k][0], self.along[k][self.along[k].len() - 1])
    }

    /// Moved into the patch.
    fn held(&self, (u, v): (f64, f64)) -> (f64, f64) {
        let (b, c) = (self.bounds(0), self.bounds(1));
        (u.max(b.0).min(b.1), v.max(c.0).min(c.1))
    }

    fn half_square(&self, (u, v): (f64, f64)) -> f64 {
        (self.patch.subs(u, v) - self.point).magnitude2() / 2.0
    }

    /// The nearest of the grid points that are nearer than their neighbours: one start a valley.
    fn starts(&self) -> Vec<(f64, f64)> {
        let [us, vs] = &self.along;
        let row = |&u: &f64| vs.iter().map(|&v| self.half_square((u, v))).collect();
        let off: Vec<Vec<f64>> = us.iter().map(row).collect();
        let mut low = Vec::new();
        for i in 0..us.len() {
            for j in 0..vs.len() {
                let rows = &off[i.saturating_sub(1)..(i + 2).min(us.len())];
                let around = j.saturating_sub(1)..(j + 2).min(vs.len());
                let mut near = rows.iter().flat_map(|row| &row[around.clone()]);
                if near.all(|&other| off[i][j] <= other) {
                    low.push((off[i][j], (us[i], vs[j])));
                }
            }
        }
        low.sort_by(|a, b| a.0.total_cmp(&b.0));
        low.truncate(STARTS);
        low.into_iter().map(|s| s.1).collect()
    }

    /// Descends from a start to a place where the distance no longer falls.
    fn descend(&self, start: (f64, f64)) -> Foot {
        let range = [0, 1].map(|k| self.bounds(k).1 - self.bounds(k).0);
        let mut at = start;
        let mut half_square = self.half_square(at);
        let mut share = 1.0;
        let mut step = self.step(at);
        for _ in 0..MOST_STEPS {
            let next = self.held((at.0 + share * step.0, at.1 + share * step.1));
            let moved = [(next.0 - at.0).abs(), (next.1 - at.1).abs()];
            if moved[0] <= STILL * range[0] && moved[1] <= STILL * range[1] {
                break;
            }
            let value = self.half_square(next);
            if value < half_square {
                (at, half_square, share) = (next, value, 1.0);
                step = self.step(at);
            } else {
                share /= 2.0;
            }
        }
        Foot {
            at,
            distance: (2.0 * half_square).sqrt(),
        }
    }

    /// The step from `at`: a direction in which the distance falls, and no farther than a cell of
    /// the grid, so that the valley is not left.
    fn step(&self, at: (f64, f64)) -> (f64, f64) {
        let (du, dv) = self.newton(at);
        let cell = |k: usize| {
            let (from, to) = self.bounds(k);
            (to - from) / (self.along[k].len() - 1).max(1) as f64
        };
        let cells = (du.abs() / cell(0)).max(dv.abs() / cell(1));
        if cells > 1.0 {
            (du / cells, dv / cells)
        } else {
            (du, dv)
        }
    }

    fn newton(&self, (u, v): (f64, f64)) -> (f64, f64) {
        let jet = Jet::of(self.patch, u, v);
        let r = jet.point - self.point;
        let (a, c) = (jet.u.magnitude2(), jet.v.magnitude2());
        let held = |x: f64, g: f64, b: (f64, f64)| (x <= b.0 && g > 0.0) || (x >= b.1 && g < 0.0);
        let free_u = a > 0.0 && !held(u, r.dot(jet.u), self.bounds(0));
        let free_v = c > 0.0 && !held(v, r.dot(jet.v), self.bounds(1));
        // In millimetres along the surface, so that both directions weigh alike.
        let (lu, lv) = (a.sqrt(), c.sqrt());
        let (gu, gv) = (r.dot(jet.u) / lu, r.dot(jet.v) / lv);
        let p = 1.0 + r.dot(jet.uu) / a;
        let s = 1.0 + r.dot(jet.vv) / c;
        match (free_u, free_v) {
            (false, false) => (0.0, 0.0),
            (true, false) => (-gu / stiff(p) / lu, 0.0),
            (false, true) => (0.0, -gv / stiff(s) / lv),
            (true, true) => {
                let q = (jet.u.dot(jet.v) + r.dot(jet.uv)) / (lu * lv);
                let (x, y) = downhill(p, q, s, gu, gv);
                (x / lu, y / lv)
            }
        }
    }
}

/// Minus the inverse of the matrix p q q s, its eigenvalues taken as [`stiff`], times g.
fn downhill(p: f64, q: f64, s: f64, gu: f64, gv: f64) -> (f64, f64) {
    let turn = (2.0 * q).atan2(p - s) / 2.0;
    let (sin, cos) = turn.sin_cos();
    let (mean, half) = ((p + s) / 2.0, (p - s).hypot(2.0 * q) / 2.0);
    let along = -(gu * cos + gv * sin) / stiff(mean + half);
    let across = -(gv * cos - gu * sin) / stiff(mean - half);
    (along * cos - across * sin, along * sin + across * cos)
}

/// Size of a second derivative, 1 where the surface is flat. A maximum is left as fast as a
/// minimum is met; the least value keeps the step finite at a centre of curvature.
fn stiff(second: f64) -> f64 {
    second.abs().max(1e-6)
}
