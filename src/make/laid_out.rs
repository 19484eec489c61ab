//! What a layout does to cutters and fits.

use super::blank_files::blank_names;
use super::blanks::Laid;
use super::{MakeError, Settings, overhead_words, registered};
use crate::blank::{ClampArea, Layout, Part};
use crate::chain::strengths::Strengths;
use crate::chain::{Resolved, SectionForm};
use crate::check::accept::mark;
use crate::check::finding::{Finding, Subject, Verdict};
use crate::check::strength;
use crate::diagnostic::{Diagnostics, Severity};
use crate::export::blanks::{ClampRow, Clamps};
use crate::units::Unit;

/// Tabs that differ by less have the length of the window, mm: the shop's precision.
const PRINTED: f64 = 0.01;

/// Where clamps may stand on pieces of a layout.
pub(super) fn clamps(resolved: &Resolved, layout: &Layout) -> Clamps {
    let rules = &resolved.blank;
    let area = |area: ClampArea| {
        let [from_mm, to_mm] = area.corners(layout, rules);
        ClampRow {
            name: area.name(),
            from_mm,
            to_mm,
        }
    };
    Clamps {
        height_mm: rules.clamp_height,
        areas: ClampArea::ALL.map(area).to_vec(),
        from_dowels_mm: overhead_words::from_dowels(resolved, layout),
    }
}

/// What tabs withstand that are longer than the window is wide, because the window goes straight past
/// what stands out beside them.
fn tabs(resolved: &Resolved, laid: &Laid, unit: Unit) -> Vec<Finding> {
    let wood = Strengths::of(&resolved.creature.species);
    let longer = |form: &SectionForm| {
        let lengths = form.features.tabs.iter().flat_map(|t| t.length);
        lengths.fold(0.0, f64::max) > resolved.blank.window + PRINTED
    };
    let note = |(k, part): (usize, &Part)| {
        let form = laid.form(k);
        let section = &resolved.creature.sections[part.sections[0] - 1];
        let name = format!("{}, in its window", section.name);
        let subject = Subject {
            name: &name,
            section: Some(section.number),
            place: &part.place,
            unit,
        };
        strength::tabs(&subject, form, &wood).filter(|_| longer(form))
    };
    laid.parts.iter().enumerate().filter_map(note).collect()
}

impl Laid {
    /// What cutters, clamps and dowels do to it, errors too.
    pub fn findings(&self, resolved: &Resolved, settings: &Settings) -> Vec<Finding> {
        let (names, unit) = (blank_names(self), settings.unit);
        let mut all = overhead_words::findings(resolved, self, &names, unit);
        all.extend(registered::findings(resolved, self, &names, unit));
        all.extend(tabs(resolved, self, unit));
        mark(&mut all, &resolved.accepted, &resolved.creature);
        all
    }
}

/// The same where nothing stands against cutting it.
///
/// # Errors
/// What does, with the rest.
pub(super) fn findings(
    resolved: &Resolved,
    settings: &Settings,
    laid: &Laid,
) -> Result<Vec<Finding>, MakeError> {
    let all = laid.findings(resolved, settings);
    if Verdict::of(&all) == Verdict::FixFirst {
        let mut faults = Diagnostics::new();
        let errors = all.into_iter().map(|f| f.message);
        faults.extend(errors.filter(|m| m.severity != Severity::Note));
        return Err(MakeError::Design(faults));
    }
    Ok(all)
}
