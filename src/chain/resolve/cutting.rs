//! What the shop asks of a section's rim, lean and height.

use super::Ground;
use super::expand::Part;
use super::plates::thickest;
use super::report::Report;
use super::tabs::{OVER, least_rim};
use crate::chain::form::Station;
use crate::chain::joint::Measure;
use crate::units::Length;

/// Lowest and usual rim of a bench body, mm.
const BENCH_RIM: f64 = 0.5;
const BENCH_RIM_USUAL: f64 = 4.5;
/// Draft beyond the finishing cutter's taper, radians: half a degree (derived: a split rim
/// keeps 0.2 degrees less than asked).
const DRAFT: f64 = 0.5 * std::f64::consts::PI / 180.0;
/// Width of a closed end, mm: 2 by default (common practice, no source).
const TIP_WIDTH: f64 = 2.0;
/// Stock left over a part, on each side that is cut from outside, mm (common practice, no source).
pub const SKIN_OF_STOCK: f64 = 0.3;
/// Rounding noise of a written limit.
const NOISE: f64 = 1e-9;

/// Rim, lean and tip width.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sides {
    pub rim: f64,
    pub lean: f64,
    pub tip_width: f64,
}

/// The sides of a section; faults are reported and the usual value stands in.
pub(super) fn sides(part: &Part<'_>, ground: &Ground<'_>, report: &mut Report) -> Sides {
    // The rim holds relief groove, tab and a little, and the thickest half of a plate.
    let least = if ground.bench {
        BENCH_RIM
    } else {
        least_rim(part, ground)
    };
    let plate = thickest(part);
    let least = if plate > 0.0 {
        least.max(plate + OVER)
    } else {
        least
    };
    let usual = if ground.bench { BENCH_RIM_USUAL } else { 0.0 };
    let given = part.keys.rim.and_then(|k| k.written.value.given());
    let mut rim = given.map_or(least.max(usual), Length::mm);
    if let Some(key) = part.keys.rim
        && rim < least - NOISE
    {
        let (found, limit) = report.lengths(rim, least);
        report.error(
            "rim",
            &key.written.place,
            format!("a rim of {found} in `{}`", part.name),
            format!("at least {limit}: relief groove, tab and a little, or half a plate"),
            "make the rim higher, or leave `rim` out (`bench_only: true` allows less, for bodies that are not cut)",
        );
        rim = least;
    }
    Sides {
        rim,
        lean: lean(part, ground, report),
        tip_width: part
            .keys
            .tip_width
            .map_or(TIP_WIDTH, |k| k.written.value.mm()),
    }
}

fn lean(part: &Part<'_>, ground: &Ground<'_>, report: &mut Report) -> f64 {
    let taper = ground.shop.taper;
    let Some(key) = part.keys.lean else {
        return taper + DRAFT;
    };
    let lean = key.written.value.radians();
    let (found, limit) = report.pair(Measure::Angle(lean), Measure::Angle(taper));
    let found = format!("a lean of {found} in `{}`", part.name);
    let usual = report.measure(Measure::Angle(taper + DRAFT));
    if lean < taper - NOISE && !ground.bench {
        report.error(
            "lean",
            &key.written.place,
            found,
            format!("at least {limit}, the taper of the finishing cutter per side: it can't finish a steeper wall"),
            format!("leave `lean` out ({usual}), or finish with a straighter cutter"),
        );
    } else if lean < taper + DRAFT - NOISE {
        report.advice(
            "lean",
            &key.written.place,
            found,
            format!("at least {usual}, the finishing cutter's taper and half a degree (habit)"),
            "leave `lean` out",
        );
    }
    lean
}

/// Least thickness of stock, mm, for each half or for the whole section; `ball` is the largest ball
/// radius it carries.
pub(super) fn stock(stations: &[Station], (ball, whole): (f64, bool), sanding: f64) -> f64 {
    let most = |f: fn(&Station) -> f64| stations.iter().map(f).fold(ball, f64::max);
    let (above, below) = (most(|s| s.above), most(|s| s.below));
    // A whole section is cut from both sides and has no split face to sand.
    if whole {
        return above + below + 2.0 * SKIN_OF_STOCK;
    }
    above.max(below) + sanding + SKIN_OF_STOCK
}

/// Sanding allowance of the split face of each half.
pub(super) fn sanding(part: &Part<'_>, ground: &Ground<'_>) -> f64 {
    part.keys
        .sanding
        .map_or(ground.shop.sanding, |k| k.written.value.mm())
}
