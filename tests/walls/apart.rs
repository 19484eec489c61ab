//! Whether the place of a ligament is a wall at all, from the mesh alone.

use limberwood::clear::half::Ligament;
use limberwood::mesh::Mesh;
use limberwood::mesh::nearest::nearest_on_triangle;

/// Why a ligament is no wall.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum No {
    /// Its faces do not look away from each other.
    LooksAway,
    /// It lies beside an edge or corner that both faces share.
    SharedEdge,
    /// Another face lies between.
    Between,
}

/// Cosine of the angle from which faces may count as not looking away: 120 degrees and 6 for what
/// facets turn.
const AWAY: f64 = -0.588;
/// How far the place of a ligament, known by its middle, may be off, mm.
const OFF: f64 = 0.05;

type V = [f64; 3];

fn minus(a: V, b: V) -> V {
    [0, 1, 2].map(|k| a[k] - b[k])
}

fn dot(a: V, b: V) -> f64 {
    (0..3).map(|k| a[k] * b[k]).sum()
}

fn length(a: V) -> f64 {
    dot(a, a).sqrt()
}

fn unit_normal([a, b, c]: &[V; 3]) -> V {
    let (u, v) = (minus(*b, *a), minus(*c, *a));
    let n = [
        u[1] * v[2] - u[2] * v[1],
        u[2] * v[0] - u[0] * v[2],
        u[0] * v[1] - u[1] * v[0],
    ];
    n.map(|x| x / length(n))
}

/// Triangles and corners of each face.
pub struct Sheets {
    triangles: Vec<Vec<[V; 3]>>,
    corners: Vec<Vec<u32>>,
    positions: Vec<V>,
}

impl Sheets {
    pub fn of(mesh: &Mesh, faces: usize) -> Sheets {
        let mut sheets = Sheets {
            triangles: vec![Vec::new(); faces],
            corners: vec![Vec::new(); faces],
            positions: mesh.positions.clone(),
        };
        for (t, face) in mesh.triangles.iter().zip(&mesh.face) {
            let corners = t.map(|i| mesh.positions[i as usize]);
            sheets.triangles[*face as usize].push(corners);
            sheets.corners[*face as usize].extend(t);
        }
        for corners in &mut sheets.corners {
            corners.sort_unstable();
            corners.dedup();
        }
        sheets
    }

    /// Nearest point of some faces, its face, and the normals of all triangles there.
    fn nearest(&self, faces: &[usize], p: V) -> (V, usize, Vec<V>) {
        let mut best = (f64::INFINITY, p, 0);
        for face in faces {
            for t in &self.triangles[*face] {
                let q = nearest_on_triangle(p, t);
                let off = length(minus(p, q));
                if off < best.0 {
                    best = (off, q, *face);
                }
            }
        }
        let near = |t: &&[V; 3]| length(minus(nearest_on_triangle(best.1, t), best.1)) < OFF;
        let there = self.triangles[best.2].iter().filter(near);
        (best.1, best.2, there.map(unit_normal).collect())
    }

    /// Corners of the mesh that both faces have.
    fn shared(&self, a: usize, b: usize) -> impl Iterator<Item = V> {
        let own = self.corners[a].iter();
        own.filter(move |i| self.corners[b].binary_search(i).is_ok())
            .map(|i| self.positions[*i as usize])
    }

    /// Why there is no wall at a ligament between some faces and others; none when there is one.
    pub fn no_wall(&self, of: &Ligament, sides: [&[usize]; 2], limit: f64) -> Option<No> {
        let [(p, a, ours), (q, b, theirs)] = sides.map(|faces| self.nearest(faces, of.at));
        let looks_away = ours
            .iter()
            .any(|m| theirs.iter().any(|n| dot(*m, *n) < AWAY));
        if !looks_away {
            return Some(No::LooksAway);
        }
        // Corners lie along an edge up to a chord of the deviation apart; edges are looked at as
        // corners in a margin.
        let beside = |c: V| length(minus(c, p)).min(length(minus(c, q))) < limit + 0.5;
        if self.shared(a, b).any(beside) {
            return Some(No::SharedEdge);
        }
        let others: Vec<usize> = (0..self.triangles.len())
            .filter(|f| !sides[0].contains(f) && !sides[1].contains(f))
            .collect();
        let (r, ..) = self.nearest(&others, of.at);
        let half = 0.5 * of.gap;
        (length(minus(r, of.at)) < half - OFF).then_some(No::Between)
    }
}
