//! The pair test against separating axes in whole numbers, which share no code with it.

use proptest::prelude::*;

use super::super::exact::in_line;
use super::super::pair::{Facet, meeting};
use super::{Body, look};
use crate::mesh::inspect::Fault;

type Whole = [i128; 3];

/// How much a common corner is cut back in [`meets_against_the_rule`].
const CUT: i128 = 1000;

fn cross(a: Whole, b: Whole) -> Whole {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

fn dot(a: Whole, b: Whole) -> i128 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn sub(a: Whole, b: Whole) -> Whole {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn edges(p: &[Whole]) -> Vec<Whole> {
    let pairs = (0..p.len()).flat_map(|i| (0..i).map(move |j| (i, j)));
    pairs.map(|(i, j)| sub(p[i], p[j])).collect()
}

/// Whether the hulls of two flat sets have a common point: no axis separates them among the
/// normals of the faces of their Minkowski difference (all products of two edges, and, for one
/// plane, of a normal and an edge).
fn hulls_meet(a: &[Whole], b: &[Whole]) -> bool {
    let all: Vec<Whole> = edges(a).into_iter().chain(edges(b)).collect();
    let mut axes = Vec::new();
    for e in &all {
        for f in &all {
            let n = cross(*e, *f);
            axes.push(n);
            axes.push(cross(n, *e));
        }
    }
    !axes.into_iter().any(|n| {
        let range = |p: &[Whole]| {
            let d = p.iter().map(|&q| dot(q, n));
            (d.clone().min().unwrap(), d.max().unwrap())
        };
        let ((a0, a1), (b0, b1)) = (range(a), range(b));
        a1 < b0 || b1 < a0
    })
}

/// Whether two triangles have more in common than they may: the first is cut back a little at
/// each common corner and then must be clear of the second. For whole numbers up to 4 whatever
/// lies beyond a common corner or edge reaches further than a thousandth.
fn meets_against_the_rule(a: [Whole; 3], b: [Whole; 3]) -> bool {
    let (shared, own): (Vec<Whole>, Vec<Whole>) = a.iter().partition(|p| b.contains(p));
    let mut rest: Vec<Whole> = own.iter().map(|w| w.map(|x| x * CUT)).collect();
    for c in &shared {
        for w in &own {
            rest.push(std::array::from_fn(|k| c[k] * CUT + w[k] - c[k]));
        }
    }
    hulls_meet(&rest, &b.map(|p| p.map(|x| x * CUT)))
}

fn written(t: [Whole; 3]) -> [[f32; 3]; 3] {
    t.map(|p| p.map(|x| x as f32))
}

/// Facets whose equal corners have equal numbers.
fn facets(a: [Whole; 3], b: [Whole; 3]) -> [Facet; 2] {
    let all: Vec<Whole> = a.into_iter().chain(b).collect();
    let number = |p: Whole| all.iter().position(|q| *q == p).unwrap() as u32;
    [a, b].map(|t| Facet::new(t.map(number), written(t)))
}

fn common(a: &[Whole; 3], b: &[Whole; 3]) -> usize {
    a.iter().filter(|p| b.contains(p)).count()
}

fn triangle(most: i128) -> impl Strategy<Value = [Whole; 3]> {
    let whole = -most..=most;
    prop::array::uniform3(prop::array::uniform3(whole))
        .prop_filter("area", |t| !in_line(&written(*t)))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4000))]

    #[test]
    fn small_numbers_full_of_touching(a in triangle(2), b in triangle(2)) {
        prop_assume!(common(&a, &b) < 3);
        let [f, g] = facets(a, b);
        let expected = meets_against_the_rule(a, b);
        prop_assert_eq!(meeting(&f, &g).is_some(), expected);
        prop_assert_eq!(meeting(&g, &f).is_some(), expected);
    }

    #[test]
    fn with_one_or_two_corners_in_common(
        a in triangle(3), b in triangle(3), flat in any::<bool>(), two in any::<bool>(),
    ) {
        let mut b = b;
        b[1] = a[2];
        if two {
            b[0] = a[0];
        }
        let flatten = |t: [Whole; 3]| t.map(|[x, y, z]| if flat { [x, y, 2 * x - y] } else { [x, y, z] });
        let (a, b) = (flatten(a), flatten(b));
        prop_assume!(!in_line(&written(a)) && !in_line(&written(b)) && common(&a, &b) < 3);
        let [f, g] = facets(a, b);
        prop_assert_eq!(meeting(&f, &g).is_some(), meets_against_the_rule(a, b));
    }

    #[test]
    fn nearly_touching_in_large_numbers(
        a in triangle(1 << 22), far in triangle(1 << 22), share in 0u8..7, off in prop::array::uniform3(-1i128..=1),
    ) {
        // A corner of b one unit or none from a place on the border or inside of a.
        let near: Whole = std::array::from_fn(|k| match share {
            0..=2 => a[share as usize][k],
            3..=5 => (a[share as usize - 3][k] + a[(share as usize - 2) % 3][k]) / 2,
            _ => (a[0][k] + a[1][k] + a[2][k]) / 3,
        } + off[k]);
        let b = [near, far[1], far[2]];
        prop_assume!(!in_line(&written(b)) && common(&a, &b) == 0);
        let [f, g] = facets(a, b);
        prop_assert_eq!(meeting(&f, &g).is_some(), hulls_meet(&a, &b));
    }
}

fn corner_places(t: &[Whole; 4]) -> [[f32; 3]; 4] {
    t.map(|p| p.map(|x| x as f32))
}

fn tetrahedron(most: i128) -> impl Strategy<Value = [Whole; 4]> {
    prop::array::uniform4(prop::array::uniform3(-most..=most)).prop_filter("volume", |t| {
        let (u, v, w) = (sub(t[1], t[0]), sub(t[2], t[0]), sub(t[3], t[0]));
        dot(u, cross(v, w)) != 0
    })
}

/// Meetings as pairs of triangles.
fn meeting_pairs(body: &Body) -> Vec<Vec<u32>> {
    let seen = look(body);
    let only = seen
        .findings
        .into_iter()
        .filter(|f| matches!(f.fault, Fault::Meeting(_)));
    let mut pairs: Vec<Vec<u32>> = only.map(|f| f.triangles).collect();
    pairs.sort();
    pairs
}

/// The 24 turns that take the axes to the axes: permutations with signs, determinant 1.
fn quarter_turn(which: usize, p: [f32; 3]) -> [f32; 3] {
    let (shift, signs, swap) = (which % 3, which / 3 % 4, which / 12);
    let q: [f32; 3] = std::array::from_fn(|k| p[(k + shift) % 3]);
    let s = [
        [1.0, 1.0, 1.0],
        [1.0, -1.0, -1.0],
        [-1.0, 1.0, -1.0],
        [-1.0, -1.0, 1.0],
    ][signs];
    let q: [f32; 3] = std::array::from_fn(|k| q[k] * s[k]);
    if swap == 1 { [q[1], q[0], -q[2]] } else { q }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    #[test]
    fn two_tetrahedra_pair_by_pair(s in tetrahedron(3), t in tetrahedron(3), turn in 0usize..24) {
        let body = Body::tetrahedron(corner_places(&s)).and(&Body::tetrahedron(corner_places(&t)));
        let at = |k: usize| body.triangles[k].map(|p| body.positions[p as usize].map(|x| x as i128));
        let mut expected = Vec::new();
        for i in 0..4 {
            for j in 4..8 {
                let (a, b) = (at(i), at(j));
                if common(&a, &b) < 3 && meets_against_the_rule(a, b) {
                    expected.push(vec![i as u32, j as u32]);
                }
            }
        }
        prop_assert_eq!(&meeting_pairs(&body), &expected);
        let turned = body.moved(|p| quarter_turn(turn, p));
        prop_assert_eq!(&meeting_pairs(&turned), &expected);
    }

    #[test]
    fn two_balls_meet_just_when_their_distance_says_so(
        gap in -1.0f64..1.0, polar in 0.0..3.0f64, around in 0.0..6.2f64,
    ) {
        // Radii 5 and 3; the facets of these balls lie at most 0.1 mm inside them.
        prop_assume!(!(-0.25..=0.0).contains(&gap));
        let d = 8.0 + gap;
        let to = [d * polar.sin() * around.cos(), d * polar.sin() * around.sin(), d * polar.cos()];
        let other = Body::icosphere(3.0, 3)
            .moved(|p| std::array::from_fn(|k| (f64::from(p[k]) + to[k]) as f32));
        let seen = look(&Body::icosphere(5.0, 3).and(&other));
        prop_assert_eq!(seen.is_sound(), gap > 0.0);
    }
}

#[test]
fn the_24_turns_are_different() {
    let mut seen: Vec<[i32; 3]> = (0..24)
        .map(|k| quarter_turn(k, [1.0, 2.0, 4.0]).map(|x| x as i32))
        .collect();
    seen.sort_unstable();
    seen.dedup();
    assert_eq!(seen.len(), 24);
}
