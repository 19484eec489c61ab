//! The parameters of points that lie on a patch.

use crate::skin::patch::{Patch, breaks};

/// Starts per knot span and direction.
const PER_SPAN: usize = 3;
/// Newton steps; where a parameter's speed falls to 0 each only halves the error.
const STEPS: usize = 60;
/// A miss under which no other start is tried, mm.
const FOUND: f64 = 1e-7;

/// Finds points one after another; each starts from the place of the last.
pub struct Foot<'a> {
    patch: &'a Patch,
    last: [f64; 2],
}

impl<'a> Foot<'a> {
    /// Begins in the middle of the patch.
    pub fn new(patch: &'a Patch) -> Self {
        let middle = |(a, b): (f64, f64)| 0.5 * (a + b);
        Foot {
            patch,
            last: [middle(patch.u_range()), middle(patch.v_range())],
        }
    }

    /// Parameters of a point, and how far it misses the patch there, mm.
    pub fn find(&mut self, p: [f64; 3]) -> ([f64; 2], f64) {
        let mut best = self.newton(p, self.last);
        if best.1 > FOUND {
            let starts = self.starts(p);
            for start in starts {
                let found = self.newton(p, start);
                if found.1 < best.1 {
                    best = found;
                }
            }
        }
        self.last = best.0;
        best
    }

    /// The nearest places of a grid.
    fn starts(&self, p: [f64; 3]) -> Vec<[f64; 2]> {
        let grid = |knots: &[f64]| -> Vec<f64> {
            let b = breaks(knots);
            let mut all: Vec<f64> = b
                .windows(2)
                .flat_map(|k| {
                    let (a, b) = (k[0], k[1]);
                    (0..PER_SPAN).map(move |i| a + (b - a) * (i as f64 + 0.5) / PER_SPAN as f64)
                })
                .collect();
            all.insert(0, b[0]);
            all.push(b[b.len() - 1]);
            all
        };
        let mut all = Vec::new();
        for u in grid(&self.patch.u_knots) {
            let section = self.patch.section(u);
            for v in grid(&self.patch.v_knots) {
                all.push((gap(section.jet(v).p, p), [u, v]));
            }
        }
        all.sort_by(|a, b| a.0.total_cmp(&b.0));
        all.truncate(4);
        all.into_iter().map(|s| s.1).collect()
    }

    /// Gauss-Newton, held within the patch.
    fn newton(&self, p: [f64; 3], start: [f64; 2]) -> ([f64; 2], f64) {
        let (ru, rv) = (self.patch.u_range(), self.patch.v_range());
        let (mut u, mut v) = (start[0], start[1]);
        let mut best = (start, f64::INFINITY);
        for _ in 0..STEPS {
            let jet = self.patch.jet(u, v);
            let r = [0, 1, 2].map(|c| p[c] - jet.p[c]);
            let miss = dot(r, r).sqrt();
            if miss < best.1 {
                best = ([u, v], miss);
            }
            let (e, f, g) = (
                dot(jet.du, jet.du),
                dot(jet.du, jet.dv),
                dot(jet.dv, jet.dv),
            );
            let (a, b) = (dot(jet.du, r), dot(jet.dv, r));
            let det = e * g - f * f;
            let (du, dv) = if det > 1e-12 * e * g {
                ((g * a - f * b) / det, (e * b - f * a) / det)
            } else if g > 0.0 {
                (0.0, b / g)
            } else {
                break;
            };
            let before = (u, v);
            (u, v) = ((u + du).clamp(ru.0, ru.1), (v + dv).clamp(rv.0, rv.1));
            if (u - before.0).abs() <= 1e-15 * (ru.1 - ru.0)
                && (v - before.1).abs() <= 1e-15 * (rv.1 - rv.0)
            {
                break;
            }
        }
        best
    }
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn gap(a: [f64; 3], b: [f64; 3]) -> f64 {
    let d = [0, 1, 2].map(|c| a[c] - b[c]);
    dot(d, d).sqrt()
}
