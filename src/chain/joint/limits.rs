//! What a joint can do, in numbers to print.

use super::faces::face_swing;
use super::hold::{axial_play, capture};
use super::swing::{edge_swing, mouth_plane};
use super::{Joint, SocketFace};

/// Limits of a joint, mm and radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointLimits {
    /// Swing with ball and socket concentric (5.3, 5.13, and 5.5 for a narrow flare).
    pub swing: f64,
    /// Swing with the ball pushed aside across the neck by the clearance (5.4).
    pub swing_aside: f64,
    /// Swing at which flat faces meet (5.14). A dome about the socket's centre never meets a
    /// flat face.
    pub faces: Option<f64>,
    /// Free movement along the axis (5.7).
    pub play: f64,
    /// Ball radius less mouth radius (5.6).
    pub capture: f64,
    /// Mouth radius over ball radius (5.6).
    pub mouth_ratio: f64,
}

impl JointLimits {
    /// Limits of a joint whose two end faces reach at most `half_width` from the axis (only a
    /// flat socket end needs it).
    #[must_use]
    pub fn of(joint: &Joint, half_width: f64) -> Self {
        let stem = joint.stem();
        let mouth = (mouth_plane(joint.socket(), joint.mouth), joint.mouth);
        let aside = |edge| edge_swing(&stem, edge, joint.clearance);
        let (capture, mouth_ratio) = capture(joint.ball, joint.mouth);
        let mut swing_aside = aside(mouth);
        if joint.flare < joint.swing {
            swing_aside = swing_aside.min(aside(joint.flare_edge()));
        }
        JointLimits {
            swing: joint.swing,
            swing_aside,
            faces: (joint.face == SocketFace::Flat)
                .then(|| face_swing(joint.depth(), joint.gap, half_width)),
            play: axial_play(joint.ball, joint.clearance, joint.mouth),
            capture,
            mouth_ratio,
        }
    }

    /// The swing that can be counted on: the least of the swing pushed aside and the faces'.
    #[must_use]
    pub fn usable(&self) -> f64 {
        self.faces
            .map_or(self.swing_aside, |f| f.min(self.swing_aside))
    }
}
