//! Exact tip heights over a mesh: how low a cutter can stand at a place.
//!
//! A cutter is a convex body of revolution, so its height over the tip is a convex function of
//! the place; over a facet, an edge or a corner the tip height is the greatest of a concave
//! function, which has a closed form for a flat end and for a ball on a cone. No map, so upright
//! walls are where they are.
//!
//! Only facets that look up or stand upright count; in a closed mesh others are never touched
//! first.

use super::cutter::Profile;
use crate::check::plan::{Plan, plan_box};
use crate::check::view::{View, normal_and_area};

/// A facet with what every cutter asks of it.
#[derive(Debug, Clone)]
struct Facet {
    corners: [[f64; 3]; 3],
    low: [f64; 2],
    high: [f64; 2],
    /// Its greatest height.
    top: f64,
    normal: [f64; 3],
}

/// Facets of a body by their place in plan.
#[derive(Debug, Clone)]
pub(super) struct Ground {
    facets: Vec<Facet>,
    plan: Plan,
    floor: f64,
}

/// Side of the cells in which facets are looked up, mm (habit; of the order of a cutter's radius).
const CELL: f64 = 1.0;
/// A facet that looks down by more than this (sine) is left out.
const DOWN: f64 = -1e-9;

impl Ground {
    /// The body of a view on a floor at this height.
    pub fn of(view: &View, floor: f64) -> Ground {
        let all = (0..view.triangles.len()).map(|t| view.corners(t));
        let facets: Vec<Facet> = all
            .filter_map(|corners| {
                let (normal, _) = normal_and_area(&corners)?;
                let (low, high) = plan_box(&corners);
                let top = corners[0][2].max(corners[1][2]).max(corners[2][2]);
                (normal[2] >= DOWN && top > floor).then_some(Facet {
                    corners,
                    low,
                    high,
                    top,
                    normal,
                })
            })
            .collect();
        let boxes: Vec<_> = facets.iter().map(|f| (f.low, f.high)).collect();
        Ground {
            plan: Plan::new(&boxes, CELL),
            facets,
            floor,
        }
    }

    /// Least height of the tip at a place, mm.
    pub fn tip(&self, cutter: &Profile, [x, y]: [f64; 2]) -> f64 {
        let radius = cutter.radius();
        let mut best = self.floor;
        let (low, high) = ([x - radius, y - radius], [x + radius, y + radius]);
        self.plan.near(low, high, |n| {
            let facet = &self.facets[n];
            if facet.top <= best {
                return;
            }
            let away = |k: usize, at: f64| (facet.low[k] - at).max(at - facet.high[k]).max(0.0);
            let near = long(away(0, x), away(1, y));
            if near <= radius && facet.top - cutter.height(near) > best {
                best = best.max(over(cutter, facet, [x, y]));
            }
        });
        best
    }
}

/// Tip height over one facet.
fn over(cutter: &Profile, facet: &Facet, at: [f64; 2]) -> f64 {
    let mut best = f64::NEG_INFINITY;
    if facet.normal[2] > 1e-6 {
        best = over_inside(cutter, facet, at);
    }
    for k in 0..3 {
        let (a, b) = (facet.corners[k], facet.corners[(k + 1) % 3]);
        best = best.max(over_edge(cutter, a, b, at));
    }
    best
}

/// Tip height where the cutter touches within the facet, minus infinity when it does not.
fn over_inside(cutter: &Profile, facet: &Facet, at: [f64; 2]) -> f64 {
    let n = facet.normal;
    let flat = n[0].hypot(n[1]);
    // The place of contact lies from the axis uphill, against the normal.
    let by = match *cutter {
        Profile::Flat { radius } if flat > 0.0 => radius / flat,
        Profile::Flat { .. } => 0.0,
        // On the cone the highest contact lies as far out as the cutter goes: on an edge.
        Profile::Ball { taper, .. } if n[2] < taper.sin() => return f64::NEG_INFINITY,
        Profile::Ball { tip, .. } => tip,
    };
    let q = [at[0] - by * n[0], at[1] - by * n[1]];
    let [a, b, c] = &facet.corners;
    let cross =
        |a: &[f64; 3], b: &[f64; 3]| (b[0] - a[0]) * (q[1] - a[1]) - (b[1] - a[1]) * (q[0] - a[0]);
    if cross(a, b).min(cross(b, c)).min(cross(c, a)) < 0.0 {
        return f64::NEG_INFINITY;
    }
    let z = a[2] - (n[0] * (q[0] - a[0]) + n[1] * (q[1] - a[1])) / n[2];
    z - cutter.height(by * flat)
}

/// Tip height over an edge: the greatest of z(u) - h(hypot(far, u)), u along the edge in plan from
/// the foot of the axis.
fn over_edge(cutter: &Profile, a: [f64; 3], b: [f64; 3], at: [f64; 2]) -> f64 {
    let d = [b[0] - a[0], b[1] - a[1]];
    let length = long(d[0], d[1]);
    let radius = cutter.radius();
    let rel = [a[0] - at[0], a[1] - at[1]];
    if length < 1e-12 {
        let far = long(rel[0], rel[1]);
        return if far <= radius {
            a[2].max(b[2]) - cutter.height(far)
        } else {
            f64::NEG_INFINITY
        };
    }
    let way = [d[0] / length, d[1] / length];
    let from = rel[0] * way[0] + rel[1] * way[1];
    let far = (rel[0] * way[1] - rel[1] * way[0]).abs();
    if far > radius {
        return f64::NEG_INFINITY;
    }
    let half = (radius * radius - far * far).sqrt();
    let (low, high) = (from.max(-half), (from + length).min(half));
    if low > high {
        return f64::NEG_INFINITY;
    }
    let rise = (b[2] - a[2]) / length;
    let u = steepest(cutter, far, rise).clamp(low, high);
    a[2] + rise * (u - from) - cutter.height(long(far, u).min(radius))
}

/// Length of a way in plan, mm: a square root alone, which takes a fraction of what `hypot` takes, and
/// no way here is near the ends of the range of numbers.
fn long(x: f64, y: f64) -> f64 {
    (x * x + y * y).sqrt()
}

/// Where rise * u - h(hypot(far, u)) is greatest, without bounds.
fn steepest(cutter: &Profile, far: f64, rise: f64) -> f64 {
    match *cutter {
        Profile::Flat { .. } => rise.signum() * f64::MAX * f64::from(u8::from(rise != 0.0)),
        Profile::Ball { tip, taper, .. } => {
            let touch = tip * taper.cos();
            if far < tip {
                // On the sphere the section is a circle of radius rho.
                let rho = ((tip - far) * (tip + far)).sqrt();
                let u = rho * rise / rise.hypot(1.0);
                if taper <= 0.0 || far.hypot(u) <= touch {
                    return u;
                }
            }
            // On the cone: rise = cot(a) u / hypot(far, u).
            let cot = 1.0 / taper.tan();
            if rise.abs() >= cot {
                return rise.signum() * f64::MAX;
            }
            far * rise / ((cot - rise) * (cot + rise)).sqrt()
        }
    }
}

#[cfg(test)]
#[path = "drop_tests.rs"]
mod tests;
