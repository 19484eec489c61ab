//! Near misses of pockets in the glue face, and their refusals.

use limberwood::brep::build_form;
use limberwood::chain::{
    EndFace, EndJoint, Groove, Mark, SectionForm, Side, Socket, Stroke, Walls,
};
use limberwood::clear::half::{BUILD_GAP, Feature, ligaments, refusals};
use limberwood::diagnostic::Place;
use limberwood::params::SPECIES;
use limberwood::skin::skin;
use limberwood::units::Unit;
use proptest::prelude::*;

use crate::cases;
use crate::forms::{half, sizes, straight};
use crate::near::{FRONT, REAR, judged, pin, with_socket};

pub fn groove(socket: &Socket, gap: f64) -> Groove {
    Groove {
        x: socket.depth,
        mouth: -1.0,
        radius: socket.radius + gap + 0.4,
        half_width: 0.4,
        depth: 0.8,
        free: 1.2,
    }
}

fn mark(strokes: &[&[[f64; 2]]]) -> Mark {
    Mark {
        side: Side::Upper,
        text: "7>".to_owned(),
        strokes: strokes
            .iter()
            .map(|path| Stroke {
                path: path.to_vec(),
            })
            .collect(),
        half_width: 0.4,
        depth: 0.4,
    }
}

/// A stroke that begins at a place and leads away from it, with a bend.
pub fn stroke(from: [f64; 2], away: f64) -> Mark {
    let at = |d: f64, turn: f64| {
        [
            from[0] + d * (away + turn).cos(),
            from[1] + d * (away + turn).sin(),
        ]
    };
    mark(&[&[from, at(3.0, 0.0), at(5.0, 0.3)]])
}

proptest! {
    #![proptest_config(cases(24))]

    #[test]
    fn groove_and_its_socket(sizes in sizes(), gap in -0.05..0.05f64) {
        let (mut form, socket) = with_socket(&sizes, 70.0);
        form.features.grooves = vec![groove(&socket, gap)];
        judged(&form, (Feature::Groove(FRONT), Feature::Socket(FRONT)), gap, 1e-9)?;
    }

    /// A groove at the height of the flare, whose end is nearest.
    #[test]
    fn groove_and_its_flare(sizes in sizes(), gap in -0.05..0.05f64, share in 0.2..0.8f64) {
        let (mut form, socket) = with_socket(&sizes, 70.0);
        let mouth = (socket.radius.powi(2) - socket.mouth_radius.powi(2)).sqrt();
        let along = share * (socket.depth - mouth);
        let (sin, cos) = socket.flare.sin_cos();
        // Square to the flare's line, so far out that the groove's end is that near.
        let far = 0.4 + gap;
        let x = -mouth - along + far * sin;
        let y = socket.mouth_radius + along * sin / cos + far * cos;
        let mut ring = groove(&socket, 1.0);
        ring.radius = x.hypot(y);
        ring.free = y.atan2(-x);
        form.features.grooves = vec![ring];
        // Past the flare's line the arc's side, not its end, may be the nearer one.
        let within = if gap < -0.39 { 1.0 } else { 1e-9 };
        judged(&form, (Feature::Groove(FRONT), Feature::Flare(FRONT)), gap, within)?;
    }

    /// A hole outside the ring, round or slotted, at any side of it.
    #[test]
    fn groove_and_pin(sizes in sizes(), gap in -0.05..0.05f64, r in 1.5..3.0f64, chamfer in prop_oneof![Just(0.0), 0.2..0.6f64],
        slot in 0.0..1.0f64, turn in -1.2..1.2f64) {
        let (mut form, socket) = with_socket(&sizes, 80.0);
        let ring = groove(&socket, 1.5);
        let far = ring.radius + ring.half_width + gap + r + chamfer;
        form.pins = vec![pin(ring.x + 0.5 * slot + far * turn.cos(), far * turn.sin(), r, slot, 5.0)];
        form.features.pin_chamfer = chamfer;
        form.features.grooves = vec![ring];
        let feature = if chamfer > 0.0 { Feature::PinChamfer(1) } else { Feature::PinHole(1) };
        judged(&form, (Feature::Groove(FRONT), feature), gap, 1e-9)?;
    }

    /// Upright sides of a straight section are nearest at right angles to the axis.
    #[test]
    fn groove_and_rim(sizes in sizes(), gap in -0.05..0.05f64) {
        let (mut form, socket) = with_socket(&sizes, 60.0);
        let ring = groove(&socket, 1.5);
        for s in &mut form.outline {
            s.half_width = ring.radius + ring.half_width + gap;
        }
        form.features.grooves = vec![ring];
        judged(&form, (Feature::Groove(FRONT), Feature::Rim), gap, 1e-6)?;
    }

    #[test]
    fn groove_and_faces(sizes in sizes(), gap in -0.05..0.05f64, lean in 0.0..0.1f64, own in prop::bool::ANY) {
        let (mut form, socket) = with_socket(&sizes, 80.0);
        form.lean = lean;
        let mut ring = groove(&socket, 1.5);
        // The far corner of the end cap or of the back is nearest to the leaning plane.
        let lost = ring.depth * lean.tan() + gap / lean.cos();
        if own {
            let cos = (socket.depth - ring.half_width - lost) / ring.radius;
            prop_assume!(cos < 0.9);
            ring.free = cos.acos();
        } else {
            let back = socket.depth + ring.radius + ring.half_width + lost;
            form = SectionForm { length: back, ..form };
            form.outline[1].x = 0.5 * back;
            form.outline[2].x = back;
        }
        form.features.grooves = vec![ring];
        let at = if own { FRONT } else { REAR };
        judged(&form, (Feature::Groove(FRONT), Feature::EndFace(at)), gap, 1e-6)?;
    }

    #[test]
    fn groove_in_a_dome(sizes in sizes(), gap in -0.05..0.05f64) {
        let socket = sizes.socket(true);
        let ring = groove(&socket, 0.5);
        // The top of the outer wall at the side of the dome.
        let depth = (ring.radius + ring.half_width).hypot(ring.depth) + gap;
        let socket = Socket { depth, ..socket };
        let mut form = straight(70.0, 2.5 * depth, 15.0);
        form.front.joint = EndJoint::Socket(socket);
        form.front.face = EndFace::Domed { radius: depth };
        let radius = 0.95 * depth;
        let x = depth - (depth * depth - radius * radius).sqrt();
        form.outline[0] = crate::forms::station(x, radius, radius, 2.0);
        let free = 0.9 * (radius / depth).asin();
        form.features.grooves = vec![Groove { x: depth, free, ..ring }];
        // Past the dome, the deepest place of it in the groove lies between wall and floor.
        let within = if gap < 0.0 { 0.02 } else { 1e-6 };
        judged(&form, (Feature::Groove(FRONT), Feature::EndFace(FRONT)), gap, within)?;
    }

    #[test]
    fn two_grooves(sizes in sizes(), gap in -0.05..0.05f64) {
        let (mut form, socket) = with_socket(&sizes, 70.0);
        let front = groove(&socket, 0.3);
        let length = 2.0 * (socket.depth + front.radius + front.half_width) + gap;
        (form.length, form.outline[1].x, form.outline[2].x) = (length, 0.5 * length, length);
        form.rear.joint = form.front.joint;
        let rear = Groove { x: length - socket.depth, mouth: 1.0, ..front };
        form.features.grooves = vec![front, rear];
        judged(&form, (Feature::Groove(FRONT), Feature::Groove(REAR)), gap, 1e-6)?;
    }

    #[test]
    fn ends_of_a_groove(sizes in sizes(), gap in -0.05..0.05f64) {
        let (mut form, socket) = with_socket(&sizes, 90.0);
        let mut ring = groove(&socket, 1.5);
        ring.free = std::f64::consts::PI - ((ring.half_width + 0.5 * gap) / ring.radius).asin();
        form.features.grooves = vec![ring];
        judged(&form, (Feature::Groove(FRONT), Feature::Groove(FRONT)), gap, 1e-9)?;
    }

    #[test]
    fn chamfers(gap in -0.05..0.05f64, r in (1.5..3.0f64, 1.5..3.0f64), chamfer in 0.2..0.6f64, slot in 0.0..1.0f64) {
        let mut form = straight(60.0, 20.0, 15.0);
        form.features.pin_chamfer = chamfer;
        let far = r.0 + r.1 + 2.0 * chamfer + gap;
        form.pins = vec![pin(25.0, 0.0, r.0, slot, 5.0), pin(25.0 + 0.5 * slot + far, 0.0, r.1, 0.0, 5.0)];
        judged(&form, (Feature::PinChamfer(1), Feature::PinChamfer(2)), gap, 1e-9)?;
    }

    #[test]
    fn chamfer_and_joint(sizes in sizes(), gap in -0.05..0.05f64, chamfer in 0.2..0.6f64) {
        let (mut form, socket) = with_socket(&sizes, 70.0);
        form.features.pin_chamfer = chamfer;
        let x = socket.depth + socket.radius + gap + chamfer + 2.0;
        form.pins = vec![pin(x, 0.0, 2.0, 0.0, 5.0)];
        judged(&form, (Feature::Socket(FRONT), Feature::PinChamfer(1)), gap, 1e-6)?;
    }

    #[test]
    fn chamfer_and_edges(gap in -0.05..0.05f64, chamfer in 0.2..0.6f64, lean in 0.0..0.1f64, rim in prop::bool::ANY) {
        let mut form = straight(60.0, 20.0, 15.0);
        (form.lean, form.features.pin_chamfer) = (lean, chamfer);
        // The edge in the split plane is nearest to a plane that leans less than the chamfer.
        let far = 2.0 + chamfer + gap / lean.cos();
        let far = if gap < 0.0 && rim { 2.0 + chamfer + gap } else { far };
        form.pins = vec![if rim { pin(30.0, 20.0 - far, 2.0, 0.0, 1.0) } else { pin(60.0 - far, 3.0, 2.0, 0.0, 1.0) }];
        let with = if rim { Feature::Rim } else { Feature::EndFace(REAR) };
        // Where the edge has passed the rim, the deepest place of it depends on both slopes.
        let within = if gap < 0.0 && rim { 0.04 } else { 1e-6 };
        judged(&form, (Feature::PinChamfer(1), with), gap, within)?;
    }

    #[test]
    fn chamfer_and_floor(gap in -0.05..0.05f64, chamfer in 0.5..1.5f64) {
        let mut form = straight(60.0, 20.0, 15.0);
        form.features.pin_chamfer = chamfer;
        form.pins = vec![pin(30.0, 0.0, 2.0, 0.5, chamfer + gap)];
        judged(&form, (Feature::PinChamfer(1), Feature::PinFloor(1)), gap, 1e-9)?;
    }

    #[test]
    fn mark_and_pin(gap in -0.05..0.05f64, r in 1.5..3.0f64, chamfer in prop_oneof![Just(0.0), 0.2..0.6f64], slot in 0.0..1.0f64, turn in -1.4..1.4f64) {
        let mut form = straight(60.0, 20.0, 15.0);
        form.features.pin_chamfer = chamfer;
        form.pins = vec![pin(25.0, 0.0, r, slot, 5.0)];
        let far = r + chamfer + gap + 0.4;
        let from = [25.0 + 0.5 * slot + far * turn.cos(), far * turn.sin()];
        form.features.marks = vec![stroke(from, turn)];
        let feature = if chamfer > 0.0 { Feature::PinChamfer(1) } else { Feature::PinHole(1) };
        judged(&form, (Feature::Mark(1), feature), gap, 1e-9)?;
    }

    #[test]
    fn mark_and_joint(sizes in sizes(), gap in -0.05..0.05f64, turn in -1.4..1.4f64, ditch in prop::bool::ANY) {
        let (mut form, socket) = with_socket(&sizes, 80.0);
        let mut far = socket.radius;
        if ditch {
            let ring = groove(&socket, 1.5);
            far = ring.radius + ring.half_width;
            form.features.grooves = vec![ring];
        }
        far += gap + 0.4;
        form.features.marks = vec![stroke([socket.depth + far * turn.cos(), far * turn.sin()], turn)];
        let feature = if ditch { Feature::Groove(FRONT) } else { Feature::Socket(FRONT) };
        judged(&form, (Feature::Mark(1), feature), gap, 1e-6)?;
    }

    /// Sides that lean: the top of the wall is nearest.
    #[test]
    fn mark_and_edges(gap in -0.05..0.05f64, lean in 0.0..0.1f64, left in prop::bool::ANY, rim in prop::bool::ANY) {
        let mut form = straight(60.0, 20.0, 15.0);
        form.lean = lean;
        let across = if rim && gap < 0.0 { gap * (1.0 + lean.tan()) } else { gap / lean.cos() };
        let far = 0.4 + 0.4 * lean.tan() + across;
        let (from, away) = if rim { ([30.0, 20.0 - far], -1.2) } else { ([60.0 - far, 3.0], 2.9) };
        let mut cut = stroke(from, away);
        if left {
            cut.strokes[0].path.iter_mut().for_each(|p| p[1] = -p[1]);
        }
        form.features.marks = vec![cut];
        let with = if rim { Feature::Rim } else { Feature::EndFace(REAR) };
        judged(&form, (Feature::Mark(1), with), gap, 1e-6)?;
    }

    #[test]
    fn two_strokes(gap in -0.05..0.05f64, turn in 0.1..3.0f64, two in prop::bool::ANY) {
        let mut form = straight(60.0, 20.0, 15.0);
        let near = [30.0, 3.8 + gap];
        let other = [near, [30.0 + 4.0 * turn.cos(), near[1] + 4.0 * turn.sin()]];
        let first: &[[f64; 2]] = &[[25.0, 3.0], [36.0, 3.0]];
        form.features.marks = if two {
            vec![mark(&[first]), mark(&[&other])]
        } else {
            vec![mark(&[first, &other])]
        };
        let second = if two { Feature::Mark(2) } else { Feature::Mark(1) };
        judged(&form, (Feature::Mark(1), second), gap, 1e-9)?;
    }

    /// A hook: its last piece comes back to the first, over two bends.
    #[test]
    fn one_stroke_and_itself(gap in -0.05..0.05f64) {
        let mut form = straight(60.0, 20.0, 15.0);
        let back = 3.0 + 0.8 + gap;
        form.features.marks = vec![mark(&[&[[25.0, 3.0], [32.0, 3.0], [32.0, 6.0], [29.0, 6.0], [29.0, back]]])];
        judged(&form, (Feature::Mark(1), Feature::Mark(1)), gap, 1e-9)?;
    }

    /// The piece between two bends to the same side is all but used up by them.
    #[test]
    fn short_pieces(gap in -0.05..0.05f64, a in 0.3..1.4f64, b in 0.3..1.4f64) {
        let mut form = straight(60.0, 20.0, 15.0);
        let length = 0.4 * ((0.5 * a).tan() + (0.5 * b).tan()) + gap;
        prop_assume!(length > 0.0);
        let (p, q) = ([30.0, 3.0], [30.0 + length * a.cos(), 3.0 + length * a.sin()]);
        let end = [q[0] + 4.0 * (a + b).cos(), q[1] + 4.0 * (a + b).sin()];
        form.features.marks = vec![mark(&[&[[25.0, 3.0], p, q, end]])];
        let form = half(&form);
        let found = ligaments(&form, &skin(&form).unwrap());
        let least = found.iter().filter(|l| l.between == (Feature::Mark(1), Feature::Mark(1)))
            .map(|l| l.gap).fold(f64::INFINITY, f64::min);
        prop_assert!((least - gap).abs() < 1e-9, "{least}");
        // Folded outlines are not built; such a form is refused before.
        prop_assert_eq!(build_form(&form).is_ok(), gap > 0.0);
        prop_assert_eq!(refusals(&found, &Walls::of(&SPECIES[0]), true).is_empty(), gap >= BUILD_GAP);
    }
}

#[test]
fn slight_bends_are_straight_or_refused() {
    for (turn, refused) in [
        (0.0_f64, false),
        (1e-12, false),
        (1e-3, true),
        (0.02, true),
        (0.03, false),
    ] {
        let mut form = straight(60.0, 20.0, 15.0);
        let end = [32.0 + 4.0 * turn.cos(), 3.0 + 4.0 * turn.sin()];
        form.features.marks = vec![mark(&[&[[28.0, 3.0], [32.0, 3.0], end]])];
        let form = half(&form);
        let found = ligaments(&form, &skin(&form).unwrap());
        let bad = refusals(&found, &Walls::of(&SPECIES[0]), true);
        assert_eq!(!bad.is_empty(), refused, "{turn}: {bad:?}");
        assert!(build_form(&form).is_ok());
    }
}

/// What lies in the air touches nothing, and is refused all the same.
#[test]
fn pockets_beside_the_body_are_refused() {
    let mut dome = straight(60.0, 18.0, 14.0);
    dome.front.face = EndFace::Domed { radius: 30.0 };
    dome.outline[0] = crate::forms::station(30.0 - 24.0, 18.0, 18.0, 2.0);
    let mut bodies = vec![dome; 3];
    bodies[0].features.marks = vec![mark(&[&[[30.0, 20.0], [38.0, 20.0]]])];
    bodies[1].features.marks = vec![mark(&[&[[1.0, 13.0], [3.0, 16.0]]])];
    bodies[2].pins = vec![pin(30.0, 25.0, 3.0, 0.0, 5.0)];
    for form in bodies {
        let form = half(&form);
        let found = ligaments(&form, &skin(&form).unwrap());
        assert!(!refusals(&found, &Walls::of(&SPECIES[0]), true).is_empty());
    }
}

#[test]
fn refusals_name_both_numbers() {
    let mut form = straight(60.0, 18.0, 14.0);
    form.pins = vec![pin(30.0, 0.0, 3.0, 0.0, 5.0)];
    form.features.pin_chamfer = 0.5;
    form.features.marks = vec![mark(&[&[[30.0, 3.0], [38.0, 3.0]]])];
    let form = half(&form);
    let found = ligaments(&form, &skin(&form).unwrap());
    let refused = refusals(&found, &Walls::of(&SPECIES[0]), false);
    // The chamfer crosses what its hole crosses: said once.
    assert_eq!(refused.len(), 1, "{refused:?}");
    let text = refused[0]
        .diagnostic(Place::default(), Unit::Mm)
        .to_string();
    for part in [
        "mark 1 and pin hole 1 cross by 0.4 mm at x 30",
        "stroke width 0.8 mm, pin hole radius 3 mm",
        "write `marks: off`",
    ] {
        assert!(text.contains(part), "{part}: {text}");
    }
}
