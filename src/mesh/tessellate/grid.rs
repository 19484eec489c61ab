//! Four-sided faces as grids.

use truck_modeling::InnerSpace;

use crate::brep::NotClosed;
use crate::brep::shape::{Frame, Surface};
use crate::skin::patch::{Patch, cross};

use super::Mesh;
use super::division::{Division, runs_with};
use super::topology::{FaceData, PatchSide, Use};

/// Adds a face as a grid: (i, j) counts along the loop's first and second edge, so that quads
/// run counter-clockwise from outside.
///
/// # Errors
/// [`NotClosed`] when opposite sides are not divided alike.
pub fn mesh(mesh: &mut Mesh, face: &FaceData, division: &Division) -> Result<(), NotClosed> {
    let uses = &face.loops[0];
    let side = |k: usize| division.along(uses[k]);
    let (bottom, right, mut top, mut left) = (side(0), side(1), side(2), side(3));
    top.reverse();
    left.reverse();
    if bottom.len() != top.len() || left.len() != right.len() {
        return Err(NotClosed("opposite sides divided apart".to_owned()));
    }
    let (ni, nj) = (bottom.len(), left.len());
    let mut ids = vec![vec![0u32; nj]; ni];
    for i in 0..ni {
        ids[i][0] = bottom[i];
        ids[i][nj - 1] = top[i];
    }
    ids[0].copy_from_slice(&left);
    ids[ni - 1].copy_from_slice(&right);
    if ni > 2 && nj > 2 {
        let inner = inner_points(mesh, face, division, &left, &bottom)?;
        for (i, row) in inner.into_iter().enumerate() {
            for (j, p) in row.into_iter().enumerate() {
                mesh.positions.push(p);
                ids[i + 1][j + 1] = mesh.positions.len() as u32 - 1;
            }
        }
    }
    let centre = face
        .whole()
        .map(|(patch, sides)| CellCentre::new(patch, &sides, uses, division));
    for i in 0..ni - 1 {
        for j in 0..nj - 1 {
            let quad = [ids[i][j], ids[i + 1][j], ids[i + 1][j + 1], ids[i][j + 1]];
            let exact = centre.as_ref().map(|c| c.at(i, j));
            split(mesh, quad, exact);
        }
    }
    Ok(())
}

/// Splits a quad along the diagonal that lies nearer to the exact middle of the cell, or along
/// the shorter one, and notes how far the middle is off.
fn split(mesh: &mut Mesh, [a, b, c, d]: [u32; 4], exact: Option<[f64; 3]>) {
    let p = |i: u32| mesh.positions[i as usize];
    let gap = |x: [f64; 3], y: [f64; 3]| (0..3).map(|k| (x[k] - y[k]).powi(2)).sum::<f64>();
    let (first, off) = match exact {
        Some(m) => {
            let normal = cell_normal(p(a), p(b), p(c), p(d));
            let off = |x: [f64; 3], y: [f64; 3]| {
                (0..3)
                    .map(|k| (0.5 * (x[k] + y[k]) - m[k]) * normal[k])
                    .sum::<f64>()
                    .abs()
            };
            let (ac, bd) = (off(p(a), p(c)), off(p(b), p(d)));
            (ac <= bd, ac.min(bd))
        }
        None => (gap(p(a), p(c)) <= gap(p(b), p(d)), 0.0),
    };
    mesh.deviation = mesh.deviation.max(off);
    if first {
        mesh.triangles.extend([[a, b, c], [a, c, d]]);
    } else {
        mesh.triangles.extend([[a, b, d], [b, c, d]]);
    }
}

/// Unit normal of a quad, from its diagonals.
fn cell_normal(a: [f64; 3], b: [f64; 3], c: [f64; 3], d: [f64; 3]) -> [f64; 3] {
    let ac = [0, 1, 2].map(|k| c[k] - a[k]);
    let bd = [0, 1, 2].map(|k| d[k] - b[k]);
    let n = cross(ac, bd);
    let l = (n[0] * n[0] + n[1] * n[1] + n[2] * n[2]).sqrt();
    if l > 0.0 { n.map(|x| x / l) } else { n }
}

/// Parameters of a grid's rows and columns on a patch.
struct CellCentre<'a> {
    patch: &'a Patch,
    first_along_u: bool,
    first: Vec<f64>,
    second: Vec<f64>,
}

impl<'a> CellCentre<'a> {
    fn new(patch: &'a Patch, sides: &[PatchSide; 4], uses: &[Use], division: &Division) -> Self {
        let lines = |k: usize| {
            let mut lines = division.lines(uses[k].edge).to_vec();
            if !runs_with(sides[k], uses[k]) {
                lines.reverse();
            }
            lines
        };
        CellCentre {
            patch,
            first_along_u: sides[0].along_u,
            first: lines(0),
            second: lines(1),
        }
    }

    fn at(&self, i: usize, j: usize) -> [f64; 3] {
        let a = 0.5 * (self.first[i] + self.first[i + 1]);
        let b = 0.5 * (self.second[j] + self.second[j + 1]);
        if self.first_along_u {
            self.patch.jet(a, b).p
        } else {
            self.patch.jet(b, a).p
        }
    }
}

/// Points inside the grid, row by row along the first edge.
fn inner_points(
    mesh: &Mesh,
    face: &FaceData,
    division: &Division,
    left: &[u32],
    bottom: &[u32],
) -> Result<Vec<Vec<[f64; 3]>>, NotClosed> {
    if let Some((patch, sides)) = face.whole() {
        let cells = CellCentre::new(patch, &sides, &face.loops[0], division);
        return Ok(patch_points(&cells));
    }
    let frame = match &face.surface {
        Surface::Torus { frame, .. }
        | Surface::Cylinder { frame, .. }
        | Surface::Cone { frame, .. } => frame,
        _ => return Err(NotClosed("a grid on an unknown surface".to_owned())),
    };
    // One direction turns about the axis: the meridian is turned to every place of the other.
    let p = |v: u32| mesh.positions[v as usize];
    let turns = |chain: &[u32]| angles(frame, chain.iter().map(|&v| p(v)));
    let (by_bottom, by_left) = (turns(bottom), turns(left));
    let spread = |a: &[f64]| a.iter().fold(0.0f64, |m, x| m.max((x - a[0]).abs()));
    let inside = |n: usize| 1..n - 1;
    Ok(if spread(&by_bottom) > spread(&by_left) {
        inside(bottom.len())
            .map(|i| {
                inside(left.len())
                    .map(|j| turned(frame, p(left[j]), by_bottom[i] - by_bottom[0]))
                    .collect()
            })
            .collect()
    } else {
        inside(bottom.len())
            .map(|i| {
                inside(left.len())
                    .map(|j| turned(frame, p(bottom[i]), by_left[j] - by_left[0]))
                    .collect()
            })
            .collect()
    })
}

fn patch_points(cells: &CellCentre<'_>) -> Vec<Vec<[f64; 3]>> {
    let (a, b) = (&cells.first, &cells.second);
    let inside = |v: &[f64]| v[1..v.len() - 1].to_vec();
    let (a, b) = (inside(a), inside(b));
    if cells.first_along_u {
        a.iter()
            .map(|&u| {
                let section = cells.patch.section(u);
                b.iter().map(|&v| section.jet(v).p).collect()
            })
            .collect()
    } else {
        let mut rows = vec![Vec::with_capacity(b.len()); a.len()];
        for &u in &b {
            let section = cells.patch.section(u);
            for (row, &v) in rows.iter_mut().zip(&a) {
                row.push(section.jet(v).p);
            }
        }
        rows
    }
}

/// Angles about the frame's axis, continued without jumps.
fn angles(frame: &Frame, points: impl Iterator<Item = [f64; 3]>) -> Vec<f64> {
    let mut out: Vec<f64> = Vec::new();
    for p in points {
        let d = truck_modeling::Point3::new(p[0], p[1], p[2]) - frame.origin;
        let mut angle = d.dot(frame.y()).atan2(d.dot(frame.x));
        if let Some(&before) = out.last() {
            while angle - before > std::f64::consts::PI {
                angle -= std::f64::consts::TAU;
            }
            while angle - before < -std::f64::consts::PI {
                angle += std::f64::consts::TAU;
            }
        }
        out.push(angle);
    }
    out
}

fn turned(frame: &Frame, p: [f64; 3], angle: f64) -> [f64; 3] {
    let d = truck_modeling::Point3::new(p[0], p[1], p[2]) - frame.origin;
    let (x, y, z) = (d.dot(frame.x), d.dot(frame.y()), d.dot(frame.z));
    let (s, c) = angle.sin_cos();
    let q = frame.origin + frame.x * (x * c - y * s) + frame.y() * (x * s + y * c) + frame.z * z;
    [q.x, q.y, q.z]
}
