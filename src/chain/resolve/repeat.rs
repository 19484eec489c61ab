//! Sizes of repeated sections. The i-th of N does not depend on sections behind it, except
//! where `taper: {to: ...}` or `steps` says how large the last one is.

use crate::params::value::SectionTaper;
use crate::params::written::Section;

/// Scales of the sections made from an entry, from front to rear.
///
/// `taper: q` gives q^i; `taper: {to: t}` equal steps from 1 to t. `steps: K` keeps the first
/// and the last size and cuts the row into K runs (as equal as they come) of K sizes: a
/// geometric row for a factor, an arithmetic one for `to`.
pub(super) fn scales(section: &Section) -> Vec<f64> {
    let count = section.repeat.as_ref().map_or(1, |r| r.value.max(1));
    let groups = section
        .steps
        .as_ref()
        .map_or(count, |s| s.value.clamp(1, count));
    let taper = section
        .taper
        .as_ref()
        .map_or(SectionTaper::Factor(1.0), |t| t.value);
    (0..count).map(|i| scale(taper, count, groups, i)).collect()
}

/// Scale of section `i` of `count` in `groups` sizes.
fn scale(taper: SectionTaper, count: u32, groups: u32, i: u32) -> f64 {
    // u64: a count of sections times an index. A group is below 2^32, so it converts exactly.
    let group = u64::from(i) * u64::from(groups) / u64::from(count);
    let along = if groups > 1 {
        group as f64 / f64::from(groups - 1)
    } else {
        0.0
    };
    match taper {
        SectionTaper::Factor(q) if groups == count => q.powi(i32::try_from(i).unwrap_or(i32::MAX)),
        SectionTaper::Factor(q) => q.powf(along * f64::from(count - 1)),
        SectionTaper::To(t) => 1.0 + (t - 1.0) * along,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_of_sizes() {
        let row = |taper, count, groups| -> Vec<f64> {
            (0..count).map(|i| scale(taper, count, groups, i)).collect()
        };
        assert_eq!(
            row(SectionTaper::Factor(0.5), 4, 4),
            [1.0, 0.5, 0.25, 0.125]
        );
        assert_eq!(row(SectionTaper::To(0.5), 3, 3), [1.0, 0.75, 0.5]);
        assert_eq!(
            row(SectionTaper::To(0.5), 6, 3),
            [1.0, 1.0, 0.75, 0.75, 0.5, 0.5]
        );
        assert_eq!(row(SectionTaper::To(0.5), 5, 2), [1.0, 1.0, 1.0, 0.5, 0.5]);
        assert_eq!(row(SectionTaper::To(0.5), 1, 1), [1.0]);
        assert_eq!(row(SectionTaper::Factor(1.0), 3, 3), [1.0; 3]);
        let stepped = row(SectionTaper::Factor(0.9), 10, 4);
        assert!((stepped[9] - 0.9f64.powi(9)).abs() < 1e-12);
        let mut sizes = stepped.clone();
        sizes.dedup();
        assert_eq!(sizes.len(), 4);
    }
}
