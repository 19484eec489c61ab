//! What a mesh of an exact half is asked.

use std::collections::BTreeMap;

use limberwood::brep::shape::{FaceKind, Half, Surface};
use limberwood::mesh::inspect::inspect;
use limberwood::mesh::{Mesh, tessellate};
use truck_modeling::{InnerSpace, Point3, Vector3};

use super::solid::Exact;

/// Measured on one mesh.
#[derive(Debug, Clone, Copy, Default)]
pub struct Measured {
    pub triangles: usize,
    /// Largest sampled deviation over the stated one.
    pub deviation: f64,
    /// |mesh volume - exact volume| over area * deviation.
    pub volume: f64,
}

/// Meshes a half and holds the mesh against it.
pub fn check(half: &Half, exact_volume: f64, stated: f64) -> Result<Measured, String> {
    let mesh = tessellate(half, stated).map_err(|e| format!("{e:?}"))?;
    paired(&mesh)?;
    on_planes(half, &mesh)?;
    let area = area(&mesh);
    let volume = (volume(&mesh) - exact_volume).abs() / (area * stated);
    if volume.is_nan() || volume > 1.0 {
        return Err(format!(
            "mesh volume off by {volume} of area times {stated}"
        ));
    }
    sound(&mesh, 0.0)?;
    let deviation = deviation(half, &mesh, stated)? / stated;
    Ok(Measured {
        triangles: mesh.triangles.len(),
        deviation,
        volume,
    })
}

fn corner(mesh: &Mesh, i: u32) -> Point3 {
    let [x, y, z] = mesh.positions[i as usize];
    Point3::new(x, y, z)
}

fn corners(mesh: &Mesh, t: usize) -> [Point3; 3] {
    mesh.triangles[t].map(|i| corner(mesh, i))
}

/// Half the cross product of two sides.
fn area_vector(mesh: &Mesh, t: usize) -> Vector3 {
    let [a, b, c] = corners(mesh, t);
    (b - a).cross(c - a) * 0.5
}

/// Area of all triangles.
pub fn area(mesh: &Mesh) -> f64 {
    (0..mesh.triangles.len())
        .map(|t| area_vector(mesh, t).magnitude())
        .sum()
}

/// Volume by the flux of (0, 0, z): the mean height of each triangle over its plan.
pub fn volume(mesh: &Mesh) -> f64 {
    (0..mesh.triangles.len())
        .map(|t| {
            let [a, b, c] = corners(mesh, t);
            area_vector(mesh, t).z * (a.z + b.z + c.z) / 3.0
        })
        .sum()
}

/// Every edge twice and opposite.
pub fn paired(mesh: &Mesh) -> Result<(), String> {
    let mut seen = BTreeMap::new();
    for t in &mesh.triangles {
        for k in 0..3 {
            *seen.entry((t[k], t[(k + 1) % 3])).or_insert(0) += 1;
        }
    }
    let odd = seen
        .iter()
        .filter(|((a, b), n)| **n != 1 || seen.get(&(*b, *a)) != Some(&1))
        .count();
    if odd == 0 {
        Ok(())
    } else {
        Err(format!("{odd} edges not twice and opposite"))
    }
}

/// Plane faces are meshed in their planes, and turned outwards; the split face is z = 0.
fn on_planes(half: &Half, mesh: &Mesh) -> Result<(), String> {
    let faces: Vec<_> = half.solid.face_iter().collect();
    for t in 0..mesh.triangles.len() {
        let index = mesh.face[t] as usize;
        let Surface::Plane(frame) = faces[index].surface() else {
            continue;
        };
        let kind = half.kinds[index];
        let points = corners(mesh, t);
        let exact = matches!(
            kind,
            FaceKind::SplitFace | FaceKind::PinFloor | FaceKind::GrooveFloor | FaceKind::MarkFloor
        );
        for p in points {
            let off = (p - frame.origin).dot(frame.z).abs();
            if off > if exact { 0.0 } else { 1e-11 } {
                return Err(format!("a corner {off} off its plane, {kind:?}"));
            }
        }
        let side = if faces[index].orientation() {
            1.0
        } else {
            -1.0
        };
        if area_vector(mesh, t).dot(frame.z) * side < -1e-12 {
            return Err(format!("a triangle of {kind:?} turned inwards"));
        }
    }
    Ok(())
}

/// The mesh as written to STL, moved along x.
pub fn sound(mesh: &Mesh, x: f64) -> Result<(), String> {
    let shift = [x, 0.0, 0.0];
    let written: Vec<[f32; 3]> = mesh
        .positions
        .iter()
        .map(|p| [0, 1, 2].map(|c| (p[c] + shift[c]) as f32))
        .collect();
    let seen = inspect(&written, &mesh.triangles);
    if let Some(first) = seen.findings.first() {
        let count = seen.findings.len();
        let faces: Vec<u32> = first
            .triangles
            .iter()
            .map(|&t| mesh.face[t as usize])
            .collect();
        return Err(format!(
            "{count} findings, first {first:?} on faces {faces:?}"
        ));
    }
    // Euler: a half has blind holes only, so it is a ball to a topologist.
    let euler = seen.corners as i64 - mesh.triangles.len() as i64 / 2;
    if seen.shells != 1 || euler != 2 {
        return Err(format!("{} shells, Euler number {euler}", seen.shells));
    }
    Ok(())
}

/// Largest distance of seven points per triangle from the exact face.
fn deviation(half: &Half, mesh: &Mesh, stated: f64) -> Result<f64, String> {
    let faces: Vec<Exact> = half
        .solid
        .face_iter()
        .map(|f| Exact::of(f.surface()))
        .collect();
    let mut hints = vec![(0.0, 0.0); faces.len()];
    let mut worst = 0.0f64;
    for t in 0..mesh.triangles.len() {
        let index = mesh.face[t] as usize;
        for p in samples(corners(mesh, t)) {
            let off = faces[index].distance(p, &mut hints[index], stated);
            if off.is_nan() || off > stated * (1.0 + 1e-9) {
                let kind = half.kinds[index];
                return Err(format!(
                    "{kind:?} deviates {off} of stated {stated} at {p:?}"
                ));
            }
            worst = worst.max(off);
        }
    }
    Ok(worst)
}

/// Middles of the sides, the centroid, and three points half way from it to the corners.
fn samples([a, b, c]: [Point3; 3]) -> [Point3; 7] {
    let m = a + ((b - a) + (c - a)) / 3.0;
    let middle = |p: Point3, q: Point3| p + (q - p) * 0.5;
    [
        middle(a, b),
        middle(b, c),
        middle(c, a),
        m,
        middle(m, a),
        middle(m, b),
        middle(m, c),
    ]
}
