//! The measured wall against the exact ligaments that are known before a half is built.
//!
//! A ligament between two features is looked up among the walls between faces of those features.
//! Both are exact where they measure the same pair, so they must agree.
//!
//! `LIMBERWOOD_CASES` sets the number of random sections.

#![allow(clippy::unwrap_used)]

#[path = "../halves/draw.rs"]
#[allow(dead_code)]
mod draw;

use limberwood::brep::build_form;
use limberwood::brep::shape::FaceKind;
use limberwood::chain::{HalfForm, resolve};
use limberwood::check::wall::{Found, WallMap};
use limberwood::clear::half::{Feature, Ligament, ligaments};
use limberwood::export::step::Stamp;
use limberwood::make::{Place, Settings, parts};
use limberwood::mesh::tessellate;
use limberwood::params::{BUILT_IN_SHOP, read_design_str, read_shop_str};

const DESIGNS: [(&str, &str); 4] = [
    ("newt", include_str!("../../params/newt.yaml")),
    ("caterpillar", include_str!("../../params/caterpillar.yaml")),
    ("pike", include_str!("../../params/pike.yaml")),
    ("reference", include_str!("../../params/reference.yaml")),
];
/// One wall limit, mm.
const LIMIT: f64 = 3.0;
/// What the two may differ, mm.
const AGREEMENT: f64 = 0.01;

/// Distinct halves of a design.
fn halves(design: &str) -> Vec<(String, HalfForm)> {
    let (design, _) = read_design_str(design, "design").unwrap();
    let (shop, _) = read_shop_str(BUILT_IN_SHOP, "shop").unwrap();
    let creature = resolve(&design, &shop).unwrap();
    let settings = Settings {
        unit: limberwood::units::Unit::Mm,
        deviation: 0.02,
        place: Place::OutsideUp,
        only: None,
        stamp: Stamp::default(),
    };
    let mut seen = Vec::new();
    let mut all = Vec::new();
    for plan in parts(&creature, &settings) {
        if seen.contains(&plan.key) {
            continue;
        }
        let form = plan.half(&creature.creature.sections[plan.section]);
        all.push((plan.stem.clone(), form));
        seen.push(plan.key);
    }
    all
}

/// Kinds of the faces a feature consists of; none for what is no face.
fn kinds(feature: Feature) -> &'static [FaceKind] {
    match feature {
        Feature::Socket(_) => &[FaceKind::Socket],
        Feature::Flare(_) => &[FaceKind::Flare],
        Feature::PinHole(_) => &[FaceKind::PinWall, FaceKind::PinFloor],
        Feature::PinFloor(_) => &[FaceKind::PinFloor],
        Feature::PinChamfer(_) => &[FaceKind::PinChamfer],
        Feature::Skin => &[FaceKind::Skin],
        Feature::Rim => &[FaceKind::Rim],
        Feature::Eye(_) => &[FaceKind::EyeWall, FaceKind::EyeFloor],
        Feature::Groove(_) => &[FaceKind::GrooveWall, FaceKind::GrooveFloor],
        Feature::Mark(_) => &[FaceKind::MarkWall, FaceKind::MarkFloor],
        _ => &[],
    }
}

/// What was compared.
#[derive(Debug, Default)]
struct Count {
    same: usize,
    exact: usize,
    walls: usize,
    worst: f64,
    alone: Vec<String>,
}

fn compare(name: &str, form: &HalfForm, count: &mut Count) {
    let (built, skin) = build_form(form).unwrap();
    let mesh = tessellate(&built, 0.02).unwrap();
    let map = WallMap::of(&built, &mesh, LIMIT);
    count.walls += map.least.len();
    count.exact += map.least.iter().filter(|w| w.found == Found::Exact).count();
    for ligament in ligaments(form, &skin) {
        let of = [kinds(ligament.between.0), kinds(ligament.between.1)];
        if ligament.gap >= 2.0 * LIMIT || of.iter().any(|k| k.is_empty()) {
            continue;
        }
        match partner(&map, &ligament, of) {
            Some(off) => {
                count.same += 1;
                count.worst = count.worst.max(off);
            }
            None => {
                let (a, b) = ligament.between;
                let line = format!(
                    "{name}: {a} to {b}, {:.4} at {:?}",
                    ligament.gap, ligament.at
                );
                count.alone.push(line);
            }
        }
    }
}

/// How far the wall at the ligament's place differs from it.
fn partner(map: &WallMap, ligament: &Ligament, of: [&[FaceKind]; 2]) -> Option<f64> {
    let same = map.least.iter().filter(|w| {
        let (a, b) = w.kinds;
        (of[0].contains(&a) && of[1].contains(&b)) || (of[0].contains(&b) && of[1].contains(&a))
    });
    let off = same.map(|w| (w.thickness - ligament.gap).abs());
    off.filter(|off| *off < AGREEMENT).min_by(f64::total_cmp)
}

#[test]
fn walls_agree_with_ligaments() {
    let mut all = Count::default();
    for (name, design) in DESIGNS {
        for (stem, form) in halves(design) {
            compare(&format!("{name} {stem}"), &form, &mut all);
        }
    }
    println!("{} pairs agree, worst {:.2e} mm", all.same, all.worst);
    println!("{} of {} walls exact", all.exact, all.walls);
    for line in &all.alone {
        println!("alone: {line}");
    }
    assert!(all.same > 20, "{}", all.same);
}
