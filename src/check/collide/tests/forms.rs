//! Bodies whose first contact is known.

use super::*;
use std::f64::consts::{FRAC_PI_2, FRAC_PI_6, TAU};

const ROUNDING: f64 = 1e-9;

fn close(value: f64, wanted: f64) {
    assert!((value - wanted).abs() < ROUNDING, "{value} is not {wanted}");
}

/// A box, and what is done to its corners.
fn block(lo: [f64; 3], hi: [f64; 3], place: impl Fn([f64; 3]) -> [f64; 3]) -> Soup {
    let corner = |k: usize| [0, 1, 2].map(|c| if k >> c & 1 == 1 { hi[c] } else { lo[c] });
    let quads = [
        [0, 2, 3, 1],
        [4, 5, 7, 6],
        [0, 1, 5, 4],
        [2, 6, 7, 3],
        [0, 4, 6, 2],
        [1, 3, 7, 5],
    ];
    let triangles = quads
        .into_iter()
        .flat_map(|[a, b, c, d]| [[a, b, c], [a, c, d]]);
    (
        (0..8).map(|k| place(corner(k))).collect(),
        triangles.collect(),
    )
}

/// A surface of revolution about x through (x, radius), `n` corners round, one of them at +y.
fn turned(profile: &[[f64; 2]], n: u32) -> Soup {
    let mut soup = (Vec::new(), Vec::new());
    for &[x, r] in profile {
        for k in 0..n {
            let (sin, cos) = (TAU * f64::from(k) / f64::from(n)).sin_cos();
            soup.0.push([x, r * cos, r * sin]);
        }
    }
    for ring in 0..profile.len() as u32 - 1 {
        for k in 0..n {
            let (a, b) = (ring * n + k, ring * n + (k + 1) % n);
            soup.1.extend([[a, b, b + n], [a, b + n, a + n]]);
        }
    }
    soup
}

fn sphere(radius: f64, n: u32) -> Soup {
    let at = |k: u32| {
        let (sin, cos) = (TAU / 2.0 * f64::from(k) / f64::from(n)).sin_cos();
        [radius * cos, radius * sin]
    };
    turned(&(0..=n).map(at).collect::<Vec<_>>(), 2 * n)
}

fn contact(still: &Soup, moving: &Soup, axis: [f64; 3], offset: [f64; 3], most: f64) -> Contact {
    first_contact(&body(still), &body(moving), [0.0; 3], axis, offset, most)
}

/// The corner (6, 0) of a box meets the plane y = 3 of another after 30 degrees.
#[test]
fn a_box_meets_a_wall() {
    let arm = block([2.0, -1.0, -1.0], [6.0, 0.0, 1.0], |p| p);
    let wall = block([1.0, 3.0, -2.0], [8.0, 5.0, 2.0], |p| p);
    let found = contact(&wall, &arm, [0.0, 0.0, 2.0], [0.0; 3], 2.0);
    close(found.angle, FRAC_PI_6);
    assert!(found.touched);
    close(found.place[0], 6.0 * FRAC_PI_6.cos());
    close(found.place[1], 3.0);
    // Seen from the arm the wall turns the other way.
    let back = contact(&arm, &wall, [0.0, 0.0, -1.0], [0.0; 3], 2.0);
    close(back.angle, FRAC_PI_6);
    // The long way round: the far lower corner (6, -1) meets the wall from above, y = 5 is out of
    // the wall's reach at the radius hypot(6, 1).
    let round = contact(&wall, &arm, [0.0, 0.0, -1.0], [0.0; 3], 6.0);
    assert!(round.touched && round.angle > 3.0 && round.angle < 6.0);
}

#[test]
fn the_end_of_the_turn_counts_and_beyond_it_nothing() {
    let arm = block([2.0, -1.0, -1.0], [6.0, 0.0, 1.0], |p| p);
    let wall = block([1.0, 3.0, -2.0], [8.0, 5.0, 2.0], |p| p);
    let axis = [0.0, 0.0, 1.0];
    assert!(contact(&wall, &arm, axis, [0.0; 3], FRAC_PI_6 + 1e-9).touched);
    let free = contact(&wall, &arm, axis, [0.0; 3], FRAC_PI_6 - 1e-9);
    assert!(!free.touched && free.angle == FRAC_PI_6 - 1e-9);
    // Above the wall nothing is met at all.
    assert!(!contact(&wall, &arm, axis, [0.0, 0.0, 3.5], 6.0).touched);
}

/// An upright edge at the radius 6 meets a level ridge along y = 3: two edges, no corner.
#[test]
fn two_edges_cross() {
    let arm = block([2.0, -1.0, -1.0], [6.0, 0.0, 1.5], |p| p);
    let half = 0.5f64.sqrt();
    let ridge = block([1.0, 0.0, 0.0], [8.0, 2.0, 2.0], |[x, y, z]| {
        [x, 3.0 + half * (y + z), half * (z - y)]
    });
    let found = contact(&ridge, &arm, [0.0, 0.0, 1.0], [0.0; 3], 2.0);
    close(found.angle, FRAC_PI_6);
    close(found.place[2], 0.0);
}

/// A centre and a shift beside the origin: the arm pushed out by 1 meets the wall at asin(3 / 7).
#[test]
fn the_arm_is_shifted_before_it_turns() {
    let by = [4.0, -7.0, 11.0];
    let moved = |p: [f64; 3]| [0, 1, 2].map(|k| p[k] + by[k]);
    let arm = body(&block([2.0, -1.0, -1.0], [6.0, 0.0, 1.0], moved));
    let wall = body(&block([1.0, 3.0, -2.0], [8.0, 5.0, 2.0], moved));
    let found = first_contact(&wall, &arm, by, [0.0, 0.0, 1.0], [1.0, 0.0, 0.0], 2.0);
    close(found.angle, (3.0f64 / 7.0).asin());
    close(found.place[1], 3.0 + by[1]);
}

#[test]
fn bodies_that_cross_before_the_turn_touch_at_once() {
    let one = block([0.0; 3], [2.0; 3], |p| p);
    let two = block([1.0; 3], [3.0; 3], |p| p);
    let found = contact(&one, &two, [0.3, 0.5, 1.0], [0.0; 3], 1.0);
    assert!(found.touched && found.angle == 0.0);
    // Wholly inside: the surfaces do not touch, and a sphere never will.
    let small = block([-0.2; 3], [0.2; 3], |p| p);
    assert!(!contact(&sphere(3.0, 12), &small, [0.3, 0.5, 1.0], [0.0; 3], 6.0).touched);
}

#[test]
fn a_ball_in_its_socket_never_touches() {
    let (ball, socket) = (sphere(10.0, 48), sphere(10.4, 48));
    for axis in [[0.0, 0.0, 1.0], [0.0, 1.0, 0.2], [1.0, 1.0, 1.0]] {
        assert!(!contact(&socket, &ball, axis, [0.0; 3], 3.0).touched);
        // The chords of the socket come in by 0.4 (1 - cos) at most, here 0.022 mm.
        assert!(!contact(&socket, &ball, axis, [0.2, 0.25, -0.1], 3.0).touched);
        let pushed = contact(&socket, &ball, axis, [0.3, 0.3, 0.0], 3.0);
        assert!(pushed.touched && pushed.angle == 0.0);
    }
}

/// A stem of radius 4 in a conical mouth that begins at (6, 8) and widens: it meets the circle,
/// at atan(8 / 6) - asin(n / 10), in each of 24 directions, since 24 divides the corners. Pushed
/// aside by 0.4 the stem is as good as thicker by 0.4.
#[test]
fn a_stem_in_a_conical_mouth() {
    let stem = body(&turned(&[[2.0, 0.0], [2.0, 4.0], [30.0, 4.0]], 72));
    let mouth = body(&turned(&[[5.0, 12.0], [6.0, 8.0], [20.0, 26.0]], 288));
    let all = |aside: f64, most: f64| {
        let swing = Swing {
            centre: [0.0; 3],
            chain_axis: [3.0, 0.0, 0.0],
            count: 24,
            aside,
            most,
        };
        swing_all(&mouth, &stem, &swing)
    };
    let edge = 8f64.atan2(6.0);
    for (aside, neck) in [(0.0, 4.0), (0.4, 4.4f64), (-0.4, 3.6)] {
        let found = all(aside, FRAC_PI_2);
        assert_eq!(found.len(), 24);
        for (k, c) in found.iter().enumerate() {
            close(c.angle, edge - (neck / 10.0).asin());
            // Direction k: the stem is carried there, and touches there.
            let (sin, cos) = (TAU * k as f64 / 24.0).sin_cos();
            close(c.place[0], 6.0);
            close(c.place[1], 8.0 * cos);
            close(c.place[2], 8.0 * sin);
        }
        assert_eq!(found, all(aside, FRAC_PI_2));
    }
    let shifted = |way: f64| {
        let (axis, offset) = ([0.0, 0.0, way], [0.0, 0.4, 0.0]);
        first_contact(&mouth, &stem, [0.0; 3], axis, offset, FRAC_PI_2).angle
    };
    close(shifted(1.0), edge - 0.44f64.asin());
    close(shifted(-1.0), edge - 0.36f64.asin());
    assert!(all(0.0, 0.5).iter().all(|c| !c.touched && c.angle == 0.5));
    // By angles: a stem that begins inside the cone meets it with its far rim. Apex at the
    // centre, half-angle A, rim (30, 4): A - atan(4 / 30).
    let cone = body(&turned(&[[7.0, 7.0], [40.0, 40.0]], 288));
    let long = body(&turned(
        &[[8.0, 0.0], [8.0, 2.0], [30.0, 9.0], [31.0, 0.0]],
        72,
    ));
    let found = first_contact(&cone, &long, [0.0; 3], [0.0, 0.0, 1.0], [0.0; 3], 1.0);
    close(found.angle, 1f64.atan() - (9.0f64 / 30.0).atan());
}
