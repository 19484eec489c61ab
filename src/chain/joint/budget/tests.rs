//! Worked values, and 100,000 joints drawn by chance.

use std::f64::consts::TAU;

use super::*;

const MAPLE: Making = Making {
    tip: 1.5875,
    taper: 3.0 * PI / 180.0,
    slip: 0.15,
    sanding: 0.1,
    movement: 0.00353,
    measured: Measured {
        ball: None,
        socket: None,
        hole: None,
        height: None,
        slip: None,
        gaps: [None; 3],
    },
};

#[test]
fn the_worked_values() {
    // Facts 2.4 (from memory, checked), 2.6, 2.7, 3.3 and shop habit (all derived).
    for (h, wanted) in [
        (0.3, 6.171474952566381),
        (0.5, 9.24523068252507),
        (0.65, 11.961974876422058),
    ] {
        assert!((equilibrium_moisture(21.0, h) - wanted).abs() < 1e-9);
    }
    // R 10, +4 %: crossed 0.1412, at 30 deg 0.0706; here the change is 3.962 %.
    let part = damp() / 4.0;
    assert!((crossed_grain(10.0, 0.00353) - 0.1412 * part).abs() < 1e-9);
    let swung = losses(10.0, 10.25, 30f64.to_radians(), &MAPLE);
    assert!((swung[5].worst - 0.0706 * part).abs() < 1e-9);
    // Stepover 0.5: ball 0.0230284, socket 0.0166961; here 0.3, and the first term of the series.
    let wanted = (0.0230284 + 0.0166961) * 0.36;
    assert!(
        (swung[0].worst / wanted - 1.0).abs() < 0.03,
        "{}",
        swung[0].worst
    );
    // R 10 leaves 0.0137 at 3 degrees on the ball.
    assert!(
        (swung[1].worst - 0.01372 * 2.025).abs() < 1e-4,
        "{}",
        swung[1].worst
    );
    // An experienced maker's sums for R 10: worst 0.40, likely 0.17.
    let (worst, likely) = sums(&swung);
    assert!(
        (worst - 0.40).abs() < 0.03 && (likely - 0.17).abs() < 0.03,
        "{worst} {likely}"
    );
}

#[test]
fn a_feel_leaves_what_it_says() {
    for feel in [Feel::Stiff, Feel::Easy, Feel::Loose] {
        let c = clearance_for(feel, 9.0, 0.42, &MAPLE);
        let likely = sums(&losses(9.0, 9.0 + c, 0.42, &MAPLE)).1;
        assert!((c - likely - feel.left()).abs() <= 0.005 + 1e-9);
    }
}

/// Numbers from 0 to 1 (splitmix64, Steele and others 2014, from memory).
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    /// From -1 to 1.
    fn both(&mut self) -> f64 {
        2.0 * self.roll() - 1.0
    }

    fn in_disc(&mut self, radius: f64) -> [f64; 2] {
        loop {
            let p = [self.both(), self.both()];
            if p[0].hypot(p[1]) <= 1.0 {
                return p.map(|c| c * radius);
            }
        }
    }
}

/// One joint as made: losses in the order of the budget, and what is really lost.
fn made(dice: &mut Dice, ball: f64, socket: f64, swing: f64) -> ([f64; 7], f64) {
    let m = &MAPLE;
    // Rough: a place between two cusps on each, by the cutter's circle on a circle.
    let rough = |rho: f64, u: f64| {
        let (s, r) = (STEPOVER, m.tip);
        let (half, round) = (0.5 * s * u, 1.0 / (1.0 / r + 1.0 / rho));
        round - (round * round - half * half).sqrt()
    };
    let cusps = rough(ball, dice.roll()) + rough(-socket, dice.roll());
    // Tapered: the cutter's side touches at elevation `taper`, and is a straight line below.
    let e = m.taper * dice.roll();
    let taper = (ball + socket) * (1.0 / (m.taper - e).cos() - 1.0);
    // Steps: each half of the ball lies off by flip and pins, each half of the socket by pins.
    // The dowels lie as they can: both alike along the piece, each by itself across. Both half balls
    // lie at the middle, so play along makes the step twice, and half of that is lost.
    let dowels = loop {
        let [along, front, rear] = [0; 3].map(|_| dice.both());
        if along.hypot(front) <= 1.0 && along.hypot(rear) <= 1.0 {
            break along;
        }
    };
    let flip = 0.5 * (2.0 * 0.5 * m.slip * dowels);
    let pins = [0; 4].map(|_| dice.in_disc(0.5 * m.slip));
    let uneven = [0; 4].map(|_| UNEVEN * m.sanding * dice.both());
    // An ellipse of grown wood in another one, turned: the least gap over all directions.
    let grown = m.movement * damp() * dice.roll();
    let directions = |n: u32| (0..n).map(move |k| TAU * f64::from(k) / f64::from(n));
    let season = directions(64)
        .map(|a| radius(ball, grown, a - swing) - radius(ball, grown, a))
        .fold(0.0, f64::max);
    let film = FILM * dice.roll();
    let half = |a: [f64; 2], b: [f64; 2]| [0.5 * (a[0] - b[0]), 0.5 * (a[1] - b[1])];
    let (own, other) = (half(pins[0], pins[1]), half(pins[2], pins[3]));
    let slip = own[0].hypot(own[1]) + other[0].hypot(other[1]);
    let high = (0.5 * (uneven[0] + uneven[1] - uneven[2] - uneven[3])).max(0.0);
    // Really lost: the worst direction in the split plane, steps of ball and socket as they lie.
    let steps = directions(16)
        .map(|a| {
            let (sin, cos) = a.sin_cos();
            let ball = ((own[0] + flip) * cos + own[1] * sin).abs();
            ball + (other[0] * cos + other[1] * sin).abs()
        })
        .fold(0.0, f64::max);
    let all = [cusps, taper, flip.abs(), slip, high, season, film];
    (all, cusps + taper + steps.max(high) + season + film)
}

/// Radius of a circle that has grown across the grain, at an angle from the grain.
fn radius(r: f64, grown: f64, angle: f64) -> f64 {
    let (sin, cos) = angle.sin_cos();
    let (a, b) = (r, r * (1.0 + grown));
    a * b / (b * cos).hypot(a * sin)
}

#[test]
fn a_hundred_thousand_joints() {
    let (ball, socket, swing) = (10.0, 10.4, 25f64.to_radians());
    let budget = losses(ball, socket, swing, &MAPLE);
    let (worst, likely) = sums(&budget);
    let mut dice = Dice(2024);
    let (mut means, mut most, mut mean) = ([0.0; 7], [0.0f64; 7], 0.0);
    let count = 100_000;
    let mut over = 0.0f64;
    for _ in 0..count {
        let (all, lost) = made(&mut dice, ball, socket, swing);
        for k in 0..7 {
            means[k] += all[k] / f64::from(count);
            most[k] = most[k].max(all[k]);
        }
        mean += lost / f64::from(count);
        over = over.max(lost);
    }
    for (k, row) in budget.iter().enumerate() {
        // The series of cusps and of the ellipse stop at their first term.
        assert!(
            most[k] <= row.worst * 1.01 && most[k] >= 0.8 * row.worst,
            "{}: {}",
            row.name,
            most[k]
        );
        let near = if k == 5 { 0.03 } else { 0.02 };
        assert!(
            (means[k] / row.likely - 1.0).abs() < near,
            "{}: {} {}",
            row.name,
            means[k],
            row.likely
        );
    }
    assert!(over <= worst && over > 0.6 * worst, "{over} {worst}");
    assert!(mean <= likely && mean > 0.8 * likely, "{mean} {likely}");
}
