//! Meshes of simple bodies.

use std::f64::consts::{PI, TAU};

use crate::brep::pose::Pose;
use crate::mesh::Mesh;
use crate::picture::{Piece, Wood};

pub const RED: Wood = Wood::Painted([0.9, 0.05, 0.05]);
pub const GREEN: Wood = Wood::Painted([0.05, 0.8, 0.05]);

fn mesh(positions: Vec<[f64; 3]>, triangles: Vec<[u32; 3]>) -> Mesh {
    Mesh {
        positions,
        triangles,
        ..Mesh::default()
    }
}

/// A sphere round the origin, of meridians and parallels.
pub fn sphere(radius: f64, parallels: u32) -> Mesh {
    let around = 2 * parallels;
    let mut positions = Vec::new();
    let mut triangles = Vec::new();
    for i in 0..=parallels {
        let (ring, z) = (PI * f64::from(i) / f64::from(parallels)).sin_cos();
        for j in 0..around {
            let (s, c) = (TAU * f64::from(j) / f64::from(around)).sin_cos();
            positions.push([ring * c, ring * s, z].map(|v| radius * v));
            let next = (j + 1) % around;
            if i < parallels {
                let [a, b] = [i * around + j, i * around + next];
                triangles.push([a, a + around, b]);
                triangles.push([b, a + around, b + around]);
            }
        }
    }
    mesh(positions, triangles)
}

/// A rectangle across y, seen from the creature's left.
pub fn upright(x: [f64; 2], y: f64, z: [f64; 2]) -> Mesh {
    let at = |i: usize, k: usize| [x[i], y, z[k]];
    let positions = vec![at(0, 0), at(1, 0), at(1, 1), at(0, 1)];
    mesh(positions, vec![[0, 1, 2], [0, 2, 3]])
}

/// A rectangle at a height, seen from above.
pub fn level(x: [f64; 2], y: [f64; 2], z: f64) -> Mesh {
    let at = |i: usize, k: usize| [x[i], y[k], z];
    let positions = vec![at(0, 0), at(1, 0), at(1, 1), at(0, 1)];
    mesh(positions, vec![[0, 1, 2], [0, 2, 3]])
}

/// A cube with its corners at +-1.
pub fn cube() -> Mesh {
    let corner = |i: u32| [0, 1, 2].map(|k| if i >> k & 1 == 1 { 1.0 } else { -1.0 });
    let quads = [
        [0, 2, 3, 1],
        [4, 5, 7, 6],
        [0, 1, 5, 4],
        [2, 6, 7, 3],
        [0, 4, 6, 2],
        [1, 3, 7, 5],
    ];
    let halves = quads.map(|[a, b, c, d]| [[a, b, c], [a, c, d]]);
    mesh((0..8).map(corner).collect(), halves.concat())
}

/// A piece as it lies.
pub fn piece(mesh: &Mesh, wood: Wood) -> Piece<'_> {
    Piece {
        mesh,
        kinds: &[],
        pose: Pose::NONE.matrix(),
        wood,
        shares: None,
    }
}
