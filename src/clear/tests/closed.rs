//! Against closed forms, all derived.

use nalgebra::{Point3, Vector3};
use proptest::prelude::*;

use super::shapes::{octant, quarter, revolved};
use crate::clear::{
    Ball, BezierCurve, BezierPatch, DISTANCE_TOLERANCE, Frustum, HalfSpace, Nearest, inside_sphere,
    least_distance_curves, least_distance_patches, outside_sphere, to_plane,
};

fn close(found: &Nearest, wanted: f64) {
    assert!(found.proven, "{found:?}");
    assert!(
        (found.distance - wanted).abs() < DISTANCE_TOLERANCE,
        "{found:?} instead of {wanted}"
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]

    #[test]
    fn ball_and_plane_patch(x in 1.0_f64..9.0, y in 1.0_f64..9.0, z in -9.0_f64..9.0, r in 0.1_f64..9.0) {
        let points = [[0.0, 0.0], [0.0, 10.0], [10.0, 0.0], [10.0, 10.0]]
            .map(|[x, y]| [x, y, 0.0, 1.0]);
        let patch = BezierPatch::new((1, 1), points.to_vec()).unwrap();
        let ball = Ball { centre: Point3::new(x, y, z), radius: r };
        let found = least_distance_patches(&ball, &[patch], None).unwrap();
        close(&found, z.abs() - r);
        prop_assert!((found.on_target - Point3::new(x, y, 0.0)).norm() < 1e-3);
    }

    /// An upright pin beside the axis of a round bore, exact as a rational patch.
    #[test]
    fn pin_in_cylinder_patch(angle in 0.1_f64..1.4, off in 0.0_f64..3.0, r in 1.0_f64..4.0) {
        let mut points = Vec::new();
        for z in [-5.0, 30.0] {
            for [x, y, w] in quarter() {
                points.push([10.0 * w * x, 10.0 * w * y, w * z, w]);
            }
        }
        let patch = BezierPatch::new((1, 2), points).unwrap();
        let base = Point3::new(off * f64::cos(angle), off * f64::sin(angle), 0.0);
        let pin = Frustum::cylinder(base, Vector3::z(), 12.0, r);
        let found = least_distance_patches(&pin, &[patch], None).unwrap();
        close(&found, 10.0 - off - r);
        prop_assert!(found.cells < 2000, "{} cells", found.cells);
    }

    /// A ball inside a sphere, concentric or not, touching or poking through.
    #[test]
    fn ball_in_sphere_octant(
        n in [0.2_f64..1.0, 0.2..1.0, 0.2..1.0], off in prop_oneof![Just(0.0), 0.0..3.0], gap in -0.05_f64..3.0,
    ) {
        let centre = Point3::from(Vector3::from(n).normalize() * off);
        let ball = Ball { centre, radius: 20.0 - off - gap };
        let found = least_distance_patches(&ball, &[octant(20.0)], None).unwrap();
        close(&found, gap);
        prop_assert!(found.cells < 2000, "{} cells", found.cells);
        let exact = inside_sphere(&ball, &Point3::origin(), 20.0);
        prop_assert!((exact.distance - gap).abs() < 1e-12);
    }

    /// A flare about the axis of a round body: the least distance is reached all along a circle.
    #[test]
    fn flare_in_round_body(slope in -0.3_f64..0.3, r0 in 4.0_f64..8.0, r1 in 4.0_f64..8.0) {
        let profile = [0.0, 10.0, 20.0, 30.0].map(|x| [x, 15.0 + slope * (x - 15.0)]);
        let flare = Frustum {
            base: Point3::new(12.0, 0.0, 0.0),
            axis: Vector3::x(),
            height: 6.0,
            base_radius: r0,
            top_radius: r1,
        };
        let found = least_distance_patches(&flare, &[revolved(profile)], None).unwrap();
        let line = |x: f64, r: f64| (15.0 + slope * (x - 15.0) - r) / f64::hypot(1.0, slope);
        close(&found, line(12.0, r0).min(line(18.0, r1)));
        prop_assert!(found.cells < 2000, "{} cells", found.cells);
    }

    #[test]
    fn ball_and_circle(x in -8.0_f64..8.0, y in -8.0_f64..8.0, z in -8.0_f64..8.0, r in 0.1_f64..5.0) {
        let curves: Vec<BezierCurve> = [[1.0, 1.0], [-1.0, 1.0], [-1.0, -1.0], [1.0, -1.0]]
            .iter()
            .map(|s| {
                let points = quarter().map(|[a, b, w]| [6.0 * w * a * s[0], 6.0 * w * b * s[1], 0.0, w]);
                BezierCurve::new(points.to_vec()).unwrap()
            })
            .collect();
        let ball = Ball { centre: Point3::new(x, y, z), radius: r };
        let found = least_distance_curves(&ball, &curves, None).unwrap();
        close(&found, f64::hypot(f64::hypot(x, y) - 6.0, z) - r);
    }

    #[test]
    fn planes_and_spheres(x in -8.0_f64..8.0, h in 1.0_f64..9.0, r in 0.5_f64..3.0, tilt in 0.1_f64..1.4) {
        let pin = Frustum::cylinder(Point3::new(x, 0.0, 0.0), Vector3::z(), h, r);
        // Plane x = 20 - z tan(tilt): the top rim comes nearest.
        let (s, c) = f64::sin_cos(tilt);
        let normal = Vector3::new(-c, 0.0, -s);
        let gap = to_plane(&pin, &Point3::new(20.0, 0.0, 0.0), &normal);
        prop_assert!((gap.distance - ((20.0 - x - r) * c - h * s)).abs() < 1e-12);
        // Sphere about (0, 0, 0): the rim of the top, on the far side.
        let gap = inside_sphere(&pin, &Point3::origin(), 30.0);
        prop_assert!((gap.distance - (30.0 - f64::hypot(x.abs() + r, h))).abs() < 1e-12);
        let gap = outside_sphere(&pin, &Point3::new(x, 20.0, h / 2.0), 3.0);
        prop_assert!((gap.distance - (17.0 - r)).abs() < 1e-12);
    }
}

/// A half space over a dished patch: the lowest point of the surface.
#[test]
fn lowest_point() {
    let mut points = Vec::new();
    for i in 0..3 {
        for j in 0..3 {
            // z = (x - 1)^2 + y^2 over x in -2..2, y in -1..3.
            let (x, y) = (2.0 * f64::from(i) - 2.0, 2.0 * f64::from(j) - 1.0);
            let square = |from: f64, to: f64, k: i32| [from * from, from * to, to * to][k as usize];
            points.push([x, y, square(-3.0, 1.0, i) + square(-1.0, 3.0, j), 1.0]);
        }
    }
    let patch = BezierPatch::new((2, 2), points).unwrap();
    let below = HalfSpace {
        point: Point3::new(0.0, 0.0, -4.0),
        normal: Vector3::z(),
    };
    let found = least_distance_patches(&below, &[patch], None).unwrap();
    close(&found, 4.0);
    assert!((found.on_target - Point3::new(1.0, 0.0, 0.0)).norm() < 1e-5);
}
