//! Spline patches as truck's rational types, and back.

use truck_modeling::{BSplineCurve, BSplineSurface, KnotVec, NurbsCurve, NurbsSurface, Vector4};

use crate::skin::patch::{Patch, U_DEGREE, basis};

/// The patch as truck's rational surface.
pub fn surface(patch: &Patch) -> NurbsSurface<Vector4> {
    let net = patch
        .net
        .iter()
        .map(|row| homogeneous(row, &patch.weights))
        .collect();
    let knots = (
        KnotVec::from(patch.u_knots.clone()),
        KnotVec::from(patch.v_knots.clone()),
    );
    NurbsSurface::new(BSplineSurface::new(knots, net))
}

/// Reads a truck surface back; its weights must depend on v alone, as all of ours do.
pub fn patch(surface: &NurbsSurface<Vector4>) -> Patch {
    let control = surface.control_points();
    let point = |p: &Vector4| [p.x / p.w, p.y / p.w, p.z / p.w];
    Patch {
        u_knots: surface.uknot_vec().to_vec(),
        v_knots: surface.vknot_vec().to_vec(),
        v_degree: surface.vdegree(),
        weights: control[0].iter().map(|p| p.w).collect(),
        net: control
            .iter()
            .map(|row| row.iter().map(point).collect())
            .collect(),
    }
}

/// The patch's side along u at the first or last v; those columns have weight 1.
pub fn along_u(patch: &Patch, last: bool) -> NurbsCurve<Vector4> {
    let j = if last { patch.weights.len() - 1 } else { 0 };
    let points: Vec<[f64; 3]> = patch.net.iter().map(|row| row[j]).collect();
    let knots = KnotVec::from(patch.u_knots.clone());
    NurbsCurve::new(BSplineCurve::new(
        knots,
        homogeneous(&points, &vec![1.0; points.len()]),
    ))
}

/// The patch's side along v at the first or last u.
pub fn along_v(patch: &Patch, last: bool) -> NurbsCurve<Vector4> {
    let i = if last { patch.net.len() - 1 } else { 0 };
    let knots = KnotVec::from(patch.v_knots.clone());
    NurbsCurve::new(BSplineCurve::new(
        knots,
        homogeneous(&patch.net[i], &patch.weights),
    ))
}

/// The line of equal v between two places along u, as knots and points: a plain polynomial spline,
/// since the weights depend on v alone.
pub fn level(patch: &Patch, v: f64, (from, to): (f64, f64)) -> (Vec<f64>, Vec<[f64; 3]>) {
    let (span, n, _) = basis(&patch.v_knots, patch.v_degree, v);
    let first = span - patch.v_degree;
    let shares: Vec<f64> = (0..=patch.v_degree)
        .map(|i| n[i] * patch.weights[first + i])
        .collect();
    let sum: f64 = shares.iter().sum();
    let points = patch.net.iter().map(|row| {
        let mut p = [0.0; 3];
        for (share, q) in shares.iter().zip(&row[first..]) {
            for c in 0..3 {
                p[c] += share / sum * q[c];
            }
        }
        p
    });
    between(patch.u_knots.clone(), points.collect(), (from, to))
}

/// A part of a clamped cubic: knots are inserted at its ends until they part it (Boehm's
/// algorithm; textbook form, from memory: the tests hold it against evaluation).
fn between(
    mut knots: Vec<f64>,
    mut points: Vec<[f64; 3]>,
    (from, to): (f64, f64),
) -> (Vec<f64>, Vec<[f64; 3]>) {
    let ends = (knots[0], knots[knots.len() - 1]);
    for t in [from, to] {
        if t <= ends.0 || t >= ends.1 {
            continue;
        }
        while knots.iter().filter(|&&k| k == t).count() < U_DEGREE {
            insert(&mut knots, &mut points, t);
        }
    }
    let first = if from <= ends.0 {
        0
    } else {
        knots.partition_point(|&k| k < from) - 1
    };
    let last = if to >= ends.1 {
        points.len()
    } else {
        knots.partition_point(|&k| k < to)
    };
    let mut inner: Vec<f64> = knots.into_iter().filter(|&k| k > from && k < to).collect();
    let mut clamped = vec![from; U_DEGREE + 1];
    clamped.append(&mut inner);
    clamped.extend([to; U_DEGREE + 1]);
    (clamped, points[first..last].to_vec())
}

fn insert(knots: &mut Vec<f64>, points: &mut Vec<[f64; 3]>, t: f64) {
    let span = knots.partition_point(|&k| k <= t) - 1;
    let mut next = Vec::with_capacity(points.len() + 1);
    for i in 0..=points.len() {
        next.push(if i + U_DEGREE <= span {
            points[i]
        } else if i > span {
            points[i - 1]
        } else {
            let share = (t - knots[i]) / (knots[i + U_DEGREE] - knots[i]);
            let (a, b) = (points[i - 1], points[i]);
            [0, 1, 2].map(|c| (1.0 - share) * a[c] + share * b[c])
        });
    }
    *points = next;
    knots.insert(span + 1, t);
}

/// A plain polynomial curve.
pub fn curve(knots: Vec<f64>, points: &[[f64; 3]]) -> NurbsCurve<Vector4> {
    NurbsCurve::new(BSplineCurve::new(
        KnotVec::from(knots),
        homogeneous(points, &vec![1.0; points.len()]),
    ))
}

fn homogeneous(points: &[[f64; 3]], weights: &[f64]) -> Vec<Vector4> {
    points
        .iter()
        .zip(weights)
        .map(|(p, &w)| Vector4::new(p[0] * w, p[1] * w, p[2] * w, w))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::skin::patch::{hermite_knots, hermite_points};
    use proptest::prelude::*;
    use truck_modeling::ParametricCurve;

    proptest! {
        #[test]
        fn a_part_of_a_level_line_is_that_part(
            raw in prop::collection::vec(-3.0f64..3.0, 45), v in 0.0f64..1.0, a in 0.0f64..1.0, b in 0.0f64..1.0) {
            let u = [0.0, 1.0, 1.5, 4.0, 5.0];
            let column = |k: usize| {
                let at = |i: usize, c: usize| raw[15 * k + 3 * i + c];
                let value: Vec<[f64; 3]> = (0..5).map(|i| [0, 1, 2].map(|c| at(i, c))).collect();
                let slope: Vec<[f64; 3]> = (0..5).map(|i| [0, 1, 2].map(|c| at(4 - i, c))).collect();
                hermite_points(&u, &value, &slope)
            };
            let columns = [0, 1, 2].map(column);
            let patch = Patch {
                u_knots: hermite_knots(&u), v_knots: vec![0.0, 0.0, 0.0, 1.0, 1.0, 1.0], v_degree: 2,
                weights: vec![1.0, 0.8, 1.0],
                net: (0..columns[0].len()).map(|i| columns.iter().map(|c| c[i]).collect()).collect(),
            };
            for (from, to) in [(5.0 * a.min(b), 5.0 * a.max(b)), (0.0, 5.0 * a), (1.0, 4.0), (5.0 * b, 5.0), (0.0, 5.0)] {
                prop_assume!(to - from > 1e-3);
                let (knots, points) = level(&patch, v, (from, to));
                prop_assert_eq!(knots.len(), points.len() + 4);
                let line = curve(knots, &points);
                for i in 0..=20 {
                    let t = from + (to - from) * f64::from(i) / 20.0;
                    let (p, q) = (line.subs(t), patch.jet(t, v).p);
                    prop_assert!((p.x - q[0]).abs() + (p.y - q[1]).abs() + (p.z - q[2]).abs() < 1e-11, "{} {} {}", from, to, t);
                }
            }
        }
    }
}
