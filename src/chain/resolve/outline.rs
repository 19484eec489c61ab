//! From written points to stations.

use super::expand::Part;
use super::report::Report;
use crate::chain::form::{Knot, Station};
use crate::diagnostic::Place;
use crate::params::Located;
use crate::params::value::{Along, EndForm};
use crate::params::written::Point;

/// Step of advice on a wall, mm: coarser than what is printed, so that what is told will do.
const ADVISED: f64 = 0.05;
/// Squareness of a point that gives none (common practice, no source).
const SQUARENESS: f64 = 2.5;
/// Squareness of a round end.
const ROUND: f64 = 2.0;
/// The skin rises at least this far above the rim, mm, flats too (common practice, no source).
pub(super) const OVER_RIM: f64 = 0.5;
/// A closed end rises above the rim by half its width, but need not by more than this, mm.
const TIP_OVER_RIM: f64 = 1.0;
/// Half width left at the top of the leaning rim, mm.
const TOP_OF_RIM: f64 = 0.2;
/// A round end stays below this part of its dome's radius: beyond it the dome is nearly a half
/// ball and its edge runs along the body.
pub const DOME_PART: f64 = 0.97;
/// Stations stand at least this far apart, mm.
const APART: f64 = 0.2;
/// Rounding noise: sizes that are written equal are equal within this part.
const EQUAL: f64 = 1e-9;
/// An end written as a length may miss the end by this part of the length.
const END_NOISE: f64 = 1e-6;

/// What the outline must fit.
#[derive(Debug, Clone, Copy)]
pub(super) struct Frame {
    /// Length of the section.
    pub length: f64,
    pub rim: f64,
    pub lean: f64,
    /// Width of a closed end.
    pub tip_width: f64,
    /// Face of each end, and its dome's radius.
    pub front: (EndForm, f64),
    pub rear: (EndForm, f64),
}

/// A point before its x is known.
#[derive(Debug, Clone, Copy)]
struct Raw<'a> {
    at: Along,
    station: Station,
    place: &'a Place,
}

/// The stations of a section. `None` after an error.
pub(super) fn stations(
    part: &Part<'_>,
    points: &[Located<Point>],
    frame: &Frame,
    report: &mut Report,
) -> Option<Vec<Station>> {
    let mut raw: Vec<Raw<'_>> = points
        .iter()
        .map(|p| raw(p, part.scale))
        .collect::<Option<_>>()?;
    lower(&mut raw, part, frame);
    let first = raw.first_mut()?;
    let x_first = end(first, frame.front, frame, &part.name, report);
    let last = raw.last_mut()?;
    let x_last = end(last, frame.rear, frame, &part.name, report).map(|x| frame.length - x);
    let (x_first, x_last) = (x_first?, x_last?);
    let mut sound = spread(&mut raw, x_first, x_last, frame, part.scale, report);
    for point in &raw {
        sound &= heights(point, frame, &part.name, report);
    }
    sound.then(|| raw.iter().map(|r| r.station).collect())
}

/// A point in mm, scaled. `None` without heights, which no file as read has.
fn raw(point: &Located<Point>, scale: f64) -> Option<Raw<'_>> {
    let p = &point.value;
    let mm = |l: &Located<crate::units::Length>| l.value.mm() * scale;
    let above = p.above.as_ref().or(p.height.as_ref()).map(mm)?;
    let below = p.below.as_ref().or(p.height.as_ref()).map(mm)?;
    Some(Raw {
        at: p.at.value,
        station: Station {
            x: 0.0,
            half_width: mm(&p.half_width),
            above,
            below,
            // 0 until the end knows whether it is round.
            squareness: p.squareness.as_ref().map_or(0.0, |s| s.value.0),
            knot: Knot::Point,
        },
        place: &point.place,
    })
}

/// Lowers the points to the section's greatest height; those of domed ends are circles and stay.
fn lower(raw: &mut [Raw<'_>], part: &Part<'_>, frame: &Frame) {
    let Some(most) = part.keys.highest.map(|k| k.written.value.mm()) else {
        return;
    };
    let last = raw.len().saturating_sub(1);
    for (i, point) in raw.iter_mut().enumerate() {
        let round = (i == 0 && frame.front.0 == EndForm::Domed)
            || (i == last && frame.rear.0 == EndForm::Domed);
        if !round {
            let s = &mut point.station;
            (s.above, s.below) = (s.above.min(most), s.below.min(most));
        }
    }
}

/// Shapes an end point; gives its distance from the end's datum along x.
fn end(
    point: &mut Raw<'_>,
    (face, dome): (EndForm, f64),
    frame: &Frame,
    name: &str,
    report: &mut Report,
) -> Option<f64> {
    match face {
        EndForm::Flat => Some(0.0),
        EndForm::Closed => {
            tip(&mut point.station, frame);
            Some(0.0)
        }
        EndForm::Domed => round(point, dome, name, report),
    }
}

/// The small flat end of a nose or tip: as wide as its tip width, as high as that leaves of the
/// written proportion, and a little higher than the rim.
fn tip(s: &mut Station, frame: &Frame) {
    let half = 0.5 * frame.tip_width;
    let least = frame.rim + half.clamp(OVER_RIM, TIP_OVER_RIM);
    let kept = half / s.half_width;
    s.above = least.max(kept * s.above);
    s.below = least.max(kept * s.below);
    s.half_width = half;
}

/// A round end: three equal sizes, smaller than the dome.
fn round(point: &mut Raw<'_>, dome: f64, name: &str, report: &mut Report) -> Option<f64> {
    let s = &mut point.station;
    let radius = s.half_width;
    let off = |other: f64| (other - radius).abs() > EQUAL * radius;
    if off(s.above) || off(s.below) || (s.squareness != 0.0 && s.squareness != ROUND) {
        let least = s.half_width.min(s.above).min(s.below);
        report.error(
            "round",
            point.place,
            format!(
                "half width {}, above {}, below {}{} at a domed end of `{name}`",
                report.length(s.half_width),
                report.length(s.above),
                report.length(s.below),
                if s.squareness == 0.0 {
                    String::new()
                } else {
                    format!(", squareness {}", s.squareness)
                }
            ),
            "three equal sizes and squareness 2: the body is round where it meets its dome",
            format!(
                "write {} for all three, or make the end `flat`",
                report.length(least)
            ),
        );
        return None;
    }
    if radius > DOME_PART * dome {
        let (found, limit) = report.lengths(radius, DOME_PART * dome);
        report.error(
            "dome",
            point.place,
            format!("a radius of {found} at a domed end of `{name}`"),
            format!(
                "at most {limit}, {DOME_PART} of the dome's radius of {} (ball, clearance and land)",
                report.length(dome)
            ),
            format!(
                "make the end smaller, or the joint's `land` larger by {}",
                report.length(((radius / DOME_PART - dome) / ADVISED).ceil() * ADVISED)
            ),
        );
        return None;
    }
    (s.above, s.below, s.squareness) = (radius, radius, ROUND);
    // Where the circle lies on the dome: rho - sqrt(rho^2 - r^2), without cancellation.
    Some(radius * radius / (dome + ((dome - radius) * (dome + radius)).sqrt()))
}

/// Gives every point its x: percentages run from the first station to the last, lengths from
/// the front datum.
fn spread(
    raw: &mut [Raw<'_>],
    x_first: f64,
    x_last: f64,
    frame: &Frame,
    scale: f64,
    report: &mut Report,
) -> bool {
    let count = raw.len();
    let mut sound = true;
    let mut before: Option<f64> = None;
    for (i, point) in raw.iter_mut().enumerate() {
        let x = match point.at {
            _ if i == 0 => x_first,
            _ if i + 1 == count => x_last,
            Along::Fraction(f) => x_first + f * (x_last - x_first),
            Along::Length(l) => l.mm() * scale,
        };
        sound &= at_end(point, i == 0, i + 1 == count, frame, scale, report);
        if let Some(before) = before
            && x < before + APART
        {
            let (found, limit) = report.lengths(x, before + APART);
            report.error(
                "outline order",
                point.place,
                format!("a point at {found} from the front datum"),
                format!("at least {limit}, {} behind the point before it", report.length(APART)),
                "move or remove one of the two; beside a dome the body begins where it meets the dome",
            );
            sound = false;
        }
        before = Some(x);
        point.station.x = x;
        if point.station.squareness == 0.0 {
            point.station.squareness = SQUARENESS;
        }
    }
    sound
}

/// The first and the last point stand at the ends. A file as read keeps that where it knows
/// the length.
fn at_end(
    point: &Raw<'_>,
    first: bool,
    last: bool,
    frame: &Frame,
    scale: f64,
    report: &mut Report,
) -> bool {
    let fraction = match point.at {
        Along::Fraction(f) => f,
        Along::Length(l) => l.mm() * scale / frame.length,
    };
    let wanted = if first { 0.0 } else { 1.0 };
    if !(first || last) || (fraction - wanted).abs() <= END_NOISE {
        return true;
    }
    report.error(
        "ends",
        point.place,
        format!(
            "the {} point at {:.2}%",
            if first { "first" } else { "last" },
            100.0 * fraction
        ),
        "a first point at 0% and a last one at 100%",
        "add a point at the end, or move this one there",
    );
    false
}

/// The rim fits under the skin, and leaves a width at its top.
fn heights(point: &Raw<'_>, frame: &Frame, name: &str, report: &mut Report) -> bool {
    let s = &point.station;
    let low = s.above.min(s.below);
    let mut sound = true;
    if low < frame.rim + OVER_RIM {
        let (found, limit) = report.lengths(low, frame.rim + OVER_RIM);
        report.error(
            "height",
            point.place,
            format!("a height of {found} in `{name}`"),
            format!(
                "at least {limit}, the rim of {} and a little",
                report.length(frame.rim)
            ),
            "make the body higher, or the rim lower",
        );
        sound = false;
    }
    let inset = frame.rim * frame.lean.tan();
    if s.half_width < inset + TOP_OF_RIM {
        let (found, limit) = report.lengths(s.half_width, inset + TOP_OF_RIM);
        report.error(
            "width",
            point.place,
            format!("a half width of {found} in `{name}`"),
            format!(
                "at least {limit}: the leaning rim is {} narrower at its top",
                report.length(inset)
            ),
            "make the body (or `tip_width`) wider, the rim lower or its lean smaller",
        );
        sound = false;
    }
    sound
}

/// Radius of the widest circle about the joint axis that the face at this station holds.
pub(super) fn room(station: &Station, face: EndForm, frame: &Frame) -> f64 {
    let across = match face {
        EndForm::Domed => station.half_width,
        _ => station.half_width - frame.rim * frame.lean.tan(),
    };
    across.min(station.above).min(station.below)
}
