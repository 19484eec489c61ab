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
    /// Triangles of each group of faces, which follow each other: of each group those that the first
    /// set-up cuts, then those of the second.
    pub runs: Vec<usize>,
    /// Wall at each corner in 255 steps to the most, 8 bits each.
    pub walls: String,
    /// What the cutters leave at each corner in the first and the second set-up, as [`left_sign`] writes
    /// it, 16 bits each, low byte first; nothing when it was not measured.
    pub left: Option<[String; 2]>,
}

/// What was measured of a mesh.
#[derive(Debug, Clone, Copy)]
pub struct Measures<'a> {
    /// Of each triangle, whether the first set-up cuts it.
    pub first: &'a [bool],
    /// Wall at each corner, mm.
    pub walls: &'a [f32],
    /// The most that is told apart, mm.
    pub most: f64,
    /// What is left at each corner in the first and the second set-up, as [`left_sign`] writes it.
    pub left: Option<[&'a [u16]; 2]>,
}

/// Steps of what is left to a mm.
const LEFT_STEPS: f64 = 1000.0;
/// The most that is written.
const MOST_LEFT: u16 = 0x3fff;
/// Sign of a place that no cutter sees.
const HIDDEN: u16 = 0x4000;
/// Sign of a place where more is left than its limit.
const OVER: u16 = 0x8000;

/// What is left at a place, mm, or what stands over a hidden one, in thousandths with signs above.
pub fn left_sign(mm: f64, over: bool, hidden: bool) -> u16 {
    let steps = (mm * LEFT_STEPS).round().clamp(0.0, f64::from(MOST_LEFT)) as u16;
    steps | if over { OVER } else { 0 } | if hidden { HIDDEN } else { 0 }
}

impl PackedMesh {
    /// Packs a mesh, whose triangles come in the order of their groups of faces, with what was measured.
    pub fn of(mesh: &Mesh, kinds: &[FaceKind], measures: &Measures<'_>) -> Self {
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
            .enumerate()
            .map(|(t, &f)| {
                let own = kinds.get(f as usize).map_or(0, |kind| group(*kind));
                let first = measures.first.get(t).copied().unwrap_or(false);
                2 * own + usize::from(!first)
            })
            .collect();
        let mut order: Vec<usize> = (0..mesh.triangles.len()).collect();
        order.sort_by_key(|&t| groups[t]);
        let mut runs = vec![0; 2 * super::kinds::GROUPS.len()];
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
                &measures
                    .walls
                    .iter()
                    .map(|w| step_of(f64::from(*w), measures.most))
                    .collect::<Vec<u8>>(),
            ),
            left: measures.left.map(|both| both.map(words)),
        }
    }
}

/// Numbers of 16 bits as text.
fn words(all: &[u16]) -> String {
    let bytes: Vec<u8> = all.iter().flat_map(|n| n.to_le_bytes()).collect();
    base64(&bytes)
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
