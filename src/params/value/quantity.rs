//! Lengths and angles, and what all numbers share.

use serde_json::{Map, Value as Json, json};

use crate::diagnostic::Place;
use crate::params::limits::Limits;
use crate::params::reader::{Reader, describe, shortened};
use crate::params::record::Value;
use crate::params::tree::{Kind, Node};
use crate::units::{
    ANGLE_PATTERN, Angle, LENGTH_PATTERN, Length, MM_PER_INCH, Unit, inch_text, length_text,
    mm_text,
};

/// A plain decimal number: no other base, not infinite, not NaN.
pub(super) fn decimal(
    node: &Node,
    place: &Place,
    allowed: &str,
    reader: &mut Reader,
) -> Option<f64> {
    let Kind::Number { value, text, .. } = &node.kind else {
        reader.wrong_kind(place, node, allowed, "write a number");
        return None;
    };
    let shown = shortened(text);
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
pub(super) fn within(
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
        Kind::Number { text, .. } | Kind::Text(text) => format!("`{}`", shortened(text)),
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
        Kind::Text(text) => match Length::parse(text, reader.unit(place)) {
            Ok(length) => Some((length, true)),
            Err(error) => {
                reader.refused(place, error);
                None
            }
        },
        Kind::Number { .. } => {
            let number = decimal(node, place, "a length such as 12 or `3/4 in`", reader)?;
            let unit = reader.unit(place);
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
        let unit = reader.unit(place);
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
