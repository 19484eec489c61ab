//! Dense sampling and compass search, sharing nothing with the search under test but the
//! feature's signed distance.

use nalgebra::Point3;

use crate::clear::{BezierPatch, Convex};

/// A point of a patch by repeated linear interpolation.
pub fn point(patch: &BezierPatch, u: f64, v: f64) -> Point3<f64> {
    let mix = |mut row: Vec<[f64; 4]>, t: f64| {
        while row.len() > 1 {
            row = row
                .windows(2)
                .map(|w| std::array::from_fn(|k| (1.0 - t) * w[0][k] + t * w[1][k]))
                .collect();
        }
        row[0]
    };
    let rows: Vec<[f64; 4]> = patch
        .points()
        .chunks(patch.degree().1 + 1)
        .map(|row| mix(row.to_vec(), v))
        .collect();
    let p = mix(rows, u);
    Point3::new(p[0] / p[3], p[1] / p[3], p[2] / p[3])
}

fn compass(f: &dyn Fn(f64, f64) -> f64, mut uv: (f64, f64), mut step: f64) -> f64 {
    let mut best = f(uv.0, uv.1);
    while step > 1e-9 {
        let mut moved = false;
        for k in 0..8 {
            let angle = f64::from(k) * std::f64::consts::FRAC_PI_4;
            let u = (uv.0 + step * angle.cos()).clamp(0.0, 1.0);
            let v = (uv.1 + step * angle.sin()).clamp(0.0, 1.0);
            let value = f(u, v);
            if value < best {
                (best, uv, moved) = (value, (u, v), true);
            }
        }
        if !moved {
            step *= 0.5;
        }
    }
    best
}

/// Least signed distance found on a grid of n x n, refined from its best places.
pub fn least(feature: &dyn Convex, patch: &BezierPatch, n: usize) -> f64 {
    let f = |u: f64, v: f64| feature.signed_distance(&point(patch, u, v)).0;
    let at = |i: usize| i as f64 / n as f64;
    let mut grid: Vec<(f64, f64, f64)> = (0..=n)
        .flat_map(|i| (0..=n).map(move |j| (i, j)))
        .map(|(i, j)| (f(at(i), at(j)), at(i), at(j)))
        .collect();
    grid.sort_by(|a, b| a.0.total_cmp(&b.0));
    // Places far from each other, so that near ties are all followed.
    let mut starts: Vec<(f64, f64)> = Vec::new();
    for (_, u, v) in grid {
        if starts.iter().all(|s| (s.0 - u).hypot(s.1 - v) > 0.15) {
            starts.push((u, v));
        }
        if starts.len() == 4 {
            break;
        }
    }
    starts
        .into_iter()
        .map(|uv| compass(&f, uv, 1.0 / n as f64))
        .fold(f64::INFINITY, f64::min)
}
