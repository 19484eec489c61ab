//! Putting faces together over truck's topology: one edge per curve, faces by their outside.

use truck_modeling::{InnerSpace, Point3, Vector3};

use super::shape::{
    Arc, Curve, Edge, Face, FaceKind, Frame, Half, Shell, Solid, Surface, Vertex, Wire,
};

/// Collects the faces of one solid.
#[derive(Default)]
pub struct Weave {
    faces: Vec<Face>,
    kinds: Vec<FaceKind>,
}

/// A fault of topology: the faces do not close to one solid. A closed form has missed a case.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotClosed(pub String);

impl Weave {
    /// Adds a face. The first loop is the outer one; every loop runs counter-clockwise seen from
    /// outside the solid (holes clockwise). `outside` says whether the surface's normal points out.
    ///
    /// # Errors
    /// [`NotClosed`] when a loop does not close.
    pub fn face(
        &mut self,
        kind: FaceKind,
        surface: Surface,
        outside: bool,
        loops: Vec<Vec<Edge>>,
    ) -> Result<(), NotClosed> {
        let wires = loops.into_iter().map(|edges| {
            let wire: Wire = edges.into_iter().collect();
            if outside { wire } else { wire.inverse() }
        });
        let mut face = Face::try_new(wires.collect(), surface)
            .map_err(|e| NotClosed(format!("{kind:?}: {e}")))?;
        if !outside {
            face.invert();
        }
        self.faces.push(face);
        self.kinds.push(kind);
        Ok(())
    }

    /// Adds a face as it is.
    pub fn take(&mut self, face: Face, kind: FaceKind) {
        self.faces.push(face);
        self.kinds.push(kind);
    }

    /// The finished half.
    ///
    /// # Errors
    /// [`NotClosed`] when the faces do not bound one solid.
    pub fn finish(self) -> Result<Half, NotClosed> {
        let shell: Shell = self.faces.into_iter().collect();
        let solid = Solid::try_new(vec![shell]).map_err(|e| NotClosed(e.to_string()))?;
        Ok(Half {
            solid,
            kinds: self.kinds,
        })
    }
}

/// A vertex at a point.
pub fn vertex(p: Point3) -> Vertex {
    Vertex::new(p)
}

/// A straight edge.
pub fn line(a: &Vertex, b: &Vertex) -> Edge {
    Edge::new(a, b, Curve::Line(a.point(), b.point()))
}

/// A circle arc from a to b about `centre`, turning right-handed about the unit `axis`, by less
/// than a full turn.
pub fn arc(a: &Vertex, b: &Vertex, centre: Point3, axis: Vector3) -> Edge {
    let start = a.point() - centre;
    let across = axis.cross(start);
    let end = b.point() - centre;
    let angle = end.dot(across).atan2(end.dot(start));
    let sweep = if angle <= 0.0 {
        angle + std::f64::consts::TAU
    } else {
        angle
    };
    Edge::new(
        a,
        b,
        Curve::Arc(Arc {
            centre,
            a: start,
            b: across,
            range: (0.0, sweep),
        }),
    )
}

/// A frame from its origin, z axis and a vector near its x axis.
pub fn frame(origin: Point3, z: Vector3, near_x: Vector3) -> Frame {
    let z = z.normalize();
    Frame {
        origin,
        x: (near_x - z * near_x.dot(z)).normalize(),
        z,
    }
}
