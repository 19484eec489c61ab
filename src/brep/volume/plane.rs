//! Flux through a plane face.

use truck_modeling::{EuclideanSpace, InnerSpace};

use super::super::shape::{Face, Frame};
use super::{Flux, edges};

/// Area, first and second moment along x of a face in a plane of constant z: mm2, mm3, mm4.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct PlanMoments {
    /// Integral of 1.
    pub area: f64,
    /// Integral of x.
    pub x: f64,
    /// Integral of x^2.
    pub xx: f64,
}

/// Moments in plan of a level plane face, by its edges (Green).
pub fn plan_moments(face: &Face) -> PlanMoments {
    let mut sum = PlanMoments::default();
    edges::around(face, |p, step| {
        sum.area += p.x * step.y;
        sum.x += 0.5 * p.x * p.x * step.y;
        sum.xx += p.x * p.x * p.x * step.y / 3.0;
    });
    // A face that looks down is gone round the other way.
    let sign = sum.area.signum();
    PlanMoments {
        area: sign * sum.area,
        x: sign * sum.x,
        xx: sign * sum.xx,
    }
}

/// By the area, first and second moments of the face in the plane's own coordinates (s, t).
pub(super) fn flux(face: &Face, frame: &Frame) -> Flux {
    let (x, y, n) = (frame.x, frame.y(), frame.z);
    // Green: the integral of s^p t^q over the face is that of s^(p+1) t^q / (p + 1) dt round it.
    let (mut area, mut s1, mut t1) = (0.0, 0.0, 0.0);
    let (mut ss, mut st, mut tt) = (0.0, 0.0, 0.0);
    edges::around(face, |point, step| {
        let v = point - frame.origin;
        let (s, t) = (v.dot(x), v.dot(y));
        let (ds, dt) = (step.dot(x), step.dot(y));
        area += 0.5 * (s * dt - t * ds);
        s1 += 0.5 * s * s * dt;
        t1 -= 0.5 * t * t * ds;
        ss += s * s * s * dt / 3.0;
        st += 0.5 * s * s * t * dt;
        tt -= t * t * t * ds / 3.0;
    });
    let o = frame.origin;
    let mut moments = [0.0; 3];
    for k in 0..3 {
        let square = o[k] * o[k] * area
            + 2.0 * o[k] * (x[k] * s1 + y[k] * t1)
            + x[k] * x[k] * ss
            + 2.0 * x[k] * y[k] * st
            + y[k] * y[k] * tt;
        moments[k] = 0.5 * n[k] * square;
    }
    Flux {
        area,
        volume: o.to_vec().dot(n) * area / 3.0,
        moments,
    }
}
