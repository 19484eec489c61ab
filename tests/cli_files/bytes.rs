//! Same input, same bytes: whatever the threads, the run, the locale, the folder.

use super::bench::{chain, ended, file, made, program, snapshot};
use std::collections::BTreeMap;
use std::path::Path;
use tempfile::tempdir;

fn with(folder: &Path, design: &str, variables: &[(&str, &str)]) -> BTreeMap<String, Vec<u8>> {
    let mut command = program(folder);
    command.args(["make", design, "-o", "other"]);
    command.envs(variables.iter().copied());
    let run = ended(command);
    assert_eq!(run.code, 0, "{}", run.said());
    let files = snapshot(&folder.join("other"));
    std::fs::remove_dir_all(folder.join("other")).unwrap();
    files
}

#[test]
fn threads_runs_and_locales_change_no_byte() {
    let room = tempdir().unwrap();
    let design = file(room.path(), "newt.yaml", &chain("Newt", 3, 0.7));
    let first = made(room.path(), design, &["--threads", "1"]);
    // Of each half: two bodies as STL and STEP, two set-ups as DXF and SVG; the assembly, the 3MF
    // and the manifest.
    assert_eq!(first.len(), 6 * 8 + 3);
    for threads in ["1", "2", "7"] {
        std::fs::remove_dir_all(room.path().join("set")).unwrap();
        assert!(
            first == made(room.path(), design, &["--threads", threads]),
            "{threads} threads"
        );
    }
    assert!(first == made(room.path(), design, &[]), "over an older set");
    let german = [
        ("LC_ALL", "de_DE.UTF-8"),
        ("LANG", "de_DE.UTF-8"),
        ("LC_NUMERIC", "de_DE.UTF-8"),
    ];
    assert!(first == with(room.path(), design, &german), "locale");
    let far = [
        ("LC_ALL", "tr_TR.UTF-8"),
        ("TZ", "Pacific/Kiritimati"),
        ("USER", "x"),
        ("HOME", "/"),
    ];
    assert!(
        first == with(room.path(), design, &far),
        "locale and time zone"
    );
    let other = tempdir().unwrap();
    let design = file(other.path(), "another name.yaml", &chain("Newt", 3, 0.7));
    assert!(
        first == made(other.path(), design, &[]),
        "place and name of the design file"
    );
}

#[test]
fn the_time_stamp_is_the_one_asked_for() {
    let room = tempdir().unwrap();
    let design = file(room.path(), "newt.yaml", &chain("Newt", 2, 0.7));
    let plain = with(room.path(), design, &[]);
    let epoch = with(room.path(), design, &[("SOURCE_DATE_EPOCH", "0")]);
    assert!(plain == epoch, "no clock");
    let stamped = with(room.path(), design, &[("SOURCE_DATE_EPOCH", "1000000000")]);
    assert!(stamped == with(room.path(), design, &[("SOURCE_DATE_EPOCH", "1000000000")]));
    for (name, bytes) in &stamped {
        let text = String::from_utf8_lossy(bytes);
        // 1e9 seconds after the epoch: 9 September 2001 (common knowledge, from memory).
        assert_eq!(
            text.contains("2001-09-09T01:46:40"),
            name.ends_with(".step"),
            "{name}"
        );
        let stamped = name.ends_with(".step") || name == "manifest.json";
        assert_eq!(plain[name] != *bytes, stamped, "{name}");
    }
}

#[test]
fn a_pose_moves_the_files_and_not_their_names() {
    let room = tempdir().unwrap();
    let design = file(room.path(), "newt.yaml", &chain("Newt", 2, 0.7));
    let plain = made(room.path(), design, &[]);
    let placed = made(room.path(), design, &["--pose", "creature"]);
    assert!(plain.keys().eq(placed.keys()));
    let lower = "01-s0-lower-finished.stl";
    assert_ne!(plain[lower], placed[lower]);
    // Turned half a turn about x: the least z of the placed half is minus the largest of the other.
    let heights = |bytes: &[u8]| -> (f32, f32) {
        let z = bytes[84..].chunks_exact(50).flat_map(|t| {
            [20, 32, 44].map(|at| f32::from_le_bytes(t[at..at + 4].try_into().unwrap()))
        });
        z.fold((f32::MAX, f32::MIN), |(low, high), z| {
            (low.min(z), high.max(z))
        })
    };
    let ((low, high), (under, over)) = (heights(&plain[lower]), heights(&placed[lower]));
    assert_eq!((low, high), (-over, -under));
}
