//! Hostile files are refused by the whole program within a second; long chains stay small.

use super::bench::{program, run, single};
use std::fmt::Write;
use std::fs;
use std::process::Stdio;
use std::time::{Duration, Instant};
use tempfile::tempdir;

const HEAD: &str = "limberwood: 1\nname: Pike\nunits: mm\n";

/// Refused with exit 1 and the words; a busy machine gets three tries at the second.
fn refused_within_a_second(name: &str, text: &str, words: &str) {
    let room = tempdir().unwrap();
    fs::write(room.path().join(name), text).unwrap();
    let times = (0..3).map(|_| {
        let begin = Instant::now();
        let run = run(room.path(), &["make", name]);
        let time = begin.elapsed();
        assert_eq!(run.code, 1, "{name}: {}", run.said());
        assert!(
            run.err.contains(words),
            "{name}: {words:?} not in {:.2000}",
            run.err
        );
        assert!(
            run.err.len() < 200_000,
            "{name}: {} bytes said",
            run.err.len()
        );
        time
    });
    let mut times = times.collect::<Vec<_>>().into_iter();
    assert!(
        times.any(|t| t < Duration::from_secs(1)),
        "{name}: {times:?}"
    );
}

#[test]
fn many_sections() {
    let mut text = String::from(HEAD) + "sections:\n";
    for i in 0..200_000 {
        writeln!(text, "  - {{name: s{i}}}").unwrap();
    }
    refused_within_a_second("sections.yaml", &text, "at most");
    let text = single("Pike", 40.0).replace("    length", "    repeat: 1000000000\n    length");
    refused_within_a_second("repeat.yaml", &text, "1000000000");
}

#[test]
fn alias_bombs() {
    let mut text = String::from(HEAD) + "a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n";
    for i in 1..12 {
        let ten = vec![format!("*a{}", i - 1); 10].join(", ");
        writeln!(text, "a{i}: &a{i} [{ten}]").unwrap();
    }
    refused_within_a_second("aliases.yaml", &text, "alias");
}

#[test]
fn large_files() {
    let text = String::from(HEAD) + &"# nothing\n".repeat(5_000_000);
    refused_within_a_second("comment.yaml", &text, "comment.yaml");
    let text = format!("{HEAD}species: \"{}\"\n", "x".repeat(50_000_000));
    refused_within_a_second("word.yaml", &text, "word.yaml");
}

#[test]
fn deep_brackets() {
    let text = format!(
        "{HEAD}sections: {}{}\n",
        "[".repeat(100_000),
        "]".repeat(100_000)
    );
    refused_within_a_second("brackets.yaml", &text, "brackets.yaml");
}

#[cfg(target_os = "linux")]
#[test]
fn endless_and_odd_files_are_refused() {
    let room = tempdir().unwrap();
    for file in ["/dev/zero", "/dev/null"] {
        let begin = Instant::now();
        let run = run(room.path(), &["make", file]);
        assert!([1, 2].contains(&run.code), "{file}: {}", run.said());
        assert!(begin.elapsed() < Duration::from_secs(10), "{file}");
    }
}

/// Peak resident memory of a running process in kB, as the system counts it.
#[cfg(target_os = "linux")]
fn peak(pid: u32) -> Option<u64> {
    let text = fs::read_to_string(format!("/proc/{pid}/status")).ok()?;
    let line = text.lines().find(|l| l.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}

#[cfg(target_os = "linux")]
#[test]
fn memory_does_not_grow_with_the_chain() {
    let room = tempdir().unwrap();
    let text = fs::read_to_string(format!(
        "{}/params/caterpillar.yaml",
        env!("CARGO_MANIFEST_DIR")
    ));
    let text = text
        .unwrap()
        .replace("repeat: 9", "repeat: 120")
        .replace("steps: 3", "steps: 4");
    fs::write(room.path().join("long.yaml"), text).unwrap();
    let mut child = program(room.path())
        .args(["make", "long.yaml", "--json"])
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let out = child.stdout.take().unwrap();
    let reader = std::thread::spawn(move || std::io::read_to_string(out).unwrap());
    let mut most = 0;
    while child.try_wait().unwrap().is_none() {
        most = most.max(peak(child.id()).unwrap_or(0));
        std::thread::sleep(Duration::from_millis(5));
    }
    let value: serde_json::Value = serde_json::from_str(&reader.join().unwrap()).unwrap();
    assert_eq!(value["exit"], 0, "{value:#}");
    let totals = &value["designs"][0]["made"]["totals"];
    assert_eq!(totals["parts"], 2 * 122);
    // Two of the head, whose eyes are above, tail and four sizes: equal halves are built once.
    assert_eq!(totals["distinct"], 7);
    assert!((1000..300_000).contains(&most), "{most} kB");
}
