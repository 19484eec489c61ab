//! Reach: what real cutters leave on a surface that they see from above.
//!
//! The surface is a map of heights over square cells. A cutter's tip can stand as low as no part
//! of the cutter cuts into the map: the grey dilation of the map by the cutter turned over. What
//! is left when it has been everywhere is the grey erosion of these tip heights by the cutter:
//! together a closing (textbook form of mathematical morphology, from memory). Left over =
//! closing - map, never negative but for rounding in 32-bit numbers, some 1e-6 mm.
//!
//! Guaranteed: heights at the cells' middles, for the cutter sampled at cell offsets. Not
//! guaranteed: what lies between the middles; steep walls fall between two cells.
//!
//! So a map gives volumes ([`leftover()`] takes two pitches, and finer ones over a limit), and depths come from single places
//! with exact tip heights over the mesh (`drop.rs`, `point.rs`), where an upright wall is where it
//! is. Of single features the closed forms tell (`task.rs`, `ask.rs`, `feature.rs`).

mod ask;
mod closing;
mod cutter;
mod drop;
pub mod feature;
mod find;
mod finer;
mod kit;
mod leftover;
mod limits;
mod map;
mod measured;
mod point;
mod runs;
mod task;
mod tool;
mod volume;

pub use closing::{closing, tips};
pub use cutter::Profile;
pub use find::{RULE, features};
pub use kit::{Kit, Named};
pub use leftover::{Against, Left, leftover};
pub use map::HeightMap;
pub use measured::measured;
pub use task::Site;
pub use tool::{Holder, Surroundings, Tool};
pub use volume::Fineness;
