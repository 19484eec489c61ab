//! What the check `reach` needs to know of a part.

use super::model::Bodies;
use super::parts::PartPlan;
use super::work::Work;
use crate::brep::set_up::SetUp;
use crate::brep::shape::Half;
use crate::chain::{HalfForm, Side};
use crate::check::finding::Finding;
use crate::check::reach::{Depths, Kit, Site, depths, features, measured};
use crate::clear::half::Ligament;
use crate::mesh::Mesh;

impl Work<'_> {
    /// What the shop's cutters do to equal parts: each feature, and with a body all that is left, if
    /// the settings want that. `ligaments` are the distances of a half, or of each side of a whole.
    pub(super) fn reach(
        &self,
        group: &[&PartPlan],
        ligaments: &[Vec<Ligament>],
        body: Option<(&Half, &Mesh)>,
    ) -> Vec<Finding> {
        let plan = group[0];
        let section = &self.resolved.creature.sections[plan.section];
        let subject = self.subject(plan);
        let (kit, bench) = (
            Kit::of(&self.resolved.cutters),
            self.resolved.creature.bench_only,
        );
        let none = Vec::new();
        let near = |k: usize| ligaments.get(k).unwrap_or(&none);
        let body = body.filter(|_| self.settings.leftover);
        if !section.form.whole {
            let half = plan.half(section);
            let site = self.site(group, &half, near(0));
            let mut all = features(&subject, &site, None, &kit, bench);
            if let Some(body) = body {
                all.extend(measured(&subject, body, &site, &kit, bench));
            }
            return all;
        }
        let sides = [
            (Side::Upper, SetUp::OutsideUp),
            (Side::Lower, SetUp::InsideUp),
        ];
        let of = |(k, (side, up)): (usize, (Side, SetUp))| {
            let half = HalfForm::of(&section.form, side);
            features(
                &subject,
                &self.site(group, &half, near(k)),
                Some(up),
                &kit,
                bench,
            )
        };
        let mut all: Vec<Finding> = sides.into_iter().enumerate().flat_map(of).collect();
        if let Some(body) = body {
            let half = HalfForm::of(&section.form, Side::Upper);
            let site = self.site(group, &half, near(0));
            all.extend(measured(&subject, body, &site, &kit, bench));
        }
        all
    }

    /// What the shop's cutters leave at each corner of the mesh of equal parts, in both set-ups.
    pub(super) fn depths(&self, group: &[&PartPlan], bodies: &Bodies) -> [Depths; 2] {
        let section = &self.resolved.creature.sections[group[0].section];
        let half = if section.form.whole {
            HalfForm::of(&section.form, Side::Upper)
        } else {
            group[0].half(section)
        };
        let none = Vec::new();
        let site = self.site(group, &half, bodies.ligaments.first().unwrap_or(&none));
        let kit = Kit::of(&self.resolved.cutters);
        let finished = &bodies.finished;
        depths((&finished.half, &finished.mesh), &site, &kit)
    }

    fn site<'b>(
        &self,
        group: &[&PartPlan],
        half: &'b HalfForm,
        ligaments: &'b [Ligament],
    ) -> Site<'b> {
        Site {
            half,
            whole: self.resolved.creature.sections[group[0].section].form.whole,
            clearance: self.clearance(group),
            ligaments,
            relief: self.resolved.relief,
            window: self.resolved.blank.window,
            stock: self.stock(group[0]),
        }
    }

    /// The least clearance of the joints at the ends of equal parts, front and rear, mm.
    pub(super) fn clearance(&self, group: &[&PartPlan]) -> [f64; 2] {
        let joints = &self.resolved.joints;
        let at = |k: Option<usize>| k.and_then(|k| joints.get(k)).map(|j| j.joint.clearance);
        let least = |f: fn(usize) -> Option<usize>| {
            let all = group.iter().filter_map(|p| at(f(p.section)));
            all.fold(f64::INFINITY, f64::min)
        };
        [least(|s| s.checked_sub(1)), least(Some)]
    }

    /// Thickness of the thinnest board that holds the part, over the split plane, mm; of what it
    /// needs when no board is thick enough.
    pub(super) fn stock(&self, plan: &PartPlan) -> f64 {
        let need = self.resolved.sources[plan.section].stock;
        let board = self.resolved.boards.iter().find(|&&b| b >= need);
        let thick = board.copied().unwrap_or(need);
        let whole = self.resolved.creature.sections[plan.section].form.whole;
        if whole { 0.5 * thick } else { thick }
    }
}
