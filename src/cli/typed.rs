//! Lengths typed at the command line.

use crate::units::{Length, Unit};

/// Millimetres of a text; a plain number is in `unit`.
///
/// # Errors
/// What was found, what is allowed and the way out.
pub fn length(text: &str, unit: Unit) -> Result<f64, String> {
    let plain = text.trim().parse::<f64>().ok();
    if let Some(number) = plain.filter(|n| n.is_finite()) {
        return Ok(number * unit.mm());
    }
    let read = Length::parse(text, Some(unit));
    read.map(Length::mm)
        .map_err(|e| format!("found {}, allowed {}; {}", e.found, e.allowed, e.way_out))
}
