//! From the entries of a file to single sections: `like`, `repeat`, names, scale.
//!
//! A design as read keeps that names are unique, those of `repeat` included, and that every
//! `like` leads to an entry and ends; without that (a design built by hand) an unknown `like`
//! or a circle simply stops.

use std::collections::BTreeMap;

use super::keys::{Keys, Origin};
use super::repeat;
use crate::diagnostic::Place;
use crate::params::Located;
use crate::params::written::{Design, Section};

/// One section of the chain, still in written keys.
#[derive(Debug, Clone)]
pub(super) struct Part<'a> {
    /// Whether the entry is repeated.
    pub repeated: bool,
    /// Unique name.
    pub name: String,
    /// Scale of length and outline.
    pub scale: f64,
    /// The keys.
    pub keys: Keys<'a>,
    /// Where the entry stands.
    pub place: &'a Place,
}

/// All sections from front to rear.
pub(super) fn expand(design: &Design) -> Vec<Part<'_>> {
    let entries = &design.sections.value;
    let defaults = design
        .defaults
        .as_ref()
        .map_or(Keys::NONE, |d| Keys::of(&d.value, Origin::Defaults));
    let by_name = names(entries);
    let mut parts = Vec::new();
    for (index, entry) in entries.iter().enumerate() {
        let keys = like_chain(entries, index, &by_name).or(defaults);
        let own = keys.scale.map_or(1.0, |k| k.written.value.0);
        let name = entry.value.name.as_ref().map_or("", |n| n.value.0.as_str());
        let repeated = entry.value.repeat.is_some();
        for (i, scale) in repeat::scales(&entry.value).into_iter().enumerate() {
            parts.push(Part {
                repeated,
                name: if repeated {
                    format!("{name}-{}", i + 1)
                } else {
                    name.to_owned()
                },
                scale: own * scale,
                keys,
                place: &entry.place,
            });
        }
    }
    parts
}

/// A name whatever its letter case.
pub(super) fn fold(name: &str) -> String {
    name.to_lowercase()
}

fn names(entries: &[Located<Section>]) -> BTreeMap<String, usize> {
    let mut by_name = BTreeMap::new();
    for (i, entry) in entries.iter().enumerate() {
        if let Some(name) = &entry.value.name {
            by_name.entry(fold(&name.value.0)).or_insert(i);
        }
    }
    by_name
}

/// Own keys, then those of the section it is like, and so on.
fn like_chain<'a>(
    entries: &'a [Located<Section>],
    start: usize,
    by_name: &BTreeMap<String, usize>,
) -> Keys<'a> {
    let mut keys = Keys::of(&entries[start].value, Origin::Own);
    let mut at = start;
    for _ in 0..entries.len() {
        let like = entries[at].value.like.as_ref();
        let Some(&next) = like.and_then(|l| by_name.get(&fold(&l.value.0))) else {
            break;
        };
        keys = keys.or(Keys::of(&entries[next].value, Origin::Like));
        at = next;
    }
    keys
}
