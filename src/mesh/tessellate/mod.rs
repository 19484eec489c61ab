//! From an exact half to a closed triangle mesh within a stated deviation.
//!
//! Every edge is divided once and its points are shared by both faces, so the mesh is closed
//! without welding. Four-sided faces (skin, rim, necks, flares, walls of holes) become grids whose
//! lines continue over shared edges; planes and spheres become constrained Delaunay meshes.
//!
//! Guaranteed by construction: closed and oriented in f64. The deviation is planned from second
//! derivatives at sampled places, then measured on every sphere triangle, grid cell and arc, and
//! the mesh is made anew until it holds; between those places it is sampled by tests, not proven.
//! What float32 rounding does is for [`super::inspect`].

mod bow;
mod division;
mod foot;
mod grid;
mod plane;
mod sphere;
mod spline;
mod stretch;
mod topology;
mod trimmed;

use crate::brep::NotClosed;
use crate::brep::shape::{Half, Surface};

use division::Division;
use topology::Topology;

/// Share of the deviation that the division of one curve direction may use: the errors of two
/// directions add up in a grid cell.
const SHARE: f64 = 0.5;
/// Times that the mesh is made anew when the measured deviation is above the asked one.
const TRIES: usize = 5;

/// Deviations that are meshed, mm: below, a half would have millions of triangles; above, the
/// body is not to be recognised.
pub const DEVIATIONS: std::ops::RangeInclusive<f64> = 5e-4..=10.0;

/// A closed triangle mesh of one half, mm.
#[derive(Debug, Clone, Default)]
pub struct Mesh {
    /// Corner positions.
    pub positions: Vec<[f64; 3]>,
    /// Corners of each triangle, counter-clockwise from outside.
    pub triangles: Vec<[u32; 3]>,
    /// Index of the exact face (in the order of `solid.face_iter()`) each triangle lies on.
    pub face: Vec<u32>,
    /// Largest distance of the mesh from the exact faces that was measured on the way, mm: every
    /// triangle of a sphere, the middle of every grid cell, the sagitta of every divided arc.
    pub deviation: f64,
}

impl Mesh {
    /// Volume by the divergence theorem, mm3.
    pub fn volume(&self) -> f64 {
        let p = |i: u32| self.positions[i as usize];
        let six: f64 = self
            .triangles
            .iter()
            .map(|t| {
                let (a, b, c) = (p(t[0]), p(t[1]), p(t[2]));
                a[0] * (b[1] * c[2] - b[2] * c[1]) - a[1] * (b[0] * c[2] - b[2] * c[0])
                    + a[2] * (b[0] * c[1] - b[1] * c[0])
            })
            .sum();
        six / 6.0
    }

    /// Least and greatest coordinates.
    pub fn bounds(&self) -> ([f64; 3], [f64; 3]) {
        let (mut lo, mut hi) = ([f64::INFINITY; 3], [f64::NEG_INFINITY; 3]);
        for p in &self.positions {
            for c in 0..3 {
                lo[c] = lo[c].min(p[c]);
                hi[c] = hi[c].max(p[c]);
            }
        }
        (lo, hi)
    }
}

/// Meshes a half so that no point lies further than `deviation` (mm) from the exact faces.
///
/// # Errors
/// [`NotClosed`] when the deviation is not within [`DEVIATIONS`], or a face is not of a form the
/// mesher knows: a fault of this program.
pub fn tessellate(half: &Half, deviation: f64) -> Result<Mesh, NotClosed> {
    if !DEVIATIONS.contains(&deviation) {
        return Err(NotClosed(format!(
            "a deviation of {deviation} mm is not within {} to {} mm",
            DEVIATIONS.start(),
            DEVIATIONS.end()
        )));
    }
    let topology = Topology::of(half)?;
    let mut aim = deviation;
    for _ in 0..TRIES {
        let mesh = mesh(&topology, aim)?;
        if mesh.deviation <= deviation {
            return Ok(mesh);
        }
        // The bound from sampled derivatives was too low somewhere: aim finer by what was missed.
        aim *= 0.9 * deviation / mesh.deviation;
    }
    Err(NotClosed(format!(
        "the mesh does not come within {deviation} mm of the solid"
    )))
}

fn mesh(topology: &Topology, aim: f64) -> Result<Mesh, NotClosed> {
    let mut division = Division::plan(topology, aim)?;
    let mut mesh = Mesh {
        positions: topology.points.clone(),
        ..Mesh::default()
    };
    division.place(topology, &mut mesh.positions);
    mesh.deviation = division.sagitta(topology);
    for (index, face) in topology.faces.iter().enumerate() {
        let before = mesh.triangles.len();
        match &face.surface {
            Surface::Plane(frame) => plane::mesh(&mut mesh, face, &division, frame)?,
            Surface::Sphere { frame, radius } => {
                sphere::mesh(&mut mesh, face, &division, frame.origin, *radius, aim)?;
            }
            _ => match face.part() {
                Some(patch) => trimmed::mesh(&mut mesh, face, patch, &division, aim)?,
                None => grid::mesh(&mut mesh, face, &division)?,
            },
        }
        let made = mesh.triangles.len() - before;
        mesh.face.extend(std::iter::repeat_n(index as u32, made));
    }
    Ok(mesh)
}
