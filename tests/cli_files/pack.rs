//! Archives to give away, and pictures.

use super::bench::{file, run, single, snapshot};
use std::fs;
use tempfile::tempdir;

fn signed(name: &str) -> String {
    let terms = "units: mm\nauthor: A. Maker\nlicence: CC0-1.0\n";
    single(name, 40.0).replacen("units: mm\n", terms, 1)
}

#[test]
fn an_archive_needs_author_and_licence() {
    let room = tempdir().unwrap();
    let plain = file(room.path(), "plain.yaml", &single("Newt", 40.0));
    let refused = run(room.path(), &["pack", plain]);
    assert_eq!(refused.code, 1);
    for word in [
        "plain.yaml",
        "a pack without author and without licence",
        "licence: CC-BY-4.0",
    ] {
        assert!(refused.err.contains(word), "{}", refused.err);
    }
    assert!(!room.path().join("out").exists());
    let half = signed("Newt").replace("author: A. Maker\n", "");
    let half = file(room.path(), "half.yaml", &half);
    let refused = run(room.path(), &["pack", half]);
    assert!(
        refused.err.contains("found a pack without author, allowed"),
        "{}",
        refused.err
    );
}

#[test]
fn the_same_design_gives_the_same_archive() {
    let room = tempdir().unwrap();
    let design = file(room.path(), "newt.yaml", &signed("Newt"));
    let archive = room.path().join("out/Newt.zip");
    let made: Vec<Vec<u8>> = (0..2)
        .map(|_| {
            let run = run(room.path(), &["pack", design]);
            assert_eq!(run.code, 0, "{}", run.said());
            assert!(run.out.contains("Newt.zip"));
            fs::read(&archive).unwrap()
        })
        .collect();
    assert_eq!(made[0], made[1]);
    let other = run(room.path(), &["pack", design, "-o", "given.zip"]);
    assert_eq!(other.code, 0, "{}", other.said());
    assert_eq!(fs::read(room.path().join("given.zip")).unwrap(), made[0]);
}

#[test]
fn nobody_elses_file_is_lost() {
    let room = tempdir().unwrap();
    let design = file(room.path(), "newt.yaml", &signed("Newt"));
    for (command, name) in [("pack", "precious.zip"), ("picture", "precious.png")] {
        fs::write(room.path().join(name), b"precious").unwrap();
        let refused = run(room.path(), &[command, design, "-o", name]);
        assert_eq!(refused.code, 2, "{}", refused.said());
        assert!(refused.err.contains("did not write"), "{}", refused.err);
        assert_eq!(fs::read(room.path().join(name)).unwrap(), b"precious");
        let nowhere = run(room.path(), &[command, design, "-o", "no/where"]);
        assert_eq!(nowhere.code, 2, "{}", nowhere.said());
    }
}

#[test]
fn a_picture_has_the_size_that_was_asked_for() {
    let room = tempdir().unwrap();
    let design = file(room.path(), "newt.yaml", &single("Newt", 40.0));
    let path = room.path().join("out/Newt.png");
    for (size, wanted) in [("64x40", [64, 40]), ("41X37", [41, 37])] {
        let run = run(
            room.path(),
            &["picture", design, "--size", size, "--view", "top"],
        );
        assert_eq!(run.code, 0, "{}", run.said());
        let png = fs::read(&path).unwrap();
        // Width and height stand at 16 and 20 (ISO/IEC 15948, IHDR).
        let at = |k: usize| u32::from_be_bytes(png[k..k + 4].try_into().unwrap());
        assert_eq!([at(16), at(20)], wanted);
    }
    assert_eq!(snapshot(&room.path().join("out")).len(), 1);
    for size in ["0x10", "10", "9000x10", "axb"] {
        let refused = run(room.path(), &["picture", design, "--size", size]);
        assert_eq!(refused.code, 2, "{size}");
        assert!(refused.err.contains("1600x900"), "{}", refused.err);
    }
    // A whole creature has no inside to be seen from.
    let refused = run(room.path(), &["picture", design, "--from", "inside"]);
    assert_eq!(refused.code, 2, "{}", refused.said());
    assert!(refused.err.contains("--part <NAME>"), "{}", refused.err);
    let broken = file(
        room.path(),
        "broken.yaml",
        &single("Newt", 40.0).replace("rim: 5", "rim: -5"),
    );
    assert_eq!(run(room.path(), &["picture", broken]).code, 1);
}
