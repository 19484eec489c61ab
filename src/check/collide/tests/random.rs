//! Random triangles against a search that only knows distances.

use super::*;
use crate::mesh::nearest::least_distance_between;
use proptest::prelude::*;
use truck_modeling::{EuclideanSpace, InnerSpace, Point3};

/// The search ends this near, mm.
const NEAR: f64 = 1e-9;
/// Steps of the search: grazing contacts take the most.
const STEPS: usize = 200_000;

/// Angle at which the distance falls under [`NEAR`], never stepping past a contact: no point
/// moves faster than the greatest distance from the axis.
fn advanced(still: &Soup, moving: &Soup, axis: Vector3<f64>, most: f64) -> f64 {
    let points = |s: &Soup| s.0.iter().map(|&p| Point3::from(p)).collect::<Vec<_>>();
    let tree = MeshTree::new(&points(still), &still.1).unwrap();
    let axis = truck_modeling::Vector3::new(axis.x, axis.y, axis.z).normalize();
    let own = points(moving);
    let arm = own.iter().map(|p| p.to_vec().cross(axis).magnitude());
    let arm = arm.fold(0.0, f64::max);
    let mut angle = 0.0f64;
    for _ in 0..STEPS {
        let (sin, cos) = angle.sin_cos();
        let turned: Vec<Point3> = own
            .iter()
            .map(|p| {
                let v = p.to_vec();
                let along = axis * axis.dot(v);
                Point3::from_vec(along + (v - along) * cos + axis.cross(v) * sin)
            })
            .collect();
        let distance = least_distance_between(&tree, &MeshTree::new(&turned, &moving.1).unwrap());
        if distance.distance < NEAR || angle > most {
            break;
        }
        angle += distance.distance / arm;
    }
    angle.min(most)
}

fn soup(at: std::ops::Range<f64>, count: usize) -> impl Strategy<Value = Soup> {
    let corner = move || prop::array::uniform3(-3.0..3.0f64);
    let place = (at, -6.0..6.0f64, -6.0..6.0f64);
    let one = (place, prop::array::uniform3(corner()));
    prop::collection::vec(one, 1..count).prop_map(|all| {
        let corners = all
            .iter()
            .flat_map(|((x, y, z), t)| t.map(|c| [c[0] + x, c[1] + y, c[2] + z]));
        let numbers = (0..all.len() as u32).map(|t| [3 * t, 3 * t + 1, 3 * t + 2]);
        (corners.collect(), numbers.collect())
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn a_search_by_distances_finds_the_same_angle(
        still in soup(3.0..9.0, 12), moving in soup(-9.0..-3.0, 12),
        axis in prop::array::uniform3(-1.0..1.0f64), most in 0.3..5.0f64,
    ) {
        let axis = Vector3::from(axis);
        prop_assume!(axis.norm() > 0.1);
        let found = first_contact(
            &body(&still), &body(&moving), [0.0; 3], axis.into(), [0.0; 3], most,
        );
        let searched = advanced(&still, &moving, axis, most);
        prop_assert!((found.angle - searched).abs() < ANGLE_TOLERANCE, "{found:?} {searched}");
    }
}
