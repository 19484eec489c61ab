//! Values as a person would write them, in the unit of the file.

use crate::units::{Length, MM_PER_INCH, Unit, inch_text, mm_text};

/// Steps to which values are rounded: coarse for lengths, plain for outlines, fine for what must fit
/// (by eye: what a ruler, and what calipers show).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ruler {
    /// Unit of the file.
    pub unit: Unit,
}

/// A step of the ruler.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// 1 mm or 1/16 in.
    Coarse,
    /// 0.5 mm or 1/32 in.
    Plain,
    /// 0.1 mm or 1/64 in.
    Fine,
}

/// Lengths nearer than this are one, mm.
const SAME: f64 = 1e-6;
/// What rounding may lose, in steps.
const NOISE: f64 = 1e-9;

impl Ruler {
    fn step(self, step: Step) -> f64 {
        match (self.unit, step) {
            (Unit::Mm, Step::Coarse) => 1.0,
            (Unit::Mm, Step::Plain) => 0.5,
            (Unit::Mm, Step::Fine) => 0.1,
            (Unit::Inch, Step::Coarse) => MM_PER_INCH / 16.0,
            (Unit::Inch, Step::Plain) => MM_PER_INCH / 32.0,
            (Unit::Inch, Step::Fine) => MM_PER_INCH / 64.0,
        }
    }

    /// The nearest step, mm.
    #[must_use]
    pub fn near(self, mm: f64, step: Step) -> f64 {
        let step = self.step(step);
        (mm / step).round() * step
    }

    /// The step at or under a length, mm.
    #[must_use]
    pub fn down(self, mm: f64, step: Step) -> f64 {
        let step = self.step(step);
        (mm / step + NOISE).floor() * step
    }

    /// The step at or over a length, mm.
    #[must_use]
    pub fn up(self, mm: f64, step: Step) -> f64 {
        let step = self.step(step);
        (mm / step - NOISE).ceil() * step
    }

    /// As a file writes it: `12.5`, or `31/64 in`.
    #[must_use]
    pub fn text(self, mm: f64) -> String {
        match self.unit {
            Unit::Mm => mm_text(mm).trim_end_matches(" mm").to_owned(),
            Unit::Inch => before_bracket(&inch_text(mm)),
        }
    }

    /// As a file writes it without rounding: where it is no 64th of an inch as a decimal of an inch, or
    /// in millimetres.
    #[must_use]
    pub fn exact(self, mm: f64) -> String {
        let rounded = |number: f64, places: i32| {
            let steps = 10f64.powi(places);
            (number * steps).round() / steps
        };
        let text = match self.unit {
            Unit::Mm => return format!("{}", rounded(mm, 6)),
            Unit::Inch => self.text(mm),
        };
        let decimal = format!("{} in", rounded(mm / MM_PER_INCH, 4));
        let same =
            |text: &str| Length::parse(text, None).is_ok_and(|read| (read.mm() - mm).abs() < SAME);
        [text, decimal]
            .into_iter()
            .find(|text| same(text))
            .unwrap_or_else(|| format!("{} mm", rounded(mm, 6)))
    }

    /// As [`Ruler::exact`], always with its unit: as it can be typed anywhere.
    #[must_use]
    pub fn typed(self, mm: f64) -> String {
        match self.unit {
            Unit::Mm => format!("{} mm", self.exact(mm)),
            Unit::Inch => self.exact(mm),
        }
    }

    /// Rounded, with its unit, for a sentence.
    #[must_use]
    pub fn words(self, mm: f64) -> String {
        match self.unit {
            Unit::Mm => mm_text(mm),
            Unit::Inch => before_bracket(&inch_text(mm)),
        }
    }
}

/// `3/4 in` of `3/4 in (0.75)`.
fn before_bracket(text: &str) -> String {
    text.split(" (").next().unwrap_or(text).to_owned()
}
