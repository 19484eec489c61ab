//! The ground the creature lies on: the background, darker where the creature keeps light off.

use nalgebra::{Point3, Vector3};
use rayon::prelude::*;

use super::lamp::Lamps;
use super::scene::Scene;
use super::view::{Camera, SAMPLES};

/// Linear light of the background (by eye: a warm white).
const BACKGROUND: [f32; 3] = [0.93, 0.915, 0.885];
/// How dark the ground grows where no light reaches it (by eye).
const SHADOW: f32 = 0.8;
/// Pixels from one looked-up place to the next: shadows on the ground are soft, so the light
/// between is interpolated, which saves most of the time of the whole picture (by eye).
const CELL: usize = 4;
/// Times that the light is smoothed over its neighbours: single lamps would show as steps (by eye).
const SMOOTHED: usize = 2;
/// Least sine of the elevation at which the ground is seen (a guess: below, it is a sliver far off).
const LEAST_SINE: f64 = 0.05;

/// Light on the ground over the whole picture.
#[derive(Debug, Clone)]
pub(super) struct Ground {
    /// Places in a row; 0 where no ground is seen.
    columns: usize,
    light: Vec<f32>,
}

impl Ground {
    /// Level ground under the lowest point of the scene.
    pub fn of(scene: &Scene, camera: &Camera, lamps: &Lamps) -> Ground {
        let eye = camera.eye();
        if eye.z < LEAST_SINE || scene.points.is_empty() {
            return Ground {
                columns: 0,
                light: Vec::new(),
            };
        }
        let height = scene.lowest();
        let cell = CELL * SAMPLES;
        let [columns, rows] = camera.samples.map(|n| n.div_ceil(cell) + 1);
        let light: Vec<f32> = (0..columns * rows)
            .into_par_iter()
            .with_min_len(256)
            .map(|at| {
                let place = [at % columns, at / columns].map(|n| (n * cell) as f64);
                let near = camera.point(place, 0.0);
                let point: Point3<f64> = near + eye * ((height - near.z) / eye.z);
                lamps.on_ground(&point)
            })
            .collect();
        let light = (0..SMOOTHED).fold(light, |light, _| smoothed(&light, columns));
        Ground { columns, light }
    }

    /// Colour at a place in samples.
    pub fn colour(&self, [x, y]: [f64; 2]) -> Vector3<f32> {
        let background = Vector3::from(BACKGROUND);
        if self.columns == 0 {
            return background;
        }
        let at = [x, y].map(|v| v / (CELL * SAMPLES) as f64);
        let whole = at.map(|v| v as usize);
        let [right, down] = [0, 1].map(|k| (at[k] - whole[k] as f64) as f32);
        let row = |y: usize| {
            let first = y * self.columns + whole[0];
            self.light[first] * (1.0 - right) + self.light[first + 1] * right
        };
        let lit = row(whole[1]) * (1.0 - down) + row(whole[1] + 1) * down;
        background * (1.0 - SHADOW * (1.0 - lit))
    }
}

/// Each place as the mean of itself and its neighbours, weighted 1 2 1 either way.
fn smoothed(light: &[f32], columns: usize) -> Vec<f32> {
    let rows = light.len() / columns;
    (0..light.len())
        .map(|at| {
            let (x, y) = (at % columns, at / columns);
            let row = |y: usize| {
                let left = light[y * columns + x.saturating_sub(1)];
                let right = light[y * columns + (x + 1).min(columns - 1)];
                (left + 2.0 * light[y * columns + x] + right) / 4.0
            };
            (row(y.saturating_sub(1)) + 2.0 * row(y) + row((y + 1).min(rows - 1))) / 4.0
        })
        .collect()
}
