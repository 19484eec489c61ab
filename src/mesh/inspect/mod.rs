//! Is a triangle mesh, exactly as written to STL, the surface of one piece of wood?
//!
//! Guaranteed, when [`inspect`] returns no finding: after corners with equal float32 numbers
//! are taken as one corner (a reader of STL can do no better),
//! - every edge has exactly two triangles, which run along it in opposite directions;
//! - every triangle has area, and no triangle is written twice;
//! - round every corner the triangles form one ring;
//! - the enclosed volume is positive;
//! - no two triangles have anything in common but a common corner or a common edge.
//!
//! All but the volume are decided exactly, with no tolerance: touching is meeting, and a gap of
//! one last bit is none. The volume is compared with a bound of its own rounding error. Each
//! pair of triangles is decided: without a common corner, with one, and with two.
//!
//! Not decided: that there is one body only (see [`Inspection::shells`]), nor whether a second
//! shell is a hollow or stands apart or is inside out; walls that are thin but do not touch;
//! distance from the exact surface; meetings of a triangle without area, which is a finding
//! already. Rings are asked for, and the volume, only when all edges are paired.

mod area;
mod corners;
mod edges;
mod exact;
mod finding;
mod meetings;
mod pair;
mod repeated;
mod segment;
mod volume;
mod weld;

#[cfg(test)]
mod bodies;
#[cfg(test)]
mod tests;

pub use finding::{Fault, Finding, Meeting, Way};

use weld::Welded;

/// Most meetings listed. A mesh with more is lost, and two bodies laid one into the other have
/// millions; the number is a habit.
const MOST_MEETINGS: usize = 1000;

/// What was found, and what was measured on the way.
#[derive(Debug, Clone, PartialEq)]
pub struct Inspection {
    /// All findings, by kind, then by triangle; the same mesh gives the same list. Meetings
    /// beyond the first 1000 found are not listed.
    pub findings: Vec<Finding>,
    /// Whether every meeting is listed.
    pub complete: bool,
    /// Signed volume, mm^3; means something only without edge findings.
    pub volume: f64,
    /// Pieces joined edge to edge.
    pub shells: usize,
    /// Corners after welding.
    pub corners: usize,
}

impl Inspection {
    /// Whether the mesh keeps every rule.
    pub fn is_sound(&self) -> bool {
        self.findings.is_empty()
    }
}

/// Inspects a mesh: `positions` in mm as they will be written, `triangles` as numbers of
/// positions, counter-clockwise seen from outside. Any input is accepted; what is wrong with it
/// is a finding.
pub fn inspect(positions: &[[f32; 3]], triangles: &[[u32; 3]]) -> Inspection {
    let mut findings = Vec::new();
    let mesh = Welded::new(positions, triangles, &mut findings);

    let flat = area::without_area(&mesh);
    let (mut twins, mut edges) = edges::pair_up(&mesh, |_| false);
    if !edges.is_empty() || repeated::has_pocket(&twins) {
        let (copy, repeated) = repeated::copies(&mesh);
        (twins, edges) = edges::pair_up(&mesh, |t| copy[t]);
        findings.extend(repeated);
    }
    let (volume, error) = volume::enclosed(&mesh);
    let closed = edges.is_empty();

    let mut no_area = vec![false; triangles.len()];
    for finding in &flat {
        no_area[finding.triangles[0] as usize] = true;
    }
    let left_out = |t: usize| no_area[mesh.source[t] as usize];
    let (meetings, complete) = meetings::meetings(&mesh, left_out, MOST_MEETINGS);

    findings.extend(flat);
    findings.extend(edges);
    if closed {
        findings.extend(corners::pinched(&mesh, &twins));
        findings.extend(volume::not_positive(volume, error));
    }
    findings.extend(meetings);
    findings.sort_by(|a, b| {
        let rank = a.fault.rank().cmp(&b.fault.rank());
        rank.then_with(|| a.triangles.cmp(&b.triangles))
    });
    Inspection {
        findings,
        complete,
        volume,
        shells: corners::shells(&twins),
        corners: mesh.corners.len(),
    }
}
