//! A screen of strength: neck, mouth, glue line, plates and tabs under stated loads, each stress
//! against the strength of clear, straight-grained wood.
//!
//! It compares; it promises nothing: knots, grain run-out, dry glue and dropping are not seen. The
//! grain runs along the chain. A neck's bending is judged where the joint is solved (`thin-neck`);
//! here it stands in the table only.

mod glue;
mod joint;
mod load;
mod stands;

pub use glue::{GlueFace, Width, glue};
pub use joint::joint;
pub use load::{PULL, SIDE, TORQUE};
pub use stands::{plates, tabs};

use super::finding::{Amount, Finding, Limit, Row, Subject};
use crate::chain::strengths::SAFETY;
use crate::diagnostic::Severity;

/// A stress held against a strength.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Held {
    /// What is loaded, and how.
    name: &'static str,
    /// MPa.
    stress: f64,
    /// MPa; nothing when the handbook's table has none.
    strength: Option<f64>,
    /// Whether it is judged here.
    judged: bool,
    source: &'static str,
}

impl Held {
    fn factor(&self) -> Option<f64> {
        self.strength.map(|strength| strength / self.stress)
    }

    fn row(&self, subject: &Subject<'_>) -> Row {
        Row {
            name: self.name.to_owned(),
            cells: vec![
                ("stress", Some(Amount::Stress(self.stress))),
                ("strength", self.strength.map(Amount::Stress)),
                ("factor", self.factor().map(Amount::Factor)),
            ],
            source: self.source,
            unit: subject.unit,
        }
    }
}

/// One finding over all rows: the least factor of those that are judged.
fn finding(subject: &Subject<'_>, what: &str, held: &[Held], way_out: &str) -> Finding {
    let judged = held.iter().filter(|h| h.judged);
    let known = judged.filter_map(|h| Some((h.factor()?, h.name)));
    let rows = held.iter().map(|h| h.row(subject)).collect();
    let Some((factor, name)) = known.min_by(|a, b| a.0.total_cmp(&b.0)) else {
        let words =
            format!("screen of {what}: the strength that counts is not tabulated for this wood");
        return subject.notes("strength", words).table(rows);
    };
    let words = format!("screen of {what}: the {name} holds its load this many times over:");
    let limit = Limit::least(Amount::Factor(SAFETY), "habit");
    let weak = factor < SAFETY;
    let severity = if weak {
        Severity::Warning
    } else {
        Severity::Note
    };
    let found = subject.finds(
        severity,
        "strength",
        &words,
        Amount::Factor(factor),
        Some(limit),
    );
    let found = found.table(rows);
    if weak { found.way_out(way_out) } else { found }
}
