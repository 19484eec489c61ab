//! Meshes as short text: places in 16 bits of their box, numbers in base64 (RFC 4648, section 4).

use serde::Serialize;

use super::kinds::group;
use crate::brep::shape::FaceKind;
use crate::mesh::Mesh;

/// Steps of a coordinate from end to end of the box.
const STEPS: f64 = 65535.0;
/// Steps of a wall from nothing to the most.
const WALL_STEPS: f64 = 255.0;
/// The alphabet of RFC 4648, table 1.
const ALPHABET: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

/// A mesh as text.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PackedMesh {
    /// Least coordinates, mm.
    pub low: [f64; 3],
    /// What a step of each coordinate is, mm: a place lies within half a step of the mesh's.
    pub step: [f64; 3],
    /// x, y and z of each corner in steps, 16 bits each, low byte first.
    pub places: String,
    /// Corners of each triangle, counter-clockwise from outside, 32 bits each where `wide`, else 16.
    pub corners: String,
    /// Whether corners take 32 bits.
    pub wide: bool,
    /// Triangles of each group of faces, which follow each other.
    pub runs: Vec<usize>,
    /// Wall at each corner in 255 steps to the most, 8 bits each.
    pub walls: String,
}

impl PackedMesh {
    /// Packs a mesh, whose triangles come in the order of their groups of faces, with the wall at each
    /// corner, of at most `most` mm.
    pub fn of(mesh: &Mesh, kinds: &[FaceKind], walls: &[f32], most: f64) -> Self {
        let (low, high) = mesh.bounds();
        let step: [f64; 3] = std::array::from_fn(|k| (high[k] - low[k]) / STEPS);
        let steps = |p: &[f64; 3], k: usize| ((p[k] - low[k]) / step[k]).round() as u16;
        let places: Vec<u8> = mesh
            .positions
            .iter()
            .flat_map(|p| [0, 1, 2].map(|k| steps(p, k).to_le_bytes()))
            .flatten()
            .collect();
        let wide = mesh.positions.len() > usize::from(u16::MAX) + 1;
        let groups: Vec<usize> = mesh
            .face
            .iter()
            .map(|&f| kinds.get(f as usize).map_or(0, |kind| group(*kind)))
            .collect();
        let mut order: Vec<usize> = (0..mesh.triangles.len()).collect();
        order.sort_by_key(|&t| groups[t]);
        let mut runs = vec![0; super::kinds::GROUPS.len()];
        groups.iter().for_each(|&g| runs[g] += 1);
        let corners = order.iter().flat_map(|&t| mesh.triangles[t]);
        let corners: Vec<u8> = if wide {
            corners.flat_map(u32::to_le_bytes).collect()
        } else {
            corners.flat_map(|c| (c as u16).to_le_bytes()).collect()
        };
        PackedMesh {
            low,
            step,
            places: base64(&places),
            corners: base64(&corners),
            wide,
            runs,
            walls: base64(
                &walls
                    .iter()
                    .map(|w| step_of(f64::from(*w), most))
                    .collect::<Vec<u8>>(),
            ),
        }
    }
}

/// A wall in steps; what is no number counts as the most.
fn step_of(wall: f64, most: f64) -> u8 {
    let share = wall / most;
    let share = if share.is_finite() {
        share.clamp(0.0, 1.0)
    } else {
        1.0
    };
    (share * WALL_STEPS).round() as u8
}

/// Bytes as base64.
pub(super) fn base64(bytes: &[u8]) -> String {
    let mut out = String::with_capacity(bytes.len().div_ceil(3) * 4);
    for chunk in bytes.chunks(3) {
        let byte = |k: usize| u32::from(chunk.get(k).copied().unwrap_or(0));
        let bits = byte(0) << 16 | byte(1) << 8 | byte(2);
        for k in 0..4 {
            if k <= chunk.len() {
                let letter = (bits >> (18 - 6 * k)) & 63;
                out.push(char::from(ALPHABET[letter as usize]));
            } else {
                out.push('=');
            }
        }
    }
    out
}
