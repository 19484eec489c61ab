//! Bad designs and plans, folders that cannot be written, two runs at once.

use super::bench::{ended, file, program, run, single};
use super::{batch, room, tree};
use std::process::Command;

#[test]
fn a_bad_design_does_not_stop_the_rest() {
    let room = room();
    file(room.path(), "block.yaml", "limberwood: 1\nname: Bad\n");
    let (run, told) = batch(room.path(), "out", &[]);
    assert_eq!(run.code, 1, "{}", run.said());
    let exits: Vec<_> = told["entries"]
        .as_array()
        .unwrap()
        .iter()
        .map(|e| e["exit"].clone())
        .collect();
    assert_eq!(exits, [1, 1, 0]);
    assert!(run.err.contains("block.yaml:1:1: error"), "{}", run.err);
    assert!(room.path().join("out/chain/set/manifest.json").exists());
    assert!(room.path().join("out/results.json").exists());
}

#[test]
fn faults_of_a_plan_have_their_places() {
    let room = room();
    for (old, new, words) in [
        (
            "designs:",
            "design:",
            "plan.yaml:3:5: error: entries[0].design",
        ),
        ("90%", "9000%", "sizes[1].scale"),
        ("page]", "pages]", "write[1]"),
        ("90%, count: 2", "100%", "both be written"),
        (
            "limberwood_plan: 1",
            "limberwood_plan: 2",
            "newer than this program",
        ),
    ] {
        file(room.path(), "plan.yaml", &super::PLAN.replace(old, new));
        let run = run(room.path(), &["batch", "plan.yaml", "-o", "out"]);
        assert_eq!(run.code, 1, "{new}: {}", run.said());
        assert!(run.err.contains(words), "{new}: {}", run.err);
    }
    let run = run(room.path(), &["make", "plan.yaml"]);
    assert!(run.err.contains("a plan file"), "{}", run.said());
}

#[test]
fn designs_can_be_named_alone() {
    let room = room();
    file(room.path(), "other.yaml", &single("Other", 44.0));
    let run = run(room.path(), &["batch", "block.yaml", "other.yaml"]);
    assert_eq!(run.code, 0, "{}", run.said());
    assert!(
        run.out
            .contains("2 creatures, 2 of them worked on, 0 not sound"),
        "{}",
        run.out
    );
    assert!(
        room.path()
            .join("out/batch/other/set/manifest.json")
            .exists()
    );
}

#[test]
fn two_runs_at_once_end_in_one_result() {
    let room = room();
    let runs = [(), ()].map(|()| {
        let mut command = program(room.path());
        command.args(["batch", "plan.yaml", "-o", "both", "--quiet"]);
        command.spawn().unwrap()
    });
    for mut one in runs {
        assert!(one.wait().unwrap().success());
    }
    batch(room.path(), "alone", &[]);
    assert!(tree(&room.path().join("both")) == tree(&room.path().join("alone")));
}

/// A limit on the size of a file stands for the full disk.
#[cfg(unix)]
#[test]
fn a_file_that_cannot_grow_is_told_and_nothing_is_torn() {
    let room = room();
    batch(room.path(), "out", &[]);
    let old = tree(&room.path().join("out"));
    file(room.path(), "block.yaml", &single("Block", 41.0));
    let mut command = Command::new("sh");
    let line = "trap '' XFSZ; ulimit -f 60; exec \"$0\" \"$@\"";
    command.args(["-c", line, env!("CARGO_BIN_EXE_limberwood")]);
    command
        .args(["batch", "plan.yaml", "-o", "out"])
        .current_dir(room.path());
    let run = ended(command);
    assert_eq!(run.code, 2, "{}", run.said());
    assert!(run.err.contains("cannot write"), "{}", run.err);
    let now = tree(&room.path().join("out"));
    for (name, bytes) in now.iter().filter(|(name, _)| *name != "results.json") {
        assert!(old.get(name) == Some(bytes), "{name}");
    }
    batch(room.path(), "out", &[]);
    batch(room.path(), "anew", &[]);
    assert!(tree(&room.path().join("out")) == tree(&room.path().join("anew")));
}

#[test]
fn a_file_where_the_folder_should_be_is_told() {
    let room = room();
    file(room.path(), "out", "mine");
    let (run, _) = (
        super::run(room.path(), &["batch", "plan.yaml", "-o", "out"]),
        (),
    );
    assert_eq!(run.code, 2, "{}", run.said());
    assert!(run.err.contains("a file, not a folder"), "{}", run.err);
}
