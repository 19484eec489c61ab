//! One fault each of strength, budget, pins, small parts, gap, edges and balance.

use super::*;

const TAIL: &str = "    length: 62\n";
const HEAD: &str = "    length: 48\n";
const WOOD: &str = "species: hard maple\njoint: {ball: 20, clearance: 0.4, neck: 8.5, swing: 25 deg, land: 3.3, gap: 4}";
const BEAN: &str = "limberwood: 1\nname: Bean\nunits: mm\nspecies: hard maple\nsections:\n  - name: bean\n    whole: true\n    \
                    length: 44\n    front: closed\n    rear: closed\n    tip_width: 8\n    outline:\n      - {at: 0%, half_width: 4, height: 4}\n      \
                    - {at: 50%, half_width: 14, height: 6}\n      - {at: 100%, half_width: 4, height: 4}\n";

/// What is put in the place of what in a text.
type Change = (&'static str, &'static str);

/// A design, what is changed in it and in the built-in shop, the check that must be open alone, and
/// words of every finding of it that say the cause.
type Fault = (
    &'static str,
    &'static [Change],
    &'static [Change],
    &'static str,
    &'static str,
);

const FAULTS: &[Fault] = &[
    // The losses of a wide slip alone are more than the clearance.
    (
        GOOD,
        &[(
            "joint:",
            "accept: [{check: pin-fit, reason: a test}]\njoint:",
        )],
        &[("slip: 0.15 mm", "slip: 0.7 mm")],
        "budget",
        "of the clearance",
    ),
    (
        GOOD,
        &[(
            "joint: {ball: 20, clearance: 0.4, neck: 8.5, swing: 25 deg, land: 3.3",
            "accept: [{check: odd-clearance, reason: a test}]\njoint: {ball: 20, clearance: 0.14, neck: 8.5, swing: 25 deg, land: 3.6",
        )],
        &[],
        "budget",
        "of the clearance",
    ),
    // A dowel of 6.35 may be 0.127 thicker, and shifts in more than 0.3.
    (
        GOOD,
        &[],
        &[("slip: 0.15 mm", "slip: 0.1 mm")],
        "pin-fit",
        "6.45 mm",
    ),
    (
        GOOD,
        &[],
        &[("slip: 0.15 mm", "slip: 0 mm")],
        "pin-fit",
        "6.35 mm: 6.35 mm",
    ),
    (
        GOOD,
        &[],
        &[("slip: 0.15 mm", "slip: 0.32 mm")],
        "pin-fit",
        "6.67 mm",
    ),
    (
        GOOD,
        &[(
            HEAD,
            "    length: 48\n    pins: [{at: 40%, diameter: 6.3}]\n",
        )],
        &[],
        "pin-fit",
        "head: pin hole",
    ),
    (
        GOOD,
        &[(
            TAIL,
            "    length: 62\n    pins: [{at: 60%, diameter: 6.9, slot: 0.6}]\n",
        )],
        &[],
        "pin-fit",
        "tail: pin hole",
    ),
    (BEAN, &[], &[], "small-parts", "longest side is 44 mm"),
    (
        BEAN,
        &[
            ("half_width: 14, height: 6", "half_width: 14, height: 13"),
            ("length: 44", "length: 36"),
        ],
        &[],
        "small-parts",
        "longest side is 36 mm",
    ),
    // Gaps that a finger finds at rest, and one that only the swing opens.
    (GOOD, &[("gap: 4", "gap: 9")], &[], "pinch-gap", "gap 9 mm"),
    (
        GOOD,
        &[("gap: 4", "gap: 12.5")],
        &[],
        "pinch-gap",
        "gap 12.5 mm",
    ),
    (
        GOOD,
        &[
            (TAIL, "    length: 62\n    front: flat\n"),
            (
                "swing: 25 deg, land: 3.3, gap: 4",
                "swing: 10 deg, land: 3.6, gap: 3.4",
            ),
        ],
        &[],
        "pinch-gap",
        "the swing opens",
    ),
    // Fins like thorns: to the rear, to the front, in the middle.
    (
        GOOD,
        &[
            (
                "joint:",
                "accept: [{check: short-grain, reason: a test}]\njoint:",
            ),
            (
                TAIL,
                "    length: 62\n    plates: [{side: right, thickness: 6, outline: [{at: 38%, out: 3}, {at: 58%, out: 22, round: 0}, {at: 60%, out: 1}]}]\n",
            ),
        ],
        &[],
        "sharp-edge",
        "the sharpest has",
    ),
    (
        GOOD,
        &[
            (
                "joint:",
                "accept: [{check: short-grain, reason: a test}]\njoint:",
            ),
            (
                TAIL,
                "    length: 62\n    plates: [{side: both, thickness: 8, outline: [{at: 40%, out: 1}, {at: 42%, out: 24, round: 0}, {at: 60%, out: 3}]}]\n",
            ),
        ],
        &[],
        "sharp-edge",
        "the sharpest has",
    ),
    (
        GOOD,
        &[
            (
                "joint:",
                "accept: [{check: short-grain, reason: a test}]\njoint:",
            ),
            (
                TAIL,
                "    length: 62\n    plates: [{side: left, thickness: 8, outline: [{at: 40%, out: 2}, {at: 55%, out: 20, round: 0}, {at: 62%, out: 2}]}]\n",
            ),
        ],
        &[],
        "sharp-edge",
        "the sharpest has",
    ),
    // Glue lines: a soft wood, a short section, a slim one.
    (
        GOOD,
        &[(
            WOOD,
            "species: basswood\njoint: {ball: 16, clearance: 0.4, neck: 8.6, swing: 20 deg, land: 5.2, gap: 4}",
        )],
        &[],
        "strength",
        "the glue line pried open",
    ),
    (
        GOOD,
        &[(TAIL, "    length: 40\n")],
        &[],
        "strength",
        "the glue line pried open",
    ),
    (
        GOOD,
        &[
            (TAIL, "    length: 44\n"),
            (
                "half_width: 18, height: 16",
                "half_width: 14.5, height: 14.5",
            ),
        ],
        &[],
        "strength",
        "the glue line pried open",
    ),
    // Roots of plates that a turn breaks.
    (
        GOOD,
        &[
            ("joint:", "accept: [{check: wall, reason: a test}]\njoint:"),
            (
                TAIL,
                "    length: 62\n    plates: [{side: right, thickness: 3.4, outline: [{at: 52%, out: 5}, {at: 67%, out: 5}]}]\n",
            ),
        ],
        &[],
        "strength",
        "the plate turned",
    ),
    (
        GOOD,
        &[
            (
                "joint:",
                "accept: [{check: wall, reason: a test}, {check: short-grain, reason: a test}]\njoint:",
            ),
            (
                TAIL,
                "    length: 62\n    plates: [{side: both, thickness: 5.4, outline: [{at: 52%, out: 8}, {at: 62%, out: 8}]}]\n",
            ),
        ],
        &[],
        "strength",
        "the plate turned",
    ),
];

fn changed(text: &str, changes: &[Change]) -> String {
    let mut text = text.to_owned();
    for (find, put) in changes {
        assert!(text.contains(find), "{find}");
        text = text.replacen(find, put, 1);
    }
    text
}

#[test]
fn twenty_faults_of_use_are_seen_for_their_cause_alone() {
    assert!(FAULTS.len() >= 20);
    let mut wrong = String::new();
    for (design, changes, of_shop, rule, words) in FAULTS {
        let design = changed(design, changes);
        let shop = changed(BUILT_IN_SHOP, of_shop);
        let Ok(found) = std::panic::catch_unwind(|| findings(&design, &shop)) else {
            wrong += &format!("{rule}, {words}: refused\n");
            continue;
        };
        let mut own = found.iter().filter(|f| f.open());
        let right = own.all(|f| f.message.found.contains(words));
        let verdict = Verdict::of(&found);
        if open(&found) != [*rule] || !right || verdict != Verdict::CutACouponFirst {
            wrong += &format!("wanted {rule}: {words}, found\n{}", shown(&found));
        }
        // A coupon answers fits of joints and pins, and nothing else.
        let asks = found.iter().any(Finding::asks_for_a_coupon);
        if asks != ["budget", "pin-fit"].contains(rule) {
            wrong += &format!("{rule}: asks for a coupon: {asks}\n");
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

/// A round body has nothing to stand on: told, and nothing to warn of.
#[test]
fn a_creature_that_falls_over_is_told() {
    let found = findings(GOOD, BUILT_IN_SHOP);
    let stands = found.iter().filter(|f| f.message.rule == "stands");
    let words: Vec<&str> = stands.map(|f| f.message.found.as_str()).collect();
    assert!(
        !words.is_empty() && words.iter().all(|w| w.contains("does not stand")),
        "{words:?}"
    );
    assert_eq!(shown(&found), "");
}
