//! Lower bounds of a signed distance over one control net.

use nalgebra::{Point3, Vector3};

use super::bezier::MAX_DEGREE;
use super::convex::{Convex, Curved};

/// Control points of a net of the highest degree.
const NET: usize = (MAX_DEGREE + 1) * (MAX_DEGREE + 1);
/// Coefficients of the product of two such nets.
const PRODUCT: usize = (2 * MAX_DEGREE + 1) * (2 * MAX_DEGREE + 1);

/// Binomial coefficients n over k up to n = 2 [`MAX_DEGREE`].
const BINOMIAL: [[f64; 2 * MAX_DEGREE + 1]; 2 * MAX_DEGREE + 1] = binomials();

const fn binomials() -> [[f64; 2 * MAX_DEGREE + 1]; 2 * MAX_DEGREE + 1] {
    let mut table = [[0.0; 2 * MAX_DEGREE + 1]; 2 * MAX_DEGREE + 1];
    let mut n = 0;
    while n <= 2 * MAX_DEGREE {
        table[n][0] = 1.0;
        let mut k = 1;
        while k <= n {
            table[n][k] = table[n - 1][k - 1] + table[n - 1][k];
            k += 1;
        }
        n += 1;
    }
    table
}

/// What is known of one cell.
pub(super) struct Bound {
    /// The signed distance is nowhere lower on the cell.
    pub lower: f64,
    /// Signed distance at the middle of the cell.
    pub middle: f64,
    /// Whether to halve in v (else in u).
    pub in_v: bool,
}

/// Coefficients over a grid and the direction in which they vary more.
fn steeper_in_v(values: &[f64], rows: usize, columns: usize) -> bool {
    let (mut du, mut dv) = (0.0, 0.0);
    for i in 0..rows {
        for j in 0..columns {
            let here = values[i * columns + j];
            if i + 1 < rows {
                du += (values[(i + 1) * columns + j] - here).abs();
            }
            if j + 1 < columns {
                dv += (values[i * columns + j + 1] - here).abs();
            }
        }
    }
    // A tie (a net of equal values) must not choose a direction of degree 0.
    if rows == 1 {
        return true;
    }
    columns > 1 && dv > du
}

/// The surface point at the middle of a net.
fn middle(net: &[[f64; 4]], degree: (usize, usize)) -> Point3<f64> {
    let columns = degree.1 + 1;
    let mut sum = [0.0; 4];
    for (i, row) in net.chunks_exact(columns).enumerate() {
        for (j, p) in row.iter().enumerate() {
            let factor = BINOMIAL[degree.0][i] * BINOMIAL[degree.1][j];
            for k in 0..4 {
                sum[k] += factor * p[k];
            }
        }
    }
    Point3::new(sum[0], sum[1], sum[2]) / sum[3]
}

fn project(p: &[f64; 4]) -> Point3<f64> {
    Point3::new(p[0], p[1], p[2]) / p[3]
}

/// A tangent hyperplane of the signed distance: value at x is constant + gradient . x.
struct Tangent {
    gradient: Vector3<f64>,
    constant: f64,
}

impl Tangent {
    fn at(feature: &dyn Convex, p: &Point3<f64>) -> (Self, f64) {
        let (distance, gradient) = feature.signed_distance(p);
        let constant = distance - gradient.dot(&p.coords);
        (Self { gradient, constant }, distance)
    }

    fn value(&self, p: &Point3<f64>) -> f64 {
        self.constant + self.gradient.dot(&p.coords)
    }
}

/// Bounds the signed distance of `feature` over the cell. `enough`: a lower bound of at least
/// this ends the work, since the cell is then put aside.
pub(super) fn bound(
    feature: &dyn Convex,
    net: &[[f64; 4]],
    degree: (usize, usize),
    enough: f64,
) -> Bound {
    let at = middle(net, degree);
    let (tangent, distance) = Tangent::at(feature, &at);
    let mut points = [Point3::origin(); NET];
    let mut values = [0.0; NET];
    let (mut lower, mut lowest) = (f64::INFINITY, 0);
    for (k, p) in net.iter().enumerate() {
        points[k] = project(p);
        values[k] = tangent.value(&points[k]);
        if values[k] < lower {
            (lower, lowest) = (values[k], k);
        }
    }
    let mut result = Bound {
        lower,
        middle: distance,
        in_v: steeper_in_v(&values[..net.len()], degree.0 + 1, degree.1 + 1),
    };
    if result.lower >= enough {
        return result;
    }
    if let Some(curved) = feature.curved(&at) {
        curved_bound(&curved, net, &points[..net.len()], degree, &at, &mut result);
    }
    if distance < 0.0 && result.lower < enough {
        let (other, _) = Tangent::at(feature, &points[lowest]);
        result.lower = result
            .lower
            .max(ridge_bound(&tangent, &other, &points[..net.len()]));
    }
    result
}

/// Best bound by a mixture of two tangents: inside a solid the signed distance has ridges, and
/// no single tangent is good on both sides of one.
fn ridge_bound(one: &Tangent, other: &Tangent, points: &[Point3<f64>]) -> f64 {
    let mixed = |share: f64| {
        points.iter().fold(f64::INFINITY, |least, p| {
            least.min(share * one.value(p) + (1.0 - share) * other.value(p))
        })
    };
    // The bound is concave in the share. Every share gives a valid bound, so it need not be met
    // exactly.
    let (mut from, mut to) = (0.0_f64, 1.0_f64);
    let mut best = mixed(0.0);
    for _ in 0..24 {
        let (a, b) = (from + (to - from) / 3.0, to - (to - from) / 3.0);
        let (at_a, at_b) = (mixed(a), mixed(b));
        best = best.max(at_a).max(at_b);
        if at_a < at_b {
            from = a;
        } else {
            to = b;
        }
    }
    best
}

/// Bernstein coefficients, over a cell, of the square of a curved minorant's r and of its
/// affine part: quotients by the coefficients of the square of the weight. All divisors are
/// positive, so each function is a mean of its quotients, and so is any sum of the two.
struct Products {
    square: [f64; PRODUCT],
    affine: [f64; PRODUCT],
}

impl Products {
    fn of(
        curved: &Curved,
        net: &[[f64; 4]],
        points: &[Point3<f64>],
        degree: (usize, usize),
    ) -> Self {
        let columns = degree.1 + 1;
        // Vector from the centre, affine part, weight; each times the binomial factors, which
        // the quotients cancel.
        let mut factors = [[0.0; 5]; NET];
        for (k, (p, x)) in net.iter().zip(points).enumerate() {
            let weight = BINOMIAL[degree.0][k / columns] * BINOMIAL[degree.1][k % columns] * p[3];
            let y = across(curved, x) * weight;
            let affine = (curved.constant + curved.linear.dot(&x.coords)) * weight;
            factors[k] = [y.x, y.y, y.z, affine, weight];
        }
        let wide = 2 * degree.1 + 1;
        let (mut square, mut affine) = ([0.0; PRODUCT], [0.0; PRODUCT]);
        let mut under = [0.0; PRODUCT];
        for a in 0..net.len() {
            let f = &factors[a];
            for (b, g) in factors.iter().enumerate().take(net.len()).skip(a) {
                let twice = if a == b { 1.0 } else { 2.0 };
                let index = (a / columns + b / columns) * wide + a % columns + b % columns;
                square[index] += twice * (f[0] * g[0] + f[1] * g[1] + f[2] * g[2]);
                affine[index] += twice * 0.5 * (f[3] * g[4] + f[4] * g[3]);
                under[index] += twice * f[4] * g[4];
            }
        }
        for k in 0..(2 * degree.0 + 1) * wide {
            square[k] /= under[k];
            affine[k] /= under[k];
        }
        Self { square, affine }
    }
}

/// Vector of `x` from the curved minorant's centre or axis.
fn across(curved: &Curved, x: &Point3<f64>) -> Vector3<f64> {
    let v = x - curved.centre;
    match curved.axis {
        Some(axis) => v - axis * v.dot(&axis),
        None => v,
    }
}

/// Bound by the curved minorant. Its r is replaced by the chord of the square root between the
/// least and the greatest r^2 of the cell, which lies below it: what is left is a quadratic
/// function of the point, whose Bernstein coefficients over the cell bound it.
fn curved_bound(
    curved: &Curved,
    net: &[[f64; 4]],
    points: &[Point3<f64>],
    degree: (usize, usize),
    at: &Point3<f64>,
    result: &mut Bound,
) {
    let Some(out) = across(curved, at).try_normalize(super::DIRECTION_FLOOR) else {
        return;
    };
    let mut products = Products::of(curved, net, points, degree);
    let (rows, wide) = (2 * degree.0 + 1, 2 * degree.1 + 1);
    let square = &products.square[..rows * wide];
    let affine = &mut products.affine[..rows * wide];
    // r is at least its tangent at the middle, and r^2 at least its least coefficient.
    let tangent = points.iter().fold(f64::INFINITY, |least, p| {
        least.min(across(curved, p).dot(&out))
    });
    let (low, high) = span(square);
    let (least, greatest) = (low.max(0.0).sqrt().max(tangent), high.sqrt());
    // Rounding may cross them when r is constant.
    let greatest = greatest.max(least);
    let factor = curved.slope / (least + greatest);
    for (value, q) in affine.iter_mut().zip(square) {
        *value += curved.slope * least + factor * (q - least * least);
    }
    let (lower, upper) = span(affine);
    if lower > result.lower {
        result.lower = lower;
        // Halve against what costs more: the chord's distance from the root, or the spread of
        // the coefficients.
        let slack = 0.25 * factor * (greatest - least).powi(2);
        let costly = if slack > upper - lower {
            square
        } else {
            affine
        };
        result.in_v = steeper_in_v(costly, rows, wide);
    }
}

/// Least and greatest value.
fn span(values: &[f64]) -> (f64, f64) {
    values
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| {
            (low.min(*x), high.max(*x))
        })
}
