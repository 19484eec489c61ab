//! Every edge has exactly two triangles, and they run along it in opposite directions.
//!
//! Rule: that. Reason: it is what closed and oriented mean; a slicer or toolpath program
//! otherwise guesses where the wood is. Triangles with two equal corners and copies of an
//! earlier triangle are left out of the count: they are findings of their own, and without
//! them the rest is judged as it would be.

use super::finding::{Fault, Finding};
use super::weld::Welded;

/// The half edge has no partner.
pub(super) const ALONE: u32 = u32::MAX;

/// Partner of each half edge; half edge 3 t + k runs from corner k of triangle t to the next.
#[derive(Debug, Clone)]
pub(super) struct Twins(pub(super) Vec<u32>);

/// A half edge under its lower corner: the upper corner, the half edge, and whether it runs
/// upward, packed so that one comparison of words sorts by them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Packed(u64);

impl Packed {
    fn new(upper: u32, half: u32, upward: bool) -> Packed {
        Packed(u64::from(upper) << 32 | u64::from(half) << 1 | u64::from(upward))
    }

    fn upper(self) -> u32 {
        (self.0 >> 32) as u32
    }

    fn half(self) -> u32 {
        (self.0 as u32) >> 1
    }

    fn upward(self) -> bool {
        self.0 & 1 == 1
    }
}

/// Pairs the half edges and reports every edge that is not a pair in opposite directions.
pub(super) fn pair_up(mesh: &Welded, left_out: impl Fn(usize) -> bool) -> (Twins, Vec<Finding>) {
    let mut twins = vec![ALONE; mesh.triangles.len() * 3];
    let mut findings = Vec::new();
    let (starts, mut halves) = by_lower_corner(mesh, left_out);
    for lower in 0..mesh.corners.len() {
        let own = &mut halves[starts[lower] as usize..starts[lower + 1] as usize];
        own.sort_unstable();
        for edge in own.chunk_by(|a, b| a.upper() == b.upper()) {
            if let [a, b] = edge
                && a.upward() != b.upward()
            {
                twins[a.half() as usize] = b.half();
                twins[b.half() as usize] = a.half();
            } else {
                findings.push(faulty(mesh, lower as u32, edge));
            }
        }
    }
    (Twins(twins), findings)
}

/// Half edges grouped by lower corner: group k is `halves[starts[k]..starts[k + 1]]`.
fn by_lower_corner(mesh: &Welded, left_out: impl Fn(usize) -> bool) -> (Vec<u32>, Vec<Packed>) {
    let kept = |t: usize| !(mesh.is_pinched(t) || left_out(t));
    let mut starts = vec![0u32; mesh.corners.len() + 1];
    for (t, triangle) in mesh.triangles.iter().enumerate() {
        if kept(t) {
            for k in 0..3 {
                starts[triangle[k].min(triangle[(k + 1) % 3]) as usize + 1] += 1;
            }
        }
    }
    for k in 1..starts.len() {
        starts[k] += starts[k - 1];
    }
    let mut next = starts.clone();
    let mut halves = vec![Packed(0); starts[starts.len() - 1] as usize];
    for (t, triangle) in mesh.triangles.iter().enumerate() {
        if kept(t) {
            for k in 0..3 {
                let (from, to) = (triangle[k], triangle[(k + 1) % 3]);
                let slot = &mut next[from.min(to) as usize];
                halves[*slot as usize] = Packed::new(from.max(to), (t * 3 + k) as u32, from < to);
                *slot += 1;
            }
        }
    }
    (starts, halves)
}

fn faulty(mesh: &Welded, lower: u32, edge: &[Packed]) -> Finding {
    let fault = match edge.len() {
        1 => Fault::OpenEdge,
        2 => Fault::OneWayEdge,
        uses => Fault::CrowdedEdge { uses: uses as u32 },
    };
    let triangles: Vec<u32> = edge
        .iter()
        .map(|h| mesh.source[h.half() as usize / 3])
        .collect();
    let place = Some(mesh.middle(lower, edge[0].upper()));
    Finding::new(fault, triangles, place)
}
