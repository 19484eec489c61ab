//! Checks of each section by itself: glue, plates, tabs, small parts.

use std::convert::Infallible;

use nalgebra::Vector3;
use rayon::prelude::*;

use super::PartPlan;
use super::checked::Measured;
use super::parts::word;
use super::work::Work;
use crate::brep::pose::Pose;
use crate::chain::Section;
use crate::chain::joint::Joint;
use crate::chain::strengths::Strengths;
use crate::check::balance::Weighed;
use crate::check::finding::{Finding, Subject};
use crate::check::pins;
use crate::check::small::{self, Corners, pieces};
use crate::check::strength;

/// A section's parts with what was measured of them.
pub(super) type Parts<'a> = Vec<(&'a PartPlan, &'a Measured)>;

impl Work<'_> {
    /// What concerns sections one by one, in their order; of those whose parts were built.
    pub fn sections(&self, measured: &[Option<Measured>]) -> Vec<Finding> {
        let sections = self.resolved.creature.sections.par_iter().enumerate();
        let found = sections.filter_map(|(k, section)| {
            let parts = self.parts_of(k, measured)?;
            let subject = Subject {
                name: &section.name,
                section: Some(section.number),
                place: &self.resolved.sources[k].place,
                unit: self.settings.unit,
            };
            let mut all = self.strong(&subject, k, &parts);
            let fits = &self.resolved.fits;
            let holes = section.form.pins.iter().map(|p| fits.made_hole(p));
            let found = &fits.making.measured;
            all.extend(pins::findings(&subject, holes, fits.dowel, found));
            all.extend(self.small(&subject, section, &parts));
            Some(self.advice(all))
        });
        found.collect::<Vec<_>>().into_iter().flatten().collect()
    }

    /// The parts of a section, upper before lower; nothing when one was not built.
    pub fn parts_of<'m>(
        &'m self,
        section: usize,
        measured: &'m [Option<Measured>],
    ) -> Option<Parts<'m>> {
        let mut parts = Vec::new();
        for (group, measured) in self.groups.iter().zip(measured) {
            for plan in group.iter().filter(|p| p.section == section) {
                parts.push((*plan, measured.as_ref()?));
            }
        }
        parts.sort_by_key(|(plan, _)| plan.side);
        (!parts.is_empty()).then_some(parts)
    }

    /// The sections of the straight creature; nothing when a part was not built.
    pub fn weighed(&self, measured: &[Option<Measured>]) -> Option<Vec<Weighed>> {
        let sections = 0..self.resolved.creature.sections.len();
        let one = |k: usize| {
            let mut sum = Weighed {
                corners: Vec::new(),
                volume: 0.0,
                moments: Vector3::zeros(),
            };
            for (plan, m) in self.parts_of(k, measured)? {
                let place = plan.placement;
                let Corners { stems, body } = m.corners.placed(|p| place.apply(p));
                let lists = [body].into_iter().chain(stems);
                sum.corners.extend(lists.flatten().map(Vector3::from));
                sum.volume += m.volume;
                // A centre of gravity moves as a place does.
                let centre = place.apply(m.moments.map(|moment| moment / m.volume));
                sum.moments += Vector3::from(centre) * m.volume;
            }
            Some(sum)
        };
        sections.map(one).collect()
    }

    fn strong(&self, subject: &Subject<'_>, k: usize, parts: &Parts<'_>) -> Vec<Finding> {
        let wood = Strengths::of(&self.resolved.creature.species);
        let form = &self.resolved.creature.sections[k].form;
        let glue = parts.iter().find_map(|(_, m)| m.glue.as_ref());
        let glue = glue.map(|face| strength::glue(subject, face, &self.sockets(k), &wood));
        let mut all = glue.unwrap_or_default();
        all.extend(strength::plates(subject, form, &wood));
        all.extend(strength::tabs(subject, form, &wood));
        all
    }

    fn small(&self, subject: &Subject<'_>, section: &Section, parts: &Parts<'_>) -> Vec<Finding> {
        let slip = self.resolved.fits.making.slip;
        let pins = section.form.pins.iter().map(|p| {
            let dowel = (self.resolved.fits.made_hole(p) - slip).max(0.0);
            (dowel, p.depth_above + p.depth_below)
        });
        let pins: Vec<(f64, f64)> = pins.collect();
        // Where the section stands in the chain does not matter.
        let placed = |(plan, m): &(&PartPlan, &Measured)| -> (&str, Corners) {
            let place = Pose {
                shift: [0.0; 3],
                ..plan.placement
            };
            (word(plan.named), m.corners.placed(|p| place.apply(p)))
        };
        let lay = || {
            let placed: Vec<(&str, Corners)> = parts.iter().map(placed).collect();
            small::laid(&pieces(&placed, &pins))
        };
        let key = || self.laid_key(parts, &pins);
        let Ok(laid) = self.keep(
            |k| &k.laid,
            key,
            || {
                Ok::<_, Infallible>(match self.store {
                    Some(store) => store.laid(&key(), lay),
                    None => lay(),
                })
            },
        );
        small::findings(subject, &laid)
    }

    /// A section's sockets: joint, place of the centre along x, direction of the mouth.
    fn sockets(&self, section: usize) -> Vec<(&Joint, f64, f64)> {
        let length = self.resolved.creature.sections[section].form.length;
        let joints = self.resolved.joints.iter();
        let own = joints.filter_map(|link| {
            let depth = link.joint.depth();
            if link.ball_in_front && link.after + 1 == section {
                Some((&link.joint, depth, -1.0))
            } else if !link.ball_in_front && link.after == section {
                Some((&link.joint, length - depth, 1.0))
            } else {
                None
            }
        });
        own.collect()
    }
}
