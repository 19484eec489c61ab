//! Dowels that register a piece for the flip, and what their play does (`chain::joint::flip` has the
//! formulas).

use super::layout::{Kind, Layout, Part, Placed};
use crate::chain::BlankRules;
use crate::chain::joint::flip::{FlipPlay, FlipStep};

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

/// Where the second set-up of a piece can lie against the first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Flip {
    /// The play of its dowels.
    pub play: FlipPlay,
    /// The middle between them on the piece, mm.
    pub middle: [f64; 2],
    /// How far the farthest corner of the piece moves at most, mm.
    pub worst: f64,
    /// Shift for each mm by which the flip line is off: the error comes in twice (fact 6.9).
    pub per_line: f64,
    /// Turn for each radian by which the line of the dowels is askew: twice as well (fact 6.10).
    pub per_skew: f64,
}

impl Flip {
    /// A place of the piece, seen from the middle between the dowels.
    fn seen(&self, at: [f64; 2]) -> [f64; 2] {
        [0, 1].map(|k: usize| at[k] - self.middle[k])
    }

    /// How far a part can come to lie off what was cut from its other side, mm: the farthest corner of
    /// what its window is cut round.
    pub fn moves(&self, part: &Part, placed: &Placed) -> f64 {
        let corners = part.windows[placed.side].core.corners();
        let each = corners.map(|c| self.play.moves(self.seen(placed.apply(c))));
        each.fold(0.0, f64::max)
    }
}

/// A ball on a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BallStep {
    /// Number of its section's form among the parts.
    pub part: usize,
    /// Number of the ball among those of the part.
    pub ball: usize,
    /// Number of the upper half, or whole section, among what lies on the piece.
    pub placed: usize,
    /// The step between its halves.
    pub step: FlipStep,
}

/// The balls on a piece. Both halves of a section lie next to each other in the order of the piece.
pub fn ball_steps(layout: &Layout, kind: &Kind, parts: &[Part]) -> Vec<BallStep> {
    let flip = &layout.flip;
    let own = kind.placed.iter().enumerate().filter(|(_, p)| p.side == 0);
    own.flat_map(|(placed, p)| {
        let after = kind.placed.get(placed + 1);
        let lower = after.filter(|q| q.part == p.part && q.side == 1);
        let balls = parts[p.part].balls.iter().enumerate();
        balls.map(move |(ball, b)| {
            let at = |p: &Placed| flip.seen(p.apply([b.x, 0.0]));
            let step = match lower {
                Some(lower) => flip.play.between(at(p), at(lower)),
                None => flip.play.through(at(p)),
            };
            BallStep {
                part: p.part,
                ball,
                placed,
                step,
            }
        })
    })
    .collect()
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

/// What the play of these dowels does to a piece of this size.
pub fn flip(dowels: &[Dowel; 2], size: [f64; 2], rules: &BlankRules) -> Flip {
    let [front, rear] = dowels.map(|d| d.at);
    let play = FlipPlay {
        span: rear[0] - front[0],
        slip: rules.slip,
    };
    let mut flip = Flip {
        play,
        middle: [0, 1].map(|k: usize| 0.5 * (front[k] + rear[k])),
        worst: 0.0,
        per_line: 2.0,
        per_skew: 2.0,
    };
    let corners = [[0.0; 2], [size[0], 0.0], [0.0, size[1]], size];
    let each = corners.map(|c| play.moves(flip.seen(c)));
    flip.worst = each.into_iter().fold(0.0, f64::max);
    flip
}
