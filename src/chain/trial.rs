//! What a coupon gives to try and to measure.

use serde::{Deserialize, Serialize};

/// A coupon in numbers, mm; diameters and heights as they are to come out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Trial {
    /// Version of this form.
    pub limberwood_coupon: u32,
    /// The creature whose joint it has.
    pub of: String,
    /// The section in front of that joint.
    pub after: String,
    /// Number of the section with the ball.
    pub ball_number: usize,
    /// Diameter of the ball.
    pub ball: f64,
    /// The sockets, by number.
    pub sockets: Vec<TrialSocket>,
    /// The pin holes, by number of their section.
    pub holes: Vec<TrialHole>,
    /// The dowel that they are for.
    pub dowel: f64,
    /// Height of every half with a socket, from its split face to its flat.
    pub height: f64,
    /// Thicknesses of tabs, by number of their section.
    pub tabs: Vec<(usize, f64)>,
    /// Samples that were left out, with the reason.
    pub left_out: Vec<String>,
    /// What the solids were made smaller by, from an earlier record.
    pub drawn_with: DrawnWith,
}

impl Trial {
    /// The least radial clearance of its sockets, as it is to come out and as it is drawn, mm.
    #[must_use]
    pub fn least_clearance(&self) -> f64 {
        let DrawnWith { ball, socket, .. } = self.drawn_with;
        let wanted = self.sockets.iter().map(|s| s.clearance);
        wanted.fold(f64::INFINITY, f64::min) + f64::min(0.5 * (ball - socket), 0.0)
    }
}

/// What was taken off the solids and the zero of their outer side, mm.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct DrawnWith {
    /// Off the diameter of balls.
    pub ball: f64,
    /// Off the diameter of sockets.
    pub socket: f64,
    /// Off the diameter of pin holes.
    pub hole: f64,
    /// Off the height of halves, by the sheet's zero.
    #[serde(default)]
    pub height: f64,
}

/// A socket to try.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TrialSocket {
    /// The number cut into it.
    pub number: usize,
    /// Radial clearance.
    pub clearance: f64,
    /// Diameter.
    pub diameter: f64,
    /// Least wood over it, a sample of a wall.
    pub wall: f64,
}

/// A pin hole to try.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct TrialHole {
    /// The number cut into its section.
    pub number: usize,
    /// Diameter.
    pub diameter: f64,
}
