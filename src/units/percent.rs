//! Percentages.

use super::amount::{Writing, leading_amount};
use super::error::QuantityError;
use super::odd;

/// Regular expression (ECMA 262) for the texts that [`parse_percent`] reads.
pub const PERCENT_PATTERN: &str = r"^ *-?([0-9]+(\.[0-9]*)?|\.[0-9]+) *% *$";

const ALLOWED: &str = "a percentage such as `50%`";

/// Reads `50%` as 0.5.
///
/// # Errors
/// Everything else: the message says what to write.
pub fn parse_percent(text: &str) -> Result<f64, QuantityError> {
    let error = |found: String, way_out: String| {
        Err(QuantityError {
            found,
            allowed: ALLOWED.to_owned(),
            way_out,
        })
    };
    if let Some(explained) = odd::explain(text, ALLOWED, "%", |clean| parse_percent(clean).is_ok())
    {
        return Err(explained);
    }
    match leading_amount(text.trim_matches(' ')) {
        Some(amount) if amount.rest == "%" && amount.writing == Writing::Decimal => {
            Ok(amount.value / 100.0)
        }
        Some(amount) if amount.rest.is_empty() => error(
            format!("`{text}` without a percent sign"),
            format!("write `{}%`", amount.value * 100.0),
        ),
        Some(amount) if amount.rest == "%" => error(
            format!("`{text}`, a percentage written as a fraction"),
            format!("write `{}%`", amount.value),
        ),
        _ => error(
            format!("`{text}`, not a percentage"),
            "write a number and a percent sign: `50%`".to_owned(),
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_percent() {
        for (text, value) in [
            ("50%", 0.5),
            ("50 %", 0.5),
            ("12.5%", 0.125),
            ("0%", 0.0),
            ("100%", 1.0),
        ] {
            assert!(
                (parse_percent(text).unwrap() - value).abs() < 1e-15,
                "{text}"
            );
        }
    }

    #[test]
    fn refuses_odd_percent() {
        for (text, way_out) in [
            ("0.5", "write `50%`"),
            ("12,5%", "write `12.5%`"),
            ("1/2%", "write `0.5%`"),
            ("half", "`50%`"),
            ("50 percent", "`50%`"),
        ] {
            let error = parse_percent(text).unwrap_err();
            assert!(
                error.found.contains(text) && error.way_out.contains(way_out),
                "{text}: {error}"
            );
        }
    }
}
