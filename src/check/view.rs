//! Set-ups of the machine as the checks see them, and which faces are cut in which.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use crate::brep::set_up::SetUp;
use crate::brep::shape::{FaceKind, Half};
use crate::mesh::Mesh;

/// Triangles of a body as a set-up's cutter sees them: its axis is +z.
#[derive(Debug, Clone)]
pub(super) struct View {
    /// Corner positions, mm; z = 0 is the split plane still.
    pub positions: Vec<[f64; 3]>,
    /// Corners of each triangle.
    pub triangles: Vec<[u32; 3]>,
    /// Kind of face of each triangle.
    pub kinds: Vec<FaceKind>,
    /// Whether the triangle's face is cut in this set-up.
    pub own: Vec<bool>,
    /// Largest distance of the mesh from the exact faces, mm.
    pub deviation: f64,
    /// For each triangle those beyond its edges, once they were asked for.
    beyond: OnceLock<Vec<[Option<u32>; 3]>>,
}

/// Whether a body is cut in one piece from both sides: it has no split face.
fn whole(half: &Half) -> bool {
    !half.kinds.contains(&FaceKind::SplitFace)
}

/// Whether a face of a half is cut with the inside up. The underside of a tab is the floor of the
/// relief groove.
fn inside(kind: FaceKind) -> bool {
    use FaceKind::{
        Flare, GrooveFloor, GrooveWall, MarkFloor, MarkWall, PinChamfer, PinFloor, PinWall, Socket,
        SplitFace, TabUnderside,
    };
    matches!(
        kind,
        SplitFace
            | Socket
            | Flare
            | PinWall
            | PinFloor
            | PinChamfer
            | GrooveWall
            | GrooveFloor
            | MarkWall
            | MarkFloor
            | TabUnderside
    )
}

/// Whether a face is of a tab: the chisel takes it off, so it hides nothing.
pub(super) fn of_a_tab(kind: FaceKind) -> bool {
    matches!(
        kind,
        FaceKind::TabTop | FaceKind::TabUnderside | FaceKind::TabWall
    )
}

/// Of each triangle of a body's mesh, whether the first set-up cuts it.
pub fn cut_first(half: &Half, mesh: &Mesh) -> Vec<bool> {
    View::of(half, mesh, SetUp::InsideUp).own
}

impl View {
    /// For each triangle those beyond its three edges, from corner k to k + 1; nothing at an open
    /// edge.
    pub fn neighbours(&self) -> &[[Option<u32>; 3]] {
        self.beyond.get_or_init(|| self.beyond())
    }

    fn beyond(&self) -> Vec<[Option<u32>; 3]> {
        let mut first: BTreeMap<(u32, u32), (usize, usize)> = BTreeMap::new();
        let mut beyond = vec![[None; 3]; self.triangles.len()];
        for (number, t) in self.triangles.iter().enumerate() {
            for k in 0..3 {
                let (a, b) = (t[k], t[(k + 1) % 3]);
                let key = (a.min(b), a.max(b));
                match first.remove(&key) {
                    None => {
                        first.insert(key, (number, k));
                    }
                    Some((other, j)) => {
                        beyond[number][k] = Some(other as u32);
                        beyond[other][j] = Some(number as u32);
                    }
                }
            }
        }
        beyond
    }

    /// How far a neighbour's far corner stands over the plane of a triangle, mm: more than 0 in a
    /// hollow.
    pub fn over(&self, triangle: usize, neighbour: usize) -> Option<f64> {
        let (n, _) = normal_and_area(&self.corners(triangle))?;
        let own = self.triangles[triangle];
        let far = self.triangles[neighbour]
            .iter()
            .find(|c| !own.contains(c))?;
        let (p, q) = (
            self.positions[own[0] as usize],
            self.positions[*far as usize],
        );
        Some((0..3).map(|i| n[i] * (q[i] - p[i])).sum())
    }

    /// A body as `up` sees it. Of a whole section a triangle belongs to the side on which its
    /// middle lies.
    pub fn of(half: &Half, mesh: &Mesh, up: SetUp) -> View {
        let kinds = mesh.face.iter().map(|&f| half.kinds[f as usize]);
        View::of_kinds(kinds.collect(), whole(half), mesh, up)
    }

    /// The same from the kind of each triangle's face.
    pub fn of_kinds(kinds: Vec<FaceKind>, whole: bool, mesh: &Mesh, up: SetUp) -> View {
        let positions: Vec<[f64; 3]> = mesh.positions.iter().map(|&p| up.turn(p)).collect();
        let own = mesh.triangles.iter().zip(&kinds).map(|(t, &kind)| {
            if whole {
                t.iter().map(|&i| positions[i as usize][2]).sum::<f64>() > 0.0
            } else {
                inside(kind) == (up == SetUp::InsideUp)
            }
        });
        View {
            own: own.collect(),
            kinds,
            triangles: mesh.triangles.clone(),
            positions,
            deviation: mesh.deviation,
            beyond: OnceLock::new(),
        }
    }

    /// Corners of a triangle.
    pub fn corners(&self, triangle: usize) -> [[f64; 3]; 3] {
        self.triangles[triangle].map(|i| self.positions[i as usize])
    }
}

/// Unit normal of a triangle and its area; none of a triangle without area.
pub(super) fn normal_and_area([a, b, c]: &[[f64; 3]; 3]) -> Option<([f64; 3], f64)> {
    let u: [f64; 3] = std::array::from_fn(|k| b[k] - a[k]);
    let v: [f64; 3] = std::array::from_fn(|k| c[k] - a[k]);
    let n = [
        u[1] * v[2] - u[2] * v[1],
        u[2] * v[0] - u[0] * v[2],
        u[0] * v[1] - u[1] * v[0],
    ];
    let long = n.iter().map(|c| c * c).sum::<f64>().sqrt();
    (long > 1e-14).then(|| (n.map(|c| c / long), 0.5 * long))
}
