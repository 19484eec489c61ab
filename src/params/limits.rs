//! Ranges of written values.

use std::ops::RangeInclusive;

/// The range of a number, both ends included: millimetres for a length, degrees for an angle,
/// the number itself otherwise (0.5 for 50 %). For a list it is the number of entries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Limits {
    pub least: f64,
    pub most: f64,
}

impl Limits {
    /// No limit.
    pub const ANY: Self = Self {
        least: f64::NEG_INFINITY,
        most: f64::INFINITY,
    };

    /// Whether a number lies in the range; NaN never does.
    pub fn contain(self, value: f64) -> bool {
        value >= self.least && value <= self.most
    }

    /// Whether there is a range at all.
    pub fn bind(self) -> bool {
        self != Self::ANY
    }

    /// The most entries of a list.
    pub fn most_entries(self) -> usize {
        // A saturating conversion: infinity becomes the largest number.
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
        let most = self.most as usize;
        most
    }

    /// The range in words, each end by the given text.
    pub fn text(self, end: impl Fn(f64) -> String) -> String {
        format!("{} to {}", end(self.least), end(self.most))
    }
}

impl From<RangeInclusive<f64>> for Limits {
    fn from(range: RangeInclusive<f64>) -> Self {
        Self {
            least: *range.start(),
            most: *range.end(),
        }
    }
}
