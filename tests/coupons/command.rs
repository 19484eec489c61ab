//! The command `record` on files: whole or untouched.

use std::fs;
use std::io::Write;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use limberwood::chain::Measured;
use limberwood::params::built_in_shop;
use tempfile::{TempDir, tempdir};

use super::*;

/// A folder with the numbers of a coupon.
fn room() -> TempDir {
    let room = tempdir().unwrap();
    let shop = built_in_shop();
    let design = demo("caterpillar", &shop);
    let coupon = made(&design, &shop, None);
    let trial = coupon.resolved.trial.expect("a coupon");
    let bytes = limberwood::export::trial::to_bytes(&trial);
    fs::write(room.path().join("c.json"), bytes).unwrap();
    room
}

fn record(room: &Path, args: &[&str], input: &str) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_limberwood"))
        .current_dir(room)
        .args(["record", "shop.yaml", "--coupon", "c.json"])
        .args(args)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // A run that asks nothing may be over before it reads.
    let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
    child.wait_with_output().unwrap()
}

fn words(output: &Output) -> String {
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    format!("{}{}", text(&output.stdout), text(&output.stderr))
}

const FOUND: [&str; 8] = [
    "--easy",
    "2",
    "--ball",
    "20.06",
    "--socket",
    "2=20.78",
    "--cutter",
    "eighth flat=3.14",
];

#[test]
fn a_shop_file_is_written_and_then_changed() {
    let room = room();
    let path = room.path().join("shop.yaml");
    let first = record(room.path(), &FOUND, "");
    assert_eq!(first.status.code(), Some(0), "{}", words(&first));
    let text = fs::read_to_string(&path).unwrap();
    assert!(
        words(&first).contains("measured.ball: nothing -> 0.06 mm"),
        "{}",
        words(&first)
    );
    assert!(text.starts_with(BUILT_IN_SHOP.lines().next().unwrap()));
    let measured = Measured::of(&shop(&text));
    assert_eq!((measured.ball, measured.socket), (Some(0.06), Some(-0.02)));
    assert_eq!(measured.gaps[1], Some(0.36));
    // The same again changes no byte.
    let again = record(room.path(), &FOUND, "");
    assert!(
        again.status.success() && words(&again).contains("unchanged"),
        "{}",
        words(&again)
    );
    assert_eq!(fs::read_to_string(&path).unwrap(), text);
    // A dry run says and does not write; another value is written in its place.
    let dry = record(
        room.path(),
        &["--ball", "20.1", "--easy", "2", "--dry-run"],
        "",
    );
    assert!(
        words(&dry).contains("measured.ball: 0.06 mm -> 0.1 mm"),
        "{}",
        words(&dry)
    );
    assert_eq!(fs::read_to_string(&path).unwrap(), text);
    // The gap that was felt was worked out with the ball of before.
    let alone = record(room.path(), &["--ball", "20.1 mm"], "");
    assert_eq!(alone.status.code(), Some(1), "{}", words(&alone));
    let told = record(room.path(), &["--ball", "20.1 mm", "--json"], "");
    let json: serde_json::Value = serde_json::from_slice(&told.stdout).unwrap();
    let error = json["errors"][0].as_str().unwrap();
    assert!(error.contains("`measured.easy`") && json["written"] == false);
    assert!(told.status.code() == Some(1) && told.stderr.is_empty());
    assert!(
        words(&alone).contains("`measured.easy`"),
        "{}",
        words(&alone)
    );
    assert_eq!(fs::read_to_string(&path).unwrap(), text);
    let arguments = ["--ball", "20.1 mm", "--easy", "2", "--json"];
    let other = record(room.path(), &arguments, "");
    let json: serde_json::Value = serde_json::from_slice(&other.stdout).unwrap();
    assert_eq!(json["entries"][0]["new"], "0.1 mm");
    let new = fs::read_to_string(&path).unwrap();
    let wanted = text.replacen("ball: 0.06 mm", "ball: 0.1 mm", 1);
    let wanted = wanted.replacen("easy: 0.36 mm", "easy: 0.34 mm", 1);
    assert_ne!(wanted, text);
    assert_eq!(new, wanted);
    let names: Vec<_> = fs::read_dir(room.path())
        .unwrap()
        .map(|e| e.unwrap().file_name())
        .collect();
    assert_eq!(names.len(), 2, "{names:?}");
}

#[test]
fn answers_are_taken_where_nothing_is_given() {
    let room = room();
    // Stiff, easy, loose, pin, ball, four sockets, five holes, height; a wrong answer is asked again.
    let answers = "\n2\n\n3\ntwenty\n20.06\n\n20.78\n\n\n\n\n\n\n\n\n";
    let asked = record(room.path(), &["--ask"], answers);
    assert_eq!(asked.status.code(), Some(0), "{}", words(&asked));
    let text = fs::read_to_string(room.path().join("shop.yaml")).unwrap();
    let measured = Measured::of(&shop(&text));
    assert_eq!((measured.ball, measured.socket), (Some(0.06), Some(-0.02)));
    assert!((measured.slip.unwrap() - 0.2).abs() < 1e-12);
    assert!(
        words(&asked).contains("Diameter of socket 4 (designed 21.20 mm)"),
        "{}",
        words(&asked)
    );
    let none = record(room.path(), &[], "");
    assert_eq!(none.status.code(), Some(2));
    assert!(
        words(&none).contains("nothing to record"),
        "{}",
        words(&none)
    );
}

/// Nothing of a file is lost or half written when a record is refused.
#[test]
fn refused_records_leave_the_file_as_it_is() {
    let room = room();
    let path = room.path().join("shop.yaml");
    let shown = |args: &[&str], code: i32, wanted: &str| {
        let output = record(room.path(), args, "");
        let said = words(&output);
        assert_eq!(output.status.code(), Some(code), "{said}");
        assert!(said.contains(wanted), "wanted {wanted}, found {said}");
    };
    fs::write(&path, format!("{BUILT_IN_SHOP}# mine\nmeasured: [\n")).unwrap();
    let broken = fs::read(&path).unwrap();
    shown(&FOUND, 1, "shop.yaml:");
    assert_eq!(fs::read(&path).unwrap(), broken);
    fs::write(&path, "limberwood: 1\nname: x\nunits: mm\n").unwrap();
    shown(&FOUND, 1, "a design file");
    fs::write(&path, BUILT_IN_SHOP).unwrap();
    shown(&["--ball", "25"], 1, "a ball of 25 mm, designed 20 mm");
    shown(&["--easy", "9"], 1, "no socket 9");
    shown(&["--ball", "x"], 2, "a length such as");
    shown(&["--socket", "20.8"], 2, "2=20.83");
    assert_eq!(fs::read_to_string(&path).unwrap(), BUILT_IN_SHOP);
    // Read-only, whoever asks.
    let mut rights = fs::metadata(&path).unwrap().permissions();
    rights.set_readonly(true);
    fs::set_permissions(&path, rights).unwrap();
    shown(&FOUND, 2, "read-only");
    assert_eq!(fs::read_to_string(&path).unwrap(), BUILT_IN_SHOP);
    fs::remove_file(&path).unwrap();
    fs::create_dir(&path).unwrap();
    shown(&FOUND, 2, "a folder");
    fs::remove_dir(&path).unwrap();
    for wrong in ["", "{}", "[1]", "{\"limberwood_coupon\": 2}"] {
        fs::write(room.path().join("c.json"), wrong).unwrap();
        shown(&FOUND, 2, "is not the file of numbers");
    }
    assert!(!path.exists());
}

#[cfg(unix)]
#[test]
fn rights_stay_and_a_link_is_not_followed() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let room = room();
    let path = room.path().join("shop.yaml");
    fs::write(&path, BUILT_IN_SHOP).unwrap();
    fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
    assert!(record(room.path(), &FOUND, "").status.success());
    assert_eq!(
        fs::metadata(&path).unwrap().permissions().mode() & 0o777,
        0o640
    );
    fs::rename(&path, room.path().join("real.yaml")).unwrap();
    symlink("real.yaml", &path).unwrap();
    let real = fs::read(room.path().join("real.yaml")).unwrap();
    let output = record(room.path(), &["--ball", "20.2", "--easy", "2"], "");
    assert_eq!(output.status.code(), Some(2), "{}", words(&output));
    assert_eq!(fs::read(room.path().join("real.yaml")).unwrap(), real);
    assert!(fs::symlink_metadata(&path).unwrap().is_symlink());
}
