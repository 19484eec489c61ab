//! The outer form as smooth curves through its stations, without overshoot.
//!
//! One parameter u carries x, half width, height and squareness as C1 piecewise cubics. Between
//! ordinary ends u is x itself. In the span next to a closed end x is a parabola of u that starts
//! with slope 0, so that width and height leave the small flat end at right angles to the axis:
//! a graph over x has no vertical tangent.
//!
//! A station that fixes nothing, or the height alone, is a knot put into the curves of the others:
//! a cubic that is divided stays what it was.

use super::EndFace;
use super::half::{Fixes, HalfForm, HalfStation};

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

    /// Through stations; `closed` says whether the front and the rear end are closed. The first
    /// and the last station fix all.
    pub fn through(stations: &[HalfStation], closed: [bool; 2]) -> Self {
        let fixing = |fixes: Fixes| stations.iter().filter(move |s| s.fixes == fixes);
        let points: Vec<HalfStation> = fixing(Fixes::All).copied().collect();
        let mut outline = Self::smooth(&points, closed);
        let spans = [1, outline.u.len() - 2].map(|k| outline.value[k][0]);
        for s in fixing(Fixes::Height) {
            let k = outline.divide(s.x);
            outline.value[k][2] = s.height;
        }
        if outline.u.len() > points.len() {
            outline.heights_anew(closed, spans);
        }
        for s in fixing(Fixes::Nothing) {
            outline.divide(s.x);
        }
        outline
    }

    /// A knot at x, which changes nothing; its number.
    fn divide(&mut self, x: f64) -> usize {
        let u = self.u_of_x(x);
        let (mut value, slope) = self.at(u);
        value[0] = x;
        let k = self.u.partition_point(|&k| k < u);
        self.u.insert(k, u);
        self.value.insert(k, value);
        self.slope.insert(k, slope);
        k
    }

    /// Slopes of the height alone, by all knots. Between an end that is closed and the point next
    /// to it, whose x `next` gives, x runs at half speed or faster.
    fn heights_anew(&mut self, closed: [bool; 2], next: [f64; 2]) {
        let column = |c: usize| self.value.iter().map(|v| v[c]).collect::<Vec<f64>>();
        let (x, y) = (column(0), column(2));
        let last = x.len() - 1;
        let slow = |k: usize| (closed[0] && x[k] < next[0]) || (closed[1] && x[k + 1] > next[1]);
        for (k, m) in limited_slopes(&x, &y, slow).into_iter().enumerate() {
            self.slope[k][2] = m * self.slope[k][0];
        }
        for (end, k, inner) in [(0, 0, 1), (1, last, last - 1)] {
            if closed[end] {
                let mean = (y[inner] - y[k]) / (self.u[inner] - self.u[k]);
                self.slope[k][2] = CLOSED_SLOPE * mean;
            }
        }
    }

    fn smooth(stations: &[HalfStation], closed: [bool; 2]) -> Self {
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
        let (p, q) = (self.slope[k][0], self.slope[k + 1][0]);
        if (0.5 * (p + q) * (to - from) - span).abs() > 1e-9 * span {
            return self.between(x, from, to);
        }
        // x is u itself, or a parabola of u: slope 0 at a closed end, 1 at the point next to it.
        // Solved from its slower end, where nothing cancels.
        let bend = 2.0 * (q - p) / (to - from);
        if p <= q {
            let far = 2.0 * (x - a);
            from + if far > 0.0 {
                far / (p + (p * p + bend * (x - a)).sqrt())
            } else {
                0.0
            }
        } else {
            let far = 2.0 * (b - x);
            to - if far > 0.0 {
                far / (q + (q * q - bend * (b - x)).sqrt())
            } else {
                0.0
            }
        }
    }

    /// The same by halving, for the one span of a body that is closed at both ends, or its parts.
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
    limited_slopes(x, y, |k| is_closed_span(k, x.len(), closed))
}

/// The same; `slow` tells the spans in which x runs at half speed.
fn limited_slopes(x: &[f64], y: &[f64], slow: impl Fn(usize) -> bool) -> Vec<f64> {
    let n = x.len();
    let secant: Vec<f64> = (1..n)
        .map(|k| (y[k] - y[k - 1]) / (x[k] - x[k - 1]))
        .collect();
    let cap = |k: usize| secant[k].abs() * if slow(k) { 1.5 } else { 3.0 };
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
                fixes: Fixes::All,
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

    proptest! {
        /// A station that fixes the height leaves width and squareness what they were, one that
        /// fixes nothing leaves all of it; and the height, made level, does not overshoot.
        #[test]
        fn knots_that_flats_add_change_nothing_else(
            h in proptest::collection::vec(2.0f64..20.0, 2..7), squareness in 2.0..3.5f64,
            front in any::<bool>(), rear in any::<bool>(), parts in (0.02..0.4f64, 0.5..0.98f64)) {
            let mut s = stations(&h);
            s[0].squareness = squareness;
            let last = s[s.len() - 1].x;
            let level = [parts.0 * last, parts.1 * last];
            prop_assume!(s.iter().all(|s| level.iter().all(|x| (s.x - x).abs() > 0.05)));
            let plain = Outline::through(&s, [front, rear]);
            let heights = level.map(|x| plain.at(plain.u_of_x(x)).0[2]);
            let inside = |x: f64| x > level[0] && x < level[1];
            let least = s.iter().filter(|s| inside(s.x)).map(|s| s.height).chain(heights).fold(f64::INFINITY, f64::min);
            let with = |fixes: Fixes| {
                let mut more = s.clone();
                for x in level {
                    let at = more.partition_point(|s| s.x < x);
                    more.insert(at, HalfStation { x, height: least, fixes, ..s[0] });
                }
                if fixes == Fixes::Height {
                    more.iter_mut().filter(|s| inside(s.x)).for_each(|s| s.height = least);
                }
                Outline::through(&more, [front, rear])
            };
            let (flat, other) = (with(Fixes::Height), with(Fixes::Nothing));
            prop_assert_eq!(flat.knots().len(), s.len() + 2);
            let (low, high) = s.iter().fold((least, least), |m, s| (m.0.min(s.height), m.1.max(s.height)));
            let far = plain.knots()[s.len() - 1];
            for i in 0..=200 {
                // A knot leaves the parameter too.
                let u = far * f64::from(i) / 200.0;
                let [a, b, c] = [&plain, &flat, &other].map(|o| o.at(u).0);
                for k in [0, 1, 3] {
                    prop_assert!((a[k] - b[k]).abs() < 1e-11, "{} {k}: {:?} {:?}", u, a, b);
                }
                for k in 0..4 {
                    prop_assert!((a[k] - c[k]).abs() < 1e-11, "{} {k}: {:?} {:?}", u, a, c);
                }
                prop_assert!(b[2] >= low - 1e-11 && b[2] <= high + 1e-11, "{} {:?}", u, b);
                if inside(b[0]) {
                    prop_assert!((b[2] - least).abs() < 1e-11, "{} {:?} {}", u, b, least);
                }
                let x = last * f64::from(i) / 200.0;
                prop_assert!([&flat, &other].iter().all(|o| (o.at(o.u_of_x(x)).0[0] - x).abs() < 1e-11));
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
