//! `repeat`, `taper`, `steps` and the keys that `defaults` can't have.

use super::names::count;
use crate::diagnostic::Place;
use crate::params::reader::Reader;
use crate::params::written::{Design, Section};

pub(super) fn check(design: &Design, reader: &mut Reader) {
    for section in &design.sections.value {
        check_section(&section.value, reader);
    }
    if let Some(defaults) = &design.defaults {
        check_defaults(&defaults.value, reader);
    }
}

fn check_section(section: &Section, reader: &mut Reader) {
    let repeats = count(section);
    let once = repeats < 2 && !reader.noted(&section.place, "repeat");
    if let Some(taper) = &section.taper
        && once
    {
        reader.error(
            &taper.place,
            "a `taper` of a single section",
            "a `taper` beside a `repeat` of 2 or more",
            "add `repeat`, or use `scale` for one section",
        );
    }
    let Some(steps) = &section.steps else { return };
    if section.taper.is_none() && !reader.noted(&section.place, "taper") {
        reader.error(
            &steps.place,
            "`steps` without a `taper`",
            "`steps` beside a `taper`",
            "add `taper`, or remove `steps`",
        );
    } else if !once && repeats > 1 && steps.value > repeats {
        reader.error(
            &steps.place,
            format!("{} steps for {repeats} sections", steps.value),
            format!("at most {repeats}"),
            "lower `steps` or raise `repeat`",
        );
    }
}

/// Keys that name or multiply a section make no sense as a default.
fn check_defaults(defaults: &Section, reader: &mut Reader) {
    let keys: [(&str, Option<&Place>); 5] = [
        ("name", defaults.name.as_ref().map(|v| &v.place)),
        ("like", defaults.like.as_ref().map(|v| &v.place)),
        ("repeat", defaults.repeat.as_ref().map(|v| &v.place)),
        ("taper", defaults.taper.as_ref().map(|v| &v.place)),
        ("steps", defaults.steps.as_ref().map(|v| &v.place)),
    ];
    for (key, place) in keys {
        if let Some(place) = place {
            reader.error(
                place,
                format!("`{key}` in `defaults`"),
                format!("`{key}` in a section only"),
                "move it into a section",
            );
        }
    }
}
