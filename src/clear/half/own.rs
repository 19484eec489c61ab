//! An end's joint against its own end face: land, ring of wood, neck.

use nalgebra::{Point3, Vector3};

use super::ends::EndOf;
use super::feature::{Feature, Ligament};
use super::found::Found;
use super::outer::Outer;
use crate::chain::{Ball, Socket};
use crate::clear::{Ellipse, HalfSpace, least_distance_curves, to_plane};

/// All ligaments of an end's joint with its own face.
pub(super) fn own(end: &EndOf, outer: &Outer) -> Vec<Ligament> {
    let mut all = Vec::new();
    if let Some(socket) = end.socket() {
        all.push(land(end, &socket));
        all.extend(ring(end, &socket, outer));
    }
    if let Some(ball) = end.ball() {
        all.extend(neck(end, &ball, outer));
        all.push(neck_length(end, &ball));
    }
    all
}

/// Dome radius less socket radius; in a flat end from the mouth circle to the plane, least at the
/// top where the plane leans in.
fn land(end: &EndOf, socket: &Socket) -> Ligament {
    let face = Feature::EndFace(end.facing);
    if let Some(dome) = end.dome() {
        // Both spheres have one centre. The mouth circle's direction is the first in which there
        // is socket, the outer circle's the last in which there is dome.
        let bowl = end.bowl(socket);
        let mouth = socket.mouth_radius.atan2(bowl.mouth);
        let last = end.circle.1.atan2(end.out * (end.circle.0 - bowl.centre.x));
        let at = |angle: f64, radius: f64| {
            bowl.centre + (end.axis() * angle.cos() + Vector3::z() * angle.sin()) * radius
        };
        let (a, b) = (at(mouth, socket.radius), at(mouth.min(last), dome));
        let gap = if mouth <= last {
            dome - socket.radius
        } else {
            (b - a).norm().copysign(dome - socket.radius)
        };
        let numbers = [("dome radius", dome), ("socket radius", socket.radius)];
        return Found::exact(gap, a, b).named(Feature::Socket(end.facing), face, numbers);
    }
    let gap = to_plane(&end.bowl(socket), &end.on_axis(0.0), &-end.normal());
    let numbers = [
        ("socket depth", socket.depth),
        ("mouth radius", socket.mouth_radius),
    ];
    Found::from(gap).named(Feature::Mouth(end.facing), face, numbers)
}

/// From the flare's edge to the outline of the end face.
fn ring(end: &EndOf, socket: &Socket, outer: &Outer) -> Option<Ligament> {
    let between = (Feature::FlareEdge(end.facing), Feature::Outline(end.facing));
    if let Some(dome) = end.dome() {
        let (along, inner) = end.edge_on_dome(socket, dome);
        let (x, radius) = end.circle;
        let a = end.on_axis(along) + Vector3::z() * inner;
        let b = Point3::new(x, 0.0, radius);
        // Both circles lie on the dome: the wider one lies further back.
        let gap = (b - a).norm().copysign(radius - inner);
        let numbers = [("flare edge radius", inner), ("end radius", radius)];
        return Some(Found::exact(gap, a, b).named(between.0, between.1, numbers));
    }
    let edge = end.edge_on_plane(socket)?;
    let numbers = [
        ("flare edge radius", edge.radii[0]),
        ("half width of the face", end.circle.1),
    ];
    in_face(end, &edge, outer).map(|found| found.named(between.0, between.1, numbers))
}

/// From the neck's root to the outline of its face.
fn neck(end: &EndOf, ball: &Ball, outer: &Outer) -> Option<Ligament> {
    let root = end.slant(ball.neck_radius, 0.0)?;
    let numbers = [
        ("neck radius", ball.neck_radius),
        ("half width of the face", end.circle.1),
    ];
    let (neck, outline) = (Feature::Neck(end.facing), Feature::Outline(end.facing));
    in_face(end, &root, outer).map(|found| found.named(neck, outline, numbers))
}

fn in_face(end: &EndOf, edge: &Ellipse, outer: &Outer) -> Option<Found> {
    least_distance_curves(edge, outer.end(end.facing), None).map(Found::from)
}

/// Straight neck between the end face and the fillet, or the ball; least in the split plane.
fn neck_length(end: &EndOf, ball: &Ball) -> Ligament {
    let (r, n, f) = (ball.radius, ball.neck_radius, ball.fillet);
    let back = ((r + f).powi(2) - (n + f).powi(2)).max(0.0).sqrt();
    let start = ball.reach - back;
    let at = |along: f64| end.on_axis(along) - Vector3::y() * n;
    let numbers = [("reach of the ball", ball.reach), ("ball radius", r)];
    Found::exact(start, at(0.0), at(start)).named(
        Feature::Ball(end.facing),
        Feature::EndFace(end.facing),
        numbers,
    )
}

/// The two end faces: how far the outline of each stays behind the other's plane. A dome counts
/// as the plane of its circle.
pub(super) fn ends(
    front: &EndOf,
    rear: &EndOf,
    outer: &Outer,
    (length, height): (f64, f64),
) -> Option<Ligament> {
    let behind = |end: &EndOf, other: &EndOf| {
        let (point, inwards) = match end.dome() {
            Some(_) => (Point3::new(end.circle.0, 0.0, 0.0), -end.axis()),
            None => (end.on_axis(0.0), -end.normal()),
        };
        let beyond = HalfSpace {
            point,
            normal: inwards,
        };
        least_distance_curves(&beyond, outer.end(other.facing), None).map(Found::from)
    };
    let found = behind(front, rear)?.least(behind(rear, front)?);
    let numbers = [
        ("section length", length),
        ("lean of an end over its height", height * front.tilt),
    ];
    Some(found.named(
        Feature::EndFace(front.facing),
        Feature::EndFace(rear.facing),
        numbers,
    ))
}
