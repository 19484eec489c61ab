//! No triangle written twice.
//!
//! Rule: no two triangles have the same three corners, either way round. Reason: the copy gives
//! its edges a third user, or, turned over, closes a pocket of no thickness.

use super::edges::{ALONE, Twins};
use super::finding::{Fault, Finding};
use super::weld::Welded;

/// Whether all partners of some triangle are one other triangle. When every edge is paired this
/// is the only way in which a triangle can be repeated, and quickly asked.
pub(super) fn has_pocket(twins: &Twins) -> bool {
    twins.0.chunks_exact(3).any(|halves| {
        let [a, b, c] = [halves[0] / 3, halves[1] / 3, halves[2] / 3];
        halves[0] != ALONE && a == b && b == c
    })
}

/// The copies: a mark for each triangle whose corners an earlier triangle has, and a finding
/// for each that names the first of them too.
pub(super) fn copies(mesh: &Welded) -> (Vec<bool>, Vec<Finding>) {
    let mut keys: Vec<([u32; 3], u32)> = (0..mesh.triangles.len())
        .map(|t| {
            let mut key = mesh.triangles[t];
            key.sort_unstable();
            (key, t as u32)
        })
        .collect();
    keys.sort_unstable();
    let mut copy = vec![false; mesh.triangles.len()];
    let mut findings = Vec::new();
    for same in keys.chunk_by(|a, b| a.0 == b.0) {
        let first = same[0].1 as usize;
        if mesh.is_pinched(first) {
            continue;
        }
        for &(_, t) in &same[1..] {
            copy[t as usize] = true;
            let pair = [mesh.source[first], mesh.source[t as usize]];
            let place = Some(mesh.place(mesh.triangles[first][0]));
            findings.push(Finding::new(Fault::Repeated, pair, place));
        }
    }
    (copy, findings)
}
