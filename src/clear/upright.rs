//! Upright solids that stand on a plane: a tapered slot (the chamfer of a pin hole) and the hull
//! of half a ring (a glue groove).

use nalgebra::{Point3, Vector3};

use super::convex::{Compact, Convex, perpendicular};
use super::solids::{disc_support, polar, polar_across, trapezium};

/// A solid over a stadium whose radius changes evenly from base to top.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Taper {
    /// Centre of the base.
    pub base: Point3<f64>,
    /// Unit axis, from the base to the top.
    pub axis: Vector3<f64>,
    /// From the base's centre to the centre of one end arc, at right angles to the axis.
    pub half_slot: Vector3<f64>,
    /// Radius of the base's end arcs, mm.
    pub base_radius: f64,
    /// Radius of the top's end arcs, mm.
    pub top_radius: f64,
    /// Height along the axis, mm, above 0.
    pub height: f64,
}

/// The hull of an arc of constant width with round ends, raised to a height: what lies outside
/// the arc sees no other form of it. The arc spans at most half a turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ArcHull {
    /// Centre of the arc, in the base.
    pub centre: Point3<f64>,
    /// Unit direction from the centre to the arc's middle, level.
    pub middle: Vector3<f64>,
    /// Half of the angle that the middle line spans, up to a quarter turn, radians.
    pub half_angle: f64,
    /// Radius of the middle line, mm.
    pub radius: f64,
    /// Half of the width, mm.
    pub half_width: f64,
    /// Height along z, mm, above 0.
    pub height: f64,
}

impl Taper {
    fn discs(&self) -> [(Point3<f64>, f64); 4] {
        let (top, slot) = (self.base + self.axis * self.height, self.half_slot);
        [
            (self.base - slot, self.base_radius),
            (self.base + slot, self.base_radius),
            (top - slot, self.top_radius),
            (top + slot, self.top_radius),
        ]
    }
}

impl Convex for Taper {
    fn signed_distance(&self, p: &Point3<f64>) -> (f64, Vector3<f64>) {
        let v = p - self.base;
        let h = v.dot(&self.axis);
        let flat = v - self.axis * h;
        let square = self.half_slot.norm_squared();
        let share = if square > 0.0 {
            (flat.dot(&self.half_slot) / square).clamp(-1.0, 1.0)
        } else {
            0.0
        };
        let from_slot = flat - self.half_slot * share;
        let (r, out) = polar_across(&from_slot, &self.axis, || {
            match self.half_slot.try_normalize(0.0) {
                Some(along) => self.axis.cross(&along),
                None => perpendicular(&self.axis),
            }
        });
        let (distance, [gr, gh]) = trapezium(r, h, self.base_radius, self.top_radius, self.height);
        (distance, out * gr + self.axis * gh)
    }
}

impl Compact for Taper {
    fn core_support(&self, direction: &Vector3<f64>) -> Point3<f64> {
        best(self.discs().map(|(centre, radius)| {
            let p = disc_support(&centre, &self.axis, radius, direction);
            (p.coords.dot(direction), p)
        }))
    }

    fn farthest(&self, from: &Point3<f64>) -> Point3<f64> {
        best(self.discs().map(|(centre, radius)| {
            let v = centre - from;
            let across = v - self.axis * v.dot(&self.axis);
            let p = centre + polar(&across, || perpendicular(&self.axis)).1 * radius;
            ((p - from).norm_squared(), p)
        }))
    }
}

/// The point with the greatest value.
fn best<const N: usize>(points: [(f64, Point3<f64>); N]) -> Point3<f64> {
    let mut best = points[0];
    for p in &points[1..] {
        if p.0 > best.0 {
            best = *p;
        }
    }
    best.1
}

impl ArcHull {
    /// Across the middle direction, level.
    fn across(&self) -> Vector3<f64> {
        Vector3::z().cross(&self.middle)
    }

    /// An end of the middle line, from the centre; `side` is -1 or 1.
    fn end(&self, side: f64) -> Vector3<f64> {
        let (sin, cos) = self.half_angle.sin_cos();
        (self.middle * cos + self.across() * (side * sin)) * self.radius
    }

    /// The place of the middle line's hull furthest along a level unit vector, from the centre.
    fn furthest(&self, unit: &Vector3<f64>) -> Vector3<f64> {
        let (along, aside) = (unit.dot(&self.middle), unit.dot(&self.across()));
        if aside.abs().atan2(along) <= self.half_angle {
            unit * self.radius
        } else {
            self.end(aside.signum())
        }
    }

    /// Signed distance of a level place (from the centre) from the middle line's hull, and its
    /// gradient.
    fn level(&self, v: &Vector3<f64>) -> (f64, Vector3<f64>) {
        let (x, y) = (v.dot(&self.middle), v.dot(&self.across()));
        let chord = self.radius * self.half_angle.cos();
        let (far, away) = polar(v, || self.middle);
        let to_chord = (chord - x, -self.middle);
        if y.abs().atan2(x) <= self.half_angle && far >= self.radius {
            return (far - self.radius, away);
        }
        if x >= chord && far <= self.radius {
            let to_arc = (far - self.radius, away);
            return if to_arc.0 > to_chord.0 {
                to_arc
            } else {
                to_chord
            };
        }
        if x < chord && y.abs() <= self.radius * self.half_angle.sin() {
            return to_chord;
        }
        polar(&(v - self.end(y.signum())), || self.middle)
    }
}

impl Convex for ArcHull {
    fn signed_distance(&self, p: &Point3<f64>) -> (f64, Vector3<f64>) {
        let v = p - self.centre;
        let (r, out) = self.level(&Vector3::new(v.x, v.y, 0.0));
        let (distance, [gr, gh]) = trapezium(r, v.z, self.half_width, self.half_width, self.height);
        (distance, out * gr + Vector3::z() * gh)
    }
}

impl Compact for ArcHull {
    fn core_support(&self, direction: &Vector3<f64>) -> Point3<f64> {
        let flat = Vector3::new(direction.x, direction.y, 0.0);
        let up = if direction.z > 0.0 { self.height } else { 0.0 };
        let base = self.centre + Vector3::z() * up;
        match flat.try_normalize(1e-10 * direction.norm()) {
            Some(unit) => base + self.furthest(&unit) + unit * self.half_width,
            None => base + self.middle * self.radius,
        }
    }

    fn farthest(&self, from: &Point3<f64>) -> Point3<f64> {
        let v = self.centre - from;
        let flat = Vector3::new(v.x, v.y, 0.0);
        let unit = polar(&flat, || self.middle).1;
        let up = if v.z + 0.5 * self.height > 0.0 {
            self.height
        } else {
            0.0
        };
        let ends = [self.end(-1.0), self.end(1.0), self.furthest(&unit)];
        best(ends.map(|end| {
            let out = polar(&(flat + end), || unit).1;
            let p = self.centre + end + out * self.half_width + Vector3::z() * up;
            ((p - from).norm_squared(), p)
        }))
    }
}
