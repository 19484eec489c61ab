//! What a layout does to cutters and fits.

use super::blanks::Laid;
use super::{MakeError, Settings, overhead_words, registered};
use crate::blank::{ClampArea, Layout};
use crate::chain::Resolved;
use crate::check::accept::mark;
use crate::check::finding::{Finding, Verdict};
use crate::diagnostic::Diagnostics;
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

/// All findings of a layout; `names` are those of its kinds of pieces.
///
/// # Errors
/// What stands against cutting it.
pub(super) fn findings(
    resolved: &Resolved,
    settings: &Settings,
    laid: &Laid,
    names: &[String],
) -> Result<Vec<Finding>, MakeError> {
    let mut all = overhead_words::findings(resolved, laid, names, settings.unit);
    all.extend(registered::findings(resolved, laid, names, settings.unit));
    mark(&mut all, &resolved.accepted, &resolved.creature);
    if Verdict::of(&all) == Verdict::FixFirst {
        let mut faults = Diagnostics::new();
        faults.extend(all.into_iter().map(|f| f.message));
        return Err(MakeError::Design(faults));
    }
    Ok(all)
}
