//! Tabs as their windows make them.

use limberwood::check::finding::{Amount, Finding};

use super::designs::{PAIR, Shop, laid, resolved, settings};

/// What the tabs of a section withstand when they are lifted, N.
fn lifted(finding: &Finding) -> f64 {
    let row = finding.rows.iter().find(|r| r.name == "lifted").unwrap();
    match row.cell("breaks at") {
        Some(Amount::Force(newtons)) => newtons,
        other => panic!("{other:?}"),
    }
}

#[test]
fn long_tabs_beside_feet_are_told_with_what_they_withstand() {
    let feet = "- name: tail\n  plates:\n  - side: both\n    thickness: 7\n    outline:\n    \
        - {at: 36%, out: 9, round: 3.5}\n    - {at: 44%, out: 14, round: 4}\n    \
        - {at: 54%, out: 14, round: 4}\n    - {at: 66%, out: 5, round: 2.5}\n";
    let plain = PAIR.replace("length: 60", "length: 80");
    let with_feet = plain.replace("- name: tail\n", feet);
    let of = |design: &str| {
        let resolved = resolved(design, &Shop::default().text()).unwrap();
        let laid = laid(&resolved, 1);
        let long = |k: usize| {
            let tabs = laid.form(k).features.tabs.iter().flat_map(|t| t.length);
            tabs.fold(0.0, f64::max)
        };
        let all = laid.findings(&resolved, &settings(&resolved));
        let tail = all.into_iter().find(|f| f.subject == "tail, in its window");
        (long(1), tail, resolved.blank.window)
    };
    let (long, tail, window) = of(&with_feet);
    let tail = tail.unwrap();
    assert!(long > window + 5.0, "{long}");
    assert!(
        tail.to_string()
            .contains(&format!("up to {:.1}", (long * 10.0).floor() / 10.0)),
        "{tail}"
    );
    let (short, beside, _) = of(&plain);
    assert!(short < long - 5.0, "{short} {long}");
    if let Some(beside) = beside {
        assert!(lifted(&beside) > lifted(&tail));
    }
}
