//! Odd names of creatures and sections: written or refused by a clear rule, never outside.

use super::bench::{faults, file, run, section, single, snapshot};
use std::fs;
use std::path::{Path, PathBuf};
use tempfile::tempdir;

fn odd() -> Vec<String> {
    let mut names: Vec<String> = [
        "mein Drachen",
        "Schwanz ü / 2",
        "CON",
        "nul.txt",
        "..",
        ".",
        "../../up",
        "/etc/x",
        "a\\b",
        "C:\\temp",
        "Контур",
        "毛虫",
        "🐛",
        "a\u{202E}b",
        "-rf",
        "~",
        "$HOME",
        "a;b",
        "x.stl",
        "manifest.json",
        ".limberwood.lock",
        "%s%n",
        "no",
        "007",
        "trailing. ",
        "'quoted'",
        "e\u{301}",
    ]
    .map(String::from)
    .to_vec();
    names.extend(["a".repeat(300), "ü".repeat(100), "ä".repeat(300)]);
    names
}

/// As a double-quoted YAML scalar.
fn quoted(name: &str) -> String {
    format!("{name:?}")
        .replace("\\'", "'")
        .replace("\\u{202e}", "\\u202E")
        .replace("\\u{301}", "\\u0301")
}

/// Every path below a folder.
fn everything(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            everything(&path, found);
        }
        found.push(path);
    }
}

/// Makes a design in a deep folder; all that appears lies in `out` below it.
fn stays_inside(text: &str, name: &str) {
    let room = tempdir().unwrap();
    let deep = room.path().join("a/b/c");
    fs::create_dir_all(&deep).unwrap();
    let design = file(&deep, "design.yaml", text);
    let run = run(&deep, &["make", design]);
    let mut found = Vec::new();
    everything(room.path(), &mut found);
    let out = deep.join("out");
    for path in &found {
        let known = deep.starts_with(path) || path == &deep.join(design);
        assert!(known || path.starts_with(&out), "{name:?} made {path:?}");
    }
    match run.code {
        0 => {
            let sets: Vec<_> = fs::read_dir(&out)
                .unwrap()
                .map(|e| e.unwrap().path())
                .collect();
            assert_eq!(sets.len(), 1, "{name:?}");
            assert_eq!(
                faults(&snapshot(&sets[0])),
                Vec::<String>::new(),
                "{name:?}"
            );
            for path in &found {
                let long = path.file_name().unwrap().len();
                assert!(long <= 255, "{name:?}: {long} bytes");
            }
        }
        1 => {
            let begin: String = name
                .chars()
                .take(8)
                .filter(|c| c.is_alphanumeric())
                .collect();
            assert!(
                run.err.contains("name") && run.err.contains(&begin),
                "{name:?}: {}",
                run.err
            );
            assert!(!out.exists(), "{name:?}");
        }
        other => panic!("{name:?}: exit {other} {}", run.said()),
    }
}

#[test]
fn odd_names_of_creatures_stay_inside() {
    for name in odd() {
        stays_inside(&single(&quoted(&name), 40.0), &name);
    }
}

#[test]
fn odd_names_of_sections_stay_inside() {
    for name in odd() {
        let text = single("Newt", 40.0).replace("name: block", &format!("name: {}", quoted(&name)));
        stays_inside(&text, &name);
    }
}

#[test]
fn ordinary_foreign_names_are_kept() {
    let room = tempdir().unwrap();
    for (name, folder) in [
        ("mein Drachen", "mein-Drachen"),
        ("Гусеница 毛虫", "Гусеница-毛虫"),
        ("CON", "_CON"),
    ] {
        let design = file(room.path(), "design.yaml", &single(name, 40.0));
        let run = run(room.path(), &["make", design]);
        assert_eq!(run.code, 0, "{}", run.said());
        assert!(room.path().join("out").join(folder).is_dir(), "{name}");
        assert!(run.out.contains(name), "{}", run.out);
    }
}

#[test]
fn two_sections_of_one_name_are_refused() {
    let room = tempdir().unwrap();
    for (first, second) in [("Tail", "Tail"), ("Tail", "tail"), ("ÄRM", "ärm")] {
        let text = single("Newt", 40.0).replace("name: block", &format!("name: {first}"));
        let design = file(room.path(), "design.yaml", &(text + &section(second, 50.0)));
        let run = run(room.path(), &["make", design]);
        assert_eq!(run.code, 1, "{first} {second} {}", run.said());
        assert!(run.err.contains(second), "{}", run.err);
        assert!(!room.path().join("out").exists());
    }
}

#[test]
fn odd_paths_of_files_work() {
    let room = tempdir().unwrap();
    let folder = room.path().join("Füße & Köpfe 毛");
    fs::create_dir(&folder).unwrap();
    let design = file(&folder, "mein Wurm 'x'.yaml", &single("Newt", 40.0));
    let run = run(&folder, &["make", design, "-o", "aus gabe ü"]);
    assert_eq!(run.code, 0, "{}", run.said());
    assert_eq!(
        faults(&snapshot(&folder.join("aus gabe ü"))),
        Vec::<String>::new()
    );
}
