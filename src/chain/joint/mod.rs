//! Joint closed forms: from any sufficient set of wishes to a whole joint, its limits, and
//! what contradicts.
//!
//! Sizes inside are radii; the keys `ball`, `neck` and `mouth` of a file are diameters, and
//! findings speak of those. One relation ties ball, clearance, neck, mouth, swing and fillet
//! (5.3, 5.13); all other sizes are free within the rules of [`Rule`].

pub mod budget;
mod check;
mod core;
mod cut;
mod faces;
mod finding;
pub mod flip;
mod hold;
mod limits;
mod swing;
mod wish;

pub use check::{PINCH, SWING_USUAL, check_end, check_joint, usual_capture};
pub use faces::{
    face_gap, face_swing, flare_on_dome, flare_on_flat, gap_for_swing, joints_in_ring, ring_radius,
};
pub use finding::{Finding, JointKey, Measure, Rule};
pub use hold::{axial_play, capture, hoop_force, snap_strain, socket_void};
pub use limits::JointLimits;
pub use swing::{
    Stem, ball_for_swing, edge_swing, lip_swing, mouth_for_swing, mouth_half_angle, mouth_plane,
    mouth_swing, neck_for_swing, sharp_swing, sharp_swing_aside,
};
pub use wish::{JointDefaults, JointWish, SWING_AGREEMENT, Solved, solve};

use super::form::{Ball, Socket};

/// Form of the end that holds the socket.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SocketFace {
    /// A sphere about the socket's centre.
    Domed,
    /// A plane.
    Flat,
}

/// A whole joint: radii and lengths in mm, angles in radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joint {
    /// Ball radius R.
    pub ball: f64,
    /// Radial clearance c.
    pub clearance: f64,
    /// Neck radius n.
    pub neck: f64,
    /// Mouth radius a.
    pub mouth: f64,
    /// Swing to the first contact of stem and mouth or flare, ball and socket concentric.
    pub swing: f64,
    /// Half-angle of the flare cone.
    pub flare: f64,
    /// Thickness of the ring of wood round the mouth: dome radius less socket radius, or from
    /// the plane of the mouth to a flat end face.
    pub land: f64,
    /// Rest gap between the two faces on the axis.
    pub gap: f64,
    /// Radius of the fillet between neck and ball; 0 for none.
    pub fillet: f64,
    /// Form of the end that holds the socket.
    pub face: SocketFace,
}

impl Joint {
    /// Socket radius Rs = R + c.
    #[must_use]
    pub fn socket(&self) -> f64 {
        self.ball + self.clearance
    }

    /// Ball, neck and fillet.
    #[must_use]
    pub fn stem(&self) -> Stem {
        Stem {
            ball: self.ball,
            neck: self.neck,
            fillet: self.fillet,
        }
    }

    /// Socket centre behind its end's datum: Rs + land in a dome, hm + land in a flat end.
    #[must_use]
    pub fn depth(&self) -> f64 {
        match self.face {
            SocketFace::Domed => self.socket() + self.land,
            SocketFace::Flat => mouth_plane(self.socket(), self.mouth) + self.land,
        }
    }

    /// Ball centre in front of its own end's datum: depth + gap.
    #[must_use]
    pub fn reach(&self) -> f64 {
        self.depth() + self.gap
    }

    /// Edge where the flare ends in the face: (x from the socket's centre, radius). In a flat
    /// end that leans this is its widest point, in the split plane.
    #[must_use]
    pub fn flare_edge(&self) -> (f64, f64) {
        match self.face {
            SocketFace::Domed => flare_on_dome(self.socket(), self.mouth, self.flare, self.depth()),
            SocketFace::Flat => flare_on_flat(self.socket(), self.mouth, self.flare, self.land),
        }
    }

    /// The ball as its section carries it.
    #[must_use]
    pub fn to_ball(&self) -> Ball {
        Ball {
            radius: self.ball,
            reach: self.reach(),
            neck_radius: self.neck,
            fillet: self.fillet,
        }
    }

    /// The socket as its section carries it.
    #[must_use]
    pub fn to_socket(&self) -> Socket {
        Socket {
            radius: self.socket(),
            depth: self.depth(),
            mouth_radius: self.mouth,
            flare: self.flare,
        }
    }
}
