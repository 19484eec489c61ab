//! Closed forms, on halves of turned bodies.

use proptest::prelude::*;

use super::{Found, Thickness, WallMap};
use crate::brep::shape::FaceKind;
use crate::brep::volume::tests::build::{To, turned};
use crate::mesh::tessellate;

const DEVIATION: f64 = 0.02;

fn map(points: &[(f64, f64)], joins: &[To], limit: f64) -> (WallMap, Thickness) {
    let mut half = turned(points, joins);
    half.kinds = vec![FaceKind::Skin; half.solid.face_iter().count()];
    let mesh = tessellate(&half, DEVIATION).unwrap();
    (
        WallMap::of(&half, &mesh, &|_, _| Some(limit)),
        Thickness::of(&half, &mesh, limit),
    )
}

/// The least wall must be exact, and this one; the map must not lie under it, and come near.
fn least_is((map, each): &(WallMap, Thickness), expected: f64) -> Result<(), TestCaseError> {
    let wall = map.least.first();
    prop_assert!(wall.is_some(), "no wall, {:?}", map.edges);
    let wall = wall.unwrap();
    prop_assert_eq!(wall.found, Found::Exact);
    prop_assert!(
        (wall.thickness - expected).abs() < 1e-6,
        "{wall:?}, not {expected}"
    );
    let least = each.thickness.iter().copied().fold(f32::INFINITY, f32::min);
    let off = f64::from(least) - expected;
    prop_assert!(
        off > -2.0 * DEVIATION - 1e-5,
        "{least} in the map, not {expected}"
    );
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Disc with a ball-shaped pocket: thinnest under the pocket's deepest point.
    #[test]
    fn plate_with_a_pocket(r in 4.0..9.0f64, up in 0.2..0.9f64, wall in 0.3..2.9f64) {
        // Centre at x = c outside the disc; the pocket opens in the plane x = 0.
        let c = -up * r;
        let mouth = (r * r - c * c).sqrt();
        let (deep, wide) = (c + r, r + 8.0);
        let end = deep + wall;
        let points = [(deep, 0.0), (0.0, mouth), (0.0, wide), (end, wide), (end, 0.0)];
        let joins = [To::Arc(c, 0.0), To::Line, To::Line, To::Line];
        least_is(&map(&points, &joins, 3.0), wall)?;
    }

    /// Cup: the wall is the difference of the radii everywhere.
    #[test]
    fn concentric_balls(r in 5.0..10.0f64, wall in 0.5..2.5f64) {
        let points = [(r + wall, 0.0), (0.0, r + wall), (0.0, r), (r, 0.0)];
        let joins = [To::Arc(0.0, 0.0), To::Line, To::Arc(0.0, 0.0)];
        // The profile runs from axis to axis with wood on its right.
        let points: Vec<_> = points.iter().rev().copied().collect();
        let both = map(&points, &joins, 3.0);
        least_is(&both, wall)?;
        for (p, thick) in both.1.positions.iter().zip(&both.1.thickness) {
            // On the split plane and at the opening the way may be elsewhere, never shorter.
            let off = f64::from(*thick) - wall;
            prop_assert!(off > -2.0 * DEVIATION - 1e-5, "{p:?} {thick} {wall}");
            if p[0] > 1.0 && p[2] > 1.0 {
                prop_assert!(off < 2.0 * DEVIATION + 1e-5, "{p:?} {thick} {wall}");
            }
        }
    }

    /// Cone-shaped hollow with a flat floor in a can that flares less: thinnest from the mouth's
    /// edge of the hollow, which lies inside the can's own ring, square to the can.
    #[test]
    fn cone_in_a_can(r in 3.0..6.0f64, deep in 6.0..14.0f64, wall in 0.6..2.5f64, roof in 0.6..2.5f64) {
        let (wide, end) = (r + wall, deep + roof);
        let floor = 0.4 * r;
        let points = [(deep, 0.0), (deep, floor), (0.0, r), (0.0, wide), (end, wide), (end, 0.0)];
        let (map, ..) = map(&points, &[To::Line; 5], 1.5);
        let between = |a, b| map.least.iter().find(|w| w.faces == (a, b));
        let side = between(1, 3).unwrap();
        prop_assert_eq!(side.found, Found::Exact);
        prop_assert!((side.thickness - wall).abs() < 1e-6, "{:?} {}", side, wall);
        let under = between(0, 4).unwrap();
        prop_assert!((under.thickness - roof).abs() < 1e-6, "{:?} {}", under, roof);
    }

    /// Pin hole along the axis with a flat floor before the end plane.
    #[test]
    fn hole_before_a_plane(r in 1.0..4.0f64, deep in 4.0..12.0f64, floor in 0.3..2.5f64) {
        let (wide, end) = (r + 6.0, deep + floor);
        let points = [(deep, 0.0), (deep, r), (0.0, r), (0.0, wide), (end, wide), (end, 0.0)];
        least_is(&map(&points, &[To::Line; 5], 3.0), floor)?;
    }

    /// The sharp edge of a disc between two cones is no wall; the web of a spool is one.
    #[test]
    fn a_thin_edge_is_no_wall_a_web_is(r in 12.0..20.0f64, flank in 0.1..0.4f64, web in 0.3..0.9f64) {
        let limit = 2.0;
        let (hub, h) = (4.0, (r - 4.0) * flank);
        let points = [(-h, 0.0), (-h, hub), (0.0, r), (h, hub), (h, 0.0)];
        let (thin, ..) = map(&points, &[To::Line; 4], limit);
        let cones = |w: &&super::Wall| w.faces == (1, 2);
        prop_assert!(thin.least.iter().find(cones).is_none(), "{:?}", thin.least);
        // Two limits of a wedge: twice the sine of half its angle, at one limit from its edge.
        let edge = thin.edges.iter().find(cones).unwrap();
        let wedge = 2.0 * limit * flank.atan().sin();
        prop_assert!((edge.thickness - wedge).abs() < 0.2 * wedge, "{:?} {}", edge, wedge);
        let (a, b) = (0.5 * web, 6.0);
        let points = [
            (-b, 0.0), (-b, r), (-a, r), (-a, r + 5.0), (a, r + 5.0), (a, r), (b, r), (b, 0.0),
        ];
        let spool = map(&points, &[To::Line; 7], limit);
        least_is(&spool, web)?;
    }
}
