//! The result is reached, and nothing is lower: against brute force.

use nalgebra::{Rotation3, Vector3};
use proptest::prelude::*;

use super::brute;
use super::shapes::{ball, direction, feature, moved, octant, patch, revolved, vector};
use crate::clear::{
    Ball, BezierCurve, BezierError, BezierPatch, Convex, DISTANCE_TOLERANCE, least_distance_curves,
    least_distance_patches,
};

fn check(feature: &dyn Convex, patches: &[BezierPatch]) -> Result<(), TestCaseError> {
    let found = least_distance_patches(feature, patches, None).unwrap();
    prop_assert!(found.proven, "{found:?}");
    let (u, v) = found.uv;
    prop_assert!((0.0..=1.0).contains(&u) && (0.0..=1.0).contains(&v));
    let point = brute::point(&patches[found.index], u, v);
    prop_assert!((point - found.on_target).norm() < 1e-10);
    prop_assert!((feature.signed_distance(&point).0 - found.distance).abs() < 1e-10);
    // Within 1e-7 of a line or point that has no thickness, the direction to it is lost.
    prop_assert!(feature.signed_distance(&found.on_feature).0.abs() < 2e-7);
    let gap = (found.on_feature - found.on_target).norm();
    prop_assert!(
        (gap - found.distance.abs()).abs() < 1e-9,
        "gap {gap:e} {found:?}"
    );
    for patch in patches {
        let least = brute::least(feature, patch, 24);
        prop_assert!(
            least >= found.lower - 1e-10 && least >= found.distance - DISTANCE_TOLERANCE,
            "{least} lies under {found:?}"
        );
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    #[test]
    fn any_feature_and_patch(f in feature(), a in patch()) {
        check(&*f, &[a])?;
    }

    /// The feature is pushed against the patch until the gap is -0.05 to 0.05.
    #[test]
    fn near_misses(b in ball(), a in patch(), gap in -0.05_f64..0.05) {
        let found = least_distance_patches(&Ball { radius: 0.0, ..b }, std::slice::from_ref(&a), None).unwrap();
        prop_assume!(found.distance > 0.1);
        let near = Ball { radius: found.distance - gap, ..b };
        let again = least_distance_patches(&near, std::slice::from_ref(&a), None).unwrap();
        prop_assert!((again.distance - gap).abs() < DISTANCE_TOLERANCE);
        check(&near, &[a])?;
    }

    /// Rotating and shifting both changes nothing.
    #[test]
    fn moves_along(b in ball(), a in patch(), axis in direction(), by in vector(50.0), angle in 0.0_f64..6.0) {
        let turn = Rotation3::new(axis * angle);
        let there = moved(&a, &turn, &by);
        let ball = Ball { centre: turn * b.centre + by, ..b };
        let one = least_distance_patches(&b, &[a], None).unwrap();
        let two = least_distance_patches(&ball, &[there], None).unwrap();
        prop_assert!((one.distance - two.distance).abs() < DISTANCE_TOLERANCE);
    }

    #[test]
    fn curves(f in feature(), points in prop::collection::vec(([-12.0..12.0, -12.0..12.0, -12.0..12.0], 0.5..2.0), 2..=6)) {
        let points: Vec<[f64; 4]> = points
            .into_iter()
            .map(|([x, y, z], w): ([f64; 3], f64)| [w * x, w * y, w * z, w])
            .collect();
        let curve = BezierCurve::new(points.clone()).unwrap();
        let as_patch = BezierPatch::new((points.len() - 1, 0), points).unwrap();
        let found = least_distance_curves(&*f, std::slice::from_ref(&curve), None).unwrap();
        prop_assert!(found.proven);
        prop_assert!((curve.at(found.uv.0) - found.on_target).norm() < 1e-10);
        let least = (0..=2000)
            .map(|i| f.signed_distance(&brute::point(&as_patch, f64::from(i) / 2000.0, 0.0)).0)
            .fold(f64::INFINITY, f64::min);
        prop_assert!(least >= found.lower - 1e-10);
        // The samples lie within 0.05 mm of any point of the curve, and d is 1-Lipschitz.
        prop_assert!(least <= found.distance + 0.1);
    }

    /// Ending early is honest: the bound asked for is proven, or the true least is below it.
    #[test]
    fn stop_above(f in feature(), a in patch(), limit in -2.0_f64..8.0) {
        let whole = least_distance_patches(&*f, std::slice::from_ref(&a), None).unwrap();
        let early = least_distance_patches(&*f, &[a], Some(limit)).unwrap();
        prop_assert!(early.cells <= whole.cells);
        prop_assert!(early.lower <= whole.distance && early.distance >= whole.lower);
        if !early.proven {
            prop_assert!(early.lower >= limit);
        }
    }
}

/// Many patches at once: the least of each by itself.
#[test]
fn many_patches() {
    let feature = Ball {
        centre: nalgebra::Point3::new(3.0, 2.0, 1.0),
        radius: 5.0,
    };
    let mut patches = Vec::new();
    for i in 0..6 {
        for j in 0..6 {
            let turn = Rotation3::new(Vector3::new(f64::from(i), f64::from(j), 0.3));
            patches.push(moved(
                &octant(12.0 + f64::from(i)),
                &turn,
                &Vector3::new(0.0, f64::from(j), 0.0),
            ));
        }
    }
    let all = least_distance_patches(&feature, &patches, None).unwrap();
    let singly = patches
        .iter()
        .map(|p| {
            least_distance_patches(&feature, std::slice::from_ref(p), None)
                .unwrap()
                .distance
        })
        .fold(f64::INFINITY, f64::min);
    assert!((all.distance - singly).abs() < DISTANCE_TOLERANCE);
    assert!(least_distance_patches(&feature, &[], None).is_none());
}

#[test]
fn refuses_bad_nets() {
    let p = [0.0, 0.0, 0.0, 1.0];
    assert_eq!(
        BezierPatch::new((1, 1), vec![p; 3]),
        Err(BezierError::Count)
    );
    assert_eq!(
        BezierPatch::new((9, 0), vec![p; 10]),
        Err(BezierError::Degree)
    );
    assert_eq!(BezierCurve::new(vec![]), Err(BezierError::Degree));
    assert_eq!(
        BezierCurve::new(vec![p, [0.0, 0.0, 0.0, 0.0]]),
        Err(BezierError::Weight)
    );
    assert_eq!(
        BezierCurve::new(vec![p, [f64::NAN, 0.0, 0.0, 1.0]]),
        Err(BezierError::NotFinite)
    );
}

/// A patch that has shrunk to a point or a line is no trouble.
#[test]
fn degenerate_patches() {
    let ball = Ball {
        centre: nalgebra::Point3::new(0.0, 0.0, 5.0),
        radius: 1.0,
    };
    let point = BezierPatch::new((3, 3), vec![[0.0, 0.0, 0.0, 1.0]; 16]).unwrap();
    let found = least_distance_patches(&ball, &[point], None).unwrap();
    assert!(found.proven && (found.distance - 4.0).abs() < 1e-12);
    let line = revolved([[0.0, 0.0], [1.0, 0.0], [2.0, 0.0], [3.0, 0.0]]);
    let found = least_distance_patches(&ball, &[line], None).unwrap();
    assert!(found.proven && (found.distance - 4.0).abs() < 1e-12);
}
