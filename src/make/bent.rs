//! The finished solids of neighbours, bent about their joint until they touch.

use super::checked::Measured;
use super::work::Work;
use crate::brep::pose::Pose;
use crate::chain::joint::{Joint, JointLimits};
use crate::chain::{ChainJoint, Resolved};
use crate::check::collide::{Contact, Swing, swing_all};
use crate::check::joint::Collided;
use crate::mesh::nearest::MeshTree;

/// Directions in which a joint is bent (habit).
const DIRECTIONS: usize = 24;
/// How far beyond its closed form a joint is bent, radians: contacts beyond are of no use.
const BEYOND: f64 = 0.1;

/// The finished solids of a creature as meshes, one for each group.
pub(super) struct Solids<'a> {
    pub work: &'a Work<'a>,
    pub measured: &'a [Option<Measured>],
}

impl Solids<'_> {
    /// A section's parts as they lie in the straight creature whose section begins at `x`, their
    /// largest deviation, and the placement of the first; nothing when one is missing.
    fn section(&self, index: usize, x: f64) -> Option<(MeshTree, f64, Pose)> {
        let (mut positions, mut triangles, mut deviation) = (Vec::new(), Vec::new(), 0.0_f64);
        let mut placement = None;
        for (group, measured) in self.work.groups.iter().zip(self.measured) {
            for plan in group.iter().filter(|p| p.section == index) {
                let mesh = &measured.as_ref()?.mesh;
                let place = Pose {
                    shift: [x, 0.0, 0.0],
                    ..plan.placement
                };
                placement = placement.or(Some(place));
                let first = positions.len() as u32;
                positions.extend(mesh.positions.iter().map(|&p| place.apply(p)));
                triangles.extend(mesh.triangles.iter().map(|t| t.map(|i| i + first)));
                deviation = deviation.max(mesh.deviation);
            }
        }
        let tree = MeshTree::new(&positions, &triangles).ok()?;
        Some((tree, deviation, placement?))
    }

    /// Bends a joint until the solids of its two sections touch. The section in front begins at 0, so
    /// that the numbers do not depend on what stands before it.
    pub fn collide(&self, k: usize) -> Option<Collided> {
        let link = &self.work.resolved.joints[k];
        let own = &link.cut;
        let length = self.work.resolved.creature.sections[link.after].form.length;
        let behind = length + link.joint.gap;
        let (front, rear) = ((link.after, 0.0), (link.after + 1, behind));
        let (ball, socket) = if link.ball_in_front {
            (front, rear)
        } else {
            (rear, front)
        };
        let ((moving, a, _), (still, b, placement)) = (
            self.section(ball.0, ball.1)?,
            self.section(socket.0, socket.1)?,
        );
        let deviation = a.max(b);
        let push = (own.clearance - 2.0 * deviation).max(0.0);
        let centre = if link.ball_in_front {
            behind + own.depth()
        } else {
            length - own.depth()
        };
        let swing = |aside| Swing {
            centre: [centre, 0.0, 0.0],
            chain_axis: [if link.ball_in_front { -1.0 } else { 1.0 }, 0.0, 0.0],
            count: DIRECTIONS,
            aside,
            most: link.cut_limits.swing + BEYOND,
        };
        let least = |aside| {
            let contacts = swing_all(&still, &moving, &swing(aside)).into_iter();
            let least = contacts.min_by(|a, b| a.angle.total_cmp(&b.angle))?;
            Some(Contact {
                place: placement.undo(least.place),
                ..least
            })
        };
        Some(Collided {
            concentric: least(0.0)?,
            aside: least(push)?,
            short: JointLimits::short(own, link.reach, deviation),
            limits: link.cut_limits,
        })
    }
}

/// Place of a joint's centre along the straight creature.
pub(super) fn centre(resolved: &Resolved, link: &ChainJoint, joint: &Joint) -> f64 {
    let sections = &resolved.creature.sections;
    if link.ball_in_front {
        sections[link.after + 1].x + joint.depth()
    } else {
        let section = &sections[link.after];
        section.x + section.form.length - joint.depth()
    }
}
