//! Near misses of eyes, drilled from outside, over grooves and marks in the glue face.

use limberwood::chain::{Eye, SectionForm, Side, Walls};
use limberwood::clear::half::{Feature, ligaments, refusals};
use limberwood::diagnostic::Severity;
use limberwood::params::SPECIES;
use limberwood::skin::skin;
use proptest::prelude::*;

use crate::cases;
use crate::forms::{half, sizes, straight};
use crate::near::{FRONT, height, judged, with_socket};
use crate::pockets::{groove, stroke};

/// How the least distance lies: straight up, aside in plan, or the third side of a triangle of
/// both; crossings only as far as the lesser of the two.
fn legs(kind: u8, gap: f64, share: f64) -> (f64, f64) {
    match kind {
        0 => (-1.0, gap),
        1 => (gap, -0.3),
        _ if gap > 0.0 => (gap * share.cos(), gap * share.sin()),
        _ => (gap, gap - 0.2),
    }
}

/// An eye with its axis and its floor there.
fn eye(form: &SectionForm, [x, y]: [f64; 2], radius: f64, floor: f64) -> Eye {
    let depth = height(&skin(&half(form)).unwrap(), x, y) - floor;
    Eye {
        side: Side::Upper,
        x,
        y,
        radius,
        depth,
    }
}

proptest! {
    #![proptest_config(cases(32))]

    #[test]
    fn eye_and_groove(sizes in sizes(), gap in -0.05..0.05f64, kind in 0u8..3, share in 0.1..1.4f64,
        r in 1.1..1.5f64, turn in -1.2..1.2f64) {
        let (mut form, socket) = with_socket(&sizes, 80.0);
        let ring = groove(&socket, 1.8);
        let (aside, above) = legs(kind, gap, share);
        let far = ring.radius + ring.half_width + aside + r;
        let at = [ring.x + far * turn.cos(), far * turn.sin()];
        form.features.eyes = vec![eye(&form, at, r, ring.depth + above)];
        form.features.grooves = vec![ring];
        judged(&form, (Feature::Eye(1), Feature::Groove(FRONT)), gap, 1e-6)?;
    }

    #[test]
    fn eye_and_mark(gap in -0.05..0.05f64, kind in 0u8..3, share in 0.1..1.4f64, r in 1.1..3.0f64,
        away in -3.1..3.1f64, x in 35.0..45.0f64, y in -6.0..6.0f64) {
        let mut form = straight(80.0, 25.0, 20.0);
        let mark = stroke([x, y], away);
        let (aside, above) = legs(kind, gap, share);
        let far = mark.half_width + aside + r;
        let at = [x - far * away.cos(), y - far * away.sin()];
        form.features.eyes = vec![eye(&form, at, r, mark.depth + above)];
        form.features.marks = vec![mark];
        judged(&form, (Feature::Eye(1), Feature::Mark(1)), gap, 1e-6)?;
    }
}

/// Inside the ring of a groove, over the socket's far side, its hull is no groove.
#[test]
fn an_eye_inside_the_ring_is_as_far_as_the_ring() {
    let mut form = straight(80.0, 25.0, 20.0);
    let ring = limberwood::chain::Groove {
        x: 40.0,
        mouth: -1.0,
        radius: 12.0,
        half_width: 0.4,
        depth: 0.8,
        free: 0.5,
    };
    form.features.eyes = vec![eye(&form, [41.0, 0.0], 2.0, 0.9)];
    form.features.grooves = vec![ring];
    let form = half(&form);
    let all = ligaments(&form, &skin(&form).unwrap());
    let between = (Feature::Eye(1), Feature::Groove(FRONT));
    let found = all.iter().find(|l| l.between == between).unwrap();
    assert!((found.gap - (8.6f64).hypot(0.1)).abs() < 1e-9, "{found:?}");
}

/// Thin wood between an eye and a mark is told like that over a pin hole: a habit of the wood.
#[test]
fn thin_wood_over_a_mark_is_told() {
    let walls = Walls::of(&SPECIES[0]);
    for (floor, told) in [
        (0.4 + walls.pin_floor - 0.1, true),
        (0.4 + walls.pin_floor, false),
    ] {
        let mut form = straight(80.0, 25.0, 20.0);
        form.features.marks = vec![stroke([40.0, 0.0], 0.5)];
        form.features.eyes = vec![eye(&form, [41.0, 0.5], 2.0, floor)];
        let form = half(&form);
        let all = ligaments(&form, &skin(&form).unwrap());
        let found = refusals(&all, &walls, false);
        let between = (Feature::Eye(1), Feature::Mark(1));
        let thin = found.iter().find(|r| r.between == between);
        assert_eq!(thin.is_some(), told);
        assert!(thin.is_none_or(|r| r.habit && r.severity == Severity::Warning));
    }
}
