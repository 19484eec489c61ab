//! The nearest points of two exact faces or edges, by Newton from a place nearby.

use nalgebra::{Matrix4, Vector4};

use super::body::V;
use crate::mesh::chart::{Chart, Local};

/// Newton steps; a handful is enough where it converges.
const STEPS: usize = 60;
/// Slip along a face, as a share of the distance, at which the place stands still (rounding).
const STILL: f64 = 1e-10;
/// Longest step, mm.
const LONGEST: f64 = 0.5;

/// A place where the distance no longer falls.
#[derive(Debug, Clone, Copy)]
pub(super) struct Foot {
    pub distance: f64,
    pub ends: [V; 2],
    pub locals: [Local; 2],
}

struct State {
    locals: [Local; 2],
    way: V,
    half_square: f64,
}

fn state(charts: [&Chart; 2], at: &[f64; 4]) -> State {
    let locals = [
        charts[0].local([at[0], at[1]]),
        charts[1].local([at[2], at[3]]),
    ];
    let way = V::from(locals[0].point) - V::from(locals[1].point);
    State {
        locals,
        way,
        half_square: 0.5 * way.norm_squared(),
    }
}

/// Descends; none when it does not come to rest within `reach` mm of where it began.
pub(super) fn descend(charts: [&Chart; 2], start: [[f64; 2]; 2], reach: f64) -> Option<Foot> {
    let mut at = [start[0][0], start[0][1], start[1][0], start[1][1]];
    let bounds = [charts[0].bounds(), charts[1].bounds()].concat();
    for k in 0..4 {
        at[k] = at[k].clamp(bounds[k].0, bounds[k].1);
    }
    let mut now = state(charts, &at);
    let begin = now.locals.map(|l| V::from(l.point));
    let mut damping = 0.0;
    for _ in 0..STEPS {
        let (gradient, matrix, scale) = model(&now);
        let free = [0, 1, 2, 3].map(|k| {
            let (lo, hi) = bounds[k];
            scale[k] > 0.0
                && !(at[k] <= lo && gradient[k] > 0.0)
                && !(at[k] >= hi && gradient[k] < 0.0)
        });
        let slip = (0..4)
            .filter(|k| free[*k])
            .map(|k| gradient[k].abs() / scale[k])
            .fold(0.0, f64::max)
            / now.way.norm();
        if slip < STILL {
            return Some(rest(&now));
        }
        let Some(step) = step(gradient, matrix, scale, free, damping) else {
            damping = f64::max(10.0 * damping, 1e-6);
            continue;
        };
        let longest = (0..4).map(|k| step[k].abs() * scale[k]).fold(0.0, f64::max);
        let share = (LONGEST / longest).min(1.0);
        let next = [0, 1, 2, 3].map(|k| (at[k] + share * step[k]).clamp(bounds[k].0, bounds[k].1));
        let then = state(charts, &next);
        if then.half_square <= now.half_square {
            (at, now) = (next, then);
            damping = if damping < 1e-9 { 0.0 } else { damping / 10.0 };
        } else if slip < 1e-7 {
            // The distance cannot fall any more in rounding; it is right to the slip's square.
            return Some(rest(&now));
        } else {
            damping = f64::max(10.0 * damping, 1e-6);
        }
        let moved = |k: usize| (V::from(now.locals[k].point) - begin[k]).norm();
        if moved(0).max(moved(1)) > reach || damping > 1e9 {
            return None;
        }
    }
    None
}

fn rest(now: &State) -> Foot {
    Foot {
        distance: now.way.norm(),
        ends: now.locals.map(|l| V::from(l.point)),
        locals: now.locals,
    }
}

/// Gradient and second derivatives of half the squared distance, and mm per parameter.
fn model(now: &State) -> (Vector4<f64>, Matrix4<f64>, [f64; 4]) {
    let first: Vec<V> = [(0, 1.0), (1, -1.0)]
        .iter()
        .flat_map(|&(side, sign)| now.locals[side].first.map(|d| V::from(d) * sign))
        .collect();
    let gradient = Vector4::from_fn(|k, _| now.way.dot(&first[k]));
    let matrix = Matrix4::from_fn(|i, j| {
        let mut entry = first[i].dot(&first[j]);
        if i / 2 == j / 2 {
            let sign = if i < 2 { 1.0 } else { -1.0 };
            let second = now.locals[i / 2].second[i % 2 + j % 2];
            entry += sign * now.way.dot(&V::from(second));
        }
        entry
    });
    (gradient, matrix, [0, 1, 2, 3].map(|k| first[k].norm()))
}

/// Step over the free parameters; none when the matrix is not one of a minimum.
fn step(
    gradient: Vector4<f64>,
    matrix: Matrix4<f64>,
    scale: [f64; 4],
    free: [bool; 4],
    damping: f64,
) -> Option<[f64; 4]> {
    let mut m = Matrix4::identity();
    let mut g = Vector4::zeros();
    for i in (0..4).filter(|i| free[*i]) {
        g[i] = -gradient[i] / scale[i];
        for j in (0..4).filter(|j| free[*j]) {
            m[(i, j)] = matrix[(i, j)] / (scale[i] * scale[j]);
        }
        // The least damping stands for directions in which nothing changes, as between planes.
        m[(i, i)] += damping + 1e-12;
    }
    let step = m.cholesky()?.solve(&g);
    Some([0, 1, 2, 3].map(|k| if free[k] { step[k] / scale[k] } else { 0.0 }))
}
