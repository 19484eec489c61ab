//! `based_on`: what wins, where messages point, chains that end and those that do not.

use std::path::{Path, PathBuf};

use limberwood::chain::resolve;
use limberwood::params::written::Design;
use limberwood::params::{built_in_shop, design_files, read_design, schema_design};

pub const PAIR: &str = "\
limberwood: 1
name: Pair
units: mm
joint: {ball: 20, clearance: 0.4, neck: 8.5, swing: 25 deg, land: 3.3}
sections:
  - name: head
    length: 48
    tip_width: 12
    outline:
      - {at: 0%, half_width: 6, height: 6}
      - {at: 40%, half_width: 16, height: 15}
      - {at: 100%, half_width: 12, height: 12, squareness: 2}
  - name: tail
    length: 56
    tip_width: 10
    outline:
      - {at: 0%, half_width: 12, height: 12, squareness: 2}
      - {at: 40%, half_width: 16, height: 16}
      - {at: 100%, half_width: 5, height: 5}
";

/// A folder with these files.
pub fn folder(files: &[(&str, &str)]) -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, text) in files {
        let path = folder.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    }
    folder
}

fn read(path: &Path) -> Result<Design, String> {
    read_design(path).map(|(d, _)| d).map_err(|e| e.to_string())
}

/// What is said of `new.yaml` over [`PAIR`].
fn said(new: &str) -> String {
    let folder = folder(&[("pair.yaml", PAIR), ("new.yaml", new)]);
    let design = read_design(&folder.path().join("new.yaml"));
    let text = match design {
        Err(errors) => errors.to_string(),
        Ok((design, _)) => resolve(&design, &built_in_shop())
            .map_or_else(|e| e.to_string(), |_| "sound".to_owned()),
    };
    text.replace(&format!("{}/", folder.path().display()), "")
}

fn length(design: &Design, section: usize) -> f64 {
    design.sections.value[section]
        .value
        .length
        .as_ref()
        .unwrap()
        .value
        .mm()
}

#[test]
fn own_keys_win_and_the_rest_stays() {
    let new = "limberwood: 1\nbased_on: pair.yaml\nname: Trio\njoint: {neck: 9}\nsections:\n  - {name: Tail, length: 60}\n  - {name: tip, like: tail, length: 40}\n";
    let folder = folder(&[("pair.yaml", PAIR), ("new.yaml", new)]);
    let design = read(&folder.path().join("new.yaml")).unwrap();
    assert_eq!(design.name.value.0, "Trio");
    let names = design
        .sections
        .value
        .iter()
        .map(|s| s.value.name.clone().unwrap().value.0);
    assert_eq!(names.collect::<Vec<_>>(), ["head", "Tail", "tip"]);
    assert_eq!([0, 1, 2].map(|k| length(&design, k)), [48.0, 60.0, 40.0]);
    let joint = &design.joint.as_ref().unwrap().value;
    assert_eq!(
        joint.neck.as_ref().unwrap().value.given().unwrap().mm(),
        9.0
    );
    assert_eq!(
        joint.ball.as_ref().unwrap().value.given().unwrap().mm(),
        20.0
    );
    // A list is taken whole.
    let new = "limberwood: 1\nbased_on: pair.yaml\nsections:\n  - name: head\n    outline: [{at: 0%, half_width: 6, height: 6}, {at: 100%, half_width: 12, height: 12, squareness: 2}]\n";
    let folder = self::folder(&[("pair.yaml", PAIR), ("new.yaml", new)]);
    let design = read(&folder.path().join("new.yaml")).unwrap();
    assert_eq!(
        design.sections.value[0]
            .value
            .outline
            .as_ref()
            .unwrap()
            .value
            .len(),
        2
    );
    assert_eq!(
        design.sections.value[1]
            .value
            .outline
            .as_ref()
            .unwrap()
            .value
            .len(),
        3
    );
}

#[test]
fn a_design_based_on_another_is_that_one() {
    let plain = folder(&[("pair.yaml", PAIR)]);
    let plain = read(&plain.path().join("pair.yaml")).unwrap();
    let based = folder(&[
        ("a/pair.yaml", PAIR),
        ("a/b/mid.yaml", "limberwood: 1\nbased_on: ../pair.yaml\n"),
        ("new.yaml", "limberwood: 1\nbased_on: a/b/mid.yaml\n"),
    ]);
    let based = read(&based.path().join("new.yaml")).unwrap();
    let creature = |d: &Design| resolve(d, &built_in_shop()).unwrap().creature;
    assert_eq!(creature(&plain), creature(&based));
}

#[test]
fn plain_numbers_speak_the_unit_of_their_own_file() {
    let new =
        "limberwood: 1\nbased_on: pair.yaml\nunits: in\nsections: [{name: head, length: 2}]\n";
    let folder = folder(&[("pair.yaml", PAIR), ("new.yaml", new)]);
    let design = read(&folder.path().join("new.yaml")).unwrap();
    assert!((length(&design, 0) - 50.8).abs() < 1e-9);
    assert!((length(&design, 1) - 56.0).abs() < 1e-9);
}

#[test]
fn feel_and_clearance_put_each_other_out() {
    assert_eq!(
        said("limberwood: 1\nbased_on: pair.yaml\njoint: {feel: easy}\n"),
        "sound"
    );
    let both = said("limberwood: 1\nbased_on: pair.yaml\njoint: {feel: easy, clearance: 0.4}\n");
    assert!(
        both.contains("new.yaml:3:15") && both.contains("line 3"),
        "{both}"
    );
}

#[test]
fn messages_name_the_file_at_fault() {
    for (base, new, wanted) in [
        // Faults of the base, told where they stand.
        (
            PAIR.replace("ball: 20", "bal: 20"),
            "",
            "pair.yaml:4:9: error: joint.bal:",
        ),
        (
            PAIR.replace("length: 56", "length: -5"),
            "",
            "pair.yaml:14:13: error: sections[1].length:",
        ),
        (PAIR.replace("units: mm", "units: [mm"), "", "pair.yaml:"),
        (
            PAIR.replace("land: 3.3", "land: 0.6"),
            "joint: {neck: 9}\n",
            "pair.yaml:17:9: error: sections[1].outline[0]:",
        ),
        // Faults of the new file.
        (
            PAIR.to_owned(),
            "sections: [{name: tail, lenght: 60}]\n",
            "new.yaml:3:25: error: sections[0].lenght:",
        ),
        (
            PAIR.to_owned(),
            "sections: [{name: tail, length: 0.1}]\n",
            "new.yaml:3:33: error: sections[0].length:",
        ),
        (
            PAIR.to_owned(),
            "joint: {neck: 19}\n",
            "new.yaml:3:15: error: joint.neck:",
        ),
        (
            PAIR.to_owned(),
            "sections: [{name: tail, length: 12}]\n",
            "new.yaml:3:33: error: sections[0].length:",
        ),
        (
            PAIR.to_owned(),
            "sections: [{name: tail}, {name: tail}]\n",
            "new.yaml:3:33: error: sections[1].name:",
        ),
        (
            PAIR.to_owned(),
            "joints: [{after: heat, ball: 18}]\n",
            "new.yaml:3:18: error: joints[0].after:",
        ),
    ] {
        let folder = folder(&[
            ("pair.yaml", &base),
            (
                "new.yaml",
                &format!("limberwood: 1\nbased_on: pair.yaml\n{new}"),
            ),
        ]);
        let text = match read_design(&folder.path().join("new.yaml")) {
            Err(errors) => errors.to_string(),
            Ok((design, _)) => resolve(&design, &built_in_shop())
                .map_or_else(|e| e.to_string(), |_| "sound".to_owned()),
        };
        let text = text.replace(&format!("{}/", folder.path().display()), "");
        assert!(text.contains(wanted), "{new}: wanted {wanted} in\n{text}");
    }
}

#[test]
fn chains_that_do_not_end_or_lead_nowhere() {
    for (new, wanted) in [
        (
            "limberwood: 1\nbased_on: new.yaml\n",
            "new.yaml:2:11: error: based_on: found `new.yaml`, the file itself",
        ),
        (
            "limberwood: 1\nbased_on: other/../new.yaml\n",
            "the file itself",
        ),
        (
            "limberwood: 1\nbased_on: gone.yaml\n",
            "new.yaml:2:11: error: based_on: found the base `gone.yaml`, no such file",
        ),
        (
            "limberwood: 1\nbased_on: other\n",
            "new.yaml:2:11: error: based_on: found `other`, which is no file",
        ),
        (
            "limberwood: 1\nbased_on: 3\n",
            "new.yaml:2:11: error: based_on: found the number `3`",
        ),
        ("limberwood: 1\nbased_on: ''\n", "an empty path"),
        (
            "limberwood: 1\nbased_on: ring.yaml\n",
            "ring.yaml:2:11: error: based_on: found a circle: new.yaml based on ring.yaml based on new.yaml",
        ),
        (
            "limberwood: 1\nbased_on: shop.yaml\n",
            "shop.yaml: error: found a shop file, allowed a design file",
        ),
        (
            "limberwood: 1\nbased_on: bare.yaml\n",
            "bare.yaml:1:1: error: found no `limberwood`",
        ),
        (
            "based_on: pair.yaml\n",
            "new.yaml:1:1: error: found no `limberwood`",
        ),
    ] {
        let folder = folder(&[
            ("pair.yaml", PAIR),
            ("new.yaml", new),
            ("ring.yaml", "limberwood: 1\nbased_on: new.yaml\n"),
            ("shop.yaml", "limberwood_shop: 1\nname: x\n"),
            ("bare.yaml", "name: x\n"),
            ("other/x", ""),
        ]);
        let found = read(&folder.path().join("new.yaml")).unwrap_err();
        let found = found.replace(&format!("{}/", folder.path().display()), "");
        assert!(found.contains(wanted), "{new}: wanted {wanted} in\n{found}");
    }
}

#[test]
fn a_chain_has_eight_files_at_most() {
    let name = |k: usize| format!("{k}.yaml");
    let text = |k: usize| format!("limberwood: 1\nbased_on: {}\n", name(k + 1));
    let mut files: Vec<(String, String)> = (0..8).map(|k| (name(k), text(k))).collect();
    files.push((name(8), PAIR.to_owned()));
    let files: Vec<(&str, &str)> = files
        .iter()
        .map(|(a, b)| (a.as_str(), b.as_str()))
        .collect();
    let folder = folder(&files);
    let nine = read(&folder.path().join("0.yaml")).unwrap_err();
    assert!(
        nine.contains("7.yaml:2:11") && nine.contains("more than 8 files"),
        "{nine}"
    );
    assert!(read(&folder.path().join("1.yaml")).is_ok());
}

/// Wide files over each other take no more than the time of reading them.
#[test]
fn hostile_width_is_merged_by_name() {
    let wide = |from: usize| -> String {
        let keys = (from..from + 25_000).map(|k| format!("  k{k}: 1\n"));
        format!("joint:\n{}", keys.collect::<String>())
    };
    let new = format!("limberwood: 1\nbased_on: base.yaml\n{}", wide(10));
    let base = format!(
        "limberwood: 1\nname: x\nunits: mm\n{}sections: []\n",
        wide(0)
    );
    let folder = folder(&[("new.yaml", &new), ("base.yaml", &base)]);
    assert!(
        read(&folder.path().join("new.yaml"))
            .unwrap_err()
            .contains("unknown key")
    );
}

#[test]
fn files_to_give_away_name_each_other() {
    let new = "limberwood: 1\nbased_on: \"a/pair.yaml\" # the first one\nname: New\n";
    let folder = folder(&[("a/pair.yaml", PAIR), ("new.yaml", new)]);
    let files = design_files(&folder.path().join("new.yaml")).unwrap();
    let paths: Vec<PathBuf> = files
        .iter()
        .map(|f| f.path.strip_prefix(folder.path()).unwrap().to_owned())
        .collect();
    assert_eq!(
        paths,
        [PathBuf::from("new.yaml"), PathBuf::from("a/pair.yaml")]
    );
    assert_eq!(
        files[0].based_on_at("it's.yaml"),
        "limberwood: 1\nbased_on: 'it''s.yaml' # the first one\nname: New\n"
    );
    assert_eq!(files[1].based_on_at("x"), PAIR);
}

#[test]
fn the_schema_lets_a_based_design_leave_out_what_its_base_has() {
    let schema = schema_design();
    assert_eq!(schema["required"], serde_json::json!(["limberwood"]));
    assert_eq!(
        schema["anyOf"][1],
        serde_json::json!({"required": ["based_on"]})
    );
}
