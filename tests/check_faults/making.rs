//! One fault each of strength, fit, small parts and edges; and the key `feel`.

use limberwood::check::finding::Amount;
use limberwood::params::{BUILT_IN_SHOP, read_design_str};

use super::{GOOD, findings, open, shown};

/// The joint of the good design.
const JOINT: &str =
    "joint: {ball: 20, clearance: 0.4, neck: 8.5, swing: 25 deg, land: 3.3, gap: 4}";
/// The tail of the good design.
const TAIL: &str = "    length: 62\n";

/// What is changed in the good design, each part by what, and the one check that must be open.
const MADE_AND_USED: &[(&[(&str, &str)], &str)] = &[
    // The likely losses of this joint are about 0.16 mm.
    (
        &[(
            JOINT,
            "accept: [{check: odd-clearance, reason: a test}]\njoint: {ball: 20, clearance: 0.1, neck: 8.5, swing: 25 deg, land: 3.7, gap: 4}",
        )],
        "budget",
    ),
    // Held by 0.3 mm, and the worst losses are about 0.36 mm.
    (
        &[
            (
                JOINT,
                "accept: [{check: thin-capture, reason: a test}]\njoint: {ball: 16, clearance: 0.4, neck: 11, mouth: 15.4, land: 5.2, gap: 4}",
            ),
            (TAIL, "    length: 90\n"),
        ],
        "budget",
    ),
    (
        &[(
            TAIL,
            "    length: 62\n    pins: [{at: 60%, diameter: 6.4}]\n",
        )],
        "pin-fit",
    ),
    (
        &[(
            TAIL,
            "    length: 62\n    pins: [{at: 60%, diameter: 6.8}]\n",
        )],
        "pin-fit",
    ),
    // Flat faces that do not meet in a small swing, but open for a finger.
    (
        &[
            (TAIL, "    length: 62\n    front: flat\n"),
            ("swing: 25 deg, land: 3.3", "swing: 8 deg, land: 3.6"),
        ],
        "pinch-gap",
    ),
    // The root holds 90 N across the grain less than twice over.
    (
        &[
            ("joint:", "accept: [{check: wall, reason: a test}]\njoint:"),
            (
                TAIL,
                "    length: 62\n    plates: [{side: left, thickness: 3, outline: [{at: 50%, out: 6}, {at: 69%, out: 6}]}]\n",
            ),
        ],
        "strength",
    ),
    // A plate thin in plan, which ligaments do not see.
    (
        &[
            (
                "joint:",
                "accept: [{check: strength, reason: a test}]\njoint:",
            ),
            (
                TAIL,
                "    length: 62\n    plates: [{side: both, thickness: 6, outline: [{at: 50%, out: 1.5, round: 0}, {at: 53.9%, out: 1.5, round: 0}]}]\n",
            ),
        ],
        "wall",
    ),
    // Pine holds across the grain at 2.1 MPa, which the glue line needs.
    (
        &[
            ("species: hard maple", "species: eastern white pine"),
            (
                JOINT,
                "joint: {ball: 16, clearance: 0.4, neck: 8.6, swing: 20 deg, land: 5.2, gap: 4}",
            ),
        ],
        "strength",
    ),
    // A fin like a thorn.
    (
        &[
            (
                "joint:",
                "accept: [{check: short-grain, reason: a test}]\njoint:",
            ),
            (
                TAIL,
                "    length: 62\n    plates: [{side: left, thickness: 6, outline: [{at: 40%, out: 3}, {at: 60%, out: 25, round: 0}, {at: 62%, out: 1}]}]\n",
            ),
        ],
        "sharp-edge",
    ),
];

#[test]
fn faults_of_making_and_use_are_seen_and_nothing_else() {
    let mut wrong = String::new();
    for (changes, rule) in MADE_AND_USED {
        let mut design = GOOD.to_owned();
        for (find, put) in *changes {
            assert!(design.contains(find), "{find}");
            design = design.replacen(find, put, 1);
        }
        let Ok(found) = std::panic::catch_unwind(|| findings(&design, BUILT_IN_SHOP)) else {
            wrong += &format!("{changes:?}: refused\n");
            continue;
        };
        if open(&found) != [*rule] {
            wrong += &format!("{changes:?}: wanted {rule}, found\n{}", shown(&found));
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn a_creature_that_a_child_could_swallow() {
    let bean = "limberwood: 1\nname: Bean\nunits: mm\nspecies: hard maple\nsections:\n  - name: bean\n    whole: true\n    \
                length: 44\n    front: closed\n    rear: closed\n    tip_width: 8\n    outline:\n      - {at: 0%, half_width: 4, height: 4}\n      \
                - {at: 50%, half_width: 9, height: 9}\n      - {at: 100%, half_width: 4, height: 4}\n";
    let found = findings(bean, BUILT_IN_SHOP);
    assert_eq!(open(&found), ["small-parts"], "{}", shown(&found));
    let long = bean.replace("length: 44", "length: 70");
    let found = findings(&long, BUILT_IN_SHOP);
    assert_eq!(shown(&found), "");
}

#[test]
fn a_feel_solves_the_clearance_and_stands_alone() {
    let felt = |word: &str| GOOD.replacen("clearance: 0.4", &format!("feel: {word}"), 1);
    for (word, left) in [("stiff", 0.13), ("easy", 0.23), ("loose", 0.38)] {
        let design = felt(word);
        let found = findings(&design, BUILT_IN_SHOP);
        assert_eq!(shown(&found), "", "{word}");
        let budget = found.iter().find(|f| f.message.rule == "budget").unwrap();
        let Some(Amount::Length(likely)) = budget.measured else {
            panic!("{budget:?}")
        };
        // The budget counts the ball pushed aside, whose swing is a little less.
        assert!((likely - left).abs() < 0.01, "{word}: {likely}");
    }
    let both = felt("easy, clearance: 0.4");
    let refused = read_design_str(&both, "pair.yaml").unwrap_err().to_string();
    assert!(
        refused.contains("`feel: easy` and a clearance"),
        "{refused}"
    );
    let own = format!(
        "{}joints: [{{after: head, clearance: 0.3}}]\n",
        felt("loose")
    );
    let found = findings(&own, BUILT_IN_SHOP);
    let budget = found.iter().find(|f| f.message.rule == "budget").unwrap();
    assert_eq!(budget.rows[0].cell("worst"), Some(Amount::Length(0.3)));
}
