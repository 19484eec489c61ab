//! Joints that a design leaves to the program: `auto` becomes values.
//!
//! Of all joints that pass the checks the one with the widest swing is taken, up to the swing that
//! is written or else to the one beyond which warnings begin; of joints with that swing the one with
//! the smallest ball, which leaves the most wood round its socket. The neck is the thinnest that the
//! wood stands. Closed forms give the best neck and mouth for every ball diameter (`table`); the
//! design with such a joint in it is resolved and judged by the checks that read forms, with the
//! exact distances between features (`judge`), from the best diameter downwards (`search`).
//! Sizes are whole hundredths of a millimetre.

mod fill;
mod group;
mod judge;
mod search;
mod snippet;
mod table;
mod unfit;

pub use fill::{Filled, Solved, fill, resolved};
pub use snippet::{RULE, note, snippet};
