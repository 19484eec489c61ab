//! What the tests share: the program, small designs, and what stands in a folder.

use limberwood::export::manifest::{FILE, listed, sha256};
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};

/// The lock file, which stays behind by rule.
const LOCK: &str = ".limberwood.lock";

/// What a run said.
pub struct Run {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Run {
    /// Both outputs together.
    pub fn said(&self) -> String {
        format!("{}{}", self.out, self.err)
    }
}

/// The program, started in a folder, free of what the tests' own environment says.
pub fn program(folder: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_limberwood"));
    command
        .current_dir(folder)
        .env_remove("SOURCE_DATE_EPOCH")
        .stdin(Stdio::null());
    command
}

/// Runs a command to its end.
pub fn ended(mut command: Command) -> Run {
    let Output {
        status,
        stdout,
        stderr,
    } = command.output().unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("UTF-8 at the outputs");
    Run {
        code: status.code().expect("an exit status, not a signal"),
        out: text(stdout),
        err: text(stderr),
    }
}

/// Runs the program on arguments in a folder.
pub fn run(folder: &Path, arguments: &[&str]) -> Run {
    let mut command = program(folder);
    command.args(arguments);
    ended(command)
}

/// A section with flat ends and no joint.
pub fn section(name: &str, length: f64) -> String {
    format!(
        "  - name: {name}\n    length: {length}\n    outline:\n      \
         - {{at: 0%, half_width: 10, height: 9}}\n      - {{at: 50%, half_width: 13, height: 11}}\n      \
         - {{at: 100%, half_width: 10, height: 9}}\n"
    )
}

/// A small legal creature of one section.
pub fn single(name: &str, length: f64) -> String {
    format!(
        "limberwood: 1\nname: {name}\nunits: mm\ndefaults: {{front: flat, rear: flat, \
         front_joint: none, rear_joint: none, rim: 5}}\nsections:\n{}",
        section("block", length)
    )
}

/// A small legal chain of `count` sections, each longer than the one before.
pub fn chain(name: &str, count: usize, longer: f64) -> String {
    let mut text = format!(
        "limberwood: 1\nname: {name}\nunits: mm\n\
         joint: {{ball: 16, clearance: 0.5, neck: 7, swing: 18 deg, land: 3.2}}\n\
         defaults: {{front: flat, rear: flat, rim: 5}}\nsections:\n"
    );
    for i in 0..count {
        let joints = match i {
            0 => "    front_joint: none\n",
            _ if i + 1 == count => "    rear_joint: none\n",
            _ => "",
        };
        let length = 40.0 + longer * (i as f64 + 1.0);
        text.push_str(&format!(
            "  - name: s{i}\n    length: {length}\n{joints}    outline:\n      \
             - {{at: 0%, half_width: 12, height: 12}}\n      - {{at: 50%, half_width: 14, height: 13}}\n      \
             - {{at: 100%, half_width: 12, height: 12}}\n"
        ));
    }
    text
}

/// Writes a file and gives its name back.
pub fn file<'a>(folder: &Path, name: &'a str, text: &str) -> &'a str {
    fs::write(folder.join(name), text).unwrap();
    name
}

/// All files of a folder and their bytes, the lock left out.
pub fn snapshot(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    for entry in fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let name = entry.file_name().into_string().unwrap();
        if name != LOCK && entry.file_type().unwrap().is_file() {
            found.insert(name, fs::read(entry.path()).unwrap());
        }
    }
    found
}

/// What in a snapshot is not as its manifest says; files that it does not list count too.
pub fn faults(files: &BTreeMap<String, Vec<u8>>) -> Vec<String> {
    let Some(manifest) = files.get(FILE) else {
        return vec!["no manifest".into()];
    };
    let entries = listed(manifest).expect("a manifest of this program");
    let mut wrong = Vec::new();
    for entry in &entries {
        match files.get(&entry.name) {
            None => wrong.push(format!("{} missing", entry.name)),
            Some(bytes) if sha256(bytes) != entry.sha256 || bytes.len() as u64 != entry.bytes => {
                wrong.push(format!("{} differs", entry.name));
            }
            Some(_) => (),
        }
    }
    for name in files.keys() {
        if name != FILE && !entries.iter().any(|e| &e.name == name) {
            wrong.push(format!("{name} not listed"));
        }
    }
    assert!(!entries.is_empty(), "a manifest without files");
    wrong
}

/// Makes a design into `set` below the folder, which must go well.
pub fn made(folder: &Path, design: &str, more: &[&str]) -> BTreeMap<String, Vec<u8>> {
    let run = run(folder, &[&["make", design, "-o", "set"], more].concat());
    assert_eq!(run.code, 0, "{}", run.said());
    let files = snapshot(&folder.join("set"));
    assert_eq!(faults(&files), Vec::<String>::new());
    files
}
