//! A tree over the one that it is based on.
//!
//! The rule: the file itself, `defaults` and `joint` are merged key by key; `sections` by name and
//! `joints` by `after`, each entry key by key again; every other value replaces that of the base,
//! lists whole. A section that the base does not have stands behind the one written before it, or
//! at the rear when it is written first. `feel` and `clearance` of one record put each other out,
//! since each says the same.

use std::collections::BTreeMap;

use super::tree::{Kind, Node};
use crate::diagnostic::Place;

/// A tree with the place of its root.
pub(super) struct Rooted {
    pub node: Node,
    pub place: Place,
}

/// How a value meets that of the base.
#[derive(Clone, Copy)]
enum How {
    /// It replaces it.
    Whole,
    /// Key by key.
    Record,
    /// Entries by this key, each of them key by key.
    Entries(&'static str),
}

/// How the keys of the file itself are met; a key inside a record is taken whole.
fn how(key: &str) -> How {
    match key {
        "defaults" | "joint" => How::Record,
        "sections" => How::Entries("name"),
        "joints" => How::Entries("after"),
        _ => How::Whole,
    }
}

/// Keys that put each other out.
const EITHER: [(&str, &str); 2] = [("feel", "clearance"), ("clearance", "feel")];

/// The keys of `own` over those of `base`.
pub(super) fn over(base: Rooted, own: Rooted) -> Rooted {
    let (place, from) = (own.place, base.place);
    let node = records(base.node, own.node, (&from, &place), how);
    Rooted { node, place }
}

/// Two values; their places are those of base and own.
fn values(base: Node, own: Node, places: (&Place, &Place), how: How) -> Node {
    match how {
        How::Whole => own,
        How::Record => records(base, own, places, |_| How::Whole),
        How::Entries(key) => entries(base, own, places, key),
    }
}

/// Key by key, if both are mappings; else the own one.
fn records(
    base: Node,
    mut own: Node,
    (from, place): (&Place, &Place),
    how: fn(&str) -> How,
) -> Node {
    let (Kind::Map(old), Kind::Map(_)) = (base.kind, &own.kind) else {
        return own;
    };
    let Kind::Map(new) = std::mem::replace(&mut own.kind, Kind::Null) else {
        return own;
    };
    // By name, since a hostile file may have 60,000 keys.
    let mut at: BTreeMap<String, usize> = BTreeMap::new();
    for (i, (key, _)) in new.iter().enumerate() {
        if let Some(name) = text(key) {
            at.entry(name.to_owned()).or_insert(i);
        }
    }
    let mut new: Vec<Option<(Node, Node)>> = new.into_iter().map(Some).collect();
    let put_out = |name: &str| {
        let other = EITHER.iter().find(|(key, _)| *key == name);
        other.is_some_and(|(_, by)| at.contains_key(*by) && !at.contains_key(name))
    };
    let mut merged = Vec::with_capacity(old.len() + new.len());
    for (key, value) in old {
        let Some(name) = text(&key).map(str::to_owned) else {
            merged.push((stamped(key, from), stamped(value, from)));
            continue;
        };
        let (from, place) = (from.key(&name), place.key(&name));
        match at.get(&name) {
            Some(&i) => {
                if let Some((key, own)) = new[i].take() {
                    let places = (value.place(&from), own.place(&place));
                    let value = values(value, own, (&places.0, &places.1), how(&name));
                    merged.push((key, value));
                }
            }
            None if put_out(&name) => {}
            None => merged.push((stamped(key, &from), stamped(value, &from))),
        }
    }
    merged.extend(new.into_iter().flatten());
    own.kind = Kind::Map(merged);
    own
}

/// Entries with the same `key` one over the other; the base's order counts.
fn entries(base: Node, mut own: Node, (from, place): (&Place, &Place), key: &str) -> Node {
    let (Kind::List(old), Kind::List(_)) = (base.kind, &own.kind) else {
        return own;
    };
    let Kind::List(new) = std::mem::replace(&mut own.kind, Kind::Null) else {
        return own;
    };
    let indexed = |(i, node): (usize, Node), place: &Place| stamped(node, &place.index(i));
    let old = old.into_iter().enumerate().map(|one| indexed(one, from));
    // Each entry of the base with the new ones behind it.
    let mut slots: Vec<Slot> = old.map(Slot::of).collect();
    let mut at: BTreeMap<String, usize> = BTreeMap::new();
    for (i, slot) in slots.iter().enumerate() {
        if let Some(name) = name(&slot.entry, key) {
            at.entry(name).or_insert(i);
        }
    }
    let (mut rear, mut last) = (Vec::new(), None);
    for own in new.into_iter().enumerate().map(|one| indexed(one, place)) {
        let same = name(&own, key).and_then(|name| at.get(&name).copied());
        match (same, last) {
            // Of two own entries with one name the second stays by itself, as a fault.
            (Some(i), _) if !slots[i].met => {
                slots[i].meet(own, (from, place));
                last = Some(i);
            }
            (_, Some(i)) => slots[i].behind.push(own),
            (_, None) => rear.push(own),
        }
    }
    let all = slots
        .into_iter()
        .flat_map(|slot| std::iter::once(slot.entry).chain(slot.behind));
    own.kind = Kind::List(all.chain(rear).collect());
    own
}

/// An entry of the base.
struct Slot {
    entry: Node,
    /// Whether an own entry lies over it.
    met: bool,
    /// New entries behind it.
    behind: Vec<Node>,
}

impl Slot {
    fn of(entry: Node) -> Self {
        Slot {
            entry,
            met: false,
            behind: Vec::new(),
        }
    }

    fn meet(&mut self, own: Node, (from, place): (&Place, &Place)) {
        let old = std::mem::replace(&mut self.entry, Node::nothing());
        let places = (old.place(from), own.place(place));
        self.entry = records(old, own, (&places.0, &places.1), |_| How::Whole);
        self.met = true;
    }
}

/// The node with its place, unless it has one from before.
fn stamped(mut node: Node, path: &Place) -> Node {
    if node.origin.is_none() {
        node.origin = Some(Box::new(path.at(node.line, node.column)));
    }
    node
}

fn text(node: &Node) -> Option<&str> {
    match &node.kind {
        Kind::Text(text) => Some(text),
        _ => None,
    }
}

/// The text of a key of a mapping, whatever its letter case.
fn name(node: &Node, key: &str) -> Option<String> {
    let Kind::Map(entries) = &node.kind else {
        return None;
    };
    let (_, value) = entries.iter().find(|(k, _)| text(k) == Some(key))?;
    text(value).map(str::to_lowercase)
}
