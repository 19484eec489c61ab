//! Vertices, edges, faces and the shell as records (ISO 10303-42).

use super::part21::Id;
use super::shapes::Shapes;
use super::sphere;
use crate::brep::shape::{Curve, Edge, Face, FaceKind, Half, Surface, Vertex, Wire, label};
use std::collections::HashMap;
use truck_modeling::Point3;
use truck_topology::{EdgeID, VertexID};

/// The faces of a half as written, with what each is for.
pub(super) struct Written {
    pub(super) solid: Id,
    pub(super) faces: Vec<(FaceKind, Id)>,
}

/// Which vertices and edges stand already, so that two faces share theirs.
struct Topology<'a, 'b> {
    shapes: &'b mut Shapes<'a>,
    vertices: HashMap<VertexID<Point3>, Id>,
    edges: HashMap<EdgeID<Curve>, Id>,
}

/// Writes the solid of a half: one shell, as [`Half`] states.
pub(super) fn solid(shapes: &mut Shapes, name: &str, half: &Half) -> Written {
    let mut topology = Topology {
        shapes,
        vertices: HashMap::new(),
        edges: HashMap::new(),
    };
    let faces: Vec<(FaceKind, Id)> = half
        .solid
        .face_iter()
        .zip(&half.kinds)
        .map(|(face, &kind)| (kind, topology.face(label(kind), face)))
        .collect();
    let ids: Vec<Id> = faces.iter().map(|face| face.1).collect();
    let shell = shapes.p.add("CLOSED_SHELL", |r| {
        r.text("").ids(&ids);
    });
    let solid = shapes.p.add("MANIFOLD_SOLID_BREP", |r| {
        r.text(name).id(shell);
    });
    Written { solid, faces }
}

impl Topology<'_, '_> {
    /// truck gives the wires of a turned face turned with it, so they run round the face's own
    /// normal, as the bounds of an ADVANCED_FACE do; same_sense says whether that is the
    /// surface's normal too.
    fn face(&mut self, name: &str, face: &Face) -> Id {
        let surface = match face.surface() {
            Surface::Sphere { frame, radius } => Surface::Sphere {
                frame: sphere::frame(face, frame, radius),
                radius,
            },
            other => other,
        };
        let surface = self.shapes.surface(&surface);
        let bounds: Vec<Id> = face
            .boundaries()
            .iter()
            .enumerate()
            .map(|(i, wire)| self.bound(i == 0, wire))
            .collect();
        self.shapes.p.add("ADVANCED_FACE", |r| {
            r.text(name).ids(&bounds).id(surface);
            r.flag(face.orientation());
        })
    }

    fn bound(&mut self, outer: bool, wire: &Wire) -> Id {
        let edges: Vec<Id> = wire.edge_iter().map(|e| self.oriented_edge(e)).collect();
        let edge_loop = self.shapes.p.add("EDGE_LOOP", |r| {
            r.text("").ids(&edges);
        });
        let keyword = if outer {
            "FACE_OUTER_BOUND"
        } else {
            "FACE_BOUND"
        };
        self.shapes.p.add(keyword, |r| {
            r.text("").id(edge_loop).flag(true);
        })
    }

    fn oriented_edge(&mut self, edge: &Edge) -> Id {
        let curve = self.edge(edge);
        self.shapes.p.add("ORIENTED_EDGE", |r| {
            r.text("").derived().derived().id(curve);
            r.flag(edge.orientation());
        })
    }

    fn edge(&mut self, edge: &Edge) -> Id {
        if let Some(id) = self.edges.get(&edge.id()) {
            return *id;
        }
        let (from, to) = (
            self.vertex(edge.absolute_front()),
            self.vertex(edge.absolute_back()),
        );
        let curve = self.shapes.curve(&edge.curve());
        let id = self.shapes.p.add("EDGE_CURVE", |r| {
            r.text("").id(from).id(to).id(curve).flag(true);
        });
        self.edges.insert(edge.id(), id);
        id
    }

    fn vertex(&mut self, vertex: &Vertex) -> Id {
        if let Some(id) = self.vertices.get(&vertex.id()) {
            return *id;
        }
        let point = self.shapes.point(vertex.point());
        let id = self.shapes.p.add("VERTEX_POINT", |r| {
            r.text("").id(point);
        });
        self.vertices.insert(vertex.id(), id);
        id
    }
}
