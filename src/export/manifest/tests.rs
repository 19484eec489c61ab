//! The manifest's bytes, its reading, and what it says.

use super::*;
use crate::check::balance::mass_g;

fn part(section: usize, side: Side) -> Part {
    let name = format!("S{section:02}-{side:?}");
    let held = format!("{name}-held");
    Part {
        files: vec![
            FileEntry::of(&format!("{name}.stl"), b"stl"),
            FileEntry::of(&format!("{name}.step"), b"step"),
        ],
        name,
        section,
        side,
        placement: [
            [1.0, 0.0, 0.0, 24.5],
            [0.0, -1.0, 0.0, 0.0],
            [0.0, 0.0, -1.0, 0.0],
            [0.0, 0.0, 0.0, 1.0],
        ],
        bounding_box: BoundingBox {
            min: [0.0, -10.0, 0.0],
            max: [30.0, 10.0, 8.0],
        },
        volume_mm3: 2048.0,
        mass_g: mass_g(2048.0, 750.0),
        species: "hard maple".to_string(),
        density_kg_m3: 750.0,
        triangles: 1200,
        skin_misfit_mm: 0.004,
        deviation_mm: 0.0156,
        faces: BTreeMap::from([("split face".to_string(), 1)]),
        allowances: Allowances {
            sanding_mm: 0.1,
            relief_mm: 2.0,
            stock_mm: 8.4,
        },
        held: Some(Held {
            files: vec![FileEntry::of(&format!("{held}.stl"), b"held")],
            bounding_box: BoundingBox {
                min: [0.0, -18.0, 0.0],
                max: [30.0, 18.0, 8.0],
            },
            volume_mm3: 2100.0,
            triangles: 1400,
            deviation_mm: 0.0151,
            faces: BTreeMap::from([("tab top".to_string(), 4)]),
        }),
    }
}

fn manifest(parts: Vec<Part>) -> Manifest {
    let settings = Settings { deviation_mm: 0.02 };
    Manifest {
        parts,
        ..Manifest::new("Käfer", false, settings)
    }
}

#[test]
fn order_of_parts_does_not_reach_the_bytes() {
    let (a, b, c) = (
        part(2, Side::Upper),
        part(10, Side::Upper),
        part(2, Side::Lower),
    );
    let one = manifest(vec![a.clone(), b.clone(), c.clone()]);
    let two = manifest(vec![c, b, a]);
    assert_eq!(one.to_bytes(), two.to_bytes());
}

#[test]
fn it_reads_back_and_lists_its_files() {
    let bytes = manifest(vec![part(1, Side::Upper)]).to_bytes().unwrap();
    let back: Manifest = serde_json::from_slice(&bytes).unwrap();
    assert_eq!(back.clone().to_bytes().unwrap(), bytes);
    assert_eq!(back.unit, "mm");
    let names: Vec<_> = listed(&bytes)
        .unwrap()
        .into_iter()
        .map(|f| f.name)
        .collect();
    assert_eq!(
        names,
        ["S01-Upper-held.stl", "S01-Upper.step", "S01-Upper.stl"]
    );
}

#[test]
fn hashes_and_masses() {
    // SHA-256 of "abc": FIPS 180-4 example.
    let abc = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
    assert_eq!(sha256(b"abc"), abc);
    // 1 dm3 of water, 1000 kg/m3: 1 kg.
    assert!((mass_g(1e6, 1000.0) - 1000.0).abs() < 1e-9);
}

#[test]
fn numbers_that_json_lacks_are_refused() {
    let mut bad = part(1, Side::Upper);
    bad.volume_mm3 = f64::NAN;
    let odd = Err(ManifestError::OddNumber("S01-Upper".to_string()));
    assert_eq!(manifest(vec![bad]).to_bytes(), odd);
    let mut bad = part(1, Side::Upper);
    if let Some(held) = &mut bad.held {
        held.bounding_box.max[1] = f64::INFINITY;
    }
    assert_eq!(manifest(vec![bad]).to_bytes(), odd);
}

#[test]
fn foreign_manifests_are_told_apart() {
    for text in ["{}", r#"{"tool":{"name":"other"},"files":[]}"#] {
        assert_eq!(listed(text.as_bytes()), Err(ManifestError::Foreign));
    }
    assert!(matches!(listed(b"{\"tool\""), Err(ManifestError::Json(_))));
}

#[test]
fn cautions_claim_nothing() {
    let all = CAUTIONS.map(|c| c.text).join(" ").to_lowercase();
    for word in [
        "router",
        "dust",
        "adhesive",
        "small parts",
        "finish",
        "laws",
    ] {
        assert!(all.contains(word), "{word}");
    }
    assert!(all.contains("never claims that a toy complies"));
}
