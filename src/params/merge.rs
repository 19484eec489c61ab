//! A tree over the one that it is based on.
//!
//! The rule: the file itself, `defaults` and `joint` are merged key by key; `sections` by name and
//! `joints` by `after`, each entry key by key again; every other value replaces that of the base,
//! lists whole. A section that the base does not have stands behind the one written before it, or
//! at the rear when it is written first. `feel` and `clearance` of one record put each other out,
//! since each says the same.

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
fn records(base: Node, own: Node, (from, place): (&Place, &Place), how: fn(&str) -> How) -> Node {
    let (Kind::Map(old), Kind::Map(_)) = (base.kind, &own.kind) else {
        return own;
    };
    let Node {
        kind,
        line,
        column,
        origin,
    } = own;
    let Kind::Map(mut new) = kind else {
        return Node {
            kind,
            line,
            column,
            origin,
        };
    };
    let mut merged = Vec::with_capacity(old.len() + new.len());
    for (key, value) in old {
        let name = text(&key).map(str::to_owned);
        let stands = |wanted: &str| new.iter().position(|(k, _)| text(k) == Some(wanted));
        let put_out = |name: &str| {
            let other = EITHER.iter().find(|(key, _)| *key == name);
            other.is_some_and(|(_, by)| stands(by).is_some() && stands(name).is_none())
        };
        let Some(name) = name else {
            merged.push((stamped(key, from), stamped(value, from)));
            continue;
        };
        let (from, place) = (from.key(&name), place.key(&name));
        if let Some(at) = stands(&name) {
            let (key, own) = new.remove(at);
            let places = (value.place(&from), own.place(&place));
            let value = values(value, own, (&places.0, &places.1), how(&name));
            merged.push((key, value));
        } else if !put_out(&name) {
            merged.push((stamped(key, &from), stamped(value, &from)));
        }
    }
    merged.append(&mut new);
    Node {
        kind: Kind::Map(merged),
        line,
        column,
        origin,
    }
}

/// Entries with the same `key` one over the other; the base's order counts.
fn entries(base: Node, own: Node, (from, place): (&Place, &Place), key: &str) -> Node {
    let (Kind::List(old), Kind::List(_)) = (base.kind, &own.kind) else {
        return own;
    };
    let Node {
        kind,
        line,
        column,
        origin,
    } = own;
    let Kind::List(new) = kind else {
        return Node {
            kind,
            line,
            column,
            origin,
        };
    };
    let indexed = |(i, node): (usize, Node), place: &Place| stamped(node, &place.index(i));
    let old = old.into_iter().enumerate().map(|one| indexed(one, from));
    let mut merged: Vec<Node> = old.collect();
    let mut names: Vec<Option<String>> = merged.iter().map(|node| name(node, key)).collect();
    let mut last = None;
    for own in new.into_iter().enumerate().map(|one| indexed(one, place)) {
        let own_name = name(&own, key);
        let same = names.iter().position(|n| n.is_some() && *n == own_name);
        // Of two own entries with one name the second stays by itself, as a fault.
        let same = same.filter(|&i| {
            merged[i]
                .origin
                .as_ref()
                .is_none_or(|o| o.file != place.file)
        });
        if let Some(i) = same {
            let old = std::mem::replace(&mut merged[i], Node::nothing());
            let places = (old.place(from), own.place(place));
            merged[i] = records(old, own, (&places.0, &places.1), |_| How::Whole);
            last = Some(i);
            continue;
        }
        let at = last.map_or(merged.len(), |i| i + 1);
        merged.insert(at, own);
        names.insert(at, own_name);
        last = Some(at);
    }
    Node {
        kind: Kind::List(merged),
        line,
        column,
        origin,
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
