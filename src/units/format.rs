//! Quantities for people: millimetres to 0.01, inches in 64ths, angles to half a degree.

use super::angle::Angle;
use super::length::{Length, MM_PER_INCH, Unit};

/// A number with at most `places` decimals and no trailing zeros; never `-0`.
pub(crate) fn short(value: f64, places: usize) -> String {
    let text = format!("{value:.places$}");
    let text = if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.')
    } else {
        &text
    };
    if text == "-0" {
        "0".to_owned()
    } else {
        text.to_owned()
    }
}

/// Millimetres to 0.01: `19.05 mm`.
#[must_use]
pub fn mm_text(mm: f64) -> String {
    format!("{} mm", short(mm, 2))
}

/// Inches as the nearest 64th with the decimal beside it: `3/4 in (0.75)`.
#[must_use]
pub fn inch_text(mm: f64) -> String {
    let inches = mm / MM_PER_INCH;
    let sixty_fourths = (inches.abs() * 64.0).round();
    let sign = if inches < 0.0 && sixty_fourths > 0.0 {
        "-"
    } else {
        ""
    };
    let whole = (sixty_fourths / 64.0).floor();
    let (mut over, mut under) = (sixty_fourths - whole * 64.0, 64.0);
    while over > 0.0 && over % 2.0 == 0.0 {
        (over, under) = (over / 2.0, under / 2.0);
    }
    let fraction = match (whole > 0.0, over > 0.0) {
        (_, false) => format!("{whole}"),
        (false, true) => format!("{over}/{under}"),
        (true, true) => format!("{whole}-{over}/{under}"),
    };
    // Clearances and what is left of them are less than a 64th.
    let places = if sixty_fourths > 0.0 { 3 } else { 4 };
    format!("{sign}{fraction} in ({})", short(inches, places))
}

/// A length in the unit of a file.
#[must_use]
pub fn length_text(length: Length, unit: Unit) -> String {
    match unit {
        Unit::Mm => mm_text(length.mm()),
        Unit::Inch => inch_text(length.mm()),
    }
}

/// An angle to half a degree: `25.5 deg`.
#[must_use]
pub fn angle_text(angle: Angle) -> String {
    format!("{} deg", short((angle.degrees() * 2.0).round() / 2.0, 1))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn prints_for_people() {
        // Derived by hand from 25.4 mm to the inch.
        for (mm, metric, inch) in [
            (19.05, "19.05 mm", "3/4 in (0.75)"),
            (38.1, "38.1 mm", "1-1/2 in (1.5)"),
            (25.4, "25.4 mm", "1 in (1)"),
            (20.0, "20 mm", "25/32 in (0.787)"),
            (0.4, "0.4 mm", "1/64 in (0.016)"),
            (0.0, "0 mm", "0 in (0)"),
            (0.12, "0.12 mm", "0 in (0.0047)"),
            (-0.001, "0 mm", "0 in (0)"),
            (-19.05, "-19.05 mm", "-3/4 in (-0.75)"),
            (50.799, "50.8 mm", "2 in (2)"),
        ] {
            assert_eq!(mm_text(mm), metric);
            assert_eq!(inch_text(mm), inch);
        }
        assert_eq!(angle_text(Angle::from_degrees(25.2)), "25 deg");
        assert_eq!(angle_text(Angle::from_degrees(3.5)), "3.5 deg");
    }

    proptest! {
        /// The printed fraction is never further than 1/128 in from the length.
        #[test]
        fn fraction_is_the_nearest_64th(mm in 0.0..2000.0f64) {
            let text = inch_text(mm);
            let fraction = text.split(" (").next().unwrap();
            let read = Length::parse(fraction, None).unwrap();
            prop_assert!((read.mm() - mm).abs() <= MM_PER_INCH / 128.0 + 1e-9, "{text}");
        }
    }
}
