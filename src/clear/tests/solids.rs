//! Signed distances and supports of the features.

use nalgebra::{Point3, Vector3};
use proptest::prelude::*;

use super::shapes::{bowl, direction, ellipse, feature, frustum, point, taper};
use crate::clear::{Ball, Bowl, Capsule, Compact, Convex, Curved, Frustum, Stadium};

/// Value of a curved minorant.
fn minorant(c: &Curved, x: &Point3<f64>) -> f64 {
    let v = x - c.centre;
    let across = c.axis.map_or(v, |a| v - a * v.dot(&a));
    c.constant + c.linear.dot(&x.coords) + c.slope * across.norm()
}

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

    /// Beside an axis too, where the direction away from it is a difference of rounded numbers, a
    /// gradient is a unit vector: a projection goes as far as the distance says.
    #[test]
    fn unit_gradients_beside_an_axis(f in frustum(), t in taper(), b in bowl(), away in direction(), far in -6.9..-3.0f64, share in 0.0..1.0f64) {
        let off = away * 10f64.powf(far);
        for (solid, p) in [
            (&f as &dyn Convex, f.base + f.axis * (share * f.height)),
            (&t, t.base + t.axis * (share * t.height) + t.half_slot * (2.0 * share - 1.0)),
            (&b, b.centre + b.axis * (share * b.radius)),
        ] {
            let (_, g) = solid.signed_distance(&(p + off));
            prop_assert!((g.norm() - 1.0).abs() < 1e-12, "{}", g.norm() - 1.0);
        }
    }

    /// A tangent never exceeds the function, nor does the curved minorant, which touches.
    #[test]
    fn minorants(f in feature(), p in point(20.0), q in point(20.0)) {
        let (d, g) = f.signed_distance(&p);
        let (there, _) = f.signed_distance(&q);
        prop_assert!(there >= d + g.dot(&(q - p)) - 1e-10);
        if let Some(c) = f.curved(&p) {
            prop_assert!((minorant(&c, &p) - d).abs() < 1e-10);
            prop_assert!(minorant(&c, &q) <= there + 1e-10);
        }
    }

    /// The same of an ellipse, with its outline by angles.
    #[test]
    fn ellipses(e in ellipse(), p in point(20.0), q in point(20.0), angle in 0.0..6.3f64) {
        let at = |angle: f64| e.centre + e.axes[0] * (e.radii[0] * angle.cos()) + e.axes[1] * (e.radii[1] * angle.sin());
        let (d, g) = e.signed_distance(&p);
        let flat = e.flat(&p);
        prop_assert!((at(angle) - flat).norm() >= d.abs() - 1e-9);
        prop_assert!(e.signed_distance(&at(angle)).0.abs() < 1e-9);
        let foot = p - g * d;
        prop_assert!(e.signed_distance(&foot).0.abs() < 1e-9);
        prop_assert_eq!(e.holds(&p), d <= 0.0);
        let (there, _) = e.signed_distance(&q);
        prop_assert!(there >= d + g.dot(&(q - p)) - 1e-9);
        let c = e.curved(&p).unwrap();
        prop_assert!((minorant(&c, &p) - d).abs() < 1e-9);
        prop_assert!(minorant(&c, &q) <= there + 1e-9);
        // No point of the outline lies further along a direction than the support.
        prop_assert!(e.support(&g).coords.dot(&g) >= at(angle).coords.dot(&g) - 1e-9);
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
    // A socket of radius 5 with its mouth 3 in front, 4 wide.
    let bowl = Bowl {
        centre: origin,
        radius: 5.0,
        axis: Vector3::x(),
        mouth: 3.0,
    };
    close(at(&bowl, -7.0, 0.0, 0.0), 2.0);
    close(at(&bowl, 5.0, 1.0, 0.0), 2.0);
    close(at(&bowl, 6.0, 8.0, 0.0), 5.0);
    close(at(&bowl, 2.5, 0.0, 0.0), -0.5);
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
