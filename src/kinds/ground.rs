//! What stock and wood allow: the height of a half, and joints that fit into it.

use super::ruler::{Ruler, Step};
use crate::chain::joint::{JointDefaults, Stem, mouth_swing, usual_capture};
use crate::chain::{SKIN_OF_STOCK, Walls, least_neck};
use crate::params::Species;

/// Sanding of a split face, mm, as in the built-in shop.
pub const SANDING: f64 = 0.1;
/// Radial clearance of the joints of a shop whose coupon said nothing yet, mm; it does not scale.
pub const CLEARANCE: f64 = JointDefaults::HARD_MAPLE.clearance;
/// Rest gap between two sections, mm: the default of a joint.
pub const GAP: f64 = JointDefaults::HARD_MAPLE.gap;
/// Ball for each mm of a half's height: about half the height of both halves (by eye; the makers'
/// demos take 0.95 to 1.18).
const BALL: f64 = 1.07;
/// Neck for each mm of a ball (the demos take 0.41 to 0.54), unless the wood asks for more.
const NECK: f64 = 0.42;
/// Balls of so many necks swing enough (by the closed form: 13 degrees and more).
const LEAST_BALL: f64 = 1.75;
/// Over the wood's walls, mm: room for the outline's rounding and its curve between points.
const SPARE: f64 = 0.6;
/// Widest swing asked for, degrees (habit: under the 30 that a check warns of).
const MOST_SWING: f64 = 25.0;
/// Round end of a section, as a part of its dome's radius (the demos take 0.92 to 0.98).
const ROUND: f64 = 0.95;
/// Room along a section for a pin with its walls behind the socket and the neck's root, mm: a 1/4 in
/// pin and two walls of 3.3.
const PIN_ROOM: f64 = 13.0;

/// A half of this height, mm, or more needs no help in length and width (tried, for 3/4 in boards).
const USUAL_HIGH: f64 = 18.5;
/// For each mm that a half is lower: how much longer the shortest section, and how much wider the
/// bodies are, mm; else the glue face is too small to be pried at (tried).
const HELP: (f64, f64) = (1.4, 0.3);

/// A joint as it is written: diameters and lengths in mm, swing in whole degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joint {
    /// Ball.
    pub ball: f64,
    /// Neck.
    pub neck: f64,
    /// Swing.
    pub swing: f64,
    /// Ring of wood round the mouth.
    pub land: f64,
    /// Radial clearance, which is not written: the shop's coupon gives it.
    pub clearance: f64,
}

impl Joint {
    /// Radius of the socket, mm.
    #[must_use]
    pub fn socket(&self) -> f64 {
        0.5 * self.ball + self.clearance
    }
}

/// Stock, wood and how values are written.
#[derive(Debug, Clone, Copy)]
pub struct Ground {
    /// Rounding and unit.
    pub ruler: Ruler,
    /// Highest half, mm.
    pub high: f64,
    /// Thinnest walls.
    pub walls: Walls,
    /// Thinnest neck, mm.
    pub neck: f64,
    /// Radial clearance of the joints, mm.
    pub clearance: f64,
    /// Factor of all lengths along the chain.
    pub stretch: f64,
}

impl Ground {
    /// For stock of a thickness in mm, and joints of this clearance.
    #[must_use]
    pub fn of(ruler: Ruler, stock: f64, wood: &Species, clearance: f64) -> Self {
        Ground {
            ruler,
            high: ruler.down(stock - SANDING - SKIN_OF_STOCK, Step::Fine),
            walls: Walls::of(wood),
            neck: least_neck(wood),
            clearance,
            stretch: 1.0,
        }
    }

    /// Thinnest stock that holds a joint of this wood and clearance, mm.
    #[must_use]
    pub fn thinnest(ruler: Ruler, wood: &Species, clearance: f64) -> f64 {
        let ground = Ground::of(ruler, 0.0, wood, clearance);
        let least = ground.least(&ground.sized(0.0)) + SANDING + SKIN_OF_STOCK;
        ruler.up(least, Step::Plain)
    }

    /// The joint of a body whose halves are `part` of the highest: as large as usual, or as fits.
    #[must_use]
    pub fn joint(&self, part: f64) -> Joint {
        let room = 2.0 * (self.high - self.walls.skin - self.clearance - SPARE);
        self.sized((BALL * part * self.high).min(room))
    }

    /// The joint with a ball of about this diameter, never less than the neck asks for.
    fn sized(&self, ball: f64) -> Joint {
        let (up, down) = (
            |mm| self.ruler.up(mm, Step::Plain),
            |mm| self.ruler.down(mm, Step::Plain),
        );
        let ball = down(ball).max(up(LEAST_BALL * self.neck));
        let neck = self.ruler.up((NECK * ball).max(self.neck), Step::Fine);
        let stem = Stem {
            ball: 0.5 * ball,
            neck: 0.5 * neck,
            fillet: JointDefaults::HARD_MAPLE.fillet,
        };
        let mouth = stem.ball - usual_capture(stem.ball);
        let swing = mouth_swing(&stem, self.clearance, mouth).to_degrees();
        Joint {
            ball,
            neck,
            swing: swing.floor().min(MOST_SWING),
            land: self.ruler.up(self.walls.land + 0.8, Step::Fine),
            clearance: self.clearance,
        }
    }

    /// Least height and half width of a body round a socket, mm.
    #[must_use]
    pub fn least(&self, joint: &Joint) -> f64 {
        joint.socket() + self.walls.skin + SPARE
    }

    /// Radius of the round ends on both sides of a joint, mm.
    #[must_use]
    pub fn round(&self, joint: &Joint) -> f64 {
        let round = ROUND * (joint.socket() + joint.land);
        self.ruler.down(round.min(self.high), Step::Fine)
    }

    /// A length along the chain in units of the shortest section with this joint, stretched, mm.
    #[must_use]
    pub fn along(&self, joint: &Joint, units: f64) -> f64 {
        let lower = (USUAL_HIGH - self.high).max(0.0);
        let unit = 2.0 * joint.socket() + joint.land + PIN_ROOM + HELP.0 * lower;
        self.ruler.near(units * unit * self.stretch, Step::Coarse)
    }

    /// A half width as a part of the highest half, mm: somewhat more in thin stock.
    #[must_use]
    pub fn wide(&self, part: f64) -> f64 {
        let lower = (USUAL_HIGH - self.high).max(0.0);
        let wide = part * (self.high + HELP.1 * lower);
        self.ruler.near(wide, Step::Plain)
    }

    /// An outline's length as a part of the highest half, mm.
    #[must_use]
    pub fn across(&self, part: f64) -> f64 {
        self.ruler.near(part * self.high, Step::Plain)
    }
}
