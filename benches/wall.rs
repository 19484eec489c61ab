//! Pace of the wall map of the reference creature, to be compared with a ray library.
//!
//! `cargo bench --bench wall` prints, as JSON, the least wall time in seconds of three runs over
//! all halves on one thread and on all, of the least walls of all pairs of faces and of the map at
//! every corner of the mesh, and each half's least wall in mm. The solids and meshes are made before.

use std::io::{self, Write};
use std::time::Instant;

use limberwood::brep::shape::Half;
use limberwood::chain::resolve;
use limberwood::check::wall::{Thickness, WallMap};
use limberwood::export::step::Stamp;
use limberwood::make::{DEFAULT_DEVIATION, Place, Settings, model, parts};
use limberwood::mesh::Mesh;
use limberwood::params::{BUILT_IN_SHOP, read_design_str, read_shop_str};

const REFERENCE: &str = include_str!("../params/reference.yaml");
const RUNS: usize = 3;
/// One wall limit, mm: the reference creature's thinnest walls are below it.
const LIMIT: f64 = 2.0;

fn halves() -> Vec<(String, Half, Mesh)> {
    let (design, _) = read_design_str(REFERENCE, "design").expect("a sound design");
    let (shop, _) = read_shop_str(BUILT_IN_SHOP, "shop").expect("a sound shop");
    let creature = resolve(&design, &shop).expect("a legal creature");
    let settings = Settings {
        unit: limberwood::units::Unit::Mm,
        deviation: DEFAULT_DEVIATION,
        place: Place::OutsideUp,
        only: None,
        from: None,
        stamp: Stamp::default(),
        leftover: false,
    };
    let made = parts(&creature, &settings).into_iter().map(|plan| {
        let form = plan.half(&creature.creature.sections[plan.section]);
        let made = model(&form, DEFAULT_DEVIATION, &creature.walls, true);
        let made = made.expect("a half that can be made");
        (plan.stem, made.half, made.mesh)
    });
    made.collect()
}

/// Least time of some runs, s, and what the last one gave.
fn timed<T: Default>(work: impl Fn() -> T) -> (f64, T) {
    let (mut best, mut last) = (f64::INFINITY, T::default());
    for _ in 0..RUNS {
        let begin = Instant::now();
        last = work();
        best = best.min(begin.elapsed().as_secs_f64());
    }
    (best, last)
}

fn main() -> io::Result<()> {
    let halves = halves();
    let least = || -> Vec<WallMap> {
        let of =
            |(_, half, mesh): &(String, Half, Mesh)| WallMap::of(half, mesh, &|_, _| Some(LIMIT));
        halves.iter().map(of).collect()
    };
    let each = || -> Vec<Thickness> {
        let of = |(_, half, mesh): &(String, Half, Mesh)| Thickness::of(half, mesh, LIMIT);
        halves.iter().map(of).collect()
    };
    let one = rayon::ThreadPoolBuilder::new().num_threads(1).build();
    let one = one.map_err(io::Error::other)?;
    let ((least_one, maps), (each_one, _)) = one.install(|| (timed(least), timed(each)));
    let ((least_all, _), (each_all, _)) = (timed(least), timed(each));
    let mut out = io::stdout();
    for ((name, _, mesh), map) in halves.iter().zip(&maps) {
        let least = map.least.first();
        let least = least.map_or("no wall between faces".to_owned(), |w| {
            format!("{:.6} mm, {:?}", w.thickness, w.kinds)
        });
        let count = mesh.positions.len();
        writeln!(out, "# {name}: {least}, {count} positions")?;
    }
    let positions: usize = halves.iter().map(|h| h.2.positions.len()).sum();
    writeln!(
        out,
        "{{\"positions\": {positions}, \
         \"least\": {{\"one_thread\": {least_one:.4}, \"all_threads\": {least_all:.4}}}, \
         \"map\": {{\"one_thread\": {each_one:.4}, \"all_threads\": {each_all:.4}}}}}"
    )
}
