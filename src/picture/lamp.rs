//! Lamps over the creature, each with a depth map of what it reaches.
//!
//! The sky is many lamps spread evenly over the half sphere; the key light is a few close
//! together, so its shadows have soft edges. What few lamps reach is dark: corners, gaps and the
//! ground below the creature.

use std::f64::consts::{PI, TAU};

use nalgebra::{Point3, Vector3};
use rayon::prelude::*;

use super::cover::cover;
use super::scene::Scene;
use super::view::View;
use crate::clear::perpendicular;

/// Lamps of the sky and of the key light (by eye: fewer show as steps).
const SKY: usize = 40;
const KEY: usize = 8;
/// Light of the whole sky and of the key light on a face turned to it (by eye).
const SKY_LIGHT: f32 = 0.62;
const KEY_LIGHT: f32 = 0.62;
/// Light from below, off the ground (by eye).
const BOUNCE: f32 = 0.13;
/// Half the angle of the key light's cone, rad (by eye: how soft its shadows are).
const SPREAD: f64 = 0.13;
/// Cells of a depth map (by eye: fewer show in shadows).
const CELLS: f64 = 200_000.0;
/// A point is lifted off its surface by this many cells before it is looked up, so that the
/// steps of the map do not shade the surface itself (by eye).
const LIFT: f64 = 1.2;

/// A lamp infinitely far off.
#[derive(Debug, Clone)]
struct Lamp {
    /// Towards the lamp.
    to: Vector3<f64>,
    light: f32,
    across: [Vector3<f64>; 2],
    low: [f64; 2],
    /// Cells to a mm.
    scale: f64,
    cells: [usize; 2],
    /// Along `to`, of the nearest surface; the farthest where there is none.
    depth: Vec<f32>,
}

/// All lamps.
#[derive(Debug, Clone)]
pub(super) struct Lamps {
    lamps: Vec<Lamp>,
    /// Towards the middle of the key light.
    pub key: Vector3<f64>,
    /// What the whole sky and key light give level ground.
    ground: f32,
}

/// Light at a point.
#[derive(Debug, Clone, Copy)]
pub(super) struct Light {
    /// From all lamps.
    pub all: f32,
    /// Share of the key light that reaches it.
    pub key: f32,
}

impl Lamps {
    /// Lamps for a view: the key light stands to the left of the eye and above (by eye).
    pub fn of(scene: &Scene, view: &View) -> Lamps {
        let [right, _, eye] = view.axes();
        let level = Vector3::new(eye.x, eye.y, 0.0);
        let forward = level
            .try_normalize(1e-6)
            .unwrap_or(Vector3::new(-right.y, right.x, 0.0));
        let key = (forward * 0.42 - right * 0.62 + Vector3::z() * 0.95).normalize();
        let sky = (0..SKY).map(|k| (sky_direction(k), SKY_LIGHT * 2.0 / SKY as f32));
        let near = (0..KEY).map(|k| (key_direction(k, key), KEY_LIGHT / KEY as f32));
        let lamps: Vec<(Vector3<f64>, f32)> = near.chain(sky).collect();
        let ground = lamps.iter().map(|(to, light)| to.z as f32 * light).sum();
        let lamps = lamps
            .into_par_iter()
            .map(|(to, light)| Lamp::new(scene, to, light))
            .collect();
        Lamps { lamps, key, ground }
    }

    /// Light on a surface.
    pub fn at(&self, p: &Point3<f64>, normal: &Vector3<f64>) -> Light {
        // More of it on what faces down (by eye).
        let (mut all, mut key) = (BOUNCE * (0.75 - 0.25 * normal.z as f32), 0.0);
        for (k, lamp) in self.lamps.iter().enumerate() {
            let facing = lamp.to.dot(normal);
            if facing <= 0.0 {
                continue;
            }
            let share = lamp.reaches(p, normal);
            all += share * lamp.light * facing as f32;
            if k < KEY {
                key += share / KEY as f32;
            }
        }
        Light { all, key }
    }

    /// Share of the light that reaches level ground at a point.
    pub fn on_ground(&self, p: &Point3<f64>) -> f32 {
        let up = Vector3::z();
        let seen: f32 = self
            .lamps
            .iter()
            .map(|lamp| lamp.reaches(p, &up) * lamp.light * lamp.to.z as f32)
            .sum();
        seen / self.ground
    }
}

/// Directions that cover the half sphere evenly: a spiral of equal areas turned by the golden
/// angle.
fn sky_direction(k: usize) -> Vector3<f64> {
    let z = 1.0 - (k as f64 + 0.5) / SKY as f64;
    let turn = k as f64 * PI * (3.0 - 5f64.sqrt());
    let flat = (1.0 - z * z).sqrt();
    Vector3::new(flat * turn.cos(), flat * turn.sin(), z)
}

/// Directions in a cone round the key light.
fn key_direction(k: usize, key: Vector3<f64>) -> Vector3<f64> {
    let [u, v] = across(key);
    let turn = k as f64 * PI * (3.0 - 5f64.sqrt()) % TAU;
    let off = SPREAD * ((k as f64 + 0.5) / KEY as f64).sqrt();
    (key + (u * turn.cos() + v * turn.sin()) * off).normalize()
}

/// Two directions across a unit vector.
fn across(to: Vector3<f64>) -> [Vector3<f64>; 2] {
    let u = perpendicular(&to);
    [u, to.cross(&u)]
}

impl Lamp {
    fn new(scene: &Scene, to: Vector3<f64>, light: f32) -> Lamp {
        let across = across(to);
        let seen: Vec<[f64; 3]> = scene
            .points
            .iter()
            .map(|p| [across[0], across[1], to].map(|a| a.dot(&p.coords)))
            .collect();
        let (mut low, mut high) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        for p in &seen {
            for k in 0..2 {
                low[k] = low[k].min(p[k]);
                high[k] = high[k].max(p[k]);
            }
        }
        if seen.is_empty() {
            (low, high) = ([0.0; 2], [0.0; 2]);
        }
        let wide = [0, 1].map(|k| (high[k] - low[k]).max(1e-6));
        let scale = (CELLS / (wide[0] * wide[1])).sqrt();
        // A sliver seen end on would be one cell wide and endlessly long: 4 is a guess, only that
        // there is a bound matters.
        let scale = scale.min(CELLS.sqrt() * 4.0 / wide[0].max(wide[1]));
        let cells = if seen.is_empty() {
            [0, 0]
        } else {
            wide.map(|w| (w * scale).ceil() as usize + 1)
        };
        let mut lamp = Lamp {
            to,
            light,
            across,
            low,
            scale,
            cells,
            depth: vec![f32::NEG_INFINITY; cells[0] * cells[1]],
        };
        lamp.fill(scene, &seen);
        lamp
    }

    /// Draws what is turned to the lamp: of closed bodies, nothing else is nearest to it.
    fn fill(&mut self, scene: &Scene, seen: &[[f64; 3]]) {
        let [columns, rows] = self.cells;
        for facet in &scene.facets {
            let corners = facet.corners.map(|c| seen[c as usize]);
            let flat = corners.map(|p| [0, 1].map(|k| (p[k] - self.low[k]) * self.scale));
            let [a, b, c] = flat;
            if (b[0] - a[0]) * (c[1] - a[1]) <= (b[1] - a[1]) * (c[0] - a[0]) {
                continue;
            }
            cover(flat, 0..rows, columns, |x, y, w| {
                let depth = (0..3).map(|k| w[k] * corners[k][2]).sum::<f64>() as f32;
                let cell = &mut self.depth[y * columns + x];
                *cell = cell.max(depth);
            });
        }
    }

    /// Share of the lamp's light that reaches a point on a surface, smoothly over four cells.
    fn reaches(&self, p: &Point3<f64>, normal: &Vector3<f64>) -> f32 {
        let lifted = p.coords + (normal + self.to) * (LIFT / self.scale);
        // From the middle of the cell before the first, so that casts round down.
        let at = [0, 1].map(|k| (self.across[k].dot(&lifted) - self.low[k]) * self.scale + 0.5);
        let [columns, rows] = self.cells;
        let most = self.cells.map(|n| (n + 1) as f64);
        let inside = (0..2).all(|k| at[k] > 0.0 && at[k] < most[k]);
        if !inside {
            return 1.0;
        }
        let depth = self.to.dot(&lifted) as f32;
        let whole = at.map(|v| v as usize);
        let part = [0, 1].map(|k| (at[k] - whole[k] as f64) as f32);
        let open = |dx: usize, dy: usize| {
            let (x, y) = (whole[0] + dx, whole[1] + dy);
            if x == 0 || y == 0 || x > columns || y > rows {
                return 1.0;
            }
            let cell = self.depth[(y - 1) * columns + x - 1];
            if cell > depth { 0.0 } else { 1.0 }
        };
        let row = |dy| open(0, dy) * (1.0 - part[0]) + open(1, dy) * part[0];
        row(0) * (1.0 - part[1]) + row(1) * part[1]
    }
}
