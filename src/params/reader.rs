//! Walks a tree of nodes and gathers every fault.

use std::sync::Arc;

use super::limits::Limits;
use super::located::Located;
use super::record::Value;
use super::tree::{Kind, Node, value_of};
use crate::diagnostic::{Diagnostic, Diagnostics, Place};
use crate::units::{QuantityError, Unit};

/// What the reading of one file carries along.
pub(super) struct Reader {
    file: Arc<str>,
    /// Unit of plain lengths in each file, by its name; `None` when the file does not say it
    /// rightly, which is an error of its own: plain lengths are then not checked for range.
    pub units: Vec<(Arc<str>, Option<Unit>)>,
    /// Everything found so far.
    pub found: Diagnostics,
}

impl Reader {
    pub fn new(file: &str) -> Self {
        Self {
            file: Arc::from(file),
            units: Vec::new(),
            found: Diagnostics::new(),
        }
    }

    /// The file itself, as a place.
    pub fn root(&self) -> Place {
        Place {
            file: self.file.clone(),
            ..Place::default()
        }
    }

    /// Unit of plain lengths in the file of a place.
    pub fn unit(&self, place: &Place) -> Option<Unit> {
        let mut units = self.units.iter();
        let of_file = units.find(|(file, _)| *file == place.file);
        of_file.and_then(|(_, unit)| *unit)
    }

    /// Notes an error.
    pub fn error(
        &mut self,
        place: &Place,
        found: impl Into<String>,
        allowed: impl Into<String>,
        way_out: impl Into<String>,
    ) {
        self.found.push(
            Diagnostic::error(place.clone(), found)
                .allowed(allowed)
                .way_out(way_out),
        );
    }

    /// Whether a fault of this key has been noted: then its absence is no fault of its own.
    pub fn noted(&self, record: &Place, key: &str) -> bool {
        let path = record.key(key).path;
        self.found
            .iter()
            .any(|message| message.place.path.starts_with(&path))
    }

    /// Notes a refused quantity.
    pub fn refused(&mut self, place: &Place, error: QuantityError) {
        self.error(place, error.found, error.allowed, error.way_out);
    }

    /// Notes a node of a kind that can't stand here.
    pub fn wrong_kind(&mut self, place: &Place, node: &Node, allowed: &str, way_out: &str) {
        let way_out = match node.kind {
            Kind::Null => "write a value, or remove the key",
            Kind::Tagged => "remove the tag",
            _ => way_out,
        };
        self.error(place, describe(node), allowed, way_out);
    }

    /// Notes a number out of range.
    pub fn out_of_range(
        &mut self,
        place: &Place,
        found: String,
        value: f64,
        limits: Limits,
        end: impl Fn(f64) -> String,
    ) {
        let way_out = if value < limits.least {
            "write a larger value"
        } else {
            "write a smaller value"
        };
        self.error(place, found, limits.text(end), way_out);
    }
}

/// A node in words, for messages.
pub(super) fn describe(node: &Node) -> String {
    match &node.kind {
        Kind::Null => "nothing".to_owned(),
        Kind::Bool(value) => format!("`{value}`"),
        Kind::Number { text, .. } => format!("the number `{}`", shortened(text)),
        Kind::Text(text) => format!("the text `{}`", shortened(text)),
        Kind::List(_) => "a list".to_owned(),
        Kind::Map(_) => "a mapping".to_owned(),
        Kind::Tagged => "a tag (`!`)".to_owned(),
    }
}

/// A text short enough for a message.
pub(super) fn shortened(text: &str) -> String {
    let mut shown: String = text.chars().take(60).collect();
    if shown.len() < text.len() {
        shown.push_str("...");
    }
    shown
}

/// The entries of one mapping, with its place.
pub(super) struct Entries<'a> {
    pub place: Place,
    entries: &'a [(Node, Node)],
}

impl<'a> Entries<'a> {
    pub fn new(entries: &'a [(Node, Node)], place: Place) -> Self {
        Self { place, entries }
    }

    /// All entries as written.
    pub fn all(&self) -> &'a [(Node, Node)] {
        self.entries
    }

    /// The value of a key: the first one when it is repeated.
    pub fn get(&self, key: &str) -> Option<&'a Node> {
        value_of(self.entries, key)
    }

    /// Reads a key that must be there. A missing or faulty one is noted and gives a stand-in
    /// whose place has line 0; it never leaves the reading, as the error does.
    pub fn need<T: Value>(&self, key: &str, limits: Limits, reader: &mut Reader) -> Located<T> {
        if self.get(key).is_none() {
            reader.error(
                &self.place,
                format!("no `{key}`"),
                format!("`{key}: ...`"),
                format!("add `{key}`"),
            );
        }
        self.may(key, limits, reader)
            .unwrap_or_else(|| Located::new(T::absent(), self.place.key(key).at(0, 0)))
    }

    /// Reads a key that may be left out. A faulty one is noted.
    pub fn may<T: Value>(
        &self,
        key: &str,
        limits: Limits,
        reader: &mut Reader,
    ) -> Option<Located<T>> {
        let node = self.get(key)?;
        let place = node.place(&self.place.key(key));
        T::read(node, &place, limits, reader).map(|value| Located::new(value, place))
    }
}
