//! A second opinion on a finished mesh, by code that is not ours: truck-meshalgo's closedness and
//! volume.

use truck_meshalgo::prelude::{CalcVolume, Faces, PolygonMesh, StandardAttributes, Topology};
use truck_modeling::Point3;
use truck_topology::shell::ShellCondition;

use super::Mesh;

/// What truck-meshalgo says of a mesh.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SecondOpinion {
    /// Closed and oriented.
    pub closed: bool,
    /// Enclosed volume, mm3.
    pub volume: f64,
}

/// Asks truck-meshalgo.
pub fn second_opinion(mesh: &Mesh) -> SecondOpinion {
    let positions = mesh
        .positions
        .iter()
        .map(|p| Point3::new(p[0], p[1], p[2]))
        .collect();
    let faces = Faces::from_iter(mesh.triangles.iter().map(|t| t.map(|i| i as usize)));
    let polygon = PolygonMesh::new(
        StandardAttributes {
            positions,
            ..StandardAttributes::default()
        },
        faces,
    );
    SecondOpinion {
        closed: polygon.shell_condition() == ShellCondition::Closed,
        volume: polygon.volume(),
    }
}

impl Mesh {
    /// Area of all triangles, mm2.
    pub fn area(&self) -> f64 {
        let p = |i: u32| self.positions[i as usize];
        self.triangles
            .iter()
            .map(|t| {
                let (a, b, c) = (p(t[0]), p(t[1]), p(t[2]));
                let u = [0, 1, 2].map(|k| b[k] - a[k]);
                let v = [0, 1, 2].map(|k| c[k] - a[k]);
                let n = crate::skin::patch::cross(u, v);
                0.5 * (n[0] * n[0] + n[1] * n[1] + n[2] * n[2]).sqrt()
            })
            .sum()
    }
}
