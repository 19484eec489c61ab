//! How far a point of the outer form leans, per height, and the zones beside flat and closed ends
//! in which sections lean out of the end's tilted plane.

use super::outer::SPAN_PART;
use crate::chain::{EndFace, HalfForm, Outline};

/// Zone beside a flat or closed end in which the sections lean out of the end's tilted plane.
#[derive(Clone, Copy)]
pub(super) struct Zone {
    /// Parameter of the end, and length of the zone.
    end: f64,
    length: f64,
    /// 1 in front, -1 at the rear.
    inwards: f64,
    /// A flat end, whose shift along x the zone blends into that of the rim.
    flat: bool,
}

impl Zone {
    /// Share of the end's plane, 1 at the end and 0 from the zone's other border, and its slope.
    pub(super) fn at(&self, u: f64) -> [f64; 2] {
        let far = ((u - self.end) * self.inwards / self.length).clamp(0.0, 1.0);
        let left = 1.0 - far * far;
        [left * left, -4.0 * far * left * self.inwards / self.length]
    }
}

/// The zones of both ends. A crown of height h lies h tan lean inside the end's foot: beside a
/// flat end the zone is so long that the crown still runs inwards at a third of the foot's speed
/// or more (derived: the steepest slope of its share is 1.54), longer where the next station
/// leaves room, but not over it, since the rim loses draft where the plan turns within the zone; a
/// closed end, which begins with speed 0, takes its whole span, over which its x
/// is a parabola.
pub(super) fn zones(half: &HalfForm, outline: &Outline) -> [Option<Zone>; 2] {
    let u = outline.knots();
    let last = u.len() - 1;
    let lift = half.lean.tan() * half.crown;
    let leaning = |span: f64| {
        let zone = span.clamp(2.5 * lift, 4.0 * lift);
        zone.max(SPAN_PART * half.length)
            .min(0.5 * (u[last] - u[0]))
    };
    [
        (&half.front, u[0], u[1], 1.0),
        (&half.rear, u[last], u[last - 1], -1.0),
    ]
    .map(|(end, at, inner, inwards)| {
        let (length, flat) = match end.face {
            EndFace::Domed { .. } => return None,
            EndFace::Closed => ((inner - at).abs(), false),
            EndFace::Flat => (leaning((inner - at).abs()), true),
        };
        Some(Zone {
            end: at,
            length,
            inwards,
            flat,
        })
    })
}

/// Shift per height along x (s) and towards the middle (t): the rim keeps the lean at the split
/// plane exactly when t = tan lean sqrt(1 + q^2) - s q, q the plan slope; inside s = tan lean
/// sin psi makes rulings plan normals, on a flat or closed end s puts the edge into the end's
/// tilted plane (derived).
pub(super) fn shifts(
    lean: f64,
    dx: f64,
    dw: f64,
    zones: &[Option<Zone>; 2],
    parts: &[[f64; 2]; 2],
) -> (f64, f64) {
    let speed = dx.hypot(dw);
    let normal = lean * dw / speed;
    let mut s = normal;
    for (zone, part) in zones.iter().zip(parts) {
        if let Some(zone) = zone
            && zone.flat
        {
            s += part[0] * (zone.inwards * lean - normal);
        }
    }
    if s == normal {
        return (s, lean * dx / speed);
    }
    (s, (lean * speed - s * dw) / dx)
}
