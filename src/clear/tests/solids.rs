//! Signed distances and supports of the features.

use nalgebra::{Point3, Vector3};
use proptest::prelude::*;

use super::shapes::{direction, feature, point};
use crate::clear::{Ball, Capsule, Compact, Frustum, Stadium};

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// The foot lies on the surface, at the stated distance, and beyond it the sign changes.
    #[test]
    fn foot_is_on_the_surface(f in feature(), p in point(20.0)) {
        let (d, g) = f.signed_distance(&p);
        prop_assert!((g.norm() - 1.0).abs() < 1e-12);
        let foot = p - g * d;
        prop_assert!(f.signed_distance(&foot).0.abs() < 1e-9);
        prop_assert!(f.signed_distance(&(foot + g * 1e-4)).0 > 0.9e-4);
    }

    /// A tangent never exceeds the function, nor does the curved minorant, which touches.
    #[test]
    fn minorants(f in feature(), p in point(20.0), q in point(20.0)) {
        let (d, g) = f.signed_distance(&p);
        let (there, _) = f.signed_distance(&q);
        prop_assert!(there >= d + g.dot(&(q - p)) - 1e-10);
        if let Some(c) = f.curved(&p) {
            let value = |x: &Point3<f64>| {
                let v = x - c.centre;
                let across = c.axis.map_or(v, |a| v - a * v.dot(&a));
                c.constant + c.linear.dot(&x.coords) + c.slope * across.norm()
            };
            prop_assert!((value(&p) - d).abs() < 1e-10);
            prop_assert!(value(&q) <= there + 1e-10);
        }
    }

    /// The signed distance of a convex body is the greatest height over its supporting planes:
    /// no direction gives more, and the gradient gives it.
    #[test]
    fn agrees_with_support(f in feature(), p in point(20.0), n in direction()) {
        let height = |n: &Vector3<f64>| (p - f.support(n)).dot(n);
        let (d, g) = f.signed_distance(&p);
        prop_assert!(height(&n) <= d + 1e-9);
        prop_assert!((height(&g) - d).abs() < 1e-7);
    }

    /// The farthest point belongs to the solid and no supporting point is farther.
    #[test]
    fn farthest_is_farthest(f in feature(), p in point(20.0), n in direction()) {
        let far = f.farthest(&p);
        prop_assert!(f.signed_distance(&far).0.abs() < 1e-9);
        prop_assert!((f.support(&n) - p).norm() <= (far - p).norm() + 1e-9);
    }
}

/// Hand-picked places with distances read off a drawing.
#[test]
fn known_places() {
    let at = |f: &dyn Compact, x: f64, y: f64, z: f64| f.signed_distance(&Point3::new(x, y, z)).0;
    let close = |a: f64, b: f64| assert!((a - b).abs() < 1e-12, "{a} {b}");
    let origin = Point3::origin();
    let ball = Ball {
        centre: origin,
        radius: 10.0,
    };
    close(at(&ball, 3.0, 4.0, 0.0), -5.0);
    close(at(&ball, 0.0, 0.0, 0.0), -10.0);
    let capsule = Capsule {
        from: origin,
        to: Point3::new(10.0, 0.0, 0.0),
        radius: 1.0,
    };
    close(at(&capsule, 13.0, 4.0, 0.0), 4.0);
    close(at(&capsule, 5.0, 0.0, 0.0), -1.0);
    let pin = Frustum::cylinder(origin, Vector3::z(), 10.0, 2.0);
    close(at(&pin, 5.0, 0.0, 14.0), 5.0);
    close(at(&pin, 0.0, 0.0, 9.5), -0.5);
    close(at(&pin, 0.0, 1.5, 5.0), -0.5);
    close(at(&pin, 1.0, 1.0, -3.0), 3.0);
    // Flare opening at 45 degrees.
    let flare = Frustum {
        top_radius: 7.0,
        height: 5.0,
        ..pin
    };
    close(at(&flare, 5.0, 0.0, 1.0), 2.0_f64.sqrt());
    close(at(&flare, 1.0, 0.0, 1.0), -1.0);
    let slot = Stadium {
        base: origin,
        axis: Vector3::z(),
        half_slot: Vector3::new(3.0, 0.0, 0.0),
        radius: 2.0,
        height: 10.0,
    };
    close(at(&slot, 6.0, 4.0, 5.0), 3.0);
    close(at(&slot, 2.0, 7.0, 5.0), 5.0);
    close(at(&slot, 0.0, 0.0, 5.0), -2.0);
}
