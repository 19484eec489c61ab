//! Spline patches as truck's rational types, and back.

use truck_modeling::{BSplineCurve, BSplineSurface, KnotVec, NurbsCurve, NurbsSurface, Vector4};

use crate::skin::patch::{Patch, U_DEGREE, basis};

/// Least span of knots. The kernel takes spans under its tolerance for none and then evaluates a
/// wrong place, so ours stay clear of that by a factor of two.
const LEAST_SPAN: f64 = 2.0 * truck_modeling::base::TOLERANCE;

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

/// A part of a clamped cubic. A knot that lies inside by less than the kernel can tell from the end
/// is left out: the neighbouring span's own polynomial runs on to the end. The spline's slope goes
/// through its knots, so the end is off by half the jump of the second derivative times [`LEAST_SPAN`]
/// squared.
fn between(
    knots: Vec<f64>,
    points: Vec<[f64; 3]>,
    (from, to): (f64, f64),
) -> (Vec<f64>, Vec<[f64; 3]>) {
    let (mut start, mut end) = (from, to);
    for &k in &knots {
        if k > from && k < (from + LEAST_SPAN).min(to) {
            start = k;
        } else if k < to && k > to - LEAST_SPAN && end == to {
            end = k;
        }
    }
    let (mut knots, mut points) = cut(knots, points, (start, end));
    if start > from {
        stretch(&mut knots, &mut points, from);
    }
    if end < to {
        turn(&mut knots, &mut points);
        stretch(&mut knots, &mut points, -to);
        turn(&mut knots, &mut points);
    }
    (knots, points)
}

/// The curve run from its end to its start, along negative knots.
fn turn(knots: &mut [f64], points: &mut [[f64; 3]]) {
    knots.reverse();
    points.reverse();
    for k in knots {
        *k = -*k;
    }
}

/// Runs the first span's polynomial of a clamped cubic on to another start: its control points are
/// that polynomial's blossom at the knots that follow each (Ramshaw's form, from memory: the tests
/// hold it against evaluation).
fn stretch(knots: &mut [f64], points: &mut [[f64; 3]], start: f64) {
    let old = knots[0];
    for round in 1..=U_DEGREE {
        for i in 0..=(U_DEGREE - round) {
            let share = (start - old) / (knots[i + U_DEGREE + 1] - old);
            points[i] = [0, 1, 2].map(|c| points[i][c] + share * (points[i + 1][c] - points[i][c]));
        }
    }
    knots[..=U_DEGREE].fill(start);
}

/// A part of a clamped cubic: knots are inserted at its ends until they part it (Boehm's
/// algorithm; textbook form, from memory: the tests hold it against evaluation).
fn cut(
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

    /// A place along u in fifths, now and then nearer to a knot than the kernel can tell.
    fn place() -> impl Strategy<Value = f64> {
        let knot = prop::sample::select(vec![0.2, 0.3, 0.8]);
        prop_oneof![
            3 => 0.0f64..1.0,
            1 => (knot, -1.0f64..1.0).prop_map(|(k, share)| k + share * LEAST_SPAN / 4.0),
        ]
    }

    /// Off by at most, mm: rounding, and half the jump of the second derivative (values and slopes
    /// up to 3, spans of 0.5 and more: 2 (6 x 6 / 0.25 + 6 x 3 / 0.5)) times the least span squared,
    /// for each of three coordinates.
    const OFF: f64 = 1e-11 + 3.0 * 180.0 * LEAST_SPAN * LEAST_SPAN;

    proptest! {
        #[test]
        fn a_part_of_a_level_line_is_that_part(
            raw in prop::collection::vec(-3.0f64..3.0, 45), v in 0.0f64..1.0, a in place(), b in place()) {
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
                if to - from < 1e-3 {
                    continue;
                }
                let (knots, points) = level(&patch, v, (from, to));
                prop_assert_eq!(knots.len(), points.len() + 4);
                let line = curve(knots, &points);
                for i in 0..=20 {
                    let t = from + (to - from) * f64::from(i) / 20.0;
                    let (p, q) = (line.subs(t), patch.jet(t, v).p);
                    prop_assert!((p.x - q[0]).abs() + (p.y - q[1]).abs() + (p.z - q[2]).abs() < OFF, "{} {} {}", from, to, t);
                }
            }
        }
    }
}
