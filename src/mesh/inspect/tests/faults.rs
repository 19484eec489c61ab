//! One mesh for each fault, with that fault and no other.

use super::super::{Fault, Meeting, Way};
use super::{Body, faults, look};

fn meeting(common: u8, way: Way) -> Fault {
    Fault::Meeting(Meeting { common, way })
}

fn meetings(body: &Body) -> Vec<Meeting> {
    let seen = faults(body);
    let only = seen.iter().map(|f| match f {
        Fault::Meeting(m) => *m,
        other => panic!("{other:?}"),
    });
    only.collect()
}

#[test]
fn open() {
    let mut body = Body::icosphere(5.0, 2);
    body.triangles.swap_remove(9);
    assert_eq!(faults(&body), [Fault::OpenEdge; 3]);
}

#[test]
fn one_triangle_turned_over() {
    let mut body = Body::icosphere(5.0, 2);
    body.triangles[9].swap(0, 2);
    let seen = look(&body);
    assert!(seen.findings.iter().all(|f| f.fault == Fault::OneWayEdge));
    assert_eq!(seen.findings.len(), 3);
    assert!(seen.findings.iter().all(|f| f.triangles.contains(&9)));
}

#[test]
fn t_join() {
    // The edge from corner 4 to corner 5 is split on the upper side of the box only.
    let mut body = Body::block([0.0; 3], [2.0; 3]);
    let middle = body.positions.len() as u32;
    body.positions.push([1.0, 0.0, 2.0]);
    let split = body.triangles.iter().position(|t| *t == [4, 5, 7]).unwrap();
    body.triangles[split] = [4, middle, 7];
    body.triangles.push([middle, 5, 7]);
    let seen = faults(&body);
    assert_eq!(seen[..3], [Fault::OpenEdge; 3]);
    // The whole edge lies on the two halves; each shares one corner with its triangle.
    assert!(seen[3..].iter().all(|f| matches!(f, Fault::Meeting(_))));
    assert!(seen[3..].contains(&meeting(1, Way::Touch)));
}

#[test]
fn written_twice() {
    for turn in [[0, 1, 2], [1, 2, 0], [1, 0, 2]] {
        let mut body = Body::icosphere(5.0, 1);
        let copy = turn.map(|k: usize| body.triangles[5][k]);
        body.triangles.push(copy);
        let seen = look(&body);
        assert_eq!(seen.findings.len(), 1);
        assert_eq!(seen.findings[0].fault, Fault::Repeated);
        assert_eq!(seen.findings[0].triangles, [5, 80]);
    }
}

/// The edge 4-5 of a box split near corner 4, on both sides of it.
fn split_near_a_corner(gap: f32) -> Body {
    let mut body = Body::block([0.0; 3], [2.0; 3]);
    let near = body.positions.len() as u32;
    body.positions.push([gap, 0.0, 2.0]);
    for old in body.triangles.clone() {
        for k in 0..3 {
            let [a, b, c] = [old[k], old[(k + 1) % 3], old[(k + 2) % 3]];
            if (a, b) == (4, 5) || (a, b) == (5, 4) {
                let at = body.triangles.iter().position(|t| *t == old).unwrap();
                body.triangles[at] = [a, near, c];
                body.triangles.push([near, b, c]);
            }
        }
    }
    body
}

#[test]
fn sliver_that_rounding_closes_at_5000() {
    let body = split_near_a_corner(1e-4);
    assert!(look(&body).is_sound());
    // The float32 step at 5000 is about 4.9e-4: the split corner falls on corner 4.
    let far = body.moved(|[x, y, z]| [x + 5000.0, y, z]);
    assert_eq!(faults(&far), [Fault::ZeroArea; 2]);
}

#[test]
fn sliver_that_rounding_makes_straight_at_5000() {
    // Corner 8 stands 1e-4 in front of the edge 4-6 of the side x = 0.
    let mut body = Body::block([0.0; 3], [2.0; 3]);
    body.positions.push([-1e-4, 1.0, 2.0]);
    let side = body.triangles.iter().position(|t| *t == [0, 4, 6]).unwrap();
    body.triangles[side] = [0, 4, 8];
    body.triangles.extend([[0, 8, 6], [4, 6, 8]]);
    assert_eq!(faults(&body), []);
    let far = faults(&body.moved(|[x, y, z]| [x + 5000.0, y, z]));
    assert_eq!(far[0], Fault::ZeroArea);
    // What the sliver kept apart now touches: the top's triangle and its neighbours below.
    assert!(
        far[1..]
            .iter()
            .all(|f| matches!(f, Fault::Meeting(m) if m.common == 1))
    );
}

#[test]
fn two_boxes_through_each_other() {
    let body = Body::block([0.0; 3], [4.0; 3]).and(&Body::block([1.0, 1.5, 3.0], [2.0, 2.5, 6.0]));
    let seen = meetings(&body);
    assert!(seen.len() >= 8);
    assert!(seen.iter().all(|m| m.common == 0));
    assert!(seen.iter().any(|m| m.way == Way::Cross));
}

#[test]
fn a_corner_on_another_face() {
    let apex = [1.0, 0.5, 0.0];
    let low = [[1.0, 0.5, -1.0], [3.0, 0.5, -1.0], [1.0, 2.5, -1.0]];
    let body = Body::block([-4.0, -8.0, 0.0], [5.0, 7.0, 3.0])
        .and(&Body::tetrahedron([apex, low[0], low[1], low[2]]));
    let seen = look(&body);
    assert_eq!(faults(&body), [meeting(0, Way::Touch); 3]);
    assert!(
        seen.findings
            .iter()
            .all(|f| f.place == Some([1.0, 0.5, 0.0]))
    );
    // Only the tetrahedron has places with y between 0 and 3.
    let lower = body.moved(|[x, y, z]| [x, y, if (0.0..3.0).contains(&y) { z - 1e-6 } else { z }]);
    assert!(look(&lower).is_sound());
}

#[test]
fn faces_that_overlap_in_one_plane() {
    let body = Body::block([0.0; 3], [4.0; 3]).and(&Body::block([1.0, 1.0, 4.0], [3.0, 3.0, 5.0]));
    let seen = meetings(&body);
    assert!(seen.iter().any(|m| m.way == Way::Plane && m.common == 0));
    assert!(seen.iter().all(|m| m.way != Way::Cross));
}

#[test]
fn a_fold_of_no_angle() {
    // A fin of no thickness: both its sides lie in the plane x = 0, joined along its ridge.
    let mut body = Body::block([0.0; 3], [2.0; 3]);
    body.positions.push([0.0, 1.0, 3.0]);
    let side = body.triangles.iter().position(|t| *t == [0, 4, 6]).unwrap();
    body.triangles[side] = [0, 4, 8];
    body.triangles.extend([[0, 8, 6], [4, 6, 8]]);
    assert!(faults(&body).contains(&meeting(2, Way::Plane)));
}

#[test]
fn two_holes_that_cross() {
    let body = Body::two_tunnels(5.0, 1.0);
    let seen = look(&body);
    // Closed, oriented, one shell, of positive volume: only the meetings tell.
    assert_eq!(seen.shells, 1);
    assert!(seen.volume > 0.0);
    let seen = meetings(&body);
    assert!(!seen.is_empty() && seen.iter().all(|m| m.common == 0));
    // The tunnels cut apart where the second is as narrow as the wall between them is not.
    let apart = body.moved(|[x, y, z]| {
        [
            x,
            y,
            if y.abs() == 5.0 && z.abs() == 1.0 {
                z + 3.0
            } else {
                z
            },
        ]
    });
    assert!(look(&apart).is_sound());
}

#[test]
fn bodies_that_touch_in_a_corner_or_an_edge() {
    let low = Body::block([0.0; 3], [1.0; 3]);
    let corner = low.clone().and(&Body::block([1.0; 3], [2.0; 3]));
    assert_eq!(faults(&corner), [Fault::PinchedCorner]);
    let edge = low.and(&Body::block([1.0, 1.0, 0.0], [2.0, 2.0, 1.0]));
    assert_eq!(faults(&edge), [Fault::CrowdedEdge { uses: 4 }]);
}

#[test]
fn inside_out_flat_and_empty() {
    let over = Body::block([0.0; 3], [1.0; 3]).turned_over();
    assert_eq!(faults(&over), [Fault::NoVolume { volume: -1.0 }]);
    let places = [[0.0; 3], [4.0, 0.0, 0.0], [0.0, 4.0, 0.0], [1.0, 1.0, 0.0]];
    let flat = Body::tetrahedron(places);
    assert!(faults(&flat).contains(&Fault::NoVolume { volume: 0.0 }));
    let nothing = super::inspect(&[], &[]);
    assert_eq!(nothing.findings[0].fault, Fault::NoVolume { volume: 0.0 });
}

#[test]
fn numbers_that_no_reader_agrees_on() {
    let mut body = Body::block([0.0; 3], [1.0; 3]);
    body.positions.push([-0.0, 0.0, 0.0]);
    body.triangles[0][0] = 8;
    assert_eq!(faults(&body), [Fault::SignedZero]);
    body.positions[8][0] = f32::NAN;
    assert_eq!(faults(&body)[0], Fault::NotFinite);
    body.triangles[0][0] = 9;
    assert_eq!(faults(&body)[0], Fault::NoSuchPosition { index: 9 });
}
