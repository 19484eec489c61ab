//! A design fitted to other stock: a thinner or thicker board, another shop, length, scale, dowel or
//! wood.
//!
//! Outlines, eyes, flats, plans of plates and balls scale. Clearance, rest gap, fillets, walls, rims,
//! thickness of plates, dowels, cutters, tabs and the rules of swing do not. Every candidate is the
//! text of a file that is based on the design; it is read, resolved and checked like any other, so
//! what was checked is what is written. A candidate passes when nothing stands open that does not
//! stand open in the design itself (`oracle`).
//!
//! Order of the search: nothing changes; heights alone are lowered (`highest`); all sections by one
//! scale; each as large as its board allows; each as large as its domed ends allow and lowered to the
//! board ([`Shape`]). For each of these the whole swing with larger balls, then blends of them with scaled
//! balls of less swing, among them large balls that give up some swing; and the dowel before thinner
//! ones. What neither joints nor pins have a part in ends a row of blends.

mod bench;
mod boards;
pub mod dowel;
mod joint;
mod nearest;
mod oracle;
mod plan;
mod search;
mod table;

pub use bench::{Bench, Refused, Wish};
pub use boards::Boards;
pub use plan::Shape;
pub use search::{Fit, Fitted, Target, Tried, refit};
pub use table::Change;

/// Whether a file was written here: such a file may be replaced.
#[must_use]
pub fn is_ours(bytes: &[u8]) -> bool {
    bytes.starts_with(plan::HEAD.as_bytes())
}
