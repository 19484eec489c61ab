//! The mesh encloses a positive volume.
//!
//! Rule: the signed volume is greater than its own rounding error. Reason: a mesh turned inside
//! out, or folded flat, is closed and oriented too. Asked only of meshes whose edges are all
//! paired; otherwise the number depends on the point it is taken from.

use super::finding::{Fault, Finding};
use super::weld::Welded;

/// Signed volume in mm^3, and a bound of its rounding error.
///
/// Sum of the tetrahedra over the triangles from the first corner. Each determinant is wrong by
/// at most (7 + 56 e) e times its permanent (Shewchuk 1997, orient3d, bound A), and a plain sum
/// of n terms by (n - 1) e times the sum of their sizes; e = 2^-53. Taken as (n + 8) 2 e.
pub(super) fn enclosed(mesh: &Welded) -> (f64, f64) {
    if mesh.triangles.is_empty() {
        return (0.0, 0.0);
    }
    let from = mesh.place(mesh.triangles[0][0]);
    let (mut six, mut size) = (0.0, 0.0);
    for triangle in &mesh.triangles {
        let [a, b, c] = triangle.map(|corner| {
            let p = mesh.place(corner);
            [p[0] - from[0], p[1] - from[1], p[2] - from[2]]
        });
        for (k, l, m) in [(0, 1, 2), (1, 2, 0), (2, 0, 1)] {
            six += a[k] * (b[l] * c[m] - b[m] * c[l]);
            size += a[k].abs() * ((b[l] * c[m]).abs() + (b[m] * c[l]).abs());
        }
    }
    let error = (mesh.triangles.len() + 8) as f64 * f64::EPSILON * size;
    (six / 6.0, error / 6.0)
}

/// A finding when the volume is not positive beyond its error.
pub(super) fn not_positive(volume: f64, error: f64) -> Option<Finding> {
    (volume <= error).then(|| Finding::new(Fault::NoVolume { volume }, [], None))
}
