//! Whether pin holes fit the real dowel.

use super::finding::{Amount, Finding, Limit, Subject};
use crate::chain::Pin;
use crate::diagnostic::Severity;

/// How much thicker a dowel may be than it is called, mm: 0.005 in (a dowel maker's page).
const THICKER: f64 = 0.127;
/// Widest slip, mm (common practice, no source).
const SLIP: f64 = 0.3;
/// A hole that differs more from the shop's dowel is meant for another one, mm (habit).
const OTHER: f64 = 1.0;
/// Rounding noise, mm.
const NOISE: f64 = 1e-9;

/// Findings of a section's pin holes; `dowel` is the shop's, mm.
pub fn findings(subject: &Subject<'_>, pins: &[Pin], dowel: f64) -> Vec<Finding> {
    let own = pins.iter().map(|p| 2.0 * p.radius);
    let mut holes: Vec<f64> = own.filter(|hole| (hole - dowel).abs() < OTHER).collect();
    holes.sort_by(f64::total_cmp);
    holes.dedup_by(|a, b| (*a - *b).abs() < NOISE);
    holes
        .into_iter()
        .map(|hole| fit(subject, hole, dowel))
        .collect()
}

fn fit(subject: &Subject<'_>, hole: f64, dowel: f64) -> Finding {
    let name = Amount::Length(dowel).text(subject.unit);
    let (least, most) = (dowel + THICKER, dowel + SLIP);
    let amount = Amount::Length(hole);
    let words = format!("pin hole for a dowel of {name}:");
    if hole < least - NOISE {
        let limit = Limit::least(Amount::Length(least), "a dowel may be 0.127 mm thicker");
        let found = subject.finds(Severity::Warning, "pin-fit", &words, amount, Some(limit));
        return found.way_out("make the hole or the shop's `slip` wider, or measure the dowel");
    }
    let limit = Limit::most(Amount::Length(most), "habit");
    if hole > most + NOISE {
        let found = subject.finds(Severity::Warning, "pin-fit", &words, amount, Some(limit));
        return found.way_out("make the hole or the shop's `slip` narrower: the halves shift");
    }
    subject.finds(Severity::Note, "pin-fit", &words, amount, Some(limit))
}
