//! Near misses: one gap is brought to a chosen value, and the half is built or refused by it.

use limberwood::brep::build_form;
use limberwood::chain::{EndFace, HalfForm, Pin, SectionForm, Walls};
use limberwood::clear::half::{BUILD_GAP, Facing, Feature, ligaments, refusals};
use limberwood::diagnostic::Severity;
use limberwood::params::SPECIES;
use limberwood::skin::{Skin, skin};
use proptest::prelude::*;

use crate::cases;
use crate::forms::{Sizes, half, sizes, station, straight};

pub fn pin(x: f64, y: f64, radius: f64, slot: f64, depth: f64) -> Pin {
    Pin {
        x,
        y,
        radius,
        slot,
        depth_above: depth,
        depth_below: depth,
    }
}

/// The gap between two features, and whether the half is refused for it.
fn found(form: &HalfForm, outer: &Skin, between: (Feature, Feature)) -> (f64, bool) {
    let all = ligaments(form, outer);
    let of = |l: &&limberwood::clear::half::Ligament| {
        l.between == between || l.between == (between.1, between.0)
    };
    let gap = all.iter().find(of).unwrap();
    assert!(gap.proven, "{gap:?}");
    let refused = refusals(&all, &Walls::of(&SPECIES[0]), true);
    let refused = refused.iter().any(|r| {
        r.severity == Severity::Error
            && (r.between == between || r.between == (between.1, between.0))
    });
    (gap.gap, refused)
}

/// The form has this gap between the two features, within `within`, and is judged by it.
pub fn judged(
    form: &SectionForm,
    between: (Feature, Feature),
    wanted: f64,
    within: f64,
) -> Result<(), TestCaseError> {
    let form = half(form);
    let outer = skin(&form).unwrap();
    let (gap, refused) = found(&form, &outer, between);
    prop_assert!((gap - wanted).abs() <= within, "{gap} instead of {wanted}");
    if (wanted - BUILD_GAP).abs() > within {
        prop_assert_eq!(refused, wanted < BUILD_GAP, "gap {}", gap);
    }
    if !refused {
        prop_assert!(build_form(&form).is_ok());
    }
    Ok(())
}

/// A section with a flat socket in front, roomy all round.
pub fn with_socket(sizes: &Sizes, length: f64) -> (SectionForm, limberwood::chain::Socket) {
    let mut form = straight(length, 3.0 * sizes.radius, 3.0 * sizes.radius);
    let socket = sizes.socket(false);
    form.front.joint = limberwood::chain::EndJoint::Socket(socket);
    (form, socket)
}

/// Least value of a function with one valley between two places.
fn valley(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    while high - low > 1e-6 {
        let (a, b) = (low + 0.4 * (high - low), low + 0.6 * (high - low));
        if f(a) < f(b) {
            high = b;
        } else {
            low = a;
        }
    }
    f(0.5 * (low + high))
}

/// Least of `least` over all directions: of 48, then around the best.
fn around(least: impl Fn(f64) -> f64) -> f64 {
    let step = std::f64::consts::TAU / 48.0;
    let best = (0..48)
        .map(|k| f64::from(k) * step)
        .fold(0.0, |best, angle| {
            if least(angle) < least(best) {
                angle
            } else {
                best
            }
        });
    valley(best - step, best + step, least)
}

/// Height of the skin of a straight section without lean over a place (there u is x).
pub fn height(outer: &Skin, x: f64, y: f64) -> f64 {
    let section = outer.skin.section(x);
    let v = solve(0.0, 1.0, y, |v| section.jet(v).p[1]);
    section.jet(v).p[2]
}

/// Least signed distance of the skin from an upright solid about (x, 0), given by distance from
/// its axis and height, looked for along rays in the plan: shares nothing with the search under
/// test.
fn brute(outer: &Skin, x: f64, reach: f64, distance: impl Fn(f64, f64) -> f64) -> f64 {
    around(|angle| {
        let (sin, cos) = angle.sin_cos();
        valley(0.0, reach, |far| {
            distance(far, height(outer, x + far * cos, far * sin))
        })
    })
}

/// The value between low and high at which a rising function is `wanted`.
fn solve(mut low: f64, mut high: f64, wanted: f64, f: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if f(middle) < wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

pub const FRONT: Facing = Facing::Front;
pub const REAR: Facing = Facing::Rear;

proptest! {
    #![proptest_config(cases(24))]

    #[test]
    fn pin_and_socket(sizes in sizes(), gap in -0.05..0.05f64, r in 1.5..3.0f64, slot in 0.0..1.0f64) {
        let (mut form, socket) = with_socket(&sizes, 70.0);
        let x = socket.depth + socket.radius + gap + r + 0.5 * slot;
        form.pins = vec![pin(x, 0.0, r, slot, 5.0)];
        judged(&form, (Feature::Socket(FRONT), Feature::PinHole(1)), gap, 1e-6)?;
    }

    #[test]
    fn two_pins(gap in -0.05..0.05f64, r in (1.5..3.0f64, 1.5..3.0f64), slot in 0.0..1.0f64, turn in 0.0..1.5f64) {
        let mut form = straight(60.0, 20.0, 15.0);
        let far = r.0 + r.1 + gap;
        form.pins = vec![
            pin(25.0, 0.0, r.0, slot, 5.0),
            pin(25.0 + 0.5 * slot + far * turn.cos(), far * turn.sin(), r.1, 0.0, 7.0),
        ];
        judged(&form, (Feature::PinHole(1), Feature::PinHole(2)), gap, 1e-6)?;
    }

    /// The rim of a straight section is a leaning plane. The hole's floor lies under the rim's
    /// top, and its edge is nearest; or over it, and the top line is nearest.
    #[test]
    fn pin_and_rim(gap in -0.05..0.05f64, r in 1.5..3.0f64, lean in 0.0..0.1f64, deep in prop::bool::ANY, left in prop::bool::ANY) {
        let mut form = straight(60.0, 20.0, 15.0);
        form.lean = lean;
        let (depth, top) = if deep { (8.0, form.rim) } else { (3.0, 3.0) };
        // Along y at that height. Where the edge has passed the plane, the deepest point of the
        // rim in the hole is as far from the wall as from the floor.
        let across = match (deep, gap < 0.0) {
            (true, _) => gap,
            (false, false) => gap / lean.cos(),
            (false, true) => gap * (1.0 + lean.tan()),
        };
        let y = 20.0 - r - top * lean.tan() - across;
        form.pins = vec![pin(27.0, if left { y } else { -y }, r, 0.0, depth)];
        judged(&form, (Feature::PinHole(1), Feature::Rim), gap, 1e-6)?;
    }

    #[test]
    fn pin_and_face(gap in -0.05..0.05f64, r in 1.5..3.0f64, lean in 0.0..0.1f64, depth in 2.0..9.0f64) {
        let mut form = straight(60.0, 20.0, 15.0);
        form.lean = lean;
        let x = 60.0 - depth * lean.tan() - r - gap / lean.cos();
        form.pins = vec![pin(x, 3.0, r, 0.0, depth)];
        judged(&form, (Feature::PinHole(1), Feature::EndFace(REAR)), gap, 1e-6)?;
    }

    #[test]
    fn socket_and_rim(sizes in sizes(), gap in -0.05..0.05f64) {
        let (mut form, socket) = with_socket(&sizes, 60.0);
        for s in &mut form.outline {
            s.half_width = socket.radius + gap;
        }
        judged(&form, (Feature::Socket(FRONT), Feature::Rim), gap, 1e-6)?;
    }

    #[test]
    fn socket_and_skin(sizes in sizes(), gap in -0.05..0.05f64, square in 2.0..3.0f64) {
        let (form, socket) = with_socket(&sizes, 60.0);
        let with_height = |height: f64| {
            let mut form = form.clone();
            form.outline[1] = station(socket.depth, form.outline[1].half_width, height, square);
            form
        };
        let bruted = |height: f64| {
            let outer = skin(&half(&with_height(height))).unwrap();
            brute(&outer, socket.depth, 0.8 * socket.depth, |far, z| far.hypot(z) - socket.radius)
        };
        let height = (0..2).fold(socket.radius + gap, |h, _| h + gap - bruted(h));
        judged(&with_height(height), (Feature::Socket(FRONT), Feature::Skin), bruted(height), 1e-5)?;
    }

    /// A floor under a falling back: its edge is nearest.
    #[test]
    fn pin_and_skin(gap in -0.05..0.05f64, r in 1.5..3.0f64, tail in 7.0..14.0f64) {
        let mut form = straight(60.0, 20.0, 15.0);
        form.outline[2].above = tail;
        let outer = skin(&half(&form)).unwrap();
        let bruted = |depth: f64| brute(&outer, 40.0, r + 1.0, |far, z| {
            let (side, over) = (far - r, z - depth);
            side.max(over).min(0.0) + side.max(0.0).hypot(over.max(0.0))
        });
        let depth = (0..3).fold(10.0, |depth, _| depth + bruted(depth) - gap);
        form.pins = vec![pin(40.0, 0.0, r, 0.0, depth)];
        judged(&form, (Feature::PinHole(1), Feature::Skin), bruted(depth), 1e-5)?;
    }

    #[test]
    fn flare_in_face(sizes in sizes(), gap in -0.05..0.05f64) {
        let (mut form, socket) = with_socket(&sizes, 60.0);
        let edge = socket.mouth_radius + sizes.land * socket.flare.tan();
        form.outline[0].half_width = edge + gap;
        judged(&form, (Feature::FlareEdge(FRONT), Feature::Outline(FRONT)), gap, 1e-6)?;
    }

    #[test]
    fn flare_in_dome(sizes in sizes(), gap in -0.05..0.05f64) {
        let socket = sizes.socket(true);
        let mut form = straight(60.0, 20.0, 15.0);
        form.front.joint = limberwood::chain::EndJoint::Socket(socket);
        form.front.face = EndFace::Domed { radius: socket.depth };
        let (_, edge) = limberwood::chain::joint::flare_on_dome(socket.radius, socket.mouth_radius, socket.flare, socket.depth);
        // A chord of length |gap| between two circles of one sphere.
        let turn = 2.0 * (0.5 * gap / socket.depth).asin();
        let angle = (edge / socket.depth).asin() + turn;
        let radius = socket.depth * angle.sin();
        form.outline[0] = station(socket.depth * (1.0 - angle.cos()), radius, radius, 2.0);
        judged(&form, (Feature::FlareEdge(FRONT), Feature::Outline(FRONT)), gap, 1e-6)?;
    }

    #[test]
    fn land_of_a_dome(sizes in sizes(), gap in -0.05..0.05f64) {
        let socket = limberwood::chain::Socket { depth: sizes.radius + 0.4 + gap, ..sizes.socket(true) };
        let mut form = straight(60.0, 20.0, 15.0);
        form.front.joint = limberwood::chain::EndJoint::Socket(socket);
        form.front.face = EndFace::Domed { radius: socket.depth };
        let radius = 0.95 * socket.depth;
        let x = socket.depth - (socket.depth.powi(2) - radius.powi(2)).sqrt();
        form.outline[0] = station(x, radius, radius, 2.0);
        judged(&form, (Feature::Socket(FRONT), Feature::EndFace(FRONT)), gap, 1e-6)?;
    }

    #[test]
    fn neck_in_face(sizes in sizes(), gap in -0.05..0.05f64) {
        let mut form = straight(60.0, 20.0, 15.0);
        form.rear.joint = sizes.ball();
        form.rim = 0.9 * sizes.neck * sizes.radius;
        form.outline[2].half_width = sizes.neck * sizes.radius + gap;
        judged(&form, (Feature::Neck(REAR), Feature::Outline(REAR)), gap, 1e-6)?;
    }

    #[test]
    fn ball_and_face(sizes in sizes(), gap in -0.05..0.05f64) {
        let mut form = straight(60.0, 20.0, 15.0);
        let (r, n, f) = (sizes.radius, sizes.neck * sizes.radius, sizes.fillet);
        let back = ((r + f).powi(2) - (n + f).powi(2)).sqrt();
        form.rear.joint = limberwood::chain::EndJoint::Ball(limberwood::chain::Ball {
            radius: r, reach: back + gap, neck_radius: n, fillet: f,
        });
        judged(&form, (Feature::Ball(REAR), Feature::EndFace(REAR)), gap, 1e-6)?;
    }

    #[test]
    fn two_ends(gap in -0.05..0.05f64, lean in 0.1..0.3f64, height in 8.0..30.0f64) {
        let length = gap / lean.cos() + 2.0 * height * lean.tan();
        let mut form = straight(length, 30.0, height);
        form.lean = lean;
        // The fitted arch is that much higher or lower than it should be.
        let misfit = skin(&half(&form)).unwrap().misfit;
        judged(&form, (Feature::EndFace(FRONT), Feature::EndFace(REAR)), gap, 1e-6 + 2.0 * misfit * lean.tan())?;
    }

    #[test]
    fn two_sockets(sizes in sizes(), gap in -0.05..0.05f64) {
        let socket = sizes.socket(false);
        let (mut form, _) = with_socket(&sizes, 2.0 * (socket.depth + socket.radius) + gap);
        form.rear.joint = form.front.joint;
        judged(&form, (Feature::Socket(FRONT), Feature::Socket(REAR)), gap, 1e-6)?;
    }
}
