//! What a coupon is made of.

use limberwood::brep::shape::FaceKind;
use limberwood::chain::{Resolved, Trial};
use limberwood::check::finding::{Finding, Verdict};
use limberwood::make::coupon::{coupon, one_piece};
use limberwood::make::{Settings, check, lay_out};
use limberwood::params::built_in_shop;
use limberwood::units::Unit;

use super::*;

fn trial(resolved: &Resolved) -> &Trial {
    resolved.trial.as_ref().expect("a coupon has its numbers")
}

fn open(found: &[Finding]) -> String {
    let open = found.iter().filter(|f| f.open());
    open.map(|f| format!("{f}\n")).collect()
}

/// Sockets and ball of the solids have the radii that the design's joint and the four steps ask for.
#[test]
fn the_solids_have_the_four_clearances() {
    let shop = built_in_shop();
    for name in DEMOS.into_iter().take(cases(2)) {
        let design = demo(name, &shop);
        let coupon = made(&design, &shop, None);
        let trial = trial(&coupon.resolved);
        let sections = &coupon.resolved.creature.sections;
        assert_eq!((sections.len(), trial.sockets.len()), (5, 4), "{name}");
        assert_eq!(trial.left_out, Vec::<String>::new(), "{name}");
        let link = design
            .joints
            .iter()
            .find(|j| design.creature.sections[j.after].name == trial.after);
        let own = link.expect("the joint is one of the design's").joint;
        let balls = radii(&sections[4], FaceKind::Ball);
        assert!(all_near(&balls, own.ball), "{name}: {balls:?}");
        assert!((trial.ball - 2.0 * own.ball).abs() < 1e-12);
        for (k, step) in [-0.1, 0.0, 0.1, 0.2].into_iter().enumerate() {
            let sockets = radii(&sections[k], FaceKind::Socket);
            let wanted = own.ball + own.clearance + step;
            assert!(all_near(&sockets, wanted), "{name} {k}: {sockets:?}");
            let told = &trial.sockets[k];
            assert!((told.clearance - own.clearance - step).abs() < 1e-9);
            assert!((told.diameter - 2.0 * wanted).abs() < 1e-9 && told.number == k + 1);
        }
    }
}

/// The number in the glue face is the one that the sheet and the files have.
#[test]
fn numbers_are_cut_in() {
    let shop = built_in_shop();
    let design = demo("caterpillar", &shop);
    // A tenth less of 0.12 is out of range: a sample goes, and the numbers close up.
    let text = include_str!("../../params/caterpillar.yaml");
    let narrow = text.replacen("clearance: 0.4", "clearance: 0.12", 1);
    let (narrow, _) =
        limberwood::params::read_design_str(&narrow, "narrow.yaml").expect("a design");
    let narrow = resolve(&narrow, &shop).expect("resolved");
    for (design, count) in [(&design, 5), (&narrow, 4)] {
        let coupon = made(design, &shop, None);
        let trial = trial(&coupon.resolved);
        assert_eq!(trial.ball_number, count);
        for (k, section) in coupon.resolved.creature.sections.iter().enumerate() {
            assert_eq!(section.number, k + 1);
            let marks = &section.form.features.marks;
            assert_eq!(marks.len(), 2, "{}", section.name);
            for mark in marks {
                let digits = mark.text.trim_start_matches(['<', '^']);
                assert_eq!(digits, (k + 1).to_string(), "{}", section.name);
            }
        }
        // Five sizes of holes, one to a section, and the numbers are theirs.
        for (hole, section) in trial.holes.iter().zip(&coupon.resolved.creature.sections) {
            assert_eq!(section.form.pins.len(), 1);
            assert!((2.0 * section.form.pins[0].radius - hole.diameter).abs() < 1e-9);
            assert_eq!(hole.number, section.number);
        }
    }
    let coupon = made(&narrow, &shop, None);
    let left_out = &trial(&coupon.resolved).left_out;
    assert_eq!(left_out.len(), 1);
    assert!(
        left_out[0].starts_with("tight: ") && left_out[0].contains("0.05"),
        "{left_out:?}"
    );
    let sizes: Vec<f64> = trial(&made(&design, &shop, None).resolved)
        .holes
        .iter()
        .map(|h| h.diameter)
        .collect();
    assert_eq!(sizes, [6.4, 6.45, 6.55, 6.6, 6.5]);
}

/// The made coupon passes its own checks, what its cutters leave included, and lies on one piece.
#[test]
fn coupons_of_demos_pass_their_checks_on_one_small_piece() {
    let shop = built_in_shop();
    for name in DEMOS.into_iter().take(cases(1)) {
        let design = demo(name, &shop);
        let mut coupon = made(&design, &shop, None);
        let settings = Settings {
            leftover: true,
            ..Settings::of(&design, Unit::Mm)
        };
        let found = check(&coupon.resolved, &settings, &[], &|_, _| {});
        let found = coupon.findings(found);
        assert_eq!(open(&found), "", "{name}");
        assert_eq!(Verdict::of(&found), Verdict::Cut, "{name}");
        // All four joints were checked, also by the solids.
        for rule in ["swing", "capture", "budget"] {
            let of_joints = found.iter().filter(|f| f.message.rule == rule);
            assert!(of_joints.count() >= 4, "{name}: {rule}");
        }
        let laid = lay_out(&coupon.resolved, &settings, 1).expect("laid out");
        coupon.resolved.blank = one_piece(&laid, &coupon.resolved.blank);
        let small = lay_out(&coupon.resolved, &settings, 1).expect("laid out");
        let [layout] = &*small.blanks.layouts else {
            panic!("{name}: one stock")
        };
        assert_eq!(layout.pieces(), 1, "{name}");
        assert_eq!(layout.kinds[0].placed.len(), 10, "{name}");
        assert!(
            layout.size[0] <= 400.0 && layout.size[1] < 180.0,
            "{name}: {:?}",
            layout.size
        );
    }
}

/// A name as long as names may be leaves no room for the word, and is cut.
#[test]
fn a_long_name_gives_a_coupon_too() {
    let shop = built_in_shop();
    let name = "W\u{fc}rm ".repeat(24);
    let text = include_str!("../../params/caterpillar.yaml");
    let long = text.replacen(
        "name: Caterpillar",
        &format!("name: '{}'", name.trim_end()),
        1,
    );
    assert_ne!(long, text);
    let (design, _) = limberwood::params::read_design_str(&long, "long.yaml").expect("a design");
    let design = resolve(&design, &shop).expect("resolved");
    let coupon = made(&design, &shop, None);
    let own = &coupon.resolved.creature.name;
    assert!(
        own.chars().count() == 120 && own.ends_with(" coupon"),
        "{own}"
    );
}

#[test]
fn the_joint_is_the_one_asked_for_or_the_most_frequent() {
    let shop = built_in_shop();
    let newt = demo("newt", &shop);
    let usual = made(&newt, &shop, None);
    assert_eq!(
        (
            trial(&usual.resolved).after.as_str(),
            trial(&usual.resolved).ball
        ),
        ("head", 18.0)
    );
    let tail = made(&newt, &shop, Some("Tail-Low"));
    assert_eq!(trial(&tail.resolved).ball, 13.0);
    let settings = Settings::of(&newt, Unit::Mm);
    let none = |after| coupon(&newt, &shop, Some(after), &settings, &|_, _| {});
    let refused = none("tail").unwrap_err().to_string();
    assert!(
        refused.contains("no joint after `tail`") && refused.contains("tail-low"),
        "{refused}"
    );
    let bench = demo("reference", &shop);
    let refused = coupon(&bench, &shop, None, &settings, &|_, _| {}).unwrap_err();
    assert!(refused.to_string().contains("benches"));
}

/// What the design accepts of its joint, its coupon accepts too; a joint that would not hold its ball
/// is left out.
#[test]
fn a_sample_that_would_not_hold_its_ball_is_left_out() {
    let shop = built_in_shop();
    let text = include_str!("../../params/caterpillar.yaml");
    // Just held enough at the design's clearance.
    let wide = text.replacen("swing: 25 deg", "mouth: 17.58", 1);
    let (design, _) = limberwood::params::read_design_str(&wide, "wide.yaml").expect("a design");
    let design = resolve(&design, &shop).expect("resolved");
    let accepted = wide.replacen(
        "defaults:",
        "accept:\n  - {check: thin-capture, reason: it is for looking at}\n  - {check: wide-swing, reason: so it is}\ndefaults:",
        1,
    );
    let coupon = made(&design, &shop, None);
    let left_out = trial(&coupon.resolved).left_out.clone();
    assert_eq!(left_out.len(), 2, "{left_out:?}");
    assert!(left_out.iter().all(|l| l.contains("mouth")), "{left_out:?}");
    let (design, _) =
        limberwood::params::read_design_str(&accepted, "wide.yaml").expect("a design");
    let design = resolve(&design, &shop).expect("resolved");
    let coupon = made(&design, &shop, None);
    assert_eq!(trial(&coupon.resolved).left_out, Vec::<String>::new());
}
