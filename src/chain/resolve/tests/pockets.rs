//! Chamfers, glue grooves and marks.

use super::*;
use crate::chain::feature::{Features, Mark};
use crate::chain::form::{EndJoint, SectionForm, Side};
use crate::params::read_shop_str;

const CHAIN: &str = "sections: [{name: head, length: 60}, {name: body, length: 60, repeat: 3}, {name: tail, length: 70}]\n";

fn forms(rest: &str) -> Vec<SectionForm> {
    let sections = sound(&newt(rest)).creature.sections;
    sections.into_iter().map(|s| s.form).collect()
}

fn texts(features: &Features) -> Vec<&str> {
    features.marks.iter().map(|m| m.text.as_str()).collect()
}

#[test]
fn every_half_has_its_mark_and_every_socket_its_groove() {
    for (k, form) in forms(CHAIN).iter().enumerate() {
        let f = &form.features;
        // Equal sections carry the number of the first of them.
        let number = [1, 2, 2, 2, 5][k].to_string();
        assert_eq!(f.marks.len(), 2, "section {}", k + 1);
        assert!(texts(f).iter().all(|t| t[1..] == number), "{:?}", texts(f));
        assert_eq!(f.pin_chamfer, 0.5);
        let socket = match form.front.joint {
            EndJoint::Socket(s) => Some(s),
            _ => None,
        };
        assert_eq!(f.grooves.len(), usize::from(socket.is_some()));
        for (groove, socket) in f.grooves.iter().zip(socket) {
            assert_eq!((groove.x, groove.mouth), (socket.depth, -1.0));
            assert!((groove.radius - socket.radius - 1.9).abs() < 1e-12);
            assert_eq!((groove.half_width, groove.depth), (0.4, 0.8));
            assert!(groove.free > 0.3 && groove.free < 2.1);
            for pin in &form.pins {
                let gap = pin.x - groove.x - groove.radius - 0.4 - pin.radius - 0.5;
                assert!(gap >= 0.5 - 1e-9, "{gap}");
            }
        }
    }
}

#[test]
fn off_is_off_and_bench_bodies_have_none() {
    for form in forms(&format!("marks: off\nglue_groove: off\n{CHAIN}")) {
        assert_eq!(form.features.marks, []);
        assert_eq!(form.features.grooves, []);
        assert_eq!(form.features.pin_chamfer, 0.5);
    }
    for form in forms(&format!("bench_only: true\n{CHAIN}")) {
        assert_eq!(form.features, Features::default());
    }
}

/// The arrow's head leads to the front, and a 7 is a 7 for someone who looks at the glue face.
#[test]
fn marks_read_right_with_the_inside_up() {
    // Seen with the inside up: x to the right, y down.
    let page = |p: [f64; 2]| [p[0], -p[1]];
    let check = |mark: &Mark| {
        let strokes: Vec<Vec<[f64; 2]>> = mark
            .strokes
            .iter()
            .map(|s| s.path.iter().map(|&p| page(p)).collect())
            .collect();
        // The arrow comes last: its head, then its shaft.
        let [.., head, shaft] = &strokes[..] else {
            panic!("{mark:?}")
        };
        let tip = head[1];
        assert!(
            shaft
                .iter()
                .chain(&[head[0], head[2]])
                .all(|p| p[0] > tip[0])
        );
        // A 7: its bar runs right and its leg turns to the right from it. The reader sees the arrow
        // point to the left or up.
        let seven = &strokes[0];
        assert_eq!(seven.len(), 3);
        let (bar, leg) = (
            [seven[1][0] - seven[0][0], seven[1][1] - seven[0][1]],
            [seven[2][0] - seven[1][0], seven[2][1] - seven[1][1]],
        );
        assert!(
            bar[0] * leg[1] - bar[1] * leg[0] < 0.0,
            "mirrored: {mark:?}"
        );
        if mark.text.starts_with('<') {
            assert!(
                bar[0] > 0.0 && bar[1].abs() < 1e-9,
                "along, front to the left"
            );
        } else {
            assert!(bar[1] > 0.0 && bar[0].abs() < 1e-9, "across, front up");
        }
    };
    let row = (1..=7)
        .map(|k| format!("{{name: s{k}, length: {}}}", 60 + k))
        .collect::<Vec<_>>()
        .join(", ");
    let found = forms(&format!("sections: [{row}]\n"));
    assert_eq!(found[6].features.marks.len(), 2);
    found[6].features.marks.iter().for_each(check);
}

#[test]
fn a_shop_without_the_cutter_makes_neither_and_says_so() {
    let text = "limberwood_shop: 1\nname: Shed\nunits: mm\ncutters:\n  - {name: a, jobs: [finish, holes], \
        kind: ball, tip_diameter: 3.175}\nstock: [{name: b, thickness: 38}]\n";
    let (shop, _) = read_shop_str(text, "shed.yaml").unwrap();
    let (design, _) = read_design_str(&newt(CHAIN), "newt.yaml").unwrap();
    let found = resolve(&design, &shop).unwrap();
    for section in &found.creature.sections {
        assert!(section.form.features.marks.is_empty() && section.form.features.grooves.is_empty());
    }
    let said = found.warnings.to_string();
    assert_eq!(said.matches("job `marks`").count(), 1, "{said}");
    assert!(said.contains("by pencil"), "{said}");
}

/// A thicker cutter makes wider strokes and grooves, and its size as measured counts.
#[test]
fn strokes_are_as_wide_as_their_cutter() {
    let text = "limberwood_shop: 1\nname: Shed\nunits: mm\ncutters:\n  - {name: a, jobs: [finish], \
        kind: ball, tip_diameter: 3.175}\n  - {name: b, jobs: [marks], kind: flat, diameter: 1, measured: 1.1}\n\
        stock: [{name: b, thickness: 38}]\nfits: {chamfer: 0.3}\n";
    let (shop, _) = read_shop_str(text, "shed.yaml").unwrap();
    let (design, _) = read_design_str(&newt(CHAIN), "newt.yaml").unwrap();
    let found = resolve(&design, &shop).unwrap();
    let features = &found.creature.sections[1].form.features;
    assert_eq!(features.grooves[0].half_width, 0.55);
    assert_eq!(features.marks[0].half_width, 0.55);
    assert_eq!(features.pin_chamfer, 0.3);
}

#[test]
fn what_finds_no_room_is_left_out_with_advice() {
    let narrow = "sections: [{name: head}, {name: body, length: 30, pins: 0, outline: [{at: 0%, half_width: 12.2, height: 12.2}, \
        {at: 50%, half_width: 13, height: 15}, {at: 100%, half_width: 12, height: 12}]}, {name: tail}]\n";
    let found = sound(&newt(narrow));
    let features = &found.creature.sections[1].form.features;
    assert_eq!((features.marks.len(), features.grooves.len()), (0, 0));
    let said = found.warnings.to_string();
    assert!(
        said.contains("no room for a glue groove round the front socket of `body`"),
        "{said}"
    );
    assert!(
        said.contains("no room for the mark `2` in the glue face of `body`"),
        "{said}"
    );
}

/// Eyes that reach down to the glue face: the number moves away, the groove gives way or ends.
#[test]
fn marks_and_grooves_keep_away_from_deep_eyes() {
    let head = |eyes: &str| {
        let rest = format!(
            "sections: [{{name: head, length: 60}}, {{name: body, length: 60, {eyes}}}, {{name: tail, length: 70}}]\n"
        );
        forms(&rest)[1].features.clone()
    };
    let plain = head("");
    let path = |m: &Mark| m.strokes[0].path[0];
    let [x, y] = path(&plain.marks[0]);
    let deep = head(&format!(
        "eyes: [{{at: {x:.3} mm, across: {y:.3} mm, pair: false, diameter: 3, depth: 14}}]"
    ));
    let eye = deep.eyes[0];
    let far = |mark: &Mark| {
        let points = mark.strokes.iter().flat_map(|s| &s.path);
        points.fold(f64::INFINITY, |least, p| {
            least.min((p[0] - eye.x).hypot(p[1] - eye.y))
        })
    };
    assert!(far(&plain.marks[0]) < 0.1);
    let moved = deep.marks.iter().find(|m| m.side == Side::Upper).unwrap();
    assert!(far(moved) > 1.5 + 2.5, "{}", far(moved));
    // The other half has no eye, and its number stays.
    assert_eq!(deep.marks.last(), plain.marks.last());
    // A shallow one moves nothing.
    let shallow = head(&format!(
        "eyes: [{{at: {x:.3} mm, across: {y:.3} mm, pair: false, diameter: 3, depth: 2}}]"
    ));
    assert_eq!(shallow.marks, plain.marks);
    let groove = plain.grooves[0];
    let beside = head(&format!(
        "eyes: [{{at: {:.3} mm, across: 0 mm, diameter: 3, depth: 14}}]",
        groove.x + groove.radius
    ));
    assert!(beside.grooves.is_empty());
    let side = groove.free + 0.3;
    let (sin, cos) = side.sin_cos();
    let ending = head(&format!(
        "eyes: [{{at: {:.3} mm, across: {:.3} mm, pair: false, diameter: 3, depth: 11}}]",
        groove.x - groove.radius * cos,
        groove.radius * sin
    ));
    assert!(ending.grooves.iter().all(|g| g.free > side));
}
