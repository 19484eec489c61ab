//! What people read on paper and on a screen: records become pages; nothing is computed here.

mod html;
mod page;
mod sheet;
mod trial;

pub use page::{
    CreaturePage, PackedMesh, PageDrawings, PageFinding, PageJoint, PagePart, PagePin, is_page,
};
pub use sheet::{Assembly, Gauge, PieceSheet, Rod, ShopSheet, StationRow, Step};
pub use trial::TrialSheet;
