//! The heights of a set-up: stock, base, a plane to move over it, and the deepest cut.

use super::blanks::Laid;
use crate::blank::{Kind, Layout};
use crate::brep::set_up::SetUp;
use crate::chain::{EndJoint, Resolved, SectionForm};
use crate::export::blanks::Planes;

/// How far a cut through the stock goes into the base, mm (habit).
pub(super) const INTO_BASE: f64 = 0.2;
/// Wood of the base that stays under a dowel, mm (habit).
const UNDER_DOWEL: f64 = 2.0;
/// A cutter that moves over the stock keeps this above it, mm (habit).
const OVER: f64 = 10.0;
/// And this above the clamps, mm (habit).
const OVER_CLAMPS: f64 = 3.0;

/// How far the holes of the dowels go into the base, mm.
pub(super) fn into_base(resolved: &Resolved) -> f64 {
    (resolved.blank.base - UNDER_DOWEL).max(0.0)
}

/// How far under the zero of a set-up the parts of a piece are cut, mm, but for the holes of the dowels.
pub(super) fn deepest(resolved: &Resolved, laid: &Laid, kind: &Kind, set_up: SetUp) -> f64 {
    if set_up == SetUp::OutsideUp {
        return INTO_BASE;
    }
    let each = kind.placed.iter().map(|p| {
        let section = laid.parts[p.part].sections[0] - 1;
        let form = &resolved.creature.sections[section].form;
        laid.up(p.part) + inside_depth(form, resolved.relief)
    });
    each.fold(0.0, f64::max)
}

/// Deepest place under the split plane that is cut from the inside, mm.
fn inside_depth(form: &SectionForm, relief: f64) -> f64 {
    if form.whole {
        return 0.0;
    }
    let pins = form.pins.iter().map(|p| p.depth_above.max(p.depth_below));
    let sockets = [&form.front, &form.rear].map(|end| match end.joint {
        EndJoint::Socket(socket) => socket.radius,
        _ => 0.0,
    });
    pins.chain(sockets).fold(relief, f64::max)
}

/// Both set-ups of a piece, in their own poses: zero is the axis of the front dowel on the face of the
/// split faces.
pub(super) fn planes(
    resolved: &Resolved,
    laid: &Laid,
    (layout, kind): (&Layout, &Kind),
) -> [Planes; 2] {
    let thickness = layout.board.thickness;
    let [x, y] = layout.dowels[0].at;
    SetUp::BOTH.map(|set_up| {
        let inside = set_up == SetUp::InsideUp;
        // The flip is about the line along x through the dowels.
        let (bed, front) = match inside {
            true => (-thickness, y - layout.size[1]),
            false => (0.0, -y),
        };
        let top = bed + thickness;
        let low = [-x, front, bed];
        let size = [layout.size[0], layout.size[1], thickness];
        Planes {
            set_up: set_up.word(false),
            stock_mm: [low, [0, 1, 2].map(|k| low[k] + size[k])],
            top_mm: top,
            bed_mm: bed,
            safe_mm: top + OVER.max(resolved.blank.clamp_height + OVER_CLAMPS),
            deepest_mm: -deepest(resolved, laid, kind, set_up),
            dowel_holes_mm: inside.then(|| bed - into_base(resolved)),
        }
    })
}
