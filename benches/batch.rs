//! Pace of batches: `cargo bench --bench batch`.
//!
//! Prints how long 100 variants of the demos (`LIMBERWOOD_VARIANTS` of them) take on one thread and on
//! two, and how long a second run over unchanged work takes against the first; then how long the reference
//! body takes from nothing, and again with one pin of one section moved. Every run is a process.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

const DEMOS: [&str; 5] = ["caterpillar", "newt", "otter", "pike", "whale"];

/// Designs by `count` variants that differ in their names, which are on every file.
fn variants(room: &Path, count: usize) -> Vec<String> {
    let params = Path::new(env!("CARGO_MANIFEST_DIR")).join("params");
    let one = |k: usize| {
        let text = std::fs::read_to_string(params.join(format!("{}.yaml", DEMOS[k % 5])));
        let text = text
            .expect("a demo")
            .replacen("\nname: ", &format!("\nname: V{k} "), 1);
        let name = format!("v{k:03}.yaml");
        std::fs::write(room.join(&name), text).expect("it is written");
        name
    };
    (0..count).map(one).collect()
}

fn run(room: &Path, designs: &[String], out: &str, threads: &str) -> Duration {
    let begin = Instant::now();
    let mut command = Command::new(env!("CARGO_BIN_EXE_limberwood"));
    command.current_dir(room).arg("batch").args(designs);
    command.args(["-o", out, "--quiet", "--threads", threads]);
    let status = command.stdout(Stdio::null()).status().expect("it starts");
    assert!(status.code().is_some_and(|code| code < 2), "{status}");
    begin.elapsed()
}

/// The reference body from nothing, and with a pin of its sixth section moved.
fn one_section(room: &Path) -> [Duration; 2] {
    let params = Path::new(env!("CARGO_MANIFEST_DIR")).join("params");
    let text = std::fs::read_to_string(params.join("reference.yaml")).expect("the body");
    let (before, own) = text.split_once("  - name: body-5\n").expect("its section");
    let own = own.replacen("at: 50%", "at: 51%", 1);
    let moved = format!("{before}  - name: body-5\n{own}");
    let design = ["reference.yaml".to_owned()];
    [text, moved].map(|text| {
        std::fs::write(room.join(&design[0]), text).expect("it is written");
        run(room, &design, "reference", "2")
    })
}

#[allow(clippy::print_stdout)]
fn main() {
    let count = std::env::var("LIMBERWOOD_VARIANTS").ok();
    let count = count.and_then(|n| n.parse().ok()).unwrap_or(100);
    let room = tempfile::tempdir().expect("a folder");
    let designs = variants(room.path(), count);
    let two = run(room.path(), &designs, "two", "2");
    let one = run(room.path(), &designs, "one", "1");
    let again = run(room.path(), &designs, "two", "2");
    let ratio = |a: Duration, b: Duration| a.as_secs_f64() / b.as_secs_f64();
    println!("{count} variants: one thread {one:.2?}, two threads {two:.2?}");
    println!(
        "two threads against one: {:.2} times faster",
        ratio(one, two)
    );
    println!(
        "unchanged: {again:.2?}, {:.1} % of the first run",
        100.0 * ratio(again, two)
    );
    let [whole, section] = one_section(room.path());
    println!(
        "reference body: {whole:.2?}, one section changed: {section:.2?}, {:.1} % of it",
        100.0 * ratio(section, whole)
    );
}
