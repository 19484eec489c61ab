//! Random designs: resolved or refused, never NaN, never a panic, the same every time.

use super::*;
use crate::chain::form::{EndJoint, SectionForm, Side};
use proptest::prelude::*;
use std::collections::BTreeSet;

fn numbers(form: &SectionForm) -> Vec<f64> {
    let mut all = vec![form.length, form.rim, form.lean];
    for s in &form.outline {
        all.extend([s.x, s.half_width, s.above, s.below, s.squareness]);
    }
    for pin in &form.pins {
        all.extend([
            pin.x,
            pin.y,
            pin.radius,
            pin.slot,
            pin.depth_above,
            pin.depth_below,
        ]);
    }
    for end in [form.front, form.rear] {
        match end.joint {
            EndJoint::None => {}
            EndJoint::Ball(b) => all.extend([b.radius, b.reach, b.neck_radius, b.fillet]),
            EndJoint::Socket(s) => all.extend([s.radius, s.depth, s.mouth_radius, s.flare]),
        }
    }
    all
}

fn invariants(resolved: &Resolved) {
    let sections = &resolved.creature.sections;
    assert_eq!(resolved.joints.len() + 1, sections.len());
    assert_eq!(resolved.sources.len(), sections.len());
    let names: BTreeSet<String> = sections.iter().map(|s| s.name.to_lowercase()).collect();
    assert_eq!(names.len(), sections.len());
    for (k, section) in sections.iter().enumerate() {
        let form = &section.form;
        assert_eq!(section.number, k + 1);
        assert!(numbers(form).iter().all(|n| n.is_finite()) && section.x.is_finite());
        assert!(form.outline.windows(2).all(|w| w[0].x < w[1].x));
        assert!(form.outline[0].x >= 0.0 && form.outline[form.outline.len() - 1].x <= form.length);
        assert!(
            form.outline
                .iter()
                .all(|s| s.above >= form.rim + 0.5 && s.below >= form.rim + 0.5)
        );
        assert!(
            form.outline
                .iter()
                .all(|s| s.half_width > form.rim * form.lean.tan())
        );
        assert_eq!(form.form_key(), form.form_key());
        if form.outline.iter().all(|s| s.above == s.below)
            && form
                .pins
                .iter()
                .all(|p| p.y == 0.0 && p.depth_above == p.depth_below)
        {
            assert_eq!(form.half_key(Side::Upper), form.half_key(Side::Lower));
        }
        if let Some(next) = sections.get(k + 1) {
            pair(form, &next.form, next.x - section.x - form.length);
        }
    }
}

/// Ball and socket are concentric in the straight creature, captured and clear.
fn pair(front: &SectionForm, rear: &SectionForm, gap: f64) {
    let (ball, socket) = match (front.rear.joint, rear.front.joint) {
        (EndJoint::Ball(b), EndJoint::Socket(s)) | (EndJoint::Socket(s), EndJoint::Ball(b)) => {
            (b, s)
        }
        other => panic!("{other:?}"),
    };
    assert!((ball.reach - socket.depth - gap).abs() < 1e-9 * ball.reach.max(100.0));
    assert!(ball.neck_radius < socket.mouth_radius && socket.mouth_radius < ball.radius);
    assert!(ball.radius < socket.radius);
}

fn key(name: &'static str, range: std::ops::Range<f64>) -> impl Strategy<Value = String> {
    proptest::option::weighted(0.4, range)
        .prop_map(move |v| v.map_or(String::new(), |v| format!("{name}: {v:.2}, ")))
}

prop_compose! {
    fn joint()(ball in key("ball", 12.0..26.0), neck in key("neck", 5.0..11.0), mouth in key("mouth", 10.0..20.0),
        swing in key("swing", 10.0..35.0), flare in key("flare", 10.0..60.0), land in key("land", 1.0..6.0),
        gap in key("gap", 1.0..6.0), fillet in key("fillet", 0.0..3.0)) -> String {
        format!("{ball}{neck}{mouth}{swing}{flare}{land}{gap}{fillet}clearance: 0.4")
    }
}

prop_compose! {
    fn design()(general in joint(), own in joint(), width in 11.0..20.0f64, height in 9.0..18.0f64, round in 8.0..14.0f64,
        length in 25.0..90.0f64, repeat in 1..7u32, taper in 85..100u32, steps in 1..4u32, scale in proptest::bool::ANY,
        square in 2.0..4.0f64, flat in proptest::bool::ANY, rim in 4.0..6.0f64, pins in 0..4usize) -> String {
        let pins = ["auto", "0", "1", "2"][pins];
        let taper = if repeat > 1 { format!(", taper: {{to: {taper}%}}, steps: {}", steps.min(repeat)) } else { String::new() };
        let face = if flat { "\n  front: flat" } else { "" };
        format!("{HEAD}scale_joints: {scale}
defaults:{face}
  length: {length}
  rim: {rim:.1}
  pins: {pins}
  outline:
    - {{at: 0%, half_width: {round}, height: {round}}}
    - {{at: 30%, half_width: {width}, above: {height}, below: {round}, squareness: {square}}}
    - {{at: 80%, half_width: {width}, height: {height}}}
    - {{at: 100%, half_width: {round}, height: {round}}}
joint: {{{general}}}
sections:
  - {{name: head, scale: 1.1}}
  - {{name: body, repeat: {repeat}{taper}}}
  - {{name: tail, like: body}}
joints: [{{after: head, {own}}}]
")
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn random_designs(text in design()) {
        let first = resolved(&text);
        match &first {
            Ok(resolved) => invariants(resolved),
            Err(messages) => {
                prop_assert!(!messages.starts_with("unread"), "{messages}\n{text}");
                for message in messages.lines() {
                    prop_assert!(message.starts_with("newt.yaml:"), "{message}");
                    prop_assert!(!message.contains("NaN") && !message.contains("inf "), "{message}");
                }
            }
        }
        prop_assert_eq!(resolved(&text), first);
    }
}

/// The random designs above are worth something only if many are sound and many are not.
#[test]
fn random_designs_are_both_sound_and_refused() {
    use proptest::strategy::ValueTree;
    use proptest::test_runner::TestRunner;
    let mut runner = TestRunner::deterministic();
    let sound = (0..200)
        .filter(|_| resolved(&design().new_tree(&mut runner).unwrap().current()).is_ok())
        .count();
    assert!((30..170).contains(&sound), "{sound} of 200");
}

/// A thousand sections, all of different size; the time they take is measured in `benches/pace.rs`.
#[test]
fn a_thousand_sections() {
    let text = newt(
        "sections: [{name: head}, {name: body, repeat: 998, taper: {to: 90%}}, {name: tail, scale: 90%}]\n",
    );
    let resolved = sound(&text);
    assert_eq!(resolved.creature.sections.len(), 1000);
    invariants(&resolved);
}
