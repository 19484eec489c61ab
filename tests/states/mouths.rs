//! Mouths of sockets over and under the groove's floor, in domed, upright and leaning ends.

use std::f64::consts::PI;

use limberwood::brep::blank::Through;
use limberwood::brep::build_form;
use limberwood::brep::pose::Pose;
use limberwood::brep::shape::Half;
use limberwood::brep::states::{Below, Site, piece};
use limberwood::brep::volume::volume;
use limberwood::chain::{
    Ball, End, EndFace, EndJoint, Features, HalfForm, Knot, Pin, SectionForm, Side, Socket, Station,
};
use limberwood::mesh::inspect::inspect;
use limberwood::mesh::tessellate;
use limberwood::skin::plan::{Corner, Way};

use super::form;

const SIZE: [f64; 3] = [140.0, 80.0, 19.0];
/// Of the window, which is a rectangle in the middle.
const WINDOW: [f64; 2] = [110.0, 56.0];

fn socket(face: EndFace, depth: f64, mouth_radius: f64) -> End {
    let socket = Socket {
        radius: mouth_radius + 1.0,
        depth,
        mouth_radius,
        flare: 24f64.to_radians(),
    };
    End {
        face,
        joint: EndJoint::Socket(socket),
    }
}

fn ball() -> End {
    let ball = Ball {
        radius: 8.0,
        reach: 14.0,
        neck_radius: 3.5,
        fillet: 1.5,
    };
    End {
        face: EndFace::Flat,
        joint: EndJoint::Ball(ball),
    }
}

fn form(front: End, rear: End, lean: f64) -> SectionForm {
    let station = |x: f64, half_width: f64| Station {
        x,
        half_width,
        above: 15.0,
        below: 14.0,
        squareness: 2.4,
        knot: Knot::Point,
    };
    let pin = |x: f64, slot: f64| Pin {
        x,
        y: 3.0,
        radius: 2.0,
        slot,
        depth_above: 5.0,
        depth_below: 6.0,
    };
    SectionForm {
        length: 50.0,
        outline: vec![station(0.0, 15.0), station(25.0, 17.0), station(50.0, 15.0)],
        rim: 4.5,
        lean,
        front,
        rear,
        pins: vec![pin(22.0, 0.0), pin(30.0, 0.7)],
        whole: false,
        features: Features::default(),
    }
}

/// The rectangle round the part's middle, in its own frame.
fn window() -> Vec<Corner> {
    let [x, y] = WINDOW.map(|s| 0.5 * s);
    [[-x, -y], [x, -y], [x, y], [-x, y]]
        .map(|p| Corner {
            at: [p[0] + 25.0, p[1]],
            way: Way::Line,
        })
        .to_vec()
}

/// A half in the middle of a piece, turned or not.
fn cut(body: &Half, (split, relief): (f64, f64), turned: bool) -> Half {
    let holes = [20.0, 120.0].map(|x| Through {
        at: [x, 5.0],
        radius: 3.0,
    });
    let sign = if turned { -1.0 } else { 1.0 };
    let site = Site {
        pose: Pose {
            about_z: turned,
            shift: [70.0 - sign * 25.0, 40.0, split],
            ..Pose::NONE
        },
        window: &window(),
        below: Below::Relief {
            body,
            split,
            floor: split + relief,
        },
        above: None,
    };
    piece(SIZE, &[site], &holes).expect("it closes")
}

fn sound(form: &SectionForm, sizes: (f64, f64)) {
    for (side, turned) in [(Side::Upper, false), (Side::Lower, true)] {
        let half = HalfForm::of(form, side);
        let (body, _) = build_form(&half).expect("a half");
        let solid = cut(&body, sizes, turned);
        let stock = SIZE[0] * SIZE[1] * SIZE[2] - 2.0 * PI * 9.0 * SIZE[2];
        let wanted = stock - form::inside(&half, &body, WINDOW[0] * WINDOW[1], sizes);
        let own = volume(&solid);
        assert!(
            (own / wanted - 1.0).abs() < 1e-9,
            "{sizes:?}: {own} {wanted}"
        );
        let mesh = tessellate(&solid, 0.03).expect("it is meshed");
        let written: Vec<[f32; 3]> = mesh.positions.iter().map(|p| p.map(|c| c as f32)).collect();
        let seen = inspect(&written, &mesh.triangles);
        assert!(
            seen.is_sound() && seen.shells == 1,
            "{sizes:?}: {:?}",
            seen.findings.first()
        );
    }
}

#[test]
fn a_groove_ends_before_every_mouth() {
    for lean in [0.0, 3.5, 7.0_f64] {
        for mouth in [4.0, 7.5] {
            for sizes in [(0.1, 2.0), (0.0, 2.0), (0.1, 0.3), (0.1, 5.0), (0.0, 5.0)] {
                let front = socket(EndFace::Flat, mouth + 3.0, mouth);
                sound(&form(front, ball(), lean.to_radians()), sizes);
            }
        }
    }
}

#[test]
fn it_ends_before_two_mouths_and_at_ends_without_any() {
    let mouth = |r: f64| socket(EndFace::Flat, r + 3.0, r);
    let plain = End {
        face: EndFace::Flat,
        joint: EndJoint::None,
    };
    for lean in [0.0, 4.0_f64] {
        for (front, rear) in [
            (mouth(6.0), mouth(6.5)),
            (plain, plain),
            (ball(), mouth(6.0)),
        ] {
            sound(&form(front, rear, lean.to_radians()), (0.1, 2.0));
        }
    }
}

#[test]
fn a_floor_through_the_crown_of_a_mouth_is_told_by_its_circle() {
    let front = socket(EndFace::Flat, 9.0, 6.0);
    let (body, _) = build_form(&HalfForm::of(&form(front, ball(), 0.0), Side::Upper)).unwrap();
    let found = limberwood::brep::openings(&body).unwrap();
    let [[a, b]] = found.as_slice() else {
        panic!("{found:?}");
    };
    let EndJoint::Socket(s) = front.joint else {
        unreachable!()
    };
    // On the flat end, by the flare's slope.
    let e = (s.radius * s.radius - s.mouth_radius * s.mouth_radius).sqrt();
    let wide = s.mouth_radius + (s.depth - e) * s.flare.tan();
    assert!(a.x == b.x && a.z == 0.0 && b.z == 0.0);
    assert!(((a.y - b.y).abs() - 2.0 * wide).abs() < 1e-9);
}
