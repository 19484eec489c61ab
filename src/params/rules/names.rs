//! Every section has a name of its own, whatever the letter case, the names made by `repeat`
//! included.

use std::collections::BTreeMap;

use crate::diagnostic::Place;
use crate::params::reader::Reader;
use crate::params::written::{Design, Section};

/// Sections of a creature at most, repeated ones counted.
pub(super) const MOST_SECTIONS: u32 = 1000;

/// Number of sections that an entry makes.
pub(super) fn count(section: &Section) -> u32 {
    section.repeat.as_ref().map_or(1, |repeat| repeat.value)
}

pub(super) fn check(design: &Design, reader: &mut Reader) {
    let sections = &design.sections.value;
    // Each count is at most 1,000 and so are the entries: no overflow.
    let total: u32 = sections.iter().map(|section| count(&section.value)).sum();
    if total > MOST_SECTIONS {
        reader.error(
            &design.sections.place,
            format!("{total} sections, repeated ones counted"),
            format!("at most {MOST_SECTIONS}"),
            "lower the `repeat` counts",
        );
        return;
    }
    let mut seen: BTreeMap<String, Place> = BTreeMap::new();
    for section in sections {
        let section = &section.value;
        let Some(name) = &section.name else {
            if !reader.noted(&section.place, "name") {
                reader.error(
                    &section.place,
                    "a section without `name`",
                    "`name: ...`",
                    "add a name",
                );
            }
            continue;
        };
        let base = name.value.folded();
        // One message an entry, however many of its names clash.
        let clash = made(&base, section)
            .into_iter()
            .find_map(|made| seen.get(&made).map(|first| (made, first.clone())));
        if let Some((made, first)) = clash {
            // As written; only the number of a repeated one is added.
            let made = format!("{}{}", name.value.0, &made[base.len()..]);
            reader.error(
                &name.place,
                format!(
                    "the name `{made}` a second time (first at {})",
                    first.seen_from(&name.place)
                ),
                "each name once, upper and lower case alike",
                "choose another name",
            );
            continue;
        }
        seen.insert(base.clone(), name.place.clone());
        for made in made(&base, section) {
            seen.insert(made, name.place.clone());
        }
    }
}

/// The names that an entry makes, and its own.
fn made(base: &str, section: &Section) -> Vec<String> {
    let own = std::iter::once(base.to_owned());
    match &section.repeat {
        Some(repeat) => own
            .chain((1..=repeat.value).map(|n| format!("{base}-{n}")))
            .collect(),
        None => own.collect(),
    }
}
