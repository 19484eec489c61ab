//! The taper of a cutter, which says per side or included.

use serde_json::{Map, Value as Json, json};

use super::quantity::within;
use crate::diagnostic::Place;
use crate::params::limits::Limits;
use crate::params::reader::{Reader, shortened};
use crate::params::record::Value;
use crate::params::tree::{Kind, Node};
use crate::units::{ANGLE_PATTERN, Angle};

/// Taper of a cutter; the file says `per side` or `included`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CutterTaper {
    /// Angle of one side with the cutter's axis.
    pub per_side: Angle,
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
            shortened(text)
        ),
        CutterTaper::ALLOWED,
        way_out,
    );
}
