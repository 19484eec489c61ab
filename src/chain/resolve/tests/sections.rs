//! `like`, `repeat`, scale, ends, outline, places.

use super::*;
use crate::chain::form::{EndFace, EndJoint};
use std::collections::BTreeSet;

#[test]
fn a_plain_chain() {
    let resolved = sound(&newt(THREE));
    let sections = &resolved.creature.sections;
    assert_eq!(resolved.creature.species, "hard maple");
    let [head, body, tail] = &sections[..] else {
        panic!()
    };
    assert_eq!(head.form.front.face, EndFace::Closed);
    assert_eq!(head.form.rear.face, EndFace::Flat);
    assert!(matches!(head.form.rear.joint, EndJoint::Ball(_)));
    assert_eq!(body.form.front.face, EndFace::Domed { radius: 13.4 });
    assert!(matches!(body.form.front.joint, EndJoint::Socket(_)));
    assert_eq!(
        (tail.form.rear.face, tail.form.rear.joint),
        (EndFace::Closed, EndJoint::None)
    );
    assert_eq!((head.x, body.x, tail.x), (0.0, 50.0, 100.0));
    // Nose: 2 mm wide, the rim high and its half width more.
    let nose = head.form.outline[0];
    assert_eq!(
        (nose.x, nose.half_width, nose.above, nose.below),
        (0.0, 1.0, 5.5, 5.5)
    );
    // Dome: where the circle of radius 12 lies on a sphere of radius 13.4 that touches x = 0.
    let dome = body.form.outline[0];
    assert!(((13.4 - dome.x).powi(2) + 144.0 - 13.4f64.powi(2)).abs() < 1e-9);
    assert_eq!(
        (dome.half_width, dome.above, dome.squareness),
        (12.0, 12.0, 2.0)
    );
    // 35 % of what lies between dome and rear.
    let at = dome.x + 0.35 * (46.0 - dome.x);
    assert!((body.form.outline[1].x - at).abs() < 1e-12);
    // Finishing taper 3 degrees and half a degree.
    assert!((body.form.lean.to_degrees() - 3.5).abs() < 1e-9);
    assert_eq!(body.form.rim, 4.5);
    assert_eq!(resolved.sources[1].sanding, 0.1);
}

#[test]
fn repeat_taper_steps_and_like() {
    let resolved = sound(&newt(
        "sections:
  - {name: head}
  - {name: body, repeat: 6, taper: {to: 90%}, steps: 3}
  - {name: waist, like: body, scale: 95%, length: 50}
  - {name: tail, like: waist}
",
    ));
    let sections = &resolved.creature.sections;
    let names: Vec<&str> = sections.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(
        names,
        [
            "head", "body-1", "body-2", "body-3", "body-4", "body-5", "body-6", "waist", "tail"
        ]
    );
    let lengths: Vec<f64> = sections.iter().map(|s| s.form.length).collect();
    assert_eq!(
        lengths[1..7],
        [46.0, 46.0, 0.95 * 46.0, 0.95 * 46.0, 0.9 * 46.0, 0.9 * 46.0]
    );
    assert_eq!(lengths[7..], [47.5, 47.5]);
    let keys: BTreeSet<_> = sections.iter().map(|s| s.form.form_key()).collect();
    assert_eq!(keys.len(), 6, "head, three sizes, waist, tail");
    assert!((0..9).all(|k| sections[k].number == k + 1));
}

/// A section added at the tail leaves numbers, names, forms and places before it as they were.
#[test]
fn numbering_is_stable_when_the_tail_grows() {
    let of = |count: u32, more: &str| {
        sound(&newt(&format!(
            "sections:\n  - {{name: head}}\n  - {{name: body, repeat: {count}, taper: 0.99}}\n{more}  - {{name: tail}}\n"
        )))
    };
    let short = of(5, "").creature.sections;
    let longer = of(6, "").creature.sections;
    let other = of(5, "  - {name: waist}\n").creature.sections;
    assert_eq!(short[..6], longer[..6]);
    assert_eq!(short[..6], other[..6]);
}

#[test]
fn a_chain_may_be_turned_round() {
    let resolved = sound(&newt(
        "sections:
  - {name: head, rear: flat, rear_joint: socket}
  - {name: body, front: flat, rear: domed, rear_joint: socket, outline: [{at: 0%, half_width: 13, height: 12}, {at: 50%, half_width: 17, height: 15}, {at: 100%, half_width: 12, height: 12}]}
  - {name: tail}
",
    ));
    let [head, body, tail] = &resolved.creature.sections[..] else {
        panic!()
    };
    assert!(matches!(head.form.rear.joint, EndJoint::Socket(_)));
    assert_eq!(head.form.rear.face, EndFace::Flat);
    assert!(matches!(body.form.front.joint, EndJoint::Ball(_)));
    let EndFace::Domed { radius } = body.form.rear.face else {
        panic!()
    };
    let last = body.form.outline[2];
    let from_centre = last.x - (body.form.length - radius);
    assert!((from_centre.hypot(12.0) - radius).abs() < 1e-9);
    assert_eq!(tail.form.front.face, EndFace::Flat);
    assert!(resolved.joints.iter().all(|j| !j.ball_in_front));
    // A flat socket end is shallower: the mouth's plane and the land.
    let flat = resolved.joints[0].joint;
    assert!(flat.depth() < resolved.joints[1].joint.depth());
    assert!(resolved.joints[0].limits.faces.is_some() && resolved.joints[1].limits.faces.is_none());
    assert!(
        resolved.warnings.to_string().contains("they meet at"),
        "{}",
        resolved.warnings
    );
}

#[test]
fn outline_points_by_length_follow_the_scale() {
    let resolved = sound(&newt(
        "sections:
  - name: head
    scale: 1.5
    length: 40
    outline:
      - {at: 0, half_width: 12, height: 12}
      - {at: 10, half_width: 16, height: 12, squareness: 3}
      - {at: 40, half_width: 12, height: 12}
  - {name: tail}
",
    ));
    let outline = &resolved.creature.sections[0].form.outline;
    assert_eq!(
        (outline[1].x, outline[1].half_width, outline[1].squareness),
        (15.0, 24.0, 3.0)
    );
    assert_eq!(outline[2].x, 60.0);
}

#[test]
fn inches_and_an_upright_split() {
    let text = "limberwood: 1
name: Pike
units: in
species: cherry
split: upright
sections:
  - {name: head, length: 2, outline: [{at: 0%, half_width: 0.5, height: 0.5}, {at: 100%, half_width: 0.5, height: 12.7 mm}]}
";
    let resolved = sound(text);
    let split = |r: &Resolved| {
        r.creature
            .sections
            .iter()
            .map(|s| s.split)
            .collect::<Vec<_>>()
    };
    use crate::chain::Split::{Level, Upright};
    assert!(split(&resolved).iter().all(|&s| s == Upright));
    let mixed = sound(&newt(
        "split: upright\nsections: [{name: head, split: level}, {name: body}, {name: tail, like: head}]\n",
    ));
    assert_eq!(split(&mixed), [Level, Upright, Level]);
    assert!((resolved.creature.density - 560.0).abs() < 1e-9);
    let form = &resolved.creature.sections[0].form;
    assert!((form.length - 50.8).abs() < 1e-12);
    assert_eq!(form.outline.len(), 2);
}

/// A closed end keeps the written proportion where its tip is wide.
#[test]
fn a_wide_tip_is_as_high_as_written() {
    let resolved = sound(&newt(
        "sections: [{name: head, tip_width: 12, outline: [{at: 0%, half_width: 6, above: 8, below: 3}, {at: 50%, half_width: 15, height: 14}, {at: 100%, half_width: 12, height: 12}]}]\n",
    ));
    let nose = resolved.creature.sections[0].form.outline[0];
    assert_eq!((nose.half_width, nose.above, nose.below), (6.0, 8.0, 5.5));
}

/// The demo is sound as it stands, without a warning.
#[test]
fn the_demo_caterpillar() {
    let resolved = sound(include_str!("../../../../params/caterpillar.yaml"));
    assert!(resolved.warnings.is_empty(), "{}", resolved.warnings);
    let sections = &resolved.creature.sections;
    let keys: BTreeSet<_> = sections.iter().map(|s| s.form.form_key()).collect();
    assert_eq!(
        (sections.len(), keys.len()),
        (11, 5),
        "head, three sizes, tail"
    );
    assert!(sections.iter().all(|s| !s.form.pins.is_empty()));
}

/// What a repeated entry or `defaults` say of joints speaks of the sections between: at the
/// ends of the chain nothing is carried.
#[test]
fn repeated_entries_and_defaults_end_a_chain() {
    let resolved = sound(&newt(
        "sections: [{name: body, repeat: 3, front_joint: socket, rear_joint: ball, front: domed}]\n",
    ));
    let sections = &resolved.creature.sections;
    assert_eq!(sections[0].form.front.joint, EndJoint::None);
    assert_eq!(sections[0].form.front.face, EndFace::Closed);
    assert_eq!(sections[2].form.rear.joint, EndJoint::None);
    let written = newt(THREE).replace(
        "length: 46",
        "length: 46\n  front_joint: socket\n  rear_joint: ball\n  front: domed",
    );
    assert_eq!(sound(&written).creature, sound(&newt(THREE)).creature);
}
