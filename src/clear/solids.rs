//! The features themselves.

use nalgebra::{Point3, Vector3};

use super::DIRECTION_FLOOR;
use super::convex::{Compact, Convex, Curved, perpendicular};

/// A ball; a point when its radius is 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ball {
    /// Centre.
    pub centre: Point3<f64>,
    /// Radius, mm.
    pub radius: f64,
}

/// All points within `radius` of a segment; a segment when the radius is 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Capsule {
    /// One end of the segment.
    pub from: Point3<f64>,
    /// The other end.
    pub to: Point3<f64>,
    /// Radius, mm.
    pub radius: f64,
}

/// A truncated cone (a flare), or a cylinder (a neck, a round pin hole).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frustum {
    /// Centre of the base disc.
    pub base: Point3<f64>,
    /// Unit axis, from the base to the top.
    pub axis: Vector3<f64>,
    /// Height along the axis, mm, above 0.
    pub height: f64,
    /// Radius of the base disc, mm.
    pub base_radius: f64,
    /// Radius of the top disc, mm.
    pub top_radius: f64,
}

/// An upright prism over a stadium (a slotted pin hole).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stadium {
    /// Centre of the base.
    pub base: Point3<f64>,
    /// Unit axis, from the base to the top.
    pub axis: Vector3<f64>,
    /// From the base's centre to the centre of one end arc, at right angles to the axis.
    pub half_slot: Vector3<f64>,
    /// Radius of the end arcs, mm.
    pub radius: f64,
    /// Height along the axis, mm, above 0.
    pub height: f64,
}

/// The side of a plane away from its normal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HalfSpace {
    /// A point of the plane.
    pub point: Point3<f64>,
    /// Unit normal, out of the solid.
    pub normal: Vector3<f64>,
}

impl Frustum {
    /// A cylinder of radius `radius` from `base` along the unit vector `axis`.
    pub fn cylinder(base: Point3<f64>, axis: Vector3<f64>, height: f64, radius: f64) -> Self {
        Self {
            base,
            axis,
            height,
            base_radius: radius,
            top_radius: radius,
        }
    }
}

/// Length of `v` and its direction; `fallback` when there is none.
pub(super) fn polar(v: &Vector3<f64>, fallback: impl Fn() -> Vector3<f64>) -> (f64, Vector3<f64>) {
    let length = v.norm();
    if length > DIRECTION_FLOOR {
        (length, v / length)
    } else {
        (length, fallback())
    }
}

/// Distance from an axis and the direction away from it, of a vector that lies across the axis but
/// for rounding. Near the axis that rounding is a part of the direction, and a gradient that leans
/// would come out longer or shorter than 1: it is taken out.
pub(super) fn polar_across(
    v: &Vector3<f64>,
    axis: &Vector3<f64>,
    fallback: impl Fn() -> Vector3<f64>,
) -> (f64, Vector3<f64>) {
    polar(&(v - axis * v.dot(axis)), fallback)
}

/// The point of the segment that is nearest to `p`.
fn nearest_on_segment(from: &Point3<f64>, to: &Point3<f64>, p: &Point3<f64>) -> Point3<f64> {
    let along = to - from;
    let square = along.norm_squared();
    if square == 0.0 {
        return *from;
    }
    from + along * ((p - from).dot(&along) / square).clamp(0.0, 1.0)
}

/// Signed distance of (r, h) from the trapezium 0 <= h <= height under the line from
/// (r0, 0) to (r1, height), and its gradient. Convex, and rising with r.
pub(super) fn trapezium(r: f64, h: f64, r0: f64, r1: f64, height: f64) -> (f64, [f64; 2]) {
    let slant = (r1 - r0).hypot(height);
    let normal = [height / slant, (r0 - r1) / slant];
    let side = normal[0] * (r - r0) + normal[1] * h;
    let (above, below) = (h - height, -h);
    if side <= 0.0 && above <= 0.0 && below <= 0.0 {
        return if side >= above && side >= below {
            (side, normal)
        } else if above >= below {
            (above, [0.0, 1.0])
        } else {
            (below, [0.0, -1.0])
        };
    }
    // Place along the side line, from the base.
    let along = ((r - r0) * (r1 - r0) + h * height) / slant;
    if above > 0.0 && r <= r1 {
        (above, [0.0, 1.0])
    } else if below > 0.0 && r <= r0 {
        (below, [0.0, -1.0])
    } else if (0.0..=slant).contains(&along) {
        (side, normal)
    } else {
        let corner = if along < 0.0 { (r0, 0.0) } else { (r1, height) };
        let (dr, dh) = (r - corner.0, h - corner.1);
        let distance = dr.hypot(dh);
        if distance > DIRECTION_FLOOR {
            (distance, [dr / distance, dh / distance])
        } else {
            (distance, normal)
        }
    }
}

impl Convex for Ball {
    fn signed_distance(&self, p: &Point3<f64>) -> (f64, Vector3<f64>) {
        let (distance, direction) = polar(&(p - self.centre), Vector3::z);
        (distance - self.radius, direction)
    }

    fn curved(&self, _: &Point3<f64>) -> Option<Curved> {
        Some(Curved {
            centre: self.centre,
            axis: None,
            slope: 1.0,
            linear: Vector3::zeros(),
            constant: -self.radius,
        })
    }
}

impl Compact for Ball {
    fn core_support(&self, _: &Vector3<f64>) -> Point3<f64> {
        self.centre
    }

    fn rounding(&self) -> f64 {
        self.radius
    }

    fn farthest(&self, from: &Point3<f64>) -> Point3<f64> {
        self.centre + polar(&(self.centre - from), Vector3::z).1 * self.radius
    }
}

impl Convex for Capsule {
    fn signed_distance(&self, p: &Point3<f64>) -> (f64, Vector3<f64>) {
        let foot = nearest_on_segment(&self.from, &self.to, p);
        let (distance, direction) = polar(&(p - foot), || {
            (self.to - self.from)
                .try_normalize(0.0)
                .map_or_else(Vector3::z, |axis| perpendicular(&axis))
        });
        (distance - self.radius, direction)
    }

    fn curved(&self, p: &Point3<f64>) -> Option<Curved> {
        let axis = (self.to - self.from).try_normalize(0.0)?;
        let place = (p - self.from).dot(&axis);
        // Beyond its ends the segment is not as far as its line; the line's distance is still a
        // minorant there but does not touch.
        let beside = (0.0..=(self.to - self.from).norm()).contains(&place);
        beside.then_some(Curved {
            centre: self.from,
            axis: Some(axis),
            slope: 1.0,
            linear: Vector3::zeros(),
            constant: -self.radius,
        })
    }
}

impl Compact for Capsule {
    fn core_support(&self, direction: &Vector3<f64>) -> Point3<f64> {
        if (self.to - self.from).dot(direction) > 0.0 {
            self.to
        } else {
            self.from
        }
    }

    fn rounding(&self) -> f64 {
        self.radius
    }

    fn farthest(&self, from: &Point3<f64>) -> Point3<f64> {
        let end = if (self.to - from).norm() > (self.from - from).norm() {
            self.to
        } else {
            self.from
        };
        end + polar(&(end - from), Vector3::z).1 * self.radius
    }
}

impl Frustum {
    /// Distance of `p` from the axis, direction away from it, height over the base.
    fn meridian(&self, p: &Point3<f64>) -> (f64, Vector3<f64>, f64) {
        let from_base = p - self.base;
        let h = from_base.dot(&self.axis);
        let flat = from_base - self.axis * h;
        let (r, out) = polar_across(&flat, &self.axis, || perpendicular(&self.axis));
        (r, out, h)
    }

    fn discs(&self) -> [(Point3<f64>, f64); 2] {
        let top = self.base + self.axis * self.height;
        [(self.base, self.base_radius), (top, self.top_radius)]
    }
}

impl Convex for Frustum {
    fn signed_distance(&self, p: &Point3<f64>) -> (f64, Vector3<f64>) {
        let (r, out, h) = self.meridian(p);
        let (distance, [gr, gh]) = trapezium(r, h, self.base_radius, self.top_radius, self.height);
        (distance, out * gr + self.axis * gh)
    }

    fn curved(&self, p: &Point3<f64>) -> Option<Curved> {
        let (r, _, h) = self.meridian(p);
        let (distance, [gr, gh]) = trapezium(r, h, self.base_radius, self.top_radius, self.height);
        let linear = self.axis * gh;
        Some(Curved {
            centre: self.base,
            axis: Some(self.axis),
            slope: gr.max(0.0),
            linear,
            constant: distance - gr * r - gh * h - linear.dot(&self.base.coords),
        })
    }
}

/// Of points given with how far they lie, the furthest.
fn furthest<const N: usize>(
    points: [Point3<f64>; N],
    far: impl Fn(&Point3<f64>) -> f64,
) -> Point3<f64> {
    let mut best = points[0];
    for p in &points[1..] {
        if far(p) > far(&best) {
            best = *p;
        }
    }
    best
}

/// The point of a disc furthest along `direction`.
pub(super) fn disc_support(
    centre: &Point3<f64>,
    axis: &Vector3<f64>,
    radius: f64,
    direction: &Vector3<f64>,
) -> Point3<f64> {
    let flat = |v: Vector3<f64>| v - axis * v.dot(axis);
    // A direction along the axis is met by the whole disc. Near it the first difference is mostly
    // rounding, some of it along the axis, which the second takes out.
    match flat(*direction).try_normalize(1e-10 * direction.norm()) {
        Some(unit) => centre + flat(unit) * radius,
        None => *centre,
    }
}

impl Compact for Frustum {
    fn core_support(&self, direction: &Vector3<f64>) -> Point3<f64> {
        let rim = self
            .discs()
            .map(|(centre, radius)| disc_support(&centre, &self.axis, radius, direction));
        furthest(rim, |p| p.coords.dot(direction))
    }

    fn farthest(&self, from: &Point3<f64>) -> Point3<f64> {
        let rim = self.discs().map(|(centre, radius)| {
            let v = centre - from;
            let across = v - self.axis * v.dot(&self.axis);
            centre + polar(&across, || perpendicular(&self.axis)).1 * radius
        });
        furthest(rim, |p| (p - from).norm_squared())
    }
}

impl Stadium {
    fn arc_centres(&self) -> [Point3<f64>; 4] {
        let top = self.base + self.axis * self.height;
        let slot = self.half_slot;
        [self.base - slot, self.base + slot, top - slot, top + slot]
    }
}

impl Convex for Stadium {
    fn signed_distance(&self, p: &Point3<f64>) -> (f64, Vector3<f64>) {
        let h = (p - self.base).dot(&self.axis);
        let flat = p - self.axis * h;
        let [from, to, ..] = self.arc_centres();
        let foot = nearest_on_segment(&from, &to, &flat);
        let (r, out) = polar(&(flat - foot), || match self.half_slot.try_normalize(0.0) {
            Some(along) => self.axis.cross(&along),
            None => perpendicular(&self.axis),
        });
        let (distance, [gr, gh]) = trapezium(r, h, self.radius, self.radius, self.height);
        (distance, out * gr + self.axis * gh)
    }
}

impl Compact for Stadium {
    fn core_support(&self, direction: &Vector3<f64>) -> Point3<f64> {
        let rim = self
            .arc_centres()
            .map(|centre| disc_support(&centre, &self.axis, self.radius, direction));
        furthest(rim, |p| p.coords.dot(direction))
    }

    fn farthest(&self, from: &Point3<f64>) -> Point3<f64> {
        let rim = self.arc_centres().map(|centre| {
            let v = centre - from;
            let across = v - self.axis * v.dot(&self.axis);
            centre + polar(&across, || perpendicular(&self.axis)).1 * self.radius
        });
        furthest(rim, |p| (p - from).norm_squared())
    }
}

impl Convex for HalfSpace {
    fn signed_distance(&self, p: &Point3<f64>) -> (f64, Vector3<f64>) {
        ((p - self.point).dot(&self.normal), self.normal)
    }
}
