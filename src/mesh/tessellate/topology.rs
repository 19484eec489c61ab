//! A half's topology as plain indices, read once from truck.

use std::collections::HashMap;

use truck_modeling::Point3;

use crate::brep::NotClosed;
use crate::brep::shape::{Curve, EdgeId, Half, Surface};
use crate::brep::spline;
use crate::skin::patch::Patch;

/// One use of an edge by a loop.
#[derive(Debug, Clone, Copy)]
pub struct Use {
    /// Edge index.
    pub edge: usize,
    /// Whether the loop runs along the curve.
    pub forward: bool,
}

/// An edge: its curve runs from vertex `ends[0]` to `ends[1]`.
#[derive(Debug, Clone)]
pub struct EdgeData {
    /// Geometry.
    pub curve: Curve,
    /// Vertex indices.
    pub ends: [u32; 2],
}

/// A face with its loops, counter-clockwise from outside.
#[derive(Debug, Clone)]
pub struct FaceData {
    /// Geometry.
    pub surface: Surface,
    /// Whether the surface's normal points out of the solid.
    pub outside: bool,
    /// The outer loop first.
    pub loops: Vec<Vec<Use>>,
    /// The patch of a spline face, whole or in part.
    pub net: Option<Net>,
}

/// The patch that a spline face lies on.
#[derive(Debug, Clone)]
pub struct Net {
    /// Geometry.
    pub patch: Patch,
    /// Edges that are whole sides of the patch, in the order of the loops.
    pub borders: Vec<(usize, PatchSide)>,
}

impl FaceData {
    /// The patch of a face of one loop of four edges that are its sides, and which each is.
    pub fn whole(&self) -> Option<(&Patch, [PatchSide; 4])> {
        let net = self.net.as_ref()?;
        let [uses] = self.loops.as_slice() else {
            return None;
        };
        let sides: Vec<PatchSide> = net.borders.iter().map(|b| b.1).collect();
        let sides = sides.try_into().ok().filter(|_| uses.len() == 4)?;
        Some((&net.patch, sides))
    }

    /// The patch of a face that is a part of it.
    pub fn part(&self) -> Option<&Patch> {
        let net = self.net.as_ref()?;
        self.whole().is_none().then_some(&net.patch)
    }
}

/// A side of a patch: along u or v, at the first or last value of the other, and whether the
/// edge's curve runs with the parameter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct PatchSide {
    /// Runs along u.
    pub along_u: bool,
    /// At the last value of the other parameter.
    pub last: bool,
    /// Curve direction equals the parameter's.
    pub with: bool,
}

/// The whole half.
#[derive(Debug, Default)]
pub struct Topology {
    /// Vertex positions.
    pub points: Vec<[f64; 3]>,
    /// Edges.
    pub edges: Vec<EdgeData>,
    /// Faces in the solid's order.
    pub faces: Vec<FaceData>,
}

impl Topology {
    /// Reads a half.
    ///
    /// # Errors
    /// None at present: kept for faces that a later form may not allow.
    pub fn of(half: &Half) -> Result<Self, NotClosed> {
        let mut topology = Topology::default();
        let mut vertices = HashMap::new();
        let mut edges: HashMap<EdgeId, usize> = HashMap::new();
        for face in half.solid.face_iter() {
            let mut loops = Vec::new();
            for wire in face.boundaries() {
                let mut uses = Vec::new();
                for edge in wire.edge_iter() {
                    let forward = edge.orientation();
                    let index = *edges.entry(edge.id()).or_insert_with(|| {
                        let ends = [edge.absolute_front(), edge.absolute_back()].map(|v| {
                            *vertices.entry(v.id()).or_insert_with(|| {
                                topology.points.push(point(v.point()));
                                topology.points.len() as u32 - 1
                            })
                        });
                        topology.edges.push(EdgeData {
                            curve: edge.curve(),
                            ends,
                        });
                        topology.edges.len() - 1
                    });
                    uses.push(Use {
                        edge: index,
                        forward,
                    });
                }
                loops.push(uses);
            }
            let surface = face.surface();
            let net = match &surface {
                Surface::Spline(s) => {
                    let patch = spline::patch(s);
                    let borders = topology.borders(&patch, &loops);
                    Some(Net { patch, borders })
                }
                _ => None,
            };
            topology.faces.push(FaceData {
                surface,
                outside: face.orientation(),
                loops,
                net,
            });
        }
        Ok(topology)
    }

    /// The edges that are whole sides of the patch, by their end points, and which.
    fn borders(&self, patch: &Patch, loops: &[Vec<Use>]) -> Vec<(usize, PatchSide)> {
        let uses = loops.iter().flatten();
        uses.filter_map(|u| Some((u.edge, self.side(patch, u.edge)?)))
            .collect()
    }

    fn side(&self, patch: &Patch, edge: usize) -> Option<PatchSide> {
        let (nu, nv) = (patch.net.len() - 1, patch.weights.len() - 1);
        let corner = |u: bool, v: bool| patch.net[if u { nu } else { 0 }][if v { nv } else { 0 }];
        let near = |a: [f64; 3], b: [f64; 3]| (0..3).all(|c| (a[c] - b[c]).abs() < 1e-9);
        let [a, b] = self.edges[edge].ends.map(|v| self.points[v as usize]);
        [(true, false), (true, true), (false, false), (false, true)]
            .into_iter()
            .find_map(|(along_u, last)| {
                let (p, q) = if along_u {
                    (corner(false, last), corner(true, last))
                } else {
                    (corner(last, false), corner(last, true))
                };
                let with = near(a, p) && near(b, q);
                let against = near(a, q) && near(b, p);
                (with || against).then_some(PatchSide {
                    along_u,
                    last,
                    with,
                })
            })
    }
}

/// Coordinates of a truck point.
pub fn point(p: Point3) -> [f64; 3] {
    [p.x, p.y, p.z]
}
