//! Drawings of one half in plan, 1:1 in mm, as DXF and SVG, one for each set-up.
//!
//! Guaranteed: lines, circle arcs and full circles stay what they are in the exact solid; splines
//! become polylines that keep within [`FLATTENED_WITHIN`] of them; closed lines are closed; the
//! origin is the section's datum; the same solid gives the same bytes. Not guaranteed: tool radius,
//! lead-ins or depths; a drawing says where the wood ends, not how to cut it.

mod contour;
mod dxf;
mod group;
mod layer;
mod loops;
mod number;
mod piece;
mod sheet;
mod stroke;
mod svg;

pub use contour::{Contour, Shape};
pub use layer::Layer;
pub use piece::Lying;
pub use stroke::{FLATTENED_WITHIN, Place, Stroke};

use crate::brep::set_up::SetUp;
use crate::brep::shape::{FaceKind, Half};

/// What a drawing says of its part.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Title {
    /// Name of the part, any text.
    pub part: String,
    /// A body for benches and tests: the drawing says that it is not for cutting.
    pub bench_only: bool,
}

/// A half in plan as one set-up sees it from above: x to the rear, the datum at the origin, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// The set-up.
    pub setup: SetUp,
    /// Of a section cut in one piece, which has no split face.
    pub whole: bool,
    /// Its lines, in the order of the layers.
    pub shapes: Vec<Shape>,
}

impl Drawing {
    /// The drawing of a half in its own frame, or of a whole section; tabs come from its held body.
    pub fn of(finished: &Half, held: Option<&Half>, setup: SetUp) -> Drawing {
        let mut shapes = loops::of_finished(finished);
        shapes.extend(held.into_iter().flat_map(loops::of_held));
        if setup == SetUp::InsideUp {
            shapes.iter_mut().for_each(Shape::turn);
        }
        shapes.sort_by_key(|s| s.layer);
        Drawing {
            setup,
            whole: !finished.kinds.contains(&FaceKind::SplitFace),
            shapes,
        }
    }

    /// Whether a shape lies on the side away from the cutter.
    pub fn is_far(&self, shape: &Shape) -> bool {
        shape.seen.is_some_and(|seen| seen != self.setup)
    }

    /// The drawing as DXF: R2000 ASCII, unit mm.
    pub fn dxf(&self, title: &Title) -> Vec<u8> {
        dxf::write(self, title)
    }

    /// The drawing as SVG 1.1, a unit of which is 1 mm.
    pub fn svg(&self, title: &Title) -> Vec<u8> {
        svg::write(self, title)
    }
}

#[cfg(test)]
mod tests;
