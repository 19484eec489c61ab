//! The file as a tree of nodes with their places, before any key has a meaning.
//!
//! `serde_yaml` reads the text and gives each node its place; the meaning of plain scalars is
//! settled by [`super::scalar`] from the text of the file.

use serde::de::{self, Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use serde_yaml::Spanned;
use serde_yaml::options::{DuplicateKeyPolicy, MergeKeyPolicy, NonFiniteFloatPolicy};

use super::scalar::{self, Scalar};
use super::tag;
use crate::diagnostic::Place;

/// Nodes in a file at most. 1,000 sections of 10 points with every key written are 110,000.
pub(super) const MOST_NODES: usize = 120_000;

/// Nesting at most; the deepest legal key, `sections[0].outline[0].at`, is at depth 5.
pub(super) const MOST_DEPTH: usize = 16;

/// A node and where it begins, line and column from 1.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Node {
    pub kind: Kind,
    pub line: u32,
    pub column: u32,
    /// Its place, when that does not follow from what surrounds it: it was taken over from another
    /// file, or stands elsewhere in its list there.
    pub origin: Option<Box<Place>>,
    /// Where its text begins and how long it is, in bytes, as far as the reader of YAML knows.
    pub span: (usize, usize),
}

impl Node {
    /// A node that stands for none.
    pub fn nothing() -> Self {
        Node {
            kind: Kind::Null,
            line: 0,
            column: 0,
            origin: None,
            span: (0, 0),
        }
    }

    /// Whether it is the key of this name.
    pub fn is_key(&self, name: &str) -> bool {
        matches!(&self.kind, Kind::Text(own) if **own == *name)
    }

    /// The value of a key of a mapping: the first one when it is repeated.
    pub fn key(&self, name: &str) -> Option<&Node> {
        let Kind::Map(entries) = &self.kind else {
            return None;
        };
        value_of(entries, name)
    }

    /// Its place, where `path` is the one that its surroundings give it.
    pub fn place(&self, path: &Place) -> Place {
        let own = self.origin.as_deref();
        own.cloned()
            .unwrap_or_else(|| path.at(self.line, self.column))
    }
}

/// The value of a key among entries: the first one when it is repeated.
pub(super) fn value_of<'a>(entries: &'a [(Node, Node)], name: &str) -> Option<&'a Node> {
    let entry = entries.iter().find(|(key, _)| key.is_key(name));
    entry.map(|(_, value)| value)
}

/// What a node is.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Kind {
    Null,
    Bool(bool),
    /// A number with its text.
    Number {
        value: f64,
        integer: Option<i64>,
        text: Box<str>,
    },
    Text(Box<str>),
    List(Vec<Node>),
    /// Entries in the order of the file, repeated keys included.
    Map(Vec<(Node, Node)>),
    /// A node with an explicit tag such as `!!int`.
    Tagged,
}

/// Reads the tree of a text.
///
/// # Errors
/// The reader's error for a text that is not one YAML document within the limits.
pub(super) fn read(source: &str) -> Result<Node, serde_yaml::Error> {
    let options = serde_yaml::options! {
        duplicate_keys: DuplicateKeyPolicy::PassThrough,
        merge_keys: MergeKeyPolicy::AsOrdinary,
        non_finite_float_policy: NonFiniteFloatPolicy::PassThrough,
        with_snippet: false,
        budget: serde_yaml::budget! {
            max_anchors: 0,
            max_aliases: 0,
            max_depth: MOST_DEPTH,
            max_nodes: MOST_NODES,
        },
    };
    let root: Spanned<Raw> = serde_yaml::from_str_with_options(source, options)?;
    Ok(settle(root, source))
}

/// A node as the YAML reader gives it. Of a scalar that it takes for something else than text
/// only the place counts.
enum Raw {
    Text(Box<str>),
    Other,
    List(Vec<Spanned<Raw>>),
    Map(Vec<(Spanned<Raw>, Spanned<Raw>)>),
}

impl<'de> Deserialize<'de> for Raw {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(RawVisitor)
    }
}

struct RawVisitor;

impl<'de> Visitor<'de> for RawVisitor {
    type Value = Raw;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("a YAML node")
    }

    fn visit_bool<E: de::Error>(self, _: bool) -> Result<Raw, E> {
        Ok(Raw::Other)
    }

    fn visit_i64<E: de::Error>(self, _: i64) -> Result<Raw, E> {
        Ok(Raw::Other)
    }

    fn visit_i128<E: de::Error>(self, _: i128) -> Result<Raw, E> {
        Ok(Raw::Other)
    }

    fn visit_u64<E: de::Error>(self, _: u64) -> Result<Raw, E> {
        Ok(Raw::Other)
    }

    fn visit_u128<E: de::Error>(self, _: u128) -> Result<Raw, E> {
        Ok(Raw::Other)
    }

    fn visit_f64<E: de::Error>(self, _: f64) -> Result<Raw, E> {
        Ok(Raw::Other)
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Raw, E> {
        Ok(Raw::Text(text.into()))
    }

    fn visit_unit<E: de::Error>(self) -> Result<Raw, E> {
        Ok(Raw::Other)
    }

    fn visit_none<E: de::Error>(self) -> Result<Raw, E> {
        Ok(Raw::Other)
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut items: A) -> Result<Raw, A::Error> {
        let mut list = Vec::new();
        while let Some(item) = items.next_element()? {
            list.push(item);
        }
        Ok(Raw::List(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut entries: A) -> Result<Raw, A::Error> {
        let mut map = Vec::new();
        while let Some(entry) = entries.next_entry()? {
            map.push(entry);
        }
        Ok(Raw::Map(map))
    }
}

/// Turns a node of the reader into ours, with the text of the file at hand.
fn settle(raw: Spanned<Raw>, source: &str) -> Node {
    let place = raw.referenced;
    let span = place.span();
    let offset = span
        .byte_offset()
        .and_then(|n| usize::try_from(n).ok())
        .unwrap_or(0);
    let length = span
        .byte_len()
        .and_then(|n| usize::try_from(n).ok())
        .unwrap_or(0);
    let text = source
        .get(offset..offset.saturating_add(length))
        .unwrap_or("");
    let kind = if tag::stands_before(source, offset) {
        Kind::Tagged
    } else {
        match raw.value {
            Raw::List(items) => Kind::List(items.into_iter().map(|n| settle(n, source)).collect()),
            Raw::Map(entries) => {
                let pair = |(key, value)| (settle(key, source), settle(value, source));
                Kind::Map(entries.into_iter().map(pair).collect())
            }
            Raw::Text(value) => Kind::Text(value),
            Raw::Other => resolved(text),
        }
    };
    let narrow = |n: u64| u32::try_from(n).unwrap_or(u32::MAX);
    Node {
        kind,
        line: narrow(place.line()),
        column: narrow(place.column()),
        span: (offset, length),
        origin: None,
    }
}

/// A plain scalar by the core schema.
fn resolved(text: &str) -> Kind {
    match scalar::resolve(text) {
        Scalar::Null => Kind::Null,
        Scalar::Bool(value) => Kind::Bool(value),
        Scalar::Number { value, integer } => Kind::Number {
            value,
            integer,
            text: text.into(),
        },
        Scalar::Text => Kind::Text(text.into()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn value(text: &str) -> Node {
        let Kind::Map(mut entries) = read(&format!("key: {text}\n")).unwrap().kind else {
            panic!("not a mapping")
        };
        entries.remove(0).1
    }

    #[test]
    fn places_are_those_of_the_file() {
        let Kind::Map(entries) = read("\u{feff}a: 1\r\nä:\r\n  - {b: é, c: \"x\"}\r\n")
            .unwrap()
            .kind
        else {
            panic!("not a mapping")
        };
        let (key, list) = &entries[1];
        assert_eq!((key.line, key.column), (2, 1));
        let Kind::List(items) = &list.kind else {
            panic!("not a list")
        };
        let Kind::Map(entries) = &items[0].kind else {
            panic!("not a mapping")
        };
        let places: Vec<_> = entries
            .iter()
            .map(|(k, v)| (k.line, k.column, v.line, v.column))
            .collect();
        assert_eq!(places, [(3, 6, 3, 9), (3, 12, 3, 15)]);
    }

    #[test]
    fn quoted_and_block_scalars_are_text() {
        for text in ["\"12\"", "'12'", "|-\n  12", "'true'", "\"\"", "'~'"] {
            assert!(matches!(value(text).kind, Kind::Text(_)), "{text}");
        }
    }

    #[test]
    fn repeated_keys_and_merge_keys_arrive_as_written() {
        let Kind::Map(entries) = read("a: 1\na: 2\n<<: {b: 1}\n").unwrap().kind else {
            panic!("not a mapping")
        };
        assert_eq!(entries.len(), 3);
    }

    proptest! {
        /// The tree and the core schema agree on every plain scalar that the reader accepts.
        #[test]
        fn plain_scalars_follow_the_core_schema(text in "[-+.0-9xobeEinfaNtruls_~]{1,8}") {
            if let Ok(Node { kind: Kind::Map(entries), .. }) = read(&format!("key: {text}\n")) {
                let found = entries[0].1.kind.clone();
                let expected = resolved(&text);
                // NaN is not equal to itself.
                prop_assert!(format!("{found:?}") == format!("{expected:?}"), "{found:?} {expected:?}");
            }
        }
    }
}
