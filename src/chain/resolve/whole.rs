//! Whole sections: what they cannot carry.

use super::expand::Part;
use super::keys::Origin;
use super::report::Report;
use crate::chain::form::{End, EndJoint};
use crate::params::value::Pins;

/// Whether a section is cut in one piece.
pub(super) fn is_whole(part: &Part<'_>) -> bool {
    part.keys.whole.is_some_and(|k| k.written.value)
}

/// Whether a section is cut in one piece; faults are reported.
pub(super) fn whole(part: &Part<'_>, (front, rear): (&End, &End), report: &mut Report) -> bool {
    let Some(key) = part.keys.whole.filter(|_| is_whole(part)) else {
        return false;
    };
    let place = &key.written.place;
    for (end, name) in [(front, "front"), (rear, "rear")] {
        if matches!(end.joint, EndJoint::Socket(_)) {
            report.error(
                &format!("whole {name}"),
                place,
                format!("a socket at the {name} of `{}`, a whole section", part.name),
                "balls or plain ends: a ball goes into a socket only between two halves",
                format!("write `{name}_joint: ball`, or `whole: false`"),
            );
        }
    }
    // Pins of `defaults` are meant for the sections that have halves.
    if let Some(pins) = part.keys.pins
        && pins.origin != Origin::Defaults
        && !matches!(pins.written.value, Pins::Auto | Pins::Count(0))
    {
        report.error(
            "whole pins",
            &pins.written.place,
            format!("half pins in `{}`, a whole section", part.name),
            "none: there are no halves to align",
            "remove `pins`, or write `whole: false`",
        );
    }
    true
}
