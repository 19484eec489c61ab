//! Exact tip heights over a mesh: how low a cutter can stand at a place.
//!
//! A cutter is a convex body of revolution, so its height over the tip is a convex function of
//! the place; over a facet, an edge or a corner the tip height is the greatest of a concave
//! function, which has a closed form for a flat end and for a ball on a cone. No map, so upright
//! walls are where they are.
//!
//! Only facets that look up or stand upright count; in a closed mesh others are never touched
//! first.

use super::cutter::Surface;
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
    /// Whether its edge from corner k is looked at here.
    edges: [bool; 3],
}

/// Facets of a body by their place in plan.
#[derive(Debug, Clone)]
pub(super) struct Ground {
    facets: Vec<Facet>,
    plan: Plan,
    /// Greatest height of the facets that meet each cell.
    tops: Vec<f64>,
    floor: f64,
}

/// Side of the cells in which facets are looked up, mm (habit; of the order of a cutter's radius).
const CELL: f64 = 1.0;
/// A neighbour whose corner stands so far over a facet's plane, mm, makes a hollow for certain.
const HOLLOW: f64 = 1e-9;
/// Twice the area, mm2, by which a place may lie beyond an edge: rounding of coordinates of a few
/// hundred mm.
const EDGE: f64 = -1e-12;
/// A facet that looks down by more than this (sine) is left out.
const DOWN: f64 = -1e-9;

impl Ground {
    /// The body of a view on a floor at this height.
    pub fn of(view: &View, floor: f64) -> Ground {
        let looks_up = |corners: &[[f64; 3]; 3]| {
            let (normal, _) = normal_and_area(corners)?;
            let top = corners[0][2].max(corners[1][2]).max(corners[2][2]);
            (normal[2] >= DOWN && top > floor).then_some((normal, top))
        };
        let all = view.neighbours();
        let facets: Vec<Facet> = all
            .iter()
            .enumerate()
            .filter_map(|(number, beyond)| {
                let corners = view.corners(number);
                let (normal, top) = looks_up(&corners)?;
                let (low, high) = plan_box(&corners);
                let edges = beyond.map(|other| {
                    let Some(other) = other.map(|o| o as usize) else {
                        return true;
                    };
                    // In a hollow the ground rises from the edge to one side or the other, so the
                    // edge is never touched first; of two facets the first looks at a ridge.
                    let hollow = view.over(number, other).is_some_and(|over| over > HOLLOW);
                    let kept = looks_up(&view.corners(other)).is_some();
                    !kept || (number < other && !hollow)
                });
                Some(Facet {
                    corners,
                    low,
                    high,
                    top,
                    normal,
                    edges,
                })
            })
            .collect();
        let boxes: Vec<_> = facets.iter().map(|f| (f.low, f.high)).collect();
        let plan = Plan::new(&boxes, CELL);
        let top = |cell| {
            let all = plan.members(cell).iter();
            all.map(|&n| facets[n as usize].top).fold(floor, f64::max)
        };
        Ground {
            tops: (0..plan.cells()).map(top).collect(),
            plan,
            facets,
            floor,
        }
    }

    /// Least height of the tip at a place, mm.
    pub fn tip(&self, cutter: &Surface, at: [f64; 2]) -> f64 {
        let radius = cutter.radius;
        // What lies below the place most often decides; then most cells cannot.
        let below = self.plan.over(at);
        let mut best = self.over_cell(cutter, at, below, self.floor);
        self.plan.round(at, radius, |cell, far| {
            // No place of a cell is nearer than it, and a facet is a member of all its cells.
            if cell != below && far <= radius && self.tops[cell] - cutter.height(far) > best {
                best = self.over_cell(cutter, at, cell, best);
            }
        });
        best
    }

    /// The tip height over the facets of a cell, or what is the best already.
    fn over_cell(&self, cutter: &Surface, at: [f64; 2], cell: usize, best: f64) -> f64 {
        let radius = cutter.radius;
        let mut best = best;
        for &n in self.plan.members(cell) {
            let facet = &self.facets[n as usize];
            // A cutter's surface is nowhere below its tip.
            if facet.top <= best {
                continue;
            }
            let away = |k: usize| (facet.low[k] - at[k]).max(at[k] - facet.high[k]).max(0.0);
            let near = length(away(0), away(1));
            if near <= radius && facet.top - cutter.height(near) > best {
                best = best.max(over(cutter, facet, at));
            }
        }
        best
    }
}

/// Length of a vector in plan. Sizes are those of a part, so squares neither overflow nor vanish.
fn length(x: f64, y: f64) -> f64 {
    (x * x + y * y).sqrt()
}

/// Tip height over one facet.
fn over(cutter: &Surface, facet: &Facet, at: [f64; 2]) -> f64 {
    let mut best = f64::NEG_INFINITY;
    if facet.normal[2] > 1e-6 {
        best = over_inside(cutter, facet, at);
    }
    for k in (0..3).filter(|&k| facet.edges[k]) {
        let (a, b) = (facet.corners[k], facet.corners[(k + 1) % 3]);
        best = best.max(over_edge(cutter, a, b, at));
    }
    best
}

/// Tip height where the cutter touches within the facet, minus infinity when it does not.
fn over_inside(cutter: &Surface, facet: &Facet, at: [f64; 2]) -> f64 {
    let n = facet.normal;
    let flat = length(n[0], n[1]);
    // The place of contact lies from the axis uphill, against the normal.
    let by = match cutter.tip {
        None if flat > 0.0 => cutter.radius / flat,
        None => 0.0,
        // On the cone the highest contact lies as far out as the cutter goes: on an edge.
        Some(_) if n[2] < cutter.sin => return f64::NEG_INFINITY,
        Some(tip) => tip,
    };
    let q = [at[0] - by * n[0], at[1] - by * n[1]];
    let [a, b, c] = &facet.corners;
    let cross =
        |a: &[f64; 3], b: &[f64; 3]| (b[0] - a[0]) * (q[1] - a[1]) - (b[1] - a[1]) * (q[0] - a[0]);
    // Beyond an edge that is not looked at nothing may be lost to rounding.
    if cross(a, b).min(cross(b, c)).min(cross(c, a)) < EDGE {
        return f64::NEG_INFINITY;
    }
    let z = a[2] - (n[0] * (q[0] - a[0]) + n[1] * (q[1] - a[1])) / n[2];
    z - cutter.height(by * flat)
}

/// Tip height over an edge: the greatest of z(u) - h(hypot(far, u)), u along the edge in plan from
/// the foot of the axis.
fn over_edge(cutter: &Surface, a: [f64; 3], b: [f64; 3], at: [f64; 2]) -> f64 {
    let d = [b[0] - a[0], b[1] - a[1]];
    let long = length(d[0], d[1]);
    let radius = cutter.radius;
    let rel = [a[0] - at[0], a[1] - at[1]];
    if long < 1e-12 {
        let far = length(rel[0], rel[1]);
        return if far <= radius {
            a[2].max(b[2]) - cutter.height(far)
        } else {
            f64::NEG_INFINITY
        };
    }
    let way = [d[0] / long, d[1] / long];
    let from = rel[0] * way[0] + rel[1] * way[1];
    let far = (rel[0] * way[1] - rel[1] * way[0]).abs();
    if far > radius {
        return f64::NEG_INFINITY;
    }
    let half = (radius * radius - far * far).sqrt();
    let (low, high) = (from.max(-half), (from + long).min(half));
    if low > high {
        return f64::NEG_INFINITY;
    }
    let rise = (b[2] - a[2]) / long;
    let u = steepest(cutter, far, rise).clamp(low, high);
    a[2] + rise * (u - from) - cutter.height(length(far, u).min(radius))
}

/// Where rise * u - h(hypot(far, u)) is greatest, without bounds.
fn steepest(cutter: &Surface, far: f64, rise: f64) -> f64 {
    let Some(tip) = cutter.tip else {
        return rise.signum() * f64::MAX * f64::from(u8::from(rise != 0.0));
    };
    if far < tip {
        // On the sphere the section is a circle of radius rho.
        let rho = ((tip - far) * (tip + far)).sqrt();
        let u = rho * rise / length(rise, 1.0);
        if cutter.rise.is_infinite() || length(far, u) <= cutter.touch {
            return u;
        }
    }
    // On the cone: rise = cot(a) u / hypot(far, u).
    let cot = cutter.rise;
    if rise.abs() >= cot {
        return rise.signum() * f64::MAX;
    }
    far * rise / ((cot - rise) * (cot + rise)).sqrt()
}

#[cfg(test)]
#[path = "drop_tests.rs"]
mod tests;
