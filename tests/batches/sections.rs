//! One changed section redoes its own halves, and joints that it has a part in; the bytes are those of a
//! fresh run.

use super::bench::{chain, file};
use super::{batch, tree};
use std::path::{Path, PathBuf};
use tempfile::{TempDir, tempdir};

/// A room with a chain of three sections and a plan of it alone.
fn room() -> TempDir {
    let room = tempdir().unwrap();
    let plan = "limberwood_plan: 1\nentries:\n  - designs: [chain.yaml]\nwrite: [set]\n";
    file(room.path(), "plan.yaml", plan);
    file(room.path(), "chain.yaml", &chain("Chain", 3, 0.5));
    room
}

/// The chain with one of its lengths changed.
fn changed(section: usize, length: &str) -> String {
    let text = chain("Chain", 3, 0.5);
    let old = format!("name: s{section}\n    length: ");
    let (before, after) = text.split_once(&old).unwrap();
    let (_, rest) = after.split_once('\n').unwrap();
    format!("{before}{old}{length}\n{rest}")
}

/// Parts built and taken over, and joints bent, by a run that must end well.
fn parts(room: &Path, into: &str) -> [u64; 3] {
    let (run, told) = batch(room, into, &[]);
    assert_eq!(run.code, 0, "{}", run.said());
    let parts = &told["entries"][0]["parts"];
    ["built", "taken_over", "joints_bent"].map(|key| parts[key].as_u64().unwrap())
}

/// Whether a folder is, byte for byte, what a run into an empty one writes.
fn as_fresh(room: &Path) {
    let fresh = room.join("fresh");
    if fresh.exists() {
        std::fs::remove_dir_all(&fresh).unwrap();
    }
    assert_eq!(parts(room, "fresh"), [6, 0, 2]);
    let (out, fresh) = (tree(&room.join("out")), tree(&fresh));
    assert_eq!(
        out.keys().collect::<Vec<_>>(),
        fresh.keys().collect::<Vec<_>>()
    );
    for (name, bytes) in &out {
        assert!(bytes == &fresh[name], "{name}");
    }
}

/// Records of parts.
fn records(room: &Path) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(room.join("out/chain")).unwrap();
    let paths = entries.map(|e| e.unwrap().path());
    let own = |p: &PathBuf| p.display().to_string().contains(".limberwood.part-");
    let mut found: Vec<PathBuf> = paths.filter(own).collect();
    found.sort();
    found
}

#[test]
fn a_changed_section_redoes_its_own_halves() {
    let room = room();
    let room = room.path();
    assert_eq!(parts(room, "out"), [6, 0, 2]);
    file(room, "chain.yaml", &changed(1, "41.25"));
    assert_eq!(parts(room, "out"), [2, 4, 2]);
    as_fresh(room);
    // All that lies behind the first section moves along the creature, and is the same by itself.
    let text = changed(0, "40.7");
    file(room, "chain.yaml", &text);
    assert_eq!(parts(room, "out"), [4, 2, 2]);
    as_fresh(room);
    file(
        room,
        "chain.yaml",
        &text.replace("length: 40.7", "length: 40.9"),
    );
    assert_eq!(parts(room, "out"), [2, 4, 1]);
    as_fresh(room);
}

#[test]
fn moved_lines_redo_no_half() {
    let room = room();
    let room = room.path();
    assert_eq!(parts(room, "out"), [6, 0, 2]);
    let text = chain("Chain", 3, 0.5).replacen("units: mm\n", "# new\n\nunits: mm\n", 1);
    file(room, "chain.yaml", &text);
    // Warnings of the design name lines, so the set is looked at again.
    assert_eq!(parts(room, "out"), [0, 6, 0]);
    as_fresh(room);
}

#[test]
fn a_damaged_record_or_file_is_only_built_again() {
    let room = room();
    let room = room.path();
    assert_eq!(parts(room, "out"), [6, 0, 2]);
    let whole = tree(&room.join("out"));
    let records = records(room);
    let mut damages: Vec<(PathBuf, Vec<u8>)> = Vec::new();
    let bytes = std::fs::read(&records[0]).unwrap();
    let mut flipped = bytes.clone();
    let middle = flipped.len() / 2;
    flipped[middle] ^= 1;
    for damaged in [flipped, bytes[..middle].to_vec(), Vec::new()] {
        damages.push((records[0].clone(), damaged));
    }
    // Sound by itself, and of another part.
    damages.push((records[0].clone(), std::fs::read(&records[1]).unwrap()));
    damages.push((room.join("out/chain/set/01-s0-upper-finished.stl"), bytes));
    damages.push((room.join("out/chain/.limberwood.chain"), b"x".to_vec()));
    for (k, (path, damaged)) in damages.into_iter().enumerate() {
        // Of the creature's own record too, so that the set is looked at.
        std::fs::write(room.join("out/chain/.limberwood.entry"), "x").unwrap();
        std::fs::write(&path, damaged).unwrap();
        let [built, taken, bent] = parts(room, "out");
        assert_eq!(built + taken, 6);
        if path.ends_with(".limberwood.chain") {
            assert_eq!([built, bent], [0, 2]);
        } else {
            assert!((1..=2).contains(&built), "damage {k}: {built} built");
            assert_eq!(bent, 0);
        }
        assert!(tree(&room.join("out")) == whole, "damage {k}");
    }
}

#[test]
fn all_is_built_when_asked_for() {
    let room = room();
    assert_eq!(parts(room.path(), "out"), [6, 0, 2]);
    let (_, told) = batch(room.path(), "out", &["--fresh"]);
    assert_eq!(told["entries"][0]["parts"]["built"], 6);
}
