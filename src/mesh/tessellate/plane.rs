//! Plane faces: a constrained Delaunay mesh of the outline and its holes, without inner points.

use spade::{ConstrainedDelaunayTriangulation, HasPosition, Point2, Triangulation};
use truck_modeling::InnerSpace;

use crate::brep::NotClosed;
use crate::brep::shape::Frame;

use super::Mesh;
use super::division::Division;
use super::topology::FaceData;

/// A mesh vertex with its place in a plane chart.
#[derive(Debug, Clone, Copy)]
pub struct Site {
    /// Place in the chart.
    pub at: Point2<f64>,
    /// Mesh vertex.
    pub id: u32,
}

impl HasPosition for Site {
    type Scalar = f64;
    fn position(&self) -> Point2<f64> {
        self.at
    }
}

/// Constrained Delaunay triangulation of sites.
pub type Chart = ConstrainedDelaunayTriangulation<Site>;

/// Adds a plane face.
///
/// # Errors
/// [`NotClosed`] when the outline crosses itself.
pub fn mesh(
    mesh: &mut Mesh,
    face: &FaceData,
    division: &Division,
    frame: &Frame,
) -> Result<(), NotClosed> {
    let (x, y) = (frame.x, frame.y());
    let place = |p: [f64; 3]| {
        let d = truck_modeling::Point3::new(p[0], p[1], p[2]) - frame.origin;
        Point2::new(d.dot(x), d.dot(y))
    };
    let rings: Vec<Vec<u32>> = face.loops.iter().map(|uses| division.ring(uses)).collect();
    let chart = chart(&rings, &[], |v| place(mesh.positions[v as usize]))?;
    for triangle in inside(&chart) {
        mesh.triangles.push(if face.outside {
            triangle
        } else {
            flipped(triangle)
        });
    }
    Ok(())
}

/// The other orientation.
pub fn flipped([a, b, c]: [u32; 3]) -> [u32; 3] {
    [a, c, b]
}

/// Builds the chart of rings (constraints) and loose inner vertices.
///
/// # Errors
/// [`NotClosed`] when rings cross or coincide.
pub fn chart(
    rings: &[Vec<u32>],
    loose: &[u32],
    place: impl Fn(u32) -> Point2<f64>,
) -> Result<Chart, NotClosed> {
    let mut sites = Vec::new();
    let mut edges = Vec::new();
    for ring in rings {
        let first = sites.len();
        for (k, &id) in ring.iter().enumerate() {
            sites.push(site(id, place(id)));
            edges.push([first + k, first + (k + 1) % ring.len()]);
        }
    }
    sites.extend(loose.iter().map(|&id| site(id, place(id))));
    let mut clashes = 0;
    let chart = Chart::try_bulk_load_cdt(sites, edges, |_| clashes += 1)
        .map_err(|e| NotClosed(format!("outline cannot be meshed: {e}")))?;
    if clashes > 0 {
        return Err(NotClosed("an outline crosses itself".to_owned()));
    }
    Ok(chart)
}

fn site(id: u32, p: Point2<f64>) -> Site {
    // Below this size the triangulation refuses coordinates; they are zero to any cutter.
    let snap = |c: f64| if c.abs() < 1e-12 { 0.0 } else { c };
    Site {
        at: Point2::new(snap(p.x), snap(p.y)),
        id,
    }
}

/// Triangles inside the outer ring and outside the holes, counter-clockwise in the chart, in the
/// chart's own order: crossing a constraint changes sides.
pub fn inside(chart: &Chart) -> Vec<[u32; 3]> {
    let mut state: Vec<Option<bool>> = vec![None; chart.num_all_faces()];
    let mut queue: Vec<_> = chart
        .convex_hull()
        .filter_map(|e| Some((e.rev().face().as_inner()?.fix(), e.is_constraint_edge())))
        .collect();
    while let Some((face, inside)) = queue.pop() {
        if state[face.index()].is_some() {
            continue;
        }
        state[face.index()] = Some(inside);
        for edge in chart.face(face).adjacent_edges() {
            if let Some(next) = edge.rev().face().as_inner()
                && state[next.fix().index()].is_none()
            {
                queue.push((next.fix(), inside != edge.is_constraint_edge()));
            }
        }
    }
    chart
        .inner_faces()
        .filter(|f| state[f.fix().index()] == Some(true))
        .map(|f| f.vertices().map(|v| v.data().id))
        .collect()
}
