//! Kills at any instant: the next run completes what is there to the bytes of an undisturbed one.
//! `LIMBERWOOD_KILLS` says how many.

use super::bench::program;
use super::{redone, room, tree};
use std::thread::sleep;
use std::time::Instant;

fn kills() -> u32 {
    let asked = std::env::var("LIMBERWOOD_KILLS").ok();
    asked.and_then(|n| n.parse().ok()).unwrap_or(6)
}

#[test]
fn a_killed_batch_is_completed() {
    let room = room();
    redone(room.path(), "whole", &[]);
    let whole = tree(&room.path().join("whole"));
    let begin = Instant::now();
    redone(room.path(), "again", &[]);
    let mut time = begin.elapsed();
    let (mut hit, kills) = (0, kills());
    for i in 0..kills {
        let out = room.path().join("out");
        // Every third run finds what the ones before have left.
        if i % 3 == 0 && out.exists() {
            std::fs::remove_dir_all(&out).unwrap();
        }
        let mut command = program(room.path());
        command.args(["batch", "plan.yaml", "-o", "out", "--quiet"]);
        let more: &[&str] = if i % 3 == 0 { &[] } else { &["--fresh"] };
        let begin = Instant::now();
        let mut child = command.args(more).spawn().unwrap();
        sleep(time.mul_f64((f64::from(i) + 0.5) / f64::from(kills)));
        if child.try_wait().unwrap().is_some() {
            time = time.min(begin.elapsed());
        } else {
            hit += 1;
        }
        let _ = child.kill();
        child.wait().unwrap();
        redone(room.path(), "out", &[]);
        assert!(tree(&out) == whole, "kill {i} of {kills}");
        assert_eq!(redone(room.path(), "out", &[]), 0);
    }
    assert!(
        hit >= kills / 4,
        "only {hit} of {kills} were killed at work"
    );
    eprintln!("{hit} of {kills} runs were killed at work");
}
