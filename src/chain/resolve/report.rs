//! Collects messages, one for each rule and place: a fault of a section that is repeated a
//! thousand times is said once.

use std::collections::BTreeSet;

use crate::chain::joint::Measure;
use crate::diagnostic::{Diagnostic, Diagnostics, Place, Severity};
use crate::units::{self, Angle, Length, Unit, angle_text, length_text};

/// The messages of one resolution.
pub(super) struct Report {
    pub found: Diagnostics,
    seen: BTreeSet<(Place, String)>,
    unit: Unit,
    /// A body for benches: what is mere advice for cutting is left out.
    bench: bool,
}

impl Report {
    pub fn new(unit: Unit, bench: bool) -> Self {
        Self {
            found: Diagnostics::new(),
            seen: BTreeSet::new(),
            unit,
            bench,
        }
    }

    /// An error. The rule goes out with the message, and a place has one message of each rule.
    pub fn error(
        &mut self,
        rule: &str,
        place: &Place,
        found: impl Into<String>,
        allowed: impl Into<String>,
        way_out: impl Into<String>,
    ) {
        self.push(
            Severity::Error,
            rule,
            place,
            found.into(),
            allowed.into(),
            way_out.into(),
        );
    }

    /// A warning about cutting; a bench body has none.
    pub fn advice(
        &mut self,
        rule: &str,
        place: &Place,
        found: impl Into<String>,
        allowed: impl Into<String>,
        way_out: impl Into<String>,
    ) {
        if !self.bench {
            self.push(
                Severity::Warning,
                rule,
                place,
                found.into(),
                allowed.into(),
                way_out.into(),
            );
        }
    }

    fn push(
        &mut self,
        severity: Severity,
        rule: &str,
        place: &Place,
        found: String,
        allowed: String,
        way_out: String,
    ) {
        if self.seen.insert((place.clone(), rule.to_owned())) {
            let message = Diagnostic::new(severity, place.clone(), found).rule(rule);
            self.found.push(message.allowed(allowed).way_out(way_out));
        }
    }

    /// A length in the unit of the design.
    pub fn length(&self, mm: f64) -> String {
        length_text(Length::from_mm(mm), self.unit)
    }

    /// A length or an angle, the angle to a tenth of a degree.
    pub fn measure(&self, measure: Measure) -> String {
        match measure {
            Measure::Length(mm) => self.length(mm),
            Measure::Angle(radians) => degrees(radians, 1),
        }
    }

    /// Two numbers of a kind with as many decimals as it takes to tell them apart.
    pub fn pair(&self, a: Measure, b: Measure) -> (String, String) {
        let short = (self.measure(a), self.measure(b));
        if short.0 != short.1 || a.value() == b.value() {
            return short;
        }
        (3..=9)
            .map(|places| (fine(a, places), fine(b, places)))
            .find(|(a, b)| a != b)
            .unwrap_or(short)
    }

    /// [`Self::pair`] of lengths.
    pub fn lengths(&self, a: f64, b: f64) -> (String, String) {
        self.pair(Measure::Length(a), Measure::Length(b))
    }
}

fn fine(measure: Measure, places: usize) -> String {
    match measure {
        Measure::Length(mm) => format!("{mm:.places$} mm"),
        Measure::Angle(radians) => degrees(radians, places),
    }
}

/// Degrees without trailing zeros; whole and half degrees as elsewhere in the program.
fn degrees(radians: f64, places: usize) -> String {
    let degrees = radians.to_degrees();
    if (degrees * 2.0 - (degrees * 2.0).round()).abs() < 1e-6 {
        return angle_text(Angle::from_radians(radians));
    }
    format!("{} deg", units::short(degrees, places))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn says_a_fault_once_for_a_place() {
        let mut report = Report::new(Unit::Mm, false);
        let place = Place::of_file("newt.yaml");
        for _ in 0..3 {
            report.error("a", &place, "x", "", "");
            report.advice("b", &place, "x", "", "");
        }
        assert_eq!((report.found.len(), report.found.error_count()), (2, 1));
        let mut bench = Report::new(Unit::Mm, true);
        bench.advice("b", &place, "x", "", "");
        assert!(bench.found.is_empty());
    }

    #[test]
    fn numbers_in_conflict_look_different() {
        let report = Report::new(Unit::Mm, false);
        assert_eq!(
            report.lengths(16.0, 16.5),
            ("16 mm".into(), "16.5 mm".into())
        );
        assert_eq!(
            report.lengths(16.0, 16.0004),
            ("16.0000 mm".into(), "16.0004 mm".into())
        );
        let angle = |deg: f64| Measure::Angle(deg.to_radians());
        assert_eq!(report.pair(angle(25.0), angle(22.34)).1, "22.3 deg");
        assert_ne!(
            report.pair(angle(25.01), angle(25.02)).0,
            report.pair(angle(25.01), angle(25.02)).1
        );
    }
}
