//! What people read on paper and on a screen: records become pages; nothing is computed here.

mod html;
mod page;
mod sheet;

pub use page::{
    CreaturePage, Measures, PackedMesh, PageDrawings, PageFinding, PageFit, PageJoint, PageLeft,
    PageMachine, PagePart, PagePin, is_page, left_sign,
};
pub use sheet::{Assembly, Gauge, PieceSheet, Rod, ShopSheet, StationRow, Step};
