//! Layouts looked at with geometry of their own: chains and stock by chance, what the flip does to
//! balls, what holders meet, and what is refused.
//!
//! `LIMBERWOOD_CASES` is the number of random layouts, of random cutters and of random dowels.

// Helpers of the tests stand outside of test functions.
#![allow(clippy::unwrap_used)]

mod designs;
#[path = "../halves/draw.rs"]
mod draw;
mod ends;
mod flips;
mod overhead;
mod plan;
mod random;
mod refused;
mod tabs;

/// How many of something are tried.
fn cases(usual: u64) -> u64 {
    let asked = std::env::var("LIMBERWOOD_CASES").ok();
    asked.and_then(|n| n.parse().ok()).unwrap_or(usual)
}
