//! A flat ends behind the place where it begins.

use crate::params::reader::Reader;
use crate::params::value::Along;
use crate::params::written::{Design, Flat};

use super::outline::words;

pub(super) fn check(design: &Design, reader: &mut Reader) {
    let defaults = design.defaults.as_ref().map(|defaults| &defaults.value);
    let sections = design.sections.value.iter().map(|section| &section.value);
    for section in defaults.into_iter().chain(sections) {
        for flat in section.flats.iter().flat_map(|flats| &flats.value) {
            check_run(&flat.value, reader);
        }
    }
}

/// Places of one kind; a percentage and a length are compared when the section's length is known.
fn check_run(flat: &Flat, reader: &mut Reader) {
    if !flat.from.place.is_known() || !flat.to.place.is_known() {
        return;
    }
    let runs = match (flat.from.value, flat.to.value) {
        (Along::Fraction(from), Along::Fraction(to)) => to > from,
        (Along::Length(from), Along::Length(to)) => to.mm() > from.mm(),
        _ => true,
    };
    if !runs {
        reader.error(
            &flat.to.place,
            format!(
                "a flat from {} to {}",
                words(flat.from.value),
                words(flat.to.value)
            ),
            "a `to` behind `from`",
            "exchange the two, or make `to` larger",
        );
    }
}
