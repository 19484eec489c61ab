//! Closed forms, and searches that share no code with the tree or the primitives.

use proptest::prelude::*;
use truck_modeling::{EuclideanSpace, InnerSpace, MetricSpace, Point3, Vector3};

use super::primitive::{on_triangle, triangles};
use super::{BadMesh, MeshTree, least_distance_between};

type Mesh = (Vec<Point3>, Vec<[u32; 3]>);

fn point(size: f64) -> impl Strategy<Value = Point3> {
    let x = || -size..size;
    (x(), x(), x()).prop_map(|(x, y, z)| Point3::new(x, y, z))
}

fn corners() -> impl Strategy<Value = [Point3; 3]> {
    [point(5.0), point(5.0), point(5.0)]
}

/// Box of the given half sides, each side in n x n squares, turned and moved by `pose`.
fn block(half: [f64; 3], n: u32, pose: impl Fn(Point3) -> Point3) -> Mesh {
    let (mut positions, mut triangles) = (Vec::new(), Vec::new());
    for axis in 0..3 {
        for end in [-1.0, 1.0] {
            let first = positions.len() as u32;
            for i in 0..=n {
                for j in 0..=n {
                    let part = |k: u32| 2.0 * f64::from(k) / f64::from(n) - 1.0;
                    let mut p = [0.0; 3];
                    p[axis] = end * half[axis];
                    p[(axis + 1) % 3] = part(i) * half[(axis + 1) % 3];
                    p[(axis + 2) % 3] = part(j) * half[(axis + 2) % 3];
                    positions.push(pose(Point3::new(p[0], p[1], p[2])));
                }
            }
            let at = |i: u32, j: u32| first + i * (n + 1) + j;
            for i in 0..n {
                for j in 0..n {
                    triangles.push([at(i, j), at(i + 1, j), at(i + 1, j + 1)]);
                    triangles.push([at(i, j), at(i + 1, j + 1), at(i, j + 1)]);
                }
            }
        }
    }
    (positions, triangles)
}

fn tree((positions, triangles): &Mesh) -> MeshTree {
    MeshTree::new(positions, triangles).unwrap()
}

/// Turn about a direction by Rodrigues' formula, then a shift.
fn pose(axis: Vector3, angle: f64, shift: Vector3) -> impl Fn(Point3) -> Point3 {
    let (sin, cos) = angle.sin_cos();
    move |p| {
        let v = p.to_vec();
        let turned = v * cos + axis.cross(v) * sin + axis * (axis.dot(v) * (1.0 - cos));
        Point3::from_vec(turned + shift)
    }
}

/// Nearest point of a triangle by ever finer grids of the corner shares.
fn by_grids(p: Point3, t: &[Point3; 3]) -> f64 {
    let (mut centre, mut half, mut best) = ((0.5, 0.5), 0.5, f64::INFINITY);
    while half > 1e-9 {
        let from = centre;
        for i in 0..=20 {
            for j in 0..=20 {
                let at = |k: i32, c: f64| (c + half * (f64::from(k) / 10.0 - 1.0)).clamp(0.0, 1.0);
                let u = at(i, from.0);
                let v = at(j, from.1).min(1.0 - u);
                let d = (t[0] + (t[1] - t[0]) * u + (t[2] - t[0]) * v).distance(p);
                if d < best {
                    (best, centre) = (d, (u, v));
                }
            }
        }
        half /= 2.0;
    }
    best
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]

    #[test]
    fn a_triangle_against_grids(p in point(8.0), t in corners()) {
        let near = on_triangle(p, &t);
        prop_assert!((near.distance(p) - by_grids(p, &t)).abs() < 1e-6);
        prop_assert!(by_grids(near, &t) < 1e-6);
    }

    #[test]
    fn triangles_without_area_are_segments_and_points(p in point(8.0), t in corners(), s in 0.0..1.0f64) {
        // The third corner on the first edge: the nearest point divides that edge.
        let flat = [t[0], t[1], t[0] + (t[1] - t[0]) * s];
        let along = t[1] - t[0];
        let share = ((p - t[0]).dot(along) / along.magnitude2()).clamp(0.0, 1.0);
        let expected = (t[0] + along * share).distance(p);
        prop_assert!((on_triangle(p, &flat).distance(p) - expected).abs() < 1e-9);
        prop_assert_eq!(on_triangle(p, &[t[0]; 3]), t[0]);
    }

    #[test]
    fn two_triangles_by_going_to_and_fro(a in corners(), b in corners()) {
        let found = triangles(&a, &b);
        let distance = found.square.sqrt();
        prop_assert!(by_grids(found.points[0], &a) < 1e-6 && by_grids(found.points[1], &b) < 1e-6);
        prop_assert!((found.points[0].distance(found.points[1]) - distance).abs() < 1e-9);
        // Projections to and fro between two convex sets come down to the least distance
        // (Cheney and Goldstein 1959), slowly where they cross at a small angle.
        let mut p = a[0];
        let mut last = f64::INFINITY;
        for _ in 0..3000 {
            let q = on_triangle(p, &b);
            p = on_triangle(q, &a);
            last = p.distance(q);
        }
        prop_assert!(distance <= last + 1e-9 && last - distance < 1e-2, "{distance} {last}");
    }

    #[test]
    fn a_box_against_its_closed_form(
        p in point(9.0), axis in point(1.0), angle in 0.0..3.0f64, shift in point(20.0),
    ) {
        let axis = axis.to_vec();
        prop_assume!(axis.magnitude() > 0.1);
        let half = [3.0, 2.0, 4.0];
        let place = pose(axis.normalize(), angle, shift.to_vec());
        let tree = tree(&block(half, 5, &place));
        let out: Vec<f64> = (0..3).map(|k| p[k].abs() - half[k]).collect();
        let expected = if out.iter().all(|&o| o < 0.0) {
            -out.iter().copied().fold(f64::NEG_INFINITY, f64::max)
        } else {
            out.iter().map(|o| o.max(0.0).powi(2)).sum::<f64>().sqrt()
        };
        let near = tree.nearest(place(p));
        prop_assert!((near.distance - expected).abs() < 1e-12);
        prop_assert!((near.point.distance(place(p)) - expected).abs() < 1e-12);
    }

    #[test]
    fn two_boxes_against_their_closed_form(
        by in point(12.0), axis in point(1.0), angle in 0.0..3.0f64, shift in point(20.0),
    ) {
        let axis = axis.to_vec();
        prop_assume!(axis.magnitude() > 0.1);
        let place = pose(axis.normalize(), angle, shift.to_vec());
        let (one, two) = ([3.0, 2.0, 4.0], [1.5, 2.5, 1.0]);
        let a = tree(&block(one, 4, &place));
        let b = tree(&block(two, 3, |p| place(p + by.to_vec())));
        let gap = |k: usize| (by[k].abs() - one[k] - two[k]).max(0.0);
        let expected = (0..3).map(|k| gap(k).powi(2)).sum::<f64>().sqrt();
        // One box inside the other keeps a distance of walls that this form does not give.
        prop_assume!((0..3).any(|k| by[k].abs() > one[k] - two[k]));
        let found = least_distance_between(&a, &b);
        prop_assert!((found.distance - expected).abs() < 1e-9, "{found:?} {expected}");
        let back = least_distance_between(&b, &a);
        prop_assert!((back.distance - expected).abs() < 1e-9);
    }

    #[test]
    fn the_tree_forgets_no_triangle(p in point(9.0), seed in prop::collection::vec(corners(), 1..60)) {
        let positions: Vec<Point3> = seed.iter().flatten().copied().collect();
        let triangles: Vec<[u32; 3]> =
            (0..seed.len() as u32).map(|t| [3 * t, 3 * t + 1, 3 * t + 2]).collect();
        let near = MeshTree::new(&positions, &triangles).unwrap().nearest(p);
        let all = seed.iter().map(|t| on_triangle(p, t).distance(p));
        prop_assert_eq!(near.distance, all.fold(f64::INFINITY, f64::min));
        prop_assert_eq!(on_triangle(p, &seed[near.triangle as usize]), near.point);
    }
}

#[test]
fn a_box_inside_a_box_is_as_far_as_the_walls() {
    let big = tree(&block([5.0, 5.0, 5.0], 4, |p| p));
    let small = tree(&block([1.0, 1.0, 1.0], 2, |p| {
        p + Vector3::new(2.5, 0.0, 0.0)
    }));
    let found = least_distance_between(&big, &small);
    assert!((found.distance - 1.5).abs() < 1e-12);
}

#[test]
fn meshes_that_no_tree_can_hold() {
    let p = [
        Point3::origin(),
        Point3::new(1.0, 0.0, 0.0),
        Point3::new(0.0, f64::NAN, 0.0),
    ];
    let refused = |t: &[[u32; 3]]| MeshTree::new(&p, t).unwrap_err();
    assert_eq!(refused(&[]), BadMesh::Empty);
    assert_eq!(
        refused(&[[0, 1, 1], [0, 1, 3]]),
        BadMesh::NoSuchPosition { triangle: 1 }
    );
    assert_eq!(refused(&[[0, 1, 2]]), BadMesh::NotFinite { triangle: 0 });
}
