//! Plates, tabs and eyes: where they go, and what is refused.

use super::*;
use crate::chain::feature::{Eye, Flank, Tab, TabRoot};
use crate::chain::form::Side;

/// A creature whose first section has further keys.
fn with(keys: &str) -> String {
    newt(&format!(
        "sections: [{{name: head, length: 60, {keys}}}, {{name: body}}, {{name: tail}}]\n"
    ))
}

fn of_flank(tabs: &[Tab], flank: Flank) -> Vec<f64> {
    let own = tabs.iter().filter(|t| t.flank == flank);
    own.map(|t| t.x).collect()
}

#[test]
fn two_tabs_a_side_over_the_relief_groove() {
    for section in &sound(&newt(THREE)).creature.sections {
        let tabs = &section.form.features.tabs;
        let [minus, plus] = Flank::BOTH.map(|f| of_flank(tabs, f));
        assert_eq!((minus.len(), &minus), (2, &plus), "{}", section.name);
        assert!(minus[0] - 3.0 >= 6.0 && minus[1] + 3.0 <= section.form.length - 6.0);
        for tab in tabs {
            // Built-in shop: groove 2 deep, tabs 6 x 2, window 9.5.
            assert_eq!(
                (tab.from, tab.to, tab.width, tab.length),
                (2.0, 4.0, 6.0, [9.5; 2])
            );
            assert!(tab.to + 0.5 <= section.form.rim);
        }
    }
}

#[test]
fn tabs_as_written() {
    let tabs = |keys: &str| {
        sound(&with(keys)).creature.sections[0]
            .form
            .features
            .tabs
            .clone()
    };
    assert!(tabs("tabs: none").is_empty());
    assert_eq!(tabs("tabs: 1").len(), 2);
    let own = tabs(
        "tabs: [{side: left, at: 40%}, {side: both, at: 30 mm, width: 5, thickness: 1, underside: 2.5, length: 8}]",
    );
    assert_eq!(of_flank(&own, Flank::Minus), [24.0, 30.0]);
    assert_eq!(of_flank(&own, Flank::Plus), [30.0]);
    assert_eq!(
        (own[1].from, own[1].to, own[1].width, own[1].length),
        (2.5, 3.5, 5.0, [8.0; 2])
    );
    let bench = sound(&format!("{}bench_only: true\n{DEFAULTS}{THREE}", HEAD));
    assert!(
        bench
            .creature
            .sections
            .iter()
            .all(|s| s.form.features.tabs.is_empty())
    );
    let messages = refused(&newt(
        "sections: [{name: head, length: 38, tabs: 4}, {name: body}, {name: tail}]\n",
    ));
    assert!(
        messages.contains("4 tabs on a long side of `head`"),
        "{messages}"
    );
    let messages = refused(&with("tabs: [{side: back, at: 40%}, {side: left, at: 2%}]"));
    assert!(
        messages.contains("`back` in `head`, whose split is level"),
        "{messages}"
    );
    assert!(messages.contains("a tab at 1.2 mm of `head`"), "{messages}");
}

/// A plate over nearly all of the first section's right side, 0.7 and more beside its corners.
fn plated(plate: &str, more: &str) -> String {
    with(&format!(
        "{more}plates: [{{side: right, {plate} outline: [{{at: 12, out: 6, round: 2}}, {{at: 50, out: 6, round: 2}}]}}]"
    ))
}

#[test]
fn tabs_go_to_a_plate_where_the_rim_is_taken() {
    let tabs = |plate: &str, more: &str| {
        let found = sound(&plated(plate, more));
        let form = found.creature.sections[0].form.clone();
        (form.features.tabs, found.warnings.to_string())
    };
    let of = |tabs: &[Tab], flank: Flank| -> Vec<TabRoot> {
        let own = tabs.iter().filter(|t| t.flank == flank);
        own.map(|t| t.on).collect()
    };
    let (rim, edge) = ([TabRoot::Rim; 2], [TabRoot::Plate(0); 2]);
    for more in ["", "tabs: auto, ", "tabs: 2, "] {
        let (own, _) = tabs("thickness: 9,", more);
        assert_eq!(of(&own, Flank::Minus), rim);
        assert_eq!(of(&own, Flank::Plus), edge);
        let [front, rear] = of_flank(&own, Flank::Plus)[..] else {
            panic!("two tabs");
        };
        // 38 long, less the roundings, the tabs and 1 to each side; 4.5 between the tabs.
        assert!(front - 3.0 > 14.0 && rear + 3.0 < 48.0 && rear - front >= 10.5);
        assert!(
            own.iter()
                .all(|t| (t.from, t.to, t.length) == (2.0, 4.0, [9.5; 2]))
        );
    }
    // Half of 8.9 is less than groove 2, tab 2 and 0.5 over it; so is half of 10.8 less its ease.
    for thin in ["thickness: 8.9,", "thickness: 10.8, ease: 1,"] {
        let (own, words) = tabs(thin, "");
        assert!(of(&own, Flank::Plus).is_empty(), "{thin}");
        assert!(
            words.contains("a plate, 9 mm thick without its ease"),
            "{words}"
        );
    }
    let (own, _) = tabs("thickness: 11.2, ease: 1,", "");
    assert_eq!(of(&own, Flank::Plus), edge);
    // A whole section's tab is 1.5 high in a half, which a usual plate of 6 takes.
    let (own, _) = tabs("", "whole: true, rear: flat, ");
    assert_eq!(of(&own, Flank::Plus), edge);
    assert!(own.iter().all(|t| (t.from, t.to) == (0.0, 1.5)));
}

#[test]
fn written_tabs_on_a_plate() {
    let at = |place: f64, more: &str| format!("tabs: [{{side: right, at: {place}{more}}}], ");
    let tab = |plate: &str, more: &str| {
        sound(&plated(plate, more)).creature.sections[0]
            .form
            .features
            .tabs[0]
    };
    for (place, on) in [
        (30.0, TabRoot::Plate(0)),
        (18.5, TabRoot::Plate(0)),
        (8.0, TabRoot::Rim),
    ] {
        let own = tab("thickness: 9,", &at(place, ""));
        assert_eq!((own.x, own.on), (place, on));
    }
    // A low thin tab goes where the usual one does not.
    let low = at(30.0, ", underside: 0.5, thickness: 1");
    assert_eq!(tab("thickness: 4,", &low).on, TabRoot::Plate(0));
    let messages = refused(&plated("thickness: 3.9,", &low));
    assert!(
        messages.contains(
            "a tab of `head` with its top at 1.5 mm, on a plate that is upright up to 1.95 mm"
        ) && messages.contains("at least 2 mm, half its thickness without its ease"),
        "{messages}"
    );
    let messages = refused(&plated("thickness: 9,", &at(14.0, "")));
    assert!(
        messages.contains("a tab 6 mm wide at 14 mm of `head`, over its plate from 12 mm to 50 mm")
            && messages.contains(", on its straight outer edge"),
        "{messages}"
    );
    let messages = refused(&plated("thickness: 9,", &at(30.0, ", width: 40")));
    assert!(
        messages.contains("a tab 40 mm wide at 30 mm of `head`")
            && messages.contains("a width of at most 3"),
        "{messages}"
    );
}

#[test]
fn a_tab_on_a_plate_without_a_straight_edge() {
    let plate = "plates: [{side: right, thickness: 9, outline: [{at: 20, out: 6, round: 5}, {at: 30, out: 6, round: 5}]}]";
    let messages = refused(&with(&format!("tabs: [{{side: right, at: 25}}], {plate}")));
    assert!(
        messages.contains("a plate with a straight outer edge that runs to the rear")
            && messages.contains("move the tab to where the rim is free")
            && !messages.contains("at most"),
        "{messages}"
    );
}

#[test]
fn a_plate_is_named_only_where_there_is_one() {
    let messages = refused(&newt(
        "sections: [{name: head, length: 38, tabs: 4}, {name: body}, {name: tail}]\n",
    ));
    assert!(
        messages.contains("keep 6 mm from ends and pins, on a rim that is not steep")
            && !messages.contains("plate"),
        "{messages}"
    );
}

#[test]
fn the_rim_holds_the_thickest_plate() {
    let plate = |more: &str, thickness: f64| {
        with(&format!(
            "{more}plates: [{{side: both, thickness: {thickness}, outline: [{{at: 40%, out: 5}}, {{at: 60%, out: 5}}]}}]"
        ))
    };
    let form = |text: &str| sound(text).creature.sections[0].form.clone();
    assert_eq!(form(&plate("", 6.0)).rim, 4.5);
    let thick = form(&plate("", 12.0));
    assert_eq!((thick.rim, thick.features.plates.len()), (6.5, 2));
    assert_eq!(thick.features.plates[0].half_thickness, 6.0);
    let messages = refused(&plate("rim: 5, ", 12.0));
    assert!(
        messages.contains("a rim of 5 mm in `head`, allowed at least 6.5 mm"),
        "{messages}"
    );
    // Tabs keep off the plates.
    for tab in &form(&plate("", 6.0)).features.tabs {
        assert!(tab.x + 3.0 < 24.0 || tab.x - 3.0 > 36.0, "{tab:?}");
    }
}

#[test]
fn faults_of_plates() {
    let plate = |corners: &str| {
        refused(&with(&format!(
            "plates: [{{side: left, outline: [{corners}]}}]"
        )))
    };
    let messages = plate("{at: 60%, out: 5}, {at: 40%, out: 5}");
    assert!(
        messages.contains("a plate rooted from 36 mm to 24 mm"),
        "{messages}"
    );
    let messages = plate("{at: 60%, out: 5}, {at: 70 mm, out: 5}");
    assert!(
        messages.contains("a corner of a plate at 70 mm of `head`"),
        "{messages}"
    );
    let long = sound(&with(
        "plates: [{side: left, outline: [{at: 45%, out: 20}, {at: 60%, out: 20}]}]",
    ));
    assert!(
        long.warnings
            .to_string()
            .contains("stands out 20 mm of a root 9 mm long")
    );
}

#[test]
fn an_eye_stands_on_the_halves_of_its_pose() {
    let eyes =
        |text: &str| -> Vec<Eye> { sound(text).creature.sections[0].form.features.eyes.clone() };
    let key = "eyes: [{at: 50%, across: 5, diameter: 4}]";
    let level = eyes(&with(key));
    let places: Vec<(Side, f64)> = level.iter().map(|e| (e.side, e.y)).collect();
    assert_eq!(places, [(Side::Upper, 5.0), (Side::Upper, -5.0)]);
    assert_eq!(
        (level[0].x, level[0].radius, level[0].depth),
        (30.0, 2.0, 2.0)
    );
    let upright = eyes(&with(&format!("split: upright, {key}")));
    let places: Vec<(Side, f64)> = upright.iter().map(|e| (e.side, e.y)).collect();
    assert_eq!(places, [(Side::Upper, 5.0), (Side::Lower, 5.0)]);
    let single = eyes(&with(
        "eyes: [{at: 50%, diameter: 4, depth: 1, halves: lower}]",
    ));
    assert_eq!(
        (single.len(), single[0].side, single[0].depth),
        (1, Side::Lower, 1.0)
    );
    let messages = refused(&with("eyes: [{at: 50%, diameter: 4, halves: left}]"));
    assert!(
        messages.contains("`left` in `head`, whose split is level"),
        "{messages}"
    );
}

#[test]
fn a_whole_section_has_no_glue_face() {
    let whole = |keys: &str| with(&format!("whole: true, {keys}"));
    let form = sound(&whole("rear: flat")).creature.sections[0]
        .form
        .clone();
    assert!(form.whole && form.pins.is_empty());
    let features = &form.features;
    assert!(features.grooves.is_empty() && features.marks.is_empty());
    // 8 x 3 at mid-height: the split plane is the middle of the tab.
    assert_eq!(features.tabs.len(), 4);
    for tab in &features.tabs {
        assert_eq!((tab.from, tab.to, tab.width), (0.0, 1.5, 8.0));
    }
    let messages = refused(&whole("pins: 1"));
    assert!(
        messages.contains("half pins in `head`, a whole section"),
        "{messages}"
    );
    // Pins for the whole chain are those of its halves.
    let chain = sound(&newt(
        "  pins: 1\nsections: [{name: head, whole: true, rear_joint: ball}, {name: tail}]\n",
    ));
    let pins = |k: usize| chain.creature.sections[k].form.pins.len();
    assert_eq!((pins(0), pins(1)), (0, 1));
    let messages = refused(&whole("tabs: [{side: left, at: 50%, underside: 2}]"));
    assert!(
        messages.contains("an underside for a tab of `head`"),
        "{messages}"
    );
    let messages = refused(&newt(
        "sections: [{name: head}, {name: body, whole: true}, {name: tail}]\n",
    ));
    assert!(
        messages.contains("a socket at the front of `body`, a whole section"),
        "{messages}"
    );
}
