//! Closed forms over random places, and splines against surfaces of known distance and grids.

use proptest::prelude::*;
use truck_modeling::{
    BSplineSurface, InnerSpace, KnotVec, MetricSpace, NurbsSurface, ParametricSurface3D, Point3,
    Vector3, Vector4,
};

use super::{distance_to_surface, of_triangle, samples};
use crate::brep::shape::{Frame, Surface};

fn direction() -> impl Strategy<Value = Vector3> {
    (-1.0..1.0f64, 0.0..std::f64::consts::TAU).prop_map(|(z, a)| {
        let r = (1.0 - z * z).sqrt();
        Vector3::new(r * a.cos(), r * a.sin(), z)
    })
}

fn frame() -> impl Strategy<Value = Frame> {
    let far = || -50.0..50.0f64;
    (far(), far(), far(), direction(), direction())
        .prop_filter("two directions", |f| f.3.cross(f.4).magnitude() > 0.1)
        .prop_map(|(x, y, z, axis, other)| Frame {
            origin: Point3::new(x, y, z),
            x: axis.cross(other).normalize(),
            z: axis,
        })
}

/// Place by distance from the axis, turn about it, and height.
fn place(f: &Frame, from_axis: f64, turn: f64, height: f64) -> Point3 {
    f.origin + (f.x * turn.cos() + f.y() * turn.sin()) * from_axis + f.z * height
}

proptest! {
    #[test]
    fn a_point_off_a_surface_by_its_normal_is_that_far_off(
        frame in frame(), turn in 0.0..6.2f64, tube in 0.0..6.2f64, radius in 2.0..20.0f64,
        off in -1.5..1.5f64, h in 0.0..10.0f64, half_angle in 0.2..1.2f64,
    ) {
        // Normals and radii by the definitions in the surface type.
        let (sin, cos) = half_angle.sin_cos();
        let major = radius + 2.0;
        let cases = [
            (Surface::Plane(frame), place(&frame, radius, turn, off)),
            (
                Surface::Sphere { frame, radius },
                place(&frame, (radius + off) * tube.sin(), turn, (radius + off) * tube.cos()),
            ),
            (Surface::Cylinder { frame, radius }, place(&frame, radius + off, turn, h)),
            (
                Surface::Cone { frame, radius, half_angle },
                place(&frame, radius + h * sin / cos + off * cos, turn, h - off * sin),
            ),
            (
                Surface::Torus { frame, major, minor: radius },
                place(
                    &frame,
                    major + (radius + off) * tube.cos(),
                    turn,
                    (radius + off) * tube.sin(),
                ),
            ),
        ];
        for (surface, point) in cases {
            let d = distance_to_surface(&surface, point, None);
            prop_assert!((d - off.abs()).abs() < 1e-11, "{surface:?} {d} {off}");
        }
    }

    #[test]
    fn below_the_apex_the_apex_is_nearest(
        frame in frame(), radius in 1.0..5.0f64, half_angle in 0.2..1.2f64,
        under in 0.0..3.0f64, aside in 0.0..1.0f64, turn in 0.0..6.2f64,
    ) {
        let apex = -radius / half_angle.tan();
        // Aside of the axis no farther than the normal cone through the apex.
        let from_axis = aside * under / half_angle.tan();
        let point = place(&frame, from_axis, turn, apex - under);
        let d = distance_to_surface(&Surface::Cone { frame, radius, half_angle }, point, None);
        prop_assert!((d - from_axis.hypot(under)).abs() < 1e-11);
    }
}

/// Bicubic patch over 0..30 x 0..20 with the given heights of its 4 x 4 control points; a graph,
/// since the other coordinates are linear in u and v.
fn patch(heights: [f64; 16]) -> NurbsSurface<Vector4> {
    let row = |i: usize| {
        (0..4)
            .map(|j| {
                Vector4::new(
                    10.0 * i as f64,
                    20.0 / 3.0 * j as f64,
                    heights[4 * i + j],
                    1.0,
                )
            })
            .collect()
    };
    let knots = || KnotVec::bezier_knot(3);
    let points = (0..4).map(row).collect();
    NurbsSurface::new(BSplineSurface::new((knots(), knots()), points))
}

/// Distance by a grid of the whole patch, made four times finer round its best point.
fn by_grids(patch: &NurbsSurface<Vector4>, point: Point3) -> f64 {
    let mut centre = (0.5, 0.5);
    let mut half = 0.5;
    let mut best = f64::INFINITY;
    for _ in 0..26 {
        let from = centre;
        for i in 0..=40 {
            for j in 0..=40 {
                let at = |k: i32, c: f64| (c + half * (f64::from(k) / 20.0 - 1.0)).clamp(0.0, 1.0);
                let (u, v) = (at(i, from.0), at(j, from.1));
                let d = patch.subs(u, v).distance(point);
                if d < best {
                    (best, centre) = (d, (u, v));
                }
            }
        }
        half /= 4.0;
        if half < 1e-9 {
            break;
        }
    }
    best
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn splines_against_grids(
        heights in prop::array::uniform16(-6.0..6.0f64),
        x in -10.0..40.0f64, y in -10.0..30.0f64, z in -15.0..15.0f64,
    ) {
        let patch = patch(heights);
        let point = Point3::new(x, y, z);
        let expected = by_grids(&patch, point);
        let d = distance_to_surface(&Surface::Spline(patch), point, None);
        // Two valleys can be equally far; then both are right. Never farther than the grid's.
        prop_assert!(d <= expected + 1e-7 && d >= expected - 0.05, "{d} {expected}");
    }

    #[test]
    fn splines_off_by_the_normal_with_a_hint(
        heights in prop::array::uniform16(-2.0..2.0f64),
        u in 0.05..0.95f64, v in 0.05..0.95f64, off in -0.5..0.5f64, slip in -0.05..0.05f64,
    ) {
        // Heights up to 2 over spans of 10 and 20/3 mm curve less than a radius of 2 mm.
        let patch = patch(heights);
        let point = patch.subs(u, v) + patch.normal(u, v) * off;
        let surface = Surface::Spline(patch);
        let near = distance_to_surface(&surface, point, Some((u + slip, v - slip)));
        let whole = distance_to_surface(&surface, point, None);
        prop_assert!((near - off.abs()).abs() < 1e-10, "{near} {off}");
        prop_assert!((whole - off.abs()).abs() < 1e-10, "{whole} {off}");
    }

    #[test]
    fn a_flat_spline_is_a_rectangle(x in -10.0..40.0f64, y in -10.0..30.0f64, z in -9.0..9.0f64) {
        let surface = Surface::Spline(patch([0.0; 16]));
        let beyond = |t: f64, most: f64| (-t).max(t - most).max(0.0);
        let expected = Vector3::new(beyond(x, 30.0), beyond(y, 20.0), z).magnitude();
        let d = distance_to_surface(&surface, Point3::new(x, y, z), None);
        prop_assert!((d - expected).abs() < 1e-9, "{d} {expected}");
    }
}

/// Quarter of a cylinder of radius 5, exactly, by weights 1, 1/sqrt 2, 1 (any text on NURBS).
fn quarter() -> NurbsSurface<Vector4> {
    let w = 0.5f64.sqrt();
    let arc = |z: f64| {
        [
            Vector4::new(5.0, 0.0, z, 1.0),
            Vector4::new(5.0 * w, 5.0 * w, z * w, w),
            Vector4::new(0.0, 5.0, z, 1.0),
        ]
    };
    let (low, high) = (arc(0.0), arc(8.0));
    let points = (0..3).map(|k| vec![low[k], high[k]]).collect();
    let knots = (KnotVec::bezier_knot(2), KnotVec::bezier_knot(1));
    NurbsSurface::new(BSplineSurface::new(knots, points))
}

#[test]
fn a_rational_patch_against_the_cylinder_it_is() {
    let patch = Surface::Spline(quarter());
    let axis = Frame {
        origin: Point3::new(0.0, 0.0, 0.0),
        x: Vector3::unit_x(),
        z: Vector3::unit_z(),
    };
    let whole = Surface::Cylinder {
        frame: axis,
        radius: 5.0,
    };
    for k in 1..20 {
        let a = f64::from(k) * std::f64::consts::FRAC_PI_2 / 20.0;
        let r = 3.0 + 0.25 * f64::from(k);
        let point = place(&axis, r, a, 0.4 * f64::from(k));
        let (d, e) = (
            distance_to_surface(&patch, point, None),
            distance_to_surface(&whole, point, None),
        );
        assert!((d - e).abs() < 1e-10, "{d} {e}");
    }
}

#[test]
fn a_chord_of_a_cylinder_is_off_by_its_sagitta() {
    let surface = Surface::Spline(quarter());
    let at = |a: f64, z: f64| Point3::new(5.0 * a.cos(), 5.0 * a.sin(), z);
    for step in [0.1, 0.2, 0.4] {
        let corners = [at(0.5, 1.0), at(0.5 + step, 1.0), at(0.5, 2.0)];
        // Sagitta r (1 - cos of half the angle); the largest is in the middle of the chord.
        let sagitta = 5.0 * (1.0 - (step / 2.0).cos());
        for hint in [None, Some((0.4, 0.2))] {
            let seen = of_triangle(&surface, corners, hint);
            assert!((seen.distance - sagitta).abs() < 1e-10);
            assert!(samples(corners).contains(&seen.place));
        }
    }
}
