//! Sharp outside edges: what a hand feels and sandpaper rounds.

use std::f64::consts::PI;

use nalgebra::Vector3;

use super::finding::{Amount, Finding, Limit, Subject};
use crate::brep::shape::FaceKind;
use crate::diagnostic::Severity;
use crate::mesh::Mesh;

/// An edge of less than this is rounded by hand, radians: 150 degrees (habit).
const ROUNDED: f64 = 150.0 / 180.0 * PI;
/// An edge of less than this is a splinter, radians: 50 degrees (habit).
const SPLINTER: f64 = 50.0 / 180.0 * PI;
/// Shorter edges are corners, mm.
const LEAST: f64 = 0.01;

/// Outside edges of a part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sharp {
    /// Least angle of wood, radians.
    pub angle: f64,
    /// Where, mm.
    pub at: [f64; 3],
    /// Length of all that are to be rounded, mm.
    pub length: f64,
}

/// Whether a hand gets to faces of this kind.
fn outside(kind: FaceKind) -> bool {
    use FaceKind::{Flare, Flat, Front, PlateEase, PlateTop, PlateWall, Rear, Rim, Skin};
    matches!(
        kind,
        Skin | Rim | Front | Rear | Flat | Flare | PlateTop | PlateWall | PlateEase
    )
}

/// The outside edges of a mesh whose faces have these kinds; nothing when none is sharp. An edge lies
/// between triangles of different faces; its angle is that of their facets.
pub fn sharp(mesh: &Mesh, kinds: &[FaceKind]) -> Option<Sharp> {
    let mut sides: Vec<([u32; 2], usize)> = Vec::new();
    for (t, corners) in mesh.triangles.iter().enumerate() {
        if outside(kinds[mesh.face[t] as usize]) {
            for k in 0..3 {
                let (a, b) = (corners[k], corners[(k + 1) % 3]);
                sides.push(([a.min(b), a.max(b)], t));
            }
        }
    }
    sides.sort_unstable();
    let mut found: Option<Sharp> = None;
    for pair in sides.windows(2) {
        let ((side, t), (other, u)) = (pair[0], pair[1]);
        if side != other || mesh.face[t] == mesh.face[u] {
            continue;
        }
        let [a, b] = side.map(|k| Vector3::from(mesh.positions[k as usize]));
        let length = (b - a).norm();
        let angle = wood(mesh, t, u);
        if length < LEAST || angle >= ROUNDED {
            continue;
        }
        let at: [f64; 3] = (0.5 * (a + b)).into();
        let own = found.get_or_insert(Sharp {
            angle,
            at,
            length: 0.0,
        });
        own.length += length;
        if angle < own.angle {
            (own.angle, own.at) = (angle, at);
        }
    }
    found
}

/// Angle of wood between two triangles that share a side: over a straight angle in a hollow.
fn wood(mesh: &Mesh, t: usize, u: usize) -> f64 {
    let corners = |t: usize| mesh.triangles[t].map(|k| Vector3::from(mesh.positions[k as usize]));
    let (p, q) = (corners(t), corners(u));
    let normal = |p: &[Vector3<f64>; 3]| (p[1] - p[0]).cross(&(p[2] - p[0]));
    let (n, m) = (normal(&p), normal(&q));
    let bend = n.cross(&m).norm().atan2(n.dot(&m));
    // The middle of the other triangle lies behind this one where the edge stands out.
    let behind = ((q[0] + q[1] + q[2]) / 3.0 - p[0]).dot(&n) < 0.0;
    if behind { PI - bend } else { PI + bend }
}

/// The finding of a part; nothing when no edge is sharp.
pub fn findings(subject: &Subject<'_>, mesh: &Mesh, kinds: &[FaceKind]) -> Option<Finding> {
    let sharp = sharp(mesh, kinds)?;
    let length = Amount::Length(sharp.length).text(subject.unit);
    let words = format!("{length} of outside edges to round by 1 mm (habit); the sharpest has");
    let limit = Limit::least(Amount::Angle(SPLINTER), "habit");
    let splinter = sharp.angle < SPLINTER;
    let severity = if splinter {
        Severity::Warning
    } else {
        Severity::Note
    };
    let angle = Amount::Angle(sharp.angle);
    let found = subject
        .finds(severity, "sharp-edge", &words, angle, Some(limit))
        .at(sharp.at);
    Some(if splinter {
        found.way_out("draw the edge blunter, or give the plate an `ease`")
    } else {
        found
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A bar whose section is a triangle with this angle at its first corner; its ends are split
    /// faces.
    fn bar(angle: f64) -> (Mesh, Vec<FaceKind>) {
        let (sin, cos) = angle.sin_cos();
        let section = [[0.0, 0.0], [20.0, 0.0], [20.0 * cos, 20.0 * sin]];
        let positions = [0.0, 30.0]
            .map(|x| section.map(|[y, z]| [x, y, z]))
            .concat();
        let mut mesh = Mesh {
            positions,
            ..Mesh::default()
        };
        for k in 0..3u32 {
            let next = (k + 1) % 3;
            mesh.triangles
                .extend([[k, next, next + 3], [k, next + 3, k + 3]]);
            mesh.face.extend([k; 2]);
        }
        mesh.triangles.extend([[0, 2, 1], [3, 4, 5]]);
        mesh.face.extend([3, 3]);
        assert!(
            (mesh.volume() - 6000.0 * sin).abs() < 1e-6,
            "turned inside out"
        );
        (
            mesh,
            vec![
                FaceKind::PlateTop,
                FaceKind::PlateWall,
                FaceKind::Rim,
                FaceKind::SplitFace,
            ],
        )
    }

    #[test]
    fn the_sharpest_corner_of_bars() {
        for degrees in [20.0f64, 40.0, 59.0] {
            let (mesh, kinds) = bar(degrees.to_radians());
            let found = sharp(&mesh, &kinds).unwrap();
            assert!(
                (found.angle.to_degrees() - degrees).abs() < 1e-9,
                "{found:?}"
            );
            assert!((found.length - 90.0).abs() < 1e-9, "{found:?}");
            assert!((found.at[0] - 15.0).abs() < 1e-9 && found.at[1].abs() < 1e-9);
        }
    }
}
