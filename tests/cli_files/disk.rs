//! A disk that fills up while the files are written: exit 2, the old set intact, nothing stray.

use super::bench::{Run, chain, ended, file, made, snapshot};
use std::path::Path;
use std::process::Command;
use tempfile::tempdir;

fn old_set_stays(folder: &Path, command: Command, words: &str) {
    let old = snapshot(&folder.join("set"));
    let run = ended(command);
    full(&run, words);
    assert!(
        snapshot(&folder.join("set")) == old,
        "the old set, and nothing else"
    );
}

fn full(run: &Run, words: &str) {
    assert_eq!(run.code, 2, "{}", run.said());
    assert!(
        run.err.contains(words) && run.err.contains("set"),
        "{}",
        run.err
    );
}

/// Any system with a Bourne shell: a limit on the size of a file stands for the full disk.
#[cfg(unix)]
#[test]
fn a_file_that_cannot_grow_leaves_the_old_set() {
    let room = tempdir().unwrap();
    let design = file(room.path(), "newt.yaml", &chain("Newt", 2, 0.5));
    made(room.path(), design, &[]);
    file(room.path(), "newt.yaml", &chain("Newt", 3, 1.5));
    // 1 block is 512 bytes or more: the first files are some hundred thousand bytes long.
    for blocks in [0, 1, 16, 60] {
        let mut command = Command::new("sh");
        let line = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" \"$@\"");
        command.args(["-c", &line, env!("CARGO_BIN_EXE_limberwood")]);
        command
            .args(["make", design, "-o", "set"])
            .current_dir(room.path());
        old_set_stays(room.path(), command, "cannot write");
    }
    made(room.path(), design, &[]);
}

/// The arguments of a shell in a world of its own, in which it may mount a small disk on `set`.
#[cfg(target_os = "linux")]
fn on_a_small_disk(folder: &Path, script: &str) -> Option<Command> {
    let shell = |line: &str| {
        let mut command = Command::new("unshare");
        command.args(["--map-root-user", "--mount", "sh", "-euc", line]);
        command
            .current_dir(folder)
            .env("LIMBERWOOD", env!("CARGO_BIN_EXE_limberwood"));
        command
    };
    let mount = "mount -t tmpfs -o size=2m none set";
    let works = shell(mount).output().is_ok_and(|o| o.status.success());
    works.then(|| shell(&format!("{mount}; {script}")))
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_leaves_the_old_set() {
    let room = tempdir().unwrap();
    file(
        room.path(),
        "small.yaml",
        &super::bench::single("Newt", 40.0),
    );
    file(room.path(), "large.yaml", &chain("Newt", 9, 1.5));
    std::fs::create_dir(room.path().join("set")).unwrap();
    std::fs::create_dir(room.path().join("before")).unwrap();
    // The small disk is gone with the shell, so the shell itself compares.
    let script = "\"$LIMBERWOOD\" make small.yaml -o set --quiet; cp set/* before; code=0; \
                  \"$LIMBERWOOD\" make large.yaml -o set || code=$?; \
                  ls -A set >listing; diff -r set before >differences || true; exit $code";
    let Some(command) = on_a_small_disk(room.path(), script) else {
        eprintln!("not tested on a real full disk: this user may mount no small disk");
        return;
    };
    let run = ended(command);
    full(&run, "the disk is full");
    let read = |name: &str| std::fs::read_to_string(room.path().join(name)).unwrap();
    assert_eq!(read("differences"), "Only in set: .limberwood.lock\n");
    assert_eq!(read("listing").lines().count(), 20, "{}", read("listing"));
}

#[cfg(target_os = "linux")]
#[test]
fn a_disk_that_can_only_be_read_is_known_before_the_work() {
    let room = tempdir().unwrap();
    file(room.path(), "newt.yaml", &chain("Newt", 2, 0.5));
    std::fs::create_dir(room.path().join("set")).unwrap();
    let script = "mount -o remount,ro set; exec \"$LIMBERWOOD\" make newt.yaml -o set";
    let Some(command) = on_a_small_disk(room.path(), script) else {
        eprintln!("not tested on a read-only disk: this user may mount no small disk");
        return;
    };
    full(&ended(command), "can only be read");
}
