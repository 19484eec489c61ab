//! Each entry of `joints` names the section in front of a joint, once.

use std::collections::BTreeMap;

use super::likes;
use super::names::count;
use crate::diagnostic::Place;
use crate::params::near::did_you_mean;
use crate::params::reader::Reader;
use crate::params::value::Name;
use crate::params::written::{Design, Joint, Located};

pub(super) fn check(design: &Design, reader: &mut Reader) {
    if let Some(general) = &design.joint {
        check_feel(&general.value, reader);
    }
    let Some(joints) = &design.joints else { return };
    let names = likes::by_name(design);
    let mut seen: BTreeMap<String, Place> = BTreeMap::new();
    for joint in &joints.value {
        check_feel(&joint.value.joint, reader);
        let after = &joint.value.after;
        if !after.place.is_known() {
            continue;
        }
        let folded = after.value.folded();
        if let Some(first) = seen.get(&folded) {
            reader.error(
                &after.place,
                format!(
                    "the joint after `{}` a second time (first at {})",
                    after.value.0,
                    first.seen_from(&after.place)
                ),
                "each joint once",
                "put the keys into one entry",
            );
            continue;
        }
        seen.insert(folded, after.place.clone());
        check_after(design, &names, after, reader);
    }
}

/// A feel solves the clearance, so one of the two is too many.
fn check_feel(joint: &Joint, reader: &mut Reader) {
    let clearance = joint.clearance.as_ref();
    let clearance = clearance.filter(|c| c.value.given().is_some());
    if let (Some(feel), Some(clearance)) = (&joint.feel, clearance) {
        reader.error(
            &feel.place,
            format!(
                "`feel: {}` and a clearance of its own ({})",
                feel.value.word(),
                clearance.place.seen_from(&feel.place)
            ),
            "one of them: the feel solves the clearance",
            "leave out `clearance`, or `feel`",
        );
    }
}

/// The section must exist, and another must follow it.
fn check_after(
    design: &Design,
    names: &BTreeMap<String, usize>,
    after: &Located<Name>,
    reader: &mut Reader,
) {
    let sections = &design.sections.value;
    let folded = after.value.folded();
    let allowed = "the name of a section that another one follows";
    if let Some(index) = names.get(&folded).copied() {
        let repeats = count(&sections[index].value);
        if sections[index].value.repeat.is_some() {
            reader.error(
                &after.place,
                format!("`{}`, a row of {repeats} sections", after.value.0),
                allowed,
                format!(
                    "write one of them: `{0}-1` to `{0}-{repeats}`",
                    after.value.0
                ),
            );
        } else if index + 1 == sections.len() {
            last(after, allowed, reader);
        }
        return;
    }
    let base = folded
        .rsplit_once('-')
        .and_then(|(base, number)| Some((*names.get(base)?, number)));
    // With an unreadable `repeat` the number may be right.
    if base.is_some_and(|(index, _)| reader.noted(&sections[index].value.place, "repeat")) {
        return;
    }
    let numbered = base.and_then(|(index, number)| {
        let number: u32 = number.parse().ok().filter(|n| *n > 0)?;
        let repeat = sections[index].value.repeat.as_ref()?;
        Some((index, number, repeat.value))
    });
    match numbered {
        Some((index, number, repeats)) if number == repeats && index + 1 == sections.len() => {
            last(after, allowed, reader)
        }
        Some((_, number, repeats)) if number <= repeats => {}
        Some((_, _, repeats)) => reader.error(
            &after.place,
            format!("`{}`, but only {repeats} are repeated", after.value.0),
            allowed,
            "write a smaller number",
        ),
        None if !likes::unreadable_name(design, reader) => {
            let known = names.keys().map(String::as_str);
            let way_out = did_you_mean(&folded, known, "write the name of a section");
            reader.error(
                &after.place,
                format!("no section named `{}`", after.value.0),
                allowed,
                way_out,
            );
        }
        None => {}
    }
}

fn last(after: &Located<Name>, allowed: &str, reader: &mut Reader) {
    reader.error(
        &after.place,
        format!("`{}`, the last section", after.value.0),
        allowed,
        "no joint follows it: remove the entry",
    );
}
