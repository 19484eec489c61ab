//! Every kind over units and thicknesses, and at its limits.

use super::bench::{passes, passes_or_is_refused, well};
use limberwood::kinds::{Frame, KINDS, Ruler, clearance};
use limberwood::params::species;
use limberwood::units::Unit;

/// Thicknesses of stock, as typed.
const STOCKS: [&str; 4] = ["12 mm", "15 mm", "3/4 in", "1 in"];

/// All combinations by LIMBERWOOD_NEW_ALL; else every fifth kind once, over
/// different units and thicknesses.
#[test]
fn every_kind_passes_make_check_and_blank() {
    let all = std::env::var_os("LIMBERWOOD_NEW_ALL").is_some();
    for (k, kind) in KINDS.iter().enumerate() {
        for (s, stock) in STOCKS.iter().enumerate() {
            for (u, unit) in ["mm", "in"].iter().enumerate() {
                if all || (k % STOCKS.len() == s && k / 5 % 2 == u && k % 5 == 0) {
                    passes(&["--kind", kind.name, "--stock", stock, "--unit", unit]);
                }
            }
        }
    }
}

/// Least and most sections, each with the least and the greatest length.
#[test]
fn limits_of_sections_and_length_pass_or_are_refused() {
    let all = std::env::var_os("LIMBERWOOD_NEW_ALL").is_some();
    let mut passed = Vec::new();
    for (k, kind) in KINDS.iter().enumerate() {
        for (n, sections) in [kind.least, kind.most].into_iter().enumerate() {
            if !all && (k % 10 != n) {
                continue;
            }
            let frame = Frame {
                kind,
                unit: Unit::Mm,
                stock: 19.05,
                wood: species("hard maple").unwrap(),
                sections,
                clearance: clearance(None),
            };
            let (range, usual) = frame.lengths();
            assert!(range.contains(&usual));
            let ends = [*range.start(), *range.end()];
            for (e, length) in ends.into_iter().enumerate() {
                if all || e == n {
                    let (sections, length) = (sections.to_string(), length.to_string());
                    passed.push(passes_or_is_refused(&[
                        "--kind",
                        kind.name,
                        "--sections",
                        &sections,
                        "--length",
                        &length,
                    ]));
                }
            }
        }
    }
    let well = passed.iter().filter(|&&p| p).count();
    assert!(2 * well >= passed.len(), "{well} of {} pass", passed.len());
}

/// A blunt nose has narrow facets that look a little away from the cutter, and hides nothing.
#[test]
fn a_blunt_nose_of_thin_stock_hides_nothing() {
    passes(&[
        "--kind",
        "ray",
        "--stock",
        "14.5 mm",
        "--sections",
        "4",
        "--length",
        "405 mm",
    ]);
}

#[test]
fn soft_and_strong_woods_pass() {
    let all = std::env::var_os("LIMBERWOOD_NEW_ALL").is_some();
    passes(&["--kind", "whale", "--species", "eastern white pine"]);
    if all {
        passes(&["--kind", "otter", "--species", "walnut"]);
    }
}

/// The written length is the one asked for, within what rounding to whole mm can do to each section.
#[test]
fn length_is_what_was_asked_for() {
    let room = tempfile::tempdir().unwrap();
    let run = well(
        room.path(),
        &["new", "Pike", "--length", "450", "--unit", "mm"],
    );
    let told = run
        .out
        .split("degrees, is ")
        .nth(1)
        .and_then(|t| t.split(" mm long").next());
    let told: f64 = told.unwrap_or_default().trim().parse().unwrap_or_default();
    let sections = f64::from(limberwood::kinds::kind("pike").unwrap().usual);
    assert!((told - 450.0).abs() <= 0.5 * sections, "{}", run.out);
}

/// Inches are written as fractions that calipers show.
#[test]
fn rulers_round_in_both_units() {
    let (mm, inch) = (Ruler { unit: Unit::Mm }, Ruler { unit: Unit::Inch });
    assert_eq!(
        (mm.text(12.5), mm.words(12.5)),
        ("12.5".into(), "12.5 mm".into())
    );
    assert_eq!(inch.text(19.05), "3/4 in");
    assert_eq!(inch.exact(0.7 * 25.4), "0.7 in");
    assert_eq!(inch.exact(18.6), "18.6 mm");
    assert_eq!(mm.exact(0.7 * 25.4), "17.78");
    assert_eq!(inch.text(31.0 / 64.0 * 25.4), "31/64 in");
}
