//! The word that says which halves of a section carry a feature.

use super::report::Report;
use crate::chain::form::{Side, Split};
use crate::params::Located;
use crate::params::value::HalfSide;

/// The word as written, or not.
pub(super) struct Word<'a> {
    /// Its key.
    pub key: &'a str,
    pub written: Option<&'a Located<HalfSide>>,
    /// What is meant when it is left out.
    pub plain: Vec<Side>,
}

/// The halves that are meant; an error when the word belongs to the other pose.
pub(super) fn halves(word: Word<'_>, split: Split, name: &str, report: &mut Report) -> Vec<Side> {
    let Some(halves) = word.written else {
        return word.plain;
    };
    match (halves.value, split) {
        (HalfSide::Both, _) => vec![Side::Upper, Side::Lower],
        (HalfSide::Upper, Split::Level) | (HalfSide::Left, Split::Upright) => vec![Side::Upper],
        (HalfSide::Lower, Split::Level) | (HalfSide::Right, Split::Upright) => vec![Side::Lower],
        (side, split) => {
            let (pose, allowed) = match split {
                Split::Level => ("level", "`upper`, `lower` or `both`"),
                Split::Upright => ("upright", "`left`, `right` or `both`"),
            };
            let found = format!("`{}` in `{name}`, whose split is {pose}", side.word());
            report.error(
                word.key,
                &halves.place,
                found,
                allowed,
                "write one of these",
            );
            Vec::new()
        }
    }
}
