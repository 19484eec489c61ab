//! Pace of the whole way from a design to bytes: exact model, mesh, STL and STEP.
//!
//! `cargo bench --bench pace` measures with criterion: the reference body on one and on two
//! threads, its stages, and chains of 12, 100 and 1,000 equal and stepped sections by the time per
//! distinct half and per section. `cargo bench --bench pace -- --once` makes the reference body once on one thread
//! and prints the times of the stages as JSON (for `against.py`).

use std::collections::BTreeMap;
use std::hint::black_box;
use std::io::{self, Write};
use std::time::{Duration, Instant};

use criterion::{BenchmarkId, Criterion, SamplingMode};
use limberwood::brep::{build_form, volume};
use limberwood::chain::{Resolved, resolve};
use limberwood::export::step::{Colour, write_part};
use limberwood::export::stl;
use limberwood::make::{Body, PartPlan, Settings, model, parts};
use limberwood::mesh::inspect::inspect;
use limberwood::mesh::tessellate;
use limberwood::params::{BUILT_IN_SHOP, read_design_str, read_shop_str};
use limberwood::units::Unit;
use rayon::prelude::*;

const REFERENCE: &str = include_str!("../params/reference.yaml");
const CATERPILLAR: &str = include_str!("../params/caterpillar.yaml");

fn resolved(design: &str) -> Resolved {
    let (design, _) = read_design_str(design, "design").expect("a sound design");
    let (shop, _) = read_shop_str(BUILT_IN_SHOP, "shop").expect("a sound shop");
    resolve(&design, &shop).expect("a legal creature")
}

fn settings() -> Settings {
    Settings::of(&resolved(REFERENCE), Unit::Mm)
}

/// The first part of each distinct half: what is built. The rest are its copies.
fn distinct(plans: Vec<PartPlan>) -> Vec<PartPlan> {
    let mut seen = BTreeMap::new();
    for plan in plans {
        seen.entry(plan.key.clone()).or_insert(plan);
    }
    seen.into_values().collect()
}

/// Makes a half as the program does, and gives the number of its bytes and triangles.
fn make(creature: &Resolved, settings: &Settings, plan: &PartPlan) -> (usize, usize) {
    let section = &creature.creature.sections[plan.section];
    let bench = creature.creature.bench_only;
    let model = model(
        &plan.half(section),
        settings.deviation,
        &creature.walls,
        bench,
    )
    .expect("a half that can be made");
    let (stl, step) = plan
        .bytes(Body::Finished, &model, settings, bench)
        .expect("a sound mesh");
    (stl.len() + step.len(), model.mesh.triangles.len())
}

fn make_all(creature: &Resolved, settings: &Settings, plans: &[PartPlan]) -> usize {
    let made = plans
        .par_iter()
        .map(|plan| make(creature, settings, plan).0);
    made.sum()
}

fn reference(c: &mut Criterion) {
    let (creature, settings) = (resolved(REFERENCE), settings());
    let plans = parts(&creature, &settings);
    let mut group = c.benchmark_group("reference: 24 halves to bytes at 0.02 mm");
    group.sampling_mode(SamplingMode::Flat).sample_size(10);
    for threads in [1, 2] {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build();
        let pool = pool.expect("a pool of threads");
        group.bench_function(BenchmarkId::new("threads", threads), |b| {
            b.iter(|| pool.install(|| black_box(make_all(&creature, &settings, &plans))));
        });
    }
    group.finish();
}

/// The caterpillar with another number of body sections and sizes.
fn long(sections: usize, sizes: usize) -> String {
    let repeat = format!("repeat: {}", sections - 2);
    let steps = format!("steps: {sizes}");
    CATERPILLAR
        .replace("repeat: 9", &repeat)
        .replace("steps: 3", &steps)
}

/// Chains of equal sections, and of stepped ones in about a tenth as many sizes.
const CHAINS: [(&str, usize, usize); 6] = [
    ("equal", 12, 1),
    ("equal", 100, 1),
    ("equal", 1000, 1),
    ("stepped", 12, 2),
    ("stepped", 100, 10),
    ("stepped", 1000, 100),
];

/// Time per distinct half, from the resolved chain to bytes: must not grow with the chain.
fn halves(c: &mut Criterion) {
    let settings = settings();
    let mut group = c.benchmark_group("chain, time per distinct half");
    group.sampling_mode(SamplingMode::Flat).sample_size(10);
    for (kind, sections, sizes) in CHAINS {
        let creature = resolved(&long(sections, sizes));
        let plans = distinct(parts(&creature, &settings));
        group.bench_function(BenchmarkId::new(kind, sections), |b| {
            b.iter_custom(|times| {
                let begin = Instant::now();
                for _ in 0..times {
                    for plan in &plans {
                        black_box(make(&creature, &settings, plan));
                    }
                }
                begin.elapsed().div_f64(plans.len() as f64)
            });
        });
    }
    group.finish();
}

/// Time per section of what must be done for every section: reading, resolving, naming.
fn sections(c: &mut Criterion) {
    let settings = settings();
    let mut group = c.benchmark_group("chain, time per section to read and resolve");
    group.sampling_mode(SamplingMode::Flat).sample_size(10);
    for (kind, sections, sizes) in CHAINS {
        let text = long(sections, sizes);
        group.bench_function(BenchmarkId::new(kind, sections), |b| {
            b.iter_custom(|times| {
                let begin = Instant::now();
                for _ in 0..times {
                    black_box(distinct(parts(&resolved(&text), &settings)));
                }
                begin.elapsed().div_f64(sections as f64)
            });
        });
    }
    group.finish();
}

/// Seconds of each stage over all halves of the reference body, and the whole way besides.
fn once() -> io::Result<()> {
    let (creature, settings) = (resolved(REFERENCE), settings());
    let plans = parts(&creature, &settings);
    let begin = Instant::now();
    let made: Vec<(usize, usize)> = plans
        .iter()
        .map(|plan| make(&creature, &settings, plan))
        .collect();
    let whole = begin.elapsed().as_secs_f64();
    let mut stages: BTreeMap<&str, f64> = BTreeMap::new();
    let mut add = |name, time: Duration| *stages.entry(name).or_insert(0.0) += time.as_secs_f64();
    for plan in &plans {
        let half = plan.half(&creature.creature.sections[plan.section]);
        let begin = Instant::now();
        let (solid, _) = build_form(&half).expect("a half that can be built");
        add("model", begin.elapsed());
        let begin = Instant::now();
        let mesh = tessellate(&solid, settings.deviation).expect("a mesh");
        add("mesh", begin.elapsed());
        let begin = Instant::now();
        black_box(volume::volume(&solid));
        add("volume", begin.elapsed());
        let single = |p: &[f64; 3]| p.map(|c| c as f32);
        let positions: Vec<[f32; 3]> = mesh.positions.iter().map(single).collect();
        let begin = Instant::now();
        black_box(inspect(&positions, &mesh.triangles));
        add("check", begin.elapsed());
        let begin = Instant::now();
        black_box(stl::write(&plan.name, true, &positions, &mesh.triangles).expect("STL"));
        add("stl", begin.elapsed());
        let begin = Instant::now();
        black_box(write_part(
            &plan.name,
            &solid,
            Colour::WOOD,
            &settings.stamp,
            true,
        ));
        add("step", begin.elapsed());
    }
    let triangles: usize = made.iter().map(|(_, triangles)| triangles).sum();
    let bytes: usize = made.iter().map(|(bytes, _)| bytes).sum();
    let found = serde_json::json!({
        "halves": plans.len(), "whole": whole, "stages": stages,
        "triangles": triangles, "bytes": bytes,
    });
    writeln!(io::stdout(), "{found}")
}

fn main() -> io::Result<()> {
    if std::env::args().any(|a| a == "--once") {
        return once();
    }
    let mut criterion = Criterion::default().configure_from_args();
    reference(&mut criterion);
    halves(&mut criterion);
    sections(&mut criterion);
    criterion.final_summary();
    Ok(())
}
