//! Bezier patches and curves in homogeneous coordinates.

use nalgebra::{Point3, Vector3};

/// Highest degree in either direction; the outer form needs 3, an arc at most 5.
pub const MAX_DEGREE: usize = 5;

/// Why a patch or curve was refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BezierError {
    /// A degree above [`MAX_DEGREE`], or a curve without points.
    Degree,
    /// The number of control points does not fit the degrees.
    Count,
    /// A weight that is not positive: the hull would not hold the surface.
    Weight,
    /// A coordinate that is not finite.
    NotFinite,
}

impl std::fmt::Display for BezierError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Degree => "degree out of range",
            Self::Count => "number of control points does not fit the degree",
            Self::Weight => "weight not positive",
            Self::NotFinite => "coordinate not finite",
        })
    }
}

impl std::error::Error for BezierError {}

/// A tensor-product Bezier patch over the unit square, rational with positive weights.
#[derive(Debug, Clone, PartialEq)]
pub struct BezierPatch {
    degree: (usize, usize),
    points: Vec<[f64; 4]>,
}

/// A Bezier curve over the unit interval, rational with positive weights.
#[derive(Debug, Clone, PartialEq)]
pub struct BezierCurve(BezierPatch);

/// Point and first derivatives.
pub(super) struct Jet {
    pub point: Point3<f64>,
    pub du: Vector3<f64>,
    pub dv: Vector3<f64>,
}

impl BezierPatch {
    /// A patch from its degrees in u and v and its control points (w x, w y, w z, w), row by
    /// row: `points[i * (degree_v + 1) + j]` belongs to u index i and v index j.
    ///
    /// # Errors
    /// See [`BezierError`].
    pub fn new(degree: (usize, usize), points: Vec<[f64; 4]>) -> Result<Self, BezierError> {
        if degree.0 > MAX_DEGREE || degree.1 > MAX_DEGREE {
            return Err(BezierError::Degree);
        }
        if points.len() != (degree.0 + 1) * (degree.1 + 1) {
            return Err(BezierError::Count);
        }
        if points.iter().flatten().any(|c| !c.is_finite()) {
            return Err(BezierError::NotFinite);
        }
        if points.iter().any(|p| p[3] <= 0.0) {
            return Err(BezierError::Weight);
        }
        Ok(Self { degree, points })
    }

    /// Degrees in u and v.
    pub fn degree(&self) -> (usize, usize) {
        self.degree
    }

    /// Control points (w x, w y, w z, w), row by row.
    pub fn points(&self) -> &[[f64; 4]] {
        &self.points
    }

    /// The point at (u, v).
    pub fn at(&self, u: f64, v: f64) -> Point3<f64> {
        self.jet(u, v).point
    }

    /// Point and first derivatives at (u, v).
    pub(super) fn jet(&self, u: f64, v: f64) -> Jet {
        let (bu, du) = bernstein(self.degree.0, u);
        let (bv, dv) = bernstein(self.degree.1, v);
        let columns = self.degree.1 + 1;
        let mut sum = [[0.0; 4]; 3];
        for (i, row) in self.points.chunks_exact(columns).enumerate() {
            for (j, p) in row.iter().enumerate() {
                let factors = [bu[i] * bv[j], du[i] * bv[j], bu[i] * dv[j]];
                for (s, f) in sum.iter_mut().zip(factors) {
                    for k in 0..4 {
                        s[k] += f * p[k];
                    }
                }
            }
        }
        let w = sum[0][3];
        let point = Vector3::new(sum[0][0], sum[0][1], sum[0][2]) / w;
        // Quotient rule.
        let derivative = |s: &[f64; 4]| (Vector3::new(s[0], s[1], s[2]) - point * s[3]) / w;
        Jet {
            point: Point3::from(point),
            du: derivative(&sum[1]),
            dv: derivative(&sum[2]),
        }
    }
}

impl BezierCurve {
    /// A curve from its control points (w x, w y, w z, w).
    ///
    /// # Errors
    /// See [`BezierError`].
    pub fn new(points: Vec<[f64; 4]>) -> Result<Self, BezierError> {
        let degree = points.len().checked_sub(1).ok_or(BezierError::Degree)?;
        BezierPatch::new((degree, 0), points).map(Self)
    }

    /// Control points (w x, w y, w z, w).
    pub fn points(&self) -> &[[f64; 4]] {
        self.0.points()
    }

    /// The point at t.
    pub fn at(&self, t: f64) -> Point3<f64> {
        self.0.at(t, 0.0)
    }

    /// The curve as a patch of degree 0 in v.
    pub(super) fn as_patch(&self) -> &BezierPatch {
        &self.0
    }
}

/// Bernstein polynomials of one degree and their derivatives at t.
fn bernstein(degree: usize, t: f64) -> ([f64; MAX_DEGREE + 1], [f64; MAX_DEGREE + 1]) {
    let mut b = [0.0; MAX_DEGREE + 1];
    let mut d = [0.0; MAX_DEGREE + 1];
    b[0] = 1.0;
    for n in 1..=degree {
        if n == degree {
            // Derivative from the polynomials of one degree less.
            for (i, value) in d.iter_mut().enumerate().take(n + 1) {
                let left = if i > 0 { b[i - 1] } else { 0.0 };
                let right = if i < n { b[i] } else { 0.0 };
                *value = n as f64 * (left - right);
            }
        }
        for i in (0..=n).rev() {
            let left = if i > 0 { b[i - 1] } else { 0.0 };
            b[i] = t * left + (1.0 - t) * b[i];
        }
    }
    (b, d)
}

/// Halves the control net `from` in one direction by de Casteljau's steps: the lower half stays
/// in `from`, the upper half is written to `to`.
pub(super) fn halve(
    from: &mut [[f64; 4]],
    to: &mut [[f64; 4]],
    degree: (usize, usize),
    in_v: bool,
) {
    let columns = degree.1 + 1;
    let (n, step, lines, stride) = if in_v {
        (degree.1, 1, degree.0 + 1, columns)
    } else {
        (degree.0, columns, columns, 1)
    };
    for line in 0..lines {
        let first = line * stride;
        let last = first + n * step;
        to[last] = from[last];
        for level in 1..=n {
            // From the far end, so that each step reads what the step before left.
            for i in (level..=n).rev() {
                let (a, b) = (first + (i - 1) * step, first + i * step);
                let left = from[a];
                for (right, left) in from[b].iter_mut().zip(left) {
                    *right = 0.5 * (left + *right);
                }
            }
            to[last - level * step] = from[last];
        }
    }
}
