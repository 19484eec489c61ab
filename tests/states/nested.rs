//! A state takes wood away and adds none, and roughing keeps its allowance.

use limberwood::blank::{Kind, Layout};
use limberwood::brep::shape::{FaceKind, Half};
use limberwood::mesh::nearest::MeshTree;
use limberwood::mesh::{Mesh, tessellate};

use super::DEVIATION;
use super::designs::Case;

/// Wood that roughing leaves on a part at least, mm.
const ALLOWANCE: f64 = 0.5;
/// Distance of the upright lines along which pieces are compared, mm.
const PITCH: f64 = 1.3;

/// Triangles of a mesh by the cells of a grid in plan that their boxes touch.
struct Columns<'a> {
    mesh: &'a Mesh,
    across: usize,
    cells: Vec<Vec<u32>>,
}

impl<'a> Columns<'a> {
    fn of(mesh: &'a Mesh, size: [f64; 2]) -> Self {
        let count = size.map(|s| (s / PITCH).ceil() as usize + 1);
        let mut cells = vec![Vec::new(); count[0] * count[1]];
        for (number, t) in (0u32..).zip(&mesh.triangles) {
            let p = t.map(|i| mesh.positions[i as usize]);
            let span = |k: usize| {
                let low = p.iter().map(|c| c[k]).fold(f64::INFINITY, f64::min);
                let high = p.iter().map(|c| c[k]).fold(f64::NEG_INFINITY, f64::max);
                (low / PITCH).max(0.0) as usize..=((high / PITCH) as usize).min(count[k] - 1)
            };
            for i in span(0) {
                for j in span(1) {
                    cells[i * count[1] + j].push(number);
                }
            }
        }
        Columns {
            mesh,
            across: count[1],
            cells,
        }
    }

    /// Heights at which the upright line through a place of a cell goes through the mesh, in order.
    fn heights(&self, (i, j): (usize, usize), at: [f64; 2]) -> Vec<f64> {
        let mut all: Vec<f64> = self.cells[i * self.across + j]
            .iter()
            .filter_map(|&t| {
                let p = self.mesh.triangles[t as usize].map(|i| self.mesh.positions[i as usize]);
                let side = |a: [f64; 3], b: [f64; 3]| {
                    (b[0] - a[0]) * (at[1] - a[1]) - (b[1] - a[1]) * (at[0] - a[0])
                };
                let w = [side(p[1], p[2]), side(p[2], p[0]), side(p[0], p[1])];
                let sum: f64 = w.iter().sum();
                let within = w.iter().all(|x| *x > 0.0) || w.iter().all(|x| *x < 0.0);
                within.then(|| (0..3).map(|k| w[k] * p[k][2]).sum::<f64>() / sum)
            })
            .collect();
        all.sort_by(f64::total_cmp);
        all
    }
}

/// Every place of a later state is one of the state before it, up to twice the deviation of the meshes.
pub fn each_within_the_one_before(name: &str, layout: &Layout, meshes: &[Mesh]) {
    let columns: Vec<Columns<'_>> = meshes.iter().map(|m| Columns::of(m, layout.size)).collect();
    let trees: Vec<MeshTree> = meshes
        .iter()
        .map(|m| MeshTree::new(&m.positions, &m.triangles).unwrap())
        .collect();
    let [rows, across] = layout.size.map(|s| (s / PITCH) as usize);
    let mut lines = 0;
    for i in 0..rows {
        for j in 0..across {
            // Off the middle, where edges of the piece lie.
            let at = [(i as f64 + 0.437) * PITCH, (j as f64 + 0.589) * PITCH];
            if at[0] >= layout.size[0] || at[1] >= layout.size[1] {
                continue;
            }
            let heights: Vec<Vec<f64>> = columns.iter().map(|c| c.heights((i, j), at)).collect();
            for h in &heights {
                assert!(h.len() % 2 == 0, "{name}: {h:?} at {at:?}");
            }
            for later in 1..heights.len() {
                for run in heights[later].chunks(2) {
                    let held = |z: f64| {
                        let before = heights[later - 1].chunks(2);
                        let mut before = before.filter(|b| b[0] <= z && z <= b[1]);
                        before.next().is_some() || {
                            let near = trees[later - 1].nearest([at[0], at[1], z].into());
                            near.distance <= 2.0 * DEVIATION
                        }
                    };
                    for part in [0.0, 0.25, 0.5, 0.75, 1.0] {
                        let z = run[0] + part * (run[1] - run[0]);
                        assert!(held(z), "{name}: state {later} at {at:?}, height {z}");
                    }
                    lines += 1;
                }
            }
        }
    }
    assert!(lines > 1000, "{name}: {lines}");
}

/// No wood nearer to a finished part than the allowance is taken from outside; nearer to the face with
/// the split faces than the floor nothing is asked, since the groove lies there.
pub fn keeps_the_allowance(
    case: &Case,
    layout: &Layout,
    kind: &Kind,
    (solid, mesh): (&Half, &Mesh),
) {
    let rough = [FaceKind::RoughWall, FaceKind::RoughLevel];
    let own = |face: u32| rough.contains(&solid.kinds[face as usize]);
    let cut: Vec<[u32; 3]> = (mesh.triangles.iter().zip(&mesh.face))
        .filter(|(_, face)| own(**face))
        .map(|(t, _)| *t)
        .collect();
    let tree = MeshTree::new(&mesh.positions, &cut).unwrap();
    let mut least = f64::INFINITY;
    for placed in &kind.placed {
        let body = case.laid.body(placed.part, placed.side);
        let mesh = tessellate(body, DEVIATION).expect("it is meshed");
        for p in &mesh.positions {
            let [x, y] = placed.apply([p[0], p[1]]);
            let z = p[2] + case.laid.up(placed.part);
            least = least.min(tree.nearest([x, y, z].into()).distance);
        }
    }
    assert!(
        least > ALLOWANCE - DEVIATION && layout.size[0] > 0.0,
        "{}: {least}",
        case.name
    );
    // It is an allowance, and no block round the part.
    assert!(least < 3.0 * ALLOWANCE, "{}: {least}", case.name);
}
