//! Outlines in plan of lines and arcs, and the outline of a plate.

use super::flank::RimSide;
use crate::chain::Plate;

/// How an outline goes on from a corner to the next one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Way {
    /// Straight.
    Line,
    /// Along a circle to the left of the way, counter-clockwise.
    Left {
        /// Centre in plan.
        centre: [f64; 2],
        /// Radius, mm.
        radius: f64,
    },
    /// Along a circle to the right of the way, clockwise.
    Right {
        /// Centre in plan.
        centre: [f64; 2],
        /// Radius, mm.
        radius: f64,
    },
}

/// A corner of an outline and the way to the next one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corner {
    /// Place in plan, mm.
    pub at: [f64; 2],
    /// How the outline goes on.
    pub way: Way,
}

/// Shorter arcs are left out and their corners stay sharp, mm (habit: far under what a cutter makes,
/// far over the step of the 32-bit numbers of STL, 4e-6 mm at 64 mm).
const LEAST_ARC: f64 = 1e-3;

/// A corner of a path with the length that its rounding takes of the walls beside it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rounding {
    /// Turn at the corner, positive to the left, radians.
    pub turn: f64,
    /// Length taken of each wall, mm.
    pub taken: f64,
}

/// The path of a plate from its foot in front over its corners to its foot at the rear, at y < 0.
pub fn plate_path(side: &RimSide, plate: &Plate) -> Vec<[f64; 2]> {
    let mut path = Vec::with_capacity(plate.corners.len() + 2);
    let foot = |x: f64| side.foot(side.u_of_x(x));
    path.extend(plate.corners.first().map(|c| foot(c.x)));
    path.extend(
        plate
            .corners
            .iter()
            .map(|c| side.out(side.u_of_x(c.x), c.out)),
    );
    path.extend(plate.corners.last().map(|c| foot(c.x)));
    path
}

/// Roundings of the inner corners of a path; r tan(|turn| / 2) is taken of each wall (derived).
pub fn roundings(path: &[[f64; 2]], radii: &[f64]) -> Vec<Rounding> {
    path.windows(3)
        .zip(radii)
        .map(|(p, r)| {
            let (a, b) = (direction(p[0], p[1]), direction(p[1], p[2]));
            let turn = (a[0] * b[1] - a[1] * b[0]).atan2(a[0] * b[0] + a[1] * b[1]);
            Rounding {
                turn,
                taken: r * (0.5 * turn.abs()).tan(),
            }
        })
        .collect()
}

/// What is left of each wall of a path between its roundings, mm.
pub fn walls_left(path: &[[f64; 2]], roundings: &[Rounding]) -> Vec<f64> {
    let taken = |k: usize| roundings.get(k).map_or(0.0, |r| r.taken);
    path.windows(2)
        .enumerate()
        .map(|(k, p)| {
            let before = k.checked_sub(1).map_or(0.0, taken);
            gap(p[0], p[1]) - before - taken(k)
        })
        .collect()
}

/// The rounded path: its first point, then walls and arcs; the last corner is its end.
pub fn rounded(path: &[[f64; 2]], radii: &[f64]) -> Vec<Corner> {
    let mut out = vec![Corner {
        at: path[0],
        way: Way::Line,
    }];
    for ((p, rounding), &radius) in path.windows(3).zip(roundings(path, radii)).zip(radii) {
        if radius * rounding.turn.abs() < LEAST_ARC {
            out.push(Corner {
                at: p[1],
                way: Way::Line,
            });
            continue;
        }
        let (a, b) = (direction(p[0], p[1]), direction(p[1], p[2]));
        let along = |d: [f64; 2], s: f64| [p[1][0] + s * d[0], p[1][1] + s * d[1]];
        let (start, end) = (along(a, -rounding.taken), along(b, rounding.taken));
        let side = radius * rounding.turn.signum();
        let centre = [start[0] - side * a[1], start[1] + side * a[0]];
        let way = if rounding.turn > 0.0 {
            Way::Left { centre, radius }
        } else {
            Way::Right { centre, radius }
        };
        out.push(Corner { at: start, way });
        out.push(Corner {
            at: end,
            way: Way::Line,
        });
    }
    out.push(Corner {
        at: path[path.len() - 1],
        way: Way::Line,
    });
    out
}

/// Distance in plan.
pub fn gap(a: [f64; 2], b: [f64; 2]) -> f64 {
    (b[0] - a[0]).hypot(b[1] - a[1])
}

/// Unit vector from a to b.
pub fn direction(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    let length = gap(a, b).max(f64::MIN_POSITIVE);
    [(b[0] - a[0]) / length, (b[1] - a[1]) / length]
}
