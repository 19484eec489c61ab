//! No triangle without area.
//!
//! Rule: the corners of a triangle do not lie on one line. Reason: such a triangle has no
//! normal, and readers drop it and leave a crack. Decided exactly on the rounded coordinates;
//! a thin triangle with any area at all passes.

use super::exact::in_line;
use super::finding::{Fault, Finding};
use super::weld::Welded;

/// One finding for each triangle whose corners are in line or coincide.
pub(super) fn without_area(mesh: &Welded) -> Vec<Finding> {
    (0..mesh.triangles.len())
        .filter(|&t| mesh.is_pinched(t) || in_line(&mesh.at(t)))
        .map(|t| {
            let place = Some(mesh.place(mesh.triangles[t][0]));
            Finding::new(Fault::ZeroArea, [mesh.source[t]], place)
        })
        .collect()
}
