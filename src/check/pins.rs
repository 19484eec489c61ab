//! Whether pin holes fit the real dowel.

use super::finding::{Amount, Finding, Limit, Subject};
use crate::chain::Measured;
use crate::diagnostic::Severity;

/// How much thicker a dowel may be than it is called, mm: 0.005 in (a dowel maker's page).
const THICKER: f64 = 0.127;
/// Widest slip, mm (common practice, no source).
const SLIP: f64 = 0.3;
/// A hole that differs more from the shop's dowel is meant for another one, mm (habit).
const OTHER: f64 = 1.0;
/// Rounding noise, mm.
const NOISE: f64 = 1e-9;

/// Findings of a section's pin holes by their diameters as they come out, mm; `dowel` is the shop's,
/// `found` what a coupon showed.
pub fn findings(
    subject: &Subject<'_>,
    holes: impl Iterator<Item = f64>,
    dowel: f64,
    found: &Measured,
) -> Vec<Finding> {
    let mut holes: Vec<f64> = holes.filter(|hole| (hole - dowel).abs() < OTHER).collect();
    holes.sort_by(f64::total_cmp);
    holes.dedup_by(|a, b| (*a - *b).abs() < NOISE);
    holes
        .into_iter()
        .map(|hole| match found.takes(hole - dowel) {
            true => as_found(subject, hole, dowel),
            false => fit(subject, hole, dowel),
        })
        .collect()
}

/// The hole that takes this dowel by hand.
fn as_found(subject: &Subject<'_>, hole: f64, dowel: f64) -> Finding {
    let name = Amount::Length(dowel).text(subject.unit);
    let words = format!("pin hole for a dowel of {name}, as the shop's record found it:");
    subject.finds(
        Severity::Note,
        "pin-fit",
        &words,
        Amount::Length(hole),
        None,
    )
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
