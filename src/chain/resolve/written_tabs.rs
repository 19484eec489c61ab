//! Tabs written out: on the rim, or on a plate's straight outer edge where a plate is in the way.

use super::Ground;
use super::edges::{self, Wanted, Where};
use super::expand::Part;
use super::plates::{along, flanks};
use super::report::Report;
use super::tabs::{OVER, Sides, heights, usual};
use super::whole::is_whole;
use crate::chain::feature::{Tab, TabRoot};
use crate::chain::form::Split;
use crate::params::Located;
use crate::params::written;

/// No tab is narrower than this, mm: the least that a design file can write.
const LEAST: f64 = 1.0;

/// The tabs that one entry means, one or two; faults are reported.
pub(super) fn written_tab(
    tab: &Located<written::Tab>,
    part: &Part<'_>,
    split: Split,
    sides: &Sides<'_>,
    ground: &Ground<'_>,
    report: &mut Report,
) -> Vec<Tab> {
    let t = &tab.value;
    let x = along(t.at.value, sides.line.length, part.scale);
    let (from, to) = heights(t, part, ground);
    if let Some(underside) = t.underside.as_ref().filter(|_| is_whole(part)) {
        report.error(
            "whole tab",
            &underside.place,
            format!("an underside for a tab of `{}`, a whole section", part.name),
            "none: its tabs lie at mid-height",
            "remove `underside`",
        );
    }
    let mm = |key: &Option<Located<crate::units::Length>>, usual: f64| {
        key.as_ref().map_or(usual, |k| k.value.mm())
    };
    let width = mm(&t.width, usual(part, ground).0);
    let length = mm(&t.length, ground.shop.window);
    let wanted = Wanted {
        x,
        width,
        length,
        top: to,
    };
    let mut all = Vec::new();
    for flank in flanks(&t.side, split, &part.name, report) {
        let on = match edges::place(sides, flank, &wanted) {
            Where::Rim if !on_rim(tab, part, x, width, sides, report) => continue,
            Where::Rim => TabRoot::Rim,
            Where::Plate(number) => TabRoot::Plate(number),
            Where::Thin(upright) => {
                thin(tab, part, to, upright, report);
                continue;
            }
            Where::Beside { root, edges } => {
                beside(tab, part, (x, width), (root, &edges), report);
                continue;
            }
        };
        all.push(Tab {
            flank,
            on,
            x,
            width,
            from,
            to,
            length: [length; 2],
        });
    }
    all
}

/// Whether a tab lies on the straight part of the rim; a fault is reported.
fn on_rim(
    tab: &Located<written::Tab>,
    part: &Part<'_>,
    x: f64,
    width: f64,
    sides: &Sides<'_>,
    report: &mut Report,
) -> bool {
    let (first, last) = sides.line.straight;
    let on = x - 0.5 * width >= first && x + 0.5 * width <= last;
    if !on {
        let (a, b) = (
            report.length(first + 0.5 * width),
            report.length(last - 0.5 * width),
        );
        report.error(
            "tab place",
            &tab.value.at.place,
            format!("a tab at {} of `{}`", report.length(x), part.name),
            format!("{a} to {b}, on the straight part of its rim"),
            "move the tab along the body",
        );
    }
    on
}

/// A tab higher than a plate's edge is upright.
fn thin(tab: &Located<written::Tab>, part: &Part<'_>, top: f64, upright: f64, report: &mut Report) {
    let found = format!(
        "a tab of `{}` with its top at {}, on a plate that is upright up to {}",
        part.name,
        report.length(top),
        report.length(upright)
    );
    report.error(
        "tab on a thin plate",
        &tab.place,
        found,
        format!(
            "a plate upright up to at least {}, half its thickness without its ease",
            report.length(top + OVER)
        ),
        "make the plate thicker or the tab thinner, or move the tab to where the rim is free",
    );
}

/// A tab in the way of a plate, but not on a straight outer edge of it.
fn beside(
    tab: &Located<written::Tab>,
    part: &Part<'_>,
    (x, width): (f64, f64),
    (root, edges): ((f64, f64), &[(f64, f64)]),
    report: &mut Report,
) {
    let (from, to) = report.lengths(root.0, root.1);
    let found = format!(
        "a tab {} wide at {} of `{}`, over its plate from {from} to {to}",
        report.length(width),
        report.length(x),
        part.name
    );
    let spans: Vec<String> = edges
        .iter()
        .filter(|(a, b)| b - a >= width)
        .map(|(a, b)| {
            (
                report.length(a + 0.5 * width),
                report.length(b - 0.5 * width),
            )
        })
        .map(|(a, b)| format!("{a} to {b}"))
        .collect();
    let room = edges.iter().map(|(a, b)| b - a).fold(0.0, f64::max);
    let (allowed, way_out) = if !spans.is_empty() {
        let way_out = "move the tab along the body, or make it narrower";
        (
            format!("{}, on its straight outer edge", spans.join(" or ")),
            way_out,
        )
    } else if room >= LEAST {
        (
            format!(
                "a width of at most {} there: what its straight outer edges offer",
                report.length(room)
            ),
            "make the tab narrower, or move it to where the rim is free",
        )
    } else {
        (
            "a plate with a straight outer edge that runs to the rear, longer than the roundings \
             at its ends"
                .to_owned(),
            "move the tab to where the rim is free, or give the plate such an edge",
        )
    };
    report.error(
        "tab beside a plate's edge",
        &tab.value.at.place,
        found,
        allowed,
        way_out,
    );
}
