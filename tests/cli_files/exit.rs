//! Exit status and what is said: 0 made and sound, 1 the design is refused, 2 could not run.

use super::bench::{chain, ended, file, program, run, single, snapshot};
use std::fs;
use tempfile::tempdir;

#[test]
fn zero_for_what_goes_well() {
    let room = tempdir().unwrap();
    let alone = run(room.path(), &[]);
    assert_eq!(alone.code, 0, "{}", alone.said());
    let next = alone.out.lines().filter(|l| l.starts_with("  limberwood "));
    assert_eq!(next.count(), 5, "{}", alone.out);
    for arguments in [
        &["--help"][..],
        &["--version"],
        &["make", "--help"],
        &["schema", "design"],
        &["schema", "shop"],
        &["completions", "bash"],
        &["completions", "fish"],
    ] {
        let run = run(room.path(), arguments);
        assert_eq!(run.code, 0, "{arguments:?} {}", run.said());
        assert!(!run.out.is_empty() && run.err.is_empty(), "{arguments:?}");
    }
    let made_nothing = fs::read_dir(room.path()).unwrap().count();
    assert_eq!(made_nothing, 0, "nothing written without `make`");
}

#[test]
fn schemas_are_those_beside_the_examples() {
    let room = tempdir().unwrap();
    for (kind, name) in [
        ("design", "limberwood.schema.json"),
        ("shop", "limberwood-shop.schema.json"),
    ] {
        let saved = format!("{}/params/{name}", env!("CARGO_MANIFEST_DIR"));
        let printed = run(room.path(), &["schema", kind]).out;
        assert_eq!(printed, fs::read_to_string(saved).unwrap());
    }
}

#[test]
fn one_for_a_refused_design() {
    let room = tempdir().unwrap();
    let sound = single("Newt", 40.0);
    let mut binary = b"limberwood: 1\nname: \"".to_vec();
    binary.extend([0xff, 0xfe, 0x00]);
    for (name, bytes, words) in [
        (
            "unit.yaml",
            sound.replace("units: mm", "units: feet").into_bytes(),
            "unit.yaml:3:8: error",
        ),
        (
            "key.yaml",
            sound.replace("length:", "lenght:").into_bytes(),
            "did you mean `length`?",
        ),
        (
            "negative.yaml",
            sound.replace("length: 40", "length: -40").into_bytes(),
            "-40",
        ),
        (
            "comma.yaml",
            sound.replace("length: 40", "length: 40,5").into_bytes(),
            "40.5",
        ),
        (
            "fraction.yaml",
            sound.replace("length: 40", "length: 3/4").into_bytes(),
            "3/4 in",
        ),
        (
            "nan.yaml",
            sound.replace("length: 40", "length: .nan").into_bytes(),
            "error",
        ),
        (
            "tab.yaml",
            sound.replace("    length", "\tlength").into_bytes(),
            "tab",
        ),
        (
            "none.yaml",
            sound.split("sections:").next().unwrap().as_bytes().to_vec(),
            "sections",
        ),
        (
            "zero.yaml",
            sound
                .replace("    length: 40", "    length: 40\n    repeat: 0")
                .into_bytes(),
            "repeat",
        ),
        ("empty.yaml", Vec::new(), "empty.yaml"),
        ("binary.yaml", binary, "binary.yaml"),
    ] {
        fs::write(room.path().join(name), bytes).unwrap();
        for more in [&[][..], &["--quiet"], &["--json"]] {
            let run = run(room.path(), &[&["make", name][..], more].concat());
            assert_eq!(run.code, 1, "{name} {more:?} {}", run.said());
            if more != ["--json"] {
                assert!(
                    run.err.contains(words),
                    "{name}: {words:?} not in {}",
                    run.err
                );
                assert!(run.out.is_empty(), "{name}: {}", run.out);
            }
        }
    }
    assert!(
        !room.path().join("out").exists(),
        "no folder for a refused design"
    );
}

#[test]
fn two_for_what_cannot_run() {
    let room = tempdir().unwrap();
    let design = file(room.path(), "newt.yaml", &single("Newt", 40.0));
    fs::create_dir(room.path().join("folder.yaml")).unwrap();
    for arguments in [
        &["make"][..],
        &["make", "missing.yaml"],
        &["make", "folder.yaml"],
        &["make", design, "--shop", "missing.yaml"],
        &["make", design, "--only", "wing"],
        &["make", design, "--threads", "0"],
        &["make", design, "--threads", "many"],
        &["make", design, "--pose", "sideways"],
        &["make", design, "--deviation", "0"],
        &["make", design, "--deviation", "-1"],
        &["make", design, "--deviation", "1e-9"],
        &["make", design, "--deviation", "5"],
        &["make", design, "--deviation", "nan"],
        &["make", design, "--deviation", "0,02"],
        &["make", design, "--nonsense"],
        &["schema", "wing"],
        &["completions", "toothbrush"],
        &["carve", design],
    ] {
        let run = run(room.path(), arguments);
        assert_eq!(run.code, 2, "{arguments:?} {}", run.said());
        assert!(!run.err.is_empty() && run.out.is_empty(), "{arguments:?}");
        assert!(!run.err.contains("panicked"), "{}", run.err);
    }
    assert!(
        !room.path().join("out").exists(),
        "no folder when nothing can be made"
    );
}

#[test]
fn a_name_that_is_not_there_lists_those_that_are() {
    let room = tempdir().unwrap();
    let design = file(room.path(), "newt.yaml", &single("Newt", 40.0));
    let wing = run(room.path(), &["make", design, "--only", "wing"]);
    assert!(
        wing.err.contains("wing") && wing.err.contains("block"),
        "{}",
        wing.err
    );
}

#[test]
fn a_time_stamp_that_is_no_number_is_refused() {
    let room = tempdir().unwrap();
    let design = file(room.path(), "newt.yaml", &single("Newt", 40.0));
    for value in ["yesterday", "-1", "1e9", ""] {
        let mut command = program(room.path());
        command
            .args(["make", design])
            .env("SOURCE_DATE_EPOCH", value);
        let run = ended(command);
        assert_eq!(run.code, 2, "{value:?} {}", run.said());
        assert!(run.err.contains("SOURCE_DATE_EPOCH"), "{}", run.err);
    }
}

#[test]
fn quiet_says_nothing_and_json_says_all() {
    let room = tempdir().unwrap();
    let design = file(room.path(), "newt.yaml", &single("Newt", 40.0));
    let quiet = run(room.path(), &["make", design, "--quiet"]);
    assert_eq!((quiet.code, quiet.said().as_str()), (0, ""));
    let json = run(room.path(), &["make", design, "--json"]);
    assert!(json.err.is_empty(), "{}", json.err);
    let value: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    assert_eq!(value["exit"], 0);
    assert_eq!(value["designs"][0]["made"]["totals"]["parts"], 2);
    let words = run(room.path(), &["make", design]);
    assert!(
        words.out.contains("Newt: 2 halves of 1 section"),
        "{}",
        words.out
    );
}

#[test]
fn only_one_section_goes_to_a_folder_of_its_own() {
    let room = tempdir().unwrap();
    let design = file(room.path(), "newt.yaml", &chain("Newt", 3, 0.5));
    let all = run(room.path(), &["make", design]);
    let only = run(room.path(), &["make", design, "--only", "S1"]);
    assert_eq!((all.code, only.code), (0, 0), "{}", only.said());
    let [all, only] = ["Newt", "Newt-only-S1"].map(|n| snapshot(&room.path().join("out").join(n)));
    assert_eq!((all.len(), only.len()), (6 * 8 + 3, 2 * 8 + 3));
    let whole = ["manifest.json", "creature.step", "creature.3mf"];
    for (name, bytes) in only
        .iter()
        .filter(|(name, _)| !whole.contains(&name.as_str()))
    {
        assert!(name.starts_with("02-s1-") && all[name] == *bytes, "{name}");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn an_output_that_takes_nothing_is_not_well() {
    let room = tempdir().unwrap();
    let design = file(room.path(), "newt.yaml", &single("Newt", 40.0));
    for arguments in [&["schema", "design"][..], &["make", design, "--json"], &[]] {
        let full = fs::File::options().write(true).open("/dev/full").unwrap();
        let mut command = program(room.path());
        command.args(arguments).stdout(full);
        assert_eq!(command.status().unwrap().code(), Some(2), "{arguments:?}");
    }
}

#[test]
fn a_shop_file_beside_the_design_is_found() {
    let room = tempdir().unwrap();
    let design = file(room.path(), "newt.yaml", &single("Newt", 40.0));
    let built_in = run(room.path(), &["make", design, "-o", "a"]);
    assert!(built_in.err.contains("no shop file"), "{}", built_in.err);
    let shop = format!("{}/params/shop-metric.yaml", env!("CARGO_MANIFEST_DIR"));
    fs::copy(shop, room.path().join("shop.yaml")).unwrap();
    let beside = run(room.path(), &["make", design, "-o", "b"]);
    assert_eq!(beside.code, 0, "{}", beside.said());
    assert!(!beside.err.contains("no shop file"), "{}", beside.err);
    file(room.path(), "shop.yaml", "limberwood_shop: 1\nwings: 2\n");
    let faulty = run(room.path(), &["make", design, "-o", "c"]);
    assert_eq!(faulty.code, 1, "{}", faulty.said());
    assert!(faulty.err.contains("shop.yaml:2"), "{}", faulty.err);
    assert!(!snapshot(&room.path().join("a")).is_empty() && !room.path().join("c").exists());
}

#[test]
fn an_outer_form_that_faces_down_is_refused_with_its_place() {
    let folder = tempfile::tempdir().unwrap();
    let design = folder.path().join("sharp.yaml");
    let text = "limberwood: 1\nname: Sharp\nunits: mm\nsections:\n  - name: one\n    length: 56\n    \
                front: flat\n    rear: flat\n    lean: 8 deg\n    outline:\n      \
                - {at: 0%, half_width: 16, height: 17}\n      \
                - {at: 30%, half_width: 16.2, height: 17}\n      \
                - {at: 38%, half_width: 26, height: 17}\n      \
                - {at: 100%, half_width: 16, height: 17}\n";
    std::fs::write(&design, text).unwrap();
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_limberwood"))
        .args(["make", "-q", "-o"])
        .arg(folder.path().join("made"))
        .arg(&design)
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert_eq!(output.status.code(), Some(1), "{said}");
    assert!(
        said.contains(
            "sharp.yaml:5:5: error: sections[0]: found 01-one-upper: the outer form faces down"
        ),
        "{said}"
    );
    assert!(said.contains("lower the lean"), "{said}");
    assert!(!folder.path().join("made/manifest.json").exists());
}
