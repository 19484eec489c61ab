use super::*;
use proptest::prelude::*;
use std::f64::consts::PI;

/// Every offset, one by one.
fn plain(map: &HeightMap, cutter: &Profile) -> Vec<f32> {
    let (columns, rows) = (map.columns as isize, map.rows() as isize);
    let reach = (cutter.radius() / map.pitch + 1e-9).floor() as isize;
    let mut out = Vec::new();
    for row in 0..rows {
        for column in 0..columns {
            let mut best = f32::NEG_INFINITY;
            for j in -reach..=reach {
                for i in -reach..=reach {
                    let far = (i as f64).hypot(j as f64);
                    if far > cutter.radius() / map.pitch + 1e-9 {
                        continue;
                    }
                    let at =
                        (row + j).clamp(0, rows - 1) * columns + (column + i).clamp(0, columns - 1);
                    let height = cutter.height(far * map.pitch) as f32;
                    best = best.max(map.heights[at as usize] - height);
                }
            }
            out.push(best);
        }
    }
    out
}

fn cutter() -> impl Strategy<Value = Profile> {
    prop_oneof![
        (0.05..2.0f64).prop_map(|radius| Profile::Flat { radius }),
        (0.1..1.5f64, 0.0..0.2f64, 1.0..6.0f64).prop_map(|(tip, taper, reach)| Profile::Ball {
            tip,
            taper,
            reach
        }),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]
    #[test]
    fn leaving_blocks_out_changes_nothing(cutter in cutter(), columns in 1usize..50, rows in 1usize..30,
        pitch in 0.1..0.4f64, seed in prop::collection::vec(-3.0f32..3.0, 1500)) {
        let map = HeightMap { corner: [0.0; 2], pitch, columns, heights: seed[..columns * rows].to_vec() };
        prop_assert_eq!(&tips(&map, &cutter).heights, &plain(&map, &cutter));
        let closed = closing(&map, &cutter);
        for (left, height) in closed.heights.iter().zip(&map.heights) {
            prop_assert!(left - height > -1e-5);
        }
        // A second pass of the same cutter removes nothing more.
        let again = closing(&closed, &cutter);
        for (a, b) in again.heights.iter().zip(&closed.heights) {
            prop_assert!((a - b).abs() < 1e-5);
        }
    }
}

/// A round hole with a flat floor, depth below 0.
fn hole(radius: f64, depth: f64, pitch: f64) -> HeightMap {
    let count = (2.0 * (radius + 2.0) / pitch) as usize;
    let corner = [-0.5 * count as f64 * pitch; 2];
    let mut map = HeightMap::flat(corner, pitch, (count, count), 0.0);
    for row in 0..count {
        for column in 0..count {
            let [x, y] = map.middle(column, row);
            if x.hypot(y) < radius {
                map.heights[row * count + column] = -depth as f32;
            }
        }
    }
    map
}

#[test]
fn a_ball_leaves_a_ring_round_the_floor_of_a_hole() {
    // Derived (Pappus; fact 8.9, in a pocket): 2 pi (n f^2 (1 - pi/4) - f^3 (5/6 - pi/4)).
    let (n, f) = (3.2, 1.5875f64);
    let exact = 2.0 * PI * (n * f * f * (1.0 - PI / 4.0) - f.powi(3) * (5.0 / 6.0 - PI / 4.0));
    let cutter = Profile::Ball {
        tip: f,
        taper: 0.0,
        reach: 20.0,
    };
    let off = [0.1, 0.05, 0.025].map(|pitch| {
        let map = hole(n, 6.0, pitch);
        let left = closing(&map, &cutter);
        let sum: f64 = left
            .heights
            .iter()
            .zip(&map.heights)
            .map(|(a, b)| f64::from(a - b))
            .sum();
        sum * pitch * pitch / exact - 1.0
    });
    for (off, limit) in off.into_iter().zip([0.1, 0.03, 0.01]) {
        assert!(off.abs() < limit, "{off}");
    }
}

#[test]
fn a_flat_end_leaves_the_corner_of_a_square_pocket() {
    // Derived: (1 - pi/4) r^2 in plan at each of four corners.
    let (side, radius, pitch) = (8.0, 1.5, 0.02);
    let count = (12.0 / pitch) as usize;
    let mut map = HeightMap::flat([-6.0; 2], pitch, (count, count), 0.0);
    for row in 0..count {
        for column in 0..count {
            let [x, y] = map.middle(column, row);
            if x.abs().max(y.abs()) < 0.5 * side {
                map.heights[row * count + column] = -1.0;
            }
        }
    }
    let left = closing(&map, &Profile::Flat { radius });
    let sum: f64 = left
        .heights
        .iter()
        .zip(&map.heights)
        .map(|(a, b)| f64::from(a - b))
        .sum();
    let exact = 4.0 * (1.0 - PI / 4.0) * radius * radius;
    let off = sum * pitch * pitch - exact;
    assert!(off.abs() < 0.08 * exact, "{off} of {exact}");
}
