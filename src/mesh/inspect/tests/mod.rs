//! Tests of the inspection as a whole.

mod faults;
mod random;
mod second_opinion;

use super::bodies::Body;
use super::{Fault, Inspection, inspect};

fn look(body: &Body) -> Inspection {
    inspect(&body.positions, &body.triangles)
}

fn faults(body: &Body) -> Vec<Fault> {
    look(body).findings.iter().map(|f| f.fault).collect()
}

#[test]
fn sound_bodies_are_sound() {
    let corner = [[0.0; 3], [9.0, 0.0, 0.0], [0.0, 8.0, 0.0], [0.0, 0.0, 7.0]];
    let bodies = [
        Body::block([-1.0, -2.0, -3.0], [4.0, 5.0, 6.0]),
        Body::tetrahedron(corner),
        Body::icosphere(7.3, 0),
        Body::icosphere(7.3, 3),
    ];
    for body in bodies {
        for body in [body.clone(), body.soup()] {
            let seen = look(&body);
            assert_eq!(seen.findings, []);
            assert!(seen.is_sound() && seen.complete);
            assert_eq!(seen.shells, 1);
            // Euler's formula for a closed body without tunnels: 2 corners = triangles + 4.
            assert_eq!(2 * seen.corners, body.triangles.len() + 4);
        }
    }
}

#[test]
fn volumes_of_known_bodies() {
    // Box 5 x 7 x 9; corner tetrahedron a b c / 6.
    let block = look(&Body::block([-1.0, -2.0, -3.0], [4.0, 5.0, 6.0]));
    assert!((block.volume - 315.0).abs() < 1e-9);
    let corner = [[0.0; 3], [9.0, 0.0, 0.0], [0.0, 8.0, 0.0], [0.0, 0.0, 7.0]];
    let corner = look(&Body::tetrahedron(corner));
    assert!((corner.volume - 84.0).abs() < 1e-9);
}

#[test]
fn two_bodies_apart_are_two_shells_and_sound() {
    let two = Body::block([0.0; 3], [1.0; 3]).and(&Body::block([1.5; 3], [2.0; 3]));
    let seen = look(&two);
    assert!(seen.is_sound());
    assert_eq!(seen.shells, 2);
}

#[test]
fn a_gap_of_one_last_bit_is_none_and_no_gap_is_a_meeting() {
    let next = f32::from_bits(1f32.to_bits() + 1);
    let low = Body::block([0.0; 3], [1.0; 3]);
    let apart = low
        .clone()
        .and(&Body::block([0.25, 0.25, next], [0.75, 0.75, 2.0]));
    assert!(look(&apart).is_sound());
    let on = low.and(&Body::block([0.25, 0.25, 1.0], [0.75, 0.75, 2.0]));
    assert!(!look(&on).is_sound());
}

#[test]
fn the_same_mesh_gives_the_same_list() {
    let mut body =
        Body::icosphere(5.0, 2).and(&Body::icosphere(5.0, 1).moved(|[x, y, z]| [x + 6.0, y, z]));
    body.triangles[17].swap(0, 1);
    let (one, two) = (look(&body), look(&body));
    assert_eq!(one, two);
    assert!(one.findings.len() > 10);
    let key = |f: &super::Finding| (f.fault.rank(), f.triangles.clone());
    assert!(one.findings.windows(2).all(|w| key(&w[0]) <= key(&w[1])));
}

#[test]
fn a_body_laid_on_itself_is_refused_without_listing_millions() {
    let ball = Body::icosphere(5.0, 3);
    let (sin, cos) = 0.01f32.sin_cos();
    let nearly = ball
        .clone()
        .moved(|[x, y, z]| [x * cos - y * sin, x * sin + y * cos, z]);
    let seen = look(&ball.and(&nearly));
    assert!(!seen.complete);
    let met = |f: &&super::Finding| matches!(f.fault, Fault::Meeting(_));
    assert_eq!(seen.findings.iter().filter(met).count(), 1000);
}
