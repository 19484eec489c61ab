//! Tabs: written out, or placed on the long sides where the wood allows.

use super::Ground;
use super::edges::PlateOf;
use super::expand::Part;
use super::foot::FootLine;
use super::report::Report;
use super::whole::is_whole;
use super::written_tabs::written_tab;
use crate::chain::feature::{Flank, Plate, Tab, TabRoot};
use crate::chain::form::{Pin, Split};
use crate::params::value::Tabs;
use crate::params::written;

/// Rim left over a tab, mm (common practice, no source).
pub(super) const OVER: f64 = 0.5;
/// A tab keeps this far from mouth, neck and pins, mm (common practice, no source).
const CLEAR: f64 = 6.0;
/// Between a tab and a plate or another tab, mm: a 1/8 in finishing cutter and a little (common
/// practice, no source).
pub(super) const BESIDE: f64 = 4.5;
/// The plan rises by at most this where a tab is placed: a steep one would stand askew (common
/// practice, no source).
pub(super) const STEEP: f64 = 0.6;
/// The sides of a tab stand square to the rim: where the plan is hollow they near each other. So far out
/// they keep so much of its width, mm (habit: no longer tab was seen in a window, and a narrower one is
/// a splinter).
const HOLLOW: (f64, f64) = (30.0, 2.5);
/// Step in which places are tried, mm.
const STEP: f64 = 0.5;
/// Tabs on each long side unless the design says otherwise (common practice, no source).
const USUAL: u32 = 2;

/// Width and thickness of a tab of a whole section, which lies at mid-height, mm (common practice,
/// no source).
const WHOLE: (f64, f64) = (8.0, 3.0);

/// Usual width, and underside and top in one half. In a whole section the split plane is the tab's
/// middle.
pub(super) fn usual(part: &Part<'_>, ground: &Ground<'_>) -> (f64, (f64, f64)) {
    let shop = &ground.shop;
    if is_whole(part) {
        (WHOLE.0, (0.0, 0.5 * WHOLE.1))
    } else {
        (shop.tab.0, (shop.relief, shop.relief + shop.tab.1))
    }
}

/// What a tab has to keep off.
pub(super) struct Sides<'a> {
    pub line: &'a FootLine,
    pub pins: &'a [Pin],
    pub plates: &'a [Plate],
}

/// The rim that the shop's tabs ask for, mm.
pub(super) fn least_rim(part: &Part<'_>, ground: &Ground<'_>) -> f64 {
    let top = match part.keys.tabs.map(|k| &k.written.value) {
        Some(Tabs::List(list)) => list
            .iter()
            .map(|t| heights(&t.value, part, ground).1)
            .fold(0.0, f64::max),
        Some(Tabs::None) => 0.0,
        _ => usual(part, ground).1.1,
    };
    top + OVER
}

/// Underside and top of a written tab in one half.
pub(super) fn heights(tab: &written::Tab, part: &Part<'_>, ground: &Ground<'_>) -> (f64, f64) {
    let (_, (low, high)) = usual(part, ground);
    let thick = tab.thickness.as_ref().map(|t| t.value.mm());
    if is_whole(part) {
        return (0.0, thick.map_or(high, |t| 0.5 * t));
    }
    let from = tab.underside.as_ref().map_or(low, |u| u.value.mm());
    (from, from + thick.unwrap_or(high - low))
}

/// The tabs of a section.
pub(super) fn tabs(
    part: &Part<'_>,
    split: Split,
    sides: &Sides<'_>,
    ground: &Ground<'_>,
    report: &mut Report,
) -> Vec<Tab> {
    let key = part.keys.tabs;
    match key.map(|k| &k.written.value) {
        Some(Tabs::None) => Vec::new(),
        Some(Tabs::List(list)) => list
            .iter()
            .flat_map(|tab| written_tab(tab, part, split, sides, ground, report))
            .collect(),
        Some(Tabs::Count(count)) => placed(part, *count, true, sides, ground, report),
        // A body that is not cut needs none.
        None if ground.bench => Vec::new(),
        Some(Tabs::Auto) | None => placed(part, USUAL, false, sides, ground, report),
    }
}

fn placed(
    part: &Part<'_>,
    count: u32,
    exact: bool,
    sides: &Sides<'_>,
    ground: &Ground<'_>,
    report: &mut Report,
) -> Vec<Tab> {
    let (width, (from, to)) = usual(part, ground);
    let mut all = Vec::new();
    for flank in Flank::BOTH {
        let rim = free(flank, width, sides);
        let mut all_places = rim.clone();
        all_places.extend(free_edges(flank, (width, to), sides));
        all_places.sort_by(|a, b| a.x.total_cmp(&b.x));
        let mut places = Vec::new();
        for count in (1..=count).rev() {
            let apart = width + BESIDE;
            places = spread(&rim, count, apart);
            if places.is_empty() {
                places = spread(&all_places, count, apart);
            }
            if !places.is_empty() || exact {
                break;
            }
        }
        if places.is_empty() {
            let top = sides.plates.iter().any(|p| p.flank == flank).then_some(to);
            no_room(part, count, exact, top, report);
        }
        all.extend(places.into_iter().map(|place| Tab {
            flank,
            on: place.on,
            x: place.x,
            width,
            from,
            to,
            length: [ground.shop.window; 2],
        }));
    }
    all
}

/// A place that a tab can take.
#[derive(Debug, Clone, Copy)]
struct Free {
    x: f64,
    on: TabRoot,
}

/// Places of the rim where a tab keeps its distances, in order.
fn free(flank: Flank, width: f64, sides: &Sides<'_>) -> Vec<Free> {
    let line = sides.line;
    let half = 0.5 * width;
    let from = (line.ends.0 + CLEAR).max(line.straight.0 + 0.1) + half;
    let to = (line.ends.1 - CLEAR).min(line.straight.1 - 0.1) - half;
    let steps = ((to - from) / STEP).floor().max(-1.0) as i64;
    let plates = PlateOf::all(line, sides.plates, flank);
    let beside_plate = |x: f64| {
        let mut blocks = plates.iter().map(|p| p.all);
        blocks.any(|(a, b)| x + half + BESIDE > a && x - half - BESIDE < b)
    };
    (0..=steps)
        .map(|k| from + STEP * k as f64)
        .filter(|&x| {
            [x - half, x, x + half]
                .iter()
                .all(|&x| line.half_width(x).1.abs() <= STEEP)
        })
        .filter(|&x| {
            let [front, rear] = [x - half, x + half].map(|x| line.half_width(x).1);
            width - HOLLOW.0 * (rear - front) >= HOLLOW.1.min(width)
        })
        .filter(|&x| !beside_plate(x) && !beside_pin(flank, x, line.half_width(x).0, half, sides))
        .map(|x| Free {
            x,
            on: TabRoot::Rim,
        })
        .collect()
}

/// Whether a pin is near the root of a tab, so far from the middle plane.
fn beside_pin(flank: Flank, x: f64, far: f64, half: f64, sides: &Sides<'_>) -> bool {
    sides.pins.iter().any(|p| {
        let across = far - flank.sign() * p.y - p.radius;
        let apart = ((x - p.x).abs() - half - 0.5 * p.slot - p.radius).max(0.0);
        across.max(0.0).hypot(apart) < CLEAR
    })
}

/// Places on straight outer edges of plates where a tab keeps its distances, edge by edge.
fn free_edges(flank: Flank, (width, top): (f64, f64), sides: &Sides<'_>) -> Vec<Free> {
    let half = 0.5 * width;
    let plates = PlateOf::all(sides.line, sides.plates, flank);
    let mut all = Vec::new();
    for (number, plate) in plates.iter().enumerate() {
        let beside = |x: f64| {
            let mut others = plates.iter().enumerate().filter(|(k, _)| *k != number);
            others.any(|(_, p)| x + half + BESIDE > p.all.0 && x - half - BESIDE < p.all.1)
        };
        for edge in plate.usual(top) {
            let from = edge.from.max(sides.line.ends.0 + CLEAR) + half;
            let to = edge.to.min(sides.line.ends.1 - CLEAR) - half;
            let steps = ((to - from) / STEP).floor().max(-1.0) as i64;
            all.extend(
                (0..=steps)
                    .map(|k| from + STEP * k as f64)
                    .filter(|&x| !beside(x) && !beside_pin(flank, x, edge.far(x), half, sides))
                    .map(|x| Free {
                        x,
                        on: TabRoot::Plate(edge.plate),
                    }),
            );
        }
    }
    all
}

/// So many places of the free ones, spread over them and at least `apart`; none when they do not
/// fit. To tenths of a millimetre, which are free with the steps beside them.
fn spread(free: &[Free], count: u32, apart: f64) -> Vec<Free> {
    let (Some(first), Some(last)) = (free.first(), free.last()) else {
        return Vec::new();
    };
    // A little in from the ends of what is free: the ends are as near as is allowed.
    let at = |i: u32| {
        let part = if count == 1 {
            0.5
        } else {
            0.1 + 0.8 * f64::from(i) / f64::from(count - 1)
        };
        let wanted = first.x + part * (last.x - first.x);
        let near = |a: &&Free, b: &&Free| (a.x - wanted).abs().total_cmp(&(b.x - wanted).abs());
        free.iter().min_by(near).copied().unwrap_or(*first)
    };
    let places: Vec<Free> = (0..count).map(at).collect();
    if places.windows(2).any(|p| p[1].x - p[0].x < apart) {
        return Vec::new();
    }
    places
}

/// `on_plates` is the top of a tab where the long side has plates.
fn no_room(part: &Part<'_>, count: u32, exact: bool, on_plates: Option<f64>, report: &mut Report) {
    let place = part.keys.tabs.map_or(part.place, |k| &k.written.place);
    let found = format!("{count} tabs on a long side of `{}`", part.name);
    let mut allowed = format!(
        "tabs that keep {} from ends and pins, on a rim that is not steep",
        report.length(CLEAR)
    );
    if let Some(top) = on_plates {
        allowed += &format!(
            " or on the straight outer edge of a plate, {} thick without its ease",
            report.length(2.0 * (top + OVER))
        );
    }
    if exact {
        let way_out = "write `tabs: auto` or fewer, or a list of places";
        report.error("no room for tabs", place, found, allowed, way_out);
    } else {
        let found = format!("no room for tabs on a long side of `{}`", part.name);
        report.advice(
            "no room for tabs",
            place,
            found,
            allowed,
            "write their places as a list, or `tabs: none` and hold the part by other means",
        );
    }
}
