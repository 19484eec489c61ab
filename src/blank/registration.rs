//! Dowels that register a piece for the flip, and what their slip costs.

use crate::chain::BlankRules;

/// A dowel's centre lies at least so many of its diameters from the end of the wood: 1.5 D, the least
/// edge distance of dowel-type fasteners in timber rules (from memory).
const FROM_END: f64 = 1.5;

/// A dowel of the flip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dowel {
    /// Centre on the piece, mm: on the line about which it is flipped.
    pub at: [f64; 2],
    /// Diameter of the rod, mm.
    pub rod: f64,
    /// Diameter of the hole, mm.
    pub hole: f64,
}

/// Why dowels find no room.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DowelError {
    /// Length kept free at the ends, and what the dowel needs, mm.
    ShortEnds(f64, f64),
    /// Both dowels have this diameter, mm: the piece would go in end for end.
    Alike(f64),
}

/// What the flip can cost: the second set-up against the first, mm and radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flip {
    /// Distance of the dowels, mm.
    pub span: f64,
    /// Shift by the slip of the dowels in their holes.
    pub shift: f64,
    /// Turn by that slip.
    pub turn: f64,
    /// Shift at the farthest corner of the piece, by both.
    pub worst: f64,
    /// Shift for each mm by which the flip line is off: the error comes in twice.
    pub per_line: f64,
}

/// The two dowels: on the middle line along the grain, about which the piece is flipped, in the middle
/// of the ends that are kept free; of two sizes, so that it goes in one way only.
///
/// # Errors
/// See [`DowelError`].
pub(super) fn dowels(size: [f64; 2], rules: &BlankRules) -> Result<[Dowel; 2], DowelError> {
    let [front, rear] = rules.dowels;
    if (front - rear).abs() < 2.0 * rules.slip {
        return Err(DowelError::Alike(front));
    }
    let wide = front.max(rear) + rules.slip;
    if rules.ends < 2.0 * FROM_END * wide {
        return Err(DowelError::ShortEnds(rules.ends, 2.0 * FROM_END * wide));
    }
    let (at, middle) = (0.5 * rules.ends, 0.5 * size[1]);
    let dowel = |x: f64, rod: f64| Dowel {
        at: [x, middle],
        rod,
        hole: rod + rules.slip,
    };
    Ok([dowel(at, front), dowel(size[0] - at, rear)])
}

/// Slip s of two dowels a distance L apart shifts by up to s / 2 and turns by up to s / L; a flip line
/// off by e shifts by 2 e (facts of two pins on a flip line, derived).
pub fn flip(dowels: &[Dowel; 2], size: [f64; 2], rules: &BlankRules) -> Flip {
    let span = dowels[1].at[0] - dowels[0].at[0];
    let shift = 0.5 * rules.slip;
    let turn = rules.slip / span;
    let corner = 0.5 * size[0].hypot(size[1]);
    Flip {
        span,
        shift,
        turn,
        worst: shift + turn * corner,
        per_line: 2.0,
    }
}
