//! Numbers as they stand in drawings.

use crate::units::short;

/// Decimals of lengths, mm: below what any machine sets.
const LENGTH_PLACES: usize = 4;
/// Decimals of bulges, which are ratios: a bulge multiplies half the chord, so four decimals would
/// move a long arc by more than the fourth decimal of a mm.
const RATIO_PLACES: usize = 9;

/// A length with at most four decimals, no trailing zeros, never `-0`.
pub(super) fn length(mm: f64) -> String {
    short(mm, LENGTH_PLACES)
}

/// A ratio with at most nine decimals.
pub(super) fn ratio(value: f64) -> String {
    short(value, RATIO_PLACES)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lengths_have_at_most_four_decimals_and_no_minus_zero() {
        for (value, text) in [
            (0.0, "0"),
            (-0.0, "0"),
            (-0.00004, "0"),
            (-0.00006, "-0.0001"),
            (100.0, "100"),
            (1.25, "1.25"),
            (-12.34567, "-12.3457"),
        ] {
            assert_eq!(length(value), text);
        }
        assert_eq!(ratio(0.414_213_562_373_095), "0.414213562");
    }
}
