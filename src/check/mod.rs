//! Checks of finished solids before any wood is cut: one file each; findings are records.

pub mod accept;
pub mod balance;
pub mod budget;
pub mod cautions;
pub mod chain;
pub mod collide;
pub mod edges;
pub mod explain;
pub mod finding;
pub mod gap;
pub mod joint;
pub mod measured;
pub mod pins;
mod plan;
pub mod reach;
mod row;
pub mod small;
pub mod stock;
pub mod strength;
pub mod undercut;
mod view;
pub mod wall;

pub use view::cut_first;
