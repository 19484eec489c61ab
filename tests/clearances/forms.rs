//! Sections for the tests.

use limberwood::chain::joint::flare_on_dome;
use limberwood::chain::{
    Ball, End, EndFace, EndJoint, Features, Groove, HalfForm, Knot, Mark, Pin, SectionForm, Side,
    Socket, Station, Stroke,
};
use proptest::prelude::*;

pub fn station(x: f64, half_width: f64, height: f64, squareness: f64) -> Station {
    Station {
        x,
        half_width,
        above: height,
        below: height,
        squareness,
        knot: Knot::Point,
    }
}

pub fn half(form: &SectionForm) -> HalfForm {
    HalfForm::of(form, Side::Upper)
}

/// A straight section: equal stations, flat ends without joints.
pub fn straight(length: f64, half_width: f64, height: f64) -> SectionForm {
    let bare = End {
        face: EndFace::Flat,
        joint: EndJoint::None,
    };
    SectionForm {
        length,
        outline: [0.0, 0.5 * length, length]
            .map(|x| station(x, half_width, height, 2.5))
            .to_vec(),
        rim: 4.5,
        lean: 0.0,
        front: bare,
        rear: bare,
        pins: Vec::new(),
        whole: false,
        features: Features::default(),
    }
}

/// A joint by its ball: neck, mouth and flare in proportion.
#[derive(Debug, Clone, Copy)]
pub struct Sizes {
    pub radius: f64,
    pub neck: f64,
    pub mouth: f64,
    pub flare: f64,
    pub land: f64,
    pub fillet: f64,
}

impl Sizes {
    pub fn ball(&self) -> EndJoint {
        EndJoint::Ball(Ball {
            radius: self.radius,
            reach: self.radius + self.land + 4.0,
            neck_radius: self.neck * self.radius,
            fillet: self.fillet,
        })
    }

    pub fn socket(&self, domed: bool) -> Socket {
        let radius = self.radius + 0.4;
        let mouth_radius = self.mouth * self.radius;
        let depth = if domed {
            radius
        } else {
            (radius * radius - mouth_radius * mouth_radius).sqrt()
        };
        Socket {
            radius,
            depth: depth + self.land,
            mouth_radius,
            flare: self.flare,
        }
    }
}

prop_compose! {
    pub fn sizes()(radius in 6.0..11.0f64, neck in 0.35..0.5f64, mouth in 0.75..0.9f64, flare in 0.1..0.9f64,
        land in 2.0..4.5f64, fillet in prop::bool::ANY) -> Sizes {
        Sizes { radius, neck, mouth, flare, land, fillet: if fillet { 1.5 } else { 0.0 } }
    }
}

prop_compose! {
    fn pin()(x in 0.1..0.9f64, y in prop_oneof![Just(0.0), -0.5..0.5f64], radius in 1.5..3.2f64,
        slot in prop_oneof![Just(0.0), 0.3..1.5f64], depth in 3.0..9.0f64) -> Pin {
        Pin { x, y, radius, slot, depth_above: depth, depth_below: depth }
    }
}

/// 0: domed with a socket; 1: flat with a socket; 2: flat with a ball; 3: flat; 4: closed.
fn end(kind: u8, sizes: &Sizes) -> End {
    let joint = match kind {
        0 | 1 => EndJoint::Socket(sizes.socket(kind == 0)),
        2 => sizes.ball(),
        _ => EndJoint::None,
    };
    let face = match (kind, joint) {
        (0, EndJoint::Socket(socket)) => EndFace::Domed {
            radius: socket.depth,
        },
        (4, _) => EndFace::Closed,
        _ => EndFace::Flat,
    };
    End { face, joint }
}

/// Pockets by shares of the sizes of a section.
#[derive(Debug, Clone)]
pub struct Pockets {
    chamfer: f64,
    /// From the socket, half width, depth, free angle.
    groove: Option<(f64, f64, f64, f64)>,
    /// Points as shares of length and ball radius; half width, depth.
    mark: Option<(Vec<[f64; 2]>, f64, f64)>,
}

prop_compose! {
    fn pockets()(chamfer in prop_oneof![Just(0.0), 0.1..0.6f64],
        groove in prop::option::of((0.3..2.0f64, 0.2..0.6f64, 0.2..1.2f64, 0.8..2.0f64)),
        mark in prop::option::of(([0.5..0.9f64, -1.2..1.2f64], prop::collection::vec([-4.0..4.0f64, -4.0..4.0f64], 1..4),
            0.2..0.5f64, 0.1..0.8f64))) -> Pockets {
        let mark = mark.map(|(start, steps, half_width, depth)| {
            let path = std::iter::once(start).chain(steps).collect();
            (path, half_width, depth)
        });
        Pockets { chamfer, groove, mark }
    }
}

impl Pockets {
    fn on(&self, ends: &[End; 2], length: f64, radius: f64) -> Features {
        let groove = |end: &End, x: f64, mouth: f64| match (end.joint, self.groove) {
            (EndJoint::Socket(s), Some((gap, half_width, depth, free))) => Some(Groove {
                x: x - mouth * s.depth,
                mouth,
                radius: s.radius + gap + half_width,
                half_width,
                depth,
                free,
            }),
            _ => None,
        };
        let mark = self.mark.as_ref().map(|(steps, half_width, depth)| {
            let mut at = [steps[0][0] * length, steps[0][1] * radius];
            let mut path = vec![at];
            for step in &steps[1..] {
                at = [at[0] + step[0], at[1] + step[1]];
                path.push(at);
            }
            Mark {
                side: Side::Upper,
                text: "7".to_owned(),
                strokes: vec![Stroke { path }],
                half_width: *half_width,
                depth: *depth,
            }
        });
        let grooves = [groove(&ends[0], 0.0, -1.0), groove(&ends[1], length, 1.0)];
        Features {
            pin_chamfer: self.chamfer,
            grooves: grooves.into_iter().flatten().collect(),
            marks: mark.into_iter().collect(),
            ..Features::default()
        }
    }
}

prop_compose! {
    /// A form of any kind, with no promise that its features keep apart.
    pub fn form()(kinds in (0u8..5, 0u8..5), sizes in sizes(), land in 1.05..1.5f64, stretch in 3.0..7.0f64,
        wide in 1.1..1.9f64, high in 1.1..1.9f64, tail in 0.8..1.2f64, square in 2.0..3.5f64,
        lean in prop_oneof![Just(0.0), 0.02..0.1f64], pins in prop::collection::vec(pin(), 0..3), pockets in pockets()) -> SectionForm {
        let (front, rear) = (end(kinds.0, &sizes), end(kinds.1, &sizes));
        let length = stretch * sizes.radius;
        let end_size = |kind: u8, end: &End| match (kind, end.joint) {
            (0, EndJoint::Socket(s)) => {
                let (_, edge) = flare_on_dome(s.radius, s.mouth_radius, s.flare, s.depth);
                // Between the flare's edge and the dome's own radius.
                edge + (land - 1.0) * 1.6 * (0.95 * s.depth - edge)
            }
            (4, _) => 0.5 * sizes.radius,
            _ => sizes.radius * tail,
        };
        let (a, b) = (end_size(kinds.0, &front), end_size(kinds.1, &rear));
        let inset = |end: &End, r: f64| match end.face {
            EndFace::Domed { radius } => radius - (radius * radius - r * r).sqrt(),
            _ => 0.0,
        };
        let (x0, x1) = (inset(&front, a), length - inset(&rear, b));
        // A domed end is round.
        let rear_height = if kinds.1 == 0 { b } else { b.max(0.35 * 1.1 * sizes.radius + 0.5) };
        let rim = 0.35 * sizes.radius;
        SectionForm {
            length,
            outline: vec![
                station(x0, a, a, 2.0),
                station(0.45 * length, wide * sizes.radius, high * sizes.radius, square),
                station(x1, b, rear_height, if kinds.1 == 0 { 2.0 } else { square }),
            ],
            rim,
            lean,
            front,
            rear,
            pins: pins.into_iter().map(|p| Pin { x: p.x * length, y: p.y * sizes.radius, ..p }).collect(),
            whole: false,
            features: pockets.on(&[front, rear], length, sizes.radius),
        }
    }
}
