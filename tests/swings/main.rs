//! Swings of meshed joints against the closed forms of the room `chain`.
//!
//! The ball's section is turned about the socket's centre in 24 directions. Concentric, the least
//! swing is where the stem meets the mouth's circle or the flare's outer edge. Pushed aside, the
//! stem is nearer to the mouth; facets of ball and socket each stand up to the deviation off
//! their spheres, so the push leaves twice that of the clearance free, and the closed form is
//! taken for the same push.
//!
//! `LIMBERWOOD_CASES` sets the number of random joints.

mod bodies;
// The halves' own tests draw more ways.
#[allow(dead_code)]
#[path = "../halves/draw.rs"]
mod draw;

use bodies::{pair, resolved};
use draw::Draw;
use limberwood::chain::Resolved;
use limberwood::chain::joint::{Joint, JointLimits, edge_swing, mouth_plane};
use limberwood::check::collide::{Swing, swing_all};
use limberwood::mesh::nearest::MeshTree;

const CATERPILLAR: &str = include_str!("../../params/caterpillar.yaml");
/// What the least of 24 directions may lie off the closed form, degrees.
const AGREEMENT: f64 = 0.02;
/// Random joints in an ordinary run.
const CASES: u64 = 5;

/// Measured and closed form of one joint, degrees: concentric and pushed aside.
struct Found {
    measured: [f64; 2],
    expected: [f64; 2],
}

fn joint(creature: &Resolved, number: usize, deviation: f64) -> Result<Found, String> {
    let own = &creature.joints[number].joint;
    let pair = pair(creature, number, deviation)?;
    let tree = |soup: &bodies::Soup| MeshTree::new(&soup.0, &soup.1).map_err(|e| e.to_string());
    let (still, moving) = (tree(&pair.still)?, tree(&pair.moving)?);
    let stem = own.stem();
    let mouth = (mouth_plane(own.socket(), own.mouth), own.mouth);
    let push = own.clearance - 2.0 * deviation;
    let measured = [0.0, push].map(|aside| {
        let swing = Swing {
            centre: [pair.centre, 0.0, 0.0],
            chain_axis: [pair.way, 0.0, 0.0],
            count: 24,
            aside,
            most: 1.2,
        };
        let found = swing_all(&still, &moving, &swing);
        let least = found.iter().map(|c| c.angle).fold(f64::INFINITY, f64::min);
        least.to_degrees()
    });
    let expected = [0.0, push].map(|aside| {
        let edges = [mouth, own.flare_edge()].map(|edge| edge_swing(&stem, edge, aside));
        edges[0].min(edges[1]).to_degrees()
    });
    Ok(Found { measured, expected })
}

impl Found {
    fn off(&self) -> f64 {
        let off = |k: usize| (self.measured[k] - self.expected[k]).abs();
        off(0).max(off(1))
    }

    fn show(&self) -> String {
        let Found {
            measured: [a, b],
            expected: [c, d],
        } = self;
        format!(
            "concentric {a:.5} closed form {c:.5}, aside {b:.5} closed form {d:.5}, off {:.5} deg",
            self.off()
        )
    }
}

#[test]
fn the_caterpillars_neck_meets_the_mouth_where_the_closed_form_says() {
    let creature = resolved(CATERPILLAR).unwrap();
    let found = joint(&creature, 0, 2e-3).unwrap();
    assert!(found.off() < AGREEMENT, "{}", found.show());
    // The form of the room `chain` itself: concentric, the joint's swing.
    let swing = creature.joints[0].limits.swing.to_degrees();
    assert!((found.expected[0] - swing).abs() < 1e-9);
}

/// Deviation (mm) of the meshes of a joint that keeps the agreement, by what they fall short at most.
fn needed(joint: &Joint, half_width: f64) -> f64 {
    let kept = |deviation: f64| {
        let [concentric, aside] = JointLimits::short(joint, half_width, deviation);
        concentric.max(aside) <= AGREEMENT.to_radians()
    };
    // The closed form needs no more than to be bounded: 0.1 micrometre is met, 0.1 mm is not.
    let (mut kept_at, mut lost_at) = (1e-4, 0.1);
    assert!(kept(kept_at) && !kept(lost_at));
    while lost_at > 1.001 * kept_at {
        let middle = 0.5 * (kept_at + lost_at);
        if kept(middle) {
            kept_at = middle;
        } else {
            lost_at = middle;
        }
    }
    kept_at
}

fn number(name: &str) -> Option<u64> {
    std::env::var(name).ok()?.parse().ok()
}

/// Two round sections with a drawn joint.
fn drawn(case: u64) -> String {
    let mut numbers = Draw::of(case);
    let mut draw = |from: f64, to: f64| numbers.between(from, to);
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
        let link = &creature.joints[0];
        let deviation = needed(&link.joint, link.reach);
        let found = joint(&creature, 0, deviation);
        let found =
            found.unwrap_or_else(|e| panic!("case {case} is not built: {e}\n{}", drawn(case)));
        assert!(
            found.off() < AGREEMENT,
            "case {case}, deviation {deviation:.5}: {}\n{}",
            found.show(),
            drawn(case)
        );
        made += 1;
        if made == cases {
            break;
        }
    }
    assert_eq!(made, cases, "too few of the drawn joints are legal");
}
