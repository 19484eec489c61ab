//! Several designs in one call.

use super::bench::{faults, file, run, single, snapshot};
use tempfile::tempdir;

#[test]
fn each_goes_to_a_folder_of_its_own() {
    let room = tempdir().unwrap();
    let a = file(room.path(), "a.yaml", &single("Newt", 40.0));
    let b = file(room.path(), "b.yaml", &single("Pike", 50.0));
    for (more, base) in [(&[][..], "out"), (&["-o", "both"], "both")] {
        let run = run(room.path(), &[&["make", a, b][..], more].concat());
        assert_eq!(run.code, 0, "{}", run.said());
        for name in ["Newt", "Pike"] {
            let files = snapshot(&room.path().join(base).join(name));
            assert_eq!(faults(&files), Vec::<String>::new());
            assert_eq!(files.len(), 2 * 8 + 3);
        }
    }
}

#[test]
fn all_faults_of_all_files_in_one_run() {
    let room = tempdir().unwrap();
    let bad = |name: &str| {
        single(name, 40.0)
            .replace("length: 40", "lenght: 40")
            .replace("rim: 5", "rim: -5")
            .replace("half_width: 13", "half_width: -13")
    };
    let a = file(room.path(), "a.yaml", &bad("Newt"));
    let b = file(room.path(), "b.yaml", &bad("Pike"));
    let run = run(room.path(), &["make", a, b]);
    assert_eq!(run.code, 1, "{}", run.said());
    for file in [a, b] {
        for (line, word) in [(4, "-5"), (7, "lenght"), (10, "-13")] {
            let begin = format!("{file}:{line}:");
            let found = run
                .err
                .lines()
                .any(|l| l.starts_with(&begin) && l.contains(word));
            assert!(found, "{begin} {word} not in {}", run.err);
        }
    }
}

#[test]
fn a_faulty_file_does_not_stop_the_others_and_the_worst_counts() {
    let room = tempdir().unwrap();
    let good = file(room.path(), "good.yaml", &single("Newt", 40.0));
    let bad = file(room.path(), "bad.yaml", "limberwood: 1\n");
    let one = run(room.path(), &["make", bad, good]);
    assert_eq!(one.code, 1, "{}", one.said());
    assert_eq!(
        faults(&snapshot(&room.path().join("out/Newt"))),
        Vec::<String>::new()
    );
    let two = run(room.path(), &["make", "missing.yaml", bad, good, "--json"]);
    assert_eq!(two.code, 2);
    let value: serde_json::Value = serde_json::from_str(&two.out).unwrap();
    let codes: Vec<_> = value["designs"]
        .as_array()
        .unwrap()
        .iter()
        .map(|d| d["exit"].as_u64())
        .collect();
    assert_eq!(codes, [Some(2), Some(1), Some(0)]);
}

#[test]
fn two_creatures_of_one_name_are_refused() {
    let room = tempdir().unwrap();
    let a = file(room.path(), "a.yaml", &single("Newt", 40.0));
    let b = file(room.path(), "b.yaml", &single("newt", 50.0));
    let run = run(room.path(), &["make", a, b]);
    assert_eq!(run.code, 2, "{}", run.said());
    assert!(run.err.contains(a) && run.err.contains(b), "{}", run.err);
}
