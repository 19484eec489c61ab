//! The wood between the split plane of a half and the face of the stock, which sanding takes away:
//! upright walls under every edge of the split face.

use truck_modeling::{InnerSpace, Vector3, Vector4};

use super::shape::{Arc, Curve, Edge, Face, FaceKind, Surface, Vertex};
use super::spline;
use super::weave::{NotClosed, Weave, frame, line, vertex};
use crate::skin::patch::Patch;

/// Adds a split face lower by `depth`, and the walls between.
///
/// # Errors
/// [`NotClosed`] on a fault of topology.
pub(super) fn lower(weave: &mut Weave, split: &Face, depth: f64) -> Result<(), NotClosed> {
    let loops = split.boundaries().into_iter().map(|wire| {
        let edges: Vec<Edge> = wire.edge_iter().cloned().collect();
        skirt(weave, &edges, depth)
    });
    let loops = loops.collect::<Result<_, _>>()?;
    let Surface::Plane(mut plane) = split.surface() else {
        return Err(NotClosed("a split face that is not plane".to_owned()));
    };
    plane.origin.z -= depth;
    weave.face(FaceKind::SplitFace, Surface::Plane(plane), true, loops)
}

/// Adds the walls under a loop of the split face; returns its loop lower by `depth`.
///
/// # Errors
/// [`NotClosed`] on a fault of topology.
pub(super) fn skirt(weave: &mut Weave, edges: &[Edge], depth: f64) -> Result<Vec<Edge>, NotClosed> {
    let shift = Vector3::new(0.0, 0.0, -depth);
    let upper: Vec<Vertex> = edges.iter().map(|e| e.front().clone()).collect();
    let lower: Vec<Vertex> = upper.iter().map(|v| vertex(v.point() + shift)).collect();
    let count = edges.len();
    let uprights: Vec<Edge> = (0..count).map(|k| line(&upper[k], &lower[k])).collect();
    let mut foot = Vec::with_capacity(count);
    for (k, edge) in edges.iter().enumerate() {
        let next = (k + 1) % count;
        let own = under(edge, (&lower[k], &lower[next]), shift);
        let round = vec![
            edge.clone(),
            uprights[next].clone(),
            own.inverse(),
            uprights[k].inverse(),
        ];
        let (surface, outside) = wall(edge, shift);
        weave.face(FaceKind::SandingWall, surface, outside, vec![round])?;
        foot.push(own);
    }
    Ok(foot)
}

/// The edge moved, over other vertices.
pub(super) fn under(edge: &Edge, (from, to): (&Vertex, &Vertex), shift: Vector3) -> Edge {
    let curve = match edge.curve() {
        Curve::Line(p, q) => Curve::Line(p + shift, q + shift),
        Curve::Arc(arc) => Curve::Arc(Arc {
            centre: arc.centre + shift,
            ..arc
        }),
        Curve::Spline(mut spline) => {
            spline.transform_control_points(|p| *p += shift.extend(0.0) * p.w);
            Curve::Spline(spline)
        }
    };
    if edge.orientation() {
        Edge::new(from, to, curve)
    } else {
        Edge::new(to, from, curve).inverse()
    }
}

/// The upright wall under an edge of the split face, and whether its normal points out of the wood:
/// run along as the split face's border, the wood lies to the left seen from below, so out is the way
/// times down.
pub(super) fn wall(edge: &Edge, shift: Vector3) -> (Surface, bool) {
    let down = -Vector3::unit_z();
    match edge.curve() {
        Curve::Line(..) => {
            let (p, q) = (edge.front().point(), edge.back().point());
            (Surface::Plane(frame(p, (q - p).cross(down), q - p)), true)
        }
        Curve::Arc(arc) => {
            let along = if edge.orientation() { 1.0 } else { -1.0 };
            let way = Curve::Arc(arc).der(arc.range.0) * along;
            let outwards = Curve::Arc(arc).at(arc.range.0) - arc.centre;
            let cylinder = Surface::Cylinder {
                frame: frame(arc.centre, Vector3::unit_z(), outwards),
                radius: arc.a.magnitude(),
            };
            (cylinder, way.cross(down).dot(outwards) > 0.0)
        }
        // dS/du times dS/dv is the way times down where the edge runs along its curve.
        Curve::Spline(spline) => {
            let rows = spline.control_points().iter().map(|p: &Vector4| {
                let at = [p.x / p.w, p.y / p.w, p.z / p.w];
                vec![at, [at[0], at[1], at[2] + shift.z]]
            });
            let patch = Patch {
                u_knots: spline.knot_vec().to_vec(),
                v_knots: vec![0.0, 0.0, 1.0, 1.0],
                v_degree: 1,
                weights: vec![1.0; 2],
                net: rows.collect(),
            };
            (Surface::Spline(spline::surface(&patch)), edge.orientation())
        }
    }
}
