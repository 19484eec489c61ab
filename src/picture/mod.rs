//! A picture of the whole creature: triangles to a PNG, in software.
//!
//! A z-buffer at three samples a pixel either way, drawn in bands of rows; many lamps over the
//! creature with a depth map each, so that corners, gaps and the ground grow dark softly; thin
//! lines where depth, normal or piece changes, so that gaps between sections read well.
//!
//! Guaranteed: the same input gives the same bytes, with any number of threads; corners that are
//! no numbers or absurdly far off are left out. Not guaranteed: colours are chosen by eye, not
//! measured from woods, and the picture is no drawing to measure in.

mod cover;
mod encode;
mod grain;
mod ground;
mod lamp;
mod line;
mod ramp;
mod scene;
mod shade;
mod smooth;
mod tone;
mod view;

#[cfg(test)]
mod tests;

use rayon::prelude::*;

use crate::brep::shape::FaceKind;
use crate::mesh::Mesh;

pub use encode::is_ours;
pub use png::EncodingError;
pub use ramp::ramp;
pub use tone::Wood;
pub use view::{Size, View};

/// A body to be drawn.
#[derive(Debug, Clone, Copy)]
pub struct Piece<'a> {
    /// Triangles, counter-clockwise from outside: only outsides are drawn. Lengths in mm.
    pub mesh: &'a Mesh,
    /// Kind of each exact face, which tints it a little; empty for bodies without.
    pub kinds: &'a [FaceKind],
    /// Rows of the 4 x 4 matrix (column vectors) of the rigid motion into the creature, such as
    /// [`crate::brep::pose::Pose::matrix`].
    pub pose: [[f64; 4]; 4],
    /// What it is made of.
    pub wood: Wood,
    /// A share of the colour scale at each corner of the mesh, 0 dark to 1 pale, in the place of wood.
    pub shares: Option<&'a [f32]>,
}

/// A finished picture.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Picture {
    /// Columns and rows.
    pub size: Size,
    /// Red, green and blue of each pixel (sRGB), row by row from the top left.
    pub pixels: Vec<[u8; 3]>,
}

/// Rows of a band (a guess; only pace depends on it). A constant of its own, so that bands do not
/// follow the number of threads.
const BAND: usize = 16;

/// Draws pieces: all of them, seen without perspective, in the middle of a light ground.
pub fn picture(pieces: &[Piece], view: &View, size: Size) -> Picture {
    let scene = scene::Scene::of(pieces);
    let camera = view::Camera::fit(&scene.points, view, size);
    let lamps = lamp::Lamps::of(&scene, view);
    let seen = shade::Seen::of(pieces, &scene, &camera, &lamps);
    let bands: Vec<Vec<[u8; 3]>> = (0..size.height().div_ceil(BAND))
        .into_par_iter()
        .map(|band| {
            let first = band * BAND;
            seen.rows(first..size.height().min(first + BAND))
        })
        .collect();
    Picture {
        size,
        pixels: bands.concat(),
    }
}
