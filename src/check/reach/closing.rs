//! Dilation and erosion of a map by a cutter.
//!
//! A flat end is a set of runs of cells, each the same running maximum ([`super::runs`]). Any
//! other profile is cut into blocks of offsets. For a tile of the map a block's best result is
//! bounded by the greatest height under it less the profile's least height in it; blocks are
//! taken from the axis outwards, and those that cannot raise the tile are left out. The result is
//! that of looking at every offset.

use rayon::prelude::*;

use super::cutter::Profile;
use super::map::HeightMap;
use super::runs::{dilated_by_disc, greater, window_maximum};

/// Columns and rows of a tile: long rows for the vector units.
const TILE: (usize, usize) = (32, 4);
/// Columns and rows of a block of offsets.
const BLOCK: (usize, usize) = (6, 6);

/// Offsets of a cutter's profile in one block.
struct Block {
    /// Least offset along columns and rows.
    from: (isize, isize),
    /// (column, row, height) of each offset.
    cells: Vec<(isize, isize, f32)>,
    /// Least height of the profile in it.
    least: f32,
}

/// Tip heights: how low the cutter's tip can stand over each cell without cutting into the map.
/// Beyond its border the map goes on as it ends there.
pub fn tips(map: &HeightMap, cutter: &Profile) -> HeightMap {
    dilated(map, cutter, 0.0)
}

/// The surface that the cutter leaves when its tip has been at all of its [`tips`].
pub fn closing(map: &HeightMap, cutter: &Profile) -> HeightMap {
    // Erosion is dilation of the map turned over.
    turned(dilated(&turned(dilated(map, cutter, 0.0)), cutter, 0.0))
}

/// The same with room for what lies between cells: the cutter is `slack` (mm) thinner when it must
/// not cut and as much thicker when it cuts. With half a cell's diagonal nothing is left that a
/// cutter between the cells could take; walls and slopes lose some of what is truly left.
pub(super) fn closing_with_slack(map: &HeightMap, cutter: &Profile, slack: f64) -> HeightMap {
    turned(dilated(
        &turned(dilated(map, cutter, slack)),
        cutter,
        -slack,
    ))
}

fn turned(mut map: HeightMap) -> HeightMap {
    map.heights.par_iter_mut().for_each(|h| *h = -*h);
    map
}

/// max over offsets of height(there) - profile(offset + thinner).
fn dilated(map: &HeightMap, cutter: &Profile, thinner: f64) -> HeightMap {
    let radius = cutter.radius() - thinner;
    let reach = (radius / map.pitch + 1e-9).floor().max(0.0) as usize;
    if reach == 0 || map.heights.is_empty() {
        return map.clone();
    }
    let padded = Padded::of(map, reach);
    let heights = match cutter {
        Profile::Flat { radius } => dilated_by_disc(&padded, (radius - thinner) / map.pitch),
        Profile::Ball { .. } => {
            by_blocks(&padded, &blocks(cutter, map.pitch, thinner, reach as isize))
        }
    };
    HeightMap { heights, ..*map }
}

/// A map with a border as wide as the cutter's reach, in which its outermost cells go on.
pub(super) struct Padded {
    /// Columns and rows without the border.
    pub inner: (usize, usize),
    /// Columns with the border.
    pub stride: usize,
    /// Width of the border.
    pub border: usize,
    /// Heights.
    pub heights: Vec<f32>,
}

impl Padded {
    fn of(map: &HeightMap, border: usize) -> Self {
        let (columns, rows) = (map.columns, map.rows());
        // Tiles at the end may look further than the border.
        let stride = columns + 2 * border + TILE.0 + BLOCK.0;
        let all = rows + 2 * border + TILE.1 + BLOCK.1;
        let mut heights = Vec::with_capacity(stride * all);
        for row in 0..all {
            let from = row.saturating_sub(border).min(rows - 1);
            let line = &map.heights[from * columns..][..columns];
            heights.extend(std::iter::repeat_n(line[0], border));
            heights.extend_from_slice(line);
            heights.extend(std::iter::repeat_n(
                line[columns - 1],
                stride - border - columns,
            ));
        }
        Padded {
            inner: (columns, rows),
            stride,
            border,
            heights,
        }
    }
}

/// The profile's offsets by blocks, least heights first.
fn blocks(cutter: &Profile, pitch: f64, thinner: f64, reach: isize) -> Vec<Block> {
    let radius = (cutter.radius() - thinner) / pitch + 1e-9;
    let mut all = Vec::new();
    let steps = |size: usize| {
        // Blocks lie symmetrically about the axis' cell.
        let size = size as isize;
        let first = -((reach + size / 2) / size) * size - size / 2;
        (first..=reach).step_by(size as usize)
    };
    for row in steps(BLOCK.1) {
        for column in steps(BLOCK.0) {
            let mut cells = Vec::new();
            for j in row..row + BLOCK.1 as isize {
                for i in column..column + BLOCK.0 as isize {
                    let far = (i as f64).hypot(j as f64);
                    if far <= radius {
                        let r = (far * pitch + thinner).max(0.0);
                        cells.push((i, j, cutter.height(r) as f32));
                    }
                }
            }
            let least = cells.iter().map(|c| c.2).fold(f32::INFINITY, f32::min);
            if !cells.is_empty() {
                all.push(Block {
                    from: (column, row),
                    cells,
                    least,
                });
            }
        }
    }
    all.sort_by(|a, b| a.least.total_cmp(&b.least));
    all
}

fn by_blocks(map: &Padded, blocks: &[Block]) -> Vec<f32> {
    let (columns, rows) = map.inner;
    // Greatest height under a tile and all offsets of one block, by the first cell.
    let window = window_maximum(
        &map.heights,
        map.stride,
        (TILE.0 + BLOCK.0 - 1, TILE.1 + BLOCK.1 - 1),
    );
    let mut out = vec![0.0f32; columns * rows];
    out.par_chunks_mut(columns * TILE.1)
        .enumerate()
        .for_each(|(band, lines)| {
            let row = band * TILE.1;
            let mut column = 0;
            while column < columns {
                let tile = tile(map, &window, blocks, (column, row));
                let width = TILE.0.min(columns - column);
                for (line, values) in lines.chunks_mut(columns).zip(&tile) {
                    line[column..column + width].copy_from_slice(&values[..width]);
                }
                column += TILE.0;
            }
        });
    out
}

/// One tile of the dilation.
fn tile(
    map: &Padded,
    window: &[f32],
    blocks: &[Block],
    (column, row): (usize, usize),
) -> [[f32; TILE.0]; TILE.1] {
    let mut best = [[f32::NEG_INFINITY; TILE.0]; TILE.1];
    let mut lowest = f32::NEG_INFINITY;
    let place = |i: isize, j: isize| {
        let at = |from: usize, by: isize| (from + map.border).saturating_add_signed(by);
        at(row, j) * map.stride + at(column, i)
    };
    for block in blocks {
        // A block may begin beyond the border; its window is then taken from there.
        let border = map.border as isize;
        let first = (block.from.0.max(-border), block.from.1.max(-border));
        if window[place(first.0, first.1)] - block.least <= lowest {
            continue;
        }
        for &(i, j, height) in &block.cells {
            let start = place(i, j);
            for (k, line) in best.iter_mut().enumerate() {
                let from = &map.heights[start + k * map.stride..][..TILE.0];
                for (b, h) in line.iter_mut().zip(from) {
                    *b = greater(*b, h - height);
                }
            }
        }
        lowest = best
            .iter()
            .flatten()
            .fold(f32::INFINITY, |least, &b| least.min(b));
    }
    best
}

#[cfg(test)]
#[path = "closing_tests.rs"]
mod tests;
