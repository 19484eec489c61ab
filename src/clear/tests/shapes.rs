//! Patches and features for the tests.

use nalgebra::{Point3, Rotation3, Vector3};
use proptest::prelude::*;

use crate::clear::{
    ArcHull, Ball, BezierPatch, Bowl, Capsule, Compact, CutCone, Ellipse, Frustum, Stadium, Taper,
};

/// Quarter circle as three rational points (x, y, weight).
pub fn quarter() -> [[f64; 3]; 3] {
    let w = std::f64::consts::FRAC_1_SQRT_2;
    [[1.0, 0.0, 1.0], [1.0, 1.0, w], [0.0, 1.0, 1.0]]
}

/// Octant of a sphere about the origin.
pub fn octant(radius: f64) -> BezierPatch {
    let mut points = Vec::new();
    for [c, z, wu] in quarter() {
        for [x, y, wv] in quarter() {
            let w = wu * wv;
            points.push([w * radius * c * x, w * radius * c * y, w * radius * z, w]);
        }
    }
    BezierPatch::new((2, 2), points).unwrap()
}

/// Part of a surface of revolution about x: cubic profile (x, radius), a quarter turn from +y
/// to +z.
pub fn revolved(profile: [[f64; 2]; 4]) -> BezierPatch {
    let mut points = Vec::new();
    for [x, r] in profile {
        for [c, s, w] in quarter() {
            points.push([w * x, w * r * c, w * r * s, w]);
        }
    }
    BezierPatch::new((3, 2), points).unwrap()
}

/// The patch moved by a rotation and a translation.
pub fn moved(patch: &BezierPatch, turn: &Rotation3<f64>, by: &Vector3<f64>) -> BezierPatch {
    let points = patch
        .points()
        .iter()
        .map(|p| {
            let q = turn * Vector3::new(p[0], p[1], p[2]) + by * p[3];
            [q.x, q.y, q.z, p[3]]
        })
        .collect();
    BezierPatch::new(patch.degree(), points).unwrap()
}

pub fn vector(size: f64) -> impl Strategy<Value = Vector3<f64>> {
    [-size..size, -size..size, -size..size].prop_map(|[x, y, z]| Vector3::new(x, y, z))
}

pub fn direction() -> impl Strategy<Value = Vector3<f64>> {
    vector(1.0)
        .prop_filter("too short", |v| v.norm() > 0.1)
        .prop_map(|v| v.normalize())
}

pub fn point(size: f64) -> impl Strategy<Value = Point3<f64>> {
    vector(size).prop_map(Point3::from)
}

/// A patch of about 20 x 20 mm with random bumps; weights vary in v only.
pub fn patch() -> impl Strategy<Value = BezierPatch> {
    (1usize..=3, 1usize..=3)
        .prop_flat_map(|(p, q)| {
            let n = (p + 1) * (q + 1);
            (
                Just((p, q)),
                prop::collection::vec(vector(4.0), n),
                prop::collection::vec(0.5..2.0, q + 1),
                any::<bool>(),
            )
        })
        .prop_map(|((p, q), noise, weights, rational)| {
            let mut points = Vec::new();
            for i in 0..=p {
                for j in 0..=q {
                    let w = if rational { weights[j] } else { 1.0 };
                    let at = Vector3::new(
                        20.0 * i as f64 / p as f64 - 10.0,
                        20.0 * j as f64 / q as f64 - 10.0,
                        0.0,
                    ) + noise[i * (q + 1) + j];
                    points.push([w * at.x, w * at.y, w * at.z, w]);
                }
            }
            BezierPatch::new((p, q), points).unwrap()
        })
}

pub fn ball() -> impl Strategy<Value = Ball> {
    (point(12.0), 0.0..9.0).prop_map(|(centre, radius)| Ball { centre, radius })
}

pub fn capsule() -> impl Strategy<Value = Capsule> {
    (point(12.0), point(12.0), 0.0..5.0).prop_map(|(from, to, radius)| Capsule { from, to, radius })
}

pub fn frustum() -> impl Strategy<Value = Frustum> {
    (point(12.0), direction(), 0.5..12.0, 0.5..6.0, 0.5..6.0).prop_map(
        |(base, axis, height, base_radius, top_radius)| Frustum {
            base,
            axis,
            height,
            base_radius,
            top_radius,
        },
    )
}

pub fn cylinder() -> impl Strategy<Value = Frustum> {
    frustum().prop_map(|f| Frustum::cylinder(f.base, f.axis, f.height, f.base_radius))
}

pub fn stadium() -> impl Strategy<Value = Stadium> {
    (frustum(), direction(), 0.0..3.0).prop_map(|(f, other, half)| {
        let across = (other - f.axis * other.dot(&f.axis)).try_normalize(1e-3);
        Stadium {
            base: f.base,
            axis: f.axis,
            half_slot: across.unwrap_or_else(Vector3::zeros) * half,
            radius: f.base_radius,
            height: f.height,
        }
    })
}

pub fn taper() -> impl Strategy<Value = Taper> {
    (stadium(), 0.5..6.0).prop_map(|(s, top_radius)| Taper {
        base: s.base,
        axis: s.axis,
        half_slot: s.half_slot,
        base_radius: s.radius,
        top_radius,
        height: s.height,
    })
}

pub fn arc_hull() -> impl Strategy<Value = ArcHull> {
    let sizes = (0.05..1.55, 1.0..14.0, 0.1..2.0, 0.3..3.0);
    (point(8.0), 0.0..6.3f64, sizes).prop_map(
        |(centre, turn, (half_angle, radius, half_width, height))| ArcHull {
            centre,
            middle: Vector3::new(turn.cos(), turn.sin(), 0.0),
            half_angle,
            radius,
            half_width,
            height,
        },
    )
}

pub fn bowl() -> impl Strategy<Value = Bowl> {
    (point(12.0), direction(), 0.5..9.0, 0.0..0.95).prop_map(|(centre, axis, radius, share)| Bowl {
        centre,
        radius,
        axis,
        mouth: share * radius,
    })
}

pub fn ellipse() -> impl Strategy<Value = Ellipse> {
    (point(12.0), direction(), direction(), 0.5..9.0, 0.5..2.0).prop_map(
        |(centre, one, other, radius, share)| {
            let across = (other - one * other.dot(&one)).try_normalize(1e-3);
            let axes = [
                one,
                across.unwrap_or_else(|| crate::clear::convex::perpendicular(&one)),
            ];
            Ellipse {
                centre,
                axes,
                radii: [radius, share * radius],
            }
        },
    )
}

/// About x, with the plane x = -z tilt through the origin, then turned.
pub fn cut_cone() -> impl Strategy<Value = CutCone> {
    let flare = (0.5..6.0, 0.0..1.2, -0.5..0.5, 0.1..6.0);
    (point(12.0), vector(3.0), flare).prop_map(|(place, turn, (mouth, slope, tilt, spare))| {
        let k: f64 = tilt * slope;
        let ellipse = |at_datum: f64| (at_datum / (1.0 - k * k), at_datum / (1.0 - k * k).sqrt());
        // As deep as the tilted plane asks for, and a little.
        let reach = f64::abs(tilt) * mouth / (1.0 - k.abs());
        let depth: f64 = reach + spare;
        let (up, across) = ellipse(mouth + depth * slope);
        let rise = Vector3::new(-tilt, 0.0, 1.0);
        let turn = Rotation3::new(turn);
        let x = turn * Vector3::x();
        let height = depth + 1.01 * f64::abs(tilt) * up * (1.0 + k.abs());
        CutCone {
            cone: Frustum {
                base: place - x * depth,
                axis: x,
                height,
                base_radius: mouth,
                top_radius: mouth + height * slope,
            },
            edge: Ellipse {
                centre: place - turn * rise * (k * up),
                axes: [turn * Vector3::y(), turn * rise.normalize()],
                radii: [across, up * rise.norm()],
            },
            normal: turn * Vector3::new(1.0, 0.0, tilt).normalize(),
        }
    })
}

/// Any bounded feature.
#[derive(Debug, Clone)]
pub enum Feature {
    Ball(Ball),
    Capsule(Capsule),
    Frustum(Frustum),
    Stadium(Stadium),
    Bowl(Bowl),
    CutCone(CutCone),
    Taper(Taper),
    ArcHull(ArcHull),
}

impl std::ops::Deref for Feature {
    type Target = dyn Compact;

    fn deref(&self) -> &Self::Target {
        match self {
            Self::Ball(f) => f,
            Self::Capsule(f) => f,
            Self::Frustum(f) => f,
            Self::Stadium(f) => f,
            Self::Bowl(f) => f,
            Self::CutCone(f) => f,
            Self::Taper(f) => f,
            Self::ArcHull(f) => f,
        }
    }
}

pub fn feature() -> impl Strategy<Value = Feature> {
    prop_oneof![
        ball().prop_map(Feature::Ball),
        capsule().prop_map(Feature::Capsule),
        frustum().prop_map(Feature::Frustum),
        cylinder().prop_map(Feature::Frustum),
        stadium().prop_map(Feature::Stadium),
        bowl().prop_map(Feature::Bowl),
        cut_cone().prop_map(Feature::CutCone),
        taper().prop_map(Feature::Taper),
        arc_hull().prop_map(Feature::ArcHull)
    ]
}
