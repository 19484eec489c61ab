//! Designs with one fault each: `check` says that fault and no other; and a good one beside them.

#[path = "check_faults/making.rs"]
mod making;
#[path = "check_faults/reaching.rs"]
mod reaching;
#[path = "check_faults/using.rs"]
mod using;

use limberwood::chain::resolve;
use limberwood::check::explain::{EXPLAINED, explain};
use limberwood::check::finding::{Amount, Finding, Verdict};
use limberwood::make::{Settings, check};
use limberwood::params::{BUILT_IN_SHOP, read_design_str, read_shop_str};
use limberwood::units::Unit;

/// Two sections without anything to say.
const GOOD: &str = "\
limberwood: 1
name: Pair
units: mm
species: hard maple
joint: {ball: 20, clearance: 0.4, neck: 8.5, swing: 25 deg, land: 3.3, gap: 4}
sections:
  - name: head
    length: 48
    tip_width: 12
    rim: 5
    outline:
      - {at: 0%, half_width: 6, height: 6}
      - {at: 40%, half_width: 17, height: 15}
      - {at: 100%, half_width: 13, height: 13, squareness: 2}
  - name: tail
    length: 62
    tip_width: 10
    rim: 5
    outline:
      - {at: 0%, half_width: 13, height: 13, squareness: 2}
      - {at: 40%, half_width: 18, height: 16}
      - {at: 100%, half_width: 5, height: 5}
";

fn findings(design: &str, shop: &str) -> Vec<Finding> {
    with_leftover(design, shop, false)
}

/// The findings; `leftover` says whether what the cutters leave is measured.
fn with_leftover(design: &str, shop: &str, leftover: bool) -> Vec<Finding> {
    let (design, warnings) = read_design_str(design, "pair.yaml").expect("a design");
    let (shop, more) = read_shop_str(shop, "shop.yaml").expect("a shop");
    let resolved = match resolve(&design, &shop) {
        Ok(resolved) => resolved,
        Err(refused) => panic!("{refused}"),
    };
    let settings = Settings {
        leftover,
        ..Settings::of(&resolved, Unit::Mm)
    };
    let mut all = warnings;
    all.extend(more);
    all.extend(resolved.warnings.clone().sorted());
    check(&resolved, &settings, &all, &|_, _| {})
}

/// Names of the checks that are open, each once.
fn open(findings: &[Finding]) -> Vec<&str> {
    let open = findings.iter().filter(|f| f.open());
    let mut rules: Vec<&str> = open.map(|f| f.message.rule.as_str()).collect();
    rules.sort_unstable();
    rules.dedup();
    rules
}

fn shown(findings: &[Finding]) -> String {
    let open = findings.iter().filter(|f| f.open());
    open.map(|f| format!("{} [{}]\n", f.message, f.message.rule))
        .collect()
}

#[test]
fn a_good_design_has_nothing_open_and_all_its_numbers() {
    let found = with_leftover(GOOD, BUILT_IN_SHOP, true);
    assert_eq!(shown(&found), "");
    assert_eq!(Verdict::of(&found), Verdict::Cut);
    for rule in [
        "swing",
        "capture",
        "play",
        "gap",
        "ring",
        "order",
        "stock",
        "zero",
        "strength",
        "glue-area",
        "glue-width",
        "budget",
        "pin-fit",
        "small-parts",
        "small-ball",
        "sharp-edge",
        "weight",
        "stands",
        "caution",
        "reach",
        "wall",
    ] {
        assert!(
            found.iter().any(|f| f.message.rule == rule),
            "no note of {rule}"
        );
    }
    // Of each section both halves are one solid, which is measured once in each set-up.
    let measured = found
        .iter()
        .filter(|f| f.message.found.contains("the cutters leave most"));
    assert_eq!(measured.count(), 4);
    for finding in &found {
        assert!(explain(&finding.message.rule).is_some(), "{finding:?}");
    }
}

/// What is changed, by what, the checks that must be open, and whether they are errors.
const FAULTS: &[(&str, &str, &[&str], bool)] = &[
    (
        "swing: 25 deg, land: 3.3",
        "mouth: 17.2, land: 4",
        &["wide-swing"],
        false,
    ),
    (
        "neck: 8.5, swing: 25 deg",
        "neck: 10, swing: 30 deg",
        &["thin-capture"],
        false,
    ),
    (
        "clearance: 0.4",
        "clearance: 0.2",
        &["odd-clearance"],
        false,
    ),
    (
        "clearance: 0.4",
        "clearance: 0.6",
        &["odd-clearance"],
        false,
    ),
    ("neck: 8.5", "neck: 6.5", &["thin-neck"], false),
    // The land is the wall between socket and dome.
    (
        "ball: 20, clearance: 0.4, neck: 8.5, swing: 25 deg, land: 3.3",
        "ball: 21, clearance: 0.4, neck: 8.5, swing: 25 deg, land: 2.8",
        &["thin-land", "thin-wall"],
        false,
    ),
    (
        "land: 3.3",
        "land: 3.3, flare: 20 deg",
        &["narrow-flare"],
        false,
    ),
    ("gap: 4", "gap: 6", &["pinch-gap"], false),
    (
        "species: hard maple\njoint: {ball: 20, clearance: 0.4, neck: 8.5, swing: 25 deg, land: 3.3",
        "species: red oak\njoint: {ball: 20, clearance: 0.4, neck: 8.5, swing: 25 deg, land: 4",
        &["ring-porous"],
        false,
    ),
    (
        "    length: 62\n",
        "    length: 62\n    lean: 3.2 deg\n",
        &["lean"],
        false,
    ),
    (
        "    length: 62\n",
        "    length: 62\n    pins: [{at: 60%, across: 13.7, diameter: 4, depth: 3}]\n",
        &["thin-wall"],
        false,
    ),
    (
        "    length: 62\n",
        "    length: 62\n    pins: [{at: 60%, diameter: 4, depth: 13.4}]\n",
        &["thin-wall"],
        true,
    ),
    ("height: 16}", "height: 38}", &["stock"], true),
    (
        "    length: 48\n",
        "    length: 48\n    eyes: [{at: 40%, across: 6, diameter: 5, depth: 12.4}]\n",
        &["thin-wall"],
        false,
    ),
    (
        "    length: 62\n",
        "    length: 62\n    plates: [{side: both, thickness: 7, outline: [{at: 60%, out: 12}, {at: 78%, out: 12}]}]\n",
        &["short-grain"],
        false,
    ),
    // Wood that no ligament has a habit for: between two eyes, an eye and the rim beside it, an eye
    // and an end, the two sides of half a plate, and across a plate.
    (
        "    length: 62\n",
        "    length: 62\n    pins: [{at: 75%, diameter: 4, depth: 4}]\n    eyes: [{at: 50%, across: 3.4, diameter: 5, depth: 4}]\n",
        &["wall"],
        false,
    ),
    (
        "    length: 62\n",
        "    length: 62\n    eyes: [{at: 40%, across: 14, diameter: 5, depth: 8}]\n",
        &["wall"],
        false,
    ),
    (
        "    length: 48\n",
        "    length: 48\n    pins: [{at: 40%, diameter: 4, depth: 4}]\n    eyes: [{at: 92%, across: 4, diameter: 5, depth: 3}]\n",
        &["wall"],
        false,
    ),
    (
        "    length: 62\n",
        "    length: 62\n    plates: [{side: both, thickness: 4, outline: [{at: 36%, out: 4, round: 1.8}, {at: 50%, out: 9, round: 3}, {at: 66%, out: 4, round: 1.8}]}]\n",
        &["wall"],
        false,
    ),
    (
        "    rim: 5\n    outline:\n      - {at: 0%, half_width: 6, height: 6}\n      - {at: 40%, half_width: 17, height: 15}\n",
        "    rim: 5\n    tabs: [{side: both, at: 47%, width: 4, length: 16}]\n    outline:\n      - {at: 0%, half_width: 6, height: 6}\n      - {at: 20%, half_width: 17, height: 13}\n      - {at: 45%, half_width: 12, height: 14}\n      - {at: 70%, half_width: 17, height: 14}\n",
        &["crossing"],
        true,
    ),
    (
        "joint:",
        "accept: [{check: odd-clearence, reason: x}]\njoint:",
        &["accept"],
        true,
    ),
    (
        "joint:",
        "accept: [{check: stock, section: neck, reason: x}]\njoint:",
        &["accept"],
        true,
    ),
];

#[test]
fn each_fault_is_seen_and_nothing_else() {
    let mut wrong = String::new();
    for (find, put, rules, error) in FAULTS {
        assert!(GOOD.contains(find), "{find}");
        let design = GOOD.replacen(find, put, 1);
        let Ok(found) = std::panic::catch_unwind(|| findings(&design, BUILT_IN_SHOP)) else {
            wrong += &format!("{put}: refused\n");
            continue;
        };
        let verdict = match error {
            true => Verdict::FixFirst,
            false => Verdict::CutACouponFirst,
        };
        if open(&found) != **rules || Verdict::of(&found) != verdict {
            wrong += &format!("{put}: wanted {rules:?}, found\n{}", shown(&found));
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn an_unknown_check_and_an_unknown_section_are_both_told() {
    let put = "accept: [{check: odd-clearence, section: neck, reason: x}]\njoint:";
    let found = findings(&GOOD.replacen("joint:", put, 1), BUILT_IN_SHOP);
    let told = shown(&found);
    assert!(
        told.contains("`odd-clearence`") && told.contains("`neck`"),
        "{told}"
    );
}

#[test]
fn an_accepted_warning_is_printed_and_not_open() {
    let wide = format!("{GOOD}joints: [{{after: head, mouth: 17.2, land: 4}}]\n");
    let reason =
        "accept: [{check: wide-swing, section: head, reason: a loose tail is wanted}]\njoint:";
    let found = findings(&wide.replacen("joint:", reason, 1), BUILT_IN_SHOP);
    assert_eq!(shown(&found), "");
    let accepted: Vec<&Finding> = found.iter().filter(|f| f.accepted.is_some()).collect();
    assert_eq!(accepted.len(), 1);
    assert_eq!(
        accepted[0].accepted.as_deref(),
        Some("a loose tail is wanted")
    );
    let other = reason.replace("head", "tail");
    let found = findings(&wide.replacen("joint:", &other, 1), BUILT_IN_SHOP);
    assert_eq!(open(&found), ["wide-swing"]);
    let unused = found.iter().filter(|f| f.message.rule == "accept");
    assert_eq!(
        unused.count(),
        1,
        "an acceptance that matches nothing is told"
    );
}

#[test]
fn a_plate_in_the_way_stops_the_joint() {
    // A plate over the front of the tail reaches the head before neck and mouth meet.
    let plate = "    length: 62\n    plates: [{side: both, thickness: 6, outline: [{at: 28%, out: 52}, {at: 90%, out: 52}]}]\n";
    let design = GOOD.replacen("    length: 62\n", plate, 1);
    let design = design.replacen("half_width: 13, height: 13, squareness: 2}\n  - name: tail", "half_width: 13, height: 13, squareness: 2}\n    plates: [{side: both, thickness: 6, outline: [{at: 10%, out: 52}, {at: 97%, out: 52}]}]\n  - name: tail", 1);
    let found = findings(&design, BUILT_IN_SHOP);
    assert!(open(&found).contains(&"collision"), "{}", shown(&found));
}

/// Plates with sharp corners, 80 out of the head and 95 out of the tail, each on a stretch of
/// half width 13 with straight sides: their walls across are planes of constant x.
const PLATES: &str = "\
limberwood: 1
name: Pair
units: mm
species: hard maple
joint: {ball: 20, clearance: 0.4, neck: 8.5, swing: 25 deg, land: 3.3, gap: 4}
sections:
  - name: head
    length: 48
    tip_width: 12
    rim: 5
    plates:
      - side: both
        thickness: 6
        outline: [{at: 34 mm, out: 80, round: 0}, {at: 40 mm, out: 80, round: 0}]
    outline:
      - {at: 0%, half_width: 6, height: 6}
      - {at: 70%, half_width: 13, height: 13}
      - {at: 100%, half_width: 13, height: 13, squareness: 2}
  - name: tail
    length: 62
    tip_width: 10
    rim: 5
    plates:
      - side: both
        thickness: 6
        outline: [{at: 17 mm, out: 95, round: 0}, {at: 29 mm, out: 95, round: 0}]
    outline:
      - {at: 0%, half_width: 13, height: 13, squareness: 2}
      - {at: 50%, half_width: 13, height: 13, squareness: 2}
      - {at: 100%, half_width: 5, height: 5}
";

/// The head's outer corner lies a in front of the centre and y from the axis, the tail's wall b
/// behind it: bent by t, the corner has x = y sin t - a cos t = b, and lies y cos t + a sin t from
/// the axis, which is on the longer plate.
#[test]
fn a_collision_names_the_place_where_the_solids_touch() {
    let (design, _) = read_design_str(PLATES, "pair.yaml").expect("a design");
    let (shop, _) = read_shop_str(BUILT_IN_SHOP, "shop.yaml").expect("a shop");
    let resolved = resolve(&design, &shop).expect("a creature");
    let tail = resolved.creature.sections[1].x;
    let centre = resolved.joints[0].joint.depth();
    let (a, b, y) = (tail + centre - 40.0, 17.0 - centre, 13.0 + 80.0);
    let bend = (b / f64::hypot(y, a)).asin() + f64::atan2(a, y);
    let out = y * bend.cos() + a * bend.sin();
    assert!(out < 13.0 + 95.0);
    let found = findings(PLATES, BUILT_IN_SHOP);
    let mut collisions = found.iter().filter(|f| f.message.rule == "collision");
    let first = collisions.next().expect("a collision");
    assert!(first.message.found.contains("concentric"), "{first}");
    let Some(Amount::Angle(measured)) = first.measured else {
        panic!("no angle: {first}");
    };
    assert!((measured - bend).abs() < 1e-6, "{measured} {bend}");
    // In the frame of the tail's upper half: its wall, and somewhere along the upright edge.
    let at = first.at.expect("a place");
    assert!((at[0] - 17.0).abs() < 1e-6, "{at:?}");
    assert!((at[1].abs() - out).abs() < 1e-6, "{at:?} {out}");
    assert!(at[2].abs() < 3.0 + 1e-6, "{at:?}");
    // With the ball pushed aside the corner lies further out.
    let pushed = collisions.next().expect("one with the ball pushed aside");
    let at = pushed.at.expect("a place");
    assert!((at[0] - 17.0).abs() < 1e-6 && at[1].abs() > out, "{at:?}");
}

#[test]
fn every_check_is_explained_once() {
    for (k, one) in EXPLAINED.iter().enumerate() {
        assert!(
            EXPLAINED[..k].iter().all(|other| other.check != one.check),
            "{}",
            one.check
        );
        assert!(!one.rule.is_empty() && !one.source.is_empty());
    }
}
