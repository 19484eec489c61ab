//! Kills at any instant, and interrupts: what lies there is whole, and the next run repairs it.

use super::bench::{chain, faults, file, made, program, run, snapshot};
use std::collections::BTreeMap;
use std::path::Path;
use std::process::Stdio;
use std::thread::sleep;
use std::time::{Duration, Instant};
use tempfile::tempdir;

const KILLS: u32 = 48;

type Files = BTreeMap<String, Vec<u8>>;

/// Under its own name a file is one of the two sets', never a torn one.
fn all_whole(found: &Files, old: &Files, new: &Files) {
    for (name, bytes) in found
        .iter()
        .filter(|(n, _)| !n.ends_with(".limberwood-new"))
    {
        let whole = [old, new].iter().any(|set| set.get(name) == Some(bytes));
        assert!(whole, "{name} is neither old nor new");
    }
    let mixed = found != old && found != new;
    // A mix that the manifest does not show would be taken for a set.
    assert!(
        !mixed || !faults(found).is_empty(),
        "a mix that cannot be seen"
    );
}

/// Starts a run and kills it; whether it was still running.
fn killed(folder: &Path, design: &str, after: Duration) -> bool {
    let mut command = program(folder);
    command
        .args(["make", design, "-o", "set", "--quiet"])
        .stderr(Stdio::null());
    let mut child = command.spawn().unwrap();
    sleep(after);
    let running = child.try_wait().unwrap().is_none();
    let _ = child.kill();
    child.wait().unwrap();
    running
}

#[test]
fn a_killed_run_leaves_whole_files_and_the_next_repairs() {
    let room = tempdir().unwrap();
    let designs = [
        file(room.path(), "a.yaml", &chain("Newt", 2, 0.5)),
        // One section more, so that files come and go too.
        file(room.path(), "b.yaml", &chain("Newt", 3, 1.5)),
    ];
    let sets = designs.map(|design| {
        let begin = Instant::now();
        let files = made(room.path(), design, &[]);
        (files, begin.elapsed())
    });
    assert_ne!(sets[0].0, sets[1].0);
    let mut hit = 0;
    // The shortest run so far: a busy machine must not put every kill behind the end.
    let mut times = [sets[0].1, sets[1].1];
    for i in 0..KILLS {
        let (from, to) = ((i % 2) as usize, (1 - i % 2) as usize);
        let begin = Instant::now();
        let old = made(room.path(), designs[from], &[]);
        times[from] = times[from].min(begin.elapsed());
        assert_eq!(old, sets[from].0, "nothing of the other set is left");
        // Spread over the run, more of them towards its end, where files change places.
        let part = (f64::from(i) + 0.5) / f64::from(KILLS);
        let after = times[to].mul_f64(1.05 * part.sqrt());
        hit += u32::from(killed(room.path(), designs[to], after));
        let folder = room.path().join("set");
        all_whole(&snapshot(&folder), &sets[from].0, &sets[to].0);
        let repaired = made(room.path(), designs[to], &[]);
        assert_eq!(repaired, sets[to].0, "after {after:?}");
    }
    assert!(
        hit >= KILLS / 4,
        "only {hit} of {KILLS} runs were killed at work"
    );
}

#[test]
fn the_first_set_of_a_folder_survives_kills_too() {
    let room = tempdir().unwrap();
    let design = file(room.path(), "a.yaml", &chain("Newt", 2, 0.5));
    let begin = Instant::now();
    let whole = made(room.path(), design, &[]);
    let time = begin.elapsed();
    for i in 0..12 {
        std::fs::remove_dir_all(room.path().join("set")).unwrap();
        killed(room.path(), design, time.mul_f64(f64::from(i) / 12.0));
        let again = run(room.path(), &["make", design, "-o", "set"]);
        assert_eq!(again.code, 0, "{}", again.said());
        assert_eq!(snapshot(&room.path().join("set")), whole);
    }
}

#[cfg(unix)]
#[test]
fn an_interrupt_leaves_the_old_set() {
    let room = tempdir().unwrap();
    let old_design = file(room.path(), "a.yaml", &chain("Newt", 2, 0.5));
    let old = made(room.path(), old_design, &[]);
    // Long enough that the interrupt comes in the middle.
    let design = file(room.path(), "b.yaml", &chain("Newt", 40, 0.5));
    let mut child = program(room.path())
        .args([
            "make",
            design,
            "-o",
            "set",
            "--deviation",
            "0.005",
            "--threads",
            "1",
        ])
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // Under way once the first unfinished file lies there.
    let begin = Instant::now();
    while !snapshot(&room.path().join("set"))
        .keys()
        .any(|n| n.ends_with(".limberwood-new"))
    {
        assert!(
            begin.elapsed() < Duration::from_secs(60),
            "no file in a minute"
        );
        sleep(Duration::from_millis(2));
    }
    let pid = child.id().to_string();
    assert!(
        std::process::Command::new("kill")
            .args(["-INT", &pid])
            .status()
            .unwrap()
            .success()
    );
    let code = child.wait().unwrap().code();
    assert_eq!(code, Some(2));
    assert_eq!(
        snapshot(&room.path().join("set")),
        old,
        "the old set, and nothing else"
    );
}
