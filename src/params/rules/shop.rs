//! Cutters and stock of a shop.

use std::collections::BTreeMap;

use super::check_species;
use crate::diagnostic::Place;
use crate::params::reader::Reader;
use crate::params::value::{CutterKind, Job, Name};
use crate::params::written::{Cutter, Located, Shop};
use crate::units::Length;

pub(super) fn check(shop: &Shop, reader: &mut Reader) {
    let cutters = &shop.cutters.value;
    unique(cutters.iter().map(|cutter| &cutter.value.name), reader);
    unique(
        shop.stock.value.iter().map(|stock| &stock.value.name),
        reader,
    );
    let stations = shop.stations.iter().flat_map(|s| &s.value);
    unique(stations.map(|station| &station.value.name), reader);
    check_offsets(shop, reader);
    check_finish(shop, reader);
    for cutter in cutters {
        check_cutter(&cutter.value, reader);
    }
    for stock in &shop.stock.value {
        check_species(stock.value.species.as_ref(), reader);
    }
}

/// The outer form needs a cutter. A cutter or job that could not be read may have been it.
fn check_finish(shop: &Shop, reader: &mut Reader) {
    let cutters = &shop.cutters.value;
    let jobs = |cutter: &Located<Cutter>| {
        cutter
            .value
            .jobs
            .value
            .iter()
            .any(|job| job.value == Job::Finish)
    };
    let unread = reader
        .found
        .iter()
        .map(|message| message.place.path.as_str())
        .any(|path| {
            path.starts_with("cutters[") && (path.ends_with(']') || path.contains(".jobs"))
        });
    if !cutters.is_empty() && !cutters.iter().any(jobs) && !unread {
        reader.error(
            &shop.cutters.place,
            "no cutter with the job `finish`",
            "at least one",
            "add `finish` to the `jobs` of the cutter that makes the outer form",
        );
    }
}

/// Each work offset holds one place.
fn check_offsets(shop: &Shop, reader: &mut Reader) {
    let stations = shop.stations.iter().flat_map(|s| &s.value);
    let mut seen: BTreeMap<&str, Place> = BTreeMap::new();
    for station in stations {
        let offset = &station.value.offset;
        if !offset.place.is_known() {
            continue;
        }
        let word = offset.value.word();
        match seen.get(word) {
            Some(first) => reader.error(
                &offset.place,
                format!(
                    "the work offset {word} a second time (first at line {}, column {})",
                    first.line, first.column
                ),
                "each work offset for one station",
                "take another one, G54 to G59.3",
            ),
            None => drop(seen.insert(word, offset.place.clone())),
        }
    }
}

/// Names once each, whatever the letter case.
fn unique<'a>(names: impl Iterator<Item = &'a Located<Name>>, reader: &mut Reader) {
    let mut seen: BTreeMap<String, Place> = BTreeMap::new();
    for name in names.filter(|name| name.place.is_known()) {
        if let Some(first) = seen.get(&name.value.folded()) {
            reader.error(
                &name.place,
                format!(
                    "the name `{}` a second time (first at line {}, column {})",
                    name.value.0, first.line, first.column
                ),
                "each name once, upper and lower case alike",
                "choose another name",
            );
        } else {
            seen.insert(name.value.folded(), name.place.clone());
        }
    }
}

fn check_cutter(cutter: &Cutter, reader: &mut Reader) {
    for (i, job) in cutter.jobs.value.iter().enumerate() {
        if cutter.jobs.value[..i]
            .iter()
            .any(|earlier| earlier.value == job.value)
        {
            reader.error(
                &job.place,
                format!("the job `{}` a second time", job.value.word()),
                "each job once",
                "remove one of them",
            );
        }
    }
    check_holder(cutter, reader);
    if !cutter.kind.place.is_known() {
        return;
    }
    let (needed, needed_is_there, other, other_place) = match cutter.kind.value {
        CutterKind::Flat => (
            "diameter",
            cutter.diameter.is_some(),
            "tip_diameter",
            cutter.tip_diameter.as_ref(),
        ),
        CutterKind::Ball => (
            "tip_diameter",
            cutter.tip_diameter.is_some(),
            "diameter",
            cutter.diameter.as_ref(),
        ),
    };
    let kind = cutter.kind.value.word();
    if let Some(other_value) = other_place {
        let way_out = match cutter.kind.value {
            CutterKind::Flat => "write `diameter`, or `kind: ball`",
            CutterKind::Ball => {
                "write `tip_diameter` for the ball at the tip and `shank` for the shank"
            }
        };
        reader.error(
            &other_value.place,
            format!("`{other}` of a {kind} cutter"),
            format!("`{needed}` for a {kind} cutter"),
            way_out,
        );
    } else if !needed_is_there && !reader.noted(&cutter.place, needed) {
        reader.error(
            &cutter.place,
            format!("a {kind} cutter without `{needed}`"),
            format!("`{needed}: ...`"),
            format!("add `{needed}`"),
        );
    }
}

/// A holder is known by its width and its height over the tip; the edges end below it.
fn check_holder(cutter: &Cutter, reader: &mut Reader) {
    let alone = |written: &Located<Length>, key: &str, other: &str, reader: &mut Reader| {
        if !reader.noted(&written.place, other) {
            reader.error(
                &written.place,
                format!("`{key}` without `{other}`"),
                "both or neither",
                format!("add `{other}`"),
            );
        }
    };
    match (&cutter.holder, &cutter.stick_out) {
        (Some(holder), None) => alone(holder, "holder", "stick_out", reader),
        (None, Some(stick_out)) => alone(stick_out, "stick_out", "holder", reader),
        _ => (),
    }
    let edges = cutter.cutting_length.as_ref().map(|l| l.value.mm());
    if let (Some(edges), Some(out)) = (edges, &cutter.stick_out)
        && out.value.mm() < edges
    {
        reader.error(
            &out.place,
            format!("{} mm from the tip to the holder", out.value.mm()),
            format!("at least the {edges} mm of its `cutting_length`"),
            "measure from the tip to the holder, or correct `cutting_length`",
        );
    }
}
