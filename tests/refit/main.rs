//! Designs that are based on others, and designs fitted to other stock.

// Test code outside of test functions.
#![allow(clippy::unwrap_used, clippy::expect_used)]

mod bases;
mod fits;
mod random;
