//! Grain of a board: year rings round a pith far below, and fibres along x.

use nalgebra::Point3;

/// Width of a year ring, mm (habit).
const RING: f64 = 3.2;
/// Distance of the pith from the middle of a piece, mm: a board sawn from a thick tree (by eye).
const PITH: f64 = 55.0;

/// Share of late wood, 0 to 1, at a place of a piece's own frame (mm). Each `seed` is a board of
/// its own. `pixel` is the width of a pixel in mm: rings that are too fine to be seen fade. All
/// other numbers here are by eye: the wood's look, not its measures.
pub(super) fn grain(p: &Point3<f64>, seed: u32, pixel: f64) -> f32 {
    let turn = f64::from(hash(seed, 1, 2, 3)) * 0.7 - 0.35;
    let (y, z) = (p.y + PITH * turn, p.z + PITH);
    let bend = 5.0 * (noise([p.x / 70.0, p.y / 40.0, p.z / 40.0], seed) - 0.5)
        + 1.2 * (noise([p.x / 18.0, p.y / 9.0, p.z / 9.0], seed ^ 77) - 0.5);
    let phase = (y * y + z * z).sqrt() / RING + bend;
    let t = phase - floor(phase);
    // Late wood grows slowly dark and ends sharply.
    let ring = if t < 0.85 {
        let s = t / 0.85;
        s * s * s
    } else {
        1.0 - smooth((t - 0.85) / 0.15)
    };
    let fibre = noise([p.x / 16.0, p.y / 0.5, p.z / 0.5], seed ^ 4099);
    let visible = (RING / (6.0 * pixel.max(1e-9))).min(1.0);
    let fine = (0.5 / pixel.max(1e-9)).min(1.0);
    let value = 0.35 + visible * (0.62 * ring - 0.22) + fine * 0.35 * (fibre - 0.5);
    value.clamp(0.0, 1.0) as f32
}

/// How much lighter or darker a board is than others of its wood, as a factor of its light (by
/// eye: enough to tell neighbours apart).
pub(super) fn board(seed: u32) -> f32 {
    0.88 + 0.16 * hash(seed, 5, 6, 7)
}

fn smooth(t: f64) -> f64 {
    t * t * (3.0 - 2.0 * t)
}

/// By casts: without newer instructions, `f64::floor` is a call, and grain takes a dozen.
fn floor(v: f64) -> f64 {
    let near = v as i64 as f64;
    if near > v { near - 1.0 } else { near }
}

/// Value noise: random values 0 to 1 on the whole numbers, smoothly joined.
fn noise(p: [f64; 3], seed: u32) -> f64 {
    let whole = p.map(floor);
    let cell = whole.map(|v| v as i64 as u32);
    let [x, y, z] = [0, 1, 2].map(|k| smooth(p[k] - whole[k]));
    let at = |dx: u32, dy: u32, dz: u32| {
        let [i, j, k] = [
            cell[0].wrapping_add(dx),
            cell[1].wrapping_add(dy),
            cell[2].wrapping_add(dz),
        ];
        f64::from(hash(seed, i, j, k))
    };
    let mix = |a: f64, b: f64, t: f64| a + (b - a) * t;
    let line = |dy, dz| mix(at(0, dy, dz), at(1, dy, dz), x);
    mix(
        mix(line(0, 0), line(1, 0), y),
        mix(line(0, 1), line(1, 1), y),
        z,
    )
}

/// A number 0 to 1 that looks random: multipliers of common integer hashes (from memory), where any
/// odd numbers of many mixed bits would do.
fn hash(seed: u32, i: u32, j: u32, k: u32) -> f32 {
    let mut h = seed.wrapping_mul(0x9E37_79B1);
    for v in [i, j, k] {
        h = (h ^ v).wrapping_mul(0x85EB_CA6B);
        h ^= h >> 15;
    }
    h = h.wrapping_mul(0xC2B2_AE35);
    ((h ^ (h >> 16)) >> 8) as f32 / 16_777_216.0
}
