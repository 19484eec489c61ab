//! Loads of the screen: what toys are tested with, and habit.

/// Pull, N: 90 N for what is wider than 6 mm (EN 71-1 8.4 as quoted by test houses), more than the
/// 15 lbf (66.7 N) of 16 CFR 1500.53 for 36 to 96 months (from memory).
pub const PULL: f64 = 90.0;
/// Torque, N mm: 4 in-lbf of 16 CFR 1500.53 for 36 to 96 months (from memory), more than the
/// 0.34 N m of EN 71-1 8.3.
pub const TORQUE: f64 = 4.0 * 25.4 * 4.448_221_615_260_5;
/// Push against the edge of a plate, N: that of prying at a joint (from memory).
pub const SIDE: f64 = crate::chain::strengths::PRYING.0;

/// The pull's source as rows print it.
pub(super) const PULLED: &str = "90 N of EN 71-1 8.4, quoted by test houses";
/// The torque's source.
pub(super) const TURNED: &str = "4 in-lbf of 16 CFR 1500.53, from memory";
/// The same in a neck.
pub(super) const JAMMED: &str = "4 in-lbf of 16 CFR 1500.53, from memory; ball jammed, not judged";
/// The prying's source.
pub(super) const PRIED: &str = "45 N at 40 mm, from memory";
/// The push's source.
pub(super) const PUSHED: &str = "45 N, from memory; not judged";
