//! One example of each refusal, with its message.

use limberwood::chain::{Ball, EndJoint, Pin, SectionForm, Socket, Walls};
use limberwood::clear::half::{Facing, Feature, Refusal, ligaments, refusals};
use limberwood::diagnostic::{Place, Severity};
use limberwood::params::SPECIES;
use limberwood::skin::skin;
use limberwood::units::Unit;

use crate::forms::{half, straight};

fn pin(x: f64, y: f64, depth: f64) -> Pin {
    Pin {
        x,
        y,
        radius: 3.0,
        slot: 0.0,
        depth_above: depth,
        depth_below: depth,
    }
}

fn body() -> SectionForm {
    straight(60.0, 18.0, 14.0)
}

fn socketed() -> SectionForm {
    let mut form = body();
    form.front.joint = EndJoint::Socket(Socket {
        radius: 10.0,
        depth: 11.0,
        mouth_radius: 8.0,
        flare: 0.4,
    });
    form
}

fn all(form: &SectionForm, bench: bool) -> Vec<Refusal> {
    let form = half(form);
    let found = ligaments(&form, &skin(&form).unwrap());
    refusals(&found, &Walls::of(&SPECIES[0]), bench)
}

/// The only error is between these two; its message says all of `parts`.
fn only(form: &SectionForm, between: (Feature, Feature), parts: &[&str]) {
    let refused = all(form, false);
    let errors: Vec<&Refusal> = refused
        .iter()
        .filter(|r| r.severity == Severity::Error)
        .collect();
    let pairs: Vec<_> = errors.iter().map(|r| r.between).collect();
    assert_eq!(pairs, [between], "{refused:?}");
    let message = errors[0].diagnostic(Place::of_file("newt.yaml"), Unit::Mm);
    let text = message.to_string();
    for part in parts {
        assert!(text.contains(part), "{part}: {text}");
    }
}

const FRONT: Facing = Facing::Front;
const REAR: Facing = Facing::Rear;

#[test]
fn sound_bodies_are_not_refused() {
    let mut form = body();
    form.pins = vec![pin(20.0, 0.0, 8.0), pin(42.0, 0.0, 8.0)];
    assert_eq!(all(&form, false), []);
    let mut form = socketed();
    form.outline.iter_mut().for_each(|s| s.half_width = 20.0);
    let errors = all(&form, false);
    assert!(
        errors.iter().all(|r| r.severity == Severity::Warning),
        "{errors:?}"
    );
}

#[test]
fn pin_through_socket() {
    let mut form = socketed();
    form.pins = vec![pin(23.0, 0.0, 8.0)];
    only(
        &form,
        (Feature::Socket(FRONT), Feature::PinHole(1)),
        &[
            "newt.yaml: error: found front socket and pin hole 1 cross by 1 mm",
            "socket radius 10 mm, pin hole radius 3 mm",
            "allowed 0.01 mm and more; move the pin",
        ],
    );
}

#[test]
fn socket_through_skin() {
    let mut form = socketed();
    form.outline[1].x = 15.0;
    form.outline[1].above = 9.5;
    only(
        &form,
        (Feature::Socket(FRONT), Feature::Skin),
        &[
            "front socket and skin cross by",
            "socket radius 10 mm, half height there 9.",
            "ball smaller",
        ],
    );
}

#[test]
fn pin_breaks_out_of_the_rim() {
    let mut form = body();
    form.pins = vec![pin(30.0, 15.5, 3.0)];
    only(
        &form,
        (Feature::PinHole(1), Feature::Rim),
        &[
            "pin hole 1 and rim cross by 0.5 mm at x",
            "half width there 18 mm",
        ],
    );
}

#[test]
fn two_pins_cross() {
    let mut form = body();
    form.pins = vec![pin(30.0, 0.0, 8.0), pin(35.0, 0.0, 8.0)];
    only(
        &form,
        (Feature::PinHole(1), Feature::PinHole(2)),
        &[
            "pin hole 1 and pin hole 2 cross by 1 mm at x 32.5 mm",
            "move the two pins apart",
        ],
    );
}

/// Under the wood's least the floor is an error, but not of a bench body.
#[test]
fn thin_pin_floor() {
    let mut form = body();
    form.pins = vec![pin(30.0, 0.0, 12.0)];
    only(
        &form,
        (Feature::PinFloor(1), Feature::Skin),
        &[
            "floor of pin hole 1 and skin 1.",
            "allowed 2.5 mm and more (habit)",
            "pin hole depth 12 mm",
            "shallower",
        ],
    );
    assert_eq!(all(&form, true), []);
}

#[test]
fn flare_wider_than_the_end() {
    let mut form = socketed();
    form.outline[0].half_width = 9.0;
    form.outline[1].half_width = 24.0;
    form.outline[1].x = 8.0;
    let refused = all(&form, false);
    let edge = (Feature::FlareEdge(FRONT), Feature::Outline(FRONT));
    let ring = refused.iter().find(|r| r.between == edge).unwrap();
    assert_eq!(ring.severity, Severity::Error);
    let text = ring.diagnostic(Place::default(), Unit::Mm).to_string();
    assert!(
        text.contains("edge of the front flare and outline of the front face cross by 1.11 mm"),
        "{text}"
    );
}

fn necked(neck_radius: f64) -> SectionForm {
    let mut form = body();
    form.rear.joint = EndJoint::Ball(Ball {
        radius: 10.0,
        reach: 16.0,
        neck_radius,
        fillet: 0.0,
    });
    form
}

#[test]
fn neck_wider_than_the_end() {
    let mut form = necked(6.0);
    form.outline[2].half_width = 5.5;
    only(
        &form,
        (Feature::Neck(REAR), Feature::Outline(REAR)),
        &[
            "rear neck and outline of the rear face cross by 0.5 mm",
            "neck radius 6 mm, half width of the face 5.5 mm",
        ],
    );
}

#[test]
fn ball_in_its_own_face() {
    let mut form = necked(6.0);
    if let EndJoint::Ball(ball) = &mut form.rear.joint {
        ball.reach = 7.5;
    }
    only(
        &form,
        (Feature::Ball(REAR), Feature::EndFace(REAR)),
        &[
            "rear ball and rear face cross by 0.5 mm",
            "reach of the ball 7.5 mm",
        ],
    );
}

#[test]
fn tilted_ends_cross() {
    let mut form = straight(8.0, 30.0, 28.0);
    form.lean = 0.2;
    only(
        &form,
        (Feature::EndFace(FRONT), Feature::EndFace(REAR)),
        &[
            "front face and rear face cross by",
            "section length 8 mm, lean of an end over its height 5.68 mm",
        ],
    );
}

/// Habits warn; lengths come in the file's unit.
#[test]
fn thin_wood_warns() {
    let mut form = socketed();
    form.outline.iter_mut().for_each(|s| s.half_width = 12.0);
    let refused = all(&form, false);
    let rim = refused
        .iter()
        .find(|r| r.between == (Feature::Socket(FRONT), Feature::Rim))
        .unwrap();
    assert!(rim.severity == Severity::Warning && rim.habit && rim.least == 3.0);
    assert!((rim.gap - 2.0).abs() < 1e-6);
    let text = rim.diagnostic(Place::default(), Unit::Inch).to_string();
    assert!(
        text.starts_with("warning: found front socket and rim 5/64 in (0.079) apart at x 7/16 in"),
        "{text}"
    );
    assert!(text.contains("(habit)"), "{text}");
    assert_eq!(all(&form, true), []);
}
