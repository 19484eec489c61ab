//! All pieces in one list of triangles in the frame of the creature.

use nalgebra::{Matrix4, Point3, Vector3};
use rayon::prelude::*;

use super::Piece;
use super::smooth::{facet_normals, smooth_normals};
use super::tone::Tint;

/// Corners farther off than this are left out, mm: nothing made of wood is that long, and f32
/// depths and squares stay far from overflow.
const FARTHEST: f64 = 1e6;

/// A triangle with its normals.
#[derive(Debug, Clone, Copy)]
pub(super) struct Facet {
    /// Its corners among the points of the scene.
    pub corners: [u32; 3],
    /// Unit normal at each corner.
    pub normals: [Vector3<f32>; 3],
    /// Index of its piece.
    pub piece: u32,
    /// What its face is for.
    pub tint: Tint,
    /// Shares of the colour scale at its corners; none for wood.
    pub shares: Option<[f32; 3]>,
}

/// The pieces, posed.
#[derive(Debug, Clone, Default)]
pub(super) struct Scene {
    /// Corners used by facets, mm.
    pub points: Vec<Point3<f64>>,
    /// Triangles of all pieces in their order.
    pub facets: Vec<Facet>,
}

impl Scene {
    /// Poses the pieces and works out their normals.
    pub fn of(pieces: &[Piece]) -> Scene {
        let parts: Vec<Scene> = pieces
            .par_iter()
            .enumerate()
            .map(|(index, piece)| one(index as u32, piece))
            .collect();
        let mut scene = Scene::default();
        for part in parts {
            let shift = scene.points.len() as u32;
            scene.points.extend(part.points);
            scene.facets.extend(part.facets.into_iter().map(|f| Facet {
                corners: f.corners.map(|c| c + shift),
                ..f
            }));
        }
        scene
    }

    /// Corners of a facet.
    pub fn corners(&self, facet: &Facet) -> [Point3<f64>; 3] {
        facet.corners.map(|c| self.points[c as usize])
    }

    /// Height of the lowest point, mm.
    pub fn lowest(&self) -> f64 {
        self.points.iter().fold(f64::INFINITY, |z, p| z.min(p.z))
    }
}

/// One piece. Points that no sound triangle uses are replaced by one that is used, so that they
/// do not widen the picture.
fn one(index: u32, piece: &Piece) -> Scene {
    let pose = matrix(&piece.pose);
    let mut points: Vec<Point3<f64>> = piece
        .mesh
        .positions
        .iter()
        .map(|&p| pose.transform_point(&Point3::from(p)))
        .collect();
    let sound = |c: u32| {
        let p = points.get(c as usize);
        p.is_some_and(|p| p.iter().all(|v| v.abs() <= FARTHEST))
    };
    let (triangles, faces): (Vec<[u32; 3]>, Vec<Option<u32>>) = piece
        .mesh
        .triangles
        .iter()
        .enumerate()
        .filter(|(_, t)| t.iter().all(|&c| sound(c)))
        .map(|(i, t)| (*t, piece.mesh.face.get(i).copied()))
        .unzip();
    let mut used = vec![false; points.len()];
    for &c in triangles.iter().flatten() {
        used[c as usize] = true;
    }
    let Some(stand_in) = used.iter().position(|u| *u).map(|at| points[at]) else {
        return Scene::default();
    };
    for (point, used) in points.iter_mut().zip(used) {
        if !used {
            *point = stand_in;
        }
    }
    let facets = facet_normals(&points, &triangles);
    let normals = smooth_normals(points.len(), &triangles, &facets);
    let tint = |face: Option<u32>| {
        let kind = face.and_then(|f| piece.kinds.get(f as usize));
        kind.map_or(Tint::Plain, |kind| Tint::of(*kind))
    };
    let facets = triangles
        .iter()
        .zip(normals)
        .zip(faces)
        .map(|((&corners, normals), face)| Facet {
            corners,
            normals,
            piece: index,
            tint: tint(face),
            shares: piece
                .shares
                .map(|all| corners.map(|c| all.get(c as usize).copied().unwrap_or(1.0))),
        })
        .collect();
    Scene { points, facets }
}

/// A pose as a matrix.
pub(super) fn matrix(rows: &[[f64; 4]; 4]) -> Matrix4<f64> {
    Matrix4::from_fn(|r, c| rows[r][c])
}
