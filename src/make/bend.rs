//! The creature bent: every joint turns all that lies behind it about its centre, the head stays.

use std::f64::consts::TAU;

use nalgebra::{Matrix4, Rotation3, Unit, Vector3};

use super::bent::centre;
use crate::chain::{ChainJoint, Resolved};

/// Which way it bends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// To the side: the tail to the creature's right.
    Side,
    /// Upwards.
    Up,
    /// From side to side along the chain, one wave of it, or of four joints in a shorter one.
    Wave,
}

/// A bend.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bend {
    /// Which way.
    pub way: Way,
    /// Share of each joint's swing, -1 to 1.
    pub share: f64,
}

/// Joints that one wave takes at least (by eye).
const WAVE: usize = 4;

/// Motion of each section out of the straight creature; each joint bends by its share of the swing that
/// its closed form allows.
pub fn motions(resolved: &Resolved, bend: &Bend) -> Vec<Matrix4<f64>> {
    let count = resolved.joints.len().max(WAVE);
    let axis = match bend.way {
        Way::Side | Way::Wave => Vector3::z_axis(),
        Way::Up => -Vector3::y_axis(),
    };
    let mut moved = vec![Matrix4::identity()];
    for (k, link) in resolved.joints.iter().enumerate() {
        let share = match bend.way {
            Way::Wave => (TAU * (k as f64 + 0.5) / count as f64).sin(),
            Way::Side | Way::Up => 1.0,
        };
        let angle = bend.share * share * link.limits.usable().max(0.0);
        moved.push(moved[k] * turn(resolved, link, axis, angle));
    }
    moved
}

fn turn(
    resolved: &Resolved,
    link: &ChainJoint,
    axis: Unit<Vector3<f64>>,
    angle: f64,
) -> Matrix4<f64> {
    let to = Vector3::new(centre(resolved, link, &link.joint), 0.0, 0.0);
    let turn = Rotation3::from_axis_angle(&axis, angle).to_homogeneous();
    Matrix4::new_translation(&to) * turn * Matrix4::new_translation(&-to)
}
