//! Eyes: which halves carry them, and where.

use super::expand::Part;
use super::plates::along;
use super::report::Report;
use crate::chain::feature::Eye;
use crate::chain::form::{Side, Split};
use crate::params::Located;
use crate::params::value::HalfSide;
use crate::params::written;

/// The eyes of a section; they grow with it.
pub(super) fn eyes(part: &Part<'_>, split: Split, length: f64, report: &mut Report) -> Vec<Eye> {
    let written = part.keys.eyes.map_or(&[][..], |k| &k.written.value);
    let mut all = Vec::new();
    for eye in written {
        let e = &eye.value;
        let x = along(e.at.value, length, part.scale);
        let y = part.scale * e.across.as_ref().map_or(0.0, |a| a.value.mm());
        let radius = 0.5 * part.scale * e.diameter.value.mm();
        let depth = e
            .depth
            .as_ref()
            .map_or(radius, |d| part.scale * d.value.mm());
        let pair = e.pair.as_ref().map_or(split == Split::Level, |p| p.value) && y != 0.0;
        for side in sides(eye, split, &part.name, report) {
            let places = if pair { vec![y, -y] } else { vec![y] };
            all.extend(places.into_iter().map(|y| Eye {
                side,
                x,
                y,
                radius,
                depth,
            }));
        }
    }
    all
}

/// The halves that an eye's word means; an error when it belongs to the other pose.
fn sides(eye: &Located<written::Eye>, split: Split, name: &str, report: &mut Report) -> Vec<Side> {
    let Some(halves) = &eye.value.halves else {
        return match split {
            Split::Level => vec![Side::Upper],
            Split::Upright => vec![Side::Upper, Side::Lower],
        };
    };
    match (halves.value, split) {
        (HalfSide::Both, _) => vec![Side::Upper, Side::Lower],
        (HalfSide::Upper, Split::Level) | (HalfSide::Left, Split::Upright) => vec![Side::Upper],
        (HalfSide::Lower, Split::Level) | (HalfSide::Right, Split::Upright) => vec![Side::Lower],
        (word, split) => {
            let (pose, allowed) = match split {
                Split::Level => ("level", "`upper`, `lower` or `both`"),
                Split::Upright => ("upright", "`left`, `right` or `both`"),
            };
            let found = format!("`{}` in `{name}`, whose split is {pose}", word.word());
            report.error(
                "halves",
                &halves.place,
                found,
                allowed,
                "write one of these",
            );
            Vec::new()
        }
    }
}
