//! The pieces that a section can come apart into: whole, opened along the glue line, broken at its
//! necks, and its pins.

use std::collections::BTreeSet;

use nalgebra::Vector3;

use crate::brep::shape::{FaceKind, Half};
use crate::mesh::Mesh;

/// Length that is left free in the pin holes, mm (habit: pin length is both depths less 1.6).
const FREE: f64 = 1.6;
/// Places round the end of a pin.
const ROUND: usize = 24;

/// Corners of a part that can stick out: of its faces seen from outside.
#[derive(Debug, Clone, Default)]
pub struct Corners {
    /// Ball, fillet and neck in front (x < 0 in the part's own frame) and at the rear.
    pub stems: [Vec<[f64; 3]>; 2],
    /// All the rest.
    pub body: Vec<[f64; 3]>,
}

impl Corners {
    /// Of a finished part.
    pub fn of(half: &Half, mesh: &Mesh) -> Self {
        use FaceKind::{
            Ball, Fillet, Front, Neck, PlateEase, PlateTop, PlateWall, Rear, Rim, Skin,
        };
        let middle = {
            let (low, high) = mesh.bounds();
            0.5 * (low[0] + high[0])
        };
        let (mut stem, mut body) = (BTreeSet::new(), BTreeSet::new());
        for (triangle, &face) in mesh.triangles.iter().zip(&mesh.face) {
            match half.kinds[face as usize] {
                Ball | Fillet | Neck => stem.extend(triangle),
                // What else there is lies within these.
                Skin | Rim | Front | Rear | PlateTop | PlateWall | PlateEase | FaceKind::Flat => {
                    body.extend(triangle);
                }
                _ => {}
            }
        }
        let at = |k: &u32| mesh.positions[*k as usize];
        let (front, rear) = stem.iter().map(at).partition(|p: &[f64; 3]| p[0] < middle);
        Corners {
            stems: [front, rear],
            body: body.iter().map(at).collect(),
        }
    }

    /// Moved to where the part lies.
    #[must_use]
    pub fn placed(&self, place: impl Fn([f64; 3]) -> [f64; 3]) -> Self {
        let all = |list: &[[f64; 3]]| list.iter().map(|&p| place(p)).collect();
        Corners {
            stems: [all(&self.stems[0]), all(&self.stems[1])],
            body: all(&self.body),
        }
    }
}

/// A piece of a section.
#[derive(Debug, Clone)]
pub struct Piece {
    /// What it is.
    pub name: String,
    /// Corners of its mesh, mm.
    pub corners: Vec<Vector3<f64>>,
    /// Number of the piece before it in the list of which it is a part.
    pub within: Option<usize>,
}

/// What a piece keeps of its parts.
#[derive(Clone, Copy)]
struct Kept {
    body: bool,
    stems: [bool; 2],
}

/// The ways in which a body loses balls, and what it is then called.
const LOST: [([bool; 2], &str); 3] = [
    ([true, false], " without its front ball"),
    ([false, true], " without its rear ball"),
    ([true, true], " without its balls"),
];

/// The pieces of a section from its parts, placed, with their names; `pins` are diameter of the
/// dowel and both depths together of each pin, mm.
pub fn pieces(parts: &[(&str, Corners)], pins: &[(f64, f64)]) -> Vec<Piece> {
    let mut all: Vec<Piece> = Vec::new();
    let has = [0, 1].map(|e| parts.iter().any(|(_, c)| !c.stems[e].is_empty()));
    let mut bodies = vec![("section".to_owned(), parts)];
    if parts.len() > 1 {
        let halves = parts
            .iter()
            .map(|part| (format!("{} half", part.0), std::slice::from_ref(part)));
        bodies.extend(halves);
    }
    for (name, own) in bodies {
        let within = (!all.is_empty()).then_some(0);
        let whole = all.len();
        let everything = Kept {
            body: true,
            stems: [true; 2],
        };
        all.push(piece(name.clone(), within, own, everything));
        for (lost, word) in LOST {
            if (0..2).all(|e| !lost[e] || has[e]) {
                let kept = Kept {
                    stems: lost.map(|l| !l),
                    ..everything
                };
                all.push(piece(format!("{name}{word}"), Some(whole), own, kept));
            }
        }
    }
    for (end, word) in [(0, "front"), (1, "rear")] {
        if has[end] {
            let kept = Kept {
                body: false,
                stems: [end == 0, end == 1],
            };
            all.push(piece(
                format!("{word} ball with its neck"),
                Some(0),
                parts,
                kept,
            ));
        }
    }
    all.extend(
        pins.iter()
            .enumerate()
            .map(|(k, &(diameter, depth))| Piece {
                name: format!("pin {}", k + 1),
                corners: rod(diameter, (depth - FREE).max(0.0)),
                within: None,
            }),
    );
    all
}

fn piece(name: String, within: Option<usize>, parts: &[(&str, Corners)], kept: Kept) -> Piece {
    let lists = parts.iter().flat_map(|(_, c)| {
        let stems = [0, 1]
            .into_iter()
            .filter(|&e| kept.stems[e])
            .map(|e| &c.stems[e]);
        stems.chain(kept.body.then_some(&c.body))
    });
    Piece {
        name,
        corners: lists.flatten().map(|&p| Vector3::from(p)).collect(),
        within,
    }
}

/// Corners of a round rod.
fn rod(diameter: f64, length: f64) -> Vec<Vector3<f64>> {
    // A polygon about the circle, so that it is no thinner.
    let r = 0.5 * diameter / (std::f64::consts::PI / ROUND as f64).cos();
    let turn = (0..ROUND).map(|k| std::f64::consts::TAU * k as f64 / ROUND as f64);
    turn.flat_map(|a| [0.0, length].map(|x| Vector3::new(x, r * a.cos(), r * a.sin())))
        .collect()
}
