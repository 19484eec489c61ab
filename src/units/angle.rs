//! Angles.

use super::amount::{Writing, leading_amount};
use super::error::QuantityError;
use super::odd;

/// Regular expression (ECMA 262) for the texts that [`Angle::parse`] reads.
pub const ANGLE_PATTERN: &str = r"^ *-?([0-9]+(\.[0-9]*)?|\.[0-9]+) *(deg|°|rad) *$";

const ALLOWED: &str = "an angle such as `25 deg`, `25°` or `0.4 rad` (a plain number is degrees)";

/// An angle.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Angle(f64);

impl Angle {
    /// From radians.
    #[must_use]
    pub const fn from_radians(radians: f64) -> Self {
        Self(radians)
    }

    /// From degrees.
    #[must_use]
    pub const fn from_degrees(degrees: f64) -> Self {
        Self(degrees.to_radians())
    }

    /// In radians.
    #[must_use]
    pub const fn radians(self) -> f64 {
        self.0
    }

    /// In degrees.
    #[must_use]
    pub const fn degrees(self) -> f64 {
        self.0.to_degrees()
    }

    /// Reads an angle with its unit: `25 deg`, `25°`, `0.4 rad`.
    ///
    /// # Errors
    /// Everything else, a number without unit included: the message says what to write.
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        let trimmed = text.trim_matches(' ');
        let error = |found: String, way_out: String| {
            Err(QuantityError {
                found,
                allowed: ALLOWED.to_owned(),
                way_out,
            })
        };
        if let Some(explained) =
            odd::explain(text, ALLOWED, "deg", |clean| Self::parse(clean).is_ok())
        {
            return Err(explained);
        }
        let Some(amount) = leading_amount(trimmed) else {
            return error(
                format!("`{text}`, not an angle"),
                "write a number with a unit, such as `25 deg`".to_owned(),
            );
        };
        let number = trimmed.strip_suffix(amount.rest).unwrap_or("").trim_end();
        if amount.writing == Writing::Fraction {
            return error(
                format!("`{text}`, an angle written as a fraction"),
                format!(
                    "write `{} {}`",
                    amount.value,
                    if amount.rest.is_empty() {
                        "deg"
                    } else {
                        amount.rest
                    }
                ),
            );
        }
        match amount.rest {
            "deg" | "°" => Ok(Self::from_degrees(amount.value)),
            "rad" => Ok(Self(amount.value)),
            "" => error(
                format!("the text `{text}`, a number in quotes without a unit"),
                format!("remove the quotes, or add a unit: `{number} deg`"),
            ),
            word => {
                let unit = if word.to_lowercase().starts_with("rad") {
                    "rad"
                } else {
                    "deg"
                };
                error(
                    format!("`{text}`: `{word}` is no unit of angle"),
                    format!("write `{number} {unit}`"),
                )
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_angles() {
        for (text, degrees) in [
            ("25 deg", 25.0),
            ("25°", 25.0),
            ("3.5deg", 3.5),
            ("-2 °", -2.0),
        ] {
            assert!(
                (Angle::parse(text).unwrap().degrees() - degrees).abs() < 1e-12,
                "{text}"
            );
        }
        assert!((Angle::parse("0.4 rad").unwrap().radians() - 0.4).abs() < 1e-15);
    }

    #[test]
    fn refuses_odd_angles() {
        for (text, way_out) in [
            ("25", "add a unit: `25 deg`"),
            ("25 degrees", "write `25 deg`"),
            ("25º", "write `25 deg`"),
            ("0.4 radians", "write `0.4 rad`"),
            ("2,5 deg", "write `2.5 deg`"),
            ("1/2 deg", "write `0.5 deg`"),
            ("25 mm", "write `25 deg`"),
            ("−5 deg", "write `-5 deg`"),
            ("steep", "such as `25 deg`"),
            ("nan deg", "write a number"),
        ] {
            let error = Angle::parse(text).unwrap_err();
            assert!(
                error.found.contains(text) && error.way_out.contains(way_out),
                "{text}: {error}"
            );
        }
    }
}
