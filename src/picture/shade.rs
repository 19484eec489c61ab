//! Bands of rows: what each sample sees, and the colours of their pixels.

use std::ops::Range;

use nalgebra::{Matrix4, Vector3};
use rayon::prelude::*;

use super::cover::cover;
use super::encode::byte;
use super::grain::{board, grain};
use super::ground::Ground;
use super::lamp::Lamps;
use super::line::{NOTHING, REACH, Sample, line};
use super::ramp::{ramp, tone};
use super::scene::{Scene, matrix};
use super::view::{Camera, SAMPLES};
use super::{BAND, Piece};

/// Linear light of lines: a dark brown (by eye).
const INK: [f32; 3] = [0.030, 0.016, 0.010];
/// Jump of depth that makes a line: in samples, and at least this much in mm (by eye).
const STEP: (f64, f64) = (5.0, 0.5);
/// Shine of waxed wood under the key light, and its exponent (by eye).
const SHINE: (f32, i32) = (0.06, 24);

/// A facet in the picture.
#[derive(Debug, Clone, Copy)]
struct Flat {
    /// Columns and rows in samples.
    at: [[f64; 2]; 3],
    depth: [f64; 3],
}

/// Everything that bands are drawn from.
pub(super) struct Seen<'a> {
    scene: &'a Scene,
    camera: &'a Camera,
    lamps: &'a Lamps,
    /// Early and late wood of each piece; paint has no grain.
    tones: Vec<([Vector3<f32>; 2], bool)>,
    /// From the creature into each piece's own frame.
    own: Vec<Matrix4<f64>>,
    flats: Vec<Flat>,
    /// Facets that may be seen in each band.
    bands: Vec<Vec<u32>>,
    ground: Ground,
    /// The colour scale.
    ramp: Vec<[f32; 3]>,
}

/// A shaded sample that its neighbours in the pixel may share.
struct Shaded {
    piece: u32,
    normal: Vector3<f32>,
    colour: Vector3<f32>,
}

/// Early and late wood of a piece, and whether it has grain.
fn tones((index, piece): (u32, &Piece)) -> ([Vector3<f32>; 2], bool) {
    let has_grain = piece.wood.has_grain();
    let factor = if has_grain { board(index) } else { 1.0 };
    (piece.wood.tones().map(|t| t * factor), has_grain)
}

impl<'a> Seen<'a> {
    /// Projects the facets and sorts those turned to the eye into bands.
    pub fn of(
        pieces: &[Piece],
        scene: &'a Scene,
        camera: &'a Camera,
        lamps: &'a Lamps,
    ) -> Seen<'a> {
        let flats: Vec<Flat> = scene
            .facets
            .par_iter()
            .map(|facet| {
                let seen = scene.corners(facet).map(|p| camera.sees(&p));
                Flat {
                    at: seen.map(|[x, y, _]| [x, y]),
                    depth: seen.map(|p| p[2]),
                }
            })
            .collect();
        let tall = BAND * SAMPLES;
        let mut bands = vec![Vec::new(); camera.samples[1].div_ceil(tall)];
        for (index, flat) in flats.iter().enumerate() {
            let [a, b, c] = flat.at;
            let area = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
            // Rows grow downward, so counter-clockwise from outside is negative.
            if area >= 0.0 {
                continue;
            }
            let (top, bottom) = (a[1].min(b[1]).min(c[1]), a[1].max(b[1]).max(c[1]));
            let reach = REACH as f64 + 1.0;
            let last = bands.len() - 1;
            let band = |y: f64| ((y / tall as f64).max(0.0) as usize).min(last);
            for band in &mut bands[band(top - reach)..=band(bottom + reach)] {
                band.push(index as u32);
            }
        }
        Seen {
            scene,
            camera,
            lamps,
            tones: (0..).zip(pieces).map(tones).collect(),
            own: pieces
                .iter()
                .map(|p| matrix(&p.pose).try_inverse().unwrap_or_default())
                .collect(),
            flats,
            bands,
            ground: Ground::of(scene, camera, lamps),
            ramp: ramp(),
        }
    }

    /// Pixels of some rows of one band.
    pub fn rows(&self, rows: Range<usize>) -> Vec<[u8; 3]> {
        let first = rows.start * SAMPLES;
        let samples = self.samples(first, rows.end * SAMPLES);
        let columns = self.camera.samples[0];
        let wide = columns + 2 * REACH;
        let mut pixels = Vec::with_capacity(rows.len() * columns / SAMPLES);
        for row in 0..rows.len() {
            for column in 0..columns / SAMPLES {
                let corner = (row * SAMPLES + REACH) * wide + column * SAMPLES + REACH;
                let place = [column * SAMPLES, first + row * SAMPLES];
                pixels.push(self.pixel(&samples, wide, corner, place));
            }
        }
        pixels
    }

    /// What the samples of some rows see, with a border of the lines' reach on every side.
    fn samples(&self, first: usize, end: usize) -> Vec<Sample> {
        let columns = self.camera.samples[0];
        let wide = columns + 2 * REACH;
        let mut samples = vec![Sample::GROUND; wide * (end - first + 2 * REACH)];
        let above = first.saturating_sub(REACH);
        let band = &self.bands[first / (BAND * SAMPLES)];
        for &index in band {
            let flat = &self.flats[index as usize];
            let facet = &self.scene.facets[index as usize];
            let (normals, shares) = (&facet.normals, facet.shares.unwrap_or([0.0; 3]));
            cover(flat.at, above..end + REACH, columns, |x, y, w| {
                let depth = (0..3).map(|k| w[k] * flat.depth[k]).sum::<f64>() as f32;
                let sample = &mut samples[(y + REACH - first) * wide + x + REACH];
                if depth > sample.depth {
                    let w = w.map(|w| w as f32);
                    *sample = Sample {
                        facet: index,
                        depth,
                        normal: normals[0] * w[0] + normals[1] * w[1] + normals[2] * w[2],
                        share: (0..3).map(|k| shares[k] * w[k]).sum(),
                    };
                }
            });
        }
        samples
    }

    /// The mean of a pixel's samples.
    fn pixel(&self, samples: &[Sample], wide: usize, corner: usize, place: [usize; 2]) -> [u8; 3] {
        let step = (STEP.0 / self.camera.scale).max(STEP.1) as f32;
        let mut sum = Vector3::zeros();
        let mut last: Option<Shaded> = None;
        for row in 0..SAMPLES {
            for column in 0..SAMPLES {
                let at = corner + row * wide + column;
                let sample = &samples[at];
                let centre = [place[0] + column, place[1] + row].map(|n| n as f64 + 0.5);
                if sample.facet == NOTHING {
                    sum += self.ground.colour(centre);
                    continue;
                }
                let near = [at - REACH, at + REACH, at - REACH * wide, at + REACH * wide];
                let ink = line(sample, near.map(|n| &samples[n]), &self.scene.facets, step);
                let colour = self.shared(&mut last, sample, centre);
                sum += colour * (1.0 - ink) + Vector3::from(INK) * ink;
            }
        }
        let mean = sum / (SAMPLES * SAMPLES) as f32;
        [0, 1, 2].map(|k| byte(mean[k]))
    }

    /// Colour of a sample, that of the last one where they are much the same: light changes
    /// slowly, and looking it up is the dearest step. Much the same is by eye: within 11 degrees.
    fn shared(&self, last: &mut Option<Shaded>, sample: &Sample, centre: [f64; 2]) -> Vector3<f32> {
        let facet = &self.scene.facets[sample.facet as usize];
        let normal = sample.normal.try_normalize(0.0).unwrap_or_default();
        if facet.shares.is_some() {
            return self.scaled(sample.share, &normal);
        }
        match last {
            Some(s) if s.piece == facet.piece && s.normal.dot(&normal) > 0.98 => s.colour,
            _ => {
                let colour = self.colour(sample, normal, centre);
                *last = Some(Shaded {
                    piece: facet.piece,
                    normal,
                    colour,
                });
                colour
            }
        }
    }

    /// A tone that is read off a scale keeps its light, whichever way it faces.
    fn scaled(&self, share: f32, normal: &Vector3<f32>) -> Vector3<f32> {
        let facing = self.camera.eye().map(|c| c as f32).dot(normal).max(0.0);
        Vector3::from(tone(&self.ramp, share)) * (0.84 + 0.16 * facing)
    }

    fn colour(&self, sample: &Sample, normal: Vector3<f32>, centre: [f64; 2]) -> Vector3<f32> {
        let facet = &self.scene.facets[sample.facet as usize];
        let piece = facet.piece as usize;
        let point = self.camera.point(centre, f64::from(sample.depth));
        let normal = normal.map(f64::from);
        let light = self.lamps.at(&point, &normal);
        let ([early, late], has_grain) = self.tones[piece];
        let share = if has_grain {
            let own = self.own[piece].transform_point(&point);
            grain(&own, facet.piece, SAMPLES as f64 / self.camera.scale)
        } else {
            0.0
        };
        let colour = facet.tint.on(early + (late - early) * share);
        let half = (self.lamps.key + self.camera.eye()).normalize();
        let shine = (half.dot(&normal).max(0.0) as f32).powi(SHINE.1) * SHINE.0 * light.key;
        colour * light.all + Vector3::repeat(shine)
    }
}
