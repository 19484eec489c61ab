//! Lengths, angles, factors and places along a body.

use serde_json::{Map, Value as Json, json};

use crate::diagnostic::Place;
use crate::params::limits::Limits;
use crate::params::reader::{Reader, describe, quoted};
use crate::params::record::Value;
use crate::params::tree::{Kind, Node};
use crate::units::{
    ANGLE_PATTERN, Angle, LENGTH_PATTERN, Length, MM_PER_INCH, PERCENT_PATTERN, Unit, inch_text,
    length_text, mm_text, parse_percent,
};

/// A plain number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scalar(pub f64);

/// A factor: a plain number, 0.9, or a percentage, `90%`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Factor(pub f64);

/// A percentage as a fraction: `50%` is 0.5.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Percent(pub f64);

/// Place along a body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Along {
    /// Fraction of the length, from 0 to 1.
    Fraction(f64),
    /// Length from the front datum.
    Length(Length),
}

/// Taper of a cutter; the file says `per side` or `included`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CutterTaper {
    /// Angle of one side with the cutter's axis.
    pub per_side: Angle,
}

/// A plain decimal number: no other base, not infinite, not NaN.
fn decimal(node: &Node, place: &Place, allowed: &str, reader: &mut Reader) -> Option<f64> {
    let Kind::Number { value, text, .. } = &node.kind else {
        reader.wrong_kind(place, node, allowed, "write a number");
        return None;
    };
    let shown = quoted(text);
    if value.is_nan() {
        reader.error(
            place,
            format!("`{shown}`, not a number"),
            allowed,
            "write a number",
        );
    } else if value.is_infinite() {
        reader.error(
            place,
            format!("`{shown}`, an infinite number"),
            allowed,
            "write a smaller number",
        );
    } else if text.starts_with("0x") || text.starts_with("0o") {
        reader.error(
            place,
            format!("`{shown}`, a number in another base"),
            allowed,
            format!("write `{value}`"),
        );
    } else {
        return Some(*value);
    }
    None
}

/// Checks a range and passes the value on.
fn within(
    node: &Node,
    place: &Place,
    value: f64,
    limits: Limits,
    reader: &mut Reader,
    end: impl Fn(f64) -> String,
) -> Option<f64> {
    if limits.contain(value) {
        return Some(value);
    }
    reader.out_of_range(place, found(node), value, limits, end);
    None
}

/// The written text of a number or a quantity.
fn found(node: &Node) -> String {
    match &node.kind {
        Kind::Number { text, .. } | Kind::Text(text) => format!("`{}`", quoted(text)),
        _ => describe(node),
    }
}

/// The end of a range in the unit of the file, in millimetres where 64ths are too coarse.
fn length_end(mm: f64, unit: Option<Unit>) -> String {
    match unit {
        Some(Unit::Inch) if mm == 0.0 || mm.abs() >= 1.0 => {
            length_text(Length::from_mm(mm), Unit::Inch)
        }
        _ => mm_text(mm),
    }
}

/// The end of a range in inches: a fraction, or decimals below the coarseness of 64ths.
fn inch_end(mm: f64) -> String {
    let text = inch_text(mm);
    let (fraction, decimal) = text.split_once(" (").unwrap_or((&text, ""));
    if mm != 0.0 && mm.abs() < MM_PER_INCH / 64.0 {
        return format!("{} in", decimal.trim_end_matches(')'));
    }
    fraction.to_owned()
}

/// A length and whether its unit is known.
fn read_length(node: &Node, place: &Place, reader: &mut Reader) -> Option<(Length, bool)> {
    match &node.kind {
        Kind::Text(text) => match Length::parse(text, reader.unit) {
            Ok(length) => Some((length, true)),
            Err(error) => {
                reader.refused(place, error);
                None
            }
        },
        Kind::Number { .. } => {
            let number = decimal(node, place, "a length such as 12 or `3/4 in`", reader)?;
            let unit = reader.unit;
            Some((
                Length::from_mm(number * unit.map_or(1.0, Unit::mm)),
                unit.is_some(),
            ))
        }
        _ => {
            let allowed = "a length such as 12, `12 mm` or `3/4 in`";
            reader.wrong_kind(
                place,
                node,
                allowed,
                "write a number, with or without a unit",
            );
            None
        }
    }
}

impl Value for Length {
    fn read(node: &Node, place: &Place, limits: Limits, reader: &mut Reader) -> Option<Self> {
        let (length, unit_known) = read_length(node, place, reader)?;
        if !unit_known {
            return Some(length);
        }
        let unit = reader.unit;
        within(node, place, length.mm(), limits, reader, |mm| {
            length_end(mm, unit)
        })
        .map(Self::from_mm)
    }

    fn schema(limits: Limits, _: &mut Map<String, Json>) -> Json {
        let mut number = json!({ "type": "number" });
        let mut description = String::new();
        if limits.bind() {
            description = format!("({}; {})", limits.text(mm_text), limits.text(inch_end));
            // The number may be millimetres or inches: the wider end of either counts, rounded
            // outwards so that it reads well.
            let inches = (limits.least / MM_PER_INCH * 1e4).floor() / 1e4;
            number["minimum"] = json!(limits.least.min(inches));
            number["maximum"] = json!(limits.most);
        }
        let text = json!({ "type": "string", "pattern": LENGTH_PATTERN });
        json!({ "description": description, "anyOf": [number, text] })
    }

    fn absent() -> Self {
        Self::from_mm(1.0)
    }
}

impl Value for Angle {
    fn read(node: &Node, place: &Place, limits: Limits, reader: &mut Reader) -> Option<Self> {
        let angle = match &node.kind {
            Kind::Text(text) => match Self::parse(text) {
                Ok(angle) => angle,
                Err(error) => {
                    reader.refused(place, error);
                    return None;
                }
            },
            _ => Self::from_degrees(decimal(
                node,
                place,
                "an angle such as `25 deg` (a plain number is degrees)",
                reader,
            )?),
        };
        // The noise of a conversion from radians must not refuse an end of the range.
        let degrees = (angle.degrees() * 1e9).round() / 1e9;
        within(node, place, degrees, limits, reader, |d| format!("{d} deg")).map(|_| angle)
    }

    fn schema(limits: Limits, _: &mut Map<String, Json>) -> Json {
        let text = json!({ "type": "string", "pattern": ANGLE_PATTERN });
        json!({
            "description": format!("({}; a plain number is degrees)", limits.text(|d| format!("{d} deg"))),
            "anyOf": [{ "type": "number", "minimum": limits.least, "maximum": limits.most }, text],
        })
    }

    fn absent() -> Self {
        Self::from_degrees(1.0)
    }
}

impl Value for Scalar {
    fn read(node: &Node, place: &Place, limits: Limits, reader: &mut Reader) -> Option<Self> {
        let value = decimal(node, place, "a plain number", reader)?;
        within(node, place, value, limits, reader, |v| format!("{v}")).map(Self)
    }

    fn schema(limits: Limits, _: &mut Map<String, Json>) -> Json {
        json!({ "type": "number", "minimum": limits.least, "maximum": limits.most })
    }

    fn absent() -> Self {
        Self(1.0)
    }
}

/// Reads a percentage, in range.
fn read_percent(node: &Node, place: &Place, limits: Limits, reader: &mut Reader) -> Option<f64> {
    match &node.kind {
        Kind::Text(text) => match parse_percent(text) {
            Ok(fraction) => within(node, place, fraction, limits, reader, percent_end),
            Err(error) => {
                reader.refused(place, error);
                None
            }
        },
        Kind::Number { value, text, .. } if value.is_finite() => {
            let way_out = format!("write `{}%` or `{}%`", text, (value * 1e8).round() / 1e6);
            reader.error(place, describe(node), "a percentage such as `50%`", way_out);
            None
        }
        _ => {
            reader.wrong_kind(
                place,
                node,
                "a percentage such as `50%`",
                "write a percentage",
            );
            None
        }
    }
}

fn percent_end(fraction: f64) -> String {
    format!("{}%", (fraction * 1e8).round() / 1e6)
}

impl Value for Percent {
    fn read(node: &Node, place: &Place, limits: Limits, reader: &mut Reader) -> Option<Self> {
        read_percent(node, place, limits, reader).map(Self)
    }

    fn schema(limits: Limits, _: &mut Map<String, Json>) -> Json {
        json!({
            "description": format!("({})", limits.text(percent_end)),
            "type": "string",
            "pattern": PERCENT_PATTERN,
        })
    }

    fn absent() -> Self {
        Self(1.0)
    }
}

impl Value for Factor {
    fn read(node: &Node, place: &Place, limits: Limits, reader: &mut Reader) -> Option<Self> {
        if matches!(node.kind, Kind::Text(_)) {
            return read_percent(node, place, limits, reader).map(Self);
        }
        let value = decimal(node, place, "a factor such as 0.9 or `90%`", reader)?;
        within(node, place, value, limits, reader, |v| format!("{v}")).map(Self)
    }

    fn schema(limits: Limits, _: &mut Map<String, Json>) -> Json {
        let number = json!({ "type": "number", "minimum": limits.least, "maximum": limits.most });
        json!({
            "description": format!("({})", limits.text(|v| format!("{v}"))),
            "anyOf": [number, { "type": "string", "pattern": PERCENT_PATTERN }],
        })
    }

    fn absent() -> Self {
        Self(1.0)
    }
}

impl Along {
    /// Longest body; a place along it can't be further.
    const MOST_MM: f64 = 2000.0;
}

impl Value for Along {
    fn read(node: &Node, place: &Place, _: Limits, reader: &mut Reader) -> Option<Self> {
        if let Kind::Text(text) = &node.kind
            && text.contains('%')
        {
            return read_percent(node, place, Limits::from(0.0..=1.0), reader).map(Self::Fraction);
        }
        Length::read(node, place, Limits::from(0.0..=Self::MOST_MM), reader).map(Self::Length)
    }

    fn schema(_: Limits, _: &mut Map<String, Json>) -> Json {
        json!({ "anyOf": [
            { "type": "string", "pattern": PERCENT_PATTERN },
            { "type": "number", "minimum": 0, "maximum": Self::MOST_MM },
            { "type": "string", "pattern": LENGTH_PATTERN },
        ] })
    }

    fn absent() -> Self {
        Self::Fraction(0.0)
    }
}

impl CutterTaper {
    const ALLOWED: &'static str = "an angle with `per side` or `included`";

    /// Regular expression for the texts that are read: that of an angle and the words.
    fn pattern() -> String {
        ANGLE_PATTERN.replace(" *$", " +(per side|included) *$")
    }
}

impl Value for CutterTaper {
    fn read(node: &Node, place: &Place, limits: Limits, reader: &mut Reader) -> Option<Self> {
        let text = match &node.kind {
            Kind::Text(text) => text,
            Kind::Number { text, .. } => {
                bare_taper(place, text, &format!("{text} deg"), reader);
                return None;
            }
            _ => {
                reader.wrong_kind(place, node, Self::ALLOWED, "write `3 deg per side`");
                return None;
            }
        };
        let trimmed = text.trim_matches(' ');
        let per_side = trimmed.strip_suffix(" per side");
        let Some(angle) = per_side.or_else(|| trimmed.strip_suffix(" included")) else {
            bare_taper(place, text, trimmed, reader);
            return None;
        };
        let angle = match Angle::parse(angle) {
            Ok(angle) => angle,
            Err(error) => {
                reader.refused(place, error);
                return None;
            }
        };
        let half = if per_side.is_some() {
            angle
        } else {
            Angle::from_radians(angle.radians() / 2.0)
        };
        let degrees = (half.degrees() * 1e9).round() / 1e9;
        within(node, place, degrees, limits, reader, |d| {
            format!("{d} deg per side")
        })?;
        Some(Self { per_side: half })
    }

    fn schema(limits: Limits, _: &mut Map<String, Json>) -> Json {
        json!({
            "description": format!("({})", limits.text(|d| format!("{d} deg per side"))),
            "type": "string",
            "pattern": Self::pattern(),
        })
    }

    fn absent() -> Self {
        Self {
            per_side: Angle::from_degrees(0.0),
        }
    }
}

/// A taper that does not say which angle it is: both readings.
fn bare_taper(place: &Place, text: &str, angle: &str, reader: &mut Reader) {
    let way_out = match Angle::parse(angle) {
        Ok(parsed) => {
            let degrees = |d: f64| (d * 1e6).round() / 1e6;
            format!(
                "write `{angle} per side` ({} deg included), or `{angle} included` ({} deg per side)",
                degrees(parsed.degrees() * 2.0),
                degrees(parsed.degrees() / 2.0),
            )
        }
        Err(_) => "write `3 deg per side` or `6 deg included`".to_owned(),
    };
    reader.error(
        place,
        format!(
            "`{}`, a taper without `per side` or `included`",
            quoted(text)
        ),
        CutterTaper::ALLOWED,
        way_out,
    );
}
