//! A value, or the word `auto`.

use serde_json::{Map, Value as Json, json};

use crate::diagnostic::Place;
use crate::params::limits::Limits;
use crate::params::reader::Reader;
use crate::params::record::Value;
use crate::params::tree::{Kind, Node};

/// A value that the program finds when the file says `auto`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum OrAuto<T> {
    /// The program finds it.
    Auto,
    /// As written.
    Given(T),
}

impl<T: Copy> OrAuto<T> {
    /// The written value.
    #[must_use]
    pub fn given(self) -> Option<T> {
        match self {
            OrAuto::Auto => None,
            OrAuto::Given(value) => Some(value),
        }
    }
}

impl<T: Value> Value for OrAuto<T> {
    fn read(node: &Node, place: &Place, limits: Limits, reader: &mut Reader) -> Option<Self> {
        match &node.kind {
            Kind::Text(text) if &**text == "auto" => Some(Self::Auto),
            _ => T::read(node, place, limits, reader).map(Self::Given),
        }
    }

    fn schema(limits: Limits, definitions: &mut Map<String, Json>) -> Json {
        let mut given = T::schema(limits, definitions);
        let description = given.get("description").cloned();
        let mut forms = vec![json!({ "enum": ["auto"] })];
        match given.get_mut("anyOf").and_then(Json::as_array_mut) {
            Some(more) => forms.append(more),
            None => forms.push(given),
        }
        let mut schema = json!({ "anyOf": forms });
        if let Some(text) = description {
            schema["description"] = text;
        }
        schema
    }

    fn absent() -> Self {
        Self::Auto
    }
}
