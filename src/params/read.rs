//! Reads a design, a shop, or both, with every independent fault in one run.

use std::path::{Path, PathBuf};

use super::load;
use super::reader::{Reader, describe};
use super::record::{Record, Value};
use super::rules;
use super::syntax;
use super::tree::{self, Kind, Node};
use super::value::UnitName;
use super::written::{Design, Plan, Shop};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::params::limits::Limits;

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
    read(&text, &path.display().to_string(), |_: &Plan, _| {})
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
    let design = read_design(design);
    let shop = shop.map_or_else(built_in, read_shop);
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
    read(source, file, rules::check_design)
}

/// Reads a shop from text; `file` is its name in messages.
///
/// # Errors
/// As [`read_shop`].
pub fn read_shop_str(source: &str, file: &str) -> Result<(Shop, Vec<Diagnostic>), Diagnostics> {
    read(source, file, rules::check_shop)
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

fn read<R: Record>(
    source: &str,
    file: &str,
    rules: fn(&R, &mut Reader),
) -> Result<(R, Vec<Diagnostic>), Diagnostics> {
    load::within_size(source, file)?;
    let root = tree::read(source).map_err(|error| syntax::explain(&error, source, file))?;
    let mut reader = Reader::new(file);
    let place = reader.root().at(root.line, root.column);
    if let Some(refusal) = not_a_record::<R>(&root, source, &reader) {
        return Err(refusal.into());
    }
    reader.unit = file_unit(&root);
    let Some(record) = R::read(&root, &place, Limits::ANY, &mut reader) else {
        return Err(reader.found);
    };
    rules(&record, &mut reader);
    if reader.found.has_errors() {
        Err(reader.found)
    } else {
        Ok((record, reader.found.sorted()))
    }
}

/// The unit of the file, looked up before anything else is read; its own reading notes a
/// fault.
fn file_unit(root: &Node) -> Option<crate::units::Unit> {
    let Kind::Map(entries) = &root.kind else {
        return None;
    };
    let (_, node) = entries
        .iter()
        .find(|(key, _)| matches!(&key.kind, Kind::Text(t) if &**t == "units"))?;
    let mut ignored = Reader::new("");
    UnitName::read(node, &ignored.root(), Limits::ANY, &mut ignored).map(|name| name.0)
}

/// A whole file that is something else: empty, a list, text, or the other kind of file.
fn not_a_record<R: Record>(root: &Node, source: &str, reader: &Reader) -> Option<Diagnostic> {
    let mut keys = Vec::new();
    R::keys(&mut keys);
    let version = keys.first().copied().unwrap_or_default();
    let place = reader.root();
    let begin = format!("begin with `{version}: 1`");
    let Kind::Map(entries) = &root.kind else {
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
    let has = |name: &str| {
        entries
            .iter()
            .any(|(key, _)| matches!(&key.kind, Kind::Text(t) if **t == *name))
    };
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
