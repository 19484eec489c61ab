//! Names of files.

use serde_json::{Map, Value as Json, json};

use crate::diagnostic::Place;
use crate::params::limits::Limits;
use crate::params::reader::{Reader, shortened};
use crate::params::record::Value;
use crate::params::tree::{Kind, Node};

/// A path to a file, as written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileName(pub String);

impl FileName {
    /// Bytes at most: PATH_MAX of Linux less its closing zero.
    pub const MOST: usize = 4095;
}

impl Value for FileName {
    fn read(node: &Node, place: &Place, _: Limits, reader: &mut Reader) -> Option<Self> {
        const ALLOWED: &str = "a path such as newt.yaml";
        let Kind::Text(text) = &node.kind else {
            reader.wrong_kind(
                place,
                node,
                ALLOWED,
                "write the path of a file, in quotes if need be",
            );
            return None;
        };
        let found = if text.trim().is_empty() {
            "an empty path".to_owned()
        } else if text.len() > Self::MOST {
            format!("a path of {} bytes", text.len())
        } else if text.chars().any(char::is_control) {
            format!("a control character in `{}`", shortened(text))
        } else {
            return Some(Self(text.to_string()));
        };
        let allowed = format!("{ALLOWED}, at most {} bytes", Self::MOST);
        reader.error(place, found, allowed, "write the path of a design file");
        None
    }

    fn schema(_: Limits, _: &mut Map<String, Json>) -> Json {
        json!({ "type": "string", "minLength": 1, "maxLength": Self::MOST })
    }

    fn absent() -> Self {
        Self(String::new())
    }
}
