//! The outer form as smooth curves through its stations, without overshoot.
//!
//! One parameter u carries x, half width, height and squareness as C1 piecewise cubics. Between
//! ordinary ends u is x itself. In the span next to a closed end x is a parabola of u that starts
//! with slope 0, so that width and height leave the small flat end at right angles to the axis:
//! a graph over x has no vertical tangent.

use super::EndFace;
use super::half::{HalfForm, HalfStation};

/// Length of the zone that leads from a domed end's circle to the ordinary section, over the
/// circle's radius, unless the next station is nearer.
pub const ROUND_ZONE: f64 = 0.5;

/// Slope of width and height at a closed end, over the span's mean slope in u: that of a
/// quarter ellipse, sqrt 2 (derived: x = a(1 - cos s), w = b sin s, u proportional to s).
const CLOSED_SLOPE: f64 = std::f64::consts::SQRT_2;

/// Values (x, half width, height, squareness) or their derivatives by u.
pub type Values = [f64; 4];

/// A half's outer form as a curve in u.
#[derive(Debug, Clone)]
pub struct Outline {
    u: Vec<f64>,
    value: Vec<Values>,
    slope: Vec<Values>,
}

impl Outline {
    /// The outline of a half. Needs at least two stations with increasing x.
    pub fn of(half: &HalfForm) -> Self {
        let closed = [&half.front, &half.rear].map(|e| e.face == EndFace::Closed);
        Self::through(&half.stations, closed)
    }

    /// Through stations; `closed` says whether the front and the rear end are closed.
    pub fn through(stations: &[HalfStation], closed: [bool; 2]) -> Self {
        let n = stations.len();
        let x: Vec<f64> = stations.iter().map(|s| s.x).collect();
        let value: Vec<Values> = stations
            .iter()
            .map(|s| [s.x, s.half_width, s.height, s.squareness])
            .collect();
        let mut u = vec![x[0]];
        let mut slope = vec![[1.0, 0.0, 0.0, 0.0]; n];
        for k in 1..n {
            let stretch = is_closed_span(k - 1, n, closed);
            u.push(u[k - 1] + (x[k] - x[k - 1]) * if stretch { 2.0 } else { 1.0 });
        }
        for c in 1..4 {
            let y: Vec<f64> = value.iter().map(|v| v[c]).collect();
            for (k, m) in monotone_slopes(&x, &y, closed).into_iter().enumerate() {
                slope[k][c] = m;
            }
        }
        for (end, k, inner) in [(0, 0, 1), (1, n - 1, n - 2)] {
            if closed[end] {
                let mean = |c: usize| (value[inner][c] - value[k][c]) / (u[inner] - u[k]);
                slope[k] = [0.0, CLOSED_SLOPE * mean(1), CLOSED_SLOPE * mean(2), 0.0];
            }
        }
        Outline { u, value, slope }
    }

    /// Parameters of the stations.
    pub fn knots(&self) -> &[f64] {
        &self.u
    }

    /// Values and first derivatives at u (clamped to the range).
    pub fn at(&self, u: f64) -> (Values, Values) {
        let last = self.u.len() - 2;
        let k = self.u[1..=last].partition_point(|&k| k <= u);
        let h = self.u[k + 1] - self.u[k];
        let t = ((u - self.u[k]) / h).clamp(0.0, 1.0);
        let (mut v, mut d) = ([0.0; 4], [0.0; 4]);
        for c in 0..4 {
            let (a, b) = (self.value[k][c], self.value[k + 1][c]);
            let (p, q) = (self.slope[k][c] * h, self.slope[k + 1][c] * h);
            let (c2, c3) = (3.0 * (b - a) - 2.0 * p - q, p + q - 2.0 * (b - a));
            v[c] = a + t * (p + t * (c2 + t * c3));
            d[c] = (p + t * (2.0 * c2 + 3.0 * t * c3)) / h;
        }
        (v, d)
    }

    /// The parameter at which x is reached; x is clamped to the range.
    pub fn u_of_x(&self, x: f64) -> f64 {
        let last = self.u.len() - 2;
        let k = self.value[1..=last].partition_point(|v| v[0] <= x);
        let (a, b) = (self.value[k][0], self.value[k + 1][0]);
        let (from, to, span) = (self.u[k], self.u[k + 1], b - a);
        let x = x.clamp(a, b);
        // x is u itself, or a parabola of u with slope 0 at a closed end (slope 1 at the other).
        match (self.slope[k][0] == 0.0, self.slope[k + 1][0] == 0.0) {
            (false, false) => from + (x - a),
            (true, false) => from + 2.0 * (span * (x - a)).sqrt(),
            (false, true) => to - 2.0 * (span * (b - x)).sqrt(),
            (true, true) => self.between(x, from, to),
        }
    }

    /// The same by halving, for the one span of a body that is closed at both ends.
    fn between(&self, x: f64, mut from: f64, mut to: f64) -> f64 {
        for _ in 0..80 {
            let middle = 0.5 * (from + to);
            if self.at(middle).0[0] < x {
                from = middle;
            } else {
                to = middle;
            }
        }
        0.5 * (from + to)
    }
}

fn is_closed_span(span: usize, stations: usize, closed: [bool; 2]) -> bool {
    (closed[0] && span == 0) || (closed[1] && span + 2 == stations)
}

/// Slopes dy/dx at the stations: those of the parabola through three neighbours, limited to three
/// times the smaller secant (Fritsch and Carlson 1980, the sufficient box), 0 at a turning point.
/// Next to a closed span the limit is 1.5 times its secant, since x runs at half speed there.
pub fn monotone_slopes(x: &[f64], y: &[f64], closed: [bool; 2]) -> Vec<f64> {
    let n = x.len();
    let secant: Vec<f64> = (1..n)
        .map(|k| (y[k] - y[k - 1]) / (x[k] - x[k - 1]))
        .collect();
    let cap = |k: usize| {
        secant[k].abs()
            * if is_closed_span(k, n, closed) {
                1.5
            } else {
                3.0
            }
    };
    let mut m = vec![0.0; n];
    if n < 3 {
        return vec![secant[0]; 2];
    }
    for k in 1..n - 1 {
        let (a, b) = (secant[k - 1], secant[k]);
        if a * b > 0.0 {
            let (ha, hb) = (x[k] - x[k - 1], x[k + 1] - x[k]);
            let parabola = (a * hb + b * ha) / (ha + hb);
            m[k] = parabola.signum() * parabola.abs().min(cap(k - 1)).min(cap(k));
        }
    }
    m[0] = end_slope(secant[0], secant[1], x[1] - x[0], x[2] - x[1]);
    m[n - 1] = end_slope(
        secant[n - 2],
        secant[n - 3],
        x[n - 1] - x[n - 2],
        x[n - 2] - x[n - 3],
    );
    m
}

/// One-sided parabola slope, kept on the side of its own secant and within three times it.
fn end_slope(near: f64, far: f64, h_near: f64, h_far: f64) -> f64 {
    let m = near + (near - far) * h_near / (h_near + h_far);
    if m * near <= 0.0 {
        0.0
    } else {
        m.signum() * m.abs().min(3.0 * near.abs())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn stations(heights: &[f64]) -> Vec<HalfStation> {
        heights
            .iter()
            .enumerate()
            .map(|(k, &h)| HalfStation {
                x: 3.0 * k as f64 + 0.2 * (k * k) as f64,
                half_width: h,
                height: h + 1.0,
                squareness: 2.5,
            })
            .collect()
    }

    proptest! {
        #[test]
        fn never_leaves_the_band_of_its_two_stations(
            h in proptest::collection::vec(1.0f64..20.0, 2..8),
            front in any::<bool>(), rear in any::<bool>()) {
            let s = stations(&h);
            prop_assume!(s.len() > 2 || !(front && rear));
            let o = Outline::through(&s, [front, rear]);
            for k in 1..s.len() {
                let (a, b) = (s[k - 1].half_width, s[k].half_width);
                for i in 0..=20 {
                    let u = o.knots()[k - 1] + (o.knots()[k] - o.knots()[k - 1]) * f64::from(i) / 20.0;
                    let (v, d) = o.at(u);
                    prop_assert!(v[1] >= a.min(b) - 1e-12 && v[1] <= a.max(b) + 1e-12);
                    prop_assert!(v[0] >= s[k - 1].x - 1e-12 && v[0] <= s[k].x + 1e-12);
                    prop_assert!(d[0] >= -1e-12);
                }
            }
        }
    }

    #[test]
    fn closed_end_leaves_at_right_angles() {
        let s = stations(&[1.0, 8.0, 9.0]);
        let o = Outline::through(&s, [true, false]);
        let (v, d) = o.at(o.knots()[0]);
        assert_eq!(v[0], s[0].x);
        assert_eq!(d[0], 0.0);
        assert!(d[1] > 0.5);
    }

    #[test]
    fn finds_x_again() {
        let s = stations(&[1.0, 8.0, 9.0, 3.0]);
        for closed in [[true, true], [true, false], [false, true], [false, false]] {
            for stations in [&s[..], &s[..2]] {
                let o = Outline::through(stations, closed);
                let last = stations[stations.len() - 1].x;
                for part in [0.0, 0.01, 0.1, 0.33, 0.7, 0.95, 1.0] {
                    let x = part * last;
                    assert!((o.at(o.u_of_x(x)).0[0] - x).abs() < 1e-12);
                }
            }
        }
    }
}
