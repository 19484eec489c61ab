//! Whether a candidate passes: it is read, resolved and checked as the file that it would be.

use std::collections::BTreeSet;

use super::bench::Bench;
use crate::chain::Resolved;
use crate::check::finding::{Finding, Subject};
use crate::check::stock::board;
use crate::diagnostic::{Diagnostic, Diagnostics, Severity};
use crate::make::{Settings, check};
use crate::params::read_design_str;
use crate::solve;

/// Warnings that come with a smaller body and are told, not avoided: pieces that fit the small-parts
/// cylinder are small parts at any joint, and grooves and marks are left out where they find no room.
const COMES_WITH_SIZE: [&str; 4] = [
    "small-parts",
    "no-front-groove",
    "no-rear-groove",
    "no-mark",
];

/// What stands open, by check and section.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Open(BTreeSet<(String, Option<usize>)>);

impl Open {
    /// Open warnings of a design that has no errors.
    pub fn of(findings: &[Finding]) -> Self {
        let open = findings.iter().filter(|f| f.open());
        Open(open.map(key).collect())
    }

    /// The findings that stand in the way: errors, and warnings that are not open in the design.
    fn new_in(&self, findings: Vec<Finding>) -> Vec<Finding> {
        let bars = |f: &Finding| {
            let rule = f.message.rule.as_str();
            f.open()
                && !(f.message.severity == Severity::Warning
                    && (COMES_WITH_SIZE.contains(&rule) || self.0.contains(&key(f))))
        };
        findings.into_iter().filter(bars).collect()
    }
}

fn key(finding: &Finding) -> (String, Option<usize>) {
    (finding.message.rule.clone(), finding.section)
}

/// A candidate that was looked at.
pub(super) struct Looked {
    /// Nothing when it could not be resolved.
    pub resolved: Option<Resolved>,
    /// What stands in its way; nothing when it passes as far as it was looked at.
    pub bars: Vec<Finding>,
    /// Everything that the checks said.
    pub findings: Vec<Finding>,
    warnings: Vec<Diagnostic>,
}

/// Reads and resolves a candidate: milliseconds.
pub(super) fn look(bench: &Bench<'_>, text: &str, file: &str) -> Looked {
    let read = read_design_str(text, file);
    let resolved = read.and_then(|(design, mut warnings)| {
        let (_, resolved) = solve::resolved(&design, &bench.shop)?;
        warnings.extend(resolved.warnings.clone().sorted());
        Ok((resolved, warnings))
    });
    match resolved {
        Ok((resolved, warnings)) => Looked {
            bars: too_thin(bench, &resolved),
            resolved: Some(resolved),
            findings: Vec::new(),
            warnings,
        },
        Err(faults) => Looked {
            resolved: None,
            bars: of_faults(bench, faults),
            findings: Vec::new(),
            warnings: Vec::new(),
        },
    }
}

/// All checks of a candidate that could be resolved, but the measured leftover: seconds.
pub(super) fn judge(bench: &Bench<'_>, looked: &mut Looked, step: &(dyn Fn(usize, usize) + Sync)) {
    let Some(resolved) = &looked.resolved else {
        return;
    };
    let settings = Settings::of(resolved, bench.unit);
    let findings = check(resolved, &settings, &looked.warnings, step);
    looked.bars = bench.open.new_in(findings.clone());
    looked.findings = findings;
}

/// Sections that do not come out of their own boards.
fn too_thin(bench: &Bench<'_>, resolved: &Resolved) -> Vec<Finding> {
    let sections = resolved.creature.sections.iter().zip(&resolved.sources);
    let each = sections
        .zip(&bench.own_boards)
        .map(|((section, source), &own)| {
            let subject = Subject {
                name: &section.name,
                section: Some(section.number),
                place: &source.place,
                unit: bench.unit,
            };
            board(&subject, source.stock, &[own])
        });
    each.filter(|f| f.message.severity == Severity::Error)
        .collect()
}

fn of_faults(bench: &Bench<'_>, faults: Diagnostics) -> Vec<Finding> {
    let errors = faults.sorted().into_iter();
    let errors = errors.filter(|m| m.severity == Severity::Error);
    let of = |message: Diagnostic| {
        let place = message.place.clone();
        let subject = Subject {
            name: &bench.resolved.creature.name,
            section: None,
            place: &place,
            unit: bench.unit,
        };
        Finding::of(message, &subject)
    };
    errors.map(of).collect()
}
