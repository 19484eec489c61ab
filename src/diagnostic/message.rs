//! A single message.

use std::fmt;

use serde::ser::{Serialize, SerializeStruct, Serializer};

use super::place::Place;

/// How grave a message is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Severity {
    /// Nothing is made.
    Error,
    /// The work goes on, but look at it.
    Warning,
    /// Worth knowing.
    Note,
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Error => "error",
            Self::Warning => "warning",
            Self::Note => "note",
        })
    }
}

/// A message: its place, what was found, what is allowed, the way out. The three texts are
/// parts of a sentence, without capital and full stop; `allowed` and `way_out` may be empty.
///
/// Prints as one line:
/// `creature.yaml:7:12: error: sections[6].ball: found 2 mm, allowed 4 mm to 200 mm; ...`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// How grave it is.
    pub severity: Severity,
    /// Name of the rule, in lower case with hyphens; empty for faults of reading.
    pub rule: String,
    /// Where it is.
    pub place: Place,
    /// What was found, as `2 mm`.
    pub found: String,
    /// What is allowed, as `4 mm to 200 mm`.
    pub allowed: String,
    /// What to do about it, as `write a smaller number`.
    pub way_out: String,
}

impl Diagnostic {
    /// A message of any severity.
    #[must_use]
    pub fn new(severity: Severity, place: Place, found: impl Into<String>) -> Self {
        Self {
            severity,
            rule: String::new(),
            place,
            found: found.into(),
            allowed: String::new(),
            way_out: String::new(),
        }
    }

    /// An error.
    #[must_use]
    pub fn error(place: Place, found: impl Into<String>) -> Self {
        Self::new(Severity::Error, place, found)
    }

    /// A warning.
    #[must_use]
    pub fn warning(place: Place, found: impl Into<String>) -> Self {
        Self::new(Severity::Warning, place, found)
    }

    /// A note.
    #[must_use]
    pub fn note(place: Place, found: impl Into<String>) -> Self {
        Self::new(Severity::Note, place, found)
    }

    /// Names the rule, from words or from a name in capitals and small letters.
    #[must_use]
    pub fn rule(self, name: &str) -> Self {
        let mut rule = String::new();
        for c in name.chars() {
            if (c.is_uppercase() || c == ' ') && !rule.is_empty() {
                rule.push('-');
            }
            rule.extend(c.to_lowercase().filter(|c| *c != ' '));
        }
        Self { rule, ..self }
    }

    /// What it says, where the place stands elsewhere: key path, found, allowed, way out.
    pub fn in_words(&self) -> impl fmt::Display + '_ {
        Words(self)
    }

    /// Adds what is allowed.
    #[must_use]
    pub fn allowed(self, allowed: impl Into<String>) -> Self {
        Self {
            allowed: allowed.into(),
            ..self
        }
    }

    /// Adds the way out.
    #[must_use]
    pub fn way_out(self, way_out: impl Into<String>) -> Self {
        Self {
            way_out: way_out.into(),
            ..self
        }
    }
}

/// Writes a text so that it stays on its line and shows what can't be seen: control
/// characters, line breaks and direction marks as escapes.
fn write_visible(f: &mut fmt::Formatter<'_>, text: &str) -> fmt::Result {
    for c in text.chars() {
        let hidden = c.is_control()
            || matches!(c, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}'
                | '\u{2060}'..='\u{2069}' | '\u{feff}');
        if hidden || (c.is_whitespace() && c != ' ') {
            write!(f, "{}", c.escape_unicode())?;
        } else {
            fmt::Write::write_char(f, c)?;
        }
    }
    Ok(())
}

impl fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if !self.place.file.is_empty() {
            write_visible(f, &self.place.to_string())?;
            f.write_str(": ")?;
        }
        write!(f, "{}: {}", self.severity, self.in_words())
    }
}

/// A message without file, line, column and severity.
struct Words<'a>(&'a Diagnostic);

impl fmt::Display for Words<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let own = self.0;
        if !own.place.path.is_empty() {
            write_visible(f, &own.place.path)?;
            f.write_str(": ")?;
        }
        // Without a limit beside it, what was found is a sentence of its own.
        if !own.allowed.is_empty() {
            f.write_str("found ")?;
        }
        write_visible(f, &own.found)?;
        if !own.allowed.is_empty() {
            f.write_str(", allowed ")?;
            write_visible(f, &own.allowed)?;
        }
        if !own.way_out.is_empty() {
            f.write_str("; ")?;
            write_visible(f, &own.way_out)?;
        }
        Ok(())
    }
}

impl Serialize for Diagnostic {
    /// One flat object; `line`, `column`, `allowed` and `way_out` are null when not known.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let known = |n: u32| (n > 0).then_some(n);
        let text = |t: &str| (!t.is_empty()).then(|| t.to_owned());
        let mut out = serializer.serialize_struct("Diagnostic", 9)?;
        out.serialize_field("severity", &self.severity.to_string())?;
        out.serialize_field("rule", &text(&self.rule))?;
        out.serialize_field("file", &*self.place.file)?;
        out.serialize_field("line", &known(self.place.line))?;
        out.serialize_field("column", &known(self.place.column))?;
        out.serialize_field("path", &self.place.path)?;
        out.serialize_field("found", &self.found)?;
        out.serialize_field("allowed", &text(&self.allowed))?;
        out.serialize_field("way_out", &text(&self.way_out))?;
        out.end()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ball() -> Diagnostic {
        let place = Place::of_file("newt.yaml")
            .key("sections")
            .index(6)
            .key("ball")
            .at(7, 12);
        Diagnostic::error(place, "2 mm")
            .allowed("4 mm to 200 mm")
            .way_out("write a larger ball")
    }

    #[test]
    fn prints_one_line() {
        assert_eq!(
            ball().to_string(),
            "newt.yaml:7:12: error: sections[6].ball: found 2 mm, allowed 4 mm to 200 mm; write a larger ball"
        );
    }

    #[test]
    fn rules_have_one_form_of_name() {
        for (written, rule) in [
            ("WideSwing", "wide-swing"),
            ("no pin", "no-pin"),
            ("stock", "stock"),
        ] {
            assert_eq!(ball().rule(written).rule, rule);
        }
    }

    #[test]
    fn leaves_out_what_is_not_known() {
        let message = Diagnostic::warning(Place::of_file("newt.yaml"), "an old file");
        assert_eq!(message.to_string(), "newt.yaml: warning: an old file");
        assert_eq!(
            Diagnostic::note(Place::default(), "x").to_string(),
            "note: x"
        );
    }

    #[test]
    fn stays_on_one_line_and_shows_hidden_characters() {
        let message =
            Diagnostic::error(Place::of_file("a\nb"), "`x\ny\u{202e}\u{a0}\u{1b}`").to_string();
        assert!(
            !message.contains(['\n', '\u{202e}', '\u{a0}', '\u{1b}']),
            "{message}"
        );
        assert!(
            message.contains("\\u{a}") && message.contains("\\u{a0}"),
            "{message}"
        );
    }

    #[test]
    fn becomes_flat_json() {
        let json = serde_json::to_value(ball()).unwrap();
        assert_eq!(json["severity"], "error");
        assert_eq!(json["line"], 7);
        assert_eq!(json["path"], "sections[6].ball");
        let json = serde_json::to_value(Diagnostic::note(Place::default(), "x")).unwrap();
        assert!(json["line"].is_null() && json["way_out"].is_null());
    }
}
