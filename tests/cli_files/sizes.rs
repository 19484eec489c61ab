//! Sizes: the same body from millimetres and inches, at every deviation, and far from the origin.

use super::bench::{file, made, run, single, snapshot};
use limberwood::export::manifest::{FILE, Manifest};
use std::collections::BTreeMap;
use std::fs;
use tempfile::tempdir;

fn manifest(files: &BTreeMap<String, Vec<u8>>) -> Manifest {
    serde_json::from_slice(&files[FILE]).unwrap()
}

/// Volume of a binary STL by the divergence theorem (derived), mm3.
fn volume(stl: &[u8]) -> f64 {
    let corner = |t: &[u8], at: usize| {
        [0, 4, 8].map(|k| {
            f64::from(f32::from_le_bytes(
                t[at + k..at + k + 4].try_into().unwrap(),
            ))
        })
    };
    let triangles = stl[84..].chunks_exact(50).map(|t| {
        let [a, b, c] = [12, 24, 36].map(|at| corner(t, at));
        a[0] * (b[1] * c[2] - b[2] * c[1])
            + a[1] * (b[2] * c[0] - b[0] * c[2])
            + a[2] * (b[0] * c[1] - b[1] * c[0])
    });
    triangles.sum::<f64>() / 6.0
}

#[test]
fn inches_and_millimetres_give_the_same_body() {
    let room = tempdir().unwrap();
    let body = |units: &str, per_inch: f64| {
        let at = |inches: f64| inches * per_inch;
        format!(
            "limberwood: 1\nname: Newt\nunits: {units}\nsections:\n  - name: block\n    front: flat\n    \
             rear: flat\n    front_joint: none\n    rear_joint: none\n    rim: {}\n    length: {}\n    outline:\n      \
             - {{at: 0%, half_width: {}, height: {}}}\n      - {{at: 100%, half_width: {}, height: {}}}\n",
            at(0.25),
            at(2.0),
            at(0.5),
            at(0.375),
            at(0.625),
            at(0.5)
        )
    };
    let inch = file(room.path(), "inch.yaml", &body("in", 1.0));
    let millimetre = file(room.path(), "mm.yaml", &body("mm", 25.4));
    let [a, b] = [inch, millimetre].map(|design| manifest(&made(room.path(), design, &[])));
    assert_eq!(a.unit, "mm");
    for (a, b) in a.parts.iter().zip(&b.parts) {
        // 1 in = 25.4 mm (international yard and pound agreement, 1959).
        assert!(
            (a.bounding_box.max[0] - 50.8).abs() < 1e-9,
            "{:?}",
            a.bounding_box
        );
        assert!((a.bounding_box.max[1] - 0.625 * 25.4).abs() < 1e-9);
        assert!((a.volume_mm3 / b.volume_mm3 - 1.0).abs() < 1e-12);
    }
}

#[test]
fn every_deviation_gives_the_same_verdict_and_the_same_exact_volume() {
    let room = tempdir().unwrap();
    let design = file(
        room.path(),
        "newt.yaml",
        &super::bench::chain("Newt", 2, 0.5),
    );
    let sets = ["0.05", "0.03", "0.02", "0.01", "0.004"].map(|deviation| {
        let files = made(room.path(), design, &["--deviation", deviation]);
        let manifest = manifest(&files);
        for part in &manifest.parts {
            let asked = manifest.settings.deviation_mm;
            assert!(
                part.deviation_mm <= asked,
                "{} {}",
                part.deviation_mm,
                asked
            );
        }
        manifest
    });
    for pair in sets.windows(2) {
        for (coarse, fine) in pair[0].parts.iter().zip(&pair[1].parts) {
            assert_eq!(coarse.volume_mm3.to_bits(), fine.volume_mm3.to_bits());
            assert!(coarse.triangles < fine.triangles);
        }
    }
}

#[test]
fn a_part_far_from_the_origin_is_sound_or_refused() {
    let room = tempdir().unwrap();
    // Placed at 5.9 m, where the step of a 32-bit number is 0.0005 mm.
    let text = fs::read_to_string(format!(
        "{}/params/caterpillar.yaml",
        env!("CARGO_MANIFEST_DIR")
    ));
    let text = text
        .unwrap()
        .replace("repeat: 9", "repeat: 120")
        .replace("taper: {to: 92%}", "taper: {to: 100%}");
    let text = text.replace("\n    steps: 3", "");
    let design = file(room.path(), "long.yaml", &text);
    let far = run(
        room.path(),
        &[
            "make", design, "--only", "tail", "--pose", "creature", "-o", "far",
        ],
    );
    let near = run(
        room.path(),
        &["make", design, "--only", "tail", "-o", "near"],
    );
    assert_eq!(near.code, 0, "{}", near.said());
    if far.code == 1 {
        assert!(far.err.contains("tail") && !room.path().join("far/manifest.json").exists());
        return;
    }
    assert_eq!(far.code, 0, "{}", far.said());
    let files = ["near", "far"].map(|set| snapshot(&room.path().join(set)));
    let part = &manifest(&files[1]).parts[0];
    assert!(part.placement[0][3] > 4000.0, "{:?}", part.placement);
    let stl = part
        .files
        .iter()
        .find(|f| f.name.ends_with(".stl"))
        .unwrap();
    let [near, far] = files.map(|files| volume(&files[&stl.name]));
    assert!((near / far - 1.0).abs() < 1e-4, "{near} {far}");
}

#[test]
fn one_and_no_section() {
    let room = tempdir().unwrap();
    let one = file(room.path(), "one.yaml", &single("Newt", 40.0));
    assert_eq!(manifest(&made(room.path(), one, &[])).parts.len(), 2);
    let none = single("Newt", 40.0);
    let none = format!("{}sections: []\n", none.split("sections:").next().unwrap());
    let none = run(
        room.path(),
        &["make", file(room.path(), "none.yaml", &none)],
    );
    assert_eq!(none.code, 1, "{}", none.said());
    assert!(none.err.contains("sections"), "{}", none.err);
}
