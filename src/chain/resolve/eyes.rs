//! Eyes: which halves carry them, and where.

use super::expand::Part;
use super::halves::{Word, halves};
use super::plates::along;
use super::report::Report;
use crate::chain::feature::Eye;
use crate::chain::form::{Side, Split};

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
        let plain = match split {
            Split::Level => vec![Side::Upper],
            Split::Upright => vec![Side::Upper, Side::Lower],
        };
        let word = Word {
            key: "halves",
            written: e.halves.as_ref(),
            plain,
        };
        for side in halves(word, split, &part.name, report) {
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
