//! Names, versions, counts, true and false.

use serde_json::{Map, Value as Json, json};

use crate::diagnostic::Place;
use crate::params::limits::Limits;
use crate::params::reader::{Reader, describe, shortened};
use crate::params::record::Value;
use crate::params::tree::{Kind, Node};

/// A name: 1 to 120 characters without control characters, no blank at either end.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Name(pub String);

impl Name {
    /// Characters at most.
    pub const MOST: usize = 120;

    /// The name as it is compared: without regard to letter case.
    #[must_use]
    pub fn folded(&self) -> String {
        self.0.to_lowercase()
    }
}

impl Value for Name {
    fn read(node: &Node, place: &Place, _: Limits, reader: &mut Reader) -> Option<Self> {
        const ALLOWED: &str = "a name of 1 to 120 characters";
        let text = match &node.kind {
            Kind::Text(text) => text,
            Kind::Number { text, .. } => {
                reader.error(
                    place,
                    describe(node),
                    ALLOWED,
                    format!("put it in quotes: \"{}\"", shortened(text)),
                );
                return None;
            }
            Kind::Bool(value) => {
                reader.error(
                    place,
                    describe(node),
                    ALLOWED,
                    format!("put it in quotes: \"{value}\""),
                );
                return None;
            }
            _ => {
                reader.wrong_kind(place, node, ALLOWED, "write a name");
                return None;
            }
        };
        let count = text.chars().count();
        let shown = shortened(text);
        let fault = if count == 0 || text.trim().is_empty() {
            Some(("an empty name".to_owned(), "write a name"))
        } else if count > Self::MOST {
            Some((
                format!("a name of {count} characters, `{shown}`"),
                "write a shorter name",
            ))
        } else if text.chars().any(char::is_control) {
            Some((
                format!("a control character in `{shown}`"),
                "remove it; in double quotes \\t and \\n are control characters: use single quotes or /",
            ))
        } else if text.trim() != &**text {
            Some((
                format!("a blank at the start or end of `{shown}`"),
                "remove the blank",
            ))
        } else {
            None
        };
        if let Some((found, way_out)) = fault {
            reader.error(
                place,
                found,
                format!("{ALLOWED}, no control characters"),
                way_out,
            );
            return None;
        }
        Some(Self(text.to_string()))
    }

    fn schema(_: Limits, _: &mut Map<String, Json>) -> Json {
        json!({ "type": "string", "minLength": 1, "maxLength": Self::MOST })
    }

    fn absent() -> Self {
        Self(String::new())
    }
}

/// A file version; always 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Version(pub u32);

impl Value for Version {
    fn read(node: &Node, place: &Place, _: Limits, reader: &mut Reader) -> Option<Self> {
        match &node.kind {
            Kind::Number {
                integer: Some(1), ..
            } => Some(Self(1)),
            Kind::Number {
                integer: Some(2..), ..
            } => {
                reader.error(
                    place,
                    describe(node),
                    "1",
                    "the file is newer than this program: use a newer one",
                );
                None
            }
            _ => {
                reader.wrong_kind(place, node, "1", "write 1");
                None
            }
        }
    }

    fn schema(_: Limits, _: &mut Map<String, Json>) -> Json {
        json!({ "const": 1 })
    }

    fn absent() -> Self {
        Self(1)
    }
}

impl Value for bool {
    fn read(node: &Node, place: &Place, _: Limits, reader: &mut Reader) -> Option<Self> {
        if let Kind::Bool(value) = node.kind {
            return Some(value);
        }
        let meant = match &node.kind {
            Kind::Text(text) => match text.to_lowercase().as_str() {
                "yes" | "on" | "y" | "true" => "write `true`",
                "no" | "off" | "n" | "false" => "write `false`",
                _ => "write `true` or `false`",
            },
            _ => "write `true` or `false`",
        };
        reader.wrong_kind(place, node, "`true` or `false`", meant);
        None
    }

    fn schema(_: Limits, _: &mut Map<String, Json>) -> Json {
        json!({ "type": "boolean" })
    }

    fn absent() -> Self {
        false
    }
}

/// A count.
impl Value for u32 {
    fn read(node: &Node, place: &Place, limits: Limits, reader: &mut Reader) -> Option<Self> {
        let end = |value: f64| format!("{value}");
        match &node.kind {
            Kind::Number {
                value,
                integer,
                text,
            } if value.fract() == 0.0 => {
                if !limits.contain(*value) {
                    reader.out_of_range(
                        place,
                        format!("`{}`", shortened(text)),
                        *value,
                        limits,
                        end,
                    );
                    return None;
                }
                let count = integer.and_then(|n| Self::try_from(n).ok());
                if count.is_none() {
                    reader.error(
                        place,
                        describe(node),
                        "a whole number",
                        format!("write `{value}`"),
                    );
                }
                count
            }
            _ => {
                let way_out = format!("write a whole number from {}", limits.text(end));
                reader.wrong_kind(place, node, "a whole number", &way_out);
                None
            }
        }
    }

    fn schema(limits: Limits, _: &mut Map<String, Json>) -> Json {
        #[allow(clippy::cast_possible_truncation)] // Small whole numbers.
        let (least, most) = (limits.least as i64, limits.most as i64);
        json!({ "type": "integer", "minimum": least, "maximum": most })
    }

    fn absent() -> Self {
        1
    }
}
