//! Output folders: what is in the way, whose files are whose, and two runs at once.

use super::bench::{chain, ended, faults, file, made, program, run, single, snapshot};
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};
use tempfile::tempdir;

/// Exit 2, the words, and nothing made.
fn refused(folder: &Path, output: &str, words: &[&str]) {
    let design = file(folder, "newt.yaml", &single("Newt", 40.0));
    let run = run(folder, &["make", design, "-o", output]);
    assert_eq!(run.code, 2, "{output}: {}", run.said());
    for word in words {
        assert!(run.err.contains(word), "{word:?} not in {}", run.err);
    }
}

#[test]
fn a_file_where_the_folder_should_be() {
    let room = tempdir().unwrap();
    file(room.path(), "taken", "mine");
    refused(room.path(), "taken", &["taken", "not a folder"]);
    refused(room.path(), "taken/inside", &["taken"]);
    assert_eq!(fs::read(room.path().join("taken")).unwrap(), b"mine");
    // The default folder: out is a file.
    file(room.path(), "out", "mine too");
    let run = run(room.path(), &["make", "newt.yaml"]);
    assert_eq!(run.code, 2, "{}", run.said());
    assert!(run.err.contains("out"), "{}", run.err);
}

#[test]
fn a_missing_parent_is_likely_a_slip() {
    let room = tempdir().unwrap();
    refused(room.path(), "nowhere/set", &["nowhere", "does not exist"]);
    assert!(!room.path().join("nowhere").exists());
}

/// The program without the right to write where the mode forbids it, which root has; `None`
/// where that right cannot be laid down.
#[cfg(unix)]
fn without_root_rights(folder: &Path) -> Option<Command> {
    use std::os::unix::fs::MetadataExt;
    if fs::metadata("/proc/self").is_ok_and(|m| m.uid() != 0) {
        return Some(program(folder));
    }
    let drop = "--bounding-set=-dac_override,-dac_read_search";
    let works = Command::new("setpriv").args([drop, "true"]).status();
    works.is_ok_and(|s| s.success()).then(|| {
        let mut command = Command::new("setpriv");
        command.arg(drop).arg(env!("CARGO_BIN_EXE_limberwood"));
        command.current_dir(folder).env_remove("SOURCE_DATE_EPOCH");
        command
    })
}

#[cfg(unix)]
#[test]
fn a_folder_that_can_only_be_read() {
    use std::os::unix::fs::PermissionsExt;
    let room = tempdir().unwrap();
    let design = file(room.path(), "newt.yaml", &single("Newt", 40.0));
    let old = made(room.path(), design, &[]);
    file(room.path(), "newt.yaml", &single("Newt", 50.0));
    let set = room.path().join("set");
    let mode = |mode| fs::set_permissions(&set, fs::Permissions::from_mode(mode)).unwrap();
    let Some(mut command) = without_root_rights(room.path()) else {
        eprintln!("not tested: this is root, and setpriv is not there to lay its rights down");
        return;
    };
    command.args(["make", design, "-o", "set"]);
    mode(0o555);
    let run = ended(command);
    mode(0o755);
    assert_eq!(run.code, 2, "{}", run.said());
    assert!(
        run.err.contains("set") && run.err.contains("no permission"),
        "{}",
        run.err
    );
    assert_eq!(snapshot(&set), old);
}

#[test]
fn a_second_run_is_kept_out_until_the_first_ends() {
    let room = tempdir().unwrap();
    let design = file(room.path(), "newt.yaml", &single("Newt", 40.0));
    let old = made(room.path(), design, &[]);
    let lock = fs::File::options()
        .write(true)
        .open(room.path().join("set/.limberwood.lock"))
        .unwrap();
    lock.try_lock().unwrap();
    file(room.path(), "newt.yaml", &single("Newt", 50.0));
    refused(room.path(), "set", &["set", "another run"]);
    assert_eq!(snapshot(&room.path().join("set")), old);
    drop(lock);
    made(room.path(), design, &[]);
}

#[test]
fn runs_at_once_leave_one_whole_set() {
    let room = tempdir().unwrap();
    let names: Vec<String> = (0..6).map(|i| format!("{i}.yaml")).collect();
    for (i, name) in names.iter().enumerate() {
        file(room.path(), name, &chain("Newt", 2, i as f64 + 0.5));
    }
    let children: Vec<_> = names
        .iter()
        .map(|name| {
            let mut command = program(room.path());
            command.args(["make", name, "-o", "set"]);
            command
                .stdout(Stdio::piped())
                .stderr(Stdio::piped())
                .spawn()
                .unwrap()
        })
        .collect();
    let mut good = 0;
    for child in children {
        let output = child.wait_with_output().unwrap();
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        match output.status.code() {
            Some(0) => good += 1,
            Some(2) => assert!(said.contains("another run"), "{said}"),
            other => panic!("{other:?} {said}"),
        }
    }
    assert!(good >= 1);
    assert_eq!(
        faults(&snapshot(&room.path().join("set"))),
        Vec::<String>::new()
    );
}

#[test]
fn files_of_an_older_set_go_and_changed_ones_stay() {
    let room = tempdir().unwrap();
    let design = file(room.path(), "newt.yaml", &chain("Newt", 3, 0.5));
    made(room.path(), design, &[]);
    let set = room.path().join("set");
    fs::write(set.join("03-s2-upper-finished.stl"), "worked on by hand").unwrap();
    file(room.path(), "newt.yaml", &chain("Newt", 2, 0.5));
    let second = run(room.path(), &["make", design, "-o", "set"]);
    assert_eq!(second.code, 0, "{}", second.said());
    assert!(
        second.out.contains("kept: 03-s2-upper-finished.stl"),
        "{}",
        second.out
    );
    let files = snapshot(&set);
    assert_eq!(files["03-s2-upper-finished.stl"], b"worked on by hand");
    assert_eq!(faults(&files), ["03-s2-upper-finished.stl not listed"]);
}

#[test]
fn files_of_others_are_never_touched() {
    let room = tempdir().unwrap();
    let design = file(room.path(), "newt.yaml", &single("Newt", 40.0));
    let set = room.path().join("set");
    fs::create_dir(&set).unwrap();
    for name in ["notes.txt", "99-other-upper-finished.stl", ".hidden"] {
        file(&set, name, "mine");
    }
    let first = run(room.path(), &["make", design, "-o", "set"]);
    assert_eq!(first.code, 0, "{}", first.said());
    for name in ["notes.txt", "99-other-upper-finished.stl", ".hidden"] {
        assert_eq!(fs::read(set.join(name)).unwrap(), b"mine", "{name}");
    }
    assert_eq!(faults(&snapshot(&set)).len(), 3);
}

#[test]
fn a_file_of_others_in_the_way_is_refused_before_the_work() {
    for name in ["01-block-lower-finished.step", "manifest.json"] {
        let room = tempdir().unwrap();
        let set = room.path().join("set");
        fs::create_dir(&set).unwrap();
        file(&set, name, "{\"mine\": true}");
        refused(room.path(), "set", &["set", name]);
        let files = snapshot(&set);
        assert_eq!(files.len(), 1, "{:?}", files.keys());
        assert_eq!(files[name], b"{\"mine\": true}");
    }
}

#[test]
fn a_mix_is_repaired_and_the_same_is_left_alone() {
    let room = tempdir().unwrap();
    let design = file(room.path(), "newt.yaml", &chain("Newt", 2, 0.5));
    let whole = made(room.path(), design, &[]);
    let set = room.path().join("set");
    let time = |name: &str| fs::metadata(set.join(name)).unwrap().modified().unwrap();
    let before = time("02-s1-upper-finished.step");
    fs::write(
        set.join("01-s0-upper-finished.stl"),
        &whole["01-s0-lower-finished.stl"],
    )
    .unwrap();
    fs::remove_file(set.join("02-s1-lower-finished.step")).unwrap();
    let again = run(room.path(), &["make", design, "-o", "set"]);
    assert!(again.out.contains("2 files written"), "{}", again.out);
    assert_eq!(snapshot(&set), whole);
    assert_eq!(
        time("02-s1-upper-finished.step"),
        before,
        "written again without need"
    );
}
