//! The strips of a piece that are kept free for clamps.

use super::layout::Layout;
use crate::chain::BlankRules;

/// A strip along the border of a piece, by its name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ClampArea {
    /// Across the front end, x from 0.
    Front,
    /// Across the rear end.
    Rear,
    /// Along the side of y = 0.
    Low,
    /// Along the other side.
    High,
}

impl ClampArea {
    /// All of a piece.
    pub const ALL: [ClampArea; 4] = [
        ClampArea::Front,
        ClampArea::Rear,
        ClampArea::Low,
        ClampArea::High,
    ];

    /// As people name it.
    pub const fn name(self) -> &'static str {
        match self {
            ClampArea::Front => "the front end",
            ClampArea::Rear => "the rear end",
            ClampArea::Low => "the side of y = 0",
            ClampArea::High => "the side of the greatest y",
        }
    }

    /// Name of the key of a shop file that says how wide it is.
    pub const fn key(self) -> &'static str {
        match self {
            ClampArea::Front | ClampArea::Rear => "ends",
            ClampArea::Low | ClampArea::High => "sides",
        }
    }

    /// Least and greatest corner on a piece, mm.
    pub fn corners(self, layout: &Layout, rules: &BlankRules) -> [[f64; 2]; 2] {
        let [length, width] = layout.size;
        match self {
            ClampArea::Front => [[0.0; 2], [rules.ends, width]],
            ClampArea::Rear => [[length - rules.ends, 0.0], [length, width]],
            ClampArea::Low => [[0.0; 2], [length, rules.sides]],
            ClampArea::High => [[0.0, width - rules.sides], [length, width]],
        }
    }

    /// How far a box in plan, within the piece, stays from it, mm; less than 0 inside.
    pub fn distance(self, [low, high]: [[f64; 2]; 2], layout: &Layout, rules: &BlankRules) -> f64 {
        let [from, to] = self.corners(layout, rules);
        match self {
            ClampArea::Front => low[0] - to[0],
            ClampArea::Rear => from[0] - high[0],
            ClampArea::Low => low[1] - to[1],
            ClampArea::High => from[1] - high[1],
        }
    }
}
