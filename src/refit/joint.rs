//! A joint at another size: ball and ring of wood follow the body, neck, clearance and swing do not.

use crate::chain::joint::{
    Joint, JointDefaults, JointWish, Rule, SocketFace, capture, mouth_for_swing, solve,
    usual_capture,
};

/// Swing below which a joint is no use, radians: 5 degrees (habit).
const LEAST_SWING: f64 = 5.0 * std::f64::consts::PI / 180.0;
/// Swings and balls that are solved anew are rounded to these steps: half a degree, and 0.1 mm on
/// the diameter (habit: what people read off and write).
const SWING_STEP: f64 = 0.5 * std::f64::consts::PI / 180.0;
const BALL_STEP: f64 = 0.05;
/// How much larger than scaled a ball may get, mm on the radius (habit: the wood
/// round a socket ends sooner).
const BALL_ROOM: f64 = 12.0;
/// Rounding noise of lengths of at most some hundred mm and of angles (habit: far over that of 64-bit
/// numbers, far under the model tolerance of 1e-7).
const NOISE: f64 = 1e-9;

/// What binds a joint besides its scale; radii in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Bounds {
    /// Thinnest neck radius: the wood's, or that of a joint that is thinner already.
    pub neck: f64,
    /// Thinnest ring of wood round the mouth, likewise.
    pub land: f64,
    /// Scale of the section with the ball, and of that with the socket.
    pub ball_scale: f64,
    pub socket_scale: f64,
    /// Between a scaled ball with less swing (0) and the whole swing with a larger ball (1).
    pub keep_swing: f64,
    /// Part of its swing that is asked for: a narrower mouth grips deeper.
    pub swing: f64,
}

/// Radii, land and swing of a joint.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Sized {
    pub ball: f64,
    pub neck: f64,
    pub land: f64,
    pub swing: f64,
    pub mouth: f64,
}

impl Sized {
    /// Those of a solved joint.
    pub fn of(joint: &Joint) -> Self {
        Sized {
            ball: joint.ball,
            neck: joint.neck,
            land: joint.land,
            swing: joint.swing,
            mouth: joint.mouth,
        }
    }
}

/// Why no joint of this size can be: found and least, in words of the caller.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct TooSmall {
    /// Largest swing that the joint still has, radians.
    pub swing: f64,
}

/// Sizes the joint anew.
pub(super) fn sized(old: &Joint, bounds: &Bounds) -> Result<Sized, TooSmall> {
    let neck = (old.neck * bounds.ball_scale).max(bounds.neck);
    let scaled = old.ball * bounds.ball_scale;
    let captured = captured(old);
    let works = |ball: f64, swing: f64| works(old, (ball, neck), swing, captured);
    let full = least(scaled, scaled + BALL_ROOM, |ball| works(ball, old.swing));
    let ball = match full {
        Some(full) if full > scaled => {
            let between = scaled + bounds.keep_swing * (full - scaled);
            (between / BALL_STEP - NOISE).ceil() * BALL_STEP
        }
        _ => scaled,
    };
    let swing = if bounds.swing >= 1.0 && works(ball, old.swing) {
        old.swing
    } else {
        widest_step(old.swing * bounds.swing, |swing| works(ball, swing))
    };
    if swing < LEAST_SWING.min(old.swing) - NOISE {
        return Err(TooSmall { swing });
    }
    let stem = Joint { ball, neck, ..*old }.stem();
    let Some(mouth) = mouth_for_swing(&stem, old.clearance, swing) else {
        return Err(TooSmall { swing: 0.0 });
    };
    // The whole dome follows its section; the clearance does not.
    let land = match old.face {
        SocketFace::Domed => old.depth() * bounds.socket_scale - ball - old.clearance,
        SocketFace::Flat => old.land * bounds.socket_scale,
    };
    Ok(Sized {
        ball,
        neck,
        land: land.max(bounds.land),
        swing,
        mouth,
    })
}

/// Whether the old joint holds its ball as is usual: then the new one must.
fn captured(old: &Joint) -> bool {
    capture(old.ball, old.mouth).0 >= usual_capture(old.ball) - NOISE
}

/// Whether a joint of these sizes solves and holds its ball.
fn works(old: &Joint, (ball, neck): (f64, f64), swing: f64, captured: bool) -> bool {
    let wish = JointWish {
        ball: Some(ball),
        clearance: Some(old.clearance),
        neck: Some(neck),
        swing: Some(swing),
        land: Some(old.land.max(ball)),
        gap: Some(old.gap),
        fillet: Some(old.fillet),
        ..JointWish::default()
    };
    let solved = solve(&wish, &JointDefaults::HARD_MAPLE, old.face);
    solved.is_ok_and(|s| {
        let thin = s.warnings.iter().any(|f| f.rule == Rule::ThinCapture);
        !(captured && thin)
    })
}

/// The widest swing in whole steps up to `most` that is good; 0 when none is. Each step is tried: a
/// swing may be too wide for the ball to be held, or too narrow for the neck to pass the mouth.
fn widest_step(most: f64, good: impl Fn(f64) -> bool) -> f64 {
    let mut steps = (most / SWING_STEP + NOISE).floor();
    while steps > 0.0 && !good(steps * SWING_STEP) {
        steps -= 1.0;
    }
    steps * SWING_STEP
}

/// The least number from `low` to `high` that is good, if goodness comes once and stays; nothing
/// when `high` is not good.
fn least(low: f64, high: f64, good: impl Fn(f64) -> bool) -> Option<f64> {
    if good(low) {
        return Some(low);
    }
    if !good(high) {
        return None;
    }
    let (mut bad, mut fine) = (low, high);
    while fine - bad > 1e-6 {
        let middle = 0.5 * (bad + fine);
        if good(middle) {
            fine = middle;
        } else {
            bad = middle;
        }
    }
    Some(fine)
}
