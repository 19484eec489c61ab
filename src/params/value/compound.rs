//! Lists, and values of several forms.

use serde_json::{Map, Value as Json, json};

use super::ratio::{Factor, Percent};
use crate::diagnostic::Place;
use crate::params::limits::Limits;
use crate::params::located::Located;
use crate::params::reader::{Reader, describe, shortened};
use crate::params::record::{Value, record};
use crate::params::tree::{Kind, Node};
use crate::params::written::{Pin, Tab};

impl<T: Value> Value for Vec<Located<T>> {
    fn read(node: &Node, place: &Place, limits: Limits, reader: &mut Reader) -> Option<Self> {
        let Kind::List(items) = &node.kind else {
            let one = match &node.kind {
                Kind::Text(text) => format!("write `[{}]`", shortened(text)),
                _ => "begin each entry with `- `".to_owned(),
            };
            reader.wrong_kind(place, node, "a list", &one);
            return None;
        };
        let count = items.len();
        #[allow(clippy::cast_precision_loss)] // At most as many entries as a file has nodes.
        if !limits.contain(count as f64) {
            let way_out = if count > limits.most_entries() {
                "remove some"
            } else {
                "add some"
            };
            let found = format!("a list of {count} entries");
            reader.error(place, found, limits.text(|n| n.to_string()), way_out);
            return None;
        }
        let read = |(i, item): (usize, &Node)| {
            let place = item.place(&place.index(i));
            T::read(item, &place, Limits::ANY, reader).map(|value| Located::new(value, place))
        };
        Some(items.iter().enumerate().filter_map(read).collect())
    }

    fn schema(limits: Limits, definitions: &mut Map<String, Json>) -> Json {
        let mut schema = json!({ "type": "array", "items": T::schema(Limits::ANY, definitions) });
        if limits.bind() {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // A small count.
            let least = limits.least as usize;
            schema["minItems"] = json!(least);
            schema["maxItems"] = json!(limits.most_entries());
        }
        schema
    }

    fn absent() -> Self {
        Self::new()
    }
}

/// Size of repeated sections.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SectionTaper {
    /// Factor from each section to the next.
    Factor(f64),
    /// Size of the last section as a fraction of the first; equal steps between.
    To(f64),
}

record! {
    /// A taper given by the size of the last section.
    TaperTo {
        /// Size of the last section, in percent of the first.
        to: need Percent = 0.05..=5.0,
    }
}

impl Value for SectionTaper {
    fn read(node: &Node, place: &Place, limits: Limits, reader: &mut Reader) -> Option<Self> {
        if matches!(node.kind, Kind::Map(_)) {
            let record = TaperTo::read(node, place, Limits::ANY, reader)?;
            return Some(Self::To(record.to.value.0));
        }
        if matches!(node.kind, Kind::List(_) | Kind::Null | Kind::Bool(_)) {
            let allowed = "a factor such as 0.97, or `{to: 70%}`";
            reader.wrong_kind(
                place,
                node,
                allowed,
                "write a factor from each section to the next",
            );
            return None;
        }
        Factor::read(node, place, limits, reader).map(|factor| Self::Factor(factor.0))
    }

    fn schema(limits: Limits, definitions: &mut Map<String, Json>) -> Json {
        let factor = Factor::schema(limits, definitions);
        json!({ "anyOf": [factor, TaperTo::schema(Limits::ANY, definitions)] })
    }

    fn absent() -> Self {
        Self::Factor(1.0)
    }
}

/// Half pins of a section.
#[derive(Debug, Clone, PartialEq)]
pub enum Pins {
    /// Two where the length allows, else one.
    Auto,
    /// This many (0 to 2), placed by the program.
    Count(u32),
    /// Written out.
    List(Vec<Located<Pin>>),
}

impl Pins {
    const ALLOWED: &'static str = "`auto`, 0, 1, 2 or a list of pins";

    /// Pins in a list at most.
    const MOST: f64 = 8.0;
}

impl Value for Pins {
    fn read(node: &Node, place: &Place, _: Limits, reader: &mut Reader) -> Option<Self> {
        match &node.kind {
            Kind::Text(text) if &**text == "auto" => Some(Self::Auto),
            Kind::Number {
                integer: Some(count @ 0..=2),
                ..
            } => u32::try_from(*count).ok().map(Self::Count),
            Kind::List(_) => {
                Vec::read(node, place, Limits::from(0.0..=Self::MOST), reader).map(Self::List)
            }
            Kind::Number { .. } => {
                reader.error(
                    place,
                    describe(node),
                    Self::ALLOWED,
                    "write pins beyond 2 as a list: `[{at: 30%}, ...]`",
                );
                None
            }
            _ => {
                reader.wrong_kind(place, node, Self::ALLOWED, "write one of these");
                None
            }
        }
    }

    fn schema(_: Limits, definitions: &mut Map<String, Json>) -> Json {
        let list = Vec::<Located<Pin>>::schema(Limits::from(0.0..=Self::MOST), definitions);
        json!({ "anyOf": [{ "enum": ["auto", 0, 1, 2] }, list] })
    }

    fn absent() -> Self {
        Self::Auto
    }
}

/// Tabs of a section.
#[derive(Debug, Clone, PartialEq)]
pub enum Tabs {
    /// Two on each long side where there is room.
    Auto,
    /// None: the part is held by other means.
    None,
    /// This many on each long side, placed by the program.
    Count(u32),
    /// Written out.
    List(Vec<Located<Tab>>),
}

impl Tabs {
    const ALLOWED: &'static str = "`auto`, `none`, a number from 1 to 4 or a list of tabs";

    /// Tabs in a list at most.
    const MOST: f64 = 20.0;
}

impl Value for Tabs {
    fn read(node: &Node, place: &Place, _: Limits, reader: &mut Reader) -> Option<Self> {
        match &node.kind {
            Kind::Text(text) if &**text == "auto" => Some(Self::Auto),
            Kind::Text(text) if &**text == "none" => Some(Self::None),
            Kind::Number {
                integer: Some(count @ 1..=4),
                ..
            } => u32::try_from(*count).ok().map(Self::Count),
            Kind::List(_) => {
                Vec::read(node, place, Limits::from(1.0..=Self::MOST), reader).map(Self::List)
            }
            Kind::Number { .. } => {
                let way_out = "write `none`, or tabs beyond 4 on a side as a list";
                reader.error(place, describe(node), Self::ALLOWED, way_out);
                None
            }
            _ => {
                reader.wrong_kind(place, node, Self::ALLOWED, "write one of these");
                None
            }
        }
    }

    fn schema(_: Limits, definitions: &mut Map<String, Json>) -> Json {
        let list = Vec::<Located<Tab>>::schema(Limits::from(1.0..=Self::MOST), definitions);
        json!({ "anyOf": [{ "enum": ["auto", "none", 1, 2, 3, 4] }, list] })
    }

    fn absent() -> Self {
        Self::Auto
    }
}
