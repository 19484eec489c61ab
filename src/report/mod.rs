//! What people read on paper and on a screen: records become pages; nothing is computed here.

mod html;
mod page;
mod sheet;
mod sheet_tables;
mod trial;

pub use page::{
    CreaturePage, LiveFault, Measures, PackedMesh, PageDrawings, PageFinding, PageFit, PageJoint,
    PageLeft, PageMachine, PagePart, PagePin, is_page, left_sign, live_waiting,
};
pub use sheet::{Assembly, FlipRow, Gauge, PieceSheet, Rod, ShopSheet, StationRow, Step};
pub use trial::TrialSheet;
