//! The files of states: names, both poses, and what the record says of them.

use std::path::Path;
use std::sync::atomic::AtomicBool;

use limberwood::chain::resolve;
use limberwood::check::finding::Verdict;
use limberwood::export::folder::{Folder, Parents};
use limberwood::make::{Settings, blanks};
use limberwood::params::{self, read_shop_str};
use limberwood::units::Unit;
use regex::Regex;
use serde_json::Value;

const STATES: [&str; 3] = ["inside-cut", "rough", "finished"];

/// The blanks of a demo with lines added to the built-in shop; the record.
fn written(name: &str, shop: &str, to: &Path) -> Value {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("params/{name}.yaml"));
    let (design, built_in, _) = params::read_files(&file, None).expect("the demo is read");
    let shop = match shop {
        "" => built_in,
        text => read_shop_str(text, "shop").expect("a shop").0,
    };
    let resolved = resolve(&design, &shop).expect("the demo is resolved");
    let settings = Settings::of(&resolved, Unit::Mm);
    let folder = Folder::open(to, Parents::Make).expect("it opens");
    let stop = AtomicBool::new(false);
    blanks(&resolved, &settings, (1, Verdict::Cut), &folder, &stop).expect("all is written");
    serde_json::from_slice(&std::fs::read(to.join("blanks.json")).unwrap()).unwrap()
}

fn kinds(record: &Value) -> Vec<&Value> {
    let stocks = record["stocks"].as_array().unwrap();
    let kinds = stocks.iter().map(|s| s["kinds"].as_array().unwrap());
    kinds.flatten().collect()
}

/// Places in a STEP file, in order.
fn places(path: &Path) -> Vec<[f64; 3]> {
    let text = std::fs::read_to_string(path).unwrap();
    let place = Regex::new(r"CARTESIAN_POINT\('[^']*',\(([^)]*)\)\)").unwrap();
    place
        .captures_iter(&text)
        .map(|found| {
            let all: Vec<f64> = found[1]
                .split(',')
                .map(|n| n.trim().parse().unwrap())
                .collect();
            [all[0], all[1], all[2]]
        })
        .collect()
}

fn corners(path: &Path) -> Vec<[f32; 3]> {
    let mesh = stl_io::read_stl(&mut std::fs::File::open(path).unwrap()).unwrap();
    let corner = |t: &stl_io::IndexedTriangle| t.vertices.map(|v| mesh.vertices[v].0);
    mesh.faces.iter().flat_map(corner).collect()
}

#[test]
fn both_poses_of_a_state_are_one_solid_turned_about_the_flip_line() {
    let room = tempfile::tempdir().unwrap();
    let folder = room.path().join("out");
    let record = written("newt", "", &folder);
    for kind in kinds(&record) {
        let name = kind["name"].as_str().unwrap();
        for (state, stated) in STATES.iter().zip(kind["states"].as_array().unwrap()) {
            assert_eq!(stated["state"], state.replace('-', " "));
            assert!(stated["left_out"].is_null());
            let path = |set_up: &str, end: &str| {
                let file = format!("{name}-{state}-{set_up}.{end}");
                let named = stated["files"].as_array().unwrap();
                assert!(named.iter().any(|f| f == &file), "{file}");
                folder.join(file)
            };
            let [out, inner] = ["outside-up", "inside-up"].map(|s| places(&path(s, "step")));
            assert!(
                out.len() == inner.len() && out.len() > 100,
                "{name} {state}"
            );
            for (p, q) in out.iter().zip(&inner) {
                let off = [p[0] - q[0], p[1] + q[1], p[2] + q[2]];
                assert!(
                    off.iter().all(|o| o.abs() < 1e-9),
                    "{name} {state}: {p:?} {q:?}"
                );
            }
            let [out, inner] = ["outside-up", "inside-up"].map(|s| corners(&path(s, "stl")));
            assert_eq!(out.len(), inner.len());
            for (p, q) in out.iter().zip(&inner) {
                assert_eq!([p[0], -p[1], -p[2]].map(|c| c + 0.0), q.map(|c| c + 0.0));
            }
        }
        let volumes: Vec<f64> = (kind["states"].as_array().unwrap().iter())
            .map(|s| s["volume_mm3"].as_f64().unwrap())
            .collect();
        assert!(volumes.windows(2).all(|v| v[0] > v[1]), "{volumes:?}");
    }
}

#[test]
fn without_a_relief_groove_what_is_left_out_says_why() {
    let room = tempfile::tempdir().unwrap();
    let folder = room.path().join("out");
    let shop = "limberwood_shop: 1\nname: Shed\nunits: mm\ncutters:\n  - {name: six, jobs: [rough], kind: \
                flat, diameter: 6}\n  - {name: three, jobs: [finish, holes], kind: ball, tip_diameter: \
                3}\nstock:\n  - {name: pine, thickness: 20, length: 400, width: 180}\nfits: {relief: 0}\n";
    let record = written("caterpillar", shop, &folder);
    for kind in kinds(&record) {
        for (state, stated) in STATES.iter().zip(kind["states"].as_array().unwrap()) {
            let why = stated["left_out"].as_str();
            let name = kind["name"].as_str().unwrap();
            let there = folder
                .join(format!("{name}-{state}-inside-up.step"))
                .exists();
            assert_eq!(there, *state == "finished");
            assert_eq!(why.is_some(), !there);
            if let Some(why) = why {
                assert!(why.contains("relief"), "{why}");
            }
        }
    }
}
