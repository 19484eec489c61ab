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
use limberwood::export::step::Stamp;
use limberwood::make::{Place, Settings, model, parts};
use limberwood::params::{BUILT_IN_SHOP, read_design_str, read_shop_str};

const CATERPILLAR: &str = include_str!("../params/caterpillar.yaml");
/// What the least of 24 directions may lie off the closed form, degrees.
const AGREEMENT: f64 = 0.02;
/// Random joints in an ordinary run.
const CASES: u64 = 6;

fn resolved(design: &str) -> Result<Resolved, String> {
    let (design, _) = read_design_str(design, "design").map_err(|e| format!("{e:?}"))?;
    let (shop, _) = read_shop_str(BUILT_IN_SHOP, "shop").map_err(|e| format!("{e:?}"))?;
    resolve(&design, &shop).map_err(|e| format!("{e:?}"))
}

/// A section's finished halves, where they lie in the straight creature.
fn section(creature: &Resolved, index: usize, deviation: f64) -> Result<Body, String> {
    let settings = Settings {
        unit: limberwood::units::Unit::Mm,
        deviation,
        place: Place::Creature,
        only: None,
        stamp: Stamp::default(),
    };
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

    fn show(&self, what: &str) {
        let Found {
            measured: [a, b],
            expected: [c, d],
            seconds,
            triangles,
        } = self;
        println!(
            "{what}: concentric {a:.5} closed form {c:.5}, aside {b:.5} closed form {d:.5}, \
             off {:.5} deg, {triangles:?} triangles, 2 x 24 directions in {seconds:.3} s",
            self.off()
        );
    }
}

#[test]
fn the_caterpillars_neck_meets_the_mouth_where_the_closed_form_says() {
    let creature = resolved(CATERPILLAR).unwrap();
    let fine = number("LIMBERWOOD_FINE").map_or(2e-3, |f| f as f64 * 1e-4);
    let found = joint(&creature, 0, fine).unwrap();
    found.show(&format!("deviation {fine}"));
    assert!(found.off() < AGREEMENT);
    // The form of the room `chain` itself: concentric, the joint's swing.
    let swing = creature.joints[0].limits.swing.to_degrees();
    assert!((found.expected[0] - swing).abs() < 1e-9);
}

fn number(name: &str) -> Option<u64> {
    std::env::var(name).ok()?.parse().ok()
}
