//! Running maxima.

use rayon::prelude::*;

use super::closing::Padded;

/// Running maxima of all runs of 1, 2, 4, ... cells along rows, by their first cell.
fn doublings(heights: &[f32], stride: usize, longest: usize) -> Vec<Vec<f32>> {
    let mut levels = vec![heights.to_vec()];
    let mut length = 1;
    while 2 * length <= longest {
        let last = &levels[levels.len() - 1];
        let mut next = last.clone();
        next.par_chunks_mut(stride)
            .zip(last.par_chunks(stride))
            .for_each(|(next, last)| {
                for (n, l) in next.iter_mut().zip(&last[length.min(stride)..]) {
                    *n = n.max(*l);
                }
            });
        levels.push(next);
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
                    *best = best.max(a.max(*b));
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
    let across = |line: &[f32], out: &mut [f32]| {
        for (i, o) in out.iter_mut().enumerate() {
            let end = (i + columns).min(line.len());
            *o = line[i..end]
                .iter()
                .copied()
                .fold(f32::NEG_INFINITY, f32::max);
        }
    };
    let mut wide = vec![0.0; heights.len()];
    wide.par_chunks_mut(stride)
        .zip(heights.par_chunks(stride))
        .for_each(|(out, line)| across(line, out));
    let mut out = wide.clone();
    let count = heights.len() / stride;
    out.par_chunks_mut(stride)
        .enumerate()
        .for_each(|(row, line)| {
            for other in row + 1..(row + rows).min(count) {
                for (o, w) in line.iter_mut().zip(&wide[other * stride..]) {
                    *o = o.max(*w);
                }
            }
        });
    out
}
