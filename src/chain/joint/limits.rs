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
        let (capture, mouth_ratio) = capture(joint.ball, joint.mouth);
        JointLimits {
            swing: joint.swing,
            swing_aside: first_edge(joint, 0.0, joint.clearance),
            faces: first_faces(joint, half_width, 0.0),
            play: axial_play(joint.ball, joint.clearance, joint.mouth),
            capture,
            mouth_ratio,
        }
    }

    /// By how much the swings of meshes within `deviation` (mm) of a joint's solids may fall short
    /// of the closed forms, radians: concentric, and with the ball pushed aside by the clearance.
    ///
    /// Derived: where the meshes touch, a point of the one solid lies within twice the deviation d
    /// of the other, so it has not yet passed into one that is thicker by that all round. A turn by
    /// t moves the mouth's edge by Rs t sin(b) along the stem's normal, b the angle there between
    /// the directions to the socket's centre and to the fillet's, which is D from that centre:
    /// cos(b) = (Rs^2 + f^2 - D^2) / (2 Rs f), or sin(b) = sqrt(1 - (n / Rs)^2) on the neck. So it
    /// is 2 d / (Rs sin(b)) for small d.
    #[must_use]
    pub fn short(joint: &Joint, half_width: f64, deviation: f64) -> [f64; 2] {
        let first = |by: f64, aside: f64| {
            let swing = first_edge(joint, by, aside);
            first_faces(joint, half_width, by).map_or(swing, |f| f.min(swing))
        };
        let by = 2.0 * deviation;
        [0.0, joint.clearance].map(|aside| first(0.0, aside) - first(by, aside))
    }

    /// The swing that can be counted on: the least of the swing pushed aside and the faces'.
    #[must_use]
    pub fn usable(&self) -> f64 {
        self.faces
            .map_or(self.swing_aside, |f| f.min(self.swing_aside))
    }
}

/// Swing until a stem that is thicker by `by` meets the mouth, or the edge of a narrower flare.
fn first_edge(joint: &Joint, by: f64, aside: f64) -> f64 {
    let stem = joint.stem().grown(by);
    let mouth = (mouth_plane(joint.socket(), joint.mouth), joint.mouth);
    let swing = edge_swing(&stem, mouth, aside);
    if joint.flare < joint.swing {
        return swing.min(edge_swing(&stem, joint.flare_edge(), aside));
    }
    swing
}

/// Swing until flat faces come as near as `by`; nothing for a dome.
fn first_faces(joint: &Joint, half_width: f64, by: f64) -> Option<f64> {
    let (pivot, gap) = (joint.depth() + by, joint.gap - by);
    (joint.face == SocketFace::Flat).then(|| face_swing(pivot, gap, half_width))
}
