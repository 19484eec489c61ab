//! `like` names another section, and following it comes to an end.

use std::collections::BTreeMap;

use crate::params::near::did_you_mean;
use crate::params::reader::Reader;
use crate::params::value::Name;
use crate::params::written::{Design, Located};

/// Entries by their folded name; the first wins where a name is repeated.
pub(super) fn by_name(design: &Design) -> BTreeMap<String, usize> {
    let mut names = BTreeMap::new();
    for (index, section) in design.sections.value.iter().enumerate() {
        if let Some(name) = &section.value.name {
            names.entry(name.value.folded()).or_insert(index);
        }
    }
    names
}

/// Whether a section has a name that could not be read: another key may mean just that one.
pub(super) fn unreadable_name(design: &Design, reader: &Reader) -> bool {
    let mut sections = design.sections.value.iter().map(|section| &section.value);
    sections.any(|section| section.name.is_none() && reader.noted(&section.place, "name"))
}

/// For each entry the one that its `like` names.
pub(super) fn targets(design: &Design) -> Vec<Option<usize>> {
    let names = by_name(design);
    let target = |like: &Located<Name>| names.get(&like.value.folded()).copied();
    let sections = design.sections.value.iter();
    sections
        .map(|section| section.value.like.as_ref().and_then(target))
        .collect()
}

pub(super) fn check(design: &Design, reader: &mut Reader) {
    let sections = &design.sections.value;
    let names = by_name(design);
    let targets = targets(design);
    let all_named = !unreadable_name(design, reader);
    for (section, target) in sections.iter().zip(&targets) {
        let Some(like) = &section.value.like else {
            continue;
        };
        if target.is_none() && all_named {
            let known = names.keys().map(String::as_str);
            reader.error(
                &like.place,
                format!("no section named `{}`", like.value.0),
                "the name of another section",
                did_you_mean(&like.value.folded(), known, "write the name of a section"),
            );
        }
    }
    cycles(design, &targets, reader);
}

/// Reports each cycle once, at its first section.
fn cycles(design: &Design, targets: &[Option<usize>], reader: &mut Reader) {
    // 0: not seen; otherwise the number of the walk that came by.
    let mut walk_of = vec![0_usize; targets.len()];
    for start in 0..targets.len() {
        let walk = start + 1;
        let mut here = Some(start);
        while let Some(index) = here {
            if walk_of[index] == walk {
                report_cycle(design, targets, index, reader);
                break;
            }
            if walk_of[index] != 0 {
                break;
            }
            walk_of[index] = walk;
            here = targets[index];
        }
    }
}

fn report_cycle(design: &Design, targets: &[Option<usize>], start: usize, reader: &mut Reader) {
    let sections = &design.sections.value;
    let name = |index: usize| {
        sections[index]
            .value
            .name
            .as_ref()
            .map_or("", |name| &name.value.0)
    };
    let Some(like) = &sections[start].value.like else {
        return;
    };
    // A long circle is shown by its first members.
    let next = |index: &usize| targets[*index];
    let members: Vec<&str> = std::iter::successors(Some(start), next)
        .take(7)
        .map(name)
        .collect();
    let end = members
        .iter()
        .skip(1)
        .position(|member| *member == name(start));
    let shown = end.map_or_else(
        || format!("{} ...", members.join(" like ")),
        |end| members[..=end + 1].join(" like "),
    );
    reader.error(
        &like.place,
        format!("a circle: {shown}"),
        "a `like` that comes to an end",
        "give one of them its own keys",
    );
}
