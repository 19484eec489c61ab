//! What is written, and what is left alone.

use super::bench::{run, well};
use limberwood::chain::resolve;
use limberwood::params::read_files;
use std::fs;
use std::path::Path;

/// Odd names become safe files, and stand unchanged in the design.
#[test]
fn names_with_blanks_and_umlauts() {
    let room = tempfile::tempdir().unwrap();
    let folder = room.path();
    let made = well(
        folder,
        &[
            "new",
            "Grüner Drache: \"2\"",
            "--kind",
            "caterpillar",
            "--sections",
            "4",
        ],
    );
    let file = folder.join("Grüner-Drache-2.yaml");
    let text = fs::read_to_string(&file).unwrap();
    assert!(text.contains(r#"name: "Grüner Drache: \"2\"""#), "{text}");
    assert!(made.out.contains("Grüner-Drache-2.yaml"), "{}", made.out);
    for path in [
        "shop.yaml",
        "out/Grüner-Drache-2.html",
        "out/Grüner-Drache-2.png",
    ] {
        assert!(folder.join(path).is_file(), "{path}");
    }
    // Every key that is no entry of a list is explained where it first comes.
    for key in [
        "units:", "species:", "split:", "ball:", "neck:", "swing:", "length:", "outline:",
    ] {
        let line = text
            .lines()
            .find(|l| l.trim_start().starts_with(key))
            .unwrap();
        assert!(line.contains('#'), "{line}");
    }
}

#[test]
fn without_a_terminal_defaults_are_taken_and_told() {
    let room = tempfile::tempdir().unwrap();
    let made = well(room.path(), &["new", "whale"]);
    let told = made
        .err
        .lines()
        .find(|l| l.starts_with("taken without asking: "));
    let told = told.unwrap_or_else(|| panic!("{}", made.err));
    for choice in [
        "--kind whale",
        "--unit mm",
        "--stock",
        "--cutters metric",
        "--sections 5",
        "--length",
    ] {
        assert!(told.contains(choice), "{told}");
    }
    let sentence = made.out.lines().last().unwrap();
    for fact in [
        "whale holds",
        "swings ",
        " degrees",
        "5 sections in 5 sizes",
        " blank",
        "coupon",
    ] {
        assert!(sentence.contains(fact), "{sentence}");
    }
}

#[test]
fn nothing_is_overwritten() {
    let room = tempfile::tempdir().unwrap();
    let folder = room.path();
    let shop = include_str!("../../params/shop-metric.yaml");
    fs::write(folder.join("shop.yaml"), shop).unwrap();
    fs::write(folder.join("Mine.yaml"), "mine\n").unwrap();
    let refused = run(folder, &["new", "Mine"]);
    assert_eq!(refused.code, 2);
    assert!(refused.err.contains("another NAME"), "{}", refused.err);
    assert_eq!(
        fs::read_to_string(folder.join("Mine.yaml")).unwrap(),
        "mine\n"
    );

    // The shop that is there gives unit and thickness, and stays; its cutters are not chosen.
    let cutters = run(folder, &["new", "Pike", "--cutters", "inch"]);
    assert_eq!(cutters.code, 2, "{}", cutters.err);
    let made = well(folder, &["new", "Pike"]);
    assert!(made.err.contains("--stock '20 mm'"), "{}", made.err);
    assert_eq!(fs::read_to_string(folder.join("shop.yaml")).unwrap(), shop);
    assert!(!made.out.contains("shop.yaml"), "{}", made.out);

    // A page that this program did not write.
    fs::write(folder.join("out/Otter.html"), "theirs").unwrap();
    let refused = run(folder, &["new", "Otter"]);
    assert_eq!(refused.code, 2, "{}", refused.err);
    assert_eq!(
        fs::read_to_string(folder.join("out/Otter.html")).unwrap(),
        "theirs"
    );
    assert!(!folder.join("Otter.yaml").exists());
}

/// Clearances of the joints of a design, mm.
fn clearances(folder: &Path, design: &str) -> Vec<f64> {
    let shop = folder.join("shop.yaml");
    let (design, shop, _) = read_files(&folder.join(design), Some(&shop)).expect("files");
    let resolved = resolve(&design, &shop).expect("a design");
    resolved.joints.iter().map(|j| j.joint.clearance).collect()
}

/// The gap that a coupon showed to move easily is that of every joint that was made before or after.
#[test]
fn joints_have_the_gap_that_the_coupon_showed() {
    let room = tempfile::tempdir().unwrap();
    let folder = room.path();
    well(folder, &["new", "Newt", "--quiet"]);
    assert_eq!(clearances(folder, "Newt.yaml"), [0.4; 7]);
    let shop = fs::read_to_string(folder.join("shop.yaml")).unwrap();
    fs::write(
        folder.join("shop.yaml"),
        shop + "measured: {easy: 0.5 mm}\n",
    )
    .unwrap();
    assert_eq!(clearances(folder, "Newt.yaml"), [0.5; 7]);
    well(folder, &["check", "Newt.yaml", "--quiet"]);
    well(folder, &["new", "Whale", "--quiet"]);
    assert_eq!(clearances(folder, "Whale.yaml"), [0.5; 4]);
    let text = fs::read_to_string(folder.join("Whale.yaml")).unwrap();
    assert!(text.contains("now 0.5 mm."), "{text}");
}

/// A groove without room in a slim section is accepted in the design, and so nothing is open.
#[test]
fn grooves_without_room_are_accepted_with_a_reason() {
    let room = tempfile::tempdir().unwrap();
    let folder = room.path();
    let made = well(folder, &["new", "otter", "--unit", "in"]);
    assert!(!made.out.contains("warnings are open"), "{}", made.out);
    let text = fs::read_to_string(folder.join("otter.yaml")).unwrap();
    assert!(
        text.contains("check: no-front-groove, section: tip,"),
        "{text}"
    );
    let checked = well(folder, &["check", "otter.yaml"]);
    assert!(
        checked.out.starts_with("otter.yaml: cut\n"),
        "{}",
        checked.out
    );
}
