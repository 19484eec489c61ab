//! Exact volume and centroid of a half, by flux through its faces.
//!
//! By the divergence theorem V = 1/3 of the flux of x, and the first moments are the fluxes of
//! (x^2/2, 0, 0) and so on. On each face the flux is turned into integrals along the face's edges
//! (Green's theorem in the surface's own parameters), so only the edges and the surface's formula
//! enter, no tessellation. Source of the method: derived; the tests hold it against closed forms.

mod edges;
mod gauss;
mod plane;
mod revolved;
mod spline;

use truck_modeling::{InnerSpace, Point3, Vector3};

use super::shape::{Face, Half, Solid, Surface};

pub use plane::{PlanMoments, plan_moments};

/// Integrals over a part of a surface, normals as the surface has them.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
struct Flux {
    /// Area, mm2. Serves to tell a part of a closed surface from its complement.
    area: f64,
    /// Third of the flux of x, mm3.
    volume: f64,
    /// Fluxes of (x^2/2, 0, 0), (0, y^2/2, 0), (0, 0, z^2/2), mm4.
    moments: [f64; 3],
}

impl Flux {
    /// Through an element at `point`; `normal` has the element's area as its length.
    fn element(point: Point3, normal: Vector3) -> Self {
        let half = |x: f64, n: f64| 0.5 * x * x * n;
        Self {
            area: normal.magnitude(),
            volume: (point.x * normal.x + point.y * normal.y + point.z * normal.z) / 3.0,
            moments: [
                half(point.x, normal.x),
                half(point.y, normal.y),
                half(point.z, normal.z),
            ],
        }
    }

    /// Adds `factor` times `other`.
    fn add(&mut self, other: &Self, factor: f64) {
        self.area += factor * other.area;
        self.volume += factor * other.volume;
        for (m, o) in self.moments.iter_mut().zip(other.moments) {
            *m += factor * o;
        }
    }
}

/// Flux through a face, in the direction of its surface's own normal.
fn face_flux(face: &Face) -> Flux {
    match face.surface() {
        Surface::Plane(frame) => plane::flux(face, &frame),
        Surface::Spline(surface) => spline::flux(face, &surface),
        other => match revolved::Chart::of(&other) {
            Some(chart) => revolved::flux(face, &chart),
            None => Flux::default(),
        },
    }
}

fn solid_flux(solid: &Solid) -> Flux {
    let mut sum = Flux::default();
    for face in solid.face_iter() {
        let sign = if face.orientation() { 1.0 } else { -1.0 };
        sum.add(&face_flux(face), sign);
    }
    sum
}

/// Volume in mm3; negative when the faces are turned inside out, NaN when a spline face has a
/// degree above 7. The edges must lie on their faces, and close each face in its surface.
pub fn volume(half: &Half) -> f64 {
    solid_flux(&half.solid).volume
}

/// Volume in mm3 and first moments (integrals of x, y and z over the solid) in mm4; the
/// centroid is their quotient.
pub fn moments(half: &Half) -> (f64, [f64; 3]) {
    let flux = solid_flux(&half.solid);
    (flux.volume, flux.moments)
}

/// Area of a face in mm2.
pub fn face_area(face: &Face) -> f64 {
    face_flux(face).area
}

#[cfg(test)]
pub(crate) mod tests;
