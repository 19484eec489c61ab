//! Many messages.

use std::fmt;
use std::sync::Arc;

use serde::{Serialize, Serializer};

use super::message::{Diagnostic, Severity};
use super::place::Place;

/// Messages kept at most; the rest is counted. A hostile file can hold 100,000 faults.
const MOST: usize = 200;

/// Messages in the order of their places.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Diagnostics {
    messages: Vec<Diagnostic>,
    errors: usize,
    left_out: usize,
}

impl Diagnostics {
    /// No message.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a message. Beyond 200, messages are only counted.
    pub fn push(&mut self, message: Diagnostic) {
        self.errors += usize::from(message.severity == Severity::Error);
        if self.messages.len() < MOST {
            self.messages.push(message);
        } else {
            self.left_out += 1;
        }
    }

    /// Counts an error without a message, for use when [`Diagnostics::is_full`].
    pub fn count_error(&mut self) {
        self.errors += 1;
        self.left_out += 1;
    }

    /// Adds all messages of another collection.
    pub fn append(&mut self, other: Self) {
        self.errors += other.errors;
        self.left_out += other.left_out;
        let room = MOST.saturating_sub(self.messages.len());
        self.left_out += other.messages.len().saturating_sub(room);
        self.messages.extend(other.messages.into_iter().take(room));
    }

    /// Whether an error is among them.
    #[must_use]
    pub fn has_errors(&self) -> bool {
        self.errors > 0
    }

    /// Number of errors, those only counted included.
    #[must_use]
    pub fn error_count(&self) -> usize {
        self.errors
    }

    /// Whether there is no message at all.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.messages.is_empty()
    }

    /// Number of messages kept.
    #[must_use]
    pub fn len(&self) -> usize {
        self.messages.len()
    }

    /// Whether further messages are only counted.
    #[must_use]
    pub fn is_full(&self) -> bool {
        self.messages.len() >= MOST
    }

    /// The messages kept, in the order of their finding.
    pub fn iter(&self) -> impl Iterator<Item = &Diagnostic> {
        self.messages.iter()
    }

    /// The messages: files in the order in which they came up, in a file by line and column,
    /// equal places in the order of their finding. A last note counts what was left out.
    #[must_use]
    pub fn sorted(&self) -> Vec<Diagnostic> {
        let mut files: Vec<Arc<str>> = Vec::new();
        for message in &self.messages {
            if !files.contains(&message.place.file) {
                files.push(message.place.file.clone());
            }
        }
        let rank = |place: &Place| files.iter().position(|file| *file == place.file);
        let mut sorted = self.messages.clone();
        sorted.sort_by_key(|m| (rank(&m.place), m.place.line, m.place.column));
        if self.left_out > 0 {
            let file = sorted
                .last()
                .map(|m| m.place.file.clone())
                .unwrap_or_default();
            sorted.push(Diagnostic::note(
                Place {
                    file,
                    ..Place::default()
                },
                format!("{} more messages, not shown", self.left_out),
            ));
        }
        sorted
    }
}

impl From<Diagnostic> for Diagnostics {
    fn from(message: Diagnostic) -> Self {
        let mut all = Self::new();
        all.push(message);
        all
    }
}

impl Extend<Diagnostic> for Diagnostics {
    fn extend<I: IntoIterator<Item = Diagnostic>>(&mut self, messages: I) {
        for message in messages {
            self.push(message);
        }
    }
}

impl fmt::Display for Diagnostics {
    /// One line a message, in the order of [`Diagnostics::sorted`].
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (i, message) in self.sorted().iter().enumerate() {
            if i > 0 {
                f.write_str("\n")?;
            }
            write!(f, "{message}")?;
        }
        Ok(())
    }
}

impl std::error::Error for Diagnostics {}

impl Serialize for Diagnostics {
    /// A list in the order of [`Diagnostics::sorted`].
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_seq(self.sorted())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(file: &str, line: u32, column: u32, found: &str) -> Diagnostic {
        Diagnostic::error(Place::of_file(file).at(line, column), found)
    }

    #[test]
    fn sorts_by_place_and_keeps_equal_places_in_order() {
        let mut all = Diagnostics::new();
        all.extend([
            at("b.yaml", 9, 1, "third"),
            at("a.yaml", 1, 1, "fourth"),
            at("b.yaml", 2, 5, "first"),
            at("b.yaml", 2, 5, "second"),
        ]);
        let found: Vec<String> = all.sorted().into_iter().map(|m| m.found).collect();
        assert_eq!(found, ["first", "second", "third", "fourth"]);
    }

    #[test]
    fn counts_beyond_the_most() {
        let mut all = Diagnostics::new();
        all.extend((0..500).map(|i| at("a.yaml", i + 1, 1, "x")));
        assert_eq!(all.error_count(), 500);
        let mut twice = all.clone();
        twice.append(all);
        assert_eq!(twice.error_count(), 1000);
        let sorted = twice.sorted();
        assert_eq!(sorted.len(), MOST + 1);
        assert_eq!(sorted.last().unwrap().found, "800 more messages, not shown");
    }
}
