//! The best joint between two sections of given sizes, without a design.

use super::fill::{Solved, fill};
use crate::diagnostic::Diagnostics;
use crate::params::read_design_str;
use crate::params::written::Shop;
use crate::units::short;

/// Sizes of two sections that a joint holds together, mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ends {
    /// Half width and height where the sections meet.
    pub end: f64,
    /// Half width of the bodies.
    pub half_width: f64,
    /// Height of each half of the bodies.
    pub height: f64,
    /// Length of each section.
    pub length: f64,
}

/// The best joint for two sections of these sizes, of a wood by its name in the table of species, cut
/// with this shop's cutters from its stock. The front section carries the ball, the rear one a domed
/// end with the socket.
///
/// # Errors
/// What does not fit, by how much, and what would do; an unknown wood.
pub fn best(ends: &Ends, species: &str, shop: &Shop) -> Result<Solved, Diagnostics> {
    let n = |mm: f64| short(mm, 3);
    let (end, wide, high) = (n(ends.end), n(ends.half_width), n(ends.height));
    let (length, nose) = (n(ends.length), n(0.4 * ends.half_width));
    let wood = serde_json::json!(species);
    let text = format!(
        "limberwood: 1\nname: Pair\nunits: mm\nspecies: {wood}\n\
         joint: {{ball: auto, clearance: auto, neck: auto, mouth: auto, land: auto}}\n\
         sections:\n\
         - name: front\n  length: {length}\n  tip_width: {nose}\n  outline:\n  \
         - {{at: 0%, half_width: {nose}, height: {high}}}\n  \
         - {{at: 40%, half_width: {wide}, height: {high}}}\n  \
         - {{at: 100%, half_width: {end}, height: {end}, squareness: 2}}\n\
         - name: rear\n  length: {length}\n  tip_width: {nose}\n  outline:\n  \
         - {{at: 0%, half_width: {end}, height: {end}, squareness: 2}}\n  \
         - {{at: 40%, half_width: {wide}, height: {high}}}\n  \
         - {{at: 100%, half_width: {nose}, height: {high}}}\n"
    );
    let (design, _) = read_design_str(&text, "pair")?;
    let filled = fill(&design, shop)?;
    let none = || {
        use crate::diagnostic::{Diagnostic, Place};
        Diagnostics::from(Diagnostic::error(Place::of_file("pair"), "no joint"))
    };
    filled.solved.into_iter().next().ok_or_else(none)
}
