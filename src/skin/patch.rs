//! Tensor-product B-spline patches, rational across v only.
//!
//! The weights depend on v alone, so along u every coordinate is a plain polynomial spline.

/// A patch over [u0, u1] x [v0, v1].
#[derive(Debug, Clone, PartialEq)]
pub struct Patch {
    /// Clamped knots along u; the degree is 3.
    pub u_knots: Vec<f64>,
    /// Clamped knots along v.
    pub v_knots: Vec<f64>,
    /// Degree along v, 1 to 3.
    pub v_degree: usize,
    /// Weight of each column (index along v).
    pub weights: Vec<f64>,
    /// Control points `net[i][j]`, i along u, j along v, mm.
    pub net: Vec<Vec<[f64; 3]>>,
}

/// Degree along u.
pub const U_DEGREE: usize = 3;

/// Point, first derivatives by u and v, mm.
#[derive(Debug, Clone, Copy)]
pub struct Jet {
    /// Point.
    pub p: [f64; 3],
    /// Derivative by u.
    pub du: [f64; 3],
    /// Derivative by v.
    pub dv: [f64; 3],
}

impl Jet {
    /// dS/du x dS/dv, not normalised.
    pub fn normal(&self) -> [f64; 3] {
        cross(self.du, self.dv)
    }
}

/// Cross product.
pub fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

impl Patch {
    /// Range of u.
    pub fn u_range(&self) -> (f64, f64) {
        (self.u_knots[0], self.u_knots[self.u_knots.len() - 1])
    }

    /// Range of v.
    pub fn v_range(&self) -> (f64, f64) {
        (self.v_knots[0], self.v_knots[self.v_knots.len() - 1])
    }

    /// The section curve at u, as homogeneous control points, and its derivative by u.
    pub fn section(&self, u: f64) -> Section<'_> {
        let (span, n, d) = basis(&self.u_knots, U_DEGREE, u);
        let columns = (0..self.weights.len()).map(|j| {
            let (mut p, mut q) = ([0.0; 3], [0.0; 3]);
            for i in 0..=U_DEGREE {
                let c = self.net[span - U_DEGREE + i][j];
                for k in 0..3 {
                    p[k] += n[i] * c[k];
                    q[k] += d[i] * c[k];
                }
            }
            (p, q)
        });
        Section {
            patch: self,
            columns: columns.collect(),
        }
    }

    /// Point and derivatives at (u, v).
    pub fn jet(&self, u: f64, v: f64) -> Jet {
        self.section(u).jet(v)
    }

    /// The patch seen from the other side of the plane y = 0.
    pub fn mirrored_y(&self) -> Patch {
        let mut other = self.clone();
        for p in other.net.iter_mut().flatten() {
            p[1] = -p[1];
        }
        other
    }
}

/// A section curve of a patch at one u.
pub struct Section<'a> {
    patch: &'a Patch,
    columns: Vec<([f64; 3], [f64; 3])>,
}

impl Section<'_> {
    /// Point and derivatives at v.
    pub fn jet(&self, v: f64) -> Jet {
        let patch = self.patch;
        let degree = patch.v_degree;
        let (span, n, d) = basis(&patch.v_knots, degree, v);
        let (mut w, mut dw) = (0.0, 0.0);
        let (mut p, mut du, mut dv) = ([0.0; 3], [0.0; 3], [0.0; 3]);
        for i in 0..=degree {
            let j = span - degree + i;
            let (nw, ndw) = (n[i] * patch.weights[j], d[i] * patch.weights[j]);
            w += nw;
            dw += ndw;
            let (c, cu) = &self.columns[j];
            for k in 0..3 {
                p[k] += nw * c[k];
                du[k] += nw * cu[k];
                dv[k] += ndw * c[k];
            }
        }
        for k in 0..3 {
            p[k] /= w;
            du[k] /= w;
            dv[k] = (dv[k] - dw * p[k]) / w;
        }
        Jet { p, du, dv }
    }
}

/// Knot span and the non-zero B-spline basis functions with first derivatives (Piegl and Tiller,
/// The NURBS Book, algorithms A2.1 to A2.3), for degree 1 to 3.
pub fn basis(knots: &[f64], degree: usize, t: f64) -> (usize, [f64; 4], [f64; 4]) {
    let last = knots.len() - degree - 2;
    let span = (knots[degree + 1..=last].partition_point(|&k| k <= t) + degree).min(last);
    let (mut n, mut lower) = ([0.0; 4], [0.0; 4]);
    n[0] = 1.0;
    for r in 1..=degree {
        if r == degree {
            lower = n;
        }
        let mut saved = 0.0;
        for i in 0..r {
            let (right, left) = (knots[span + i + 1], knots[span + i + 1 - r]);
            let term = n[i] / (right - left);
            n[i] = saved + (right - t) * term;
            saved = (t - left) * term;
        }
        n[r] = saved;
    }
    let mut d = [0.0; 4];
    for (i, slot) in d.iter_mut().enumerate().take(degree + 1) {
        let ratio = |k: usize| {
            let w = knots[span + k] - knots[span + k - degree];
            if w > 0.0 { degree as f64 / w } else { 0.0 }
        };
        let before = if i > 0 { lower[i - 1] * ratio(i) } else { 0.0 };
        let after = if i < degree {
            lower[i] * ratio(i + 1)
        } else {
            0.0
        };
        *slot = before - after;
    }
    (span, n, d)
}

/// Clamped knots of a C1 cubic that joins Bezier spans at `u`.
pub fn hermite_knots(u: &[f64]) -> Vec<f64> {
    let mut knots = vec![u[0]; 4];
    for &k in &u[1..u.len() - 1] {
        knots.extend([k, k]);
    }
    knots.extend([u[u.len() - 1]; 4]);
    knots
}

/// Control points of the C1 cubic through `value` with `slope` at `u` (one coordinate set).
pub fn hermite_points(u: &[f64], value: &[[f64; 3]], slope: &[[f64; 3]]) -> Vec<[f64; 3]> {
    let step = |k: usize, h: f64| [0, 1, 2].map(|c| value[k][c] + slope[k][c] * h / 3.0);
    let mut points = vec![value[0]];
    for k in 1..u.len() {
        let h = u[k] - u[k - 1];
        points.push(step(k - 1, h));
        points.push(step(k, -h));
    }
    points.push(value[u.len() - 1]);
    points
}

/// Distinct knots, in order.
pub fn breaks(knots: &[f64]) -> Vec<f64> {
    let mut b = knots.to_vec();
    b.dedup();
    b
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn basis_sums_to_one_and_its_derivative_is_the_difference_quotient() {
        let knots = [0.0, 0.0, 0.0, 0.0, 1.0, 1.0, 2.5, 3.0, 3.0, 3.0, 3.0];
        for degree in [3] {
            for i in 0..=60 {
                let t = 3.0 * f64::from(i) / 60.0;
                let (_, n, d) = basis(&knots, degree, t);
                assert!((n.iter().sum::<f64>() - 1.0).abs() < 1e-14);
                assert!(d.iter().sum::<f64>().abs() < 1e-12);
            }
        }
        let e = 1e-6;
        let (s, n0, d) = basis(&knots, 3, 1.7);
        let (s1, n1, _) = basis(&knots, 3, 1.7 + e);
        assert_eq!(s, s1);
        for i in 0..4 {
            assert!(((n1[i] - n0[i]) / e - d[i]).abs() < 1e-5);
        }
    }

    #[test]
    fn hermite_keeps_values_and_slopes() {
        let u = [0.0, 2.0, 3.0];
        let value = [[0.0, 1.0, 0.0], [2.0, 4.0, 1.0], [3.0, 2.0, 5.0]];
        let slope = [[1.0, 0.5, 0.0], [1.0, -1.0, 2.0], [1.0, 0.0, 0.0]];
        let points = hermite_points(&u, &value, &slope);
        let patch = Patch {
            u_knots: hermite_knots(&u),
            v_knots: vec![0.0, 0.0, 1.0, 1.0],
            v_degree: 1,
            weights: vec![1.0, 1.0],
            net: points
                .iter()
                .map(|p| vec![*p, [p[0], p[1], p[2] + 1.0]])
                .collect(),
        };
        for k in 0..3 {
            let jet = patch.jet(u[k], 0.0);
            for c in 0..3 {
                assert!((jet.p[c] - value[k][c]).abs() < 1e-13);
                assert!((jet.du[c] - slope[k][c]).abs() < 1e-12);
            }
        }
    }
}
