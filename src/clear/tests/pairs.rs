//! Pairs of convex solids.

use nalgebra::{Point3, Vector3};
use proptest::prelude::*;

use super::shapes::{ball, direction, feature};
use crate::clear::{Ball, Capsule, DISTANCE_TOLERANCE, Frustum, least_distance_convex};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    /// Along no direction are the solids further apart than the result, along its own they are.
    #[test]
    fn separation(a in feature(), b in feature(), n in prop::collection::vec(direction(), 50)) {
        let found = least_distance_convex(&*a, &*b);
        prop_assert!(found.proven, "{found:?}");
        let along = |n: &Vector3<f64>| (a.support(&-n) - b.support(n)).dot(n);
        prop_assert!(along(&found.direction) >= found.lower - 1e-9);
        for n in &n {
            prop_assert!(along(n) <= found.distance + 1e-9);
        }
        prop_assert!(a.signed_distance(&found.on_a).0 < 1e-7);
        prop_assert!(b.signed_distance(&found.on_b).0 < 1e-7);
        if found.distance > 1e-6 {
            let gap = (found.on_a - found.on_b).norm();
            prop_assert!((gap - found.distance).abs() < 2.0 * DISTANCE_TOLERANCE, "{gap} {found:?}");
        }
    }

    /// A ball against anything is the signed distance of its centre less its radius.
    #[test]
    fn ball_and_feature(a in feature(), b in ball()) {
        let found = least_distance_convex(&*a, &b);
        let exact = a.signed_distance(&b.centre).0 - b.radius;
        prop_assert!((found.distance - exact).abs() <= DISTANCE_TOLERANCE, "{found:?} {exact}");
    }

    #[test]
    fn balls(a in ball(), b in ball()) {
        let found = least_distance_convex(&a, &b);
        let exact = (a.centre - b.centre).norm() - a.radius - b.radius;
        prop_assert!((found.distance - exact).abs() < DISTANCE_TOLERANCE);
    }
}

/// A neck well inside a flare about the same axis, and two crossing pins.
#[test]
fn designed_pairs() {
    let flare = Frustum {
        base: Point3::origin(),
        axis: Vector3::x(),
        height: 5.0,
        base_radius: 8.0,
        top_radius: 11.0,
    };
    let neck = Frustum::cylinder(Point3::new(1.0, 0.0, 0.0), Vector3::x(), 3.0, 4.0);
    let found = least_distance_convex(&neck, &flare);
    // The cheapest way out is along the axis: 4 mm one way or the other.
    assert!(
        found.proven && (found.distance + 4.0).abs() < 1e-6,
        "{found:?}"
    );
    // One pin round another: every direction across is as good, a ridge round the sphere.
    let thick = Frustum::cylinder(Point3::origin(), Vector3::z(), 9.0, 3.2);
    let thin = Frustum::cylinder(Point3::new(0.0, 0.0, -3.0), Vector3::z(), 15.0, 2.2);
    let found = least_distance_convex(&thick, &thin);
    assert!(
        found.proven && (found.distance + 5.4).abs() < 1e-6,
        "{found:?}"
    );
    let pin = |x: f64, axis| Capsule {
        from: Point3::new(x, 0.0, 0.0) - axis * 20.0,
        to: Point3::new(x, 0.0, 0.0) + axis * 20.0,
        radius: 3.0,
    };
    let found = least_distance_convex(&pin(0.0, Vector3::y()), &pin(7.5, Vector3::z()));
    assert!(found.proven && (found.distance - 1.5).abs() < 1e-6);
    let ball = Ball {
        centre: Point3::new(20.0, 0.0, 0.0),
        radius: 10.0,
    };
    assert!((least_distance_convex(&ball, &neck).distance - 6.0).abs() < 1e-6);
}
