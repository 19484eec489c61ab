//! The polynomial pieces of a patch, as Bezier nets.

use super::patch::{Patch, U_DEGREE, breaks};

/// One knot span of a patch as a Bezier net.
#[derive(Debug, Clone, PartialEq)]
pub struct BezierNet {
    /// Degrees along u and v.
    pub degree: (usize, usize),
    /// Control points (w x, w y, w z, w), row by row: `points[i * (degree.1 + 1) + j]` has index
    /// i along u and j along v.
    pub points: Vec<[f64; 4]>,
    /// Knot span along u.
    pub u: (f64, f64),
    /// Knot span along v.
    pub v: (f64, f64),
}

/// A knot span with the matrix from its control points to its Bezier points.
struct Span {
    range: (f64, f64),
    /// Index of the first control point.
    first: usize,
    /// `rows[k][i]`: share of control point first + i in Bezier point k.
    rows: [[f64; 4]; 4],
}

/// The non-empty knot spans: Bezier point k is the blossom at p - k times the span's start and
/// k times its end (Ramshaw's polar form; evaluated by de Boor's steps).
fn spans(knots: &[f64], degree: usize) -> Vec<Span> {
    breaks(knots)
        .windows(2)
        .map(|pair| {
            let last = knots.partition_point(|&k| k <= pair[0]) - 1;
            let mut rows = [[0.0; 4]; 4];
            for (k, row) in rows.iter_mut().enumerate().take(degree + 1) {
                *row = blossom(knots, degree, last, |r| {
                    if r < degree - k { pair[0] } else { pair[1] }
                });
            }
            Span {
                range: (pair[0], pair[1]),
                first: last - degree,
                rows,
            }
        })
        .collect()
}

/// Shares of the span's control points in the blossom at the given arguments.
fn blossom(knots: &[f64], degree: usize, last: usize, argument: impl Fn(usize) -> f64) -> [f64; 4] {
    let mut d = [[0.0; 4]; 4];
    for (i, row) in d.iter_mut().enumerate() {
        row[i] = 1.0;
    }
    for r in 1..=degree {
        let t = argument(r - 1);
        for j in (r..=degree).rev() {
            let (low, high) = (knots[last - degree + j], knots[last + j + 1 - r]);
            let share = (t - low) / (high - low);
            let before = d[j - 1];
            for (now, before) in d[j].iter_mut().zip(before) {
                *now = (1.0 - share) * before + share * *now;
            }
        }
    }
    d[degree]
}

impl Patch {
    /// The patch cut at its knots, u slower than v.
    pub fn beziers(&self) -> Vec<BezierNet> {
        self.beziers_within(self.v_range())
    }

    /// Those pieces of [`Self::beziers`] whose v lies in `v`.
    pub fn beziers_within(&self, v: (f64, f64)) -> Vec<BezierNet> {
        let across: Vec<Span> = spans(&self.v_knots, self.v_degree)
            .into_iter()
            .filter(|s| s.range.0 >= v.0 && s.range.1 <= v.1)
            .collect();
        let mut nets = Vec::new();
        for along in spans(&self.u_knots, U_DEGREE) {
            let rows = self.rows_of(&along);
            for s in &across {
                let mut points = Vec::with_capacity(4 * (self.v_degree + 1));
                for row in &rows {
                    for shares in &s.rows[..=self.v_degree] {
                        points.push(mix(shares, &row[s.first..=s.first + self.v_degree]));
                    }
                }
                nets.push(BezierNet {
                    degree: (U_DEGREE, self.v_degree),
                    points,
                    u: along.range,
                    v: s.range,
                });
            }
        }
        nets
    }

    /// Rows of homogeneous points that are Bezier along u, not yet along v.
    fn rows_of(&self, along: &Span) -> [Vec<[f64; 4]>; 4] {
        along.rows.map(|shares| {
            (0..self.weights.len())
                .map(|j| {
                    let w = self.weights[j];
                    let column: [[f64; 4]; 4] = std::array::from_fn(|i| {
                        let p = self.net[along.first + i][j];
                        [w * p[0], w * p[1], w * p[2], w]
                    });
                    mix(&shares, &column)
                })
                .collect()
        })
    }
}

fn mix(shares: &[f64; 4], points: &[[f64; 4]]) -> [f64; 4] {
    let mut sum = [0.0; 4];
    for (share, p) in shares.iter().zip(points) {
        for c in 0..4 {
            sum[c] += share * p[c];
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::skin::patch::hermite_knots;
    use proptest::prelude::*;

    /// Bernstein sum, written apart from any B-spline.
    fn at(net: &BezierNet, s: f64, t: f64) -> [f64; 3] {
        let bernstein = |n: usize, k: usize, t: f64| {
            let over = [1.0, 1.0, 2.0, 6.0];
            let choose = over[n] / (over[k] * over[n - k]);
            choose * t.powi(k as i32) * (1.0 - t).powi((n - k) as i32)
        };
        let mut sum = [0.0; 4];
        for (k, p) in net.points.iter().enumerate() {
            let (i, j) = (k / (net.degree.1 + 1), k % (net.degree.1 + 1));
            let share = bernstein(net.degree.0, i, s) * bernstein(net.degree.1, j, t);
            for c in 0..4 {
                sum[c] += share * p[c];
            }
        }
        [sum[0] / sum[3], sum[1] / sum[3], sum[2] / sum[3]]
    }

    prop_compose! {
        fn patch()(degree in 1usize..4, steps in prop::collection::vec(0.1..3.0f64, 1..5),
            inner in prop::collection::vec(0.05..0.95f64, 0..4), seed in prop::collection::vec(-5.0..5.0f64, 600))
            -> Patch {
            let mut u = vec![0.0];
            for s in steps {
                u.push(u[u.len() - 1] + s);
            }
            let mut inner = inner;
            inner.sort_by(f64::total_cmp);
            let v_knots: Vec<f64> = vec![0.0; degree + 1].into_iter().chain(inner).chain(vec![1.0; degree + 1]).collect();
            let (rows, columns) = (2 * u.len(), v_knots.len() - degree - 1);
            let mut noise = seed.into_iter().cycle();
            let mut next = || noise.next().unwrap_or(0.0);
            Patch {
                u_knots: hermite_knots(&u),
                v_knots,
                v_degree: degree,
                weights: (0..columns).map(|_| 1.0 + 0.1 * next()).collect(),
                net: (0..rows).map(|_| (0..columns).map(|_| [next(), next(), next()]).collect()).collect(),
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(100))]

        #[test]
        fn pieces_are_the_patch(patch in patch(), s in 0.0..1.0f64, t in 0.0..1.0f64) {
            let nets = patch.beziers();
            let count = (breaks(&patch.u_knots).len() - 1) * (breaks(&patch.v_knots).len() - 1);
            prop_assert_eq!(nets.len(), count);
            for net in &nets {
                let (u, v) = (net.u.0 + s * (net.u.1 - net.u.0), net.v.0 + t * (net.v.1 - net.v.0));
                let (p, q) = (patch.jet(u, v).p, at(net, s, t));
                for c in 0..3 {
                    prop_assert!((p[c] - q[c]).abs() < 1e-10, "{p:?} {q:?}");
                }
            }
        }
    }
}
