//! Plain numbers, factors, percentages and places along a body.

use serde_json::{Map, Value as Json, json};

use super::quantity::{decimal, within};
use crate::diagnostic::Place;
use crate::params::limits::Limits;
use crate::params::reader::{Reader, describe};
use crate::params::record::Value;
use crate::params::tree::{Kind, Node};
use crate::units::{LENGTH_PATTERN, Length, PERCENT_PATTERN, parse_percent};

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
        if let Kind::Text(text) = &node.kind {
            if text.contains('%') || text.starts_with(|c: char| c.is_ascii_digit()) {
                return read_percent(node, place, limits, reader).map(Self);
            }
            let allowed = "a factor such as 0.9 or `90%`";
            reader.wrong_kind(place, node, allowed, "write a plain number or a percentage");
            return None;
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
