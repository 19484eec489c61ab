//! A pin gives one depth for both halves or one for each.

use crate::params::reader::Reader;
use crate::params::value::Pins;
use crate::params::written::{Design, Pin};

pub(super) fn check(design: &Design, reader: &mut Reader) {
    let defaults = design.defaults.as_ref().map(|defaults| &defaults.value);
    let sections = design.sections.value.iter().map(|section| &section.value);
    for section in defaults.into_iter().chain(sections) {
        if let Some(Pins::List(pins)) = section.pins.as_ref().map(|pins| &pins.value) {
            for pin in pins {
                check_pin(&pin.value, reader);
            }
        }
    }
}

fn check_pin(pin: &Pin, reader: &mut Reader) {
    if let Some(depth) = &pin.depth
        && pin.depth_above.is_some()
        && pin.depth_below.is_some()
    {
        reader.error(
            &depth.place,
            "`depth` beside `depth_above` and `depth_below`",
            "`depth` for both halves, or with one of the two for the half that differs",
            "remove `depth`",
        );
    }
}
