//! The glue face of a section in plan, and what lies in it. Its outline is sampled: places found
//! here keep millimetres, and room `clear` measures the rest.

use super::super::skin::Wood;
use super::RIB;
use crate::chain::feature::Eye;
use crate::chain::form::{End, EndFace, EndJoint, Pin, SectionForm, Side, Socket};
use crate::chain::half::HalfForm;
use crate::chain::joint::{flare_on_dome, mouth_plane};
use crate::chain::outline::Outline;

/// Round a joint no glue goes, mm (common practice, no source).
pub(super) const DRY: f64 = 3.0;
/// Wood between a mark and the edges of the glue face, or a pin hole, mm (common practice, no
/// source).
pub(super) const EDGE: f64 = 1.0;
/// Steps in which the outline is sampled, mm.
const STEP: f64 = 0.25;

/// A socket in plan.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cup {
    /// Centre along x.
    pub x: f64,
    /// Radius.
    pub radius: f64,
    /// Direction of the mouth along x.
    pub mouth: f64,
    /// The flare's edge at y > 0, from the mouth to the end face.
    pub flare: [[f64; 2]; 2],
}

/// An end face in plan.
#[derive(Debug, Clone, Copy)]
enum Front {
    /// A straight line at x.
    Flat(f64),
    /// An arc about (x, 0) of a radius, up to an angle from the mouth's direction.
    Domed(f64, f64, f64),
}

/// The lower end of an eye, a pocket of the outer form.
#[derive(Debug, Clone, Copy)]
struct Sunk {
    side: Side,
    at: [f64; 2],
    radius: f64,
    /// Its floor over the split plane is at least so high.
    floor: f64,
}

/// The glue face, in the section's frame.
pub(super) struct Face {
    /// (x, half width, slope of the half width) from front to rear.
    edge: Vec<[f64; 3]>,
    /// Front and rear.
    pub sockets: [Option<Cup>; 2],
    ends: [Front; 2],
    pins: Vec<Pin>,
    eyes: Vec<Sunk>,
    /// Wood between an eye and what is cut into the glue face.
    wall: f64,
    /// Chamfer at the pins' mouths.
    chamfer: f64,
    /// Width of the grooves round the sockets.
    pub grooves: f64,
    pub length: f64,
}

impl Face {
    /// `wall` is the wood that an eye wants under it.
    pub fn of(form: &SectionForm, wall: f64) -> Self {
        let half = HalfForm::of(form, Side::Upper);
        let outline = Outline::of(&half);
        let (first, last) = (
            half.stations.first().map_or(0.0, |s| s.x),
            half.stations.last().map_or(0.0, |s| s.x),
        );
        let steps = ((last - first) / STEP).ceil().max(1.0) as u32;
        let edge = (0..=steps).map(|k| {
            let x = first + (last - first) * f64::from(k) / f64::from(steps);
            let (value, by_u) = outline.at(outline.u_of_x(x));
            let slope = if by_u[0] > 0.0 {
                by_u[1] / by_u[0]
            } else {
                0.0
            };
            [x, value[1], slope]
        });
        let ends = [
            (&form.front, 0.0, -1.0, first),
            (&form.rear, form.length, 1.0, last),
        ];
        Face {
            edge: edge.collect(),
            sockets: ends.map(|(end, datum, out, _)| cup(end, datum, out)),
            ends: ends.map(|(end, datum, out, station)| front(end, datum, out, station)),
            pins: form.pins.clone(),
            eyes: sunk(form),
            wall,
            chamfer: 0.0,
            grooves: 0.0,
            length: form.length,
        }
    }

    /// Half of the width where it is widest.
    pub fn half_width(&self) -> f64 {
        self.edge.iter().fold(0.0, |most, e| most.max(e[1]))
    }

    /// The chamfer that all pins can take, the wanted one or none.
    pub fn chamfer(&mut self, wanted: f64) -> f64 {
        let takes = self.pins.iter().enumerate().all(|(k, pin)| {
            let ends = [-0.5, 0.5].map(|s| [pin.x + s * pin.slot, pin.y]);
            let free = ends.iter().fold(f64::INFINITY, |least, p| {
                let others = self.pins[k + 1..].iter().map(|o| off_pin(*p, o));
                let joints = self.sockets.iter().flatten().map(|cup| cup.distance(*p));
                others
                    .chain(joints)
                    .chain([self.off_edge(*p), self.off_end(0, *p), self.off_end(1, *p)])
                    .fold(least, f64::min)
            });
            free - pin.radius - wanted >= RIB && wanted < 0.5 * pin.depth_above.min(pin.depth_below)
        });
        self.chamfer = if takes { wanted } else { 0.0 };
        self.chamfer
    }

    /// Distance of a point inside from the outline's long sides.
    pub fn off_edge(&self, [x, y]: [f64; 2]) -> f64 {
        self.edge
            .iter()
            .map(|e| (e[0] - x).hypot(e[1] - y.abs()))
            .fold(f64::INFINITY, f64::min)
    }

    /// Distance of a point inside from an end face.
    pub fn off_end(&self, end: usize, [x, y]: [f64; 2]) -> f64 {
        match self.ends[end] {
            Front::Flat(at) => (x - at).abs(),
            Front::Domed(centre, radius, last) => {
                let out = if end == 0 { -1.0 } else { 1.0 };
                let v = [out * (x - centre), y.abs()];
                if v[1].atan2(v[0]) <= last {
                    return radius - v[0].hypot(v[1]);
                }
                let (sin, cos) = last.sin_cos();
                (v[0] - radius * cos).hypot(v[1] - radius * sin)
            }
        }
    }

    /// Distance of a point from the nearest pin hole with its chamfer.
    pub fn off_pins(&self, p: [f64; 2]) -> f64 {
        self.pins
            .iter()
            .map(|pin| off_pin(p, pin) - self.chamfer)
            .fold(f64::INFINITY, f64::min)
    }

    /// Whether a pocket of one half, or of both, keeps the wall from eyes: `off` is its distance in
    /// plan from a place.
    pub fn under_eyes(
        &self,
        side: Option<Side>,
        depth: f64,
        off: impl Fn([f64; 2]) -> f64,
    ) -> bool {
        let own = self
            .eyes
            .iter()
            .filter(|e| side.is_none_or(|s| s == e.side));
        own.into_iter().all(|eye| {
            let aside = (off(eye.at) - eye.radius).max(0.0);
            aside.hypot((eye.floor - depth).max(0.0)) >= self.wall
        })
    }

    /// Whether a box of half sizes `size` about `at`, in the frame of a half, keeps all distances
    /// of a mark.
    pub fn takes(&self, side: Side, at: [f64; 2], size: [f64; 2], depth: f64) -> bool {
        let turn = match side {
            Side::Upper => 1.0,
            Side::Lower => -1.0,
        };
        let at = [at[0], turn * at[1]];
        let (from, to) = (at[0] - size[0], at[0] + size[0]);
        let out = at[1].abs() + size[1];
        let inside = self.edge.first().is_some_and(|e| e[0] <= from)
            && self.edge.last().is_some_and(|e| e[0] >= to)
            && [from, to]
                .into_iter()
                .all(|x| (0..2).all(|end| self.off_end(end, [x, out]) >= EDGE));
        let sides = || {
            self.edge
                .iter()
                .filter(|e| e[0] > from - STEP && e[0] < to + STEP)
                .all(|e| out + EDGE * e[2].hypot(1.0) <= e[1])
        };
        let off = |p: [f64; 2]| {
            let beyond = |k: usize| ((p[k] - at[k]).abs() - size[k]).max(0.0);
            beyond(0).hypot(beyond(1))
        };
        let joints = || {
            self.sockets.iter().flatten().all(|cup| {
                let ring = DRY.max(super::BESIDE_SOCKET + self.grooves + EDGE);
                off([cup.x, 0.0]) >= cup.radius + ring
                    && (0..=16).all(|k| off(cup.on_flare(f64::from(k) / 8.0 - 1.0)) >= DRY)
            })
        };
        let pins = || {
            self.pins.iter().all(|pin| {
                // The slot's nearest place: its middle line lies along x.
                let x = at[0].clamp(pin.x - 0.5 * pin.slot, pin.x + 0.5 * pin.slot);
                off([x, pin.y]) >= pin.radius + self.chamfer + EDGE
            })
        };
        inside && sides() && joints() && pins() && self.under_eyes(Some(side), depth, off)
    }
}

impl Cup {
    /// Distance of a point from the socket and its flare.
    pub fn distance(&self, [x, y]: [f64; 2]) -> f64 {
        let ball = (x - self.x).hypot(y) - self.radius;
        ball.min(self.off_flare([x, y]))
    }

    /// Distance of a point from the flare's edge.
    pub fn off_flare(&self, [x, y]: [f64; 2]) -> f64 {
        let [a, b] = self.flare;
        let v = [b[0] - a[0], b[1] - a[1]];
        let square = v[0] * v[0] + v[1] * v[1];
        let along = (x - a[0]) * v[0] + (y.abs() - a[1]) * v[1];
        let t = if square > 0.0 {
            (along / square).clamp(0.0, 1.0)
        } else {
            0.0
        };
        (a[0] + t * v[0] - x).hypot(a[1] + t * v[1] - y.abs())
    }

    /// A point between the two edges of the flare in the end face; -1 and 1 are the edges.
    fn on_flare(&self, across: f64) -> [f64; 2] {
        [self.flare[1][0], across * self.flare[1][1]]
    }
}

/// The eyes, with floors as low as they can be: the model of the wood errs on the thin side.
fn sunk(form: &SectionForm) -> Vec<Sunk> {
    if form.features.eyes.is_empty() {
        return Vec::new();
    }
    let closed = [&form.front, &form.rear].map(|end| end.face == EndFace::Closed);
    let wood = Wood::new(&form.outline, closed, form.rim, form.lean);
    let one = |eye: &Eye| Sunk {
        side: eye.side,
        at: [eye.x, eye.y],
        radius: eye.radius,
        floor: wood.top(eye.side, [eye.x, eye.y]) - eye.depth,
    };
    form.features.eyes.iter().map(one).collect()
}

fn off_pin([x, y]: [f64; 2], pin: &Pin) -> f64 {
    let along = ((x - pin.x).abs() - 0.5 * pin.slot).max(0.0);
    along.hypot(y - pin.y) - pin.radius
}

fn cup(end: &End, datum: f64, out: f64) -> Option<Cup> {
    let EndJoint::Socket(s) = end.joint else {
        return None;
    };
    let x = datum - out * s.depth;
    let (mouth, edge) = (mouth_plane(s.radius, s.mouth_radius), flare_edge(end, &s));
    Some(Cup {
        x,
        radius: s.radius,
        mouth: out,
        flare: [
            [x + out * mouth, s.mouth_radius],
            [x + out * edge[0], edge[1]],
        ],
    })
}

/// Where the flare meets the end face: from the socket's centre along the axis, and radius.
fn flare_edge(end: &End, s: &Socket) -> [f64; 2] {
    match end.face {
        EndFace::Domed { radius } => {
            let (along, across) = flare_on_dome(s.radius, s.mouth_radius, s.flare, radius);
            [along, across]
        }
        _ => {
            let run = s.depth - mouth_plane(s.radius, s.mouth_radius);
            [s.depth, s.mouth_radius + run * s.flare.tan()]
        }
    }
}

fn front(end: &End, datum: f64, out: f64, station: f64) -> Front {
    match end.face {
        EndFace::Domed { radius } => {
            let centre = datum - out * radius;
            let along = out * (station - centre);
            Front::Domed(centre, radius, (along / radius).clamp(-1.0, 1.0).acos())
        }
        _ => Front::Flat(datum),
    }
}
