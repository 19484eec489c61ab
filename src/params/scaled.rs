//! A written design in another size.

use super::located::Located;
use super::record::Value;
use super::value::Factor;
use super::written::{Design, Section};
use crate::diagnostic::{Diagnostic, Diagnostics};

/// Range of a section's scale, as its key declares it.
const RANGE: std::ops::RangeInclusive<f64> = 0.05..=20.0;

/// Multiplies the scale of every section, as if it were written in the file; joints follow if
/// `scale_joints` says so.
///
/// # Errors
/// A section that comes to lie outside of the range of `scale`.
pub fn scale_design(design: &mut Design, by: &Located<Factor>) -> Result<(), Diagnostics> {
    let defaults = design
        .defaults
        .get_or_insert_with(|| Located::new(Section::absent(), by.place.clone()));
    // What neither it nor its `like` writes, a section takes from the defaults.
    defaults
        .value
        .scale
        .get_or_insert_with(|| Located::new(Factor(1.0), by.place.clone()));
    let sections = design.sections.value.iter_mut();
    let all = sections.chain(design.defaults.iter_mut());
    for scale in all.filter_map(|s| s.value.scale.as_mut()) {
        let product = scale.value.0 * by.value.0;
        if !RANGE.contains(&product) {
            let found = format!(
                "scale {} of a section of scale {}",
                by.value.0, scale.value.0
            );
            return Err(Diagnostic::error(by.place.clone(), found)
                .allowed("both together from 0.05 to 20")
                .way_out("write a size nearer to 100%")
                .into());
        }
        scale.value.0 = product;
    }
    Ok(())
}
