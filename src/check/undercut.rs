//! Undercut: surface that must be cut in a set-up but that no cutter along its axis can see.
//!
//! A place is seen when its face does not look away from the cutter and nothing stands over it.
//! Which way planes, spheres, cylinders, cones and tori look comes from the exact face; splines
//! are taken by their facets (room `skin` asks the patches themselves). Walls are looked at from
//! a little beside them, so an overhang narrower than [`BESIDE`] and twice the mesh's deviation
//! is not told from an upright wall. Areas are sampled: parts of facets no longer than [`STEP`]
//! are seen or hidden as their middles are.
//!
//! Tabs hide nothing: they are cut off by hand, and the strip under them with them.

use std::collections::BTreeMap;

use super::finding::{Amount, Finding, Limit, Subject};
use super::plan::{Plan, plan_box};
use super::view::{View, normal_and_area, of_a_tab};
use crate::brep::set_up::SetUp;
use crate::brep::shape::{FaceKind, Frame, Half, Surface, label};
use crate::diagnostic::Severity;
use crate::mesh::Mesh;
use truck_modeling::{InnerSpace, Point3, Vector3};

/// Sine of the angle by which an exact face may look away and still count as a wall (derived: what
/// rounding leaves of an upright plane, with a margin).
pub const AWAY: f64 = 1e-6;
/// The same of a spline's facet: facets of a twisted patch lean off it (habit, 0.6 degrees; room
/// `skin` looks at the patch itself).
pub const AWAY_FACET: f64 = 0.01;
/// A facet so narrow that its corners' deviation leans it further may lean at most this far (habit, 3
/// degrees).
const AWAY_NARROW: f64 = 0.05;
/// Steep is a face whose normal rises less than this (sine): a wall, looked at from beside.
const STEEP: f64 = 0.05;
/// How far beside a wall it is looked at, mm, besides twice the deviation (habit: well over
/// rounding, well under any cut).
pub const BESIDE: f64 = 1e-3;
/// Longest edge of a part of a facet that is looked at by itself, mm (habit).
pub const STEP: f64 = 0.5;
/// Parts along an edge of a facet at most.
const MOST_PARTS: usize = 64;
/// Hidden area that counts, mm2 (habit: less is a line).
const LEAST_AREA: f64 = 0.01;
/// Corners of a facet are looked at from this part of the way to its middle.
const INWARD: f64 = 0.05;

/// Hidden surface of one kind of face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hidden {
    /// Kind of the faces.
    pub kind: FaceKind,
    /// Area that is not seen, mm2; 0 when only corners of facets are hidden.
    pub area_mm2: f64,
    /// Greatest height of what stands over a hidden place, upright from it, mm.
    pub deepest_mm: f64,
    /// That place, in the body's own frame, mm.
    pub at: [f64; 3],
}

/// What of the faces to be cut in set-up `up` is hidden from a cutter along its axis, by kind of
/// face; empty when everything is seen.
pub fn undercut(half: &Half, mesh: &Mesh, up: SetUp) -> Vec<Hidden> {
    let faces: Vec<Surface> = half.solid.face_iter().map(|f| f.surface()).collect();
    let exact = |triangle: usize, at: [f64; 3]| {
        let n = normal(&faces[mesh.face[triangle] as usize], up.turn(at))?;
        Some(up.turn(n))
    };
    hidden(&View::of(half, mesh, up), up, &exact)
}

/// How much stands over corners of facets (triangle and number of the corner) that are cut in set-up
/// `up`, looked at a little inward, mm; 0 where they are seen, or the middle of their facet is: a corner
/// alone has no area.
pub(super) fn over_corners(
    half: &Half,
    mesh: &Mesh,
    up: SetUp,
    corners: &[(usize, usize)],
) -> Vec<f64> {
    let faces: Vec<Surface> = half.solid.face_iter().map(|f| f.surface()).collect();
    let view = View::of(half, mesh, up);
    let sky = Sky::of(&view);
    let beside = BESIDE + 2.0 * view.deviation;
    let over = |&(triangle, k): &(usize, usize)| {
        let corners = view.corners(triangle);
        let (facet, area) = normal_and_area(&corners)?;
        let facet = (facet, may_lean(&corners, area, view.deviation));
        let middle = std::array::from_fn(|i| (corners[0][i] + corners[1][i] + corners[2][i]) / 3.0);
        let deep = |at: [f64; 3]| {
            let exact = normal(&faces[mesh.face[triangle] as usize], up.turn(at));
            depth(&sky, at, facet, exact.map(|n| up.turn(n)), beside)
        };
        let found = deep(inward(&corners, k))?;
        deep(middle).map(|_| found)
    };
    corners.iter().map(|c| over(c).unwrap_or(0.0)).collect()
}

/// A place a little inward of a facet's corner.
fn inward(corners: &[[f64; 3]; 3], k: usize) -> [f64; 3] {
    let [a, b, c] = [0, 1, 2].map(|i| corners[(k + i) % 3]);
    std::array::from_fn(|i| a[i] + INWARD * ((a[i] + b[i] + c[i]) / 3.0 - a[i]))
}

/// Unit normal of a surface at a place on it, either way round; none for a spline.
fn normal(surface: &Surface, at: [f64; 3]) -> Option<[f64; 3]> {
    let p = Point3::new(at[0], at[1], at[2]);
    let across = |frame: &Frame| {
        let v = p - frame.origin;
        v - frame.z * v.dot(frame.z)
    };
    let n: Vector3 = match surface {
        Surface::Plane(frame) => frame.z,
        Surface::Sphere { frame, .. } => p - frame.origin,
        Surface::Cylinder { frame, .. } => across(frame),
        Surface::Cone {
            frame, half_angle, ..
        } => across(frame).normalize() - frame.z * half_angle.tan(),
        Surface::Torus { frame, major, .. } => {
            let out = across(frame);
            p - frame.origin - out.normalize() * *major
        }
        Surface::Spline(_) => return None,
    };
    let n = n.normalize();
    n.x.is_finite().then_some([n.x, n.y, n.z])
}

/// Findings of a finished body: each kind of face that is hidden in the set-up that cuts it.
pub fn findings(subject: &Subject<'_>, half: &Half, mesh: &Mesh) -> Vec<Finding> {
    let hidden = SetUp::BOTH
        .into_iter()
        .flat_map(|up| undercut(half, mesh, up));
    hidden
        .filter(|h| h.area_mm2 > LEAST_AREA)
        .map(|h| {
            let words = format!("{} hidden from the cutter on", label(h.kind));
            let area = Amount::Area(h.area_mm2);
            let limit = Some(Limit::most(Amount::Area(0.0), "derived"));
            let error = subject.finds(Severity::Error, "undercut", &words, area, limit);
            let error = error.way_out("draw the form so that no part stands over another");
            error.at(h.at)
        })
        .collect()
}

/// Triangles that look at the cutter or stand upright, for finding what is over a place.
struct Sky {
    corners: Vec<[[f64; 3]; 3]>,
    plan: Plan,
}

impl Sky {
    fn of(view: &View) -> Sky {
        let up = (0..view.triangles.len()).filter(|&t| !of_a_tab(view.kinds[t]));
        let corners: Vec<_> = up
            .map(|t| view.corners(t))
            .filter(|c| twice_area(c[0], c[1], c[2]) > 0.0)
            .collect();
        let boxes: Vec<_> = corners.iter().map(plan_box).collect();
        let plan = Plan::new(&boxes, 1.0);
        Sky { corners, plan }
    }

    /// Greatest height over a place, minus infinity beside the body.
    fn top(&self, x: f64, y: f64) -> f64 {
        let mut top = f64::NEG_INFINITY;
        self.plan.near([x, y], [x, y], |n| {
            let [a, b, c] = self.corners[n];
            if a[2].max(b[2]).max(c[2]) <= top {
                return;
            }
            let (p, all) = ([x, y, 0.0], twice_area(a, b, c));
            let (u, v) = (twice_area(b, c, p) / all, twice_area(c, a, p) / all);
            let w = 1.0 - u - v;
            // A place on a shared edge is under both triangles.
            if u.min(v).min(w) >= -1e-9 {
                top = top.max(u * a[2] + v * b[2] + w * c[2]);
            }
        });
        top
    }
}

/// Twice the signed area in plan.
fn twice_area(a: [f64; 3], b: [f64; 3], c: [f64; 3]) -> f64 {
    (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
}

fn hidden(
    view: &View,
    up: SetUp,
    exact: &dyn Fn(usize, [f64; 3]) -> Option<[f64; 3]>,
) -> Vec<Hidden> {
    let sky = Sky::of(view);
    let beside = BESIDE + 2.0 * view.deviation;
    let mut found: BTreeMap<FaceKind, Hidden> = BTreeMap::new();
    for triangle in (0..view.triangles.len()).filter(|&t| view.own[t]) {
        let corners = view.corners(triangle);
        let Some((facet, area)) = normal_and_area(&corners) else {
            continue;
        };
        let facet = (facet, may_lean(&corners, area, view.deviation));
        let mut look = |at: [f64; 3], area: f64| {
            let Some(deep) = depth(&sky, at, facet, exact(triangle, at), beside) else {
                return;
            };
            let kind = view.kinds[triangle];
            let entry = found.entry(kind).or_insert(Hidden {
                kind,
                area_mm2: 0.0,
                deepest_mm: 0.0,
                at: up.turn(at),
            });
            entry.area_mm2 += area;
            if deep > entry.deepest_mm {
                (entry.deepest_mm, entry.at) = (deep, up.turn(at));
            }
        };
        for (at, share) in parts(&corners) {
            look(at, area * share);
        }
        for k in 0..3 {
            look(inward(&corners, k), 0.0);
        }
    }
    found.into_values().collect()
}

/// Sine of the angle by which a spline's facet may look away: its corners lie on the surface, and the
/// surface within the mesh's deviation of it, which turns a narrow facet further than a wide one.
fn may_lean(corners: &[[f64; 3]; 3], area: f64, deviation: f64) -> f64 {
    let longest = (0..3).map(|k| length(corners, k)).fold(0.0, f64::max);
    let altitude = 2.0 * area / longest;
    AWAY_FACET.max((deviation / altitude).min(AWAY_NARROW))
}

/// Length of a triangle's edge, mm.
fn length(corners: &[[f64; 3]; 3], k: usize) -> f64 {
    let (a, b) = (corners[k], corners[(k + 1) % 3]);
    (0..3).map(|i| (a[i] - b[i]).powi(2)).sum::<f64>().sqrt()
}

/// How much stands over a place, mm, of a facet that may lean so far; none when it is seen.
fn depth(
    sky: &Sky,
    at: [f64; 3],
    (facet, lean): ([f64; 3], f64),
    exact: Option<[f64; 3]>,
    beside: f64,
) -> Option<f64> {
    let dot = |n: &[f64; 3]| (0..3).map(|k| n[k] * facet[k]).sum::<f64>();
    let (rise, away) = match exact {
        Some(n) => (n[2] * dot(&n).signum(), AWAY),
        None => (facet[2], lean),
    };
    if rise < -away {
        return Some((sky.top(at[0], at[1]) - at[2]).max(0.0));
    }
    let flat = facet[0].hypot(facet[1]);
    let by = if rise < STEEP && flat > 0.0 {
        beside / flat
    } else {
        0.0
    };
    let top = sky.top(at[0] + by * facet[0], at[1] + by * facet[1]);
    (top - at[2] > beside).then_some(top - at[2])
}

/// Middles of equal parts of a triangle with their shares of its area.
fn parts(corners: &[[f64; 3]; 3]) -> Vec<([f64; 3], f64)> {
    let longest = (0..3).map(|k| length(corners, k)).fold(0.0, f64::max);
    let n = ((longest / STEP).ceil() as usize).clamp(1, MOST_PARTS);
    let mut parts = Vec::with_capacity(n * n);
    let place = |u: f64, v: f64| {
        let w = 1.0 - u - v;
        std::array::from_fn(|k| w * corners[0][k] + u * corners[1][k] + v * corners[2][k])
    };
    let share = 1.0 / (n * n) as f64;
    for i in 0..n {
        for j in 0..n - i {
            let at = |by: f64| (i as f64 + by) / n as f64;
            let other = |by: f64| (j as f64 + by) / n as f64;
            parts.push((place(at(1.0 / 3.0), other(1.0 / 3.0)), share));
            // The part between this one and its neighbours stands on its head.
            if i + j + 1 < n {
                parts.push((place(at(2.0 / 3.0), other(2.0 / 3.0)), share));
            }
        }
    }
    parts
}

#[cfg(test)]
#[path = "undercut_tests.rs"]
mod tests;
