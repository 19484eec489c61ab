//! What checks find: records that text, JSON and pages read.

use std::fmt;

use serde::Serialize;
use serde::ser::{SerializeStruct, Serializer};

pub use super::row::Row;
use crate::diagnostic::{Diagnostic, Place, Severity};
use crate::units::{Angle, Length, Unit, angle_text, length_text};

/// A number with its kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// Millimetres.
    Length(f64),
    /// Radians.
    Angle(f64),
    /// Cubic millimetres.
    Volume(f64),
    /// Square millimetres.
    Area(f64),
    /// A number of things.
    Count(usize),
    /// Newtons for each square millimetre (MPa).
    Stress(f64),
    /// Newtons.
    Force(f64),
    /// Grams.
    Mass(f64),
    /// How many times one number holds another.
    Factor(f64),
}

impl Amount {
    /// For people, lengths in `unit`.
    pub fn text(self, unit: Unit) -> String {
        match self {
            Amount::Length(mm) => length_text(Length::from_mm(mm), unit),
            Amount::Angle(radians) => angle_text(Angle::from_radians(radians)),
            Amount::Volume(mm3) => format!("{mm3:.2} mm3"),
            Amount::Area(mm2) => format!("{mm2:.1} mm2"),
            Amount::Count(n) => n.to_string(),
            Amount::Stress(mpa) => format!("{mpa:.2} MPa"),
            Amount::Force(newtons) => format!("{newtons:.0} N"),
            Amount::Mass(grams) => format!("{grams:.1} g"),
            Amount::Factor(times) => format!("{times:.2}"),
        }
    }

    /// As [`Amount::text`], with as many decimals as a factor needs to read unlike its limit.
    fn text_beside(self, limit: Amount, unit: Unit) -> String {
        let (Amount::Factor(own), Amount::Factor(other)) = (self, limit) else {
            return self.text(unit);
        };
        let digits = (2..=6).map(|n| [own, other].map(|x| format!("{x:.n$}")));
        let apart = digits.into_iter().find(|[a, b]| a != b);
        apart.map_or_else(|| self.text(unit), |[own, _]| own)
    }
}

impl Serialize for Amount {
    /// `{value, unit}`: mm, deg, mm3, mm2, MPa, N, g, or 1 for a bare number.
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let (value, unit) = match *self {
            Amount::Length(mm) => (mm, "mm"),
            Amount::Angle(radians) => (radians.to_degrees(), "deg"),
            Amount::Volume(mm3) => (mm3, "mm3"),
            Amount::Area(mm2) => (mm2, "mm2"),
            Amount::Count(n) => (n as f64, "1"),
            Amount::Stress(mpa) => (mpa, "MPa"),
            Amount::Force(newtons) => (newtons, "N"),
            Amount::Mass(grams) => (grams, "g"),
            Amount::Factor(times) => (times, "1"),
        };
        let mut out = serializer.serialize_struct("Amount", 2)?;
        out.serialize_field("value", &value)?;
        out.serialize_field("unit", unit)?;
        out.end()
    }
}

/// Which side of a limit is allowed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Bound {
    /// At least the limit.
    Least,
    /// At most the limit.
    Most,
}

/// A limit and where it comes from.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Limit {
    /// The number.
    pub amount: Amount,
    /// Which side is allowed.
    pub bound: Bound,
    /// Where it comes from: `derived`, `design`, `shop`, `habit`, or a source.
    pub source: &'static str,
}

impl Limit {
    /// At least this.
    pub fn least(amount: Amount, source: &'static str) -> Self {
        Limit {
            amount,
            bound: Bound::Least,
            source,
        }
    }

    /// At most this.
    pub fn most(amount: Amount, source: &'static str) -> Self {
        Limit {
            amount,
            bound: Bound::Most,
            source,
        }
    }

    fn text(&self, unit: Unit) -> String {
        let word = match self.bound {
            Bound::Least => "at least",
            Bound::Most => "at most",
        };
        format!("{word} {} ({})", self.amount.text(unit), self.source)
    }
}

/// Checks whose warnings a coupon answers, and a shop's record of one lifts.
const ANSWERED: [&str; 3] = ["odd-clearance", "budget", "pin-fit"];

/// One finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// The part or joint it speaks of, as people name it.
    pub subject: String,
    /// Number of the section, from 1; of a joint, of the section in front.
    pub section: Option<usize>,
    /// Place in the part's own frame, mm; of a joint, in that of the first part of the section with
    /// the socket.
    pub at: Option<[f64; 3]>,
    /// What was measured.
    pub measured: Option<Amount>,
    /// What it is held against.
    pub limit: Option<Limit>,
    /// The table under it; empty when there is none.
    pub rows: Vec<Row>,
    /// The reason for which the design accepts it.
    pub accepted: Option<String>,
    /// Severity, name of the check, place in the file, and the words.
    pub message: Diagnostic,
}

/// What a finding speaks of.
#[derive(Debug, Clone, Copy)]
pub struct Subject<'a> {
    /// As people name it.
    pub name: &'a str,
    /// Number of the section, from 1.
    pub section: Option<usize>,
    /// In the design file.
    pub place: &'a Place,
    /// Unit of lengths in words.
    pub unit: Unit,
}

impl Subject<'_> {
    /// A finding of the check `rule`: `what` is measured, as `ball held by`.
    pub fn finds(
        &self,
        severity: Severity,
        rule: &str,
        what: &str,
        measured: Amount,
        limit: Option<Limit>,
    ) -> Finding {
        let text = match &limit {
            Some(limit) => measured.text_beside(limit.amount, self.unit),
            None => measured.text(self.unit),
        };
        let found = format!("{}: {what} {text}", self.name);
        let mut message = Diagnostic::new(severity, self.place.clone(), found).rule(rule);
        if let Some(limit) = &limit {
            message = message.allowed(limit.text(self.unit));
        }
        Finding {
            subject: self.name.to_owned(),
            section: self.section,
            at: None,
            measured: Some(measured),
            limit,
            rows: Vec::new(),
            accepted: None,
            message,
        }
    }

    /// A note in words, without a number of its own.
    pub fn notes(&self, rule: &str, words: String) -> Finding {
        let found = format!("{}: {words}", self.name);
        Finding::of(Diagnostic::note(self.place.clone(), found).rule(rule), self)
    }
}

impl Finding {
    /// A message of another room as a finding.
    pub fn of(message: Diagnostic, subject: &Subject<'_>) -> Self {
        Finding {
            subject: subject.name.to_owned(),
            section: subject.section,
            at: None,
            measured: None,
            limit: None,
            rows: Vec::new(),
            accepted: None,
            message,
        }
    }

    /// Adds the way out.
    #[must_use]
    pub fn way_out(mut self, words: &str) -> Self {
        self.message.way_out = words.to_owned();
        self
    }

    /// Adds the place.
    #[must_use]
    pub fn at(mut self, at: [f64; 3]) -> Self {
        self.at = Some(at);
        self
    }

    /// A warning as a note.
    #[must_use]
    pub fn softened(mut self) -> Self {
        if self.message.severity == Severity::Warning {
            self.message.severity = Severity::Note;
        }
        self
    }

    /// Adds the table under it.
    #[must_use]
    pub fn table(mut self, rows: Vec<Row>) -> Self {
        self.rows = rows;
        self
    }

    /// Whether it is open, and a coupon would answer it: it rests on a guess at how joints and holes
    /// come out in the shop.
    pub fn asks_for_a_coupon(&self) -> bool {
        let warns = self.message.severity == Severity::Warning && self.open();
        warns && ANSWERED.contains(&&*self.message.rule)
    }

    /// Whether it stands in the way of cutting: errors do, warnings until they are accepted.
    pub fn open(&self) -> bool {
        match self.message.severity {
            Severity::Error => true,
            Severity::Warning => self.accepted.is_none(),
            Severity::Note => false,
        }
    }
}

impl fmt::Display for Finding {
    /// One line: the message, the name of the check, and why it is accepted; its rows under it.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} [{}]", self.message, self.message.rule)?;
        if let Some(reason) = &self.accepted {
            write!(f, " (accepted: {reason})")?;
        }
        self.rows
            .iter()
            .try_for_each(|row| write!(f, "\n    {row}"))
    }
}

impl Serialize for Finding {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let mut out = serializer.serialize_struct("Finding", 10)?;
        out.serialize_field("check", &self.message.rule)?;
        out.serialize_field("subject", &self.subject)?;
        out.serialize_field("section", &self.section)?;
        out.serialize_field("at_mm", &self.at)?;
        out.serialize_field("measured", &self.measured)?;
        out.serialize_field("limit", &self.limit)?;
        out.serialize_field("rows", &self.rows)?;
        out.serialize_field("accepted", &self.accepted)?;
        out.serialize_field("asks_for_a_coupon", &self.asks_for_a_coupon())?;
        out.serialize_field("message", &self.message)?;
        out.end()
    }
}

/// What a maker does next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Verdict {
    /// Nothing is open.
    Cut,
    /// Warnings are open.
    CutACouponFirst,
    /// An error.
    FixFirst,
}

impl Verdict {
    /// The verdict over findings.
    pub fn of(findings: &[Finding]) -> Self {
        let open = findings.iter().filter(|f| f.open());
        open.map(|f| match f.message.severity {
            Severity::Error => Verdict::FixFirst,
            _ => Verdict::CutACouponFirst,
        })
        .max()
        .unwrap_or(Verdict::Cut)
    }

    /// In words.
    pub fn word(self) -> &'static str {
        match self {
            Verdict::Cut => "cut",
            Verdict::CutACouponFirst => "cut a coupon first",
            Verdict::FixFirst => "fix first",
        }
    }
}

/// Gravest first, then by place in the file, then as found.
pub fn sort(findings: &mut [Finding]) {
    findings.sort_by_key(|f| (f.message.severity, f.accepted.is_some(), f.section));
}
