//! What the checks say of parts and joints from their forms alone, before any solid is built: the
//! distances between features, what cutters do to each, and the closed forms of joints.

use rayon::prelude::*;

use super::Settings;
use super::model::distances;
use super::parts::{PartPlan, parts};
use super::refused::Refused;
use super::work::Work;
use crate::chain::{HalfForm, Resolved, Side};
use crate::check::finding::{Finding, Subject};
use crate::check::stock;
use crate::clear::half::{Ligament, Refusal};

/// What is known of one distinct part by its form.
#[derive(Debug)]
pub struct FormOfPart {
    /// Index of the section, the first of equal ones.
    pub section: usize,
    /// Distances that refuse it, and walls that are thin.
    pub thin: Vec<Refusal>,
    /// All distances between its features.
    pub ligaments: Vec<Ligament>,
    /// Which cutter makes what, and the stock it needs.
    pub findings: Vec<Finding>,
}

/// The distinct parts of some sections, from their forms.
#[must_use]
pub fn formed(resolved: &Resolved, settings: &Settings, sections: &[usize]) -> Vec<FormOfPart> {
    let plans = parts(resolved, settings);
    let work = Work::new(resolved, settings, &plans, &|_, _| {});
    let groups: Vec<&Vec<&PartPlan>> = work
        .groups
        .iter()
        .filter(|g| g.iter().any(|p| sections.contains(&p.section)))
        .collect();
    groups
        .into_par_iter()
        .map(|g| part(&work, g, sections))
        .collect()
}

/// What is said of one joint by its closed forms.
#[must_use]
pub fn joint_findings(resolved: &Resolved, settings: &Settings, joint: usize) -> Vec<Finding> {
    Work::new(resolved, settings, &[], &|_, _| {}).joint(joint, None)
}

fn part(work: &Work<'_>, group: &[&PartPlan], sections: &[usize]) -> FormOfPart {
    let own = group.iter().find(|p| sections.contains(&p.section));
    let plan = own.unwrap_or(&group[0]);
    let subject = work.subject(plan);
    let mut found = FormOfPart {
        section: plan.section,
        thin: Vec::new(),
        ligaments: Vec::new(),
        findings: vec![board(work, plan, &subject)],
    };
    let resolved = work.resolved;
    let mut near = Vec::new();
    for half in held(work, plan) {
        match distances(&half, &resolved.walls, resolved.creature.bench_only) {
            Ok((thin, ligaments)) => {
                found.thin.extend(thin);
                near.push(ligaments);
            }
            Err(refused) => found.findings.extend(told(&refused, &subject)),
        }
    }
    found.findings.extend(work.reach(group, &near, None));
    found.ligaments = near.into_iter().flatten().collect();
    found
}

fn held(work: &Work<'_>, plan: &PartPlan) -> Vec<HalfForm> {
    let section = &work.resolved.creature.sections[plan.section];
    if section.form.whole {
        let both = [Side::Upper, Side::Lower];
        both.map(|side| HalfForm::held(&section.form, side)).into()
    } else {
        vec![plan.held_half(section)]
    }
}

fn board(work: &Work<'_>, plan: &PartPlan, subject: &Subject<'_>) -> Finding {
    let need = work.resolved.sources[plan.section].stock;
    stock::board(subject, need, &work.resolved.boards)
}

fn told(refused: &Refused, subject: &Subject<'_>) -> Vec<Finding> {
    let messages = refused.diagnostics(subject.place, subject.name, subject.unit);
    let messages = messages.sorted().into_iter();
    messages.map(|m| Finding::of(m, subject)).collect()
}
