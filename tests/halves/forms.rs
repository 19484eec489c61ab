//! Random legal sections, by plain rules of their own: no circle of a joint and no pin comes
//! nearer than a millimetre to an ellipse that lies inside the body.

use limberwood::chain::{
    Ball, End, EndFace, EndJoint, Features, Knot, Pin, SectionForm, Socket, Station,
};

use super::draw::Draw;
use super::eyes;
use super::flats;
use super::ledges;
use super::pockets;
use super::rules::{WALL, keeps_clear, pin_fits};
use super::stands;

/// Kind of an end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    Plain,
    FlatBall,
    FlatSocket,
    Domed,
    Closed,
}

const KINDS: [Kind; 5] = [
    Kind::Plain,
    Kind::FlatBall,
    Kind::FlatSocket,
    Kind::Domed,
    Kind::Closed,
];

/// Kind of an end of a form.
pub fn kind(end: &End) -> Kind {
    match (end.face, end.joint) {
        (EndFace::Domed { .. }, _) => Kind::Domed,
        (EndFace::Closed, _) => Kind::Closed,
        (EndFace::Flat, EndJoint::None) => Kind::Plain,
        (EndFace::Flat, EndJoint::Ball(_)) => Kind::FlatBall,
        (EndFace::Flat, EndJoint::Socket(_)) => Kind::FlatSocket,
    }
}

/// The legal form of a case: the first of its draws that keeps the rules.
pub fn legal(case: u64) -> SectionForm {
    (0..10_000)
        .map(|attempt| drawn(&mut Draw::of(case * 10_000 + attempt), |_, _| ()))
        .find(keeps_clear)
        .expect("a legal form among ten thousand")
}

/// A legal form with flats, one in four without anything else but its ends.
pub fn with_flats(case: u64) -> SectionForm {
    let mut form = (0..10_000)
        .map(|attempt| drawn(&mut Draw::of((case << 32) + attempt), flats::add))
        .find(|form| !form.features.flats.is_empty() && keeps_clear(form))
        .expect("a legal form with flats among ten thousand");
    if case.is_multiple_of(4) {
        form.pins.clear();
        form.features = Features {
            flats: form.features.flats,
            ..Features::default()
        };
    }
    form
}

/// An end while it is drawn.
struct Drawn {
    end: End,
    /// Least half sizes of the body there.
    least: f64,
    /// How deep it reaches into the body.
    deep: f64,
    /// Circle radius of a domed end.
    circle: f64,
}

fn drawn(d: &mut Draw, lay: impl Fn(&mut Draw, &mut SectionForm)) -> SectionForm {
    let rim = d.between(2.0, 6.0);
    let lean = if d.chance(0.15) {
        0.0
    } else {
        d.between(0.2, 6.0).to_radians()
    };
    let front = end(d, rim, lean);
    let mut rear = end(d, rim, lean);
    if [&front, &rear].map(|e| kind(&e.end)) == [Kind::Domed; 2] {
        // Two domes need equal circles.
        rear = Drawn { ..front };
    }
    let least = front.least.max(rear.least);
    let size = least.max(rim + 3.0) + d.between(0.0, 8.0);
    let closed = [&front, &rear].map(|e| kind(&e.end) == Kind::Closed);
    let inner = d.pick(5).max(usize::from(closed == [true; 2]));
    let room = 6.0 * (inner as f64 + 1.0);
    let length = (front.deep + rear.deep + d.between(4.0, 40.0)).max(room + 6.0);
    let ends = [front, rear];
    let mut outline = outline(d, rim, lean, size, length, inner, &ends);
    let last = outline.len() - 1;
    for (tip, next) in [(0, 1), (last, last - 1)] {
        if closed[usize::from(tip > 0)] {
            outline[tip].squareness = outline[tip].squareness.min(outline[next].squareness);
        }
    }
    let [front, rear] = ends.map(|e| e.end);
    let mut form = SectionForm {
        length,
        outline,
        rim,
        lean,
        front,
        rear,
        pins: Vec::new(),
        whole: false,
        features: Features::default(),
    };
    lay(d, &mut form);
    pins(d, &mut form);
    pockets::add(d, &mut form);
    stands::add(d, &mut form);
    eyes::add(d, &mut form);
    ledges::add(&mut form);
    form
}

fn end(d: &mut Draw, rim: f64, lean: f64) -> Drawn {
    let kind = KINDS[d.pick(KINDS.len())];
    let ball = d.between(5.0, 12.0);
    let (face, joint, least, deep, circle) = match kind {
        Kind::Plain => (EndFace::Flat, EndJoint::None, 0.0, 1.0, 0.0),
        Kind::Closed => (EndFace::Closed, EndJoint::None, 0.0, 4.0, 0.0),
        Kind::FlatBall => {
            let neck_radius = d.between(1.5, 0.8 * ball);
            let fillet = [0.0, d.between(0.2, 3.0)][d.pick(2)];
            let back = ((ball + fillet).powi(2) - (neck_radius + fillet).powi(2)).sqrt();
            let reach = back + d.between(0.3, 6.0);
            let joint = EndJoint::Ball(Ball {
                radius: ball,
                reach,
                neck_radius,
                fillet,
            });
            (EndFace::Flat, joint, neck_radius + 2.0, 1.0, 0.0)
        }
        Kind::FlatSocket | Kind::Domed => return socket(d, kind, ball, rim, lean),
    };
    Drawn {
        end: End { face, joint },
        least,
        deep,
        circle,
    }
}

fn socket(d: &mut Draw, kind: Kind, ball: f64, rim: f64, lean: f64) -> Drawn {
    let radius = ball + d.between(0.1, 0.6);
    let mouth_radius = radius * d.between(0.7, 0.95);
    let flare = d.between(5.0, 40.0).to_radians();
    let mouth_plane = (radius * radius - mouth_radius * mouth_radius).sqrt();
    let mut land = d.between(1.5, 4.0);
    if kind == Kind::FlatSocket {
        // The tilted face stays outside the mouth at the top of the flare's ring.
        land += mouth_radius * lean.tan() / (1.0 - flare.tan() * lean.tan());
        let depth = mouth_plane + land;
        let joint = EndJoint::Socket(Socket {
            radius,
            depth,
            mouth_radius,
            flare,
        });
        let edge = mouth_radius + land * flare.tan();
        return Drawn {
            end: End {
                face: EndFace::Flat,
                joint,
            },
            least: edge.max(radius) + 2.0,
            deep: depth + radius,
            circle: 0.0,
        };
    }
    let extra = d.between(0.0, 2.0);
    loop {
        let depth = radius + land;
        // The flare leaves the dome below this radius: it can't widen for longer than from the
        // mouth to the dome's pole.
        let edge = mouth_radius + (depth - mouth_plane) * flare.tan();
        let circle = (edge.min(depth) + WALL).max(radius + 0.8).max(rim + 1.0) + extra;
        if circle < 0.96 * depth {
            let joint = EndJoint::Socket(Socket {
                radius,
                depth,
                mouth_radius,
                flare,
            });
            return Drawn {
                end: End {
                    face: EndFace::Domed { radius: depth },
                    joint,
                },
                least: circle + 0.5,
                deep: depth + radius,
                circle,
            };
        }
        land += 0.5;
        if land > 40.0 {
            return socket(d, kind, ball, rim, lean);
        }
    }
}

fn outline(
    d: &mut Draw,
    rim: f64,
    lean: f64,
    size: f64,
    length: f64,
    inner: usize,
    ends: &[Drawn; 2],
) -> Vec<Station> {
    let shape = d.between(2.0, 4.0);
    let varying = d.chance(0.5);
    let level = [0.0, d.between(0.0, 0.35)][d.pick(2)];
    let one_height = d.chance(0.25);
    let x_of = |e: &Drawn| match e.end.face {
        EndFace::Domed { radius } => radius - (radius * radius - e.circle * e.circle).sqrt(),
        _ => 0.0,
    };
    let (from, to) = (x_of(&ends[0]), length - x_of(&ends[1]));
    let xs = places(d, from, to, inner);
    let mut out = Vec::new();
    for (k, &x) in xs.iter().enumerate() {
        let at = [(0, &ends[0]), (inner + 1, &ends[1])]
            .into_iter()
            .find(|e| e.0 == k)
            .map(|e| e.1);
        let wide = size * (1.0 + level * d.between(-1.0, 1.0));
        let above = (wide * d.between(0.75, 1.15)).max(rim + 1.0);
        let below = if one_height {
            above
        } else {
            (wide * d.between(0.75, 1.15)).max(rim + 1.0)
        };
        let squareness = match (varying, d.pick(6)) {
            (true, 0) => 2.0,
            (true, 1) => 4.0,
            (true, _) => d.between(2.0, 4.0),
            (false, _) => shape,
        };
        let station = |half_width: f64, above: f64, below: f64, squareness: f64| Station {
            x,
            half_width,
            above,
            below,
            squareness,
            knot: Knot::Point,
        };
        out.push(match at.map(|e| (kind(&e.end), e.circle)) {
            Some((Kind::Domed, r)) => station(r, r, r, 2.0),
            Some((Kind::Closed, _)) => {
                let tip = d.between(0.6, 2.5).max(rim * lean.tan() + 0.2);
                let high = |d: &mut Draw| rim + d.between(0.5, 2.5);
                let above = high(d);
                let below = if one_height { above } else { high(d) };
                station(tip, above, below, squareness)
            }
            _ => station(wide, above, below, squareness),
        });
    }
    out
}

/// `inner` uneven places between the two and these themselves.
fn places(d: &mut Draw, from: f64, to: f64, inner: usize) -> Vec<f64> {
    let gaps: Vec<f64> = (0..=inner).map(|_| d.between(0.6, 1.6)).collect();
    let total: f64 = gaps.iter().sum();
    let mut xs = vec![from];
    for gap in &gaps[..inner] {
        xs.push(xs[xs.len() - 1] + gap / total * (to - from));
    }
    xs.push(to);
    xs
}

/// Tries to add up to two pins; one that does not fit is left out.
fn pins(d: &mut Draw, form: &mut SectionForm) {
    for _ in 0..d.pick(3) {
        for _ in 0..8 {
            let slot = [0.0, d.between(0.2, 2.0)][d.pick(2)];
            let pin = Pin {
                x: d.between(0.0, form.length),
                y: [0.0, d.between(-8.0, 8.0)][d.pick(2)],
                radius: d.between(1.0, 3.5),
                slot,
                depth_above: d.between(2.0, 10.0),
                depth_below: d.between(2.0, 10.0),
            };
            if pin_fits(form, &pin) {
                form.pins.push(pin);
                break;
            }
        }
    }
}
