//! A piece of stock with its parts after the last pass: windows cut through, every part held by its
//! tabs, dowel holes. The shells of the held halves are sewn into the walls of their windows.
//!
//! Frame of the piece: x along the grain, z = 0 the face with the split faces, z up into the wood.

use truck_modeling::{InnerSpace, Point3, Vector3};

use super::pocket::{Bands, band, ring, wall};
use super::pose::{Pose, posed};
use super::sanding;
use super::shape::{Edge, Face, FaceKind, Half, Surface, Vertex};
use super::weave::{NotClosed, Weave, frame, line, vertex};
use crate::skin::MODEL_TOLERANCE;
use crate::skin::plan::{Corner, Way};

/// A held body in its place.
#[derive(Debug, Clone, Copy)]
pub struct Inlay<'a> {
    /// The body with tabs that end on the window's straight runs.
    pub body: &'a Half,
    /// From its own frame onto the piece; turned about z only.
    pub pose: Pose,
    /// Border of the window in the body's own frame, counter-clockwise.
    pub window: &'a [Corner],
    /// Wood between the split plane and the face of the stock, that sanding takes away, mm.
    pub sanding: f64,
}

/// A round hole through the stock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Through {
    /// Centre, mm.
    pub at: [f64; 2],
    /// Radius, mm.
    pub radius: f64,
}

/// Length, width and thickness of the stock, mm.
pub type Size = [f64; 3];

/// The piece with its parts held by their tabs.
///
/// # Errors
/// [`NotClosed`] when a tab does not end on its window, or a part has none: a fault of the caller.
pub fn finished(size: Size, inlays: &[Inlay<'_>], holes: &[Through]) -> Result<Half, NotClosed> {
    let mut weave = Weave::default();
    let mut low = Vec::new();
    let mut high = Vec::new();
    for inlay in inlays {
        let bridges = part(&mut weave, inlay)?;
        let border: Vec<Corner> = inlay.window.iter().map(|c| moved(c, inlay.pose)).collect();
        let rings = opening(&mut weave, FaceKind::WindowWall, &border, size[2], bridges)?;
        low.push(rings.0);
        high.push(rings.1);
    }
    holed(weave, size, holes, (low, high))
}

/// The stock with holes for dowels round what is in the weave already; `rings` are those of openings on
/// its two faces.
///
/// # Errors
/// [`NotClosed`] on a fault of topology.
pub(super) fn holed(
    mut weave: Weave,
    size: Size,
    holes: &[Through],
    (mut low, mut high): (Vec<Vec<Edge>>, Vec<Vec<Edge>>),
) -> Result<Half, NotClosed> {
    for hole in holes {
        let kind = FaceKind::DowelWall;
        let rings = opening(&mut weave, kind, &circle(hole), size[2], Vec::new())?;
        low.push(rings.0);
        high.push(rings.1);
    }
    stock(&mut weave, size, low, high)?;
    weave.finish()
}

/// Corners of a circle of two arcs.
fn circle(hole: &Through) -> Vec<Corner> {
    let way = Way::Left {
        centre: hole.at,
        radius: hole.radius,
    };
    [1.0, -1.0]
        .map(|s| Corner {
            at: [hole.at[0] + s * hole.radius, hole.at[1]],
            way,
        })
        .to_vec()
}

/// A corner of an outline in another pose.
pub(super) fn moved(corner: &Corner, pose: Pose) -> Corner {
    let plan = |p: [f64; 2]| {
        let q = pose.apply([p[0], p[1], 0.0]);
        [q[0], q[1]]
    };
    let way = match corner.way {
        Way::Line => Way::Line,
        Way::Left { centre, radius } => Way::Left {
            centre: plan(centre),
            radius,
        },
        Way::Right { centre, radius } => Way::Right {
            centre: plan(centre),
            radius,
        },
    };
    Corner {
        at: plan(corner.at),
        way,
    }
}

/// Adds all faces of a part but the ends of its tabs; returns their loops.
fn part(weave: &mut Weave, inlay: &Inlay<'_>) -> Result<Vec<Bridge>, NotClosed> {
    let body = posed(inlay.body, inlay.pose);
    let border: Vec<Corner> = inlay.window.iter().map(|c| moved(c, inlay.pose)).collect();
    let mut ends: Vec<Vec<Face>> = vec![Vec::new(); border.len()];
    for (face, kind) in body.solid.face_iter().zip(&body.kinds) {
        let on = match kind {
            FaceKind::TabWall => run_under(face, &border),
            _ => None,
        };
        match (on, kind) {
            (Some(run), _) => ends[run].push(face.clone()),
            (None, FaceKind::SplitFace) if inlay.sanding > 0.0 => {
                sanding::lower(weave, face, inlay.sanding)?;
            }
            (None, kind) => weave.take(face.clone(), *kind),
        }
    }
    let bridges: Vec<Bridge> = ends
        .into_iter()
        .enumerate()
        .flat_map(|(run, faces)| {
            loops(&faces)
                .into_iter()
                .map(move |edges| Bridge { run, edges })
        })
        .collect();
    if bridges.is_empty() {
        return Err(NotClosed("a part that no tab holds".to_owned()));
    }
    Ok(bridges)
}

/// Where a tab meets the wall of its window.
struct Bridge {
    /// Number of the straight run.
    run: usize,
    /// Border of the tab's end.
    edges: Vec<Edge>,
}

/// The straight run on whose wall a face lies, if it does.
fn run_under(face: &Face, border: &[Corner]) -> Option<usize> {
    let corners: Vec<Point3> = face
        .boundaries()
        .iter()
        .flat_map(|w| w.vertex_iter().map(|v| v.point()).collect::<Vec<_>>())
        .collect();
    (0..border.len()).find(|&k| {
        let (p, q) = (border[k].at, border[(k + 1) % border.len()].at);
        let along = [q[0] - p[0], q[1] - p[1]];
        let length = along[0].hypot(along[1]);
        let off = |c: &Point3| ((c.x - p[0]) * along[1] - (c.y - p[1]) * along[0]).abs() / length;
        border[k].way == Way::Line && corners.iter().all(|c| off(c) < MODEL_TOLERANCE)
    })
}

/// Borders of faces that lie side by side: edges between two of them drop out.
fn loops(faces: &[Face]) -> Vec<Vec<Edge>> {
    let mut edges: Vec<Edge> = Vec::new();
    for edge in faces
        .iter()
        .flat_map(|f| f.boundaries())
        .flat_map(|w| w.edge_iter().cloned().collect::<Vec<_>>())
    {
        match edges.iter().position(|e| e.id() == edge.id()) {
            Some(twice) => drop(edges.remove(twice)),
            None => edges.push(edge),
        }
    }
    let mut all = Vec::new();
    while !edges.is_empty() {
        let mut own = vec![edges.remove(0)];
        while let Some(next) = edges
            .iter()
            .position(|e| own.last().is_some_and(|last| last.back() == e.front()))
        {
            own.push(edges.remove(next));
        }
        all.push(own);
    }
    all
}

/// Walls of an opening through the whole stock, with the ends of tabs left out; returns its rings on
/// the face of the split faces and on the other one, both counter-clockwise from above.
fn opening(
    weave: &mut Weave,
    kind: FaceKind,
    border: &[Corner],
    thickness: f64,
    bridges: Vec<Bridge>,
) -> Result<(Vec<Edge>, Vec<Edge>), NotClosed> {
    let (low, high) = (ring(border, 0.0), ring(border, thickness));
    let mut holes: Bands = vec![Vec::new(); border.len()];
    for bridge in bridges {
        holes[bridge.run].push(bridge.edges);
    }
    band(weave, kind, (&low, &high), holes, |edge, k| {
        wall(edge, &border[k].way)
    })?;
    Ok((low, high))
}

/// The six sides of the stock.
fn stock(
    weave: &mut Weave,
    [length, width, thickness]: Size,
    low: Vec<Vec<Edge>>,
    high: Vec<Vec<Edge>>,
) -> Result<(), NotClosed> {
    let plan = [[0.0, 0.0], [length, 0.0], [length, width], [0.0, width]];
    let level = |z: f64| plan.map(|[x, y]| vertex(Point3::new(x, y, z)));
    let (foot, top): ([Vertex; 4], [Vertex; 4]) = (level(0.0), level(thickness));
    let round = |v: &[Vertex; 4]| [0, 1, 2, 3].map(|k: usize| line(&v[k], &v[(k + 1) % 4]));
    let (under, over) = (round(&foot), round(&top));
    let up = [0, 1, 2, 3].map(|k: usize| line(&foot[k], &top[k]));
    for k in 0..4 {
        let next = (k + 1) % 4;
        let along = under[k].back().point() - under[k].front().point();
        let out = along.cross(Vector3::unit_z()).normalize();
        let edges = vec![
            under[k].clone(),
            up[next].clone(),
            over[k].inverse(),
            up[k].inverse(),
        ];
        let plane = Surface::Plane(frame(foot[k].point(), out, along));
        weave.face(FaceKind::StockSide, plane, true, vec![edges])?;
    }
    let down = frame(foot[0].point(), -Vector3::unit_z(), Vector3::unit_x());
    let border = under.iter().rev().map(Edge::inverse).collect();
    let loops = std::iter::once(border).chain(low).collect();
    weave.face(FaceKind::StockFace, Surface::Plane(down), true, loops)?;
    let above = frame(top[0].point(), Vector3::unit_z(), Vector3::unit_x());
    let turned = |ring: Vec<Edge>| ring.iter().rev().map(Edge::inverse).collect();
    let loops = std::iter::once(over.to_vec()).chain(high.into_iter().map(turned));
    weave.face(
        FaceKind::StockFace,
        Surface::Plane(above),
        true,
        loops.collect(),
    )
}
