//! Normals at corners: smooth within a face, sharp over a crease.

use nalgebra::{Point3, Vector3};

/// Cosine of the crease angle, 35 degrees: facets that meet at more keep their edge (habit).
const CREASE: f64 = 0.819_152_044_288_991_8;

/// Normal of each triangle, as long as twice its area; zero for triangles without area.
pub(super) fn facet_normals(points: &[Point3<f64>], triangles: &[[u32; 3]]) -> Vec<Vector3<f64>> {
    triangles
        .iter()
        .map(|t| {
            let [a, b, c] = t.map(|i| points[i as usize]);
            (b - a).cross(&(c - a))
        })
        .collect()
}

/// Unit normals at the corners of each triangle: the mean, by area, of the triangles round the
/// corner that lie within the crease angle of this one. `count` is the number of points.
pub(super) fn smooth_normals(
    count: usize,
    triangles: &[[u32; 3]],
    facets: &[Vector3<f64>],
) -> Vec<[Vector3<f32>; 3]> {
    let units: Vec<Vector3<f64>> = facets
        .iter()
        .map(|n| n.try_normalize(0.0).unwrap_or_default())
        .collect();
    let (starts, round) = round_corners(count, triangles);
    triangles
        .iter()
        .zip(&units)
        .map(|(triangle, own)| {
            triangle.map(|c| {
                let near = &round[starts[c as usize] as usize..starts[c as usize + 1] as usize];
                let sum: Vector3<f64> = near
                    .iter()
                    .map(|&t| t as usize)
                    .filter(|&t| units[t].dot(own) >= CREASE)
                    .map(|t| facets[t])
                    .sum();
                let normal = sum.try_normalize(0.0).unwrap_or(*own);
                normal.map(|v| v as f32)
            })
        })
        .collect()
}

/// Triangles round each point: point i has those from `starts[i]` to `starts[i + 1]`.
fn round_corners(count: usize, triangles: &[[u32; 3]]) -> (Vec<u32>, Vec<u32>) {
    let mut starts = vec![0u32; count + 1];
    for &c in triangles.iter().flatten() {
        starts[c as usize + 1] += 1;
    }
    for i in 0..count {
        starts[i + 1] += starts[i];
    }
    let mut next = starts.clone();
    let mut round = vec![0; 3 * triangles.len()];
    for (t, triangle) in triangles.iter().enumerate() {
        for &c in triangle {
            round[next[c as usize] as usize] = t as u32;
            next[c as usize] += 1;
        }
    }
    (starts, round)
}
