//! Changes values of a written file and leaves every other byte of it as it is.
//!
//! Each change is a candidate text that is read back: it counts only if its tree is that of the old
//! text with this one value set. So a way of writing that is not foreseen here is refused, and never
//! spoils a file.

use super::syntax;
use super::tree::{self, Kind, Node};
use crate::diagnostic::{Diagnostic, Diagnostics, Place};

/// A step from a mapping or list to what is in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// To the value of a key.
    Key(String),
    /// To an entry of a list, from 0.
    Item(usize),
}

/// A value to be set: a plain scalar.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// From the whole file to the value. Keys at the end that are not there are added.
    pub path: Vec<Step>,
    /// The value as it is to be written.
    pub value: String,
}

/// The text with these values; all other bytes stay.
///
/// # Errors
/// A text that is no YAML, a path that leads nowhere, a way of writing that cannot be changed by
/// itself.
pub fn changed(source: &str, file: &str, changes: &[Change]) -> Result<String, Diagnostics> {
    let mut text = source.to_owned();
    for change in changes {
        text = one(&text, file, change)?;
    }
    Ok(text)
}

fn one(source: &str, file: &str, change: &Change) -> Result<String, Diagnostics> {
    let no_yaml = |e: &serde_yaml::Error| Diagnostics::from(syntax::explain(e, source, file));
    let root = tree::read(source).map_err(|e| no_yaml(&e))?;
    let value = scalar(&change.value);
    let wanted = value.and_then(|value| with(&root, &change.path, value));
    let refused = |place: Place| {
        Diagnostics::from(
            Diagnostic::error(
                place,
                format!("`{}` cannot be set here", words(&change.path)),
            )
            .allowed("keys and values in the usual writing of YAML")
            .way_out(format!(
                "write it by hand: `{}: {}`",
                words(&change.path),
                change.value
            )),
        )
    };
    let place = Place::of_file(file);
    let Some(wanted) = wanted else {
        return Err(refused(place));
    };
    let (node, rest) = reached(&root, &change.path);
    let texts = match rest {
        [] => replaced(source, node, &change.value),
        rest => added(source, node, rest, &change.value, std::ptr::eq(node, &root)),
    };
    let reads_back = |text: &String| tree::read(text).is_ok_and(|found| alike(&found, &wanted));
    let found = texts.into_iter().find(reads_back);
    found.ok_or_else(|| refused(place.at(node.line, node.column)))
}

/// The path as messages have it.
fn words(path: &[Step]) -> String {
    let mut out = String::new();
    for step in path {
        match step {
            Step::Key(key) if out.is_empty() => out += key,
            Step::Key(key) => out += &format!(".{key}"),
            Step::Item(n) => out += &format!("[{n}]"),
        }
    }
    out
}

/// A plain scalar as a node.
fn scalar(value: &str) -> Option<Node> {
    let Kind::Map(mut entries) = tree::read(&format!("key: {value}\n")).ok()?.kind else {
        return None;
    };
    let (_, node) = entries.pop()?;
    let plain = !matches!(node.kind, Kind::Map(_) | Kind::List(_) | Kind::Tagged);
    (plain && entries.is_empty()).then_some(node)
}

fn key_is(node: &Node, key: &str) -> bool {
    matches!(&node.kind, Kind::Text(text) if **text == *key)
}

/// How far a path leads, and what is left of it.
fn reached<'n, 'p>(root: &'n Node, path: &'p [Step]) -> (&'n Node, &'p [Step]) {
    let mut node = root;
    for (k, step) in path.iter().enumerate() {
        let next = match (&node.kind, step) {
            (Kind::Map(entries), Step::Key(key)) => {
                let own = entries.iter().find(|(name, _)| key_is(name, key));
                own.map(|(_, value)| value)
            }
            (Kind::List(items), Step::Item(n)) => items.get(*n),
            _ => None,
        };
        match next {
            Some(next) => node = next,
            None => return (node, &path[k..]),
        }
    }
    (node, &[])
}

/// A tree with a value set; nothing when the path leads nowhere.
fn with(node: &Node, path: &[Step], value: Node) -> Option<Node> {
    let Some((step, rest)) = path.split_first() else {
        return Some(value);
    };
    let mut out = node.clone();
    match (&mut out.kind, step) {
        (Kind::List(items), Step::Item(n)) => {
            let item = items.get_mut(*n)?;
            *item = with(item, rest, value)?;
        }
        (Kind::Map(entries), Step::Key(key)) => {
            match entries.iter_mut().find(|(name, _)| key_is(name, key)) {
                Some((_, own)) => *own = with(own, rest, value)?,
                None => {
                    let empty = Node {
                        kind: Kind::Map(Vec::new()),
                        ..node.clone()
                    };
                    let name = Node {
                        kind: Kind::Text(key.as_str().into()),
                        ..node.clone()
                    };
                    entries.push((name, with(&empty, rest, value)?));
                }
            }
        }
        _ => return None,
    }
    Some(out)
}

/// Whether two trees mean the same, wherever they stand and in whatever order their keys are.
fn alike(a: &Node, b: &Node) -> bool {
    match (&a.kind, &b.kind) {
        (Kind::List(a), Kind::List(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| alike(a, b))
        }
        (Kind::Map(a), Kind::Map(b)) => {
            let has = |(key, value): &(Node, Node)| {
                let mut own = b.iter().filter(|(k, _)| k.kind == key.kind);
                own.next().is_some_and(|(_, v)| alike(value, v)) && own.next().is_none()
            };
            a.len() == b.len() && a.iter().all(has)
        }
        (a, b) => a == b,
    }
}

/// The text with another scalar in the place of one.
fn replaced(source: &str, node: &Node, value: &str) -> Vec<String> {
    let (from, long) = node.span;
    let end = from.saturating_add(long);
    let parts = source.get(..from).zip(source.get(end..));
    parts
        .map(|(before, after)| format!("{before}{value}{after}"))
        .into_iter()
        .collect()
}

/// Texts with keys added to a mapping, the more usual first.
fn added(source: &str, map: &Node, keys: &[Step], value: &str, root: bool) -> Vec<String> {
    let names: Option<Vec<&str>> = keys
        .iter()
        .map(|step| match step {
            Step::Key(key) => Some(key.as_str()),
            Step::Item(_) => None,
        })
        .collect();
    let (Some(names), Kind::Map(entries)) = (names, &map.kind) else {
        return Vec::new();
    };
    let line_end = if source.contains("\r\n") {
        "\r\n"
    } else {
        "\n"
    };
    let mut texts = Vec::new();
    let inside = inline(&names, value);
    let Some((first, _)) = entries.first() else {
        // An empty mapping is written `{}`.
        texts.extend(inserted(source, map.span.0 + 1, &inside));
        return texts;
    };
    if source.as_bytes().get(map.span.0) == Some(&b'{') {
        texts.extend(inserted(source, first.span.0, &format!("{inside}, ")));
        return texts;
    }
    if root {
        let ended = if source.ends_with('\n') { "" } else { line_end };
        let own = block(&names, value, 0, line_end);
        texts.push(format!("{source}{ended}{own}{line_end}"));
    }
    let indent = (first.column as usize).saturating_sub(1);
    let own = block(&names, value, indent, line_end);
    let text = format!("{own}{line_end}{}", " ".repeat(indent));
    texts.extend(inserted(source, first.span.0, &text));
    texts
}

fn inserted(source: &str, at: usize, text: &str) -> Option<String> {
    let (before, after) = (source.get(..at)?, source.get(at..)?);
    Some(format!("{before}{text}{after}"))
}

/// `a: {b: value}`.
fn inline(names: &[&str], value: &str) -> String {
    match names {
        [] => value.to_owned(),
        [last] => format!("{last}: {value}"),
        [first, rest @ ..] => format!("{first}: {{{}}}", inline(rest, value)),
    }
}

/// Keys below each other, each two further in; the first one stands where it is put.
fn block(names: &[&str], value: &str, indent: usize, line_end: &str) -> String {
    match names {
        [] => value.to_owned(),
        [last] => format!("{last}: {value}"),
        [first, rest @ ..] => {
            let inner = indent + 2;
            let rest = block(rest, value, inner, line_end);
            format!("{first}:{line_end}{}{rest}", " ".repeat(inner))
        }
    }
}
