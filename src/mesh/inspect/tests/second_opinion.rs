//! truck-meshalgo on the same bodies: closedness and volume by code that is not ours, and what
//! it cannot see.

use truck_meshalgo::prelude::{
    CalcVolume, Faces, PolygonMesh, ShellCondition, StandardAttributes, Topology,
};
use truck_modeling::Point3;

use super::super::Fault;
use super::{Body, faults, look};

fn other(body: &Body) -> PolygonMesh {
    let positions = body
        .positions
        .iter()
        .map(|p| {
            let [x, y, z] = p.map(f64::from);
            Point3::new(x, y, z)
        })
        .collect();
    let attributes = StandardAttributes {
        positions,
        ..Default::default()
    };
    let faces: Faces = body
        .triangles
        .iter()
        .map(|t| t.map(|p| p as usize))
        .collect();
    PolygonMesh::new(attributes, faces)
}

fn edges_are_paired(body: &Body) -> bool {
    !faults(body).iter().any(|f| {
        matches!(
            f,
            Fault::OpenEdge | Fault::OneWayEdge | Fault::CrowdedEdge { .. }
        )
    })
}

fn spoiled() -> Vec<Body> {
    let ball = Body::icosphere(5.0, 2);
    let mut open = ball.clone();
    open.triangles.pop();
    let mut turned = ball.clone();
    turned.triangles[3].swap(0, 1);
    let mut two_turned = ball.clone();
    two_turned.triangles[3].swap(0, 1);
    two_turned.triangles[4].swap(0, 1);
    vec![open, turned, two_turned]
}

#[test]
fn closedness_agrees() {
    let sound = [
        Body::block([0.0; 3], [3.0, 2.0, 1.0]),
        Body::icosphere(5.0, 2),
        Body::icosphere(5.0, 2).turned_over(),
        Body::two_tunnels(5.0, 1.0),
    ];
    for body in sound.into_iter().chain(spoiled()) {
        let closed = other(&body).shell_condition() == ShellCondition::Closed;
        assert_eq!(edges_are_paired(&body), closed);
    }
}

#[test]
fn volumes_agree() {
    for times in 0..4 {
        let body = Body::icosphere(6.0, times).moved(|[x, y, z]| [x + 31.0, y, z - 7.0]);
        let (ours, theirs) = (look(&body).volume, other(&body).volume());
        assert!((ours - theirs).abs() < 1e-9 * theirs, "{ours} {theirs}");
    }
}

#[test]
fn holes_that_cross_look_well_to_it() {
    let body = Body::two_tunnels(5.0, 1.0);
    assert_eq!(other(&body).shell_condition(), ShellCondition::Closed);
    assert!(other(&body).volume() > 0.0);
    assert!(!look(&body).is_sound());
}
