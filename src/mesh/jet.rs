//! Point and derivatives of a spline patch up to the second.
//!
//! Here because `uuder` and `vvder` of truck-geometry 0.5.0 leave out a factor: they return the
//! second derivative divided by degree - 1, right for quadratic patches only, and half the true
//! value for cubic ones. A test compares with differences and fails when a later release mends
//! it.

use truck_modeling::{InnerSpace, NurbsSurface, ParametricSurface, Point3, Vector3, Vector4};

/// A patch at one parameter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Jet {
    /// S.
    pub point: Point3,
    /// dS/du.
    pub u: Vector3,
    /// dS/dv.
    pub v: Vector3,
    /// d2S/du2.
    pub uu: Vector3,
    /// d2S/du dv.
    pub uv: Vector3,
    /// d2S/dv2.
    pub vv: Vector3,
}

impl Jet {
    /// At (u, v); for weights that differ by the quotient rule on the homogeneous patch.
    pub fn of(patch: &NurbsSurface<Vector4>, u: f64, v: f64) -> Jet {
        let whole = patch.non_rationalized();
        let lost = |degree: usize| degree.saturating_sub(1) as f64;
        let at = whole.subs(u, v);
        let (du, dv) = (whole.uder(u, v), whole.vder(u, v));
        let duu = whole.uuder(u, v) * lost(whole.udegree());
        let dvv = whole.vvder(u, v) * lost(whole.vdegree());
        let duv = whole.uvder(u, v);
        let s = at.truncate() / at.w;
        let su = (du.truncate() - s * du.w) / at.w;
        let sv = (dv.truncate() - s * dv.w) / at.w;
        Jet {
            point: Point3::new(s.x, s.y, s.z),
            u: su,
            v: sv,
            uu: (duu.truncate() - su * (2.0 * du.w) - s * duu.w) / at.w,
            uv: (duv.truncate() - sv * du.w - su * dv.w - s * duv.w) / at.w,
            vv: (dvv.truncate() - sv * (2.0 * dv.w) - s * dvv.w) / at.w,
        }
    }

    /// Unit normal, du x dv.
    pub fn normal(&self) -> Vector3 {
        self.u.cross(self.v).normalize()
    }
}

#[cfg(test)]
mod tests {
    use truck_modeling::{BSplineSurface, EuclideanSpace, KnotVec};

    use super::*;

    /// A patch of the degrees without pattern, with weights from 1 to 1 + `spread`.
    fn patch(degrees: (usize, usize), spread: f64) -> NurbsSurface<Vector4> {
        let knots = |p: usize| {
            let mut k = vec![0.0; p + 1];
            k.push(0.4);
            k.extend(vec![1.0; p + 1]);
            KnotVec::from(k)
        };
        let point = |i: usize, j: usize| {
            let (x, y) = (i as f64, j as f64);
            let w = 1.0 + spread * (2.7 * x + 1.3 * y).sin().abs();
            Vector4::new(
                5.0 * x + y.sin(),
                4.0 * y,
                (1.9 * x * y + x).sin() * 3.0,
                1.0,
            ) * w
        };
        let points = (0..degrees.0 + 2)
            .map(|i| (0..degrees.1 + 2).map(|j| point(i, j)).collect())
            .collect();
        NurbsSurface::new(BSplineSurface::new(
            (knots(degrees.0), knots(degrees.1)),
            points,
        ))
    }

    #[test]
    fn derivatives_are_the_limits_of_differences() {
        for degrees in [(1, 3), (2, 2), (2, 3), (3, 3), (4, 3)] {
            for spread in [0.0, 0.7] {
                let patch = patch(degrees, spread);
                let (u, v, h) = (0.23, 0.61, 1e-4);
                let s = |a: f64, b: f64| patch.subs(u + a * h, v + b * h).to_vec();
                let jet = Jet::of(&patch, u, v);
                let mid = s(0.0, 0.0);
                let cross = s(1.0, 1.0) + s(-1.0, -1.0) - s(1.0, -1.0) - s(-1.0, 1.0);
                let pairs = [
                    (jet.point.to_vec(), mid),
                    (jet.u, (s(1.0, 0.0) - s(-1.0, 0.0)) / (2.0 * h)),
                    (jet.v, (s(0.0, 1.0) - s(0.0, -1.0)) / (2.0 * h)),
                    (jet.uu, (s(1.0, 0.0) + s(-1.0, 0.0) - mid * 2.0) / (h * h)),
                    (jet.vv, (s(0.0, 1.0) + s(0.0, -1.0) - mid * 2.0) / (h * h)),
                    (jet.uv, cross / (4.0 * h * h)),
                ];
                for (ours, limit) in pairs {
                    let off = (ours - limit).magnitude();
                    assert!(
                        off < 1e-4 * (1.0 + limit.magnitude()),
                        "{degrees:?} {ours:?} {limit:?}"
                    );
                }
            }
        }
    }
}
