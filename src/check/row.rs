//! A row of the table under a finding.

use std::fmt;

use serde::Serialize;
use serde::ser::{SerializeMap, Serializer};

use super::finding::Amount;
use crate::units::Unit;

/// One line of a table: a name, numbers under heads, and where they come from.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// What it is about.
    pub name: String,
    /// Head and number of each column; nothing where a table of the source has nothing.
    pub cells: Vec<(&'static str, Option<Amount>)>,
    /// Where the numbers come from.
    pub source: &'static str,
    /// Unit of lengths as printed.
    pub unit: Unit,
}

impl Row {
    /// The number under a head.
    #[must_use]
    pub fn cell(&self, head: &str) -> Option<Amount> {
        let found = self.cells.iter().find(|(own, _)| *own == head)?;
        found.1
    }
}

impl fmt::Display for Row {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let cells = self.cells.iter().map(|(head, amount)| match amount {
            Some(amount) => format!("{head} {}", amount.text(self.unit)),
            None => format!("{head} not known"),
        });
        let cells: Vec<String> = cells.collect();
        write!(f, "{}: {}", self.name, cells.join(", "))?;
        match self.source {
            "" => Ok(()),
            source => write!(f, " ({source})"),
        }
    }
}

impl Serialize for Row {
    /// `{name, <head>: amount or null, source}`.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut out = serializer.serialize_map(Some(self.cells.len() + 2))?;
        out.serialize_entry("name", &self.name)?;
        for (head, amount) in &self.cells {
            out.serialize_entry(head, amount)?;
        }
        out.serialize_entry("source", self.source)?;
        out.end()
    }
}
