//! Flats: the outline made level under them, and what is refused.

use super::*;
use crate::chain::feature::Flat;
use crate::chain::form::{SectionForm, Side};
use crate::chain::half::HalfForm;
use crate::chain::outline::Outline;

/// A creature whose tail has further keys.
fn tail(keys: &str) -> String {
    newt(&format!(
        "sections: [{{name: head}}, {{name: tail, length: 60, {keys}}}]\n"
    ))
}

fn form(keys: &str) -> SectionForm {
    sound(&tail(keys)).creature.sections[1].form.clone()
}

#[test]
fn the_outline_is_level_under_a_flat() {
    let form = form("flats: [{width: 14, from: 40%, to: 36 mm, height: 13}]");
    let [flat] = form.features.flats.as_slice() else {
        panic!("{:?}", form.features.flats);
    };
    assert_eq!(flat.side, Side::Lower);
    assert_eq!(
        (flat.from, flat.to, flat.half_width, flat.height),
        (24.0, 36.0, 7.0, 13.0)
    );
    let lean = 15.0 * form.lean.tan();
    assert!(flat.level.0 <= 24.0 - lean + 1e-9 && flat.level.1 >= 36.0 + lean - 1e-9);
    let (mut ends, mut inside) = (0, 0);
    for s in &form.outline {
        ends += usize::from(s.x == flat.level.0 || s.x == flat.level.1);
        if (flat.level.0..=flat.level.1).contains(&s.x) {
            assert_eq!(s.below, 13.0);
            assert!(s.above > 15.0);
            inside += 1;
        }
    }
    assert!(ends == 2 && inside >= 2);
    assert!(form.outline.windows(2).all(|w| w[1].x - w[0].x > 0.2));
}

#[test]
fn its_height_is_the_least_of_the_outline_when_left_out() {
    let form = form("flats: [{side: upper, width: 10, from: 20 mm, to: 40 mm}]");
    let flat = form.features.flats[0];
    // The written stations at 35 and 70 % are 16 and 15.5 high, and the outline runs monotone.
    assert!(flat.height > 15.0 && flat.height <= 16.0, "{flat:?}");
    let inside = |x: f64| (flat.level.0..=flat.level.1).contains(&x);
    assert!(
        form.outline
            .iter()
            .filter(|s| inside(s.x))
            .all(|s| s.above == flat.height)
    );
}

/// The other half keeps its curve, and both their width: as without the flats.
#[test]
fn a_flat_changes_nothing_but_the_height_of_its_half() {
    let plain = form("");
    for keys in [
        "flats: [{width: 14, from: 40%, to: 36 mm, height: 13}]",
        "flats: [{width: 8, from: 40%, to: 36 mm}, {side: upper, width: 6, from: 20 mm, to: 50%, height: 12}]",
    ] {
        let flat = form(keys);
        assert!(flat.outline.len() > plain.outline.len());
        for side in [Side::Upper, Side::Lower] {
            let [a, b] = [&plain, &flat].map(|f| Outline::of(&HalfForm::of(f, side)));
            let own = flat.features.flats.iter().any(|f| f.side == side);
            let mut moved = 0.0f64;
            for k in 0..=600 {
                let x = f64::from(k) * 0.1;
                let [p, q] = [&a, &b].map(|o| o.at(o.u_of_x(x)).0);
                assert!(
                    (p[1] - q[1]).abs() < 1e-12 && (p[3] - q[3]).abs() < 1e-12,
                    "{x}"
                );
                moved = moved.max((p[2] - q[2]).abs());
            }
            assert_eq!(moved > 1e-12, own, "{side:?} {moved}");
        }
        // And the stations lie on the curves.
        for side in [Side::Upper, Side::Lower] {
            let half = HalfForm::of(&flat, side);
            let run = Outline::of(&half);
            for s in &half.stations {
                let v = run.at(run.u_of_x(s.x)).0;
                assert!((v[1] - s.half_width).abs() < 1e-12 && (v[2] - s.height).abs() < 1e-12);
            }
        }
    }
}

/// As low as an outline may be: no flat that leaves its height to the program is refused for it.
#[test]
fn a_height_left_out_is_over_the_rim_as_the_outline_is() {
    let low = |height: &str| {
        tail(&format!(
            "rim: 4.5, rear: closed, outline: [{{at: 0%, half_width: 12.5, height: 12.5}}, \
             {{at: 40%, half_width: 12, height: 5}}, {{at: 70%, half_width: 12, height: 5}}, \
             {{at: 100%, half_width: 6, height: 6}}], \
             flats: [{{width: 6, from: 45%, to: 65%{height}}}]"
        ))
    };
    let found = sound(&low(""));
    assert_eq!(
        found.creature.sections[1].form.features.flats[0].height,
        5.0
    );
    let messages = refused(&low(", height: 4.9"));
    assert!(
        messages.contains("write `height: 5 mm` or more, or make the rim lower"),
        "{messages}"
    );
}

#[test]
fn sides_by_the_pose_of_the_split() {
    let sides = |keys: &str| -> Vec<Side> {
        let flats: Vec<Flat> = form(keys).features.flats;
        flats.iter().map(|f| f.side).collect()
    };
    let flat = |side: &str| format!("flats: [{{{side}width: 8, from: 40%, to: 60%}}]");
    assert_eq!(sides(&flat("")), [Side::Lower]);
    assert_eq!(sides(&flat("side: both, ")), [Side::Upper, Side::Lower]);
    assert_eq!(
        sides(&format!("split: upright, {}", flat(""))),
        [Side::Upper, Side::Lower]
    );
    assert_eq!(
        sides(&format!("split: upright, {}", flat("side: right, "))),
        [Side::Lower]
    );
    let messages = refused(&tail(&flat("side: left, ")));
    assert!(
        messages.contains("`left` in `tail`, whose split is level"),
        "{messages}"
    );
}

#[test]
fn flats_grow_with_their_section() {
    let form = form("scale: 90%, flats: [{width: 14, from: 20 mm, to: 60%, height: 12}]");
    let flat = form.features.flats[0];
    assert_eq!((flat.half_width, flat.height), (6.3, 10.8));
    assert!((flat.from - 18.0).abs() < 1e-9 && (flat.to - 32.4).abs() < 1e-9);
}

#[test]
fn faults_name_both_numbers_and_a_way_out() {
    let one = |keys: &str| refused(&tail(&format!("flats: [{{{keys}}}]")));
    for (keys, found, allowed, way_out) in [
        (
            "width: 8, from: 1 mm, to: 40 mm",
            "begins at 1 mm",
            "to the end of the outline are not level",
            "write `from: ",
        ),
        (
            "width: 8, from: 20 mm, to: 59.5 mm",
            "ends at 59.5 mm",
            "at most",
            "write `to: ",
        ),
        (
            "width: 8, from: 20 mm, to: 35%",
            "from 20 mm to 21 mm",
            "2 mm long",
            "write `to: 22 mm`",
        ),
        (
            "width: 8, from: 27 mm, to: 38 mm, height: 17",
            "a flat 17 mm",
            "at most 15 mm",
            "write `height: 15 mm`",
        ),
        (
            "width: 8, from: 20 mm, to: 40 mm, height: 4",
            "a flat 4 mm",
            "at least",
            "write `height: 5 mm` or more",
        ),
    ] {
        let messages = one(keys);
        for part in [found, allowed, way_out] {
            assert!(messages.contains(part), "{part}: {messages}");
        }
        assert!(messages.contains("newt.yaml:"), "{messages}");
    }
    let two = refused(&tail(
        "flats: [{width: 8, from: 20 mm, to: 30 mm}, {width: 8, from: 31 mm, to: 40 mm}]",
    ));
    assert!(two.contains("1 mm from another of the same half"), "{two}");
    // Of the two halves they do not meet.
    let apart = "flats: [{width: 8, from: 20 mm, to: 30 mm}, {side: upper, width: 8, from: 31 mm, to: 40 mm}]";
    assert_eq!(form(apart).features.flats.len(), 2);
}
