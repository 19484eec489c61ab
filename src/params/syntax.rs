//! A text that is no YAML, or not the YAML read here, explained in plain words.

use crate::diagnostic::{Diagnostic, Place};
use serde_yaml::Error;
use serde_yaml::budget::BudgetBreach;

use super::reader::shortened;
use super::tree::{MOST_DEPTH, MOST_NODES};

/// Turns the YAML reader's error into a message with the likely cause.
pub(super) fn explain(error: &Error, source: &str, file: &str) -> Diagnostic {
    let location = error.location();
    let narrow = |n: u64| u32::try_from(n).unwrap_or(u32::MAX);
    let (line, column) = location.map_or((0, 0), |l| (narrow(l.line()), narrow(l.column())));
    let place = Place::of_file(file).at(line, column);
    match error {
        Error::MultipleDocuments { .. } => {
            return Diagnostic::error(place, "a second document after `---`")
                .allowed("one document in a file")
                .way_out("remove the line `---` or split the file");
        }
        Error::Budget { breach, .. } => return over_budget(breach, source, place),
        _ => {}
    }
    let what = error.to_string();
    let what = location.map_or(what.as_str(), |l| {
        what.strip_suffix(&format!(" at line {}, column {}", l.line(), l.column()))
            .unwrap_or(&what)
    });
    tab(source, line, file)
        .or_else(|| escape(what, source, &place))
        .or_else(|| odd_blank(source, line, file))
        .or_else(|| colon(what, source, &place))
        .unwrap_or_else(|| plain(what, source, place))
}

fn over_budget(breach: &BudgetBreach, source: &str, place: Place) -> Diagnostic {
    match breach {
        BudgetBreach::Anchors { .. } | BudgetBreach::Aliases { .. } => Diagnostic::error(
            anchor(source, &place).unwrap_or(place),
            "an anchor or alias (`&` or `*`)",
        )
        .allowed("values written out")
        .way_out(
            "use `defaults`, `like` or `repeat`; put a text that begins with & or * in quotes",
        ),
        BudgetBreach::Depth { .. } => Diagnostic::error(place, "lists or mappings nested too deep")
            .allowed(format!("at most {MOST_DEPTH} levels"))
            .way_out("check brackets and indentation"),
        BudgetBreach::Nodes { .. } | BudgetBreach::Events { .. } => {
            Diagnostic::error(place, "too many keys and values")
                .allowed(format!("at most {MOST_NODES}"))
                .way_out("use `defaults`, `like` or `repeat`")
        }
        other => Diagnostic::error(
            place,
            format!("a file beyond the reader's limits ({other:?})"),
        )
        .way_out("make the file smaller"),
    }
}

/// The reader points behind an anchor: its `&` is the last one before on the line.
fn anchor(source: &str, place: &Place) -> Option<Place> {
    let before = usize::try_from(place.column.checked_sub(1)?).ok()?;
    let line: Vec<char> = line_at(source, place.line).chars().take(before).collect();
    let column = line.iter().rposition(|c| *c == '&')? + 1;
    Some(place.at(place.line, u32::try_from(column).ok()?))
}

/// Lines of the text with their numbers from 1, with any line break.
fn lines(source: &str) -> impl Iterator<Item = (u32, &str)> {
    (1..).zip(
        source
            .split('\n')
            .map(|line| line.strip_suffix('\r').unwrap_or(line)),
    )
}

fn line_at(source: &str, number: u32) -> &str {
    lines(source)
        .find(|(n, _)| *n == number)
        .map_or("", |(_, line)| line)
}

/// A tab used as indent, up to one line after the reader gave up.
fn tab(source: &str, line: u32, file: &str) -> Option<Diagnostic> {
    let indented = |text: &str| {
        let body = text.trim_start_matches([' ', '\t']);
        !body.is_empty() && !body.starts_with('#') && text[..text.len() - body.len()].contains('\t')
    };
    let mut tabbed = lines(source).filter(|(_, text)| indented(text));
    let (number, text) = tabbed
        .next()
        .filter(|(number, _)| *number <= line.saturating_add(1))?;
    let column = u32::try_from(text.find('\t')? + 1).ok()?;
    let more = tabbed.count();
    let others = if more == 0 {
        String::new()
    } else {
        format!(" (and in {more} more lines)")
    };
    Some(
        Diagnostic::error(
            Place::of_file(file).at(number, column),
            format!(
                "a tab used as indent in `{}`{others}",
                shortened(text.trim())
            ),
        )
        .allowed("spaces")
        .way_out("replace each tab by two spaces"),
    )
}

/// A backslash in double quotes, as in a Windows path.
fn escape(what: &str, source: &str, place: &Place) -> Option<Diagnostic> {
    let about_escapes = what.contains("hexadecimal") || what.contains("escape");
    let line = line_at(source, place.line);
    (about_escapes && line.contains('\\')).then(|| {
        Diagnostic::error(
            place.clone(),
            format!(
                "a backslash in double quotes in `{}`",
                shortened(line.trim())
            ),
        )
        .allowed("escapes such as \\\" and \\\\ in double quotes")
        .way_out("use single quotes, or / instead of \\")
    })
}

/// A blank that is not the ordinary one, on the line or one beside it.
fn odd_blank(source: &str, line: u32, file: &str) -> Option<Diagnostic> {
    let odd = |c: char| c.is_whitespace() && !matches!(c, ' ' | '\t' | '\r');
    let near = line.saturating_sub(1)..=line.saturating_add(1);
    let (number, text) = lines(source)
        .filter(|(number, _)| near.contains(number))
        .find(|(_, text)| text.contains(odd))?;
    let (i, c) = text.chars().enumerate().find(|(_, c)| odd(*c))?;
    let place = Place::of_file(file).at(number, u32::try_from(i + 1).unwrap_or(u32::MAX));
    Some(odd_blank_message(place, text, c))
}

/// The message for a no-break space and its kin.
pub(super) fn odd_blank_message(place: Place, text: &str, c: char) -> Diagnostic {
    let name = if c == '\u{a0}' {
        "a no-break space"
    } else {
        "a blank that YAML does not know"
    };
    Diagnostic::error(
        place,
        format!(
            "{name} (U+{:04X}) in `{}`",
            c as u32,
            shortened(text.trim())
        ),
    )
    .allowed("ordinary spaces")
    .way_out("replace it by an ordinary space")
}

/// A missing colon or a missing blank behind it.
fn colon(what: &str, source: &str, place: &Place) -> Option<Diagnostic> {
    let line = shortened(line_at(source, place.line).trim());
    if what.contains("simple key expected") {
        return Some(
            Diagnostic::error(
                place.clone(),
                format!("`{line}`, a line without `key: value`"),
            )
            .allowed("`key: value`, with a space after the colon, or `- value`")
            .way_out("add the colon and the space"),
        );
    }
    what.contains("mapping values are not allowed").then(|| {
        Diagnostic::error(place.clone(), format!("a `:` where no key can stand, in `{line}`"))
            .allowed("keys of one mapping at the same indentation; `:` with a space after it only behind a key")
            .way_out("line up the key with its neighbours, or put the text in quotes")
    })
}

fn plain(what: &str, source: &str, place: Place) -> Diagnostic {
    let line = shortened(line_at(source, place.line).trim());
    let unclosed = ["flow", "quote", "placement", "']'", "'}'"]
        .iter()
        .any(|word| what.contains(word));
    let way_out = if unclosed {
        "close the bracket, brace or quote that was opened here or before"
    } else if what.contains("unexpected character") {
        "put the text in quotes"
    } else {
        "check indentation, colons and quotes here and in the line before"
    };
    let found = if line.is_empty() {
        what.to_owned()
    } else {
        format!("`{line}`: {what}")
    };
    Diagnostic::error(place, found)
        .allowed("YAML 1.2")
        .way_out(way_out)
}
