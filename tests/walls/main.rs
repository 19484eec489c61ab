//! The measured wall against the exact ligaments that are known before a half is built.
//!
//! Two ways, on every distinct half of the designs and of random ones. No exact wall between two
//! features is thinner than their ligament. And every ligament is found among the walls, to
//! [`AGREEMENT`], unless the place of the ligament is no wall: its faces do not look away from
//! each other there, or it lies beside an edge that both share, or another face lies between.
//! That is decided here, from the mesh and without the search.
//!
//! `LIMBERWOOD_CASES` sets the number of random designs.

#![allow(clippy::unwrap_used)]

mod apart;
mod designs;
#[path = "../halves/draw.rs"]
#[allow(dead_code)]
mod draw;

use limberwood::brep::build_form;
use limberwood::chain::HalfForm;
use limberwood::check::wall::{Found, WallMap, owners};
use limberwood::clear::half::{Feature, Ligament, ligaments};
use limberwood::mesh::tessellate;
use rayon::prelude::*;

use apart::{No, Sheets};
use designs::{DESIGNS, halves, random};

/// One wall limit, mm.
const LIMIT: f64 = 3.0;
/// What wall and ligament may differ, mm.
const AGREEMENT: f64 = 0.01;
/// What an exact wall may be thinner, mm: both are right to 1e-6.
const UNDER: f64 = 1e-5;
/// Deviation of the meshes, mm.
const DEVIATION: f64 = 0.02;
/// Random designs in an ordinary run.
const CASES: u64 = 12;

/// What was compared.
#[derive(Debug, Clone, Default)]
struct Count {
    halves: usize,
    walls: usize,
    exact: usize,
    over: usize,
    same: usize,
    worst: f64,
    no_wall: [usize; 3],
    faults: Vec<String>,
}

impl Count {
    fn and(mut self, o: Count) -> Count {
        self.halves += o.halves;
        self.walls += o.walls;
        self.exact += o.exact;
        self.over += o.over;
        self.same += o.same;
        self.worst = self.worst.max(o.worst);
        for (own, other) in self.no_wall.iter_mut().zip(o.no_wall) {
            *own += other;
        }
        self.faults.extend(o.faults);
        self
    }
}

/// What a face's owner counts as, and whether a ligament's feature is that: a hole has its floor,
/// and the skin its flats.
fn is(face: Feature, feature: Feature) -> bool {
    match (face, feature) {
        (Feature::PinFloor(a), Feature::PinHole(b)) => a == b,
        (Feature::Skin, Feature::Flat(_)) => true,
        _ => face == feature,
    }
}

fn compare(name: &str, form: &HalfForm) -> Count {
    let (built, skin) = build_form(form).unwrap();
    let mesh = tessellate(&built, DEVIATION).unwrap();
    let map = WallMap::of(&built, &mesh, &|_, _| Some(LIMIT));
    let owner: Vec<Option<Feature>> = owners(&built, std::slice::from_ref(form))
        .into_iter()
        .map(|o| o.map(|(_, feature)| feature))
        .collect();
    let mut count = Count {
        halves: 1,
        walls: map.least.len(),
        exact: map.least.iter().filter(|w| w.found == Found::Exact).count(),
        ..Count::default()
    };
    let sheets = Sheets::of(&mesh, owner.len());
    for ligament in ligaments(form, &skin) {
        let (a, b) = ligament.between;
        let faces = |of: Feature| -> Vec<usize> {
            let own = |face: &usize| owner[*face].is_some_and(|o| is(o, of));
            (0..owner.len()).filter(own).collect()
        };
        let (ours, theirs) = (faces(a), faces(b));
        let both = |x: usize, y: usize| ours.contains(&x) && theirs.contains(&y);
        let walls = map.least.iter().filter(|w| {
            let (x, y) = w.faces;
            both(x, y) || both(y, x)
        });
        let mut least = f64::INFINITY;
        for wall in walls {
            if wall.found == Found::Exact {
                count.over += 1;
                if wall.thickness < ligament.gap - UNDER {
                    count
                        .faults
                        .push(format!("{name}: {wall:?} under {ligament:?}"));
                }
            }
            least = least.min(wall.thickness);
        }
        if ligament.gap < 0.0 || ligament.gap > 1.9 * LIMIT || ours.is_empty() || theirs.is_empty()
        {
            continue;
        }
        if (least - ligament.gap).abs() < AGREEMENT {
            count.same += 1;
            count.worst = count.worst.max((least - ligament.gap).abs());
            continue;
        }
        match sheets.no_wall(&ligament, [&ours, &theirs], LIMIT) {
            Some(why) => count.no_wall[why as usize] += 1,
            None => count.faults.push(alone(name, &ligament, least)),
        }
    }
    count
}

fn alone(name: &str, ligament: &Ligament, least: f64) -> String {
    let ((a, b), gap, at) = (ligament.between, ligament.gap, ligament.at);
    format!("{name}: {a} to {b}, {gap:.4} at {at:?}, least wall {least:.4}")
}

#[allow(clippy::print_stdout)]
fn all(halves: Vec<(String, HalfForm)>) -> Count {
    let each = halves.par_iter().map(|(name, form)| compare(name, form));
    let count = each
        .collect::<Vec<_>>()
        .into_iter()
        .fold(Count::default(), Count::and);
    println!(
        "{} halves, {} walls, {} exact; {} over their ligament, {} agree, worst {:.1e} mm; no \
         wall: {} do not look away, {} beside a shared edge, {} behind another face",
        count.halves,
        count.walls,
        count.exact,
        count.over,
        count.same,
        count.worst,
        count.no_wall[No::LooksAway as usize],
        count.no_wall[No::SharedEdge as usize],
        count.no_wall[No::Between as usize],
    );
    let shown: Vec<&str> = count.faults.iter().map(String::as_str).take(20).collect();
    assert!(
        shown.is_empty(),
        "{}\n{}",
        count.faults.len(),
        shown.join("\n")
    );
    count
}

#[test]
fn walls_of_the_designs_agree_with_ligaments() {
    let each = DESIGNS
        .iter()
        .flat_map(|(name, design)| halves(name, design).unwrap());
    let count = all(each.collect());
    assert!(count.same > 20, "{count:?}");
}

#[test]
fn walls_of_random_halves_agree_with_ligaments() {
    let cases = std::env::var("LIMBERWOOD_CASES").ok();
    let cases = cases.and_then(|c| c.parse().ok()).unwrap_or(CASES);
    let each: Vec<_> = (0..cases).flat_map(random).collect();
    assert!(each.len() as u64 > cases, "{} halves", each.len());
    let count = all(each);
    assert!(count.same as u64 > cases, "{count:?}");
}
