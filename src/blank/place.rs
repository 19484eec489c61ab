//! Putting convex parts on one piece of stock, as far to the front as they go, at a stated distance
//! from each other.

use std::collections::BTreeMap;

use super::polygon::{Polygon, across};

/// Step of the places across the stock that are tried beside those where parts touch, mm.
const STEP: f64 = 1.0;
/// Rounding noise of places, mm.
const NOISE: f64 = 1e-9;

/// The parts that are placed, each also turned half round.
#[derive(Debug)]
pub struct Shapes {
    cores: Vec<[Polygon; 2]>,
    /// Corners of all shifts at which two parts overlap: of the pair's sum.
    sums: BTreeMap<[usize; 4], Vec<[f64; 2]>>,
}

/// Where a part lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// Number of the shape.
    pub shape: usize,
    /// Turned half round in plan, so that its front looks to the rear.
    pub turned: bool,
    /// Place of its own origin, mm.
    pub at: [f64; 2],
}

/// Where parts may lie: between two corners, their cores `apart` from each other.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Room {
    /// Least x and y of a core.
    pub low: [f64; 2],
    /// Greatest x and y of a core.
    pub high: [f64; 2],
    /// Least distance between two cores, mm.
    pub apart: f64,
}

impl Shapes {
    /// Of cores in their own frames.
    pub fn new(cores: &[Polygon]) -> Self {
        Shapes {
            cores: cores.iter().map(|c| [c.clone(), c.turned()]).collect(),
            sums: BTreeMap::new(),
        }
    }

    /// The core of a part as it lies, about its own origin.
    pub fn core(&self, shape: usize, turned: bool) -> &Polygon {
        &self.cores[shape][usize::from(turned)]
    }

    fn sum(&mut self, fixed: (usize, bool), moving: (usize, bool)) -> &[[f64; 2]] {
        let key = [
            fixed.0,
            usize::from(fixed.1),
            moving.0,
            usize::from(moving.1),
        ];
        let cores = &self.cores;
        self.sums.entry(key).or_insert_with(|| {
            // The moving one turned half round is its image in the origin.
            cores[key[0]][key[1]].sum(&cores[key[2]][1 - key[3]])
        })
    }

    /// The place of a part among `placed` whose far end lies nearest to the front, of these the one
    /// with the least y; nothing when there is no room.
    pub fn spot(
        &mut self,
        (shape, turned): (usize, bool),
        placed: &[Spot],
        room: &Room,
    ) -> Option<Spot> {
        let [low, high] = self.core(shape, turned).bounds();
        let (from, to) = (
            [0, 1].map(|k| room.low[k] - low[k]),
            [0, 1].map(|k| room.high[k] - high[k]),
        );
        if from[0] > to[0] + NOISE || from[1] > to[1] + NOISE {
            return None;
        }
        let sums: Vec<([f64; 2], Vec<[f64; 2]>)> = placed
            .iter()
            .map(|p| {
                (
                    p.at,
                    self.sum((p.shape, p.turned), (shape, turned)).to_vec(),
                )
            })
            .collect();
        let mut best: Option<[f64; 2]> = None;
        for y in heights(&sums, from[1], to[1], room.apart) {
            let mut taken: Vec<(f64, f64)> = sums
                .iter()
                .filter_map(|(at, sum)| {
                    let (a, b) = across(sum, room.apart, y - at[1])?;
                    Some((a + at[0], b + at[0]))
                })
                .collect();
            taken.sort_by(|a, b| a.0.total_cmp(&b.0));
            let mut x = from[0];
            for (a, b) in taken {
                if a >= x {
                    break;
                }
                if b > x + NOISE {
                    x = b;
                }
            }
            if x <= to[0] + NOISE && best.is_none_or(|b| x < b[0] - NOISE) {
                best = Some([x, y]);
            }
        }
        best.map(|at| Spot { shape, turned, at })
    }
}

/// Places across that are worth a try, least first: a grid, both ends, and where the part passes
/// another one just so.
fn heights(sums: &[([f64; 2], Vec<[f64; 2]>)], from: f64, to: f64, apart: f64) -> Vec<f64> {
    let to = to.max(from);
    let steps = ((to - from) / STEP).floor() as usize;
    let grid = (0..=steps).map(|k| from + STEP * k as f64);
    let passing = sums.iter().flat_map(|(at, sum)| {
        let ys = sum.iter().map(|p| p[1]);
        let (low, high) = ys.fold((f64::INFINITY, f64::NEG_INFINITY), |r, y| {
            (r.0.min(y), r.1.max(y))
        });
        [at[1] + low - apart, at[1] + high + apart]
    });
    let mut all: Vec<f64> = grid.chain([to]).chain(passing).collect();
    all.retain(|y| (from..=to).contains(y));
    all.sort_by(f64::total_cmp);
    all
}
