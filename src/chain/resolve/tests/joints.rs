//! Joint records: general, own, in conflict.

use super::*;
use crate::chain::joint::Joint;

fn joints(rest: &str) -> Vec<Joint> {
    sound(&newt(rest)).joints.iter().map(|j| j.joint).collect()
}

#[test]
fn own_keys_win_over_general_ones() {
    let both = joints(&format!(
        "joint: {{neck: 9, gap: 4.5}}\n{THREE}joints: [{{after: HEAD, neck: 8, clearance: 0.3}}]\n"
    ));
    assert_eq!(
        (both[0].neck, both[0].clearance, both[0].gap),
        (4.0, 0.3, 4.5)
    );
    assert_eq!(
        (both[1].neck, both[1].clearance, both[1].gap),
        (4.5, 0.4, 4.5)
    );
}

/// All three of swing, mouth and neck, one or two of them for one joint: a general one gives
/// way, the swing first.
#[test]
fn a_general_key_gives_way() {
    let with = |own: &str| {
        joints(&format!(
            "joint: {{neck: 8.5, swing: 25 deg}}\n{THREE}joints: [{{after: head, {own}}}]\n"
        ))[0]
    };
    let mouth = with("mouth: 17");
    assert_eq!((mouth.mouth, mouth.neck), (8.5, 4.25));
    assert!(mouth.swing.to_degrees() > 26.0);
    let swing = with("mouth: 17, swing: 20 deg");
    assert_eq!(swing.mouth, 8.5);
    assert!((swing.swing.to_degrees() - 20.0).abs() < 1e-9 && swing.neck > 4.25);
}

#[test]
fn a_conflict_names_values_lines_and_what_agrees() {
    let messages = refused(&newt(&format!(
        "joint:\n  ball: 20\n  neck: 8.5\n  mouth: 16\n{THREE}joints:\n  - {{after: head, swing: 20 deg, neck: 8, mouth: 16}}\n  - {{after: body, mouth: 21}}\n"
    )));
    let lines: Vec<&str> = messages.lines().collect();
    assert_eq!(lines.len(), 2, "{messages}");
    for part in [
        "swing 20 deg (line",
        "mouth 16 mm (line",
        "neck 8 mm (line",
        "ball 20 mm (line 12)",
        "`swing: ",
        "`mouth: ",
        "`neck: ",
    ] {
        assert!(lines[0].contains(part), "{part}: {messages}");
    }
    assert!(lines[0].contains("joints[0].swing"), "{messages}");
    assert!(
        lines[1].contains("joints[1].mouth") && lines[1].contains("falls out"),
        "{messages}"
    );
}

/// What a conflict advises is taken when written.
#[test]
fn the_advised_values_are_taken() {
    let metric = |keys: &str| newt(&format!("joint: {{{keys}}}\n{THREE}"));
    advice_is_taken(&metric);
    let scale = |text: String| {
        text.replace("units: mm", "units: in")
            .replace("length: 46", "length: 46 mm")
    };
    let inches = |keys: &str| {
        let sizes = DEFAULTS
            .replace(", height: 12", ", height: 12 mm")
            .replace("half_width: 12", "half_width: 12 mm");
        let sizes = sizes.replace(
            "half_width: 17, above: 16, below: 15",
            "half_width: 17 mm, height: 15 mm",
        );
        let sizes = sizes.replace(
            "half_width: 16.5, above: 15.5, below: 15",
            "half_width: 16 mm, height: 15 mm",
        );
        let sizes = sizes.replace("half_width: 13", "half_width: 13 mm");
        scale(format!("{HEAD}{sizes}joint: {{{keys}}}\n{THREE}"))
    };
    advice_is_taken(&inches);
}

fn advice_is_taken(design: &dyn Fn(&str) -> String) {
    let start = [
        ("ball", "20 mm"),
        ("neck", "8 mm"),
        ("mouth", "16 mm"),
        ("swing", "20 deg"),
    ];
    let text = |with: &[(&str, String)]| {
        let keys: Vec<String> = start
            .iter()
            .map(|(k, v)| {
                let new = with
                    .iter()
                    .find(|(w, _)| w == k)
                    .map_or(*v, |(_, n)| n.as_str());
                format!("{k}: {new}")
            })
            .collect();
        design(&keys.join(", "))
    };
    let message = refused(&text(&[]));
    let advice: Vec<(String, String)> = message
        .split('`')
        .filter_map(|part| part.split_once(": "))
        .filter(|(key, _)| ["swing", "mouth", "neck"].contains(key))
        .map(|(key, value)| (key.to_owned(), value.to_owned()))
        .collect();
    assert_eq!(advice.len(), 3, "{message}");
    for (key, value) in advice {
        let written = text(&[(key.as_str(), value.clone())]);
        assert!(
            resolved(&written).is_ok(),
            "{key}: {value}\n{}",
            refused(&written)
        );
    }
}

#[test]
fn joints_scale_only_on_request() {
    let rest =
        "sections: [{name: head}, {name: body, scale: 0.9, rear_joint: ball}, {name: tail}]\n";
    let same = joints(rest);
    assert_eq!((same[0].ball, same[1].ball), (10.0, 10.0));
    let scaled = joints(&format!(
        "scale_joints: true\njoint: {{ball: 20, neck: 9}}\n{rest}joints: [{{after: body, neck: 8.5}}]\n"
    ));
    assert_eq!((scaled[0].ball, scaled[0].neck), (10.0, 4.5));
    assert_eq!(
        (scaled[1].ball, scaled[1].neck),
        (9.0, 4.25),
        "an own neck is meant as it stands"
    );
}

/// A fault of a general key in a long chain is said once.
#[test]
fn a_fault_of_all_joints_is_one_message() {
    let messages = refused(&newt(
        "joint: {mouth: 21}\nsections: [{name: head}, {name: body, repeat: 500}, {name: tail}]\n",
    ));
    assert_eq!(messages.lines().count(), 1, "{messages}");
}

#[test]
fn habits_are_called_habits() {
    let warnings = sound(&newt(&format!("joint: {{neck: 6}}\n{THREE}"))).warnings;
    assert_eq!(warnings.len(), 1);
    assert!(warnings.to_string().contains("(habit)"), "{warnings}");
}

/// A swing that the clearance takes whole is told as that, not as a fault of the shop's record.
#[test]
fn a_swing_that_the_clearance_takes_is_refused() {
    let messages = refused(&newt(&format!(
        "joint: {{ball: 20, neck: 8.5, clearance: 0.4, swing: 3 deg}}\n{THREE}"
    )));
    for part in [
        "a swing of 3 deg at the joint after `head`",
        "clearance of 0.4 mm",
        "make the mouth wider or the swing larger",
    ] {
        assert!(messages.contains(part), "{part}: {messages}");
    }
    assert!(!messages.contains("record"), "{messages}");
}
