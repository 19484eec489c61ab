//! Volumes of leftover by face, from maps of two pitches.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::closing::{closing_with_slack, tips};
use super::cutter::Profile;
use super::map::HeightMap;
use super::tool::Surroundings;
use crate::brep::shape::FaceKind;
use crate::check::view::View;

/// How finely leftover is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fineness {
    /// Pitch of the coarse map, mm; the fine one has half of it.
    pub pitch: f64,
}

impl Default for Fineness {
    /// 0.25 mm: a sixth of the usual tip radius.
    fn default() -> Self {
        Fineness { pitch: 0.25 }
    }
}

/// Height that stands for no wood at all, mm.
pub(super) const NOTHING: f32 = -1e6;
/// Half a cell's diagonal, in pitches.
const HALF_DIAGONAL: f64 = std::f64::consts::FRAC_1_SQRT_2;
/// Beside the window, mm.
const MARGIN: f64 = 1.0;
/// Windows are taken no wider, mm.
const FAR: f64 = 1e3;
/// A triangle within this of the map's height, mm, is what the cell sees: rounding to 32 bits.
const SAME: f64 = 1e-4;
/// Cells with the most left over that are looked at as places, by kind.
const SEEDS: usize = 4;

/// The part in its surroundings as a map.
pub(super) struct Scene {
    /// Heights of part, floor and stock.
    pub map: HeightMap,
    /// Stock alone; none when it stands no higher than the floor.
    pub stock: Option<HeightMap>,
    /// The triangle that each cell sees.
    owners: Vec<Option<u32>>,
}

/// What a map says about one kind of face.
#[derive(Debug, Clone, Default)]
pub(super) struct Mapped {
    /// Left over, mm3.
    pub volume: f64,
    /// (left over, triangle, place) of the cells with the most.
    pub seeds: Vec<(f32, u32, [f64; 3])>,
}

impl Scene {
    pub fn of(view: &View, around: &Surroundings, widest: f64, pitch: f64) -> Scene {
        let (mut lo, mut hi) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        for p in &view.positions {
            for k in 0..2 {
                lo[k] = lo[k].min(p[k]);
                hi[k] = hi[k].max(p[k]);
            }
        }
        let margin = around.window.min(FAR) + widest + MARGIN;
        Scene::within(
            view,
            around,
            pitch,
            (lo.map(|c| c - margin), hi.map(|c| c + margin)),
        )
    }

    /// Of a part of the plan, from and to.
    pub fn within(
        view: &View,
        around: &Surroundings,
        pitch: f64,
        (lo, hi): ([f64; 2], [f64; 2]),
    ) -> Scene {
        let window = around.window.min(FAR);
        let count = |k: usize| ((hi[k] - lo[k]) / pitch).ceil() as usize + 1;
        let mut map = HeightMap::flat(lo, pitch, (count(0), count(1)), f64::from(NOTHING));
        map.raise(&view.positions, &view.triangles);
        let owners = map.owners(&view.positions, &view.triangles, SAME);
        let stock = (around.stock_top > around.floor).then(|| {
            let near = tips(&map, &Profile::Flat { radius: window });
            let heights = near.heights.iter().map(|&h| {
                if h > NOTHING {
                    NOTHING
                } else {
                    around.stock_top as f32
                }
            });
            HeightMap {
                heights: heights.collect(),
                ..near
            }
        });
        for (cell, h) in map.heights.iter_mut().enumerate() {
            let wood = stock.as_ref().map_or(NOTHING, |s| s.heights[cell]);
            *h = h.max(wood).max(around.floor as f32);
        }
        Scene { map, stock, owners }
    }

    /// Left over by kind of face, over the set-up's cutters the least at each cell.
    pub fn left(&self, view: &View, cutters: &[Profile]) -> BTreeMap<FaceKind, Mapped> {
        let slack = HALF_DIAGONAL * self.map.pitch;
        let maps: Vec<HeightMap> = cutters
            .par_iter()
            .map(|cutter| closing_with_slack(&self.map, cutter, slack))
            .collect();
        let mut found: BTreeMap<FaceKind, Mapped> = BTreeMap::new();
        let cell_area = self.map.pitch * self.map.pitch;
        for (cell, owner) in self.owners.iter().enumerate() {
            let Some(owner) = *owner else { continue };
            if !view.own[owner as usize] {
                continue;
            }
            let height = self.map.heights[cell];
            let least = maps.iter().map(|m| m.heights[cell]);
            let left = least.fold(f32::INFINITY, f32::min) - height;
            let entry = found.entry(view.kinds[owner as usize]).or_default();
            if left > 0.0 && left.is_finite() {
                entry.volume += f64::from(left) * cell_area;
                let columns = self.map.columns;
                let [x, y] = self.map.middle(cell % columns, cell / columns);
                entry.keep((left, owner, [x, y, f64::from(height)]));
            }
        }
        found
    }
}

impl Mapped {
    /// Keeps the seeds with the most left over, in falling order.
    fn keep(&mut self, seed: (f32, u32, [f64; 3])) {
        let at = self.seeds.partition_point(|s| s.0 >= seed.0);
        if at < SEEDS {
            self.seeds.insert(at, seed);
            self.seeds.truncate(SEEDS);
        }
    }
}

/// Tip height over the stock alone, looked up at the nearest cell.
pub(super) struct StockTips(Option<HeightMap>);

impl StockTips {
    pub fn of(scene: &Scene, cutter: &Profile) -> StockTips {
        StockTips(scene.stock.as_ref().map(|stock| tips(stock, cutter)))
    }

    pub fn at(&self, [x, y]: [f64; 2]) -> f64 {
        let Some(map) = &self.0 else {
            return f64::from(NOTHING);
        };
        let cell = |k: usize, at: f64, count: usize| {
            (((at - map.corner[k]) / map.pitch) as usize).min(count - 1)
        };
        let (column, row) = (cell(0, x, map.columns), cell(1, y, map.rows()));
        f64::from(map.heights[row * map.columns + column])
    }
}
