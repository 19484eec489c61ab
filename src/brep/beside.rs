//! What lies beside the edges of a solid.

use std::collections::HashMap;

use super::shape::{Edge, EdgeId, FaceKind, Half};

/// The kinds of the faces beside each edge.
#[derive(Debug, Clone)]
pub struct Beside(HashMap<EdgeId, Vec<FaceKind>>);

impl Beside {
    /// Of all edges of a half.
    pub fn of(half: &Half) -> Self {
        let mut beside: HashMap<EdgeId, Vec<FaceKind>> = HashMap::new();
        for (face, kind) in half.solid.face_iter().zip(&half.kinds) {
            for edge in face.boundaries().iter().flat_map(|wire| wire.edge_iter()) {
                beside.entry(edge.id()).or_default().push(*kind);
            }
        }
        Beside(beside)
    }

    /// Whether a face of one of these kinds lies beside one of these edges.
    pub fn any(&self, edges: &[Edge], kinds: &[FaceKind]) -> bool {
        edges.iter().any(|e| {
            let found = self.0.get(&e.id());
            found.is_some_and(|found| found.iter().any(|k| kinds.contains(k)))
        })
    }
}
