//! Pieces of stock after the first set-up and roughed: exact solids in both poses, volumes in closed
//! form, and each state within the one before it.

#![allow(clippy::unwrap_used)]

mod designs;
#[path = "../halves/draw.rs"]
#[allow(dead_code)]
mod draw;
mod files;
mod form;
mod mouths;
mod nested;

use designs::{Case, DEMOS, FILES, cases, demo, file, random};
use limberwood::brep::states::State;
use limberwood::brep::volume::volume;
use limberwood::mesh::inspect::inspect;
use limberwood::mesh::{Mesh, second_opinion, tessellate};

/// Deviation of the meshes, mm.
const DEVIATION: f64 = 0.03;

/// Meshes of all states of each kind of piece of a design, held against volumes and each other. Returns
/// how many pieces were looked at.
fn sound(case: &Case) -> usize {
    let mut pieces = 0;
    for layout in &case.laid.blanks.layouts {
        for kind in &layout.kinds {
            let meshes: Vec<Mesh> = State::ALL
                .iter()
                .map(|&state| {
                    let made = case.laid.state(layout, kind, state).expect("it closes");
                    let solid = made.unwrap_or_else(|why| panic!("{}: {why}", case.name));
                    let own = volume(&solid);
                    if let Some(wanted) = form::volume_of(case, layout, kind, state) {
                        let off = (own / wanted - 1.0).abs();
                        assert!(off < 1e-9, "{} {state:?}: {own} {wanted}", case.name);
                    }
                    let deviation = DEVIATION.min(case.laid.finest(kind));
                    let mesh = tessellate(&solid, deviation).expect("it is meshed");
                    let second = second_opinion(&mesh);
                    assert!(second.closed, "{} {state:?}", case.name);
                    let off = (second.volume - own).abs();
                    assert!(off < mesh.area() * DEVIATION, "{} {state:?}", case.name);
                    let written: Vec<[f32; 3]> =
                        mesh.positions.iter().map(|p| p.map(|c| c as f32)).collect();
                    let seen = inspect(&written, &mesh.triangles);
                    assert!(
                        seen.is_sound() && seen.shells == 1,
                        "{} {state:?}: {:?}",
                        case.name,
                        seen.findings.first()
                    );
                    if state == State::Rough {
                        nested::keeps_the_allowance(case, layout, kind, (&solid, &mesh));
                    }
                    mesh
                })
                .collect();
            nested::each_within_the_one_before(&case.name, layout, &meshes);
            pieces += 1;
        }
    }
    pieces
}

#[test]
fn states_of_the_demos_are_sound_and_nested() {
    for name in DEMOS {
        assert!(sound(&demo(name)) > 0);
    }
}

#[test]
fn states_of_odd_designs_are_sound_and_nested() {
    let pieces: usize = FILES
        .iter()
        .filter_map(|name| file(name))
        .map(|c| sound(&c))
        .sum();
    assert!(pieces >= FILES.len() / 2, "only {pieces} pieces were made");
}

#[test]
fn states_of_random_chains_are_sound_and_nested() {
    let all: Vec<Case> = (0..cases()).filter_map(random).collect();
    assert!(
        2 * all.len() as u64 >= cases(),
        "only {} were made",
        all.len()
    );
    for case in all {
        assert!(sound(&case) > 0);
    }
}
