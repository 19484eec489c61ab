//! Lengths and factors typed at the command line.

use crate::units::{Length, Unit, parse_percent};

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

/// A factor, plain or in percent.
///
/// # Errors
/// What was found, what is allowed and the way out.
pub fn factor(text: &str) -> Result<f64, String> {
    if text.contains('%') {
        return parse_percent(text.trim())
            .map_err(|e| format!("found {}, allowed {}; {}", e.found, e.allowed, e.way_out));
    }
    let number = text.trim().parse::<f64>().ok();
    number
        .filter(|n| n.is_finite())
        .ok_or_else(|| format!("found `{text}`, allowed a number such as 0.9, or 90%"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn factors_are_plain_or_in_percent() {
        assert_eq!(factor("0.9"), Ok(0.9));
        assert!((factor(" 90 %").unwrap() - 0.9).abs() < 1e-15);
        for text in ["", "%", "ten", "nan", "inf%"] {
            assert!(factor(text).is_err(), "{text}");
        }
    }
}
