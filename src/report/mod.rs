//! What people read on paper and on a screen: records become pages; nothing is computed here.

mod html;
mod sheet;

pub use sheet::{Assembly, Gauge, PieceSheet, Rod, ShopSheet, StationRow, Step};
