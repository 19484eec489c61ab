//! Warnings that a design accepts by name, with a reason.

use super::explain::{EXPLAINED, explain};
use super::finding::{Finding, Subject};
use crate::chain::{Accepted, Creature};
use crate::diagnostic::{Diagnostic, Severity};
use crate::params::did_you_mean;
use crate::units::Unit;

/// Marks accepted warnings; says which acceptances are wrong or match nothing.
pub fn accept(findings: &mut Vec<Finding>, accepted: &[Accepted], creature: &Creature, unit: Unit) {
    let mut told = Vec::new();
    for entry in accepted {
        let subject = Subject {
            name: &creature.name,
            section: None,
            place: &entry.place,
            unit,
        };
        if let Some(wrong) = wrong(entry, creature) {
            told.push(Finding::of(wrong, &subject));
            continue;
        }
        let mut used = false;
        for finding in findings.iter_mut().filter(|f| matches(f, entry, creature)) {
            finding.accepted = Some(entry.reason.clone());
            used = true;
        }
        if !used {
            let words = format!("`{}` is accepted, but nothing warns of it", entry.check);
            told.push(subject.notes("accept", words));
        }
    }
    findings.append(&mut told);
}

fn wrong(entry: &Accepted, creature: &Creature) -> Option<Diagnostic> {
    let error = |found: String, allowed: &str, way_out: String| {
        let message = Diagnostic::error(entry.place.clone(), found).rule("accept");
        Some(message.allowed(allowed).way_out(way_out))
    };
    if explain(&entry.check).is_none() {
        let known = EXPLAINED.iter().map(|e| e.check);
        let way_out = did_you_mean(&entry.check, known, "see `limberwood check --explain list`");
        let found = format!("the unknown check `{}`", entry.check);
        return error(found, "the name in brackets behind a warning", way_out);
    }
    let section = entry.section.as_ref()?;
    if creature.sections.iter().any(|s| is(&s.name, section)) {
        return None;
    }
    let known = creature.sections.iter().map(|s| s.name.as_str());
    let way_out = did_you_mean(section, known, "write the name of a section");
    let found = format!("the unknown section `{section}`");
    error(found, "a section of the creature", way_out)
}

/// Whether a section has this name, or is one of a repeated entry with this name.
pub fn is(section: &str, name: &str) -> bool {
    let (section, name) = (section.to_lowercase(), name.to_lowercase());
    let number = section
        .strip_prefix(&name)
        .and_then(|rest| rest.strip_prefix('-'));
    section == name
        || number.is_some_and(|n| !n.is_empty() && n.chars().all(|c| c.is_ascii_digit()))
}

fn matches(finding: &Finding, entry: &Accepted, creature: &Creature) -> bool {
    let warning = finding.message.severity == Severity::Warning;
    let here = entry.section.as_ref().is_none_or(|name| {
        let section = finding
            .section
            .and_then(|n| creature.sections.get(n.checked_sub(1)?));
        section.is_some_and(|s| is(&s.name, name))
    });
    warning && here && finding.message.rule == entry.check
}
