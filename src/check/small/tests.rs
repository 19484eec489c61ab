//! Bodies whose fit is known in closed form or by other work, and brute force over poses.

use std::f64::consts::{PI, TAU};

use nalgebra::{Rotation3, Vector3};

use super::pose::{DEEP, LONGEST, Pose, RADIUS, SHALLOW, directions, least_out};

fn ball(radius: f64) -> Vec<Vector3<f64>> {
    directions(4000).map(|d| d * radius).collect()
}

fn rod(diameter: f64, length: f64) -> Vec<Vector3<f64>> {
    let ring = (0..48).map(|k| TAU * f64::from(k) / 48.0);
    ring.flat_map(|a| {
        let (sin, cos) = a.sin_cos();
        [0.0, length].map(|x| Vector3::new(x, 0.5 * diameter * cos, 0.5 * diameter * sin))
    })
    .collect()
}

fn bar(a: f64, b: f64, c: f64) -> Vec<Vector3<f64>> {
    let ends = |s: f64| [-0.5 * s, 0.5 * s];
    let mut all = Vec::new();
    for x in ends(a) {
        for y in ends(b) {
            all.extend(ends(c).map(|z| Vector3::new(x, y, z)));
        }
    }
    all
}

#[test]
fn the_cylinder_of_the_rule() {
    // 31.75 across, 25.4 to 57.15 deep, volume 32678.673749608155 mm3, longest line hypot.
    assert!((2.0 * RADIUS - 31.75).abs() < 1e-12 && (DEEP - 57.15).abs() < 1e-12);
    let volume = PI * RADIUS * RADIUS * 0.5 * (SHALLOW + DEEP);
    assert!((volume - 32678.673749608155).abs() < 1e-8);
    assert!((LONGEST - (2.0 * RADIUS).hypot(DEEP)).abs() < 1e-9);
}

#[test]
fn balls_of_the_worked_values() {
    // Fact 1.4 (derived): 31.75 fits, 31.76 does not; the polyhedron lies inside its sphere by a
    // part of 1e-3.
    assert!(least_out(&ball(0.5 * 31.74)).0 <= 0.0);
    let large = least_out(&ball(0.5 * 32.0)).0;
    assert!((large - 0.125).abs() < 0.02, "{large}");
}

#[test]
fn rods_and_cubes_of_the_worked_values() {
    // Fact 1.6 (derived, a lower bound): longest rods that still fit; 1.7: a cube of 22.4506.
    for (diameter, length) in [(3.175, 60.2), (6.35, 55.1), (9.525, 50.0), (12.7, 44.9)] {
        assert!(
            least_out(&rod(diameter, length - 0.05)).0 <= 0.0,
            "{diameter}"
        );
        assert!(
            least_out(&rod(diameter, length + 1.5)).0 > 0.0,
            "{diameter}"
        );
    }
    assert!(least_out(&bar(22.45, 22.45, 22.45)).0 <= 0.0);
    assert!(least_out(&bar(66.0, 1.0, 1.0)).0 > 0.0);
}

/// Least over a grid of turns, each with the best shift that a plain descent finds.
fn brute(body: &[Vector3<f64>]) -> f64 {
    let mut best = f64::INFINITY;
    for axis in directions(200) {
        let up = Rotation3::rotation_between(&axis, &Vector3::z()).unwrap();
        for k in 0..12 {
            let turn =
                Rotation3::from_axis_angle(&Vector3::z_axis(), TAU * f64::from(k) / 12.0) * up;
            best = best.min(best_shift(body, turn, best));
        }
    }
    best
}

/// Compass search over the shift: the function is convex in it.
fn best_shift(body: &[Vector3<f64>], turn: Rotation3<f64>, enough: f64) -> f64 {
    let points: Vec<Vector3<f64>> = body.iter().map(|v| turn * v).collect();
    let at = |shift: Vector3<f64>| {
        Pose {
            turn: Rotation3::identity(),
            shift,
        }
        .sticks_out(&points)
    };
    let width = |axis: usize| {
        let (low, high) = points
            .iter()
            .fold((f64::INFINITY, f64::NEG_INFINITY), |w, p| {
                (w.0.min(p[axis]), w.1.max(p[axis]))
            });
        high - low
    };
    // Wider than the cylinder by more than the best pose sticks out.
    if 0.5 * width(0).max(width(1)) - RADIUS > enough {
        return f64::INFINITY;
    }
    let mut shift = Vector3::new(0.0, 0.0, -25.0);
    let mut value = at(shift);
    let mut step = 8.0;
    let ways: Vec<Vector3<f64>> = directions(20).collect();
    while step > 0.05 {
        // What is left to gain is less than the steps still to come.
        if value - 8.0 * step > enough {
            return value;
        }
        let tried = ways.iter().map(|w| shift + w * step).map(|s| (at(s), s));
        let (next, there) = tried.min_by(|a, b| a.0.total_cmp(&b.0)).unwrap();
        if next < value - 1e-6 {
            (value, shift) = (next, there);
        } else {
            step *= 0.5;
        }
    }
    value
}

#[test]
fn never_worse_than_brute_force() {
    let mut seed = 7u64;
    let mut random = move || {
        seed = seed
            .wrapping_mul(6364136223846793005)
            .wrapping_add(1442695040888963407);
        (seed >> 11) as f64 / (1u64 << 53) as f64
    };
    for _ in 0..4 {
        let sides = [
            20.0 + 25.0 * random(),
            15.0 + 20.0 * random(),
            10.0 + 20.0 * random(),
        ];
        // Part of an ellipsoid, cut off at random.
        let cut = 0.2 + 0.8 * random();
        let body: Vec<Vector3<f64>> = directions(50)
            .map(|d| Vector3::new(sides[0] * d.x.min(cut), sides[1] * d.y, sides[2] * d.z))
            .collect();
        let (found, brute) = (least_out(&body).0, brute(&body));
        assert!(found < brute + 0.02, "{sides:?} {cut}: {found} {brute}");
        // The grid's turns lie within 0.3 rad of the best, so it loses a few mm at most.
        assert!(brute - found < 5.0, "{sides:?} {cut}: {found} {brute}");
    }
}
