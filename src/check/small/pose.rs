//! In which pose a body sticks out of the small-parts cylinder least.
//!
//! Inside the cylinder is convex, so only corners of the body's convex hull can stick out, and the
//! farthest of all corners is one of them (fact 1.4, derived). How far a pose sticks out is the
//! greatest of all corners' distances beyond wall, mouth and floor. It is made least over turns and
//! shifts from many first poses, on a few corners; corners that stick out farther in the pose found
//! are added until there are none.
//!
//! Guaranteed: "fits" is shown by a pose in which every corner lies inside. Not guaranteed: that a
//! pose is the best there is; the tests compare with brute force.

use nalgebra::{Rotation3, Vector3};

use super::descent;

/// Radius of the cylinder, mm: 1.25 in across (16 CFR 1501.4, inches govern).
pub const RADIUS: f64 = 0.625 * 25.4;
/// Depth at its shallow side, mm: 1 in (figure 1 of 1501.4, from memory).
pub const SHALLOW: f64 = 25.4;
/// Depth at its deep side, mm: 2-1/4 in.
pub const DEEP: f64 = 2.25 * 25.4;
/// Slope of its floor, as height over width: 45 degrees.
const SLOPE: f64 = (DEEP - SHALLOW) / (2.0 * RADIUS);
/// Longest straight line inside, mm: hypot(1.25, 2.25) in (fact 1.5, derived).
pub const LONGEST: f64 = 65.377_251_395_267_45;

/// Directions of the first corners.
const FIRST: usize = 60;
/// Rounds of adding corners.
const ROUNDS: usize = 12;
/// What a corner may stick out beyond the pose found without being added, mm.
const NOISE: f64 = 1e-3;

/// A pose: a corner goes to `turn` times it plus `shift`. The cylinder stands upright, its mouth in
/// z = 0, its axis through the origin, the deep side towards +x.
#[derive(Debug, Clone, Copy)]
pub struct Pose {
    /// Turn.
    pub turn: Rotation3<f64>,
    /// Shift after it, mm.
    pub shift: Vector3<f64>,
}

/// How far a place lies outside, mm, negative inside, and the direction in which that grows.
fn outside(p: &Vector3<f64>) -> [(f64, Vector3<f64>); 3] {
    let across = p.x.hypot(p.y);
    let wall = if across > 0.0 {
        Vector3::new(p.x / across, p.y / across, 0.0)
    } else {
        Vector3::x()
    };
    let scale = (1.0 + SLOPE * SLOPE).sqrt();
    let floor = -(p.z + SHALLOW + SLOPE * (p.x + RADIUS)) / scale;
    [
        (across - RADIUS, wall),
        (p.z, Vector3::z()),
        (floor, Vector3::new(-SLOPE, 0.0, -1.0) / scale),
    ]
}

impl Pose {
    /// Where a corner goes.
    pub fn apply(&self, v: &Vector3<f64>) -> Vector3<f64> {
        self.turn * v + self.shift
    }

    /// How far a corner sticks out, mm; negative inside.
    fn of(&self, v: &Vector3<f64>) -> f64 {
        let found = outside(&self.apply(v)).map(|f| f.0);
        found[0].max(found[1]).max(found[2])
    }

    /// How far the farthest corner sticks out, mm.
    pub fn sticks_out(&self, corners: &[Vector3<f64>]) -> f64 {
        corners
            .iter()
            .map(|v| self.of(v))
            .fold(f64::NEG_INFINITY, f64::max)
    }

    /// The corners that stick out farther than `low`, mm: the farthest of each eighth of a turn about
    /// the axis, beyond wall, mouth and floor.
    fn beyond(&self, corners: &[Vector3<f64>], low: f64) -> impl Iterator<Item = usize> {
        let mut worst = [(low, usize::MAX); 24];
        for (k, v) in corners.iter().enumerate() {
            let p = self.apply(v);
            let (right, back, long) = (p.x > 0.0, p.y > 0.0, p.x.abs() > p.y.abs());
            let eighth = usize::from(right) + 2 * usize::from(back) + 4 * usize::from(long);
            for (face, (out, _)) in outside(&p).into_iter().enumerate() {
                let own = &mut worst[8 * face + eighth];
                if out > own.0 {
                    *own = (out, k);
                }
            }
        }
        worst.into_iter().map(|w| w.1).filter(|k| *k != usize::MAX)
    }

    /// Smooth upper bound of [`Self::sticks_out`], to within ln(3 n) / `sharp` mm of it, and how it
    /// grows with a small turn (about the cylinder's axes) and a small shift.
    pub(super) fn smooth(&self, corners: &[Vector3<f64>], sharp: f64) -> (f64, [f64; 6]) {
        let most = self.sticks_out(corners);
        let (mut sum, mut slope) = (0.0, [0.0; 6]);
        for v in corners {
            let turned = self.turn * v;
            for (out, normal) in outside(&(turned + self.shift)) {
                let weight = (sharp * (out - most)).exp();
                if weight < 1e-12 {
                    continue;
                }
                let moment = turned.cross(&normal);
                sum += weight;
                for k in 0..3 {
                    slope[k] += weight * moment[k];
                    slope[3 + k] += weight * normal[k];
                }
            }
        }
        slope.iter_mut().for_each(|s| *s /= sum);
        (most + sum.ln() / sharp, slope)
    }

    pub(super) fn moved(&self, step: &[f64; 6]) -> Pose {
        let turn = Rotation3::from_scaled_axis(Vector3::new(step[0], step[1], step[2]));
        Pose {
            turn: turn * self.turn,
            shift: self.shift + Vector3::new(step[3], step[4], step[5]),
        }
    }
}

/// Unit directions spread evenly over the sphere (golden spiral).
pub fn directions(count: usize) -> impl Iterator<Item = Vector3<f64>> {
    let golden = std::f64::consts::PI * (1.0 + 5f64.sqrt());
    (0..count).map(move |k| {
        let z = 1.0 - (2 * k + 1) as f64 / count as f64;
        let (sin, cos) = (golden * (k as f64 + 0.5)).sin_cos();
        let across = (1.0 - z * z).sqrt();
        Vector3::new(across * cos, across * sin, z)
    })
}

fn farthest(corners: &[Vector3<f64>], direction: &Vector3<f64>) -> usize {
    let mut best = (f64::NEG_INFINITY, 0);
    for (k, v) in corners.iter().enumerate() {
        let along = v.dot(direction);
        if along > best.0 {
            best = (along, k);
        }
    }
    best.1
}

/// How far a body sticks out of the cylinder at least, mm, negative when it fits, and that pose.
pub fn least_out(corners: &[Vector3<f64>]) -> (f64, Pose) {
    if corners.is_empty() {
        return (f64::NEG_INFINITY, descent::START);
    }
    // About its middle, so that a turn moves all corners little.
    let (mut low, mut high) = (corners[0], corners[0]);
    for v in corners {
        low = low.inf(v);
        high = high.sup(v);
    }
    let middle = 0.5 * (low + high);
    let all: Vec<Vector3<f64>> = corners.iter().map(|v| v - middle).collect();
    let mut few: Vec<usize> = directions(FIRST).map(|d| farthest(&all, &d)).collect();
    few.sort_unstable();
    few.dedup();
    let some = |few: &[usize]| -> Vec<Vector3<f64>> { few.iter().map(|&k| all[k]).collect() };
    let mut poses = descent::first(&some(&few));
    let mut best = (f64::INFINITY, descent::START);
    for _ in 0..ROUNDS {
        let corners = some(&few);
        poses = descent::refined(&corners, &poses);
        let Some(pose) = poses.first() else { break };
        let (low, out) = (pose.sticks_out(&corners), pose.sticks_out(&all));
        if out < best.0 {
            best = (out, *pose);
        }
        if out <= 0.0 || out - low < NOISE {
            break;
        }
        for pose in &poses {
            few.extend(pose.beyond(&all, low));
        }
        few.sort_unstable();
        few.dedup();
    }
    let (out, pose) = best;
    let shift = pose.shift - pose.turn * middle;
    (out, Pose { shift, ..pose })
}
