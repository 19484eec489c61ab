//! What the tests share: the program, run in a folder without a terminal.

use std::path::Path;
use std::process::{Command, Stdio};

/// What a run said.
pub struct Run {
    pub code: i32,
    pub out: String,
    pub err: String,
}

/// Runs the program on arguments in a folder.
pub fn run(folder: &Path, arguments: &[&str]) -> Run {
    let output = Command::new(env!("CARGO_BIN_EXE_limberwood"))
        .current_dir(folder)
        .env_remove("SOURCE_DATE_EPOCH")
        .stdin(Stdio::null())
        .args(arguments)
        .output()
        .expect("the program");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("UTF-8 at the outputs");
    Run {
        code: output.status.code().expect("an exit status, not a signal"),
        out: text(output.stdout),
        err: text(output.stderr),
    }
}

/// Runs the program, which must end well.
pub fn well(folder: &Path, arguments: &[&str]) -> Run {
    let run = run(folder, arguments);
    assert_eq!(run.code, 0, "{arguments:?}: {}{}", run.out, run.err);
    run
}

/// A new creature named Test of these choices passes make, check and blank in a folder of its own.
pub fn passes(choices: &[&str]) {
    let room = tempfile::tempdir().expect("a folder");
    well(room.path(), &[&["new", "Test"], choices].concat());
    made_passes(room.path(), choices);
}

/// The same, or the choices are refused with what is at fault, and nothing is written; whether it passes.
pub fn passes_or_is_refused(choices: &[&str]) -> bool {
    let room = tempfile::tempdir().expect("a folder");
    let said = run(room.path(), &[&["new", "Test"], choices].concat());
    if said.code == 0 {
        made_passes(room.path(), choices);
        return true;
    }
    assert_eq!(said.code, 1, "{choices:?}: {}{}", said.out, said.err);
    assert!(said.err.contains("was not written"), "{}", said.err);
    assert!(said.err.contains("Test.yaml:"), "{}", said.err);
    let left = std::fs::read_dir(room.path()).expect("a folder").count();
    assert_eq!(left, 0, "{choices:?} left files");
    if let Some((_, options)) = said.err.split_once("what was found to pass is ") {
        proposed_passes(choices, options.lines().next().unwrap_or_default());
    }
    false
}

/// What a refusal names, such as `--sections 8 --length '400 mm'`, in the place of what was chosen.
fn proposed_passes(choices: &[&str], options: &str) {
    let mut named: Vec<&str> = Vec::new();
    for (k, part) in options.split('\'').enumerate() {
        if k % 2 == 1 {
            named.push(part);
        } else {
            named.extend(part.split_whitespace());
        }
    }
    assert!(
        named.len() >= 2 && named.len().is_multiple_of(2),
        "{options}"
    );
    let kept = choices.chunks(2).filter(|pair| !named.contains(&pair[0]));
    let mut all: Vec<&str> = kept.flatten().copied().collect();
    all.extend(&named);
    let room = tempfile::tempdir().expect("a folder");
    let said = run(room.path(), &[&["new", "Test"], &all[..]].concat());
    assert_eq!(
        said.code, 0,
        "{choices:?}, {options}: {}{}",
        said.out, said.err
    );
    made_passes(room.path(), &all);
}

fn made_passes(folder: &Path, choices: &[&str]) {
    let checked = well(folder, &["check", "Test.yaml"]);
    assert!(
        checked.out.starts_with("Test.yaml: cut") && !checked.out.contains("fix first"),
        "{choices:?}: {}",
        checked.out
    );
    for command in ["make", "blank"] {
        let made = run(folder, &[command, "Test.yaml", "--quiet"]);
        assert_eq!(made.code, 0, "{choices:?}, {command}: {}", made.err);
    }
}
