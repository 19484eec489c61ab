//! The JSON Schema: the saved files are those of the program, the example files fit them, and
//! the schema and the program read the same texts.
//!
//! The validator here knows the few keywords that the schema uses and fails on any other.

// The validator is test code outside of test functions.
#![allow(clippy::unwrap_used)]

use std::path::{Path, PathBuf};

use limberwood::params::{
    BUILT_IN_SHOP, DESIGN_SCHEMA_NAME, PLAN_SCHEMA_NAME, SHOP_SCHEMA_NAME, is_plan, read_design,
    read_plan, read_shop, read_shop_str, schema_design, schema_plan, schema_shop,
};
use limberwood::units::{
    ANGLE_PATTERN, Angle, LENGTH_PATTERN, Length, PERCENT_PATTERN, parse_percent,
};
use proptest::prelude::*;
use regex::Regex;
use serde_json::{Value, json};

/// Faults of a value by a schema (JSON Schema, draft 2020-12, the keywords used).
fn faults(value: &Value, schema: &Value, root: &Value, at: &str) -> Vec<String> {
    let mut all = Vec::new();
    for (keyword, rule) in schema.as_object().expect("a schema is an object") {
        let good = match keyword.as_str() {
            "$schema" | "$id" | "$defs" | "title" | "description" => true,
            "$ref" => {
                let pointer = rule.as_str().unwrap().strip_prefix('#').unwrap();
                let target = root
                    .pointer(pointer)
                    .unwrap_or_else(|| panic!("{pointer} exists"));
                all.extend(faults(value, target, root, at));
                true
            }
            "type" => has_type(value, rule.as_str().unwrap()),
            "const" => value == rule,
            "enum" => rule.as_array().unwrap().contains(value),
            "anyOf" => rule
                .as_array()
                .unwrap()
                .iter()
                .any(|one| faults(value, one, root, at).is_empty()),
            "pattern" => value
                .as_str()
                .is_none_or(|text| Regex::new(rule.as_str().unwrap()).unwrap().is_match(text)),
            "minLength" => value
                .as_str()
                .is_none_or(|text| text.chars().count() as u64 >= rule.as_u64().unwrap()),
            "maxLength" => value
                .as_str()
                .is_none_or(|text| text.chars().count() as u64 <= rule.as_u64().unwrap()),
            "minimum" => value
                .as_f64()
                .is_none_or(|number| number >= rule.as_f64().unwrap()),
            "maximum" => value
                .as_f64()
                .is_none_or(|number| number <= rule.as_f64().unwrap()),
            "minItems" => value
                .as_array()
                .is_none_or(|list| list.len() as u64 >= rule.as_u64().unwrap()),
            "maxItems" => value
                .as_array()
                .is_none_or(|list| list.len() as u64 <= rule.as_u64().unwrap()),
            "items" => {
                for (i, item) in value.as_array().into_iter().flatten().enumerate() {
                    all.extend(faults(item, rule, root, &format!("{at}[{i}]")));
                }
                true
            }
            "required" => value.as_object().is_none_or(|map| {
                rule.as_array()
                    .unwrap()
                    .iter()
                    .all(|key| map.contains_key(key.as_str().unwrap()))
            }),
            "properties" => {
                for (key, entry) in value.as_object().into_iter().flatten() {
                    if let Some(rule) = rule.get(key) {
                        all.extend(faults(entry, rule, root, &format!("{at}.{key}")));
                    }
                }
                true
            }
            "additionalProperties" => {
                assert_eq!(rule, &json!(false));
                value.as_object().is_none_or(|map| {
                    map.keys()
                        .all(|key| schema["properties"].get(key).is_some())
                })
            }
            other => panic!("unknown keyword {other}"),
        };
        if !good {
            all.push(format!("{at}: {keyword}"));
        }
    }
    all
}

fn has_type(value: &Value, name: &str) -> bool {
    match name {
        "object" => value.is_object(),
        "array" => value.is_array(),
        "string" => value.is_string(),
        "boolean" => value.is_boolean(),
        "number" => value.is_number(),
        "integer" => value.as_f64().is_some_and(|number| number.fract() == 0.0),
        other => panic!("unknown type {other}"),
    }
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("params")
}

fn json_of(yaml: &str) -> Value {
    serde_yaml::from_str(yaml).unwrap()
}

/// Set `LIMBERWOOD_WRITE_SCHEMA=1` to write the files anew.
#[test]
fn saved_schemas_are_those_of_the_program() {
    for (name, schema) in [
        (DESIGN_SCHEMA_NAME, schema_design()),
        (SHOP_SCHEMA_NAME, schema_shop()),
        (PLAN_SCHEMA_NAME, schema_plan()),
    ] {
        let path = folder().join(name);
        if std::env::var_os("LIMBERWOOD_WRITE_SCHEMA").is_some() {
            std::fs::write(&path, format!("{schema:#}\n")).unwrap();
        }
        let saved: Value = serde_json::from_str(&std::fs::read_to_string(&path).unwrap()).unwrap();
        assert!(
            saved == schema,
            "{name} is out of date: run this test with LIMBERWOOD_WRITE_SCHEMA=1"
        );
    }
}

#[test]
fn example_files_name_their_schema_fit_it_and_are_read() {
    let mut count = 0;
    for entry in std::fs::read_dir(folder()).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|extension| extension != "yaml") {
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        let shop = text.contains("\nlimberwood_shop:");
        let (name, schema) = if is_plan(&path) {
            (PLAN_SCHEMA_NAME, schema_plan())
        } else if shop {
            (SHOP_SCHEMA_NAME, schema_shop())
        } else {
            (DESIGN_SCHEMA_NAME, schema_design())
        };
        let first = text.lines().next().unwrap();
        assert_eq!(
            first,
            format!("# yaml-language-server: $schema={name}"),
            "{}",
            path.display()
        );
        assert_eq!(
            faults(&json_of(&text), &schema, &schema, ""),
            [""; 0],
            "{}",
            path.display()
        );
        let read = if is_plan(&path) {
            read_plan(&path).map(|_| ())
        } else if shop {
            read_shop(&path).map(|_| ())
        } else {
            read_design(&path).map(|_| ())
        };
        assert_eq!(read.map_err(|errors| errors.to_string()), Ok(()));
        count += 1;
    }
    assert!(count >= 2);
}

#[test]
fn the_built_in_shop_fits_its_schema_and_is_read_without_warning() {
    let schema = schema_shop();
    assert_eq!(
        faults(&json_of(BUILT_IN_SHOP), &schema, &schema, ""),
        [""; 0]
    );
    let (shop, warnings) = read_shop_str(BUILT_IN_SHOP, "shop").unwrap();
    assert_eq!(warnings, []);
    // 1/8 in and 3/4 in by the 1959 inch.
    assert!(
        (shop.cutters.value[2]
            .value
            .tip_diameter
            .as_ref()
            .unwrap()
            .value
            .mm()
            - 3.175)
            .abs()
            < 1e-12
    );
    assert!((shop.stock.value[0].value.thickness.value.mm() - 19.05).abs() < 1e-12);
}

#[test]
fn the_schema_finds_faults() {
    let schema = schema_design();
    let sound = "limberwood: 1\nname: Newt\nunits: mm\njoint: {ball: 3/4 in}\nsections: [{name: a, pins: 1}]\n";
    assert_eq!(faults(&json_of(sound), &schema, &schema, ""), [""; 0]);
    for (old, new, fault) in [
        ("limberwood: 1", "limberwood: 2", ".limberwood: const"),
        ("ball: 3/4 in", "ball: 3/4", ".joint.ball: anyOf"),
        ("ball: 3/4 in", "bal: 20", ".joint: additionalProperties"),
        ("ball: 3/4 in", "ball: -20", ".joint.ball: anyOf"),
        ("name: a, ", "", ".sections[0]: required"),
        ("pins: 1", "pins: 3", ".sections[0].pins: anyOf"),
        ("units: mm", "units: ell", ".units: enum"),
        ("[{name: a, pins: 1}]", "[]", ".sections: minItems"),
    ] {
        let text = sound.replace(old, new);
        assert_ne!(text, sound);
        assert!(
            faults(&json_of(&text), &schema, &schema, "").contains(&fault.to_owned()),
            "{new}"
        );
    }
}

/// Texts near those that are read.
fn quantity() -> impl Strategy<Value = String> {
    let number = "-?([0-9]{1,3}|[0-9]{0,2}\\.[0-9]{0,2}|[0-9]{0,2}[ -]?[0-9]{1,2}/[1-9]|[0-9]{0,1}[ -]?[½¾⅛])";
    (number, " {0,2}", "(mm|cm|in|\"|deg|°|rad|%|inch|m|)")
        .prop_map(|(number, blank, unit)| format!("{number}{blank}{unit}"))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    /// An editor accepts exactly the texts that the program reads. (A mixed number with a
    /// fraction of one or more, `1-5/4 in`, is the exception: no pattern compares numbers.)
    #[test]
    fn patterns_and_parsers_agree(text in quantity()) {
        let matches = |pattern: &str| Regex::new(pattern).unwrap().is_match(&text);
        let mixed = Regex::new(r"[0-9][ -][0-9]+/[0-9]+").unwrap().is_match(&text);
        if !mixed {
            prop_assert_eq!(matches(LENGTH_PATTERN), Length::parse(&text, None).is_ok());
        } else if Length::parse(&text, None).is_ok() {
            prop_assert!(matches(LENGTH_PATTERN));
        }
        prop_assert_eq!(matches(ANGLE_PATTERN), Angle::parse(&text).is_ok());
        prop_assert_eq!(matches(PERCENT_PATTERN), parse_percent(&text).is_ok());
    }
}
