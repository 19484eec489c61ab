//! What a layout does to cutters and fits.

use super::blank_files::blank_names;
use super::blanks::Laid;
use super::{MakeError, Settings, overhead_words, registered};
use crate::blank::{ClampArea, Layout};
use crate::chain::Resolved;
use crate::check::accept::mark;
use crate::check::finding::{Finding, Verdict};
use crate::diagnostic::{Diagnostics, Severity};
use crate::export::blanks::{ClampRow, Clamps};

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

impl Laid {
    /// What cutters, clamps and dowels do to it, errors too.
    pub fn findings(&self, resolved: &Resolved, settings: &Settings) -> Vec<Finding> {
        let (names, unit) = (blank_names(self), settings.unit);
        let mut all = overhead_words::findings(resolved, self, &names, unit);
        all.extend(registered::findings(resolved, self, &names, unit));
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
