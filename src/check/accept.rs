//! Warnings that a design accepts by name, with a reason.

use super::explain::{EXPLAINED, explain};
use super::finding::{Finding, Subject};
use crate::chain::{Accepted, Creature};
use crate::diagnostic::{Diagnostic, Severity};
use crate::params::did_you_mean;
use crate::units::Unit;

/// Checks of a layout, which warn of nothing before a design is laid out.
const OF_LAYOUTS: [&str; 2] = ["flip", "reach-on-blank"];

/// Marks warnings that the design accepts, and says nothing of the rest.
pub fn mark(findings: &mut [Finding], accepted: &[Accepted], creature: &Creature) {
    for entry in accepted.iter().filter(|e| wrong(e, creature).is_empty()) {
        mark_one(findings, entry, creature);
    }
}

/// Marks what an entry accepts; whether there was anything.
fn mark_one(findings: &mut [Finding], entry: &Accepted, creature: &Creature) -> bool {
    let mut used = false;
    for finding in findings.iter_mut().filter(|f| matches(f, entry, creature)) {
        finding.accepted = Some(entry.reason.clone());
        used = true;
    }
    used
}

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
        let wrong = wrong(entry, creature);
        if !wrong.is_empty() {
            told.extend(wrong.into_iter().map(|w| Finding::of(w, &subject)));
            continue;
        }
        let used = mark_one(findings, entry, creature);
        if !used && !OF_LAYOUTS.contains(&&*entry.check) {
            let words = format!("`{}` is accepted, but nothing warns of it", entry.check);
            told.push(subject.notes("accept", words));
        }
    }
    findings.append(&mut told);
}

/// What is wrong with an entry: its check, its section or both.
fn wrong(entry: &Accepted, creature: &Creature) -> Vec<Diagnostic> {
    let mut all = Vec::new();
    let mut error = |found: String, allowed: &str, way_out: String| {
        let message = Diagnostic::error(entry.place.clone(), found).rule("accept");
        all.push(message.allowed(allowed).way_out(way_out));
    };
    if explain(&entry.check).is_none() {
        let known = EXPLAINED.iter().map(|e| e.check);
        let way_out = did_you_mean(&entry.check, known, "see `limberwood check --explain list`");
        let found = format!("the unknown check `{}`", entry.check);
        error(found, "the name in brackets behind a warning", way_out);
    }
    let there = |name: &&String| creature.sections.iter().any(|s| is(&s.name, name));
    if let Some(section) = entry.section.as_ref().filter(|s| !there(s)) {
        let known = creature.sections.iter().map(|s| s.name.as_str());
        let way_out = did_you_mean(section, known, "write the name of a section");
        let found = format!("the unknown section `{section}`");
        error(found, "a section of the creature", way_out);
    }
    all
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
