//! Running maxima.

use rayon::prelude::*;

use super::closing::Padded;

/// The greater of two heights. None is a NaN, so this is one instruction, which `f32::max` is not.
#[inline(always)]
pub(super) fn greater(a: f32, b: f32) -> f32 {
    if a > b { a } else { b }
}

/// Running maxima of runs twice as long as those of `last`, which have this length, along rows, by
/// their first cell; runs that would leave a row end with it.
fn doubled(last: &[f32], stride: usize, length: usize) -> Vec<f32> {
    let mut next = last.to_vec();
    join(&mut next, last, stride, length);
    next
}

/// Raises each run to the greater of it and the one that begins so many cells behind it.
fn join(runs: &mut [f32], others: &[f32], stride: usize, behind: usize) {
    runs.par_chunks_mut(stride)
        .zip(others.par_chunks(stride))
        .for_each(|(runs, others)| {
            for (r, o) in runs.iter_mut().zip(&others[behind.min(stride)..]) {
                *r = greater(*r, *o);
            }
        });
}

/// Running maxima of all runs of 1, 2, 4, ... cells along rows, by their first cell.
fn doublings(heights: &[f32], stride: usize, longest: usize) -> Vec<Vec<f32>> {
    let mut levels = vec![heights.to_vec()];
    let mut length = 1;
    while 2 * length <= longest {
        levels.push(doubled(&levels[levels.len() - 1], stride, length));
        length *= 2;
    }
    levels
}

/// Maximum over a disc of `radius` cells about each cell: a run per row of the disc, each the
/// greater of two overlapping runs of a power of two.
pub(super) fn dilated_by_disc(map: &Padded, radius: f64) -> Vec<f32> {
    let reach = map.border as isize;
    let half = |j: isize| ((radius * radius - (j * j) as f64).max(0.0).sqrt() + 1e-9) as usize;
    let levels = doublings(&map.heights, map.stride, 2 * half(0) + 1);
    let (columns, rows) = map.inner;
    let mut out = vec![f32::NEG_INFINITY; columns * rows];
    out.par_chunks_mut(columns)
        .enumerate()
        .for_each(|(row, line)| {
            for j in -reach..=reach {
                let half = half(j);
                let length = 2 * half + 1;
                let level = length.ilog2() as usize;
                let at =
                    (row + map.border).saturating_add_signed(j) * map.stride + map.border - half;
                let a = &levels[level][at..][..columns];
                let b = &levels[level][at + length - (1 << level)..][..columns];
                for ((best, a), b) in line.iter_mut().zip(a).zip(b) {
                    *best = greater(*best, greater(*a, *b));
                }
            }
        });
    out
}

/// Maximum over a window of columns x rows, by its first cell; windows that would leave the map
/// end at its border.
pub(super) fn window_maximum(
    heights: &[f32],
    stride: usize,
    (columns, rows): (usize, usize),
) -> Vec<f32> {
    let (mut last, mut length) = (heights.to_vec(), 1);
    while 2 * length <= columns {
        last = doubled(&last, stride, length);
        length *= 2;
    }
    // Two overlapping runs of a power of two.
    let mut wide = last.clone();
    join(&mut wide, &last, stride, columns - length);
    let mut out = wide.clone();
    let count = heights.len() / stride;
    out.par_chunks_mut(stride)
        .enumerate()
        .for_each(|(row, line)| {
            for other in row + 1..(row + rows).min(count) {
                for (o, w) in line.iter_mut().zip(&wide[other * stride..]) {
                    *o = greater(*o, *w);
                }
            }
        });
    out
}
