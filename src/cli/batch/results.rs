//! The table of a batch: for people, as a document, and as a file written last.

use std::io::Write as _;
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};

use serde_json::{Value, json};

use super::PartOf;
use super::one::Done;
use super::plan::Entry;
use crate::cli::finish::Finish;
use crate::cli::outcome::{self, Outcome};
use crate::diagnostic::Severity;
use crate::export::folder::{Folder, FolderError, Parents, write_lone};
use crate::make::Redone;

/// Begin of a results file, by which it is known as ours.
const BEGIN: &str = "{\n\"limberwood_results\": 1,\n\"entries\": [";

/// One line of the table.
#[derive(Debug, Clone)]
pub struct Row {
    /// What the plan says of it, as the inside of a JSON object.
    entry: String,
    /// What came of it, the same; numbers stay as they were first printed.
    result: String,
}

impl Row {
    /// `old` are products of an earlier run that lie there still.
    pub fn new(entry: &Entry, old: &[&str], result: String) -> Self {
        let shop = entry.shop.as_ref().map(|s| s.display().to_string());
        let entry = json!({
            "number": entry.number,
            "name": entry.name,
            "design": entry.design.display().to_string(),
            "shop": shop,
            "scale": entry.scale.as_ref().map_or(1.0, |s| s.value.0),
            "count": entry.count,
            "old": old,
        });
        Row {
            entry: inside(&entry),
            result,
        }
    }

    fn text(&self) -> String {
        format!("{{{}, {}}}", self.entry, self.result)
    }

    fn value(&self) -> Value {
        serde_json::from_str(&self.text()).unwrap_or_default()
    }

    pub fn finish(&self) -> Finish {
        match self.value()["exit"].as_u64() {
            Some(0) => Finish::Sound,
            Some(1) => Finish::Fails,
            _ => Finish::CouldNotRun,
        }
    }

    /// Errors, and warnings unless `quiet`, and why it could not run.
    pub fn lines(&self, quiet: bool) -> Vec<String> {
        let value = self.value();
        let name = value["name"].as_str().unwrap_or_default();
        let found = value["findings"].as_array().into_iter().flatten();
        let found = found.filter_map(Value::as_str);
        let found = found.filter(|line| !quiet || line.starts_with("error"));
        let mut lines: Vec<String> = found.map(|line| format!("{name}: {line}")).collect();
        if let Some(cause) = value["cause"].as_str() {
            lines.push(format!("{name}: error: {cause}"));
        }
        lines
    }
}

/// The inside of a JSON object.
fn inside(object: &Value) -> String {
    let text = object.to_string();
    text[1..text.len() - 1].to_owned()
}

/// What came of a design, as the inside of a JSON object, without places in its file: they change
/// with comments.
pub fn result(outcome: &Outcome) -> String {
    let own = outcome.messages.iter();
    let found = own.chain(outcome.findings().iter().map(|f| &f.message));
    let found: Vec<_> = found.filter(|m| m.severity < Severity::Note).collect();
    let count = |severity| found.iter().filter(|m| m.severity == severity).count();
    let line = |m: &&crate::diagnostic::Diagnostic| format!("{}: {}", m.severity, m.in_words());
    let lines: Vec<String> = found.iter().map(line).collect();
    inside(&json!({
        "exit": outcome.exit(),
        "verdict": outcome.verdict(),
        "errors": count(Severity::Error),
        "warnings": count(Severity::Warning),
        "findings": lines,
        "cause": outcome.cause(),
        "totals": outcome.totals(),
    }))
}

/// Writes the results beside the entries; says why it could not.
pub fn write(
    folder: &Path,
    part: Option<PartOf>,
    done: &[Done],
    stop: &AtomicBool,
) -> Result<(), String> {
    let name = match part {
        None => "results.json".to_owned(),
        Some(PartOf { number, of }) => format!("results-{number}-of-{of}.json"),
    };
    let rows: Vec<String> = done.iter().map(|d| d.row.text()).collect();
    let text = format!("{BEGIN}\n{}\n]\n}}\n", rows.join(",\n"));
    let ours = |old: &[u8]| old.starts_with(BEGIN.as_bytes());
    let _held = held(folder, stop)?;
    write_lone(&folder.join(name), Parents::Make, ours, stop, |file| {
        file.write_all(text.as_bytes())
    })
    .map_err(|e| e.to_string())
}

/// The folder of all entries, waited for: other runs hold it for no longer than this one does.
fn held(folder: &Path, stop: &AtomicBool) -> Result<Folder, String> {
    loop {
        match Folder::open(folder, Parents::Make) {
            Err(FolderError::Busy(_)) if !stop.load(Ordering::Relaxed) => {
                std::thread::sleep(super::WAIT);
            }
            opened => return opened.map_err(|e| e.to_string()),
        }
    }
}

/// All of a run as one document.
pub fn json(folder: &Path, done: &[Done], worst: Finish) -> String {
    let rows = done.iter().map(|d| {
        let mut row = d.row.value();
        (row["redone"], row["taken_over"]) = (json!(d.redone), json!(d.kept));
        let Redone { built, taken, bent } = d.solids;
        row["parts"] = json!({"built": built, "taken_over": taken, "joints_bent": bent});
        row
    });
    let document = json!({
        "schema_version": 1,
        "exit": worst.code(),
        "folder": folder.display().to_string(),
        "redone": done.iter().map(|d| d.redone.len()).sum::<usize>(),
        "taken_over": done.iter().map(|d| d.kept.len()).sum::<usize>(),
        "entries": rows.collect::<Vec<_>>(),
    });
    format!("{document:#}\n")
}

/// The table for people.
pub fn table(folder: &Path, done: &[Done]) -> String {
    let width = done.iter().map(|d| text(d, "name").chars().count()).max();
    let width = width.unwrap_or(0);
    let mut table = String::new();
    for one in done {
        let row = one.row.value();
        let state = match (one.redone.len(), one.kept.len()) {
            (0, 0) => "nothing written".to_owned(),
            (0, _) => "unchanged".to_owned(),
            _ => format!("made {}{}", one.redone.join(", "), in_part(one.solids)),
        };
        let old = match one.old.as_slice() {
            [] => String::new(),
            old => format!("; of an earlier run: {}", old.join(", ")),
        };
        let number = |key: &str, thing: &str| {
            let number = row[key].as_u64().and_then(|n| n.try_into().ok());
            outcome::count(number.unwrap_or_default(), thing)
        };
        table.push_str(&format!(
            "{:width$}  {:18}  {}, {}  {state}{old}\n",
            text(one, "name"),
            text(one, "verdict"),
            number("errors", "error"),
            number("warnings", "warning"),
        ));
    }
    let redone = done.iter().filter(|d| !d.redone.is_empty()).count();
    let bad = done.iter().filter(|d| d.finish != Finish::Sound).count();
    table.push_str(&format!(
        "{}, {redone} of them worked on, {bad} not sound, in {}\n",
        outcome::count(done.len(), "creature"),
        folder.display()
    ));
    table
}

/// How many parts of a set were built, if not all.
fn in_part(Redone { built, taken, .. }: Redone) -> String {
    match taken {
        0 => String::new(),
        _ => format!(
            " ({built} of {} built)",
            outcome::count(built + taken, "part")
        ),
    }
}

fn text(done: &Done, key: &str) -> String {
    let value = done.row.value();
    value[key].as_str().unwrap_or_default().to_owned()
}
