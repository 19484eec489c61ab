//! Small parts: does any piece of a section, whole or broken, fit into the small-parts cylinder of
//! 16 CFR 1501.4 in any pose, and is any ball a small ball.
//!
//! Names clauses; claims nothing: a screen of geometry before any test, and the law where the toy is
//! sold decides.

mod descent;
mod piece;
pub mod pose;
#[cfg(test)]
mod tests;

pub use piece::{Corners, Piece, pieces};

use nalgebra::Vector3;

use super::finding::{Amount, Finding, Limit, Row, Subject};
use crate::diagnostic::Severity;

/// Diameter of the hole of the small-ball template, mm: 1.75 in (16 CFR 1500.19(a)).
const SMALL_BALL: f64 = 44.45;

/// A piece that was laid into the cylinder.
#[derive(Debug, Clone, PartialEq)]
pub struct Laid {
    /// What it is.
    pub name: String,
    /// How far it sticks out at least, mm; not above 0 when it fits.
    pub out: f64,
}

/// Lays pieces into the cylinder; a piece of one that fits fits too, and is not searched.
pub fn laid(pieces: &[Piece]) -> Vec<Laid> {
    let mut all: Vec<Laid> = Vec::with_capacity(pieces.len());
    for piece in pieces {
        let larger = piece.within.and_then(|k| all.get(k));
        let held = larger.is_some_and(|l| l.out <= 0.0);
        all.push(Laid {
            name: piece.name.clone(),
            out: if held {
                0.0
            } else {
                pose::least_out(&piece.corners).0
            },
        });
    }
    all
}

/// A section's pieces, as one note. That broken pieces fit is usual: every ball does.
pub fn findings(subject: &Subject<'_>, laid: &[Laid]) -> Vec<Finding> {
    let rows: Vec<Row> = laid.iter().map(|l| row(subject, l)).collect();
    let fits = laid.iter().filter(|l| l.out <= 0.0).count();
    let Some(whole) = laid.first() else {
        return Vec::new();
    };
    const CYLINDER: &str = "the small-parts cylinder of 16 CFR 1501.4";
    let whole = match whole.out <= 0.0 {
        true => format!("the {} fits into {CYLINDER}", whole.name),
        false => format!(
            "the {} is clear of {CYLINDER} by {}",
            whole.name,
            Amount::Length(whole.out).text(subject.unit)
        ),
    };
    let words = format!(
        "{whole}; of {} pieces, broken ones with it, {fits} fit, and are small parts where they come off",
        laid.len()
    );
    vec![subject.notes("small-parts", words).table(rows)]
}

fn verdict(subject: &Subject<'_>, laid: &Laid) -> String {
    if laid.out <= 0.0 {
        return "fits".to_owned();
    }
    format!("clear by {}", Amount::Length(laid.out).text(subject.unit))
}

fn row(subject: &Subject<'_>, laid: &Laid) -> Row {
    Row {
        name: format!("{}, {}", laid.name, verdict(subject, laid)),
        cells: vec![("sticks out", Some(Amount::Length(laid.out.max(0.0))))],
        source: "",
        unit: subject.unit,
    }
}

/// The whole creature: one that fits as it is is a small part, whatever breaks.
pub fn whole(subject: &Subject<'_>, corners: &[Vector3<f64>]) -> Finding {
    let extent = longest(corners);
    let limit = Limit::least(Amount::Length(pose::LONGEST), "16 CFR 1501.4, derived");
    let words = "longest side of the whole creature, straight";
    let amount = Amount::Length(extent);
    if extent > pose::LONGEST || pose::least_out(corners).0 > 0.0 {
        return subject.finds(Severity::Note, "small-parts", words, amount, Some(limit));
    }
    let words = "the whole creature fits into the small-parts cylinder; its longest side is";
    let found = subject.finds(Severity::Warning, "small-parts", words, amount, Some(limit));
    found.way_out("make it larger, or give it to nobody who is under three years old")
}

/// A lower bound of the largest extent: the longest side of the body's box.
fn longest(corners: &[Vector3<f64>]) -> f64 {
    let lows = corners
        .iter()
        .fold(Vector3::repeat(f64::INFINITY), |a, b| a.inf(b));
    let highs = corners
        .iter()
        .fold(Vector3::repeat(f64::NEG_INFINITY), |a, b| a.sup(b));
    (highs - lows).max()
}

/// A ball that breaks off its neck, against the small-ball template; not a toy ball in the sense of
/// the clause, which speaks of balls meant to be thrown or rolled.
pub fn ball(subject: &Subject<'_>, radius: f64) -> Finding {
    let limit = Limit::least(Amount::Length(SMALL_BALL), "16 CFR 1500.19(a), 1.75 in");
    let words = "a ball off its neck, not meant to be thrown or rolled, has a diameter of";
    let amount = Amount::Length(2.0 * radius);
    subject.finds(Severity::Note, "small-ball", words, amount, Some(limit))
}
