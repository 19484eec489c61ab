//! Spline surfaces by de Boor's triangle, and nearest points on them: nothing in common with the
//! evaluation in the crate.

use limberwood::skin::patch::Patch;
use truck_modeling::{NurbsSurface, Vector4};

type P = [f64; 3];
type H = [f64; 4];

/// A tensor-product rational spline.
pub struct Spline {
    u: Vec<f64>,
    v: Vec<f64>,
    p: usize,
    q: usize,
    net: Vec<Vec<H>>,
}

/// Point and first derivatives.
#[derive(Clone, Copy)]
pub struct Jet {
    pub at: P,
    pub du: P,
    pub dv: P,
}

pub fn dot(a: P, b: P) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

pub fn minus(a: P, b: P) -> P {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

pub fn length(a: P) -> f64 {
    dot(a, a).sqrt()
}

fn cross(a: P, b: P) -> P {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

impl Jet {
    /// Unit normal, along du x dv.
    pub fn normal(&self) -> P {
        let n = cross(self.du, self.dv);
        let l = length(n);
        n.map(|c| c / l)
    }
}

/// Index of the last knot of the span that holds t.
fn span(knots: &[f64], degree: usize, t: f64) -> usize {
    let mut k = degree;
    while k + degree + 2 < knots.len() && t >= knots[k + 1] {
        k += 1;
    }
    k
}

/// Value and derivative of the curve of the `degree + 1` points of span k, by de Boor's triangle.
fn de_boor(knots: &[f64], degree: usize, k: usize, t: f64, mut d: [H; 4]) -> (H, H) {
    let mut slope = [0.0; 4];
    for r in 1..=degree {
        if r == degree {
            let width = knots[k + 1] - knots[k];
            let (last, before) = (d[degree], d[degree - 1]);
            slope = std::array::from_fn(|c| degree as f64 * (last[c] - before[c]) / width);
        }
        for j in (r..=degree).rev() {
            let (lo, hi) = (knots[k + j - degree], knots[k + j + 1 - r]);
            let a = (t - lo) / (hi - lo);
            let before = d[j - 1];
            d[j] = std::array::from_fn(|c| (1.0 - a) * before[c] + a * d[j][c]);
        }
    }
    (d[degree], slope)
}

fn breaks(knots: &[f64]) -> Vec<f64> {
    let mut all = knots.to_vec();
    all.dedup();
    all
}

impl Spline {
    pub fn of_patch(patch: &Patch) -> Self {
        let lift = |p: &P, w: f64| [p[0] * w, p[1] * w, p[2] * w, w];
        let row = |r: &Vec<P>| {
            r.iter()
                .zip(&patch.weights)
                .map(|(p, &w)| lift(p, w))
                .collect()
        };
        Spline {
            u: patch.u_knots.clone(),
            v: patch.v_knots.clone(),
            p: 3,
            q: patch.v_degree,
            net: patch.net.iter().map(row).collect(),
        }
    }

    pub fn of_face(surface: &NurbsSurface<Vector4>) -> Self {
        let row = |r: &Vec<Vector4>| r.iter().map(|c| [c.x, c.y, c.z, c.w]).collect();
        Spline {
            u: surface.uknot_vec().to_vec(),
            v: surface.vknot_vec().to_vec(),
            p: surface.udegree(),
            q: surface.vdegree(),
            net: surface.control_points().iter().map(row).collect(),
        }
    }

    pub fn breaks(&self) -> (Vec<f64>, Vec<f64>) {
        (breaks(&self.u), breaks(&self.v))
    }

    pub fn jet(&self, u: f64, v: f64) -> Jet {
        let (i, j) = (span(&self.u, self.p, u), span(&self.v, self.q, v));
        let (mut rows, mut across) = ([[0.0; 4]; 4], [[0.0; 4]; 4]);
        for a in 0..=self.p {
            let mut d = [[0.0; 4]; 4];
            d[..=self.q].copy_from_slice(&self.net[i - self.p + a][j - self.q..=j]);
            (rows[a], across[a]) = de_boor(&self.v, self.q, j, v, d);
        }
        let (s, su) = de_boor(&self.u, self.p, i, u, rows);
        let (sv, _) = de_boor(&self.u, self.p, i, u, across);
        let at = [0, 1, 2].map(|c| s[c] / s[3]);
        Jet {
            at,
            du: [0, 1, 2].map(|c| (su[c] - su[3] * at[c]) / s[3]),
            dv: [0, 1, 2].map(|c| (sv[c] - sv[3] * at[c]) / s[3]),
        }
    }

    /// Distance of a point from a nearby place of the patch, never too small; and that place.
    /// Starts at the hint, and if nothing nearer than `enough` is there, from a grid.
    pub fn distance(&self, point: P, hint: (f64, f64), enough: f64) -> (f64, (f64, f64)) {
        let near = self.descend(point, hint);
        if near.0 <= enough {
            return near;
        }
        let (us, vs) = self.breaks();
        let fine = |b: &[f64]| -> Vec<f64> {
            let parts = b
                .windows(2)
                .flat_map(|k| [0.0, 0.25, 0.5, 0.75].map(|s| k[0] + s * (k[1] - k[0])));
            parts.chain(b.last().copied()).collect()
        };
        let (us, vs) = (fine(&us), fine(&vs));
        let mut starts: Vec<(f64, (f64, f64))> = us
            .iter()
            .flat_map(|&u| vs.iter().map(move |&v| (u, v)))
            .map(|(u, v)| (length(minus(self.jet(u, v).at, point)), (u, v)))
            .collect();
        starts.sort_by(|a, b| a.0.total_cmp(&b.0));
        starts
            .iter()
            .take(4)
            .map(|s| self.descend(point, s.1))
            .fold(near, |a, b| if b.0 < a.0 { b } else { a })
    }

    /// Gauss-Newton steps, held inside the patch and halved until the distance falls.
    fn descend(&self, point: P, start: (f64, f64)) -> (f64, (f64, f64)) {
        let clamp = |t: f64, k: &[f64]| t.clamp(k[0], k[k.len() - 1]);
        let held = |(u, v): (f64, f64)| (clamp(u, &self.u), clamp(v, &self.v));
        let mut best = (f64::INFINITY, held(start));
        let mut next = best.1;
        let mut step = (0.0, 0.0);
        for _ in 0..60 {
            let jet = self.jet(next.0, next.1);
            let r = minus(point, jet.at);
            let off = length(r);
            if off < best.0 - 1e-12 {
                best = (off, next);
                step = self.step(&jet, r, next);
            } else {
                step = (0.5 * step.0, 0.5 * step.1);
            }
            let (u, v) = best.1;
            next = held((u + step.0, v + step.1));
            let moved = ((next.0 - u) * length(jet.du)).hypot((next.1 - v) * length(jet.dv));
            // What is left of the way along the surface adds its square to the distance's.
            if moved < 1e-4 * best.0.max(1e-7) {
                break;
            }
        }
        best
    }

    fn step(&self, jet: &Jet, r: P, (u, v): (f64, f64)) -> (f64, f64) {
        let (e, f, g) = (
            dot(jet.du, jet.du),
            dot(jet.du, jet.dv),
            dot(jet.dv, jet.dv),
        );
        let (a, b) = (dot(jet.du, r), dot(jet.dv, r));
        let det = e * g - f * f;
        let (du, dv) = if det > 1e-14 * e * g {
            ((g * a - f * b) / det, (e * b - f * a) / det)
        } else {
            (0.0, b / g)
        };
        // On a border that the step would cross the other direction is taken alone.
        let crosses = |t: f64, d: f64, k: &[f64]| t + d < k[0] || t + d > k[k.len() - 1];
        let at_border = |t: f64, k: &[f64]| t == k[0] || t == k[k.len() - 1];
        if at_border(u, &self.u) && crosses(u, du, &self.u) {
            (0.0, b / g)
        } else if at_border(v, &self.v) && crosses(v, dv, &self.v) {
            (a / e, 0.0)
        } else {
            (du, dv)
        }
    }
}
