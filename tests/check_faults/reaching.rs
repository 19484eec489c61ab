//! What no cutter of the shop makes, one fault a design.

use super::*;

const TAPERED: &str = "taper: 3 deg per side";
const EIGHTH: &str = "name: eighth flat, jobs: [holes, relief], kind: flat, diameter: 1/8 in";
const TWO_FLATS: &str = "[rough], kind: flat, diameter: 1/4 in, cutting_length: 1 in, shank: 1/4 in, feed: 1800 mm,\n     pass_depth: 3 mm, stepover: 2.5 mm}\n  - {name: eighth flat, jobs: [holes, relief]";
const TAIL: &str = "    length: 62\n    tip_width: 10\n    rim: 5\n";

/// What is changed in the design, by what, the same of the shop, words of the fault, and whether it
/// is an error. Each is a fault of reach alone.
const OUT_OF_REACH: &[([&str; 2], [&str; 2], &str, bool)] = &[
    (
        [
            "    length: 48\n",
            "    length: 48\n    pins: [{at: 40%, diameter: 3, depth: 8}]\n",
        ],
        ["", ""],
        "pin hole 1, 8 mm deep, inside up, by `eighth flat`: width 3 mm",
        true,
    ),
    (
        [
            "    length: 48\n",
            "    length: 48\n    eyes: [{at: 40%, across: 6, diameter: 3, depth: 2}]\n",
        ],
        ["", ""],
        "eye 1, 2 mm deep, outside up, by `eighth flat`: width 3 mm",
        true,
    ),
    (
        ["gap: 4}", "gap: 4, fillet: 1}"],
        ["", ""],
        "rear neck and fillet, outside up, by `tapered ball`: inside radius 1 mm",
        true,
    ),
    (
        ["", ""],
        [TAPERED, "taper: 8.5 deg per side"],
        "taper leaves at the split plane 0.11",
        true,
    ),
    (
        ["", ""],
        ["cutting_length: 1-1/2 in", "cutting_length: 10 mm"],
        "rear face, outside up, by `tapered ball`: depth 14.",
        true,
    ),
    (
        ["", ""],
        ["cutting_length: 3 mm", "cutting_length: 0.6 mm"],
        "glue groove, 0.8 mm deep, inside up, by `thirty-second flat`: depth 0.8 mm",
        true,
    ),
    (
        ["", ""],
        [
            EIGHTH,
            "name: eighth flat, jobs: [holes], kind: flat, diameter: 1/8 in",
        ],
        "relief groove: cutters with the job `relief`: 0",
        true,
    ),
    (
        ["", ""],
        [
            EIGHTH,
            "name: eighth ball, jobs: [holes, relief], kind: ball, tip_diameter: 1/8 in",
        ],
        "pin hole 1",
        true,
    ),
    (
        ["gap: 4}", "gap: 4, fillet: 1.75}"],
        [
            TWO_FLATS,
            "[rough, relief], kind: flat, diameter: 1/4 in, cutting_length: 1 in, shank: 1/4 in, feed: 1800 mm,\n     pass_depth: 3 mm, stepover: 2.5 mm}\n  - {name: eighth flat, jobs: [holes]",
        ],
        "relief groove at the rear neck, 2 mm deep, inside up, by `quarter flat`: inside radius 1.7",
        true,
    ),
    (
        ["", ""],
        ["relief: 2 mm", "relief: 1.2 mm"],
        "depth of the relief groove 1.2 mm",
        true,
    ),
    (
        ["", ""],
        ["relief: 2 mm", "relief: 1.7 mm"],
        "depth of the relief groove 1.7 mm",
        false,
    ),
    (
        ["", ""],
        ["window: 9.5 mm", "window: 4 mm"],
        "rim, outside up, by `tapered ball`: width 4 mm",
        true,
    ),
    (
        ["", ""],
        [
            "    cutting_length: 1-1/2 in\n",
            "    cutting_length: 20 mm\n    holder: 40 mm\n    stick_out: 20 mm\n",
        ],
        "rim, outside up, by `tapered ball`: height over the tip of the wood under the holder 20.",
        true,
    ),
    (
        [
            TAIL,
            "    length: 62\n    tip_width: 10\n    rim: 5\n    plates:\n      - {side: both, thickness: 7, outline: [{at: 36%, out: 4}, {at: 50%, out: 4}]}\n      - {side: both, thickness: 7, outline: [{at: 53%, out: 4}, {at: 67%, out: 4}]}\n",
        ],
        ["", ""],
        "slot between plates 1 and 2, outside up, by `tapered ball`: width 1.",
        true,
    ),
    (
        [
            TAIL,
            "    length: 62\n    tip_width: 10\n    rim: 8\n    plates: [{side: both, thickness: 14, outline: [{at: 45%, out: 5}, {at: 65%, out: 5}]}]\n",
        ],
        ["", ""],
        "plate 1, outside up, by `tapered ball`: taper leaves at the wall's foot 0.37 mm",
        false,
    ),
];

#[test]
fn what_no_cutter_makes_is_seen_and_nothing_else() {
    let mut wrong = String::new();
    for ([find, put], [cutter, other], words, error) in OUT_OF_REACH {
        assert!(
            GOOD.contains(find) && BUILT_IN_SHOP.contains(cutter),
            "{find} {cutter}"
        );
        let design = GOOD.replacen(find, put, 1);
        let shop = BUILT_IN_SHOP.replacen(cutter, other, 1);
        let Ok(found) = std::panic::catch_unwind(|| findings(&design, &shop)) else {
            wrong += &format!("{words}: refused\n");
            continue;
        };
        let verdict = match error {
            true => Verdict::FixFirst,
            false => Verdict::CutACouponFirst,
        };
        let said = shown(&found);
        if open(&found) != ["reach"] || Verdict::of(&found) != verdict || !said.contains(words) {
            wrong += &format!("wanted {words}, found\n{said}");
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}
