//! What check, budget and solids make of a record.

use limberwood::brep::shape::FaceKind;
use limberwood::chain::joint::budget::Feel;
use limberwood::chain::{Measured, Trial};
use limberwood::check::finding::{Amount, Finding, Verdict};
use limberwood::make::check;
use limberwood::make::coupon::{Entry, Readings, entries};
use limberwood::params::{built_in_shop, changed, read_design_str};

use super::*;

const PAIR: &str = "\
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

fn pair(design: &str, shop: &Shop) -> Resolved {
    let (design, _) = read_design_str(design, "pair.yaml").expect("a design");
    match resolve(&design, shop) {
        Ok(resolved) => resolved,
        Err(found) => panic!("{found}"),
    }
}

fn findings(resolved: &Resolved) -> Vec<Finding> {
    let settings = Settings::of(resolved, Unit::Mm);
    let told = resolved.warnings.clone().sorted();
    check(resolved, &settings, &told, &|_, _| {})
}

fn open(found: &[Finding]) -> Vec<&str> {
    let open = found.iter().filter(|f| f.open());
    open.map(|f| f.message.rule.as_str()).collect()
}

/// The numbers of the pair's coupon, without making it.
fn trial_of(shop: &Shop) -> Trial {
    let design = pair(PAIR, shop);
    made(&design, shop, None).resolved.trial.expect("a coupon")
}

fn recorded(text: &str, trial: &Trial, read: &Readings) -> (String, Vec<Entry>) {
    let own = shop(text);
    let entries = entries(trial, &own, read).expect("entries");
    let changes: Vec<_> = entries.iter().map(Entry::change).collect();
    (
        changed(text, "shop.yaml", &changes).expect("changed"),
        entries,
    )
}

/// Coupon, record, check: balls that come out 0.06 too large are drawn 0.06 smaller, and with what
/// the shop adds the clearance is the wanted one.
#[test]
fn what_comes_out_larger_is_drawn_smaller() {
    let text = format!("{BUILT_IN_SHOP}# my own words\n");
    let trial = trial_of(&shop(&text));
    let read = Readings {
        ball: Some(20.06),
        sockets: vec![(1, 20.56), (2, 20.76), (4, 21.16)],
        ..Readings::default()
    };
    let (text, _) = recorded(&text, &trial, &read);
    assert!(
        text.contains("# my own words\n") && text.contains("ball: 0.06 mm"),
        "{text}"
    );
    let own = shop(&text);
    let resolved = pair(PAIR, &own);
    let [head, tail] = &*resolved.creature.sections else {
        panic!("two sections")
    };
    let balls = radii(head, FaceKind::Ball);
    let sockets = radii(tail, FaceKind::Socket);
    assert!(all_near(&balls, 10.0 - 0.03), "{balls:?}");
    assert!(all_near(&sockets, 10.4 + 0.02), "{sockets:?}");
    let clearance = (sockets[0] - 0.02) - (balls[0] + 0.03);
    assert!((clearance - 0.4).abs() < 1e-9);
    // The joint is told as wanted, the solids touch where theirs says, and nothing else changes.
    let link = &resolved.joints[0];
    assert_eq!((link.joint.ball, link.joint.clearance), (10.0, 0.4));
    assert!((link.cut.depth() - link.joint.depth()).abs() < 1e-12);
    let found = findings(&resolved);
    assert_eq!(open(&found), Vec::<&str>::new());
    assert_eq!(Verdict::of(&found), Verdict::Cut);
    let plain = pair(PAIR, &built_in_shop());
    assert_eq!(plain.joints[0].cut, plain.joints[0].joint);
    assert_eq!(plain.creature.sections[0].form.length, head.form.length);
}

/// Solids compensated as far as the file allows still touch where their closed form says.
#[test]
fn compensated_solids_bend_as_far_as_their_closed_form() {
    for (ball, socket) in [(0.2, -0.2), (-0.1, 0.1), (0.4, 0.4)] {
        let own = shop_with(&format!("measured: {{ball: {ball}, socket: {socket}}}\n"));
        let found = findings(&pair(PAIR, &own));
        let touched: Vec<&Finding> = found
            .iter()
            .filter(|f| f.message.rule == "collision")
            .collect();
        assert!(touched.is_empty(), "{ball} {socket}: {touched:?}");
    }
    // A joint that is as close as files allow.
    let close = PAIR
        .replacen("clearance: 0.4", "clearance: 0.1", 1)
        .replacen("land: 3.3", "land: 3.6", 1);
    let own = shop_with("measured: {ball: 0.04, socket: 0}\n");
    let found = findings(&pair(&close, &own));
    let collided = found.iter().filter(|f| f.message.rule == "collision");
    assert_eq!(collided.count(), 0);
    let own = shop_with("measured: {ball: 0.5, socket: 0.5}\n");
    let thin = PAIR.replacen("swing: 25 deg", "mouth: 19.6", 1);
    let (design, _) = read_design_str(&thin, "thin.yaml").expect("a design");
    let refused = resolve(&design, &own).unwrap_err().to_string();
    assert!(refused.contains("by the shop's record"), "{refused}");
}

fn rows(found: &[Finding]) -> Vec<(String, f64, f64)> {
    let budget = found
        .iter()
        .find(|f| f.message.rule == "budget")
        .expect("a budget");
    let cell = |row: &limberwood::check::finding::Row, head: &str| match row.cell(head) {
        Some(Amount::Length(mm)) => mm,
        other => panic!("{other:?}"),
    };
    let rows = budget.rows.iter();
    rows.map(|r| (r.name.clone(), cell(r, "worst"), cell(r, "likely")))
        .collect()
}

/// Guesses give way to what was measured, row by row, and the rows still add up.
#[test]
fn the_budget_takes_what_was_measured() {
    let names = |more: &str| -> Vec<String> {
        let found = rows(&findings(&pair(PAIR, &shop_with(more))));
        let (left, parts) = found.split_last().unwrap();
        let sum: f64 = parts.iter().map(|r| r.1).sum();
        assert!((sum - left.1).abs() < 1e-12, "{more}");
        found.into_iter().map(|r| r.0).collect()
    };
    let cusps = "cusps of ball and socket".to_owned();
    let taper = "taper leftover at the split plane".to_owned();
    let guessed = names("");
    assert!(guessed.contains(&cusps) && guessed.contains(&taper));
    assert!(guessed.contains(&"unequal sanding".to_owned()));
    let half = names("measured: {ball: 0.06}\n");
    assert!(half.contains(&"cusps of the one not measured".to_owned()) && half.contains(&taper));
    assert!(half.contains(&"ball or socket, measured".to_owned()));
    let both = names("measured: {ball: 0.06, socket: 0, height: 0.02}\n");
    assert!(both.contains(&"ball and socket, measured".to_owned()));
    assert!(!both.contains(&cusps) && !both.contains(&taper));
    // The sheet corrects the zero by a measured height; how unequal halves are it does not say.
    assert!(both.contains(&"unequal sanding".to_owned()));
    // By hand: calipers 0.03 worst, 0.005 likely.
    let found = rows(&findings(&pair(
        PAIR,
        &shop_with("measured: {ball: 0, socket: 0, height: 0.02}\n"),
    )));
    let row = |name: &str| {
        found
            .iter()
            .find(|r| r.0 == name)
            .map(|r| (-r.1, -r.2))
            .unwrap()
    };
    let near =
        |(a, b): (f64, f64), (c, d): (f64, f64)| (a - c).abs() < 1e-12 && (b - d).abs() < 1e-12;
    assert!(near(row("ball and socket, measured"), (0.03, 0.005)));
    let guessed = rows(&findings(&pair(PAIR, &built_in_shop())));
    let sanding = |rows: &[(String, f64, f64)]| {
        let own = rows.iter().find(|r| r.0 == "unequal sanding").unwrap();
        (own.1, own.2)
    };
    assert_eq!(sanding(&found), sanding(&guessed));
}

/// Found gaps are those of the feels and of joints that say nothing; those in between do not warn.
#[test]
fn gaps_that_were_found_are_used_and_lift_the_verdict() {
    let gap = |joint: &str, more: &str| {
        let design = PAIR.replacen("clearance: 0.4, ", joint, 1);
        let resolved = pair(&design, &shop_with(more));
        (resolved.joints[0].joint.clearance, findings(&resolved))
    };
    let found = "measured: {stiff: 0.18, easy: 0.31, loose: 0.6}\n";
    for (joint, wanted) in [("", 0.31), ("feel: stiff, ", 0.18), ("feel: loose, ", 0.6)] {
        let (clearance, all) = gap(joint, found);
        assert!((clearance - wanted).abs() < 1e-12, "{joint}: {clearance}");
        assert_eq!(open(&all), Vec::<&str>::new(), "{joint}");
    }
    // One feel alone gives the others by what they leave: 0.23 and 0.38.
    let (clearance, _) = gap("feel: loose, ", "measured: {easy: 0.31}\n");
    assert!((clearance - 0.46).abs() < 1e-12, "{clearance}");
    let measured = Measured {
        gaps: [None, Some(0.31), None],
        ..Measured::default()
    };
    assert!((measured.gap(Feel::Stiff).unwrap() - 0.21).abs() < 1e-12);
    for clearance in ["0.2", "0.58", "0.12"] {
        let written = format!("clearance: {clearance}, ");
        let (_, guessed) = gap(&written, "");
        assert!(open(&guessed).contains(&"odd-clearance"), "{clearance}");
        assert_eq!(Verdict::of(&guessed), Verdict::CutACouponFirst);
        assert!(guessed.iter().any(Finding::asks_for_a_coupon));
        let (_, lifted) = gap(&written, found);
        let narrow = clearance == "0.12";
        assert_eq!(
            Verdict::of(&lifted) == Verdict::CutACouponFirst,
            narrow,
            "{clearance}"
        );
    }
    // A warning that no coupon answers stays.
    let design = PAIR.replacen("gap: 4", "gap: 6", 1);
    let all = findings(&pair(&design, &shop_with(found)));
    assert_eq!(open(&all), ["pinch-gap"]);
    assert!(!all.iter().any(Finding::asks_for_a_coupon));
}

/// Holes come out as wanted, and the hole that was found to take the dowel does not warn.
#[test]
fn holes_are_drawn_smaller_and_the_found_slip_is_used() {
    let plain = pair(PAIR, &built_in_shop());
    let own = pair(PAIR, &shop_with("measured: {hole: 0.08, slip: 0.05}\n"));
    let radius = |r: &Resolved| r.creature.sections[1].form.pins[0].radius;
    assert!((radius(&plain) - 3.25).abs() < 1e-12);
    assert!((2.0 * radius(&own) - (6.35 + 0.05 - 0.08)).abs() < 1e-12);
    assert!((own.fits.made_hole(&own.creature.sections[1].form.pins[0]) - 6.4).abs() < 1e-12);
    let found = findings(&own);
    assert_eq!(open(&found), Vec::<&str>::new());
    let tight = shop(&BUILT_IN_SHOP.replacen("slip: 0.15 mm", "slip: 0.05 mm", 1));
    let warned = findings(&pair(PAIR, &tight));
    assert!(open(&warned).contains(&"pin-fit"));
    assert!(warned.iter().any(Finding::asks_for_a_coupon));
}

/// What was found on a coupon that was drawn with an earlier record adds to it; twice the same coupon
/// says twice the same.
#[test]
fn a_second_record_builds_on_the_first() {
    let first = format!("{BUILT_IN_SHOP}measured: {{ball: 0.06, socket: -0.04}} # first\n");
    let trial = trial_of(&shop(&first));
    assert_eq!(
        (trial.drawn_with.ball, trial.drawn_with.socket),
        (0.06, -0.04)
    );
    assert_eq!((trial.ball, trial.sockets[1].diameter), (20.0, 20.8));
    let read = Readings {
        ball: Some(20.02),
        sockets: vec![(2, 20.8)],
        feels: [None, Some(2), None],
        ..Readings::default()
    };
    let (second, _) = recorded(&first, &trial, &read);
    let measured = Measured::of(&shop(&second));
    assert!((measured.ball.unwrap() - 0.08).abs() < 1e-12, "{second}");
    assert!((measured.socket.unwrap() + 0.04).abs() < 1e-12, "{second}");
    // The ball took 0.01 of the gap that moved easily.
    assert!((measured.gaps[1].unwrap() - 0.39).abs() < 1e-12, "{second}");
    assert!(second.contains("# first"), "{second}");
    let (third, entries) = recorded(&second, &trial, &read);
    assert_eq!(third, second);
    assert!(entries.iter().all(|e| !e.differs()));
}

/// Sizes by calipers in one run and feels in the next say what both say in one.
#[test]
fn two_runs_say_what_one_says() {
    let trial = trial_of(&built_in_shop());
    let sizes = Readings {
        ball: Some(20.06),
        sockets: vec![(2, 20.76)],
        holes: vec![(1, trial.holes[0].diameter + 0.03)],
        ..Readings::default()
    };
    let feels = Readings {
        feels: [Some(1), Some(2), None],
        pin: Some(trial.holes[2].number),
        ..Readings::default()
    };
    let both = Readings {
        feels: feels.feels,
        pin: feels.pin,
        ..sizes.clone()
    };
    let (first, _) = recorded(BUILT_IN_SHOP, &trial, &sizes);
    let (second, _) = recorded(&first, &trial, &feels);
    let (once, _) = recorded(BUILT_IN_SHOP, &trial, &both);
    assert_eq!(Measured::of(&shop(&second)), Measured::of(&shop(&once)));
    // The gap as it came out: 0.4 less half of 0.06 + 0.04.
    let easy = Measured::of(&shop(&second)).gaps[1].unwrap();
    assert!((easy - 0.35).abs() < 1e-12, "{second}");
    // The other way round the gaps would be those of sizes that were not so.
    let (first, _) = recorded(BUILT_IN_SHOP, &trial, &feels);
    let faults = entries(&trial, &shop(&first), &sizes)
        .unwrap_err()
        .join("; ");
    for key in ["stiff", "easy", "slip"] {
        assert!(faults.contains(&format!("`measured.{key}`")), "{faults}");
    }
    assert!(!faults.contains("loose"), "{faults}");
}

/// A coupon whose zero was corrected and that comes out right leaves the correction.
#[test]
fn a_correct_height_keeps_its_correction() {
    let first = format!("{BUILT_IN_SHOP}measured: {{height: 0.12}}\n");
    let trial = trial_of(&shop(&first));
    let read = |height| Readings {
        height: Some(height),
        ..Readings::default()
    };
    for (off, wanted) in [(0.0, 0.12), (-0.02, 0.1)] {
        let (second, _) = recorded(&first, &trial, &read(trial.height + off));
        let height = Measured::of(&shop(&second)).height.unwrap();
        assert!((height - wanted).abs() < 1e-9, "{second}");
    }
}

#[test]
fn readings_that_cannot_be_are_refused() {
    let trial = trial_of(&built_in_shop());
    let shop = built_in_shop();
    let plain = Readings::default;
    let cases: &[(Readings, &str)] = &[
        (plain(), "nothing was measured"),
        (
            Readings {
                ball: Some(21.0),
                ..plain()
            },
            "a ball of 21 mm, designed 20 mm",
        ),
        (
            Readings {
                sockets: vec![(7, 20.8)],
                ..plain()
            },
            "no socket 7: there are 1, 2, 3, 4",
        ),
        (
            Readings {
                sockets: vec![(1, 20.6), (2, 21.0)],
                ..plain()
            },
            "within 0.1 mm of each other",
        ),
        (
            Readings {
                holes: vec![(9, 6.4)],
                ..plain()
            },
            "no pin hole 9",
        ),
        (
            Readings {
                pin: Some(0),
                ..plain()
            },
            "no pin hole 0",
        ),
        (
            Readings {
                height: Some(2.0),
                ..plain()
            },
            "a height of 2 mm",
        ),
        (
            Readings {
                feels: [Some(3), Some(2), None],
                ..plain()
            },
            "easy at a gap of 0.4 mm, no wider",
        ),
        (
            Readings {
                feels: [None, Some(5), None],
                ..plain()
            },
            "no socket 5",
        ),
        (
            Readings {
                cutters: vec![("eigth flat".to_owned(), 3.1)],
                ..plain()
            },
            "did you mean `eighth flat`?",
        ),
        (
            Readings {
                cutters: vec![("eighth flat".to_owned(), 31.0)],
                ..plain()
            },
            "measure again",
        ),
        (
            Readings {
                ball: Some(f64::NAN),
                ..plain()
            },
            "a ball of",
        ),
    ];
    for (read, words) in cases {
        let faults = entries(&trial, &shop, read).unwrap_err().join("\n");
        assert!(faults.contains(words), "wanted {words}, found {faults}");
    }
}
