//! Reads a design, a shop, or both, with every independent fault in one run.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::based;
use super::load;
use super::merge::{self, Rooted};
use super::reader::{Reader, describe};
use super::record::{Record, Value};
use super::rules;
use super::syntax;
use super::tree::{self, Kind, Node};
use super::value::UnitName;
use super::written::{Design, Plan, Shop};
use crate::diagnostic::{Diagnostic, Diagnostics, Place};
use crate::params::limits::Limits;
use crate::units::Unit;

/// The text of the shop that is used when no shop file is given.
pub const BUILT_IN_SHOP: &str = include_str!("built_in_shop.yaml");

/// Name of the built-in shop in places.
pub const BUILT_IN_SHOP_NAME: &str = "built-in shop";

/// Reads a design file, with its warnings.
///
/// # Errors
/// Every independent fault of the file, each with line, column and key path.
pub fn read_design(path: &Path) -> Result<(Design, Vec<Diagnostic>), Diagnostics> {
    read_design_str(&load::read_text(path)?, &path.display().to_string())
}

/// Reads a shop file, with its warnings.
///
/// # Errors
/// Every independent fault of the file, each with line, column and key path.
pub fn read_shop(path: &Path) -> Result<(Shop, Vec<Diagnostic>), Diagnostics> {
    read_shop_str(&load::read_text(path)?, &path.display().to_string())
}

/// Reads a plan file, with its warnings.
///
/// # Errors
/// Every independent fault of the file, each with line, column and key path.
pub fn read_plan(path: &Path) -> Result<(Plan, Vec<Diagnostic>), Diagnostics> {
    let text = load::read_text(path)?;
    // Nothing holds between its keys but what each says.
    alone(&text, &path.display().to_string(), |_: &Plan, _| {})
}

/// Whether a file says of itself that it is a plan; its other faults come with the reading.
#[must_use]
pub fn is_plan(path: &Path) -> bool {
    let text = load::read_text(path).unwrap_or_default();
    let mut lines = text.lines();
    lines.any(|line| line.starts_with("limberwood_plan"))
}

/// The file `shop.yaml` beside a design file, if there is one.
#[must_use]
pub fn shop_beside(design: &Path) -> Option<PathBuf> {
    let path = design.with_file_name("shop.yaml");
    path.exists().then_some(path)
}

/// Reads both files; without a shop path the built-in shop.
///
/// # Errors
/// The faults of both files.
pub fn read_files(
    design: &Path,
    shop: Option<&Path>,
) -> Result<(Design, Shop, Vec<Diagnostic>), Diagnostics> {
    both(read_design(design), shop.map_or_else(built_in, read_shop))
}

/// A path, and the bytes that were read from there or why there are none.
pub type RawFile = (PathBuf, Result<Vec<u8>, Diagnostics>);

/// Reads both files from bytes that [`super::read_raw`] found in them at one time; without a shop the
/// built-in one.
///
/// # Errors
/// The faults of both files.
pub fn read_snapshot(
    (design, design_bytes): RawFile,
    shop: Option<RawFile>,
) -> Result<(Design, Shop, Vec<Diagnostic>), Diagnostics> {
    let design_text = design_bytes.and_then(|bytes| load::text_of(&design, bytes));
    let name = design.display().to_string();
    let read = design_text.and_then(|text| read_design_str(&text, &name));
    let shop = match shop {
        None => built_in(),
        Some((path, bytes)) => {
            let text = bytes.and_then(|bytes| load::text_of(&path, bytes));
            text.and_then(|text| read_shop_str(&text, &path.display().to_string()))
        }
    };
    both(read, shop)
}

/// A design and a shop with the warnings of each.
type Read<T> = Result<(T, Vec<Diagnostic>), Diagnostics>;

fn both(
    design: Read<Design>,
    shop: Read<Shop>,
) -> Result<(Design, Shop, Vec<Diagnostic>), Diagnostics> {
    match (design, shop) {
        (Ok((design, mut warnings)), Ok((shop, more))) => {
            warnings.extend(more);
            Ok((design, shop, warnings))
        }
        (Err(mut errors), Err(more)) => {
            errors.append(more);
            Err(errors)
        }
        (Err(mut errors), Ok((_, warnings))) => {
            errors.extend(warnings);
            Err(errors)
        }
        (Ok((_, warnings)), Err(errors)) => {
            let mut all = Diagnostics::new();
            all.extend(warnings);
            all.append(errors);
            Err(all)
        }
    }
}

/// Reads a design from text; `file` is its name in messages.
///
/// # Errors
/// As [`read_design`].
pub fn read_design_str(source: &str, file: &str) -> Result<(Design, Vec<Diagnostic>), Diagnostics> {
    let files = based::chain(source.to_owned(), file)?;
    let mut units: Vec<(Arc<str>, Option<Unit>)> = Vec::new();
    for file in files.iter().rev() {
        // A file that says no unit speaks in that of its base.
        let of_base = units.last().and_then(|(_, unit)| *unit);
        let own = if says_unit(&file.root) {
            file_unit(&file.root)
        } else {
            of_base
        };
        units.push((Arc::from(file.name.as_str()), own));
    }
    let rooted = files.into_iter().rev().map(|file| Rooted {
        place: file.place(),
        node: file.root,
    });
    match rooted.reduce(merge::over) {
        Some(root) => record(&root, units, rules::check_design),
        None => Err(Diagnostics::new()),
    }
}

/// Reads a shop from text; `file` is its name in messages.
///
/// # Errors
/// As [`read_shop`].
pub fn read_shop_str(source: &str, file: &str) -> Result<(Shop, Vec<Diagnostic>), Diagnostics> {
    alone(source, file, rules::check_shop)
}

/// A record that is based on nothing.
fn alone<R: Record>(
    source: &str,
    file: &str,
    rules: fn(&R, &mut Reader),
) -> Result<(R, Vec<Diagnostic>), Diagnostics> {
    load::within_size(source, file)?;
    let node = tree::read(source).map_err(|error| syntax::explain(&error, source, file))?;
    let place = Place::of_file(file).at(node.line, node.column);
    if let Some(refusal) = not_a_record::<R>(&node, source, &place) {
        return Err(refusal.into());
    }
    let units = vec![(Arc::from(file), file_unit(&node))];
    record(&Rooted { node, place }, units, rules)
}

fn built_in() -> Result<(Shop, Vec<Diagnostic>), Diagnostics> {
    read_shop_str(BUILT_IN_SHOP, BUILT_IN_SHOP_NAME)
}

/// The shop that is used when no shop file is given.
///
/// # Panics
/// Never: a test reads the embedded text.
#[must_use]
pub fn built_in_shop() -> Shop {
    match built_in() {
        Ok((shop, _)) => shop,
        Err(errors) => unreachable!("the embedded shop is sound: {errors}"),
    }
}

/// The record of a tree.
fn record<R: Record>(
    root: &Rooted,
    units: Vec<(Arc<str>, Option<Unit>)>,
    rules: fn(&R, &mut Reader),
) -> Result<(R, Vec<Diagnostic>), Diagnostics> {
    let mut reader = Reader::new(&root.place.file);
    reader.units = units;
    let Some(record) = R::read(&root.node, &root.place, Limits::ANY, &mut reader) else {
        return Err(reader.found);
    };
    rules(&record, &mut reader);
    if reader.found.has_errors() {
        Err(reader.found)
    } else {
        Ok((record, reader.found.sorted()))
    }
}

/// Whether a file has the key `units`, rightly written or not.
fn says_unit(root: &Node) -> bool {
    root.key("units").is_some()
}

/// The unit of the file, looked up before anything else is read; its own reading notes a
/// fault.
fn file_unit(root: &Node) -> Option<Unit> {
    let node = root.key("units")?;
    let mut ignored = Reader::new("");
    UnitName::read(node, &ignored.root(), Limits::ANY, &mut ignored).map(|name| name.0)
}

/// A whole file that is something else: empty, a list, text, or the other kind of file.
pub(super) fn not_a_record<R: Record>(
    root: &Node,
    source: &str,
    place: &Place,
) -> Option<Diagnostic> {
    let mut keys = Vec::new();
    R::keys(&mut keys);
    let version = keys.first().copied().unwrap_or_default();
    let place = place.whole_file();
    let begin = format!("begin with `{version}: 1`");
    let Kind::Map(_) = &root.kind else {
        let place = place.at(root.line, root.column);
        if let Kind::Text(text) = &root.kind
            && let Some(c) = text
                .chars()
                .find(|c| c.is_whitespace() && !matches!(c, ' ' | '\n'))
        {
            return Some(syntax::odd_blank_message(place, text, c));
        }
        let found = if matches!(root.kind, Kind::Null) {
            if source.trim().is_empty() {
                "an empty file".to_owned()
            } else {
                "a file without any key".to_owned()
            }
        } else {
            describe(root)
        };
        return Some(
            Diagnostic::error(place, found)
                .allowed("a mapping of keys and values")
                .way_out(begin),
        );
    };
    let has = |name: &str| root.key(name).is_some();
    let kinds = [
        ("limberwood", "a design file"),
        ("limberwood_shop", "a shop file"),
        ("limberwood_plan", "a plan file"),
    ];
    let (_, wanted) = kinds.iter().find(|(key, _)| *key == version)?;
    let (_, is) = kinds.iter().find(|(key, _)| has(key))?;
    (!has(version)).then(|| {
        Diagnostic::error(place, *is)
            .allowed(*wanted)
            .way_out("check which file was named as what")
    })
}
