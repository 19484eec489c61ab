//! One declaration of a written record gives its type, its reader and its part of the schema.

use serde_json::{Map, Value as Json, json};

use super::keys;
use super::limits::Limits;
use super::reader::{Entries, Reader};
use super::tree::{Kind, Node};
use crate::diagnostic::Place;

/// A kind of value that a key can hold.
pub(super) trait Value: Sized {
    /// Reads it from a node; a fault is noted and gives `None`.
    fn read(node: &Node, place: &Place, limits: Limits, reader: &mut Reader) -> Option<Self>;

    /// Its JSON Schema; records add themselves to the definitions.
    fn schema(limits: Limits, definitions: &mut Map<String, Json>) -> Json;

    /// A stand-in for a needed value that could not be read.
    fn absent() -> Self;
}

/// A record: a mapping with known keys.
pub(super) trait Record: Sized {
    /// Name of the type, and of its definition in the schema.
    const NAME: &'static str;

    /// What it is, in one or two sentences.
    const DOC: &'static str;

    /// Adds the known keys in the order of declaration.
    fn keys(keys: &mut Vec<&'static str>);

    /// Reads the known keys.
    fn take(entries: &Entries<'_>, reader: &mut Reader) -> Self;

    /// Adds the schemas of the keys, and the names of those that must be there.
    fn properties(
        properties: &mut Map<String, Json>,
        required: &mut Vec<&'static str>,
        definitions: &mut Map<String, Json>,
    );
}

impl<R: Record> Value for R {
    fn read(node: &Node, place: &Place, _: Limits, reader: &mut Reader) -> Option<Self> {
        let Kind::Map(entries) = &node.kind else {
            let mut known = Vec::new();
            R::keys(&mut known);
            let first = known.first().copied().unwrap_or("key");
            reader.wrong_kind(
                place,
                node,
                "a mapping of keys and values",
                &format!("write keys, such as `{first}: ...`"),
            );
            return None;
        };
        let entries = Entries::new(entries, place.clone());
        keys::check::<R>(&entries, reader);
        Some(R::take(&entries, reader))
    }

    fn schema(_: Limits, definitions: &mut Map<String, Json>) -> Json {
        if !definitions.contains_key(R::NAME) {
            // Entered first so that a record inside itself would end here.
            definitions.insert(R::NAME.to_owned(), Json::Null);
            let (mut properties, mut required) = (Map::new(), Vec::new());
            R::properties(&mut properties, &mut required, definitions);
            let mut schema = json!({
                "description": R::DOC,
                "type": "object",
                "properties": properties,
                "additionalProperties": false,
            });
            if !required.is_empty() {
                schema["required"] = json!(required);
            }
            definitions.insert(R::NAME.to_owned(), schema);
        }
        json!({ "$ref": format!("#/$defs/{}", R::NAME) })
    }

    fn absent() -> Self {
        // Reading no entries gives every field its stand-in; the notes of that are dropped.
        R::take(&Entries::new(&[], Place::default()), &mut Reader::new(""))
    }
}

/// The schema of one key: that of its kind, with the description of the key.
pub(super) fn property<T: Value>(
    doc: &[&str],
    limits: Limits,
    definitions: &mut Map<String, Json>,
) -> Json {
    let mut schema = T::schema(limits, definitions);
    let mut text = joined(doc);
    if let Some(kind) = schema.get("description").and_then(Json::as_str) {
        text = format!("{text} {kind}");
    }
    schema["description"] = Json::String(text);
    schema
}

/// The lines of a doc comment as one text.
fn joined(doc: &[&str]) -> String {
    doc.iter()
        .map(|line| line.trim())
        .collect::<Vec<_>>()
        .join(" ")
}

/// Declares a written record: `key: need Type = range` for a key that must stand in the file,
/// `key: may Type` for one that can be left out, and after a `;` a record whose keys stand
/// among its own.
macro_rules! record {
    (
        #[doc = $doc:literal]
        $name:ident {
            $( $(#[doc = $fdoc:literal])+ $key:ident : $presence:ident $ty:ty $(= $limits:expr)? ),* $(,)?
            $( ; $(#[doc = $idoc:literal])* $inner:ident : include $inner_ty:ty )?
        }
    ) => {
        #[doc = $doc]
        #[derive(Debug, Clone, PartialEq)]
        pub struct $name {
            $( $(#[doc = $fdoc])* pub $key: record!(@type $presence $ty), )*
            $( $(#[doc = $idoc])* pub $inner: $inner_ty, )?
            /// Where the record begins.
            pub place: $crate::diagnostic::Place,
        }

        impl $crate::params::record::Record for $name {
            const NAME: &'static str = stringify!($name);
            const DOC: &'static str = $doc.trim_ascii();

            fn keys(keys: &mut Vec<&'static str>) {
                keys.extend([$( stringify!($key) ),*]);
                $( <$inner_ty as $crate::params::record::Record>::keys(keys); )?
            }

            fn take(
                entries: &$crate::params::reader::Entries<'_>,
                reader: &mut $crate::params::reader::Reader,
            ) -> Self {
                Self {
                    $( $key: entries.$presence(stringify!($key), record!(@limits $($limits)?), reader), )*
                    $( $inner: <$inner_ty as $crate::params::record::Record>::take(entries, reader), )?
                    place: entries.place.clone(),
                }
            }

            fn properties(
                properties: &mut serde_json::Map<String, serde_json::Value>,
                required: &mut Vec<&'static str>,
                definitions: &mut serde_json::Map<String, serde_json::Value>,
            ) {
                $(
                    let schema = $crate::params::record::property::<$ty>(
                        &[$($fdoc),+],
                        record!(@limits $($limits)?),
                        definitions,
                    );
                    properties.insert(stringify!($key).to_owned(), schema);
                    required.extend(record!(@required $presence $key));
                )*
                $( <$inner_ty as $crate::params::record::Record>::properties(properties, required, definitions); )?
            }
        }
    };
    (@type need $ty:ty) => { $crate::params::Located<$ty> };
    (@type may $ty:ty) => { Option<$crate::params::Located<$ty>> };
    (@limits) => { $crate::params::limits::Limits::ANY };
    (@limits $limits:expr) => { $crate::params::limits::Limits::from($limits) };
    (@required need $key:ident) => { Some(stringify!($key)) };
    (@required may $key:ident) => { None::<&'static str> };
}
pub(super) use record;
