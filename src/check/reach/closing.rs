//! Dilation and erosion of a map by a cutter.
//!
//! A flat end is a set of runs of cells, each the same running maximum ([`super::runs`]). Any
//! other profile is cut into blocks of offsets. For a tile of the map a block's best result is
//! bounded by the greatest height under it less the profile's least height in it; blocks are
//! taken from the axis outwards, and those that cannot raise the tile are left out. The result is
//! that of looking at every offset.

use pulp::{Arch, Simd, WithSimd};
use rayon::prelude::*;

use super::cutter::Profile;
use super::map::HeightMap;
use super::runs::{dilated_by_disc, window_maximum};

/// Columns and rows of a tile: long rows for the vector units.
const TILE: (usize, usize) = (32, 4);
/// Columns and rows of a block of offsets.
const BLOCK: (usize, usize) = (6, 6);
/// Vectors side by side that are raised together: with all rows of a tile they fill the registers.
const ACROSS: usize = 2;

/// Offsets of a cutter's profile in one block.
struct Block {
    /// Least offset along columns and rows.
    from: (isize, isize),
    /// Depth under the axis' highest place by row and column: less than nothing, so that it is added;
    /// without end outside the profile.
    depths: [[f32; BLOCK.0]; BLOCK.1],
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
    let heights = match cutter {
        Profile::Flat { radius } => {
            dilated_by_disc(&Padded::of(map, reach), (radius - thinner) / map.pitch)
        }
        Profile::Ball { .. } => {
            let blocks = blocks(cutter, map.pitch, thinner, reach as isize);
            // Blocks at the end begin beyond the reach.
            by_blocks(&Padded::of(map, reach + BLOCK.0.max(BLOCK.1)), &blocks)
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
            let mut depths = [[f32::NEG_INFINITY; BLOCK.0]; BLOCK.1];
            let mut least = f32::INFINITY;
            for (j, line) in (row..).zip(&mut depths) {
                for (i, depth) in (column..).zip(line) {
                    let far = (i as f64).hypot(j as f64);
                    if far <= radius {
                        let r = (far * pitch + thinner).max(0.0);
                        let height = cutter.height(r) as f32;
                        *depth = -height;
                        least = least.min(height);
                    }
                }
            }
            if least.is_finite() {
                all.push(Block {
                    from: (column, row),
                    depths,
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
    let arch = Arch::new();
    out.par_chunks_mut(columns * TILE.1)
        .enumerate()
        .for_each(|(band, lines)| {
            arch.dispatch(Band {
                map,
                window: &window,
                blocks,
                row: band * TILE.1,
                lines,
            });
        });
    out
}

/// As many rows as a tile has.
struct Band<'a> {
    map: &'a Padded,
    window: &'a [f32],
    blocks: &'a [Block],
    row: usize,
    lines: &'a mut [f32],
}

/// The same numbers whatever the width of the vectors: only greatest values and differences.
impl WithSimd for Band<'_> {
    type Output = ();

    #[inline(always)]
    fn with_simd<S: Simd>(self, simd: S) {
        let columns = self.map.inner.0;
        for column in (0..columns).step_by(TILE.0) {
            let mut best = [[f32::NEG_INFINITY; TILE.0]; TILE.1];
            self.tile(simd, column, &mut best);
            let width = TILE.0.min(columns - column);
            for (line, values) in self.lines.chunks_mut(columns).zip(&best) {
                line[column..column + width].copy_from_slice(&values[..width]);
            }
        }
    }
}

impl Band<'_> {
    /// One tile of the dilation.
    #[inline(always)]
    fn tile<S: Simd>(&self, simd: S, column: usize, best: &mut [[f32; TILE.0]; TILE.1]) {
        let mut lowest = f32::NEG_INFINITY;
        let at = |from: usize, by: isize| (from + self.map.border).saturating_add_signed(by);
        for block in self.blocks {
            let first = at(self.row, block.from.1) * self.map.stride + at(column, block.from.0);
            if self.window[first] - block.least <= lowest {
                continue;
            }
            let mut least = simd.splat_f32s(f32::INFINITY);
            for part in (0..TILE.0).step_by(ACROSS * S::F32_LANES) {
                least = simd.min_f32s(least, self.raised(simd, block, first + part, part, best));
            }
            lowest = simd.reduce_min_f32s(least);
        }
    }

    /// Raises some columns of a tile by one block, whose first offset looks at `first` from there; the
    /// least of what stands there then.
    #[inline(always)]
    fn raised<S: Simd>(
        &self,
        simd: S,
        block: &Block,
        first: usize,
        part: usize,
        best: &mut [[f32; TILE.0]; TILE.1],
    ) -> S::f32s {
        let wide = ACROSS * S::F32_LANES;
        let line =
            |row: usize| &self.map.heights[first + row * self.map.stride..][..BLOCK.0 - 1 + wide];
        let lines: [&[f32]; TILE.1 + BLOCK.1 - 1] = std::array::from_fn(line);
        let mut own: [[S::f32s; ACROSS]; TILE.1] = std::array::from_fn(|k| {
            let old = S::as_simd_f32s(&best[k][part..part + wide]).0;
            std::array::from_fn(|c| old[c])
        });
        for (j, depths) in block.depths.iter().enumerate() {
            for (i, &depth) in depths.iter().enumerate() {
                let depth = simd.splat_f32s(depth);
                for (k, own) in own.iter_mut().enumerate() {
                    let under = S::as_simd_f32s(&lines[j + k][i..i + wide]).0;
                    for (own, &under) in own.iter_mut().zip(under) {
                        *own = simd.max_f32s(*own, simd.add_f32s(under, depth));
                    }
                }
            }
        }
        let mut least = simd.splat_f32s(f32::INFINITY);
        for (best, own) in best.iter_mut().zip(own) {
            let new = S::as_mut_simd_f32s(&mut best[part..part + wide]).0;
            for (new, own) in new.iter_mut().zip(own) {
                *new = own;
                least = simd.min_f32s(least, own);
            }
        }
        least
    }
}

#[cfg(test)]
#[path = "closing_tests.rs"]
mod tests;
