//! Pace of blanks: `cargo bench --bench blanks`.
//!
//! Prints how long it takes to lay out the caterpillar (22 halves) with all files, to place the halves
//! of 50 caterpillars, and to build and mesh one piece whose faces have more than 300 loops; best of
//! three runs.

use std::path::Path;
use std::sync::atomic::AtomicBool;
use std::time::{Duration, Instant};

use limberwood::chain::{Resolved, resolve};
use limberwood::check::finding::Verdict;
use limberwood::export::folder::{Folder, Parents};
use limberwood::make::{Settings, blanks, lay_out};
use limberwood::mesh::tessellate;
use limberwood::params;
use limberwood::units::Unit;

const RUNS: usize = 3;

fn caterpillar() -> Resolved {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("params/caterpillar.yaml");
    let (design, shop, _) = params::read_files(&file, None).expect("the demo is read");
    resolve(&design, &shop).expect("the demo is resolved")
}

/// Fourteen caterpillars on one piece large enough for them.
#[allow(clippy::print_stdout)]
fn many_loops(resolved: &Resolved, settings: &Settings) {
    let mut wide = resolved.clone();
    for board in &mut wide.blank.boards {
        board.size = Some([2400.0, 1500.0]);
    }
    let laid = lay_out(&wide, settings, 14).expect("it is laid out");
    let layout = &laid.blanks.layouts[0];
    let kind = &layout.kinds[0];
    let mut triangles = 0;
    let time = best(|| {
        let solid = laid.finished(layout, kind).expect("it closes");
        let deviation = settings.deviation.min(laid.finest(kind));
        let mesh = tessellate(&solid, deviation).expect("it is meshed");
        triangles = mesh.triangles.len();
    });
    println!(
        "a piece with {} windows in each face built and meshed: {:.3} s, {triangles} triangles",
        kind.placed.len(),
        time.as_secs_f64()
    );
}

fn best(mut run: impl FnMut()) -> Duration {
    let times = (0..RUNS).map(|_| {
        let start = Instant::now();
        run();
        start.elapsed()
    });
    times.min().unwrap_or_default()
}

#[allow(clippy::print_stdout)]
fn main() {
    let resolved = caterpillar();
    let settings = Settings::of(&resolved, Unit::Mm);
    let room = tempfile::tempdir().expect("a folder");
    let all = best(|| {
        let folder = Folder::open(&room.path().join("out"), Parents::Make).expect("it opens");
        let stop = AtomicBool::new(false);
        let set = blanks(&resolved, &settings, (1, Verdict::Cut), &folder, &stop);
        assert!(set.is_ok(), "it is laid out");
    });
    println!("22 halves laid out, all files: {:.3} s", all.as_secs_f64());
    for creatures in [1, 10, 50] {
        let mut pieces = (0, 0);
        let placed = best(|| {
            let laid = lay_out(&resolved, &settings, creatures).expect("it is laid out");
            let layouts = &laid.blanks.layouts;
            pieces = (
                layouts.iter().map(|l| l.pieces()).sum(),
                layouts.iter().map(|l| l.fewest).sum(),
            );
        });
        println!(
            "{creatures} caterpillars placed: {:.3} s, {} pieces, at least {}",
            placed.as_secs_f64(),
            pieces.0,
            pieces.1
        );
    }
    many_loops(&resolved, &settings);
}
