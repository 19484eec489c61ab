//! Distances before assembly, against those measured on the finished solids.
//!
//! `LIMBERWOOD_CASES` raises the number of random cases.

#![allow(clippy::unwrap_used)]

mod eyes;
mod forms;
mod measure;
mod near;
mod pockets;
mod refused;
mod stands;

use limberwood::brep::build_form;
use limberwood::chain::{EndFace, HalfForm};
use limberwood::clear::half::{BUILD_GAP, Facing, Feature, Ligament, ligaments};
use limberwood::mesh::tessellate;
use limberwood::skin::skin;
use measure::{Parts, Tree, segments};
use nalgebra::{Point3, Vector3};
use proptest::prelude::*;

const DEVIATION: f64 = 0.01;

/// Random cases: the environment's number, else `usual`.
pub fn cases(usual: u32) -> ProptestConfig {
    let wanted = std::env::var("LIMBERWOOD_CASES").ok();
    let cases = wanted.and_then(|n| n.parse().ok()).unwrap_or(usual);
    ProptestConfig {
        cases,
        max_global_rejects: 100 * cases,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// Point of an end's plane and its unit normal inwards; of a dome that of its circle.
fn plane(form: &HalfForm, at: Facing) -> (Point3<f64>, Vector3<f64>) {
    let (end, station, datum, inwards) = match at {
        Facing::Front => (&form.front, form.stations.first(), 0.0, 1.0),
        Facing::Rear => (&form.rear, form.stations.last(), form.length, -1.0),
    };
    match end.face {
        EndFace::Domed { .. } => (
            Point3::new(station.unwrap().x, 0.0, 0.0),
            Vector3::x() * inwards,
        ),
        _ => (
            Point3::new(datum, 0.0, 0.0),
            Vector3::new(inwards * form.lean.cos(), 0.0, -form.lean.sin()),
        ),
    }
}

fn domed(form: &HalfForm, at: Facing) -> bool {
    let end = match at {
        Facing::Front => &form.front,
        Facing::Rear => &form.rear,
    };
    matches!(end.face, EndFace::Domed { .. })
}

/// The same distance on the mesh.
fn measured(form: &HalfForm, parts: &Parts, l: &Ligament) -> f64 {
    use Feature::*;
    let corners = |f: Feature| parts.triangles(f).iter().flatten();
    let over = |points: &mut dyn Iterator<Item = &Point3<f64>>, at: Facing| {
        let (point, normal) = plane(form, at);
        points.fold(f64::INFINITY, |m, p| m.min((p - point).dot(&normal)))
    };
    let rings = |inner: Feature, at: Facing| {
        let mut least = f64::INFINITY;
        for a in parts.edges(EndFace(at), inner) {
            for outer in [Skin, Rim] {
                for b in parts.edges(EndFace(at), outer) {
                    least = least.min(segments(a, b));
                }
            }
        }
        least.sqrt()
    };
    match l.between {
        (FlareEdge(at), Outline(_)) => rings(Flare(at), at),
        (Neck(at), Outline(_)) => rings(Neck(at), at),
        (Mouth(at), EndFace(_)) => over(&mut corners(Socket(at)), at),
        (EndFace(a), EndFace(b)) => {
            let outline = |at: Facing, other: Facing| {
                let edges = [Skin, Rim]
                    .into_iter()
                    .flat_map(|o| parts.edges(EndFace(at), o));
                over(&mut edges.flatten(), other)
            };
            outline(a, b).min(outline(b, a))
        }
        (f, EndFace(at)) if !domed(form, at) && !matches!(f, Ball(_)) => over(&mut corners(f), at),
        (a, b) => {
            let tree = |f: Feature| Tree::of(parts.hull(f));
            tree(a).distance(&tree(b))
        }
    }
}

proptest! {
    #![proptest_config(cases(24))]

    #[test]
    fn as_on_the_solid(form in forms::form()) {
        let form = forms::half(&form);
        let Ok(outer) = skin(&form) else {
            return Err(TestCaseError::reject("no outer form"));
        };
        let found = ligaments(&form, &outer);
        prop_assume!(found.iter().all(|l| l.gap >= BUILD_GAP));
        let (half, _) = build_form(&form).unwrap();
        let mesh = tessellate(&half, DEVIATION).unwrap();
        let parts = Parts::of(&form, &half, &mesh);
        // Nothing is as far from itself as its two ends are: those pairs have tests of their own.
        // A chamfered hole has no wall at its mouth.
        let walled = |f: Feature| form.features.pin_chamfer == 0.0 || !matches!(f, Feature::PinHole(_));
        let told = |l: &&Ligament| l.between.0 != l.between.1 && walled(l.between.0) && walled(l.between.1);
        for l in found.iter().filter(told) {
            prop_assert!(l.proven, "{l:?}");
            let there = measured(&form, &parts, l);
            prop_assert!((there - l.gap).abs() <= 2.0 * DEVIATION, "measured {there}: {l:?}");
        }
    }
}
