//! Half pins.

use super::*;
use crate::chain::form::Pin;

fn pins(rest: &str, section: usize) -> Vec<Pin> {
    sound(&newt(rest)).creature.sections[section]
        .form
        .pins
        .clone()
}

fn with(body: &str) -> String {
    format!("sections: [{{name: head}}, {{name: body, {body}}}, {{name: tail}}]\n")
}

/// One round, one slotted, at unequal distances from the ends, both clear of socket and rear.
#[test]
fn two_where_the_length_allows() {
    let pins = pins(&with("length: 70"), 1);
    let [slotted, round] = &pins[..] else {
        panic!("{pins:?}")
    };
    assert_eq!(
        (round.slot, slotted.slot),
        (0.0, 0.6),
        "round near the ball"
    );
    assert!((round.radius - 3.25).abs() < 1e-12 && slotted.radius == round.radius);
    // Socket floor at 13.4 + 10.4, walls 3 mm.
    assert!(slotted.x - 3.25 - 0.3 >= 23.8 + 3.0);
    assert!(round.x + 3.25 <= 70.0 - 2.5);
    assert!((slotted.x - (70.0 - round.x)).abs() >= 3.0);
    assert!(round.x - slotted.x >= 19.5);
    for pin in &pins {
        assert!(pin.depth_above >= 4.7 && pin.depth_above <= 9.5, "{pin:?}");
        assert!(
            pin.depth_below <= pin.depth_above,
            "the lower half is lower"
        );
    }
}

#[test]
fn one_where_it_does_not_and_none_where_nothing_fits() {
    assert_eq!(pins(&with("length: 46"), 1).len(), 1);
    let resolved = sound(&newt(&with("length: 30")));
    assert!(resolved.creature.sections[1].form.pins.is_empty());
    assert!(
        resolved.warnings.to_string().contains("without a half pin"),
        "{}",
        resolved.warnings
    );
    let messages = refused(&newt(&with("length: 46, pins: 2")));
    assert!(messages.contains("2 half pins in `body`"), "{messages}");
}

#[test]
fn written_out() {
    let pins = pins(
        &with(
            "length: 70, pins: [{at: 50%, across: 4, depth_above: 6, depth: 5}, {at: 60 mm, diameter: 8, slot: 1}]",
        ),
        1,
    );
    assert_eq!(
        (
            pins[0].x,
            pins[0].y,
            pins[0].depth_above,
            pins[0].depth_below
        ),
        (35.0, 4.0, 6.0, 5.0)
    );
    assert_eq!((pins[1].x, pins[1].radius, pins[1].slot), (60.0, 4.0, 1.0));
    let messages = refused(&newt(&with(
        "length: 46, pins: [{at: 50}, {at: 23, across: 14}]",
    )));
    assert!(messages.contains("a pin at 50 mm"), "{messages}");
    assert!(messages.contains("no room for a pin"), "{messages}");
}

/// A section whose ends are alike would put its pins at equal distances.
#[test]
fn never_at_equal_distances() {
    for length in [60.0, 80.0, 120.5] {
        let rest = format!(
            "sections: [{{name: head, front: flat, rear: flat, length: {length}, outline: [{{at: 0%, half_width: 15, height: 14}}, {{at: 100%, half_width: 15, height: 14}}]}}]\n"
        );
        let pins = pins(&rest, 0);
        assert_eq!(pins.len(), 2);
        let difference = pins[0].x - (length - pins[1].x);
        assert!(difference.abs() > 3.0 - 1e-9, "{difference}");
    }
}
