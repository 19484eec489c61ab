//! Lengths.

use super::amount::{Writing, leading_amount};
use super::error::QuantityError;
use super::format::mm_text;
use super::odd;

/// Millimetres in an inch: exact by the international yard and pound agreement of 1959.
pub const MM_PER_INCH: f64 = 25.4;

/// Regular expression (ECMA 262) for the texts that [`Length::parse`] reads.
pub const LENGTH_PATTERN: &str = r#"^ *-?([0-9]+(\.[0-9]*)?|\.[0-9]+|([0-9]+[ -])?[0-9]+/[0-9]+|([0-9]+[ -]?)?[¼½¾⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞]) *(mm|cm|in|") *$"#;

/// Unit of the plain numbers of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Unit {
    /// Millimetres.
    Mm,
    /// Inches of exactly 25.4 mm.
    Inch,
}

impl Unit {
    /// Millimetres in one.
    #[must_use]
    pub const fn mm(self) -> f64 {
        match self {
            Self::Mm => 1.0,
            Self::Inch => MM_PER_INCH,
        }
    }

    /// As written behind a number.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Mm => "mm",
            Self::Inch => "in",
        }
    }
}

/// A length.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Length(f64);

impl Length {
    /// From millimetres.
    #[must_use]
    pub const fn from_mm(mm: f64) -> Self {
        Self(mm)
    }

    /// In millimetres.
    #[must_use]
    pub const fn mm(self) -> f64 {
        self.0
    }

    /// Reads a length with its unit: `12 mm`, `1.2 cm`, `3/4 in`, `1-1/2 in`, `0.75"`, `¾ in`.
    /// `file_unit` only chooses the example in a message.
    ///
    /// # Errors
    /// Everything else, a number without unit included: the message says what to write.
    pub fn parse(text: &str, file_unit: Option<Unit>) -> Result<Self, QuantityError> {
        let trimmed = text.trim_matches(' ');
        let Some(amount) = leading_amount(trimmed) else {
            return Err(refuse(text, file_unit));
        };
        match unit_mm(amount.rest) {
            Some(mm) => finite(text, amount.value * mm),
            None if amount.rest.is_empty() => {
                Err(without_unit(text, trimmed, amount.writing, file_unit))
            }
            None => Err(refuse(text, file_unit)),
        }
    }
}

fn finite(text: &str, mm: f64) -> Result<Length, QuantityError> {
    if mm.is_finite() {
        return Ok(Length(mm));
    }
    Err(QuantityError {
        found: format!("`{text}`, too large a number"),
        allowed: ALLOWED.to_owned(),
        way_out: "write a smaller number".to_owned(),
    })
}

const ALLOWED: &str = "a length such as 12, `12 mm`, `1.2 cm`, `3/4 in`, `1-1/2 in` or `¾ in`";

/// Millimetres in a unit that may stand behind a number.
fn unit_mm(word: &str) -> Option<f64> {
    match word {
        "mm" => Some(1.0),
        "cm" => Some(10.0),
        "in" | "\"" => Some(MM_PER_INCH),
        _ => None,
    }
}

fn without_unit(
    text: &str,
    number: &str,
    writing: Writing,
    file_unit: Option<Unit>,
) -> QuantityError {
    let unit = file_unit.unwrap_or(Unit::Mm);
    let (found, way_out) = match writing {
        Writing::Fraction => {
            let inches = leading_amount(number).map_or(0.0, |amount| amount.value);
            (
                format!("`{text}`, a fraction without a unit"),
                format!("write `{number} in` (= {})", mm_text(inches * MM_PER_INCH)),
            )
        }
        Writing::Decimal => (
            format!("the text `{text}`, a number in quotes without a unit"),
            format!(
                "remove the quotes, or add a unit: `{number} {}`",
                unit.symbol()
            ),
        ),
    };
    QuantityError {
        found,
        allowed: ALLOWED.to_owned(),
        way_out,
    }
}

/// Words for units that people write, with the number that turns them into a known one.
const OTHER_UNITS: [(&str, f64, &str); 25] = [
    ("inch", 1.0, "in"),
    ("inches", 1.0, "in"),
    ("in.", 1.0, "in"),
    ("''", 1.0, "in"),
    ("″", 1.0, "in"),
    ("”", 1.0, "in"),
    ("“", 1.0, "in"),
    ("millimeter", 1.0, "mm"),
    ("millimeters", 1.0, "mm"),
    ("millimetre", 1.0, "mm"),
    ("millimetres", 1.0, "mm"),
    ("centimeter", 1.0, "cm"),
    ("centimeters", 1.0, "cm"),
    ("centimetre", 1.0, "cm"),
    ("centimetres", 1.0, "cm"),
    ("m", 1000.0, "mm"),
    ("meter", 1000.0, "mm"),
    ("metre", 1000.0, "mm"),
    ("ft", 12.0, "in"),
    ("foot", 12.0, "in"),
    ("feet", 12.0, "in"),
    ("'", 12.0, "in"),
    ("′", 12.0, "in"),
    ("thou", 0.001, "in"),
    ("mil", 0.001, "in"),
];

fn refuse(text: &str, file_unit: Option<Unit>) -> QuantityError {
    let unit = file_unit.unwrap_or(Unit::Mm).symbol();
    if let Some(error) = odd::explain(text, ALLOWED, unit, |clean| {
        leading_amount(clean).is_some_and(|a| a.rest.is_empty() || unit_mm(a.rest).is_some())
    }) {
        return error;
    }
    let (found, way_out) = match leading_amount(text.trim_matches(' ')) {
        Some(amount) => {
            let word = amount.rest;
            let number = text
                .trim_matches(' ')
                .strip_suffix(word)
                .unwrap_or("")
                .trim_end();
            (
                format!("`{text}`: `{word}` is no unit of length"),
                unit_way_out(number, amount.value, word),
            )
        }
        None => (
            format!("`{text}`, not a length"),
            format!("write a number with a unit, such as `12 {unit}`"),
        ),
    };
    QuantityError {
        found,
        allowed: ALLOWED.to_owned(),
        way_out,
    }
}

fn unit_way_out(number: &str, value: f64, word: &str) -> String {
    let lower = word.to_lowercase();
    if let Some(known) = ["mm", "cm", "in"].into_iter().find(|known| *known == lower) {
        return format!("write `{number} {known}`");
    }
    match OTHER_UNITS.iter().find(|(other, _, _)| *other == lower) {
        Some((_, factor, known)) if *factor == 1.0 => format!("write `{number} {known}`"),
        Some((_, factor, known)) => {
            // Six decimals hide the noise of the product.
            format!("write `{} {known}`", (value * factor * 1e6).round() / 1e6)
        }
        None => "write mm, cm or in behind the number".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn reads_lengths_with_units() {
        // 25.4 mm to the inch (1959 agreement); the rest is arithmetic.
        for (text, mm) in [
            ("12 mm", 12.0),
            ("12mm", 12.0),
            ("1.2 cm", 12.0),
            ("3/4 in", 19.05),
            ("1-1/2 in", 38.1),
            ("1 1/2 in", 38.1),
            ("0.75\"", 19.05),
            ("¾ in", 19.05),
            ("1¾ in", 44.45),
            ("1/64 in", 0.396_875),
            (" 12 mm ", 12.0),
            ("-3 mm", -3.0),
        ] {
            let length = Length::parse(text, Some(Unit::Mm)).unwrap();
            assert!((length.mm() - mm).abs() < 1e-12, "{text}: {}", length.mm());
        }
    }

    #[test]
    fn refuses_odd_forms_and_says_what_to_write() {
        for (text, found, way_out) in [
            (
                "3/4",
                "fraction without a unit",
                "write `3/4 in` (= 19.05 mm)",
            ),
            ("¾", "fraction without a unit", "write `¾ in` (= 19.05 mm)"),
            (
                "12",
                "number in quotes",
                "remove the quotes, or add a unit: `12 mm`",
            ),
            ("3,5", "decimal comma", "write `3.5`"),
            ("3,5 mm", "decimal comma", "write `3.5 mm`"),
            ("1,000 mm", "a comma", "write `1.000 mm` or `1000 mm`"),
            ("1,234.5 mm", "a comma", "write `1234.5 mm`"),
            ("1_000", "`_` between digits", "write `1000`"),
            ("−3 mm", "true minus sign", "write `-3 mm`"),
            ("１２ mm", "full-width", "write `12 mm`"),
            ("12\u{a0}mm", "no-break space", "write `12 mm`"),
            ("3⁄4 in", "fraction slash", "write `3/4 in`"),
            ("0x1F mm", "`0x1F mm`", "decimal"),
            ("1e3 mm", "exponent", "without exponent"),
            ("nan", "not a number", "write a number"),
            ("inf mm", "not a number", "write a number"),
            ("12 MM", "no unit of length", "write `12 mm`"),
            ("2 inches", "no unit of length", "write `2 in`"),
            ("3/4 inch", "no unit of length", "write `3/4 in`"),
            ("0.5 m", "no unit of length", "write `500 mm`"),
            ("1'", "no unit of length", "write `12 in`"),
            ("12 furlongs", "no unit of length", "write mm, cm or in"),
            ("1-5/4 in", "no unit of length", "write mm, cm or in"),
            ("12:30", "no unit of length", "write mm, cm or in"),
            ("25 deg", "no unit of length", "write mm, cm or in"),
            ("", "not a length", "such as `12 mm`"),
            ("+3 mm", "`+`", "write `3 mm`"),
            ("big", "not a length", "such as `12 mm`"),
        ] {
            let error = Length::parse(text, Some(Unit::Mm)).unwrap_err();
            assert!(error.found.contains(text), "{text}: {error}");
            assert!(error.found.contains(found), "{text}: {error}");
            assert!(error.way_out.contains(way_out), "{text}: {error}");
        }
    }
}
