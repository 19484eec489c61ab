//! The holes of a half as convex solids.

use nalgebra::{Point3, Vector3};

use super::ends::EndOf;
use super::feature::Feature;
use super::found::Found;
use crate::chain::{HalfForm, HalfPin};
use crate::clear::{
    Bowl, Compact, CutCone, Frustum, PairNearest, Stadium, Taper, least_distance_convex,
};

/// Thickness of a pin hole's floor, taken as a solid, mm: far below the tolerance.
const FLOOR: f64 = 1e-9;

/// A convex hole.
#[derive(Debug, Clone, Copy)]
pub(super) enum Solid {
    Bowl(Bowl),
    Frustum(Frustum),
    CutCone(CutCone),
    Stadium(Stadium),
    Taper(Taper),
}

impl std::ops::Deref for Solid {
    type Target = dyn Compact;

    fn deref(&self) -> &Self::Target {
        match self {
            Solid::Bowl(s) => s,
            Solid::Frustum(s) => s,
            Solid::CutCone(s) => s,
            Solid::Stadium(s) => s,
            Solid::Taper(s) => s,
        }
    }
}

impl Solid {
    /// The solid, or its mirror image when it lies at y > 0, and whether it is the image: outer
    /// form and end faces are alike on both sides, and the side on which a hole lies is the
    /// nearer one.
    pub fn on_minus_side(&self) -> (Solid, bool) {
        match self {
            Solid::Stadium(s) if s.base.y > 0.0 => {
                let base = Point3::new(s.base.x, -s.base.y, s.base.z);
                (Solid::Stadium(Stadium { base, ..*s }), true)
            }
            Solid::Taper(s) if s.base.y > 0.0 => {
                let base = Point3::new(s.base.x, -s.base.y, s.base.z);
                (Solid::Taper(Taper { base, ..*s }), true)
            }
            other => (*other, false),
        }
    }
}

impl Solid {
    /// A pin hole as wide as at its mouth.
    fn pin(&self) -> Option<Stadium> {
        match *self {
            // An eye does not begin on the split plane.
            Solid::Stadium(s) => (s.base.z == 0.0).then_some(s),
            Solid::Taper(t) => Some(Stadium {
                base: t.base,
                axis: t.axis,
                half_slot: t.half_slot,
                radius: t.base_radius,
                height: t.height,
            }),
            Solid::Bowl(_) | Solid::Frustum(_) | Solid::CutCone(_) => None,
        }
    }
}

/// A hole with its name and the size that tells most.
#[derive(Debug, Clone, Copy)]
pub(super) struct Void {
    pub feature: Feature,
    pub solid: Solid,
    pub size: (&'static str, f64),
}

impl Void {
    /// The middle of a pin hole.
    pub fn place(&self) -> Option<Point3<f64>> {
        match self.solid {
            Solid::Stadium(s) => Some(s.base),
            Solid::Taper(t) => Some(t.base),
            Solid::Bowl(_) | Solid::Frustum(_) | Solid::CutCone(_) => None,
        }
    }
}

/// All holes: sockets and flares from front to rear, then pin holes.
pub(super) fn voids(half: &HalfForm, ends: &[EndOf; 2]) -> Vec<Void> {
    let mut all = Vec::new();
    for end in ends {
        let Some(socket) = end.socket() else { continue };
        all.push(Void {
            feature: Feature::Socket(end.facing),
            solid: Solid::Bowl(end.bowl(&socket)),
            size: ("socket radius", socket.radius),
        });
        all.extend(end.flare(&socket).map(|solid| Void {
            feature: Feature::Flare(end.facing),
            solid,
            size: ("mouth radius", socket.mouth_radius),
        }));
    }
    all.extend(half.pins.iter().enumerate().map(|(k, pin)| Void {
        feature: Feature::PinHole(k + 1),
        solid: Solid::Stadium(prism(pin)),
        size: ("pin hole radius", pin.radius),
    }));
    let chamfer = half.features.pin_chamfer;
    if chamfer > 0.0 {
        all.extend(half.pins.iter().enumerate().map(|(k, pin)| Void {
            feature: Feature::PinChamfer(k + 1),
            solid: Solid::Taper(mouth(pin, chamfer)),
            size: ("radius with chamfer", pin.radius + chamfer),
        }));
    }
    all
}

/// The chamfer of a pin hole.
fn mouth(pin: &HalfPin, chamfer: f64) -> Taper {
    let hole = prism(pin);
    Taper {
        base: hole.base,
        axis: hole.axis,
        half_slot: hole.half_slot,
        base_radius: pin.radius + chamfer,
        top_radius: pin.radius,
        height: chamfer,
    }
}

fn prism(pin: &HalfPin) -> Stadium {
    Stadium {
        base: Point3::new(pin.x, pin.y, 0.0),
        axis: Vector3::z(),
        half_slot: Vector3::x() * (0.5 * pin.slot),
        radius: pin.radius,
        height: pin.depth,
    }
}

/// The floor of a pin hole, a flat prism.
pub(super) fn floor(pin: &HalfPin) -> Solid {
    Solid::Stadium(Stadium {
        base: Point3::new(pin.x, pin.y, pin.depth),
        height: FLOOR,
        ..prism(pin)
    })
}

/// Wood between two holes. Two pins and a socket's sphere have closed forms: a convex solid's
/// signed distance to the centre, less the radius, as long as that meets the sphere behind its
/// mouth.
pub(super) fn between(a: &Solid, b: &Solid) -> Found {
    if let (Some(a), Some(b)) = (a.pin(), b.pin()) {
        return pins(&a, &b);
    }
    match (a, b) {
        (Solid::Bowl(bowl), other) | (other, Solid::Bowl(bowl)) => {
            socket(bowl, other).unwrap_or_else(|| general(a, b).into())
        }
        _ => general(a, b).into(),
    }
}

fn general(a: &Solid, b: &Solid) -> PairNearest {
    least_distance_convex(&**a, &**b)
}

fn socket(bowl: &Bowl, other: &Solid) -> Option<Found> {
    let (distance, gradient) = other.signed_distance(&bowl.centre);
    let away = -gradient;
    bowl.keeps(&away).then(|| {
        Found::exact(
            distance - bowl.radius,
            bowl.centre + away * bowl.radius,
            bowl.centre + away * distance,
        )
    })
}

/// Both are upright, begin on the split plane and are widest there, so the plan tells.
fn pins(a: &Stadium, b: &Stadium) -> Found {
    let reach = a.half_slot.x + b.half_slot.x;
    let apart = b.base - a.base;
    // Nearest places of the two slots' middle lines.
    let beside = apart.x.clamp(-reach, reach);
    let share = if reach > 0.0 { beside / reach } else { 0.0 };
    let (from, to) = (a.base + a.half_slot * share, b.base - b.half_slot * share);
    let v = to - from;
    let length = v.norm();
    let unit = v.try_normalize(0.0).unwrap_or_else(Vector3::y);
    Found::exact(
        length - a.radius - b.radius,
        from + unit * a.radius,
        to - unit * b.radius,
    )
}
