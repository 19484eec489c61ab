//! From wishes to a joint.

use super::check::{check_joint, check_wishes};
use super::core::{Core, solve_core};
use super::finding::Finding;
use super::swing::{edge_swing, mouth_swing};
use super::{Joint, SocketFace};

/// How far a written swing may lie off the swing that the other written sizes give, radians:
/// 0.1 degrees. A mouth written to 0.01 mm moves the swing by about 0.05 degrees. Within it
/// the lengths win.
pub const SWING_AGREEMENT: f64 = 0.1 * std::f64::consts::PI / 180.0;

/// What a file asks of a joint; radii and lengths in mm, angles in radians. What is left out
/// follows from the rest or from [`JointDefaults`].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct JointWish {
    /// Ball radius.
    pub ball: Option<f64>,
    /// Radial clearance.
    pub clearance: Option<f64>,
    /// Neck radius.
    pub neck: Option<f64>,
    /// Mouth radius.
    pub mouth: Option<f64>,
    /// Swing.
    pub swing: Option<f64>,
    /// Half-angle of the flare.
    pub flare: Option<f64>,
    /// Ring of wood round the mouth.
    pub land: Option<f64>,
    /// Rest gap.
    pub gap: Option<f64>,
    /// Fillet between neck and ball.
    pub fillet: Option<f64>,
}

/// What stands in for wishes that were left out and do not follow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct JointDefaults {
    /// Ball radius.
    pub ball: f64,
    /// Radial clearance, the shop's.
    pub clearance: f64,
    /// Neck radius.
    pub neck: f64,
    /// Swing.
    pub swing: f64,
    /// Ring of wood round the mouth, the wood's.
    pub land: f64,
    /// Rest gap.
    pub gap: f64,
    /// Fillet, the radius of the finishing cutter's tip or of the relief cutter, and a tenth.
    pub fillet: f64,
    /// Least neck radius of the wood (a warning below it).
    pub least_neck: f64,
}

impl JointDefaults {
    /// Common practice for hard maple, no source: ball 20, neck 8.5, swing 25 degrees, land 3,
    /// gap 4 (under the 5 mm rod of fact 1.19), clearance 0.4, a 1/8 in finishing ball, no
    /// neck under 6.35.
    pub const HARD_MAPLE: JointDefaults = JointDefaults {
        ball: 10.0,
        clearance: 0.4,
        neck: 4.25,
        swing: 25.0 * std::f64::consts::PI / 180.0,
        land: 3.0,
        gap: 4.0,
        fillet: 1.1 * 1.5875,
        least_neck: 3.175,
    };
}

/// A joint with what is worth saying about it.
#[derive(Debug, Clone, PartialEq)]
pub struct Solved {
    /// The joint.
    pub joint: Joint,
    /// Warnings.
    pub warnings: Vec<Finding>,
}

/// Solves a joint.
///
/// Of ball, neck, mouth and swing (with clearance and fillet) any three decide the fourth;
/// all four must agree within [`SWING_AGREEMENT`]. With fewer, in this order: ball from the
/// defaults (unless the other three decide it), then with a mouth and no swing the neck from
/// the defaults, else swing and neck from the defaults as far as missing; the last one follows.
/// Clearance and fillet never follow. The flare is the swing, land and gap the defaults.
///
/// # Errors
/// Every independent finding that refuses the joint.
pub fn solve(
    wish: &JointWish,
    defaults: &JointDefaults,
    face: SocketFace,
) -> Result<Solved, Vec<Finding>> {
    let mut refused = check_wishes(wish, defaults);
    if !refused.is_empty() {
        return Err(refused);
    }
    let core = match solve_core(wish, defaults) {
        Ok(core) => core,
        Err(finding) => return Err(vec![finding]),
    };
    let joint = complete(&core, wish, defaults, face);
    let findings = check_joint(&joint, wish, defaults);
    let warnings;
    (refused, warnings) = findings.into_iter().partition(|f| f.rule.refuses());
    if refused.is_empty() {
        Ok(Solved { joint, warnings })
    } else {
        Err(refused)
    }
}

/// Fills in what does not take part in the one relation.
fn complete(core: &Core, wish: &JointWish, defaults: &JointDefaults, face: SocketFace) -> Joint {
    let mut joint = Joint {
        ball: core.ball,
        clearance: core.clearance,
        neck: core.neck,
        mouth: core.mouth,
        swing: 0.0,
        flare: 0.0,
        land: wish.land.unwrap_or(defaults.land),
        gap: wish.gap.unwrap_or(defaults.gap),
        fillet: core.fillet,
        face,
    };
    let swing = mouth_swing(&joint.stem(), joint.clearance, joint.mouth);
    joint.flare = wish.flare.unwrap_or(swing.max(super::check::FLARE_LEAST));
    joint.swing = first_contact(&joint);
    joint
}

/// Swing until the neck meets the mouth, or a narrower flare.
pub(super) fn first_contact(joint: &Joint) -> f64 {
    let swing = mouth_swing(&joint.stem(), joint.clearance, joint.mouth);
    if joint.flare >= swing {
        return swing;
    }
    // The neck meets the cone's outer edge before the mouth; between both edges the straight cone
    // cannot be first.
    swing.min(edge_swing(&joint.stem(), joint.flare_edge(), 0.0))
}
