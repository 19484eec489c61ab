//! From the entries of a file to single sections: `like`, `repeat`, names, scale.

use std::collections::BTreeMap;

use super::keys::{Keys, Origin};
use super::repeat;
use super::report::Report;
use crate::diagnostic::Place;
use crate::params::{Design, Located, Section};

/// Sections of a creature at most. A thousand is a bench; beyond this a file is a mistake or
/// hostile.
pub const MOST_SECTIONS: usize = 2000;

/// One section of the chain, still in written keys.
#[derive(Debug, Clone)]
pub(super) struct Part<'a> {
    /// Index of the entry in `sections`.
    pub entry: usize,
    /// Whether the entry is repeated.
    pub repeated: bool,
    /// Unique name.
    pub name: String,
    /// Scale of length and outline.
    pub scale: f64,
    /// The keys.
    pub keys: Keys<'a>,
    /// Where the entry stands.
    pub place: &'a Place,
}

/// All sections from front to rear. `None` when their names or number can't be told.
pub(super) fn expand<'a>(design: &'a Design, report: &mut Report) -> Option<Vec<Part<'a>>> {
    let entries = &design.sections.value;
    if !countable(design, report) {
        return None;
    }
    check_defaults(design, report);
    let defaults = design.defaults.as_ref().map_or(Keys::NONE, |d| Keys::of(&d.value, Origin::Defaults));
    let by_name = names_of_entries(entries);
    let mut parts = Vec::new();
    for (entry, section) in entries.iter().enumerate() {
        let keys = like_chain(entries, entry, &by_name, report).or(defaults);
        let own = keys.scale.map_or(1.0, |k| k.written.value.0);
        let name = entry_name(section, report);
        let scales = repeat::scales(&section.value, report);
        for (i, scale) in scales.iter().enumerate() {
            let repeated = section.value.repeat.is_some();
            parts.push(Part {
                entry,
                repeated,
                name: if repeated { format!("{name}-{}", i + 1) } else { name.clone() },
                scale: own * scale,
                keys,
                place: &section.place,
            });
        }
    }
    unique(&parts, report);
    Some(parts)
}

fn countable(design: &Design, report: &mut Report) -> bool {
    let sections = &design.sections;
    let repeats = |s: &Located<Section>| s.value.repeat.as_ref().map_or(1, |r| u64::from(r.value));
    let count: u64 = sections.value.iter().map(repeats).fold(0, u64::saturating_add);
    if count == 0 || count > MOST_SECTIONS as u64 {
        report.error(
            "count",
            &sections.place,
            format!("{count} sections"),
            format!("1 to {MOST_SECTIONS} sections, those of `repeat` counted"),
            "write fewer, or several creatures",
        );
        return false;
    }
    true
}

/// `defaults` describe a shape; what makes an entry has no place there.
fn check_defaults(design: &Design, report: &mut Report) {
    let Some(defaults) = design.defaults.as_ref().map(|d| &d.value) else {
        return;
    };
    let places = [
        ("like", defaults.like.as_ref().map(|k| &k.place)),
        ("repeat", defaults.repeat.as_ref().map(|k| &k.place)),
        ("taper", defaults.taper.as_ref().map(|k| &k.place)),
        ("steps", defaults.steps.as_ref().map(|k| &k.place)),
        ("name", defaults.name.as_ref().map(|k| &k.place)),
    ];
    for (key, place) in places {
        if let Some(place) = place {
            report.error(
                key,
                place,
                format!("`{key}` in `defaults`"),
                "keys of a section's shape",
                "write it at a section",
            );
        }
    }
}

fn names_of_entries(entries: &[Located<Section>]) -> BTreeMap<String, usize> {
    let mut by_name = BTreeMap::new();
    for (i, entry) in entries.iter().enumerate() {
        if let Some(name) = &entry.value.name {
            by_name.entry(fold(&name.value.0)).or_insert(i);
        }
    }
    by_name
}

/// A name whatever its letter case.
pub(super) fn fold(name: &str) -> String {
    name.to_lowercase()
}

fn entry_name(section: &Located<Section>, report: &mut Report) -> String {
    if let Some(name) = &section.value.name {
        return name.value.0.clone();
    }
    report.error("name", &section.place, "a section without name", "a unique name", "write `name: ...`");
    section.place.path.clone()
}

/// Own keys, then those of the section it is like, and so on.
fn like_chain<'a>(
    entries: &'a [Located<Section>],
    start: usize,
    by_name: &BTreeMap<String, usize>,
    report: &mut Report,
) -> Keys<'a> {
    let mut keys = Keys::of(&entries[start].value, Origin::Own);
    let mut passed = vec![start];
    let mut at = start;
    while let Some(like) = &entries[at].value.like {
        let Some(&next) = by_name.get(&fold(&like.value.0)) else {
            unknown_like(like, by_name, entries, report);
            break;
        };
        if passed.contains(&next) {
            // Said once, at the first entry of the circle.
            if next == start && passed.iter().all(|&p| p >= start) {
                circle(entries, &passed, report);
            }
            break;
        }
        keys = keys.or(Keys::of(&entries[next].value, Origin::Like));
        passed.push(next);
        at = next;
    }
    keys
}

fn unknown_like(
    like: &Located<crate::params::Name>,
    by_name: &BTreeMap<String, usize>,
    entries: &[Located<Section>],
    report: &mut Report,
) {
    let wanted = fold(&like.value.0);
    let near = nearest(&wanted, by_name.keys().map(String::as_str))
        .and_then(|name| by_name.get(name))
        .and_then(|&i| entries[i].value.name.as_ref());
    let way_out = near.map_or_else(
        || "name a section of this file".to_owned(),
        |name| format!("did you mean `{}`?", name.value.0),
    );
    report.error(
        "like",
        &like.place,
        format!("no section named `{}`", like.value.0),
        "the name of another entry (without the number of a repeat)",
        way_out,
    );
}

/// The nearest of some names, if near enough to be meant.
pub(super) fn nearest<'n>(wanted: &str, names: impl Iterator<Item = &'n str>) -> Option<&'n str> {
    names
        .map(|name| (strsim::damerau_levenshtein(wanted, name), name))
        .filter(|(distance, name)| *distance <= (name.chars().count() / 3).max(1))
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name)
}

fn circle(entries: &[Located<Section>], passed: &[usize], report: &mut Report) {
    let name = |&i: &usize| entries[i].value.name.as_ref().map_or("", |n| n.value.0.as_str());
    let mut names: Vec<&str> = passed.iter().map(name).collect();
    names.extend(passed.first().map(name));
    let place = entries[passed[0]].value.like.as_ref().map_or(&entries[passed[0]].place, |l| &l.place);
    report.error(
        "circle",
        place,
        format!("a circle: {}", names.join(" like ")),
        "`like` that ends at a section with keys of its own",
        "write the keys at one of them and remove its `like`",
    );
}

fn unique(parts: &[Part<'_>], report: &mut Report) {
    let mut first: BTreeMap<String, &Part<'_>> = BTreeMap::new();
    for part in parts {
        if let Some(earlier) = first.get(&fold(&part.name)) {
            report.error(
                "unique",
                part.place,
                format!("the name `{}` a second time (first at {})", part.name, earlier.place),
                "unique names, whatever the letter case, those of `repeat` (NAME-1, NAME-2, ...) included",
                "choose another name",
            );
        } else {
            first.insert(fold(&part.name), part);
        }
    }
}
