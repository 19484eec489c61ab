//! Checks of finished solids before any wood is cut: one file each; findings are records.

pub mod accept;
pub mod chain;
pub mod collide;
pub mod explain;
pub mod finding;
pub mod joint;
mod plan;
pub mod reach;
pub mod stock;
pub mod undercut;
mod view;
pub mod wall;
