//! Plates: from corners along the body to a plan outline.

use super::expand::Part;
use super::foot::{FootLine, sub, turns};
use super::report::Report;
use crate::chain::feature::{Flank, Plate, PlateCorner};
use crate::chain::form::Split;
use crate::diagnostic::Place;
use crate::params::Located;
use crate::params::value::{Along, PlateSide};
use crate::params::written;

/// Usual thickness of a plate, both halves together, mm (common practice, no source).
const THICKNESS: f64 = 6.0;
/// A plate's root runs at least this many times as far along the grain as it stands out (common
/// practice, no source).
const ROOT: f64 = 1.5;
/// Usual rounding over the finishing cutter's tip radius, so that the cutter turns in an inside
/// corner (common practice, no source).
const ROUND: f64 = 1.1;
/// Roundings left to the program take at most this part of the walls beside them.
const OF_WALL: f64 = 0.4;

/// The flanks that a word means in a section; an error when it belongs to the other pose.
pub(super) fn flanks(
    side: &Located<PlateSide>,
    split: Split,
    name: &str,
    report: &mut Report,
) -> Vec<Flank> {
    // The toy's own left is y < 0 of a level section; an upright one stands with y > 0 up.
    match (side.value, split) {
        (PlateSide::Both, _) => Flank::BOTH.to_vec(),
        (PlateSide::Left, Split::Level) | (PlateSide::Belly, Split::Upright) => vec![Flank::Minus],
        (PlateSide::Right, Split::Level) | (PlateSide::Back, Split::Upright) => vec![Flank::Plus],
        (word, split) => {
            let (pose, allowed) = match split {
                Split::Level => ("level", "`left`, `right` or `both`"),
                Split::Upright => ("upright", "`back`, `belly` or `both`"),
            };
            let found = format!("`{}` in `{name}`, whose split is {pose}", word.word());
            report.error("side", &side.place, found, allowed, "write one of these");
            Vec::new()
        }
    }
}

/// A place along the body, mm; lengths grow with the section.
pub(super) fn along(at: Along, length: f64, scale: f64) -> f64 {
    match at {
        Along::Fraction(f) => f * length,
        Along::Length(l) => l.mm() * scale,
    }
}

/// Thickest plate of a section in one half, mm; 0 without plates.
pub(super) fn thickest(part: &Part<'_>) -> f64 {
    let plates = part.keys.plates.map_or(&[][..], |k| &k.written.value);
    plates
        .iter()
        .map(|p| 0.5 * thickness(&p.value))
        .fold(0.0, f64::max)
}

fn thickness(plate: &written::Plate) -> f64 {
    plate.thickness.as_ref().map_or(THICKNESS, |t| t.value.mm())
}

/// The plates of a section. `tip` is the tip radius of the finishing cutter.
pub(super) fn plates(
    part: &Part<'_>,
    split: Split,
    line: &FootLine,
    tip: f64,
    report: &mut Report,
) -> Vec<Plate> {
    let written = part.keys.plates.map_or(&[][..], |k| &k.written.value);
    let mut all = Vec::new();
    for plate in written {
        let Some(corners) = corners(part, plate, line, tip, report) else {
            continue;
        };
        short_grain(part, plate, &corners, report);
        for flank in flanks(&plate.value.side, split, &part.name, report) {
            all.push(Plate {
                flank,
                half_thickness: 0.5 * thickness(&plate.value),
                corners: corners.clone(),
                ease: plate.value.ease.as_ref().map_or(0.0, |e| e.value.mm()),
            });
        }
    }
    all
}

fn corners(
    part: &Part<'_>,
    plate: &Located<written::Plate>,
    line: &FootLine,
    tip: f64,
    report: &mut Report,
) -> Option<Vec<PlateCorner>> {
    let mut corners: Vec<PlateCorner> = Vec::new();
    for corner in &plate.value.outline.value {
        let c = &corner.value;
        let x = along(c.at.value, line.length, part.scale);
        let (first, last) = line.ends;
        if !(first..=last).contains(&x) {
            outside(part, &c.at.place, x, (first, last), report);
            return None;
        }
        corners.push(PlateCorner {
            x,
            out: c.out.value.mm() * part.scale,
            radius: c
                .round
                .as_ref()
                .map_or(f64::NAN, |r| r.value.mm() * part.scale),
        });
    }
    let (first, last) = (corners.first()?.x, corners.last()?.x);
    if last <= first {
        let (a, b) = report.lengths(first, last);
        report.error(
            "plate root",
            &plate.value.outline.place,
            format!("a plate rooted from {a} to {b} in `{}`", part.name),
            "corners from front to rear: the last one behind the first",
            "turn the list round, or move the last corner to the rear",
        );
        return None;
    }
    round_the_rest(&mut corners, line, ROUND * tip);
    Some(corners)
}

fn outside(part: &Part<'_>, place: &Place, x: f64, ends: (f64, f64), report: &mut Report) {
    let (from, to) = (report.length(ends.0), report.length(ends.1));
    report.error(
        "plate corner",
        place,
        format!(
            "a corner of a plate at {} of `{}`",
            report.length(x),
            part.name
        ),
        format!("{from} to {to}, between the ends of its outline"),
        "move the corner along the body",
    );
}

/// Roundings that were left out: the usual one, less where the walls beside it are short.
fn round_the_rest(corners: &mut [PlateCorner], line: &FootLine, usual: f64) {
    let path = line.path(corners);
    let turns = turns(&path);
    for ((corner, p), turn) in corners.iter_mut().zip(path.windows(3)).zip(turns) {
        if !corner.radius.is_nan() {
            continue;
        }
        let (a, b) = (sub(p[1], p[0]), sub(p[2], p[1]));
        let wall = a[0].hypot(a[1]).min(b[0].hypot(b[1]));
        let most = OF_WALL * wall / (0.5 * turn.abs()).tan().max(1e-6);
        corner.radius = usual.min(most);
    }
}

/// A plate is short grain: warn when it stands out far of a short root.
fn short_grain(
    part: &Part<'_>,
    plate: &Located<written::Plate>,
    corners: &[PlateCorner],
    report: &mut Report,
) {
    let far = corners.iter().map(|c| c.out).fold(0.0, f64::max);
    let root = corners[corners.len() - 1].x - corners[0].x;
    if root < ROOT * far - 1e-9 {
        report.advice(
            "short grain",
            &plate.place,
            format!(
                "a plate of `{}` that stands out {} of a root {} long",
                part.name,
                report.length(far),
                report.length(root)
            ),
            format!(
                "a root of at least {}: the grain runs along it and is short across (habit)",
                report.length(ROOT * far)
            ),
            "make the root longer or the plate shorter",
        );
    }
}
