//! Boxes with a hole, and bodies with spline faces.

use std::f64::consts::PI;

use proptest::prelude::*;
use truck_modeling::{
    BSplineCurve, BSplineSurface, EuclideanSpace, KnotVec, NurbsCurve, NurbsSurface, Point3,
    Vector3, Vector4,
};

use super::build::{arc, face, half, line, plane};
use super::close;
use crate::brep::shape::{Curve, Edge, Face, Frame, Half, Surface, Vertex};
use crate::brep::volume::{face_area, moments, volume};

fn inverse(edges: &[Edge]) -> Vec<Edge> {
    edges.iter().rev().map(Edge::inverse).collect()
}

/// Sides and the lower face of a prism: `below` ccw seen from above, `above` over it, `up` the
/// edges between. `inside`: of a hole, not of a body.
fn sides(
    below: &[Edge],
    above: &[Edge],
    up: &[Edge],
    surface: &dyn Fn(usize) -> Surface,
    out: bool,
) -> Vec<Face> {
    let n = below.len();
    (0..n)
        .map(|i| {
            let edges = vec![
                below[i].clone(),
                up[(i + 1) % n].clone(),
                above[i].inverse(),
                up[i].inverse(),
            ];
            let edges = if out { edges } else { inverse(&edges) };
            face(vec![edges], surface(i), out)
        })
        .collect()
}

/// A circle about (x, y, z) as two half arcs, ccw seen from above.
fn circle(x: f64, y: f64, z: f64, r: f64) -> ([Vertex; 2], Vec<Edge>) {
    let [a, b] = [x - r, x + r].map(|x| Vertex::new(Point3::new(x, y, z)));
    let centre = Point3::new(x, y, z);
    let edges = vec![
        arc(&a, &b, centre, -Vector3::unit_y()),
        arc(&b, &a, centre, Vector3::unit_y()),
    ];
    ([a, b], edges)
}

fn rectangle(x: f64, y: f64, z: f64) -> ([Vertex; 4], Vec<Edge>) {
    let v =
        [(0.0, 0.0), (x, 0.0), (x, y), (0.0, y)].map(|(x, y)| Vertex::new(Point3::new(x, y, z)));
    let edges = (0..4).map(|i| line(&v[i], &v[(i + 1) % 4])).collect();
    (v, edges)
}

const OUT: [Vector3; 4] = [
    Vector3::new(0.0, -1.0, 0.0),
    Vector3::new(1.0, 0.0, 0.0),
    Vector3::new(0.0, 1.0, 0.0),
    Vector3::new(-1.0, 0.0, 0.0),
];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// A block 40 x 30 x 12 with a blind hole from below.
    #[test]
    fn block_with_hole(x in 8.0_f64..30.0, y in 8.0_f64..22.0, r in 1.0_f64..7.0, depth in 1.0_f64..11.0) {
        let (low, below) = rectangle(40.0, 30.0, 0.0);
        let (high, above) = rectangle(40.0, 30.0, 12.0);
        let up: Vec<Edge> = (0..4).map(|i| line(&low[i], &high[i])).collect();
        let wall = |i: usize| plane(low[i].point(), OUT[i]);
        let mut faces = sides(&below, &above, &up, &wall, true);
        let (mouth, mouth_edges) = circle(x, y, 0.0, r);
        let (floor, floor_edges) = circle(x, y, depth, r);
        let up: Vec<Edge> = (0..2).map(|i| line(&mouth[i], &floor[i])).collect();
        let frame = Frame { origin: Point3::new(x, y, 3.0), x: Vector3::unit_y(), z: Vector3::unit_z() };
        faces.extend(sides(&mouth_edges, &floor_edges, &up, &|_| Surface::Cylinder { frame, radius: r }, false));
        let down = -Vector3::unit_z();
        faces.push(face(vec![inverse(&below), mouth_edges], plane(Point3::origin(), down), true));
        faces.push(face(vec![inverse(&floor_edges)], plane(floor[0].point(), down), true));
        faces.push(face(vec![above], plane(high[0].point(), down), false));
        let body = half(faces);
        let hole = PI * r * r * depth;
        close(volume(&body), 14_400.0 - hole);
        let (_, m) = moments(&body);
        close(m[0], 14_400.0 * 20.0 - hole * x);
        close(m[1], 14_400.0 * 15.0 - hole * y);
        close(m[2], 14_400.0 * 6.0 - hole * depth / 2.0);
    }

    /// Under a bumpy bicubic top: the volume is a sum over the control points.
    #[test]
    fn under_a_spline(heights in prop::collection::vec(2.0..9.0, 30), cut in 0.2_f64..0.8) {
        let (knots_u, knots_v) = (
            KnotVec::from(vec![0.0, 0.0, 0.0, 0.0, 0.3, cut.max(0.31), 1.0, 1.0, 1.0, 1.0]),
            KnotVec::from(vec![0.0, 0.0, 0.0, 0.0, 0.5, 1.0, 1.0, 1.0, 1.0]),
        );
        let greville = |k: &KnotVec, i: usize| (k[i + 1] + k[i + 2] + k[i + 3]) / 3.0;
        let share = |k: &KnotVec, i: usize| (k[i + 4] - k[i]) / 4.0;
        let mut exact = 0.0;
        let net: Vec<Vec<Vector4>> = (0..6)
            .map(|i| (0..5).map(|j| {
                let z = heights[5 * i + j];
                exact += 40.0 * 30.0 * z * share(&knots_u, i) * share(&knots_v, j);
                Vector4::new(40.0 * greville(&knots_u, i), 30.0 * greville(&knots_v, j), z, 1.0)
            }).collect())
            .collect();
        let surface = NurbsSurface::new(BSplineSurface::new((knots_u.clone(), knots_v.clone()), net.clone()));
        let along = |knots: &KnotVec, points: Vec<Vector4>| {
            Curve::Spline(NurbsCurve::new(BSplineCurve::new(knots.clone(), points)))
        };
        let column = |j: usize| net.iter().map(|row| row[j]).collect::<Vec<_>>();
        let (low, below) = rectangle(40.0, 30.0, 0.0);
        let corner = |p: Vector4| Vertex::new(Point3::new(p.x, p.y, p.z));
        let high = [corner(net[0][0]), corner(net[5][0]), corner(net[5][4]), corner(net[0][4])];
        let above = vec![
            Edge::new(&high[0], &high[1], along(&knots_u, column(0))),
            Edge::new(&high[1], &high[2], along(&knots_v, net[5].clone())),
            Edge::new(&high[3], &high[2], along(&knots_u, column(4))).inverse(),
            Edge::new(&high[0], &high[3], along(&knots_v, net[0].clone())).inverse(),
        ];
        let up: Vec<Edge> = (0..4).map(|i| line(&low[i], &high[i])).collect();
        let mut faces = sides(&below, &above, &up, &|i| plane(low[i].point(), OUT[i]), true);
        faces.push(face(vec![inverse(&below)], plane(Point3::origin(), -Vector3::unit_z()), true));
        faces.push(face(vec![above], Surface::Spline(surface), true));
        close(volume(&half(faces)), exact);
    }

    /// A cylinder under a tilted flat spline, trimmed by an ellipse across its knot lines.
    #[test]
    fn trimmed_spline(r in 2.0_f64..9.0, sx in -0.5_f64..0.5, sy in -0.5_f64..0.5, down in any::<bool>()) {
        let top = |x: f64, y: f64| 12.0 + sx * x + sy * y;
        let (low, below) = circle(0.0, 0.0, 0.0, r);
        let high = [-r, r].map(|x| Vertex::new(Point3::new(x, 0.0, top(x, 0.0))));
        let bow = |from: usize, turn: f64| {
            let end = if from == 0 { -r } else { r };
            let a = Vector3::new(end, 0.0, sx * end);
            let b = Vector3::new(0.0, turn * r, sy * turn * r);
            // Not perpendicular, but the formula needs only P = centre + a cos t + b sin t.
            Edge::new(&high[from], &high[1 - from], Curve::Arc(crate::brep::shape::Arc {
                centre: Point3::new(0.0, 0.0, 12.0), a, b, range: (0.0, PI),
            }))
        };
        let above = vec![bow(0, -1.0), bow(1, 1.0)];
        let knots = KnotVec::from(vec![0.0, 0.0, 0.0, 0.35, 0.6, 1.0, 1.0, 1.0]);
        let greville = |i: usize| 20.0 * (knots[i + 1] + knots[i + 2]) / 2.0 - 10.0;
        let net = (0..5)
            .map(|i| (0..5).map(|j| {
                // With its rows along y, the surface's normal points down.
                let (x, y) = if down { (greville(j), greville(i)) } else { (greville(i), greville(j)) };
                Vector4::new(x, y, top(x, y), 1.0)
            }).collect())
            .collect();
        let surface = NurbsSurface::new(BSplineSurface::new((knots.clone(), knots), net));
        let up: Vec<Edge> = (0..2).map(|i| line(&low[i], &high[i])).collect();
        let frame = Frame { origin: Point3::origin(), x: Vector3::unit_x(), z: Vector3::unit_z() };
        let mut faces = sides(&below, &above, &up, &|_| Surface::Cylinder { frame, radius: r }, true);
        faces.push(face(vec![inverse(&below)], plane(Point3::origin(), -Vector3::unit_z()), true));
        faces.push(face(vec![above], Surface::Spline(surface), !down));
        let body: Half = half(faces);
        close(volume(&body), 12.0 * PI * r * r);
        let (_, m) = moments(&body);
        let fourth = PI * r.powi(4) / 4.0;
        // Moments of z = 12 + sx x + sy y over the disc.
        prop_assert!((m[0] - sx * fourth).abs() < 1e-7);
        prop_assert!((m[1] - sy * fourth).abs() < 1e-7);
        close(m[2], 0.5 * (144.0 * PI * r * r + (sx * sx + sy * sy) * fourth));
    }

    /// A half cylinder whose round side is a rational spline.
    #[test]
    fn rational_spline(r in 2.0_f64..9.0, l in 5.0_f64..50.0) {
        let w = std::f64::consts::FRAC_1_SQRT_2;
        let ring = [(1.0, 0.0, 1.0), (1.0, 1.0, w), (0.0, 1.0, 1.0), (-1.0, 1.0, w), (-1.0, 0.0, 1.0)];
        let net = [0.0, l]
            .map(|x| ring.map(|(y, z, w)| Vector4::new(w * x, w * y * r, w * z * r, w)).to_vec())
            .to_vec();
        let knots = KnotVec::from(vec![0.0, 0.0, 0.0, 0.5, 0.5, 1.0, 1.0, 1.0]);
        let surface = NurbsSurface::new(BSplineSurface::new((KnotVec::bezier_knot(1), knots), net));
        let v = [(0.0, r), (0.0, -r), (l, -r), (l, r)].map(|(x, y)| Vertex::new(Point3::new(x, y, 0.0)));
        let front = arc(&v[0], &v[1], Point3::origin(), Vector3::unit_z());
        let rear = arc(&v[3], &v[2], Point3::new(l, 0.0, 0.0), Vector3::unit_z());
        let (left, right, close_front, close_rear) = (line(&v[0], &v[3]), line(&v[1], &v[2]), line(&v[1], &v[0]), line(&v[2], &v[3]));
        let ex = Vector3::unit_x();
        // dS/du x dS/dv points inside here.
        let skin = vec![front.clone(), right.clone(), rear.inverse(), left.inverse()];
        let body = half(vec![
            face(vec![skin], Surface::Spline(surface), false),
            face(vec![vec![front.inverse(), close_front.inverse()]], plane(Point3::origin(), ex), false),
            face(vec![vec![rear.clone(), close_rear.clone()]], plane(v[3].point(), ex), true),
            face(vec![vec![left, close_rear.inverse(), right.inverse(), close_front]], plane(Point3::origin(), Vector3::unit_z()), false),
        ]);
        close(volume(&body), 0.5 * PI * r * r * l);
        let (v, m) = moments(&body);
        close(m[2] / v, 4.0 * r / (3.0 * PI));
        close(face_area(body.solid.face_iter().next().unwrap()), PI * r * l);
    }
}
