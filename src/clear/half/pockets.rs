//! Glue grooves, marks and the chamfers of pin holes against everything else.
//!
//! What lies outside a groove's ring sees the hull of half of it (the outer form and the ends are
//! alike on both sides of the middle plane); what stands in the split face beside it, and its own
//! socket and flare, are measured in plan. A stroke is cut into straight pieces with round ends.

use nalgebra::{Point2, Point3, Vector3};

use super::ends::EndOf;
use super::feature::{Facing, Feature, Ligament};
use super::found::Found;
use super::level::{Between, Ring, Segment, nearer};
use super::outer::{Outer, Sheet};
use super::strokes;
use super::voids::{Solid, Void};
use crate::chain::{Groove, HalfForm, HalfPin};
use crate::clear::{ArcHull, Stadium, least_distance_convex};

/// Everything that is measured against a pocket.
pub(super) struct Around<'a> {
    pub half: &'a HalfForm,
    pub outer: &'a Outer,
    pub ends: &'a [EndOf; 2],
    /// Sockets and flares among other holes.
    pub voids: &'a [Void],
}

/// All ligaments of a half's pockets.
pub(super) fn pockets(around: &Around<'_>) -> Vec<Ligament> {
    let half = around.half;
    let mut all = chamfers(half);
    let grooves: Vec<Ditch> = half.features.grooves.iter().map(Ditch::of).collect();
    for (k, ditch) in grooves.iter().enumerate() {
        all.extend(ditch.ligaments(around));
        for other in &grooves[k + 1..] {
            let found: Found = least_distance_convex(&ditch.hull, &other.hull).into();
            all.push(found.named(ditch.feature, other.feature, [ditch.size, other.size]));
        }
    }
    all.extend(strokes::marks(around, &grooves));
    all.extend(grooves.iter().flat_map(|ditch| ditch.eyes(around)));
    all
}

/// The holes that eyes are, over pockets of the split face.
pub(super) fn eyes<'a>(
    around: &Around<'a>,
) -> impl Iterator<Item = (&'a Void, &'a Stadium)> + use<'a> {
    around.voids.iter().filter_map(|void| match &void.solid {
        Solid::Stadium(hole) if matches!(void.feature, Feature::Eye(_)) => Some((void, hole)),
        _ => None,
    })
}

/// An eye over a pocket: both have upright walls, so the distance in plan and the height between
/// the pocket's floor and the eye's are the two legs of the least distance.
pub(super) fn under((plan, a, b): Between, half_width: f64, depth: f64, hole: &Stadium) -> Found {
    let aside = less((plan, a, b), (half_width, hole.radius));
    let above = hole.base.z - depth;
    let gap = if aside.gap > 0.0 && above > 0.0 {
        aside.gap.hypot(above)
    } else {
        aside.gap.max(above)
    };
    let at = Point3::new(aside.at.x, aside.at.y, 0.5 * (depth + hole.base.z));
    Found::exact(gap, at, at)
}

/// A chamfer ends over its hole's floor.
fn chamfers(half: &HalfForm) -> Vec<Ligament> {
    let chamfer = half.features.pin_chamfer;
    if chamfer == 0.0 {
        return Vec::new();
    }
    let one = |(k, pin): (usize, &HalfPin)| {
        let at = |z: f64| Point3::new(pin.x, pin.y, z);
        let numbers = [("chamfer", chamfer), ("pin hole depth", pin.depth)];
        Found::exact(pin.depth - chamfer, at(chamfer), at(pin.depth)).named(
            Feature::PinChamfer(k + 1),
            Feature::PinFloor(k + 1),
            numbers,
        )
    };
    half.pins.iter().enumerate().map(one).collect()
}

/// Pins in plan: name, middle line, radius at the mouth; a chamfered one also as plain.
pub(super) fn pins(
    half: &HalfForm,
) -> impl Iterator<Item = (Feature, Segment, (&'static str, f64))> {
    let chamfer = half.features.pin_chamfer;
    half.pins.iter().enumerate().flat_map(move |(k, pin)| {
        let line = [-0.5, 0.5].map(|s| Point2::new(pin.x + s * pin.slot, pin.y));
        let plain = (
            Feature::PinHole(k + 1),
            line,
            ("pin hole radius", pin.radius),
        );
        let wide = pin.radius + chamfer;
        let wide = (
            Feature::PinChamfer(k + 1),
            line,
            ("radius with chamfer", wide),
        );
        std::iter::once(plain).chain((chamfer > 0.0).then_some(wide))
    })
}

/// A distance of middle lines less both half widths, in the split plane.
pub(super) fn less((distance, a, b): Between, widths: (f64, f64)) -> Found {
    let unit = (b - a).try_normalize(0.0).unwrap_or_default();
    let (p, q) = (a + unit * widths.0, b - unit * widths.1);
    Found::exact(
        distance - widths.0 - widths.1,
        Point3::new(p.x, p.y, 0.0),
        Point3::new(q.x, q.y, 0.0),
    )
}

/// A groove as it is measured.
#[derive(Debug, Clone, Copy)]
pub(super) struct Ditch {
    pub feature: Feature,
    pub ring: Ring,
    pub half_width: f64,
    pub size: (&'static str, f64),
    facing: Facing,
    /// Hull of its half at y <= 0.
    hull: ArcHull,
}

impl Ditch {
    fn of(g: &Groove) -> Self {
        let facing = if g.mouth > 0.0 {
            Facing::Rear
        } else {
            Facing::Front
        };
        // From the free angle to the back, on the side of y < 0.
        let half_angle = 0.5 * (std::f64::consts::PI - g.free);
        let (sin, cos) = (g.free + half_angle).sin_cos();
        Ditch {
            feature: Feature::Groove(facing),
            ring: Ring {
                centre: Point2::new(g.x, 0.0),
                mouth: g.mouth,
                radius: g.radius,
                free: g.free,
            },
            half_width: g.half_width,
            size: ("groove radius", g.radius),
            facing,
            hull: ArcHull {
                centre: Point3::new(g.x, 0.0, 0.0),
                middle: Vector3::new(g.mouth * cos, -sin, 0.0),
                half_angle,
                radius: g.radius,
                half_width: g.half_width,
                height: g.depth,
            },
        }
    }

    fn ligaments(&self, around: &Around<'_>) -> Vec<Ligament> {
        let mut all = vec![self.own_ends()];
        for end in around.ends {
            if end.facing == self.facing {
                all.extend(self.own_joint(end));
            }
            let found = end.behind(&self.hull);
            let numbers = [self.size, ("section length", around.half.length)];
            let face = Feature::EndFace(end.facing);
            all.extend(found.map(|f| f.named(self.feature, face, numbers)));
        }
        for (feature, sheet) in sheets(around.outer) {
            let near = around.outer.least(sheet, &self.hull);
            all.extend(near.map(|n| n.found.named(self.feature, feature, [self.size, n.size()])));
        }
        for void in around.voids.iter().filter(|v| beyond(v, self.facing)) {
            let found: Found = least_distance_convex(&self.hull, &*void.solid).into();
            all.push(found.named(self.feature, void.feature, [self.size, void.size]));
        }
        for (feature, line, size) in pins(around.half) {
            let found = less(self.ring.to(&line), (self.half_width, size.1));
            all.push(found.named(self.feature, feature, [self.size, size]));
        }
        all
    }

    /// Against eyes, in plan and by height: the hull would count what lies inside the ring.
    fn eyes(&self, around: &Around<'_>) -> Vec<Ligament> {
        let one = |(void, hole): (&Void, &Stadium)| {
            let axis = Point2::new(hole.base.x, hole.base.y);
            let near = self.ring.to(&[axis, axis]);
            let found = under(near, self.half_width, self.hull.height, hole);
            found.named(void.feature, self.feature, [void.size, self.size])
        };
        eyes(around).map(one).collect()
    }

    /// Between the two ends, across the mouth.
    fn own_ends(&self) -> Ligament {
        let [a, b] = self.ring.ends();
        let found = less(((b - a).norm(), a, b), (self.half_width, self.half_width));
        let numbers = [self.size, ("groove width", 2.0 * self.half_width)];
        found.named(self.feature, self.feature, numbers)
    }

    /// The socket inside the ring is widest in the split plane, its flare too.
    fn own_joint(&self, end: &EndOf) -> Vec<Ligament> {
        let Some(socket) = end.socket() else {
            return Vec::new();
        };
        let at = |radius: f64| {
            let back = self.ring.centre.x - self.ring.mouth * radius;
            Point3::new(back, 0.0, 0.0)
        };
        let inner = self.ring.radius - self.half_width;
        let to_socket = Found::exact(inner - socket.radius, at(inner), at(socket.radius)).named(
            self.feature,
            Feature::Socket(end.facing),
            [self.size, ("socket radius", socket.radius)],
        );
        let mut all = vec![to_socket];
        if let Some(flare) = end.flare_line(&socket) {
            let mirrored = flare.map(|p| Point2::new(p.x, -p.y));
            let near = nearer(self.ring.to(&flare), self.ring.to(&mirrored));
            let numbers = [self.size, ("mouth radius", socket.mouth_radius)];
            let flare = Feature::Flare(end.facing);
            all.push(less(near, (self.half_width, 0.0)).named(self.feature, flare, numbers));
        }
        all
    }
}

pub(super) fn sheets(outer: &Outer) -> [(Feature, &Sheet); 2] {
    [(Feature::Skin, &outer.skin), (Feature::Rim, &outer.rim)]
}

/// Sockets and flares of the other end.
fn beyond(void: &Void, facing: Facing) -> bool {
    void.feature.facing().is_some_and(|at| at != facing)
}
