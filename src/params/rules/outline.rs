//! An outline runs from 0 to 100 %, each point beyond the one before, each with its heights.

use super::likes;
use crate::diagnostic::Place;
use crate::params::reader::Reader;
use crate::params::value::Along;
use crate::params::written::{Design, Located, Point};

/// How far the last point may lie off the end, as a fraction of the length: rounding noise of
/// a length written in another unit.
const END_NOISE: f64 = 1e-6;

pub(super) fn check(design: &Design, reader: &mut Reader) {
    let targets = likes::targets(design);
    let defaults = design.defaults.as_ref().map(|defaults| &defaults.value);
    let sections = design.sections.value.iter().map(|section| &section.value);
    let entries = sections
        .enumerate()
        .map(|(index, section)| (Some(index), section));
    let all = defaults
        .map(|defaults| (None, defaults))
        .into_iter()
        .chain(entries);
    for (index, section) in all {
        let Some(outline) = &section.outline else {
            continue;
        };
        let length = length_of(index, design, &targets);
        check_order(&outline.value, length, reader);
        for point in &outline.value {
            check_heights(&point.value, reader);
        }
    }
}

/// The length of a section in mm as far as it is written: its own, that of the section it is
/// like, or the default. Without index, that of the defaults.
fn length_of(index: Option<usize>, design: &Design, targets: &[Option<usize>]) -> Option<f64> {
    let sections = &design.sections.value;
    let next = |index: &usize| targets[*index];
    // A chain of `like` without a circle is no longer than the list.
    let written = std::iter::successors(index, next)
        .take(sections.len())
        .find_map(|index| sections[index].value.length.as_ref());
    let default = design
        .defaults
        .as_ref()
        .and_then(|defaults| defaults.value.length.as_ref());
    written.or(default).map(|length| length.value.mm())
}

/// A place along the body as a fraction, if the length is known where it is needed.
fn fraction(at: Along, length: Option<f64>) -> Option<f64> {
    match at {
        Along::Fraction(fraction) => Some(fraction),
        Along::Length(at) if at.mm() == 0.0 => Some(0.0),
        Along::Length(at) => length.map(|length| at.mm() / length),
    }
}

fn check_order(points: &[Located<Point>], length: Option<f64>, reader: &mut Reader) {
    // A point whose `at` could not be read has been noted.
    let ats: Vec<&Located<Along>> = points
        .iter()
        .map(|p| &p.value.at)
        .filter(|at| at.place.is_known())
        .collect();
    if let Some(first) = points
        .first()
        .map(|p| &p.value.at)
        .filter(|at| at.place.is_known())
        && fraction(first.value, length).is_some_and(|f| f != 0.0)
    {
        reader.error(
            &first.place,
            "a first point that is not at the front",
            "`at: 0%` for the first point",
            "add a point at 0%",
        );
    }
    if let Some(last) = points
        .last()
        .map(|p| &p.value.at)
        .filter(|at| at.place.is_known())
        && fraction(last.value, length).is_some_and(|f| (f - 1.0).abs() > END_NOISE)
    {
        reader.error(
            &last.place,
            format!("a last point at {}", words(last.value)),
            "`at: 100%` for the last point",
            "add a point at 100%",
        );
    }
    for pair in ats.windows(2) {
        let order = match (pair[0].value, pair[1].value) {
            (Along::Length(a), Along::Length(b)) => Some(b.mm() > a.mm()),
            (a, b) => fraction(a, length)
                .zip(fraction(b, length))
                .map(|(a, b)| b > a),
        };
        if order == Some(false) {
            reader.error(
                &pair[1].place,
                format!(
                    "a point at {} after one at {}",
                    words(pair[1].value),
                    words(pair[0].value)
                ),
                "points in order from front to rear, each at its own place",
                "put the points in order, or remove one",
            );
        }
    }
}

pub(super) fn words(at: Along) -> String {
    match at {
        Along::Fraction(fraction) => format!("{}%", (fraction * 1e8).round() / 1e6),
        Along::Length(length) => crate::units::mm_text(length.mm()),
    }
}

fn check_heights(point: &Point, reader: &mut Reader) {
    let way_out = "write `height` for both halves, or `above` and `below`";
    let allowed = "either `height`, or `above` and `below`";
    let noted = |reader: &Reader| {
        ["height", "above", "below"]
            .iter()
            .any(|key| reader.noted(&point.place, key))
    };
    let place_of =
        |other: &Option<Located<crate::units::Length>>| other.as_ref().map(|v| v.place.clone());
    let halves: Option<Place> = place_of(&point.above).or_else(|| place_of(&point.below));
    match (&point.height, &point.above, &point.below) {
        (Some(height), _, _) if halves.is_some() => {
            reader.error(
                &height.place,
                "`height` beside `above` or `below`",
                allowed,
                way_out,
            );
        }
        (Some(_), _, _) | (None, Some(_), Some(_)) => {}
        (None, None, None) if !noted(reader) => {
            reader.error(&point.place, "a point without heights", allowed, way_out);
        }
        (None, Some(above), None) if !noted(reader) => {
            reader.error(&above.place, "`above` without `below`", allowed, way_out);
        }
        (None, None, Some(below)) if !noted(reader) => {
            reader.error(&below.place, "`below` without `above`", allowed, way_out);
        }
        _ => {}
    }
}
