//! Least distances in plan: pockets of the split face have upright walls and begin on one plane,
//! so the plan tells.

use nalgebra::{Point2, Vector2};

/// Where two segments cross, they are one place within this, mm (habit: far over the rounding of lengths of
/// some hundred mm, far under the model tolerance).
const NOISE: f64 = 1e-9;

/// A segment.
pub(super) type Segment = [Point2<f64>; 2];

/// A distance and the two points between which it lies.
pub(super) type Between = (f64, Point2<f64>, Point2<f64>);

/// An arc about a centre on the axis y = 0 that leaves an angle free on both sides of a direction
/// along it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ring {
    pub centre: Point2<f64>,
    /// -1 or 1 along x.
    pub mouth: f64,
    pub radius: f64,
    pub free: f64,
}

pub(super) fn nearer(a: Between, b: Between) -> Between {
    if b.0 < a.0 { b } else { a }
}

/// The place of a segment nearest to a point.
fn foot(p: &Point2<f64>, s: &Segment) -> Point2<f64> {
    let v = s[1] - s[0];
    let square = v.norm_squared();
    if square == 0.0 {
        return s[0];
    }
    s[0] + v * ((p - s[0]).dot(&v) / square).clamp(0.0, 1.0)
}

/// Two segments: the four ends against the other segment, or 0 where they cross.
pub(super) fn segments(a: &Segment, b: &Segment) -> Between {
    let to_b = a.map(|p| (p, foot(&p, b)));
    let to_a = b.map(|p| (foot(&p, a), p));
    let [one, two, three, four] =
        [to_b[0], to_b[1], to_a[0], to_a[1]].map(|(p, q)| ((q - p).norm(), p, q));
    let ends = nearer(nearer(one, two), nearer(three, four));
    let (u, v, w) = (a[1] - a[0], b[1] - b[0], b[0] - a[0]);
    let n = u.perp(&v);
    if n != 0.0 {
        let (s, t) = (w.perp(&v) / n, w.perp(&u) / n);
        let (p, q) = (a[0] + u * s, b[0] + v * t);
        let within = (0.0..=1.0).contains(&s) && (0.0..=1.0).contains(&t);
        // On one line, the place where they cross is a quotient of two roundings.
        if within && (q - p).norm() < NOISE {
            return (0.0, p, q);
        }
    }
    ends
}

impl Ring {
    /// The two ends of the arc.
    pub fn ends(&self) -> [Point2<f64>; 2] {
        let (sin, cos) = self.free.sin_cos();
        [-1.0, 1.0].map(|s| self.centre + Vector2::new(self.mouth * cos, s * sin) * self.radius)
    }

    /// Whether the direction from the centre meets the arc.
    fn meets(&self, v: &Vector2<f64>) -> bool {
        v.y.abs().atan2(self.mouth * v.x) >= self.free
    }

    /// The arc's place on the ray through a point, if it has one there.
    fn on_ray(&self, p: &Point2<f64>) -> Option<Between> {
        let v = p - self.centre;
        let unit = v
            .try_normalize(0.0)
            .unwrap_or(Vector2::new(-self.mouth, 0.0));
        self.meets(&unit).then(|| {
            let on = self.centre + unit * self.radius;
            ((on - p).norm(), on, *p)
        })
    }

    /// Least distance from a segment: at an end of one of the two, at the segment's place nearest
    /// to the centre, or 0 where they cross.
    pub fn to(&self, s: &Segment) -> Between {
        let mut best = (f64::INFINITY, self.centre, s[0]);
        for end in self.ends() {
            let on = foot(&end, s);
            best = nearer(best, ((on - end).norm(), end, on));
        }
        for p in [s[0], s[1], foot(&self.centre, s)] {
            if let Some(found) = self.on_ray(&p) {
                best = nearer(best, found);
            }
        }
        let (v, w) = (s[1] - s[0], s[0] - self.centre);
        let (a, b) = (v.norm_squared(), v.dot(&w));
        let root = b * b - a * (w.norm_squared() - self.radius * self.radius);
        if a > 0.0 && root >= 0.0 {
            for t in [(-b - root.sqrt()) / a, (-b + root.sqrt()) / a] {
                let p = s[0] + v * t;
                if (0.0..=1.0).contains(&t) && self.meets(&(p - self.centre)) {
                    return (0.0, p, p);
                }
            }
        }
        best
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn segment() -> impl Strategy<Value = Segment> {
        let point = || (-20.0..20.0f64, -20.0..20.0f64).prop_map(|(x, y)| Point2::new(x, y));
        [point(), point()]
    }

    fn along(s: &Segment, k: u32, n: u32) -> Point2<f64> {
        s[0] + (s[1] - s[0]) * (f64::from(k) / f64::from(n))
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(64) })]

        #[test]
        fn two_segments_against_samples(a in segment(), b in segment()) {
            let n = 400;
            let sampled = (0..=n).flat_map(|i| (0..=n).map(move |j| (i, j)))
                .map(|(i, j)| (along(&a, i, n) - along(&b, j, n)).norm())
                .fold(f64::INFINITY, f64::min);
            let (found, p, q) = segments(&a, &b);
            prop_assert!(found <= sampled + 1e-12 && sampled - found < 0.2, "{found} {sampled}");
            prop_assert!(((p - q).norm() - found).abs() < 1e-9);
        }

        /// On one line, as ends of tabs at the border of a window are.
        #[test]
        fn two_segments_of_a_line(
            from in -20.0..20.0f64,
            turn in 0.0..6.3f64,
            lengths in [0.5..9.0f64, 0.5..9.0],
            gap in 0.01..30.0f64,
        ) {
            let (sin, cos) = turn.sin_cos();
            let at = |far: f64| Point2::new(from, -0.7 * from) + Vector2::new(cos, sin) * far;
            let [a, b] = lengths;
            let (first, second) = ([at(0.0), at(a)], [at(a + gap), at(a + gap + b)]);
            let (found, _, _) = segments(&first, &second);
            prop_assert!((found - gap).abs() < 1e-9, "{found} {gap}");
        }

        #[test]
        fn a_ring_against_samples(s in segment(), radius in 3.0..15.0f64, free in 0.2..2.5f64, rear in prop::bool::ANY) {
            let ring = Ring { centre: Point2::new(2.0, 0.0), mouth: if rear { 1.0 } else { -1.0 }, radius, free };
            let n = 500;
            let at = |k: u32| {
                let angle = free + (std::f64::consts::TAU - 2.0 * free) * f64::from(k) / f64::from(n);
                ring.centre + Vector2::new(ring.mouth * angle.cos(), angle.sin()) * radius
            };
            let sampled = (0..=n).map(|k| (foot(&at(k), &s) - at(k)).norm()).fold(f64::INFINITY, f64::min);
            let (found, p, q) = ring.to(&s);
            prop_assert!(found <= sampled + 1e-12 && sampled - found < 0.2, "{found} {sampled}");
            prop_assert!(((p - q).norm() - found).abs() < 1e-9);
        }
    }
}
