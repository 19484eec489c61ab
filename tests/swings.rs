//! Swings of meshed joints against the closed forms of the room `chain`.
//!
//! The ball's section is turned about the socket's centre in 24 directions. Concentric, the least
//! swing is where the stem meets the mouth's circle or the flare's outer edge. Pushed aside, the
//! stem is nearer to the mouth; facets of ball and socket each stand up to the deviation off
//! their spheres, so the push leaves twice that of the clearance free, and the closed form is
//! taken for the same push.
//!
//! `LIMBERWOOD_CASES` sets the number of random joints.

use std::time::Instant;

use limberwood::chain::joint::{edge_swing, mouth_plane};
use limberwood::chain::{Resolved, resolve};
use limberwood::check::collide::{Body, Shift, Swing, swing_all};
use limberwood::make::{Settings, model, parts};
use limberwood::params::{BUILT_IN_SHOP, read_design_str, read_shop_str};
use limberwood::units::Unit;

const CATERPILLAR: &str = include_str!("../params/caterpillar.yaml");
/// What the least of 24 directions may lie off the closed form, degrees.
const AGREEMENT: f64 = 0.02;
/// Random joints in an ordinary run.
const CASES: u64 = 5;

fn resolved(design: &str) -> Result<Resolved, String> {
    let (design, _) = read_design_str(design, "design").map_err(|e| format!("{e:?}"))?;
    let (shop, _) = read_shop_str(BUILT_IN_SHOP, "shop").map_err(|e| format!("{e:?}"))?;
    resolve(&design, &shop).map_err(|e| format!("{e:?}"))
}

/// A section's finished halves, where they lie in the straight creature.
fn section(creature: &Resolved, index: usize, deviation: f64) -> Result<Body, String> {
    let settings = Settings::of(creature, Unit::Mm);
    let section = &creature.creature.sections[index];
    let (mut positions, mut triangles) = (Vec::new(), Vec::new());
    for plan in parts(creature, &settings) {
        if plan.section != index {
            continue;
        }
        let half = plan.half(section);
        let made = model(&half, deviation, &creature.walls, false).map_err(|e| format!("{e:?}"))?;
        let first = positions.len() as u32;
        positions.extend(made.mesh.positions.iter().map(|&p| plan.placement.apply(p)));
        let moved = made.mesh.triangles.iter().map(|t| t.map(|i| i + first));
        triangles.extend(moved);
    }
    Body::new(&positions, &triangles).map_err(|e| e.to_string())
}

/// Measured and closed form of one joint, degrees: concentric and pushed aside.
struct Found {
    measured: [f64; 2],
    expected: [f64; 2],
    seconds: f64,
    triangles: [usize; 2],
}

fn joint(creature: &Resolved, number: usize, deviation: f64) -> Result<Found, String> {
    let chain = &creature.joints[number];
    let own = &chain.joint;
    let (front, rear) = (chain.after, chain.after + 1);
    let sections = &creature.creature.sections;
    // The socket's centre, and the way from it to the section with the ball.
    let (ball, socket, x, way) = if chain.ball_in_front {
        (front, rear, sections[rear].x + own.depth(), -1.0)
    } else {
        let end = sections[front].x + sections[front].form.length;
        (rear, front, end - own.depth(), 1.0)
    };
    let moving = section(creature, ball, deviation)?;
    let still = section(creature, socket, deviation)?;
    let stem = own.stem();
    let mouth = (mouth_plane(own.socket(), own.mouth), own.mouth);
    let push = own.clearance - 2.0 * deviation;
    let begin = Instant::now();
    let least = [0.0, push].map(|aside| {
        let swing = Swing {
            centre: [x, 0.0, 0.0],
            chain_axis: [way, 0.0, 0.0],
            count: 24,
            shift: Shift::Aside(aside),
            most: 1.2,
        };
        let found = swing_all(&still, &moving, &swing);
        let least = found.iter().map(|c| c.angle).fold(f64::INFINITY, f64::min);
        least.to_degrees()
    });
    let seconds = begin.elapsed().as_secs_f64();
    let expected = [0.0, push].map(|aside| {
        let edges = [mouth, own.flare_edge()].map(|edge| edge_swing(&stem, edge, aside));
        edges[0].min(edges[1]).to_degrees()
    });
    Ok(Found {
        measured: least,
        expected,
        seconds,
        triangles: [still.triangles(), moving.triangles()],
    })
}

impl Found {
    fn off(&self) -> f64 {
        let off = |k: usize| (self.measured[k] - self.expected[k]).abs();
        off(0).max(off(1))
    }

    fn show(&self, what: &str) -> String {
        let Found {
            measured: [a, b],
            expected: [c, d],
            seconds,
            triangles,
        } = self;
        format!(
            "{what}: concentric {a:.5} closed form {c:.5}, aside {b:.5} closed form {d:.5}, \
             off {:.5} deg, {triangles:?} triangles, 2 x 24 directions in {seconds:.3} s",
            self.off()
        )
    }
}

#[test]
fn the_caterpillars_neck_meets_the_mouth_where_the_closed_form_says() {
    let creature = resolved(CATERPILLAR).unwrap();
    let fine = number("LIMBERWOOD_FINE").map_or(2e-3, |f| f as f64 * 1e-4);
    let found = joint(&creature, 0, fine).unwrap();
    println!("{}", found.show(&format!("deviation {fine}")));
    assert!(found.off() < AGREEMENT);
    // The form of the room `chain` itself: concentric, the joint's swing.
    let swing = creature.joints[0].limits.swing.to_degrees();
    assert!((found.expected[0] - swing).abs() < 1e-9);
}

/// Deviation (mm) that keeps the agreement on a socket of this radius: neck and mouth each lie off
/// by it at that lever arm, the neck by up to 1 / cos 30 degrees more.
fn needed(socket: f64) -> f64 {
    AGREEMENT.to_radians() * socket / 2.16
}

fn number(name: &str) -> Option<u64> {
    std::env::var(name).ok()?.parse().ok()
}

/// Numbers evenly in 0..1 from a case's number (SplitMix64, Steele, Lea and Flood 2014; constants
/// from memory).
fn draws(case: u64) -> impl FnMut(f64, f64) -> f64 {
    let mut state = case.wrapping_mul(0xA076_1D64_78BD_642F);
    move |from, to| {
        state = state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        from + (to - from) * ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }
}

/// Two round sections with a drawn joint.
fn drawn(case: u64) -> String {
    let mut draw = draws(case);
    let ball = draw(16.0, 22.0);
    let clearance = draw(0.25, 0.5);
    let neck = ball * draw(0.36, 0.46);
    let (swing, land) = (draw(14.0, 27.0), draw(3.0, 3.8));
    let wide = 0.5 * ball + 2.6;
    format!(
        "limberwood: 1\nname: Drawn\nunits: mm\nspecies: hard maple\nsplit: level\n\
         joint:\n  ball: {ball:.3}\n  clearance: {clearance:.3}\n  neck: {neck:.3}\n  \
         swing: {swing:.3} deg\n  land: {land:.3}\n\
         defaults:\n  rim: 4.5\n\
         sections:\n  - name: head\n    length: 48\n    tip_width: 12\n    outline:\n      \
         - {{at: 0%, half_width: 6, height: 6}}\n      \
         - {{at: 60%, half_width: 17.5, height: 16}}\n      \
         - {{at: 100%, half_width: 12, height: 12, squareness: 2}}\n  \
         - name: tail\n    length: 56\n    tip_width: 10\n    outline:\n      \
         - {{at: 0%, half_width: {wide:.3}, height: {wide:.3}, squareness: 2}}\n      \
         - {{at: 30%, half_width: 17, height: 16.5}}\n      \
         - {{at: 100%, half_width: 5, height: 5}}\n"
    )
}

#[test]
fn random_legal_joints_meet_where_the_closed_form_says() {
    let cases = number("LIMBERWOOD_CASES").unwrap_or(CASES);
    let mut made = 0;
    for case in 0..20 * cases {
        let Ok(creature) = resolved(&drawn(case)) else {
            continue;
        };
        let deviation = needed(creature.joints[0].joint.socket());
        match joint(&creature, 0, deviation) {
            Err(e) => println!("case {case} is not built: {e:.120}"),
            Ok(found) => {
                println!(
                    "{}",
                    found.show(&format!("case {case}, deviation {deviation:.5}"))
                );
                assert!(found.off() < AGREEMENT, "case {case}\n{}", drawn(case));
                made += 1;
            }
        }
        if made == cases {
            break;
        }
    }
    assert_eq!(made, cases, "too few of the drawn joints are legal");
}
