//! The ends of a half: end face, and the ball or socket it carries.
//!
//! A ball and a socket are chains of half rings about the joint axis. Between two rings lies a
//! face of revolution, the last ring is closed by a sphere. The rings' ends lie on the split
//! plane, so the same chain also gives that end's part of the split face's outline. Everything is
//! written for the rear end; the front end is the same seen in the mirror x, with loops reversed.

use truck_modeling::{Point3, Vector3};

use super::shape::{Arc, Curve, Edge, FaceKind, Frame, Surface, Vertex};
use super::weave::{NotClosed, Weave, arc, frame, line, vertex};
use crate::chain::joint::{flare_on_dome, mouth_plane};
use crate::chain::{Ball, End, EndFace, EndJoint, Socket};

/// The end's own coordinates: distance along the axis outwards from the datum.
#[derive(Debug, Clone, Copy)]
pub struct Axis {
    /// x of the datum.
    pub datum: f64,
    /// +1 at the rear, -1 in front: outwards along x.
    pub out: f64,
    /// Tangent of the end plane's tilt.
    pub tilt: f64,
}

/// The corner edges that the outer form gives to an end.
pub struct Corners {
    /// Vertex on the split plane at y < 0 and at y > 0.
    pub foot: [Vertex; 2],
    /// From each foot up the rim.
    pub rim: [Edge; 2],
    /// Over the skin from y < 0 to y > 0.
    pub skin: Edge,
}

/// One half ring and the surface between it and the next.
struct Ring {
    edge: Edge,
    /// Along the split plane to the next ring at y < 0 and y > 0, and the face between.
    next: Option<(FaceKind, Surface, bool, [Edge; 2])>,
}

impl Axis {
    fn at(&self, along: f64, y: f64) -> Point3 {
        Point3::new(self.datum + self.out * along, y, 0.0)
    }

    fn centre(&self, along: f64) -> Point3 {
        self.at(along, 0.0)
    }

    /// Outwards.
    fn direction(&self) -> Vector3 {
        Vector3::new(self.out, 0.0, 0.0)
    }

    /// A half ring of radius r in the plane across the axis, from y < 0 over the top to y > 0.
    fn ring(&self, a: &Vertex, b: &Vertex, along: f64) -> Edge {
        let r = b.point().y;
        let arc = Arc {
            centre: self.centre(along),
            a: Vector3::new(0.0, -r, 0.0),
            b: Vector3::new(0.0, 0.0, r),
            range: (0.0, std::f64::consts::PI),
        };
        Edge::new(a, b, Curve::Arc(arc))
    }

    /// The half ellipse in which the tilted end plane cuts a cone about the axis whose radius at
    /// the datum is r and grows outwards by `slope` per length (0: a cylinder). With k = tilt *
    /// slope the ellipse has semi-axes r / sqrt(1 - k^2) across and r / (1 - k^2) up (derived).
    fn slanted_ring(&self, r: f64, slope: f64) -> (Arc, [Point3; 2]) {
        let k = self.tilt * slope;
        let up = r / (1.0 - k * k);
        let lift = -k * up;
        let out = |z: f64| self.datum - self.out * z * self.tilt;
        let arc = Arc {
            centre: Point3::new(out(lift), 0.0, lift),
            a: Vector3::new(0.0, -r / (1.0 - k * k).sqrt(), 0.0),
            b: Vector3::new(-self.out * self.tilt, 0.0, 1.0) * up,
            range: (k.asin(), std::f64::consts::PI - k.asin()),
        };
        (arc, [self.at(0.0, -r), self.at(0.0, r)])
    }
}

/// Adds an end's faces; returns the edges along the split plane from the foot at y < 0 to the
/// foot at y > 0.
///
/// # Errors
/// [`NotClosed`] on a fault of topology.
pub fn end(
    weave: &mut Weave,
    end: &End,
    axis: Axis,
    corners: &Corners,
) -> Result<Vec<Edge>, NotClosed> {
    let rear = axis.out > 0.0;
    let kind = if rear {
        FaceKind::Rear
    } else {
        FaceKind::Front
    };
    let rings = rings(end, &axis);
    let [foot_minus, foot_plus] = &corners.foot;
    // End face, counter-clockwise from outside at the rear: up the rim at y > 0, back over the
    // skin, down at y < 0, then along the split plane and round the feature.
    let mut inner: Vec<Edge> = Vec::new();
    let mut path: Vec<Edge> = Vec::new();
    if let Some(first) = rings.first() {
        let (minus, plus) = (first.edge.front().clone(), first.edge.back().clone());
        let foot = [
            foot_edge(end, &axis, foot_minus, &minus),
            foot_edge(end, &axis, &plus, foot_plus),
        ];
        inner.extend([foot[0].clone(), first.edge.clone(), foot[1].clone()]);
        path.push(foot[0].clone());
        path.extend(
            rings
                .iter()
                .filter_map(|r| Some(r.next.as_ref()?.3[0].clone())),
        );
        path.extend(cap(weave, end, &axis, &rings)?);
        path.extend(
            rings
                .iter()
                .rev()
                .filter_map(|r| Some(r.next.as_ref()?.3[1].inverse())),
        );
        path.push(foot[1].clone());
    } else {
        let straight = line(foot_minus, foot_plus);
        inner.push(straight.clone());
        path.push(straight);
    }
    let mut outer = vec![
        corners.rim[1].clone(),
        corners.skin.inverse(),
        corners.rim[0].inverse(),
    ];
    outer.extend(inner);
    weave.face(
        kind,
        end_surface(end, &axis),
        true,
        vec![turned(outer, rear)],
    )?;
    for pair in rings.windows(2) {
        let Some((kind, surface, outside, [minus, plus])) = pair[0].next.clone() else {
            continue;
        };
        let edges = vec![
            pair[0].edge.inverse(),
            minus,
            pair[1].edge.clone(),
            plus.inverse(),
        ];
        weave.face(kind, surface, outside, vec![turned(edges, rear)])?;
    }
    Ok(path)
}

/// Loops are written for the rear; in front they run the other way.
fn turned(edges: Vec<Edge>, rear: bool) -> Vec<Edge> {
    if rear {
        edges
    } else {
        edges.iter().rev().map(Edge::inverse).collect()
    }
}

/// The last ring's sphere and its edges on the split plane, from y < 0 through the pole to y > 0.
/// A vertex stands at the pole: with the joint axis as the sphere's axis every edge is then a
/// meridian or a parallel, which readers place exactly.
fn cap(weave: &mut Weave, end: &End, axis: &Axis, rings: &[Ring]) -> Result<[Edge; 2], NotClosed> {
    let (kind, along, radius, outside) = match end.joint {
        EndJoint::Ball(b) => (FaceKind::Ball, b.reach, b.radius, true),
        EndJoint::Socket(s) => (FaceKind::Socket, -s.depth, s.radius, false),
        EndJoint::None => return Err(NotClosed("a cap without a joint".to_owned())),
    };
    let last = &rings[rings.len() - 1].edge;
    let centre = axis.centre(along);
    // At the rear a ball's pole lies at +x: from y < 0 through +x to y > 0 is a positive turn about
    // z. A socket's pole lies the other way.
    let away = if outside { 1.0 } else { -1.0 };
    let turn = Vector3::unit_z() * (axis.out * away);
    let pole = vertex(axis.at(along + away * radius, 0.0));
    let edges = [
        arc(last.front(), &pole, centre, turn),
        arc(&pole, last.back(), centre, turn),
    ];
    let sphere = Surface::Sphere {
        frame: sphere_frame(centre, axis, kind),
        radius,
    };
    let outline = vec![last.inverse(), edges[0].clone(), edges[1].clone()];
    weave.face(kind, sphere, outside, vec![turned(outline, axis.out > 0.0)])?;
    Ok(edges)
}

/// A sphere's axis tilted so that poles and seam of a reader's parameters lie off the patch: in
/// the split plane's lower side.
fn sphere_frame(centre: Point3, axis: &Axis, kind: FaceKind) -> Frame {
    // The patch misses a cone about the neck or mouth direction; its half below the split plane is
    // free. 20 degrees below the split plane on the neck's side lies outside it for every neck.
    let back = if kind == FaceKind::Ball {
        -axis.direction()
    } else {
        axis.direction()
    };
    let pole = back * 20f64.to_radians().cos() - Vector3::unit_z() * 20f64.to_radians().sin();
    frame(centre, pole, -Vector3::unit_z())
}

/// The edge on the split plane between the end's foot and the feature's ring.
fn foot_edge(end: &End, axis: &Axis, a: &Vertex, b: &Vertex) -> Edge {
    match end.face {
        EndFace::Domed { radius } => {
            // Both points lie on the dome; from y < 0 to y > 0 on the outer side.
            arc(a, b, axis.centre(-radius), Vector3::unit_z() * axis.out)
        }
        EndFace::Flat | EndFace::Closed => line(a, b),
    }
}

fn end_surface(end: &End, axis: &Axis) -> Surface {
    match end.face {
        EndFace::Domed { radius } => {
            let centre = axis.centre(-radius);
            let pole = -axis.direction();
            Surface::Sphere {
                frame: frame(centre, pole, -Vector3::unit_z()),
                radius,
            }
        }
        EndFace::Flat | EndFace::Closed => {
            let normal = Vector3::new(axis.out, 0.0, axis.tilt);
            Surface::Plane(frame(axis.centre(0.0), normal, Vector3::unit_y()))
        }
    }
}

fn rings(end: &End, axis: &Axis) -> Vec<Ring> {
    match end.joint {
        EndJoint::None => Vec::new(),
        EndJoint::Ball(ball) => ball_rings(axis, &ball),
        EndJoint::Socket(socket) => socket_rings(end, axis, &socket),
    }
}

/// Neck, fillet, ball.
fn ball_rings(axis: &Axis, ball: &Ball) -> Vec<Ring> {
    let (radius, n, f) = (ball.radius, ball.neck_radius, ball.fillet);
    let (slanted, ends) = axis.slanted_ring(n, 0.0);
    let feet = ends.map(vertex);
    let first = Edge::new(&feet[0], &feet[1], Curve::Arc(slanted));
    let about = |z| frame(axis.centre(z), axis.direction(), -Vector3::unit_z());
    let neck = Surface::Cylinder {
        frame: about(0.0),
        radius: n,
    };
    if f == 0.0 {
        let along = ball.reach - (radius * radius - n * n).sqrt();
        let ring = pair(axis, along, n);
        let sides = [line(&feet[0], &ring[0]), line(&feet[1], &ring[1])];
        let last = axis.ring(&ring[0], &ring[1], along);
        return vec![
            Ring {
                edge: first,
                next: Some((FaceKind::Neck, neck, true, sides)),
            },
            Ring {
                edge: last,
                next: None,
            },
        ];
    }
    // Fillet (facts 5.13): its tube's centre lies R + f from the ball's centre, n + f off the axis.
    let back = ((radius + f).powi(2) - (n + f).powi(2)).sqrt();
    let (start, share) = (ball.reach - back, radius / (radius + f));
    let low = pair(axis, start, n);
    let high = pair(axis, ball.reach - back * share, (n + f) * share);
    let neck_sides = [line(&feet[0], &low[0]), line(&feet[1], &low[1])];
    let tube = [axis.at(start, -(n + f)), axis.at(start, n + f)];
    // At y > 0, rear: from below the tube's centre outwards to the ball is a positive turn about z.
    let turn = Vector3::unit_z() * axis.out;
    let fillet_sides = [
        arc(&low[0], &high[0], tube[0], -turn),
        arc(&low[1], &high[1], tube[1], turn),
    ];
    let torus = Surface::Torus {
        frame: about(start),
        major: n + f,
        minor: f,
    };
    vec![
        Ring {
            edge: first,
            next: Some((FaceKind::Neck, neck, true, neck_sides)),
        },
        Ring {
            edge: axis.ring(&low[0], &low[1], start),
            next: Some((FaceKind::Fillet, torus, false, fillet_sides)),
        },
        Ring {
            edge: axis.ring(&high[0], &high[1], ball.reach - back * share),
            next: None,
        },
    ]
}

/// Flare, then the socket's sphere.
fn socket_rings(end: &End, axis: &Axis, socket: &Socket) -> Vec<Ring> {
    let slope = socket.flare.tan();
    let mouth_along = mouth_plane(socket.radius, socket.mouth_radius) - socket.depth;
    let mouth = pair(axis, mouth_along, socket.mouth_radius);
    let at_datum = socket.mouth_radius - mouth_along * slope;
    let first = match end.face {
        EndFace::Domed { radius } => {
            let (out, r) = flare_on_dome(socket.radius, socket.mouth_radius, socket.flare, radius);
            let along = out - socket.depth;
            let feet = pair(axis, along, r);
            axis.ring(&feet[0], &feet[1], along)
        }
        EndFace::Flat | EndFace::Closed => {
            let (slanted, ends) = axis.slanted_ring(at_datum, slope);
            let feet = ends.map(vertex);
            Edge::new(&feet[0], &feet[1], Curve::Arc(slanted))
        }
    };
    let sides = [
        line(first.front(), &mouth[0]),
        line(first.back(), &mouth[1]),
    ];
    let cone = Surface::Cone {
        frame: frame(
            axis.centre(mouth_along),
            axis.direction(),
            -Vector3::unit_z(),
        ),
        radius: socket.mouth_radius,
        half_angle: socket.flare,
    };
    vec![
        Ring {
            edge: first,
            next: Some((FaceKind::Flare, cone, false, sides)),
        },
        Ring {
            edge: axis.ring(&mouth[0], &mouth[1], mouth_along),
            next: None,
        },
    ]
}

fn pair(axis: &Axis, along: f64, r: f64) -> [Vertex; 2] {
    [vertex(axis.at(along, -r)), vertex(axis.at(along, r))]
}
