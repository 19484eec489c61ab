//! Batches: parts against the whole, work that is not redone, kills, damage, two runs at once.

// Helpers of the tests stand outside of test functions.
#![allow(clippy::unwrap_used, clippy::print_stderr)]

#[allow(dead_code)]
#[path = "../cli_files/bench.rs"]
mod bench;
mod broken;
mod kill;
mod sections;
mod unchanged;

use std::collections::BTreeMap;
use std::path::Path;

use bench::{Run, chain, file, program, run, single};
use serde_json::Value;
use tempfile::{TempDir, tempdir};

/// Every file under a folder by its path, but locks, and results of parts.
pub fn tree(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    gather(folder, "", &mut found);
    found
}

fn gather(folder: &Path, above: &str, found: &mut BTreeMap<String, Vec<u8>>) {
    for entry in std::fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let name = format!("{above}{}", entry.file_name().to_str().unwrap());
        if entry.file_type().unwrap().is_dir() {
            gather(&entry.path(), &format!("{name}/"), found);
        } else if !name.ends_with(".limberwood.lock") && !name.starts_with("results-") {
            found.insert(name, std::fs::read(entry.path()).unwrap());
        }
    }
}

/// Two designs, one of them in two sizes, of which all is written but the archive.
pub const PLAN: &str = "limberwood_plan: 1\nentries:\n  - designs: [block.yaml]\n    \
    sizes: [{scale: 100%}, {scale: 90%, count: 2}]\n  - designs: [chain.yaml]\n\
    write: [set, page]\n";

/// A room with the plan and its designs.
pub fn room() -> TempDir {
    let room = tempdir().unwrap();
    file(room.path(), "block.yaml", &single("Block", 40.0));
    file(room.path(), "chain.yaml", &chain("Chain", 2, 0.5));
    file(room.path(), "plan.yaml", PLAN);
    room
}

/// Runs the plan into a folder of the room.
pub fn batch(room: &Path, into: &str, more: &[&str]) -> (Run, Value) {
    let arguments = [&["batch", "plan.yaml", "-o", into, "--json"], more].concat();
    let run = run(room, &arguments);
    let told = serde_json::from_str(&run.out).unwrap_or_else(|e| panic!("{e}: {}", run.said()));
    (run, told)
}

/// Products made by a run, which must end well.
pub fn redone(room: &Path, into: &str, more: &[&str]) -> u64 {
    let (run, told) = batch(room, into, more);
    assert_eq!(run.code, 0, "{}", run.said());
    told["redone"].as_u64().unwrap()
}

#[test]
fn parts_in_processes_of_their_own_are_the_whole() {
    let room = room();
    assert_eq!(redone(room.path(), "whole", &["--threads", "1"]), 6);
    let parts = ["1/2", "2/2"].map(|part| {
        let mut command = program(room.path());
        command.args([
            "batch",
            "plan.yaml",
            "-o",
            "parts",
            "--quiet",
            "--part",
            part,
        ]);
        command.spawn().unwrap()
    });
    for mut part in parts {
        assert!(part.wait().unwrap().success());
    }
    for name in ["results-1-of-2.json", "results-2-of-2.json"] {
        assert!(room.path().join("parts").join(name).exists());
    }
    assert_eq!(redone(room.path(), "parts", &[]), 0);
    let [whole, parts] = ["whole", "parts"].map(|f| tree(&room.path().join(f)));
    assert!(whole.contains_key("results.json"));
    assert!(whole.contains_key("block-90%-x2/set/manifest.json"));
    assert_eq!(
        whole.keys().collect::<Vec<_>>(),
        parts.keys().collect::<Vec<_>>()
    );
    assert!(whole == parts);
}

#[test]
fn a_part_that_is_none_is_refused() {
    let room = room();
    for part in ["0/2", "3/2", "1", "a/b", "1/2000"] {
        let run = run(room.path(), &["batch", "plan.yaml", "--part", part]);
        assert_eq!(run.code, 2, "{part}: {}", run.said());
    }
}
