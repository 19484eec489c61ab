//! The finished solids of neighbours, bent about their joint until they touch.

use super::checked::Measured;
use super::work::Work;
use crate::chain::joint::Joint;
use crate::chain::{ChainJoint, Resolved};
use crate::check::collide::{Body, Shift, Swing, swing_all};
use crate::check::joint::Collided;

/// Directions in which a joint is bent.
const DIRECTIONS: usize = 24;
/// How far beyond its closed form a joint is bent, radians: contacts beyond are of no use.
const BEYOND: f64 = 0.1;

/// The finished solids of a creature as meshes, one for each group.
pub(super) struct Solids<'a> {
    pub work: &'a Work<'a>,
    pub measured: &'a [Option<Measured>],
}

impl Solids<'_> {
    /// A section's parts where they lie in the straight creature, and their largest deviation;
    /// nothing when one is missing.
    fn section(&self, index: usize) -> Option<(Body, f64)> {
        let (mut positions, mut triangles, mut deviation) = (Vec::new(), Vec::new(), 0.0_f64);
        for (group, measured) in self.work.groups.iter().zip(self.measured) {
            for plan in group.iter().filter(|p| p.section == index) {
                let mesh = &measured.as_ref()?.mesh;
                let first = positions.len() as u32;
                positions.extend(mesh.positions.iter().map(|&p| plan.placement.apply(p)));
                triangles.extend(mesh.triangles.iter().map(|t| t.map(|i| i + first)));
                deviation = deviation.max(mesh.deviation);
            }
        }
        Some((Body::new(&positions, &triangles).ok()?, deviation))
    }

    /// Bends a joint until the solids of its two sections touch.
    pub fn collide(&self, k: usize) -> Option<Collided> {
        let link = &self.work.resolved.joints[k];
        let own = &link.joint;
        let (front, rear) = (link.after, link.after + 1);
        let (ball, socket) = if link.ball_in_front {
            (front, rear)
        } else {
            (rear, front)
        };
        let ((moving, a), (still, b)) = (self.section(ball)?, self.section(socket)?);
        let deviation = a.max(b);
        let push = (own.clearance - 2.0 * deviation).max(0.0);
        let swing = |aside| Swing {
            centre: [centre(self.work.resolved, link, own), 0.0, 0.0],
            chain_axis: [if link.ball_in_front { -1.0 } else { 1.0 }, 0.0, 0.0],
            count: DIRECTIONS,
            shift: Shift::Aside(aside),
            most: link.limits.swing + BEYOND,
        };
        let [concentric, aside] = [0.0, push].map(|aside| {
            let contacts = swing_all(&still, &moving, &swing(aside));
            contacts
                .iter()
                .map(|c| c.angle)
                .fold(f64::INFINITY, f64::min)
        });
        Some(Collided {
            concentric,
            aside,
            push,
            deviation,
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
