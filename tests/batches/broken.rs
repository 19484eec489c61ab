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

#[test]
fn a_design_that_is_not_there_is_told_once() {
    let room = room();
    let run = run(room.path(), &["batch", "none.yaml", "-o", "out"]);
    assert_eq!(run.code, 2, "{}", run.said());
    assert_eq!(run.err.matches("no such file").count(), 1, "{}", run.err);
    assert!(run.err.contains("none.yaml"), "{}", run.err);
    assert!(
        run.out.contains("none") && run.out.contains("1 error,"),
        "{}",
        run.out
    );
    assert!(!room.path().join("out/none").exists());
}

#[test]
fn more_creatures_than_the_limit_are_refused_before_any_is_read() {
    let room = room();
    let shops: Vec<String> = (0..400).map(|k| format!("shop{k}.yaml")).collect();
    let designs: Vec<String> = (0..251).map(|k| format!("none{k}.yaml")).collect();
    let mut arguments = vec!["batch"];
    arguments.extend(designs.iter().map(String::as_str));
    arguments.extend(shops.iter().flat_map(|shop| ["--shop", shop]));
    let refused = run(room.path(), &arguments);
    assert_eq!(refused.code, 1, "{}", refused.said());
    assert!(refused.err.contains("100400 creatures"), "{}", refused.err);
    assert!(refused.err.contains("at most 100000"), "{}", refused.err);
    assert!(!room.path().join("out").exists());
}

#[test]
fn a_product_that_is_wished_for_no_more_is_told() {
    let room = room();
    let terms = format!("{}author: Ada\nlicence: CC0\n", single("Block", 40.0));
    file(room.path(), "block.yaml", &terms);
    let wishing = |wishes: &str, more: &[&str]| {
        let arguments = ["batch", "block.yaml", "-o", "out", "--write", wishes];
        run(room.path(), &[&arguments, more].concat())
    };
    let first = wishing("pack", &[]);
    assert_eq!(first.code, 0, "{}", first.said());
    assert!(!first.out.contains("of an earlier run"), "{}", first.out);
    file(room.path(), "block.yaml", &terms.replace("40", "41"));
    for _ in 0..2 {
        let next = wishing("set", &[]);
        assert_eq!(next.code, 0, "{}", next.said());
        assert!(next.out.contains("of an earlier run: pack"), "{}", next.out);
    }
    let told = wishing("set", &["--json"]);
    let told: serde_json::Value = serde_json::from_str(&told.out).unwrap();
    assert_eq!(told["entries"][0]["old"], serde_json::json!(["pack"]));
    assert!(room.path().join("out/block/pack.zip").exists());
}
