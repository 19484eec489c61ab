//! Joints that say `auto`: never worse than a grid, all checks pass, and what is printed pastes.

#![allow(clippy::unwrap_used)]

mod brute;
mod designs;
#[path = "../halves/draw.rs"]
#[allow(dead_code)]
mod draw;

use brute::{Worth, better, open, resolved};
use designs::{Case, built_in, design};
use limberwood::params::{BUILT_IN_SHOP, read_shop_str};
use limberwood::solve::{Filled, fill, snippet};

/// The whole joint open.
const OPEN: &str = "joint: {ball: auto, clearance: auto, neck: auto, mouth: auto}\n";
/// A chain of three sizes.
const CHAIN: &str = include_str!("../../params/caterpillar.yaml");

/// The chain with its joint left to the program.
fn chain(joint: &str) -> String {
    let (before, rest) = CHAIN.split_once("joint:\n").expect("a joint");
    let (_, after) = rest.split_once("\ndefaults:").expect("defaults");
    format!("{before}{joint}\ndefaults:{after}")
}

fn filled(text: &str) -> Filled {
    match fill(&design(text), &built_in()) {
        Ok(filled) => filled,
        Err(refused) => panic!("{refused}"),
    }
}

fn refused(text: &str) -> String {
    match fill(&design(text), &built_in()) {
        Ok(filled) => panic!("found {:?}", filled.solved),
        Err(refused) => refused.to_string(),
    }
}

/// Cases of an ordinary run: some that have a joint. Where nothing fits, the whole grid is looked at,
/// half a minute a case.
const USUAL: [u64; 4] = [3, 5, 8, 23];

#[test]
fn never_worse_than_a_grid_and_all_checks_pass() {
    let cases = std::env::var("LIMBERWOOD_CASES").ok();
    let cases = cases.and_then(|n| n.parse().ok());
    let cases = cases.map_or(USUAL.to_vec(), |most| (0..most).collect());
    let mut found = 0;
    for case in cases {
        let random = Case::random(case);
        let shop = random.shop();
        let worth = match fill(&random.design(OPEN), &shop) {
            Err(_) => None,
            Ok(filled) => {
                found += 1;
                let resolved = resolved(&filled.design, &shop);
                let said = open(&resolved);
                assert!(said.is_empty(), "case {case}: {said:?}");
                let joint = resolved.joints[0].joint;
                Some(Worth {
                    swing: joint.swing,
                    ball: 2.0 * joint.ball,
                })
            }
        };
        if let Some(joint) = better(&random, &shop, worth) {
            panic!(
                "case {case}: {joint} beats {worth:?}\n{}",
                random.text(OPEN)
            );
        }
    }
    assert!(found > 0, "no case has a joint");
}

#[test]
fn what_is_printed_pastes() {
    let text = chain(OPEN);
    let first = filled(&text);
    let joints = resolved(&first.design, &built_in()).joints;
    let lines = snippet(&first, joints.len());
    let pasted = resolved(&design(&chain(&lines)), &built_in());
    for (found, pasted) in joints.iter().zip(&pasted.joints) {
        let (a, b) = (found.joint, pasted.joint);
        for (a, b) in [
            (a.ball, b.ball),
            (a.neck, b.neck),
            (a.mouth, b.mouth),
            (a.swing, b.swing),
        ] {
            assert!((a - b).abs() < 1e-9, "{found:?} {pasted:?}\n{lines}");
        }
    }
}

#[test]
fn what_is_written_is_kept() {
    let all = filled(&chain(
        "joint: {ball: auto, neck: 9, swing: 22 deg, land: 3.5, feel: easy}\n",
    ));
    assert!(!all.solved.is_empty());
    for solved in &all.solved {
        let j = &solved.joint;
        assert!(
            (2.0 * j.neck - 9.0).abs() < 1e-9 && (j.land - 3.5).abs() < 1e-9,
            "{solved:?}"
        );
        assert!((j.swing.to_degrees() - 22.0).abs() <= 0.1, "{solved:?}");
        assert!(
            solved.limit.contains("22") && solved.limit.contains("as written"),
            "{}",
            solved.limit
        );
    }
}

#[test]
fn a_clearance_alone_is_the_usual_one() {
    let found = filled(&chain(
        "joint: {ball: 20, neck: 8.5, swing: 20 deg, clearance: auto}\n",
    ));
    assert_eq!(found.solved.len(), 7);
    for solved in &found.solved {
        assert!((solved.joint.clearance - 0.4).abs() < 1e-12, "{solved:?}");
        assert!((solved.joint.ball - 10.0).abs() < 1e-12, "{solved:?}");
        assert!(solved.limit.contains("usual"), "{}", solved.limit);
    }
    // Sizes that contradict each other are the resolver's to refuse.
    let wrong = chain("joint: {ball: 20, neck: 19, mouth: 12, clearance: auto}\n");
    assert!(
        fill(&design(&wrong), &built_in())
            .unwrap()
            .solved
            .is_empty()
    );
}

#[test]
fn a_thin_finishing_ball_leaves_the_neck_as_wide_as_the_relief_cutter() {
    let shop = BUILT_IN_SHOP.replace("tip_diameter: 1/8 in", "tip_diameter: 2 mm");
    let shop = read_shop_str(&shop, "shop.yaml").unwrap().0;
    let found = fill(&design(&chain(OPEN)), &shop).map_err(|e| e.to_string());
    for solved in found.unwrap().solved {
        // The radius of the flat cutter of 1/8 in, and a tenth.
        assert!(
            (solved.joint.fillet - 1.1 * 1.5875).abs() < 1e-9,
            "{solved:?}"
        );
    }
}

#[test]
fn every_size_once_or_one_for_all() {
    let each = filled(&chain(OPEN));
    // Head, three sizes, their neighbours, tail: ten joints of seven kinds.
    assert_eq!(each.solved.len(), 7);
    assert_eq!(each.solved.iter().map(|s| s.after.len()).sum::<usize>(), 10);
    let one = filled(&chain(&format!("scale_joints: false\n{OPEN}")));
    assert_eq!(one.solved.len(), 1);
    assert_eq!(one.solved[0].after.len(), 10);
    // One for all is no better than the least of each.
    let least = each
        .solved
        .iter()
        .map(|s| s.joint.swing)
        .fold(9.0, f64::min);
    assert!(one.solved[0].joint.swing <= least + 0.002);
}

#[test]
fn nothing_fits_and_both_numbers_are_told() {
    let with = |swing: f64| {
        chain(&format!(
            "joint: {{ball: auto, swing: {swing} deg, land: 3.3}}\n"
        ))
    };
    let told = refused(&with(60.0));
    let (_, rest) = told
        .split_once("a swing of 60 deg at the joint after `head`, allowed at most ")
        .expect(&told);
    let (most, rest) = rest.split_once(" deg").expect(&told);
    let most: f64 = most.parse().expect(&told);
    assert!(
        rest.contains(&format!("one of these would do: a swing of {most} deg")),
        "{told}"
    );
    // The number is the edge: half a degree less fits the first joint, half a degree more does not.
    let short = rest
        .trim_start_matches(", ")
        .split_once(" deg less")
        .expect(&told)
        .0;
    assert!(
        (most + short.parse::<f64>().unwrap() - 60.0).abs() < 0.11,
        "{told}"
    );
    assert!(refused(&with(most + 0.5)).contains("after `head`"));
    if let Err(other) = fill(&design(&with(most - 0.5)), &built_in()) {
        assert!(!other.to_string().contains("after `head`"), "{other}");
    }
}
