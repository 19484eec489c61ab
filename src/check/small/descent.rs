//! The descent from many first poses to the best ones: a quasi-Newton method on a smooth upper bound
//! that grows sharper.

use nalgebra::{Matrix6, Rotation3, Vector3, Vector6};

use super::pose::{Pose, directions};

/// A first pose.
pub const START: Pose = Pose {
    turn: Rotation3::from_matrix_unchecked(nalgebra::Matrix3::new(
        1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0,
    )),
    shift: Vector3::new(0.0, 0.0, 0.0),
};

/// Directions of the body that are laid along the cylinder's axis, and turns about it.
const DIRECTIONS: usize = 60;
const TURNS: usize = 8;
/// First poses that are followed, and those of them that are refined.
const FOLLOWED: usize = 24;
const REFINED: usize = 4;
/// Sharpness of the upper bound, 1/mm, coarse and fine: at the end it lies within 0.002 mm.
const COARSE: [f64; 2] = [1.0, 6.0];
const FINE: [f64; 4] = [20.0, 120.0, 700.0, 4000.0];
/// Steps at each sharpness.
const STEPS: usize = 25;
/// Longest step, mm, a turn counted at the body's farthest corner.
const LONGEST: f64 = 4.0;

/// The best poses of a coarse search.
pub fn first(corners: &[Vector3<f64>]) -> Vec<Pose> {
    let mut starts: Vec<(f64, Pose)> = Vec::with_capacity(DIRECTIONS * TURNS);
    for axis in directions(DIRECTIONS) {
        let up = Rotation3::rotation_between(&axis, &Vector3::z()).unwrap_or_else(|| {
            Rotation3::from_axis_angle(&Vector3::x_axis(), std::f64::consts::PI)
        });
        for k in 0..TURNS {
            let angle = std::f64::consts::TAU * k as f64 / TURNS as f64;
            let pose = centred(
                corners,
                Rotation3::from_axis_angle(&Vector3::z_axis(), angle) * up,
            );
            starts.push((pose.sticks_out(corners), pose));
        }
    }
    best(starts, FOLLOWED)
        .into_iter()
        .map(|pose| descended(corners, pose, &COARSE))
        .collect()
}

/// The best few of some poses, made as good as they get; the best one first.
pub fn refined(corners: &[Vector3<f64>], poses: &[Pose]) -> Vec<Pose> {
    let valued = |poses: &[Pose]| poses.iter().map(|p| (p.sticks_out(corners), *p)).collect();
    let few = best(valued(poses), REFINED);
    let fine: Vec<Pose> = few
        .into_iter()
        .map(|p| descended(corners, p, &FINE))
        .collect();
    best(valued(&fine), REFINED)
}

fn best(mut poses: Vec<(f64, Pose)>, count: usize) -> Vec<Pose> {
    poses.sort_by(|a, b| a.0.total_cmp(&b.0));
    poses.into_iter().take(count).map(|p| p.1).collect()
}

/// A turn with the shift that centres it across, its top in the mouth.
fn centred(corners: &[Vector3<f64>], turn: Rotation3<f64>) -> Pose {
    let (mut low, mut high) = (
        Vector3::repeat(f64::INFINITY),
        Vector3::repeat(f64::NEG_INFINITY),
    );
    for v in corners {
        let p = turn * v;
        low = low.inf(&p);
        high = high.sup(&p);
    }
    let middle = 0.5 * (low + high);
    Pose {
        turn,
        shift: Vector3::new(-middle.x, -middle.y, -high.z),
    }
}

/// Follows a pose down at each sharpness (BFGS with halved steps). Turns are counted as lengths at
/// the farthest corner, so that both kinds of step have one measure.
fn descended(corners: &[Vector3<f64>], mut pose: Pose, sharpness: &[f64]) -> Pose {
    let far = corners.iter().map(|v| v.norm()).fold(1.0, f64::max);
    let at = |pose: &Pose, sharp: f64| {
        let (value, slope) = pose.smooth(corners, sharp);
        let mut slope = Vector6::from(slope);
        slope.fixed_rows_mut::<3>(0).scale_mut(1.0 / far);
        (value, slope)
    };
    for &sharp in sharpness {
        let mut inverse = Matrix6::identity();
        let (mut value, mut slope) = at(&pose, sharp);
        for _ in 0..STEPS {
            let mut step = -(inverse * slope);
            if step.dot(&slope) >= 0.0 {
                inverse = Matrix6::identity();
                step = -slope;
            }
            let long = step.norm();
            if long > LONGEST {
                step *= LONGEST / long;
            }
            let Some((next, there)) =
                shorter(&pose, &mut step, far, value, &slope, |p| at(p, sharp))
            else {
                break;
            };
            let grown = there.1 - slope;
            let along = step.dot(&grown);
            if along > 1e-12 {
                let left = Matrix6::identity() - step * grown.transpose() / along;
                inverse = left * inverse * left.transpose() + step * step.transpose() / along;
            }
            let gained = value - there.0;
            (pose, value, slope) = (next, there.0, there.1);
            if gained < 1e-5 {
                break;
            }
        }
    }
    pose
}

/// The step, halved until it gains enough; nothing when it never does.
fn shorter(
    pose: &Pose,
    step: &mut Vector6<f64>,
    far: f64,
    value: f64,
    slope: &Vector6<f64>,
    at: impl Fn(&Pose) -> (f64, Vector6<f64>),
) -> Option<(Pose, (f64, Vector6<f64>))> {
    for _ in 0..20 {
        let s = [
            step[0] / far,
            step[1] / far,
            step[2] / far,
            step[3],
            step[4],
            step[5],
        ];
        let next = pose.moved(&s);
        let there = at(&next);
        if there.0 < value + 1e-4 * step.dot(slope) {
            return Some((next, there));
        }
        *step *= 0.5;
    }
    None
}
