//! Round every corner the triangles form one fan; and how many bodies there are.
//!
//! Rule: the triangles of a corner are joined edge to edge into one ring. Reason: two bodies
//! that touch in a point, or a body that touches itself, cannot be cut or filled there. Asked
//! only of meshes whose edges are all paired.

use super::edges::{ALONE, Twins};
use super::finding::{Fault, Finding};
use super::weld::Welded;

/// One finding for each corner with more than one ring, naming a triangle of each ring.
pub(super) fn pinched(mesh: &Welded, twins: &Twins) -> Vec<Finding> {
    let halves = twins.0.len();
    let mut seen = vec![false; halves];
    // Triangle of the first ring met at each corner, and the corners where another was met.
    let mut first = vec![ALONE; mesh.corners.len()];
    let mut again: Vec<(u32, u32)> = Vec::new();
    for start in 0..halves {
        if seen[start] || twins.0[start] == ALONE {
            continue;
        }
        let mut half = start;
        while half < halves && !seen[half] {
            seen[half] = true;
            // Back along the triangle, then across: the next half edge out of this corner.
            half = twins.0[half - half % 3 + (half % 3 + 2) % 3] as usize;
        }
        let corner = mesh.triangles[start / 3][start % 3];
        let triangle = mesh.source[start / 3];
        match first[corner as usize] {
            ALONE => first[corner as usize] = triangle,
            _ => again.push((corner, triangle)),
        }
    }
    again.sort_unstable();
    again
        .chunk_by(|a, b| a.0 == b.0)
        .map(|rings| {
            let corner = rings[0].0;
            let mut triangles = vec![first[corner as usize]];
            triangles.extend(rings.iter().map(|r| r.1));
            Finding::new(Fault::PinchedCorner, triangles, Some(mesh.place(corner)))
        })
        .collect()
}

/// Number of pieces joined edge to edge; triangles without any partner are not counted.
pub(super) fn shells(twins: &Twins) -> usize {
    let neighbours: Vec<[u32; 3]> = twins
        .0
        .chunks_exact(3)
        .map(|halves| std::array::from_fn(|k| halves[k]))
        .collect();
    let mut seen = vec![false; neighbours.len()];
    let mut stack = Vec::new();
    let mut count = 0;
    for start in 0..neighbours.len() {
        if seen[start] || neighbours[start] == [ALONE; 3] {
            continue;
        }
        count += 1;
        seen[start] = true;
        stack.push(start);
        while let Some(t) = stack.pop() {
            for half in neighbours[t].into_iter().filter(|&h| h != ALONE) {
                let next = half as usize / 3;
                if !std::mem::replace(&mut seen[next], true) {
                    stack.push(next);
                }
            }
        }
    }
    count
}
