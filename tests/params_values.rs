//! What is written arrives in the records: every key, in both units, with its place.

use limberwood::params::value::{
    Along, CutterKind, EndForm, Job, JointKind, OrAuto, Pins, SectionTaper, SplitPose, Wanted,
};
use limberwood::params::{Located, read_design_str, read_shop_str};
use limberwood::units::{Length, Unit};
use proptest::prelude::*;

const EVERY_KEY: &str = "\
limberwood: 1
name: Größe 7 / Hecht
units: in
species: Cherry
split: upright
bench_only: true
scale_joints: false
marks: off
glue_groove: auto
defaults: {rim: 4.5 mm, lean: 3.5 deg, sanding: 0.1 mm}
joint: {ball: 3/4 in, clearance: 0.4 mm, neck: 0.34, mouth: 16.4 mm, swing: 25°, flare: 0.4 rad, land: 3 mm, gap: 4 mm, fillet: 0}
sections:
  - name: no
    front: closed
    rear: flat
    front_joint: none
    rear_joint: ball
    tip_width: 1/8 in
    scale: 90%
    length: 1-1/2 in
    outline:
      - {at: 0, half_width: 0.5, height: 0.5}
      - {at: 50%, half_width: 0.6, above: 0.6, below: 0.5, squareness: 3}
      - {at: 1.5, half_width: 0.5, height: 0.5}
    pins: [{at: 30%, across: -1 mm, diameter: 6.5 mm, slot: 0.6 mm, depth: 8 mm, depth_above: 9 mm}]
  - {name: body, like: NO, repeat: 8, taper: {to: 70%}, steps: 2, pins: 2}
  - {name: tail, pins: auto, front: domed, rear_joint: none}
joints:
  - {after: body-8, ball: 18 mm}
";

fn mm(length: &Option<Located<Length>>) -> f64 {
    length.as_ref().expect("written").value.mm()
}

/// Of a value that could be `auto`.
fn given(length: &Option<Located<OrAuto<Length>>>) -> f64 {
    length
        .as_ref()
        .and_then(|l| l.value.given())
        .expect("given")
        .mm()
}

fn close(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-9, "{a} {b}");
}

#[test]
fn every_key_of_a_design() {
    let (design, warnings) = read_design_str(EVERY_KEY, "pike.yaml")
        .map_err(|e| e.to_string())
        .unwrap();
    assert_eq!(warnings, []);
    assert_eq!(design.units.value.0, Unit::Inch);
    assert_eq!(design.split.as_ref().unwrap().value, SplitPose::Upright);
    assert!(design.bench_only.as_ref().unwrap().value);
    assert_eq!(design.marks.as_ref().unwrap().value, Wanted::Off);
    assert_eq!(design.glue_groove.as_ref().unwrap().value, Wanted::Auto);
    let joint = &design.joint.as_ref().unwrap().value;
    close(given(&joint.ball), 19.05);
    close(given(&joint.neck), 0.34 * 25.4);
    close(given(&joint.fillet), 0.0);
    close(
        joint
            .swing
            .as_ref()
            .unwrap()
            .value
            .given()
            .unwrap()
            .degrees(),
        25.0,
    );
    close(
        joint
            .flare
            .as_ref()
            .unwrap()
            .value
            .given()
            .unwrap()
            .radians(),
        0.4,
    );
    let head = &design.sections.value[0].value;
    assert_eq!(head.name.as_ref().unwrap().value.0, "no");
    assert_eq!(head.front.as_ref().unwrap().value, EndForm::Closed);
    assert_eq!(head.rear_joint.as_ref().unwrap().value, JointKind::Ball);
    close(head.scale.as_ref().unwrap().value.0, 0.9);
    close(mm(&head.length), 38.1);
    let outline = &head.outline.as_ref().unwrap().value;
    assert_eq!(outline[1].value.at.value, Along::Fraction(0.5));
    close(mm(&outline[1].value.below), 12.7);
    let Pins::List(pins) = &head.pins.as_ref().unwrap().value else {
        panic!("a list of pins")
    };
    close(mm(&pins[0].value.across), -1.0);
    let body = &design.sections.value[1].value;
    assert_eq!(body.repeat.as_ref().unwrap().value, 8);
    assert_eq!(body.taper.as_ref().unwrap().value, SectionTaper::To(0.7));
    assert_eq!(body.pins.as_ref().unwrap().value, Pins::Count(2));
    let over = &design.joints.as_ref().unwrap().value[0].value;
    close(given(&over.joint.ball), 18.0);
    let place = &over.joint.ball.as_ref().unwrap().place;
    assert_eq!(
        (place.line, place.column, place.path.as_str()),
        (29, 27, "joints[0].ball")
    );
}

#[test]
fn every_key_of_a_shop() {
    let text = "\
limberwood_shop: 1
name: Keller
units: mm
cutters:
  - {name: a, jobs: [rough, holes, relief], kind: flat, diameter: 6, measured: 5.97, cutting_length: 25, shank: 6}
  - {name: b, jobs: [finish], kind: ball, tip_diameter: 3, taper: 6 deg included}
  - {name: c, jobs: [finish], kind: ball, tip_diameter: 3, taper: 3° per side}
  - {name: d, jobs: [marks, holes, relief, rough], kind: flat, diameter: 1/32 in}
stock: [{name: board, thickness: 3/4 in, species: walnut}]
fits: {clearance: 0.4, dowel: 1/4 in, slip: 0.15, slot: 0.6, chamfer: 0, sanding: 0}
";
    let (shop, _) = read_shop_str(text, "shop.yaml")
        .map_err(|e| e.to_string())
        .unwrap();
    let cutters = &shop.cutters.value;
    close(mm(&cutters[0].value.measured), 5.97);
    assert_eq!(cutters[1].value.kind.value, CutterKind::Ball);
    assert_eq!(cutters[1].value.jobs.value[0].value, Job::Finish);
    for cutter in &cutters[1..3] {
        close(
            cutter
                .value
                .taper
                .as_ref()
                .unwrap()
                .value
                .per_side
                .degrees(),
            3.0,
        );
    }
    assert_eq!(cutters[3].value.jobs.value[0].value, Job::Marks);
    close(mm(&shop.fits.as_ref().unwrap().value.chamfer), 0.0);
    close(shop.stock.value[0].value.thickness.value.mm(), 19.05);
    close(mm(&shop.fits.as_ref().unwrap().value.sanding), 0.0);
}

proptest! {
    /// A plain number is the file's unit; the same length with a unit is the same.
    #[test]
    fn plain_and_written_units_agree(value in 0.2..7.0f64, inch in any::<bool>()) {
        let unit = if inch { "in" } else { "mm" };
        let file = |ball: &str| format!("limberwood: 1\nname: x\nunits: {unit}\njoint: {{ball: {ball}}}\nsections: [{{name: a}}]\n");
        let value = if inch { value } else { value * 25.4 };
        let plain = read_design_str(&file(&value.to_string()), "x").map(|(d, _)| given(&d.joint.unwrap().value.ball));
        let with_unit = read_design_str(&file(&format!("{value} {unit}")), "x").map(|(d, _)| given(&d.joint.unwrap().value.ball));
        prop_assert_eq!(plain.is_ok(), value * if inch { 25.4 } else { 1.0 } >= 3.0);
        if let (Ok(plain), Ok(with_unit)) = (plain, with_unit) {
            prop_assert_eq!(plain.to_bits(), with_unit.to_bits());
        }
    }
}
