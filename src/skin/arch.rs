//! The section curve above the rim as a cubic B-spline arch of fixed knots.
//!
//! A superellipse |y/w|^n + |z/h|^n = 1 has no exact spline: its control points are fitted, and
//! the misfit is reported. A circle arc is exact, with weights that depend on the arc's angle
//! alone; the same weights then carry every other section of that half, so that the skin is one
//! patch whose domed end is a true circle.

use nalgebra::{DMatrix, DVector};

use super::patch::basis;

/// Knot spans of the arch; 13 control points keep a superellipse of exponent 2.5 and half axes
/// of 14 mm within 0.008 mm (checked by a test).
pub const SPANS: usize = 10;
/// Control points of the arch.
pub const COLUMNS: usize = SPANS + 3;
/// Samples over half an arch in the fit.
const SAMPLES: usize = 90;
/// Rounds of re-assigning curve parameters in the fit.
const ROUNDS: usize = 8;

/// Knots of the arch over [0, 1].
pub fn knots() -> Vec<f64> {
    let inner = (1..SPANS).map(|i| i as f64 / SPANS as f64);
    [0.0; 4].into_iter().chain(inner).chain([1.0; 4]).collect()
}

/// Column weights: all 1, or those of the circle arc that starts at `beta` above the split plane.
pub fn weights(beta: Option<f64>) -> Vec<f64> {
    match beta {
        None => vec![1.0; COLUMNS],
        Some(beta) => polynomial(|v| circle_weight(beta, v)),
    }
}

/// Control points (y, z) of the unit circle's arc from beta over the top to pi - beta, run from
/// y = -cos beta to +cos beta, for the weights of the same beta.
pub fn circle(beta: f64) -> Vec<[f64; 2]> {
    let half = std::f64::consts::FRAC_PI_2 - beta;
    // Rational quadratic: ends on the circle, middle point where the end tangents meet.
    let top = 1.0 / half.cos();
    let w = weights(Some(beta));
    let weighted = |f: &dyn Fn(f64, f64, f64) -> f64| {
        polynomial(|v| {
            f(
                (1.0 - v) * (1.0 - v),
                2.0 * v * (1.0 - v) * half.cos(),
                v * v,
            )
        })
    };
    let y = weighted(&|a, _, c| (c - a) * half.sin());
    let z = weighted(&|a, b, c| (a + c) * half.cos() + b * top);
    (0..COLUMNS).map(|j| [y[j] / w[j], z[j] / w[j]]).collect()
}

fn circle_weight(beta: f64, v: f64) -> f64 {
    let half = std::f64::consts::FRAC_PI_2 - beta;
    (1.0 - v) * (1.0 - v) + 2.0 * v * (1.0 - v) * half.cos() + v * v
}

/// B-spline coefficients of a polynomial of degree at most 3, by interpolation at the Greville
/// points (exact up to rounding).
fn polynomial(f: impl Fn(f64) -> f64) -> Vec<f64> {
    let knots = knots();
    let mut a = DMatrix::zeros(COLUMNS, COLUMNS);
    let mut rhs = DVector::zeros(COLUMNS);
    for j in 0..COLUMNS {
        let v = (knots[j + 1] + knots[j + 2] + knots[j + 3]) / 3.0;
        let (span, n, _) = basis(&knots, 3, v);
        for i in 0..4 {
            a[(j, span - 3 + i)] = n[i];
        }
        rhs[j] = f(v);
    }
    // The Greville collocation matrix of a B-spline basis is never singular.
    a.lu()
        .solve(&rhs)
        .map_or_else(|| vec![0.0; COLUMNS], |x| x.iter().copied().collect())
}

/// The fitted superellipse arch of unit half axes.
#[derive(Debug, Clone, PartialEq)]
pub struct Arch {
    /// Control points (y, z) from y = -1 to y = 1.
    pub points: Vec<[f64; 2]>,
    /// Largest distance of the spline from the superellipse, for unit half axes.
    pub misfit: f64,
}

/// Fits the superellipse of exponent `n` (2 or more) with the given column weights. Least squares
/// over half the arch, mirrored; ends and end tangents are exact.
pub fn superellipse(n: f64, weights: &[f64]) -> Arch {
    let knots = knots();
    let half = COLUMNS / 2;
    let mut t: Vec<f64> = (0..=SAMPLES)
        .map(|k| 0.5 * k as f64 / SAMPLES as f64)
        .collect();
    let target: Vec<[f64; 2]> = spaced_targets(n);
    let mut points = vec![[0.0; 2]; COLUMNS];
    // Columns held at y = -1: a square section's free fit would bulge past the rim and face down.
    let mut upright = 2;
    for _ in 0..ROUNDS {
        let rows: Vec<Vec<f64>> = t
            .iter()
            .map(|&v| rational_row(&knots, weights, v))
            .collect();
        let z = solve_symmetric(&rows, &target, half, Coordinate::Z);
        let mut y = solve_symmetric(&rows, &target, half, Coordinate::Y { upright });
        while upright < half - 1 && y[upright] < -1.0 {
            upright += 1;
            y = solve_symmetric(&rows, &target, half, Coordinate::Y { upright });
        }
        for j in 0..COLUMNS {
            points[j] = [y[j], z[j]];
        }
        for (k, v) in t.iter_mut().enumerate().take(SAMPLES).skip(1) {
            *v = closest(&knots, weights, &points, target[k], *v);
        }
    }
    let misfit = misfit(n, &knots, weights, &points);
    Arch { points, misfit }
}

/// Points of the quarter superellipse from (-1, 0) to (0, 1), evenly spaced along the curve.
fn spaced_targets(n: f64) -> Vec<[f64; 2]> {
    let at = |a: f64| [-a.cos().powf(2.0 / n), a.sin().powf(2.0 / n)];
    let fine = 4000;
    let angle = |i: usize| std::f64::consts::FRAC_PI_2 * i as f64 / fine as f64;
    let points: Vec<[f64; 2]> = (0..=fine)
        .map(|i| if i == fine { [0.0, 1.0] } else { at(angle(i)) })
        .collect();
    let mut length = vec![0.0];
    for p in points.windows(2) {
        length.push(length[length.len() - 1] + (p[1][0] - p[0][0]).hypot(p[1][1] - p[0][1]));
    }
    let total = length[fine];
    (0..=SAMPLES)
        .map(|k| {
            let i = length
                .partition_point(|&l| l < total * k as f64 / SAMPLES as f64)
                .min(fine);
            points[i]
        })
        .collect()
}

/// Rational basis functions of all columns at v.
fn rational_row(knots: &[f64], weights: &[f64], v: f64) -> Vec<f64> {
    let (span, n, _) = basis(knots, 3, v);
    let mut row = vec![0.0; COLUMNS];
    let mut total = 0.0;
    for (i, n) in n.iter().enumerate() {
        let j = span - 3 + i;
        row[j] = n * weights[j];
        total += row[j];
    }
    row.iter_mut().for_each(|r| *r /= total);
    row
}

#[derive(Clone, Copy)]
enum Coordinate {
    /// Odd about the middle; the first `upright` columns are -1.
    Y { upright: usize },
    /// Even about the middle; the first column is 0.
    Z,
}

/// Least squares for one coordinate with the mirror symmetry and the fixed end conditions built in.
fn solve_symmetric(
    rows: &[Vec<f64>],
    target: &[[f64; 2]],
    half: usize,
    coordinate: Coordinate,
) -> Vec<f64> {
    let (c, sign) = match coordinate {
        Coordinate::Y { .. } => (0, -1.0),
        Coordinate::Z => (1, 1.0),
    };
    let fixed = |j: usize| match coordinate {
        Coordinate::Y { upright } if j < upright => Some(-1.0),
        Coordinate::Y { .. } if j == half => Some(0.0),
        Coordinate::Z if j == 0 => Some(0.0),
        _ => None,
    };
    let unknown: Vec<usize> = (0..=half).filter(|&j| fixed(j).is_none()).collect();
    let mut a = DMatrix::zeros(rows.len(), unknown.len());
    let mut rhs = DVector::zeros(rows.len());
    for (k, row) in rows.iter().enumerate() {
        let both = |j: usize| {
            row[j]
                + if j == half {
                    0.0
                } else {
                    sign * row[COLUMNS - 1 - j]
                }
        };
        rhs[k] = target[k][c]
            - (0..=half)
                .filter_map(|j| Some(fixed(j)? * both(j)))
                .sum::<f64>();
        for (i, &j) in unknown.iter().enumerate() {
            a[(k, i)] = both(j);
        }
    }
    let normal = a.transpose() * &a;
    let x = normal.cholesky().map(|d| d.solve(&(a.transpose() * rhs)));
    let mut out = vec![0.0; COLUMNS];
    for j in 0..=half {
        let at = unknown.iter().position(|&u| u == j);
        let value = fixed(j).or_else(|| Some(x.as_ref()?[at?])).unwrap_or(0.0);
        out[j] = value;
        if j < half {
            out[COLUMNS - 1 - j] = sign * value;
        }
    }
    out
}

fn evaluate(knots: &[f64], weights: &[f64], points: &[[f64; 2]], v: f64) -> ([f64; 2], [f64; 2]) {
    let (span, n, d) = basis(knots, 3, v);
    let (mut w, mut dw, mut p, mut q) = (0.0, 0.0, [0.0; 2], [0.0; 2]);
    for i in 0..4 {
        let j = span - 3 + i;
        w += n[i] * weights[j];
        dw += d[i] * weights[j];
        for c in 0..2 {
            p[c] += n[i] * weights[j] * points[j][c];
            q[c] += d[i] * weights[j] * points[j][c];
        }
    }
    let p = p.map(|x| x / w);
    (
        [p[0], p[1]],
        [(q[0] - dw * p[0]) / w, (q[1] - dw * p[1]) / w],
    )
}

/// A few Gauss-Newton steps towards the parameter of the nearest curve point, kept in (0, 1/2).
fn closest(knots: &[f64], weights: &[f64], points: &[[f64; 2]], to: [f64; 2], start: f64) -> f64 {
    let mut v = start;
    for _ in 0..2 {
        let (p, d) = evaluate(knots, weights, points, v);
        let speed = d[0] * d[0] + d[1] * d[1];
        let step = ((to[0] - p[0]) * d[0] + (to[1] - p[1]) * d[1]) / speed.max(1e-12);
        v = (v + step.clamp(-0.02, 0.02)).clamp(1e-6, 0.5);
    }
    v
}

/// Distance from the superellipse to first order: (F^(1/n) - 1) / |grad F^(1/n)|.
fn misfit(n: f64, knots: &[f64], weights: &[f64], points: &[[f64; 2]]) -> f64 {
    (1..=400)
        .map(|k| {
            let ([y, z], _) = evaluate(knots, weights, points, 0.5 * f64::from(k) / 400.0);
            let (a, b) = (y.abs(), z.abs());
            let f = (a.powf(n) + b.powf(n)).powf(1.0 / n);
            let slope = |c: f64| (c / f).powf(n - 1.0);
            (f - 1.0).abs() / slope(a).hypot(slope(b))
        })
        .fold(0.0, f64::max)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn circle_arch_is_a_circle() {
        for beta in [0.15f64, 0.3, 0.6, 1.0] {
            let (k, w, p) = (knots(), weights(Some(beta)), circle(beta));
            for i in 0..=50 {
                let ([y, z], _) = evaluate(&k, &w, &p, f64::from(i) / 50.0);
                assert!(
                    (y.hypot(z) - 1.0).abs() < 1e-13,
                    "beta {beta}: {}",
                    y.hypot(z)
                );
            }
            let ([y, z], _) = evaluate(&k, &w, &p, 0.0);
            assert!((y + beta.cos()).abs() < 1e-14 && (z - beta.sin()).abs() < 1e-14);
        }
    }

    #[test]
    fn superellipse_is_close_and_symmetric() {
        for (n, limit) in [(2.0, 2e-4), (2.5, 6e-4), (3.0, 8e-4), (4.0, 2e-3)] {
            for beta in [None, Some(0.2), Some(0.4), Some(0.8)] {
                let arch = superellipse(n, &weights(beta));
                assert!(arch.misfit < limit, "n {n} beta {beta:?}: {}", arch.misfit);
                assert_eq!(arch.points[0], [-1.0, 0.0]);
                assert_eq!(arch.points[COLUMNS - 1], [1.0, 0.0]);
                // Climbs from the side to the middle: a height field, so no undercut.
                for j in 1..=COLUMNS / 2 {
                    assert!(
                        arch.points[j][0] >= arch.points[j - 1][0],
                        "n {n} beta {beta:?} column {j}: {:?}",
                        arch.points
                    );
                }
            }
        }
    }
}
