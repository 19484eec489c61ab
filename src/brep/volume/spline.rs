//! Flux through spline faces, whole or trimmed.
//!
//! The face's edges must close in the parameters too: a border of the patch that has shrunk to
//! a point carries no edge and is not seen. The solids here have none.

use truck_modeling::{InnerSpace, NurbsSurface, Point3, Vector3, Vector4};

use super::super::shape::{Curve, Face};
use super::{Flux, edges, gauss};
use crate::skin::MODEL_TOLERANCE;

/// Highest degree that the evaluation below holds.
const MAX_DEGREE: usize = 7;

/// How often a piece of an edge is halved to part it at the patch's knot lines. What is left
/// across one is 2^-16 of the piece; the patches are smooth there, so its error is far less.
const MAX_HALVINGS: usize = 16;

/// Basis functions and derivatives at a place, with its knot span.
type Basis = (usize, [[f64; MAX_DEGREE + 1]; 2]);

/// A surface with its distinct knots.
struct Patch<'a> {
    surface: &'a NurbsSurface<Vector4>,
    u: Vec<f64>,
    v: Vec<f64>,
    /// Nodes of every whole span of v: basis and weight.
    v_nodes: Vec<Vec<(Basis, f64)>>,
}

/// Point and first derivatives.
struct Jet {
    point: Point3,
    du: Vector3,
    dv: Vector3,
}

impl Jet {
    /// From weighted coordinates and their derivatives.
    fn of([at, by_u, by_v]: [Vector4; 3]) -> Self {
        let w = at.w;
        let at = at.truncate() / w;
        let derivative = |s: Vector4| (s.truncate() - at * s.w) / w;
        Jet {
            point: Point3::new(at.x, at.y, at.z),
            du: derivative(by_u),
            dv: derivative(by_v),
        }
    }
}

/// Basis functions that differ from 0 at t, and their derivatives; the first belongs to control
/// point `span - degree`. (Recurrence of Cox and de Boor, textbook form, from memory; the tests
/// hold it against the library's own evaluation.)
fn basis(knots: &[f64], degree: usize, t: f64) -> Basis {
    let count = knots.len() - degree - 1;
    let span = knots[degree + 1..count]
        .partition_point(|k| *k <= t)
        .saturating_add(degree)
        .min(count - 1);
    let mut b = [0.0; MAX_DEGREE + 1];
    let mut d = [0.0; MAX_DEGREE + 1];
    b[0] = 1.0;
    for p in 1..=degree {
        let mut next = [0.0; MAX_DEGREE + 1];
        for (r, old) in b.iter().enumerate().take(p) {
            let (left, right) = (knots[span + 1 + r - p], knots[span + 1 + r]);
            let share = old / (right - left);
            next[r] += share * (right - t);
            next[r + 1] += share * (t - left);
            if p == degree {
                d[r] -= p as f64 * share;
                d[r + 1] += p as f64 * share;
            }
        }
        b = next;
    }
    (span, [b, d])
}

fn distinct(knots: &[f64]) -> Vec<f64> {
    let mut all = knots.to_vec();
    all.dedup();
    all
}

impl<'a> Patch<'a> {
    fn new(surface: &'a NurbsSurface<Vector4>) -> Self {
        let (u, knots) = surface.knot_vecs();
        let v = distinct(knots);
        let nodes = |span: &[f64]| nodes(knots, surface.vdegree(), span[0], span[1]);
        Self {
            surface,
            u: distinct(u),
            v_nodes: v.windows(2).map(nodes).collect(),
            v,
        }
    }

    fn jet(&self, u: f64, v: f64) -> Jet {
        let (p, q) = self.surface.degrees();
        let (ku, kv) = self.surface.knot_vecs();
        let (iu, [bu, du]) = basis(ku, p, u);
        let (iv, [bv, dv]) = basis(kv, q, v);
        let rows = &self.surface.control_points()[iu - p..=iu];
        let mut sum = [Vector4::new(0.0, 0.0, 0.0, 0.0); 3];
        for (i, row) in rows.iter().enumerate() {
            for (j, c) in row[iv - q..=iv].iter().enumerate() {
                sum[0] += c * (bu[i] * bv[j]);
                sum[1] += c * (du[i] * bv[j]);
                sum[2] += c * (bu[i] * dv[j]);
            }
        }
        Jet::of(sum)
    }

    fn ends(&self) -> ((f64, f64), (f64, f64)) {
        let of = |k: &[f64]| (k[0], k[k.len() - 1]);
        (of(&self.u), of(&self.v))
    }

    /// Parameter step of a step along the surface, by least squares.
    fn step(jet: &Jet, step: Vector3) -> Option<(f64, f64)> {
        let (e, f, g) = (jet.du.dot(jet.du), jet.du.dot(jet.dv), jet.dv.dot(jet.dv));
        let determinant = e * g - f * f;
        let (a, b) = (jet.du.dot(step), jet.dv.dot(step));
        (determinant > 0.0).then(|| ((g * a - f * b) / determinant, (e * b - f * a) / determinant))
    }

    /// Parameters of a point of the surface, by Newton's method from `guess`.
    fn locate(&self, point: Point3, guess: (f64, f64)) -> (f64, f64) {
        let from_guess = self.newton(point, guess);
        if self.miss(point, from_guess) < 1e-6 {
            return from_guess;
        }
        // A new start from the nearest point of a grid.
        let mut best = (f64::INFINITY, guess);
        for u in grid(&self.u) {
            for v in grid(&self.v) {
                let miss = self.miss(point, (u, v));
                if miss < best.0 {
                    best = (miss, (u, v));
                }
            }
        }
        let again = self.newton(point, best.1);
        if self.miss(point, again) < self.miss(point, from_guess) {
            again
        } else {
            from_guess
        }
    }

    fn miss(&self, point: Point3, (u, v): (f64, f64)) -> f64 {
        (self.jet(u, v).point - point).magnitude()
    }

    fn newton(&self, point: Point3, (mut u, mut v): (f64, f64)) -> (f64, f64) {
        let ((u0, u1), (v0, v1)) = self.ends();
        for _ in 0..40 {
            let jet = self.jet(u, v);
            let Some((du, dv)) = Self::step(&jet, point - jet.point) else {
                break;
            };
            let before = (u, v);
            (u, v) = ((u + du).clamp(u0, u1), (v + dv).clamp(v0, v1));
            if (u - before.0).abs() < 1e-14 * (u1 - u0) && (v - before.1).abs() < 1e-14 * (v1 - v0)
            {
                break;
            }
        }
        (u, v)
    }

    /// Whether the face's edges are the patch's four sides, run so that the surface's normal sees
    /// them counter-clockwise: ends on the corners, and places between on the border.
    fn is_whole(&self, face: &Face) -> bool {
        let boundaries = face.absolute_boundaries();
        let [wire] = boundaries.as_slice() else {
            return false;
        };
        let ((u0, u1), (v0, v1)) = self.ends();
        let corners = [(u0, v0), (u1, v0), (u1, v1), (u0, v1)];
        let edges = edges::curves(face);
        if wire.len() != 4 || edges.len() != 4 {
            return false;
        }
        let sides: Vec<Option<usize>> = edges
            .iter()
            .map(|(curve, sign)| self.side(curve, *sign, &corners))
            .collect();
        (0..4).all(|k| sides[k].is_some() && sides[(k + 1) % 4] == sides[k].map(|s| (s + 1) % 4))
    }

    /// The side that an edge is, by the number of the corner it starts from.
    fn side(&self, curve: &Curve, sign: f64, corners: &[(f64, f64); 4]) -> Option<usize> {
        let (from, to) = curve.range();
        let (from, to) = if sign > 0.0 { (from, to) } else { (to, from) };
        let near = |t: f64, at: (f64, f64)| self.miss(curve.at(t), at) < MODEL_TOLERANCE;
        (0..4).find(|&k| {
            let (a, b) = (corners[k], corners[(k + 1) % 4]);
            near(from, a)
                && near(to, b)
                && [0.25, 0.5, 0.75].iter().all(|part| {
                    let t = from + (to - from) * part;
                    let guess = (a.0 + (b.0 - a.0) * part, a.1 + (b.1 - a.1) * part);
                    let (u, v) = self.newton(curve.at(t), guess);
                    // Along one side one parameter stays; Newton may leave it by rounding.
                    near(t, if a.0 == b.0 { (a.0, v) } else { (u, a.1) })
                })
        })
    }

    /// Flux through the whole patch.
    fn whole(&self) -> Flux {
        let mut sum = Flux::default();
        let (_, (_, v1)) = self.ends();
        for span in self.u.windows(2) {
            gauss::over_span(span[0], span[1], |u, w| sum.add(&self.column(u, v1), w));
        }
        sum
    }

    /// Integral of the flux's element from the patch's lower border to v, at u.
    fn column(&self, u: f64, v: f64) -> Flux {
        let (p, q) = self.surface.degrees();
        let (ku, kv) = self.surface.knot_vecs();
        let (iu, [bu, du]) = basis(ku, p, u);
        let rows = &self.surface.control_points()[iu - p..=iu];
        // The line of equal u, and its derivative by u.
        let line = |b: &[f64], j: usize| {
            let start = Vector4::new(0.0, 0.0, 0.0, 0.0);
            rows.iter()
                .zip(b)
                .fold(start, |sum, (row, b)| sum + row[j] * *b)
        };
        let lines: Vec<[Vector4; 2]> = (0..rows[0].len())
            .map(|j| [line(&bu, j), line(&du, j)])
            .collect();
        let mut sum = Flux::default();
        let mut visit = |((iv, [bv, dv]), w): &(Basis, f64)| {
            let mut jet = [Vector4::new(0.0, 0.0, 0.0, 0.0); 3];
            for ((c, bv), dv) in lines[iv - q..=*iv].iter().zip(bv).zip(dv) {
                jet[0] += c[0] * *bv;
                jet[1] += c[1] * *bv;
                jet[2] += c[0] * *dv;
            }
            let jet = Jet::of(jet);
            sum.add(&Flux::element(jet.point, jet.du.cross(jet.dv)), *w);
        };
        for (span, whole) in self.v.windows(2).zip(&self.v_nodes) {
            if span[0] >= v {
                break;
            }
            if span[1] <= v {
                whole.iter().for_each(&mut visit);
            } else {
                nodes(kv, q, span[0], v).iter().for_each(&mut visit);
            }
        }
        sum
    }
}

/// Nodes within one knot span: basis and weight.
fn nodes(knots: &[f64], degree: usize, from: f64, to: f64) -> Vec<(Basis, f64)> {
    let mut all = Vec::new();
    gauss::over_span(from, to, |t, w| all.push((basis(knots, degree, t), w)));
    all
}

fn grid(knots: &[f64]) -> Vec<f64> {
    let inner = knots
        .windows(2)
        .flat_map(|k| [0.0, 0.25, 0.5, 0.75].map(|s| k[0] + s * (k[1] - k[0])));
    inner.chain(knots.last().copied()).collect()
}

/// Whether all values lie in one closed interval between neighbouring knots.
fn in_one_span(knots: &[f64], values: impl Iterator<Item = f64>) -> bool {
    let (least, most) = values.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), x| {
        (a.min(x), b.max(x))
    });
    let slack = 1e-9 * (knots[knots.len() - 1] - knots[0]);
    !knots
        .iter()
        .any(|k| *k > least + slack && *k < most - slack)
}

/// One node of an edge, on the patch.
struct Node {
    u: f64,
    v: f64,
    /// Step of u.
    du: f64,
}

/// Flux through a spline face. A face that is its whole patch needs no edges: the rule over every
/// knot span. Else Green in (u, v): minus the line integral of (integral over v of the element) du.
pub(super) fn flux(face: &Face, surface: &NurbsSurface<Vector4>) -> Flux {
    let (p, q) = surface.degrees();
    if p > MAX_DEGREE || q > MAX_DEGREE {
        // No face of ours; a wrong figure must not pass for a right one.
        return Flux {
            volume: f64::NAN,
            ..Flux::default()
        };
    }
    let patch = Patch::new(surface);
    if patch.is_whole(face) {
        return patch.whole();
    }
    trimmed(face, &patch)
}

fn trimmed(face: &Face, patch: &Patch<'_>) -> Flux {
    let mut sum = Flux::default();
    let ((u0, u1), (v0, v1)) = patch.ends();
    let mut guess = (0.5 * (u0 + u1), 0.5 * (v0 + v1));
    for (curve, sign) in edges::curves(face) {
        let mut open: Vec<(f64, f64, usize)> = edges::breaks(&curve)
            .windows(2)
            .map(|k| (k[0], k[1], 0))
            .collect();
        open.reverse();
        while let Some((from, to, halvings)) = open.pop() {
            let mut nodes = Vec::new();
            gauss::over(from, to, |t, w| {
                let (u, v) = patch.locate(curve.at(t), guess);
                guess = (u, v);
                let du = Patch::step(&patch.jet(u, v), curve.der(t) * (sign * w));
                nodes.push(Node {
                    u,
                    v,
                    du: du.map_or(0.0, |d| d.0),
                });
            });
            let still = nodes.iter().all(|n| n.du.abs() < 1e-13 * (u1 - u0));
            let plain = in_one_span(&patch.u, nodes.iter().map(|n| n.u))
                && in_one_span(&patch.v, nodes.iter().map(|n| n.v));
            if still {
                continue;
            }
            if !plain && halvings < MAX_HALVINGS {
                let middle = 0.5 * (from + to);
                open.push((middle, to, halvings + 1));
                open.push((from, middle, halvings + 1));
                continue;
            }
            for node in &nodes {
                sum.add(&patch.column(node.u, node.v), -node.du);
            }
        }
    }
    sum
}
