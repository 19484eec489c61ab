//! Builders of test solids.

use truck_modeling::{EuclideanSpace, InnerSpace, Point3, Vector3};

use crate::brep::shape::{
    Arc, Curve, Edge, Face, Frame, Half, Shell, Solid, Surface, Vertex, Wire,
};

pub fn half(faces: Vec<Face>) -> Half {
    let shell = Shell::from(faces);
    Half {
        solid: Solid::try_new(vec![shell]).unwrap(),
        kinds: Vec::new(),
    }
}

pub fn line(a: &Vertex, b: &Vertex) -> Edge {
    Edge::new(a, b, Curve::Line(a.point(), b.point()))
}

/// Arc of less than half a turn, or of half a turn towards `side`.
pub fn arc(from: &Vertex, to: &Vertex, centre: Point3, side: Vector3) -> Edge {
    let a = from.point() - centre;
    let chord = to.point() - centre;
    let half_turn = (a + chord).magnitude() < 1e-9 * a.magnitude();
    let across = if half_turn { side } else { chord };
    let b = (across - a * (across.dot(a) / a.dot(a))).normalize() * a.magnitude();
    let sweep = chord.dot(b).atan2(chord.dot(a)).abs();
    let curve = Curve::Arc(Arc {
        centre,
        a,
        b,
        range: (0.0, sweep),
    });
    assert!((curve.at(sweep) - to.point()).magnitude() < 1e-9);
    Edge::new(from, to, curve)
}

/// A face whose loops run ccw seen from outside; `along` says whether the surface's own normal
/// points outside.
pub fn face(loops: Vec<Vec<Edge>>, surface: Surface, along: bool) -> Face {
    let wires: Vec<Wire> = loops
        .into_iter()
        .map(|edges| {
            let wire = Wire::from(edges);
            if along { wire } else { wire.inverse() }
        })
        .collect();
    let mut face = Face::new(wires, surface);
    if !along {
        face.invert();
    }
    face
}

pub fn plane(origin: Point3, normal: Vector3) -> Surface {
    let side = if normal.x.abs() < 0.6 {
        Vector3::unit_x()
    } else {
        Vector3::unit_y()
    };
    Surface::Plane(Frame {
        origin,
        x: side.cross(normal).normalize(),
        z: normal.normalize(),
    })
}

/// How one point of a profile is joined to the next.
#[derive(Clone, Copy)]
pub enum To {
    Line,
    /// Arc about (x, r).
    Arc(f64, f64),
}

fn spot(x: f64, y: f64) -> Point3 {
    Point3::new(x, y, 0.0)
}

/// Surface of a profile's piece from p to q, both (x, r), with outside to its left as x grows;
/// and whether its normal points outside.
fn piece(p: (f64, f64), q: (f64, f64), to: To) -> (Surface, bool) {
    let frame = |x: f64, z: Vector3| Frame {
        origin: spot(x, 0.0),
        x: Vector3::unit_z(),
        z,
    };
    let (dx, dr) = (q.0 - p.0, q.1 - p.1);
    // Left of the step.
    let out = (-dr, dx);
    match to {
        To::Line if dx == 0.0 => (Surface::Plane(frame(p.0, Vector3::unit_x())), out.0 > 0.0),
        To::Line if dr == 0.0 => {
            let radius = p.1;
            (
                Surface::Cylinder {
                    frame: frame(0.0, Vector3::unit_x()),
                    radius,
                },
                out.1 > 0.0,
            )
        }
        To::Line => {
            let grows = Vector3::unit_x() * (dr / dx).signum();
            let surface = Surface::Cone {
                frame: frame(p.0, grows),
                radius: p.1,
                half_angle: (dr / dx).abs().atan(),
            };
            (surface, out.1 > 0.0)
        }
        To::Arc(x, r) => {
            let radius = f64::hypot(p.0 - x, p.1 - r);
            let middle = (0.5 * (p.0 + q.0) - x, 0.5 * (p.1 + q.1) - r);
            let along = middle.0 * out.0 + middle.1 * out.1 > 0.0;
            if r == 0.0 {
                (
                    Surface::Sphere {
                        frame: frame(x, Vector3::unit_x()),
                        radius,
                    },
                    along,
                )
            } else {
                let (major, minor) = (r, radius);
                let frame = frame(x, Vector3::unit_x());
                (
                    Surface::Torus {
                        frame,
                        major,
                        minor,
                    },
                    along,
                )
            }
        }
    }
}

/// Half (z >= 0) of the body turned about x by a profile of points (x, r) from axis to axis.
pub fn turned(points: &[(f64, f64)], joins: &[To]) -> Half {
    assert_eq!(points.len(), joins.len() + 1);
    let near: Vec<Vertex> = points.iter().map(|p| Vertex::new(spot(p.0, p.1))).collect();
    let far: Vec<Vertex> = points
        .iter()
        .zip(&near)
        .map(|(p, same)| {
            if p.1 == 0.0 {
                same.clone()
            } else {
                Vertex::new(spot(p.0, -p.1))
            }
        })
        .collect();
    let circles: Vec<Option<Edge>> = points
        .iter()
        .zip(near.iter().zip(&far))
        .map(|(p, (a, b))| (p.1 > 0.0).then(|| arc(a, b, spot(p.0, 0.0), Vector3::unit_z())))
        .collect();
    let side = |v: &[Vertex], sign: f64| -> Vec<Edge> {
        joins
            .iter()
            .enumerate()
            .map(|(i, to)| match *to {
                To::Line => line(&v[i], &v[i + 1]),
                To::Arc(x, r) => arc(
                    &v[i],
                    &v[i + 1],
                    spot(x, sign * r),
                    Vector3::unit_y() * sign,
                ),
            })
            .collect()
    };
    let (left, right) = (side(&near, 1.0), side(&far, -1.0));
    let mut faces = Vec::new();
    for i in 0..joins.len() {
        let mut edges: Vec<Edge> = circles[i].iter().cloned().collect();
        edges.push(right[i].clone());
        edges.extend(circles[i + 1].iter().map(Edge::inverse));
        edges.push(left[i].inverse());
        let (surface, along) = piece(points[i], points[i + 1], joins[i]);
        faces.push(face(vec![edges], surface, along));
    }
    let round: Vec<Edge> = left
        .iter()
        .cloned()
        .chain(right.iter().rev().map(Edge::inverse))
        .collect();
    faces.push(face(
        vec![round],
        plane(Point3::origin(), -Vector3::unit_z()),
        true,
    ));
    half(faces)
}
