//! The one relation between ball, clearance, neck, mouth, swing and fillet.

use super::finding::{Finding, JointKey, Rule};
use super::swing::{
    Stem, ball_for_swing, mouth_for_swing, mouth_half_angle, mouth_swing, neck_for_swing,
};
use super::wish::{JointDefaults, JointWish, SWING_AGREEMENT};

/// The sizes that the relation ties.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Core {
    pub ball: f64,
    pub clearance: f64,
    pub neck: f64,
    pub mouth: f64,
    pub fillet: f64,
}

impl Core {
    fn stem(&self) -> Stem {
        Stem {
            ball: self.ball,
            neck: self.neck,
            fillet: self.fillet,
        }
    }

    fn swing(&self) -> f64 {
        mouth_swing(&self.stem(), self.clearance, self.mouth)
    }

    fn values(&self, keys: &[JointKey], swing: f64) -> Vec<(JointKey, f64)> {
        let value = |key| match key {
            JointKey::Ball => self.ball,
            JointKey::Clearance => self.clearance,
            JointKey::Neck => self.neck,
            JointKey::Mouth => self.mouth,
            JointKey::Fillet => self.fillet,
            _ => swing,
        };
        keys.iter().map(|&key| (key, value(key))).collect()
    }

    /// A finding about this joint.
    pub fn finding(
        &self,
        rule: Rule,
        keys: &[JointKey],
        swing: f64,
        (key, measured, limit): (JointKey, f64, f64),
        agrees: Vec<(JointKey, f64)>,
    ) -> Finding {
        Finding {
            rule,
            values: self.values(keys, swing),
            measured: key.written(measured),
            limit: key.written(limit),
            agrees,
        }
    }
}

/// Solves the relation; every size that comes back is captured and has a positive swing.
pub(super) fn solve_core(wish: &JointWish, defaults: &JointDefaults) -> Result<Core, Finding> {
    let mut core = Core {
        ball: wish.ball.unwrap_or(defaults.ball),
        clearance: wish.clearance.unwrap_or(defaults.clearance),
        neck: wish.neck.unwrap_or(defaults.neck),
        mouth: wish.mouth.unwrap_or(0.0),
        fillet: wish.fillet.unwrap_or(defaults.fillet),
    };
    match (wish.neck, wish.mouth, wish.swing) {
        (Some(_), Some(_), Some(swing)) if wish.ball.is_none() => ball_follows(&mut core, swing)?,
        (Some(_), Some(_), Some(swing)) => {
            bounds(&core, swing)?;
            agreement(&core, swing)?;
        }
        (_, Some(_), None) => {}
        (None, Some(_), Some(swing)) => neck_follows(&mut core, swing, defaults.neck)?,
        (_, None, swing) => mouth_follows(&mut core, swing.unwrap_or(defaults.swing))?,
    }
    bounds(&core, core.swing())?;
    Ok(core)
}

/// Neck in ball, mouth in ball, neck in mouth, a swing at all.
fn bounds(core: &Core, swing: f64) -> Result<(), Finding> {
    use JointKey::{Ball, Fillet, Mouth, Neck};
    neck_in_ball(core)?;
    if core.mouth >= core.ball {
        let at = (Mouth, core.mouth, core.ball);
        let agrees = vec![(Mouth, core.ball), (Ball, core.mouth)];
        return Err(core.finding(Rule::Capture, &[Mouth, Ball], swing, at, agrees));
    }
    neck_in_mouth(core, swing)?;
    if core.swing() <= 0.0 {
        let at = (JointKey::Swing, core.swing(), 0.0);
        let keys = [Fillet, Neck, Mouth];
        return Err(core.finding(Rule::FilletInMouth, &keys, swing, at, vec![(Fillet, 0.0)]));
    }
    Ok(())
}

/// The neck passes the mouth also when the ball lies aside by the clearance.
fn neck_in_mouth(core: &Core, swing: f64) -> Result<(), Finding> {
    use JointKey::{Clearance, Mouth, Neck};
    let limit = core.mouth - core.clearance;
    if core.neck < limit {
        return Ok(());
    }
    let at = (Neck, core.neck, limit);
    let agrees = vec![(Neck, limit), (Mouth, core.neck + core.clearance)];
    Err(core.finding(
        Rule::NeckInMouth,
        &[Neck, Mouth, Clearance],
        swing,
        at,
        agrees,
    ))
}

fn neck_in_ball(core: &Core) -> Result<(), Finding> {
    if core.neck < core.ball {
        return Ok(());
    }
    let at = (JointKey::Neck, core.neck, core.ball);
    let agrees = vec![(JointKey::Neck, core.ball), (JointKey::Ball, core.neck)];
    let keys = [JointKey::Neck, JointKey::Ball];
    Err(core.finding(Rule::NeckInBall, &keys, 0.0, at, agrees))
}

/// All four are given.
fn agreement(core: &Core, swing: f64) -> Result<(), Finding> {
    use JointKey::{Ball, Mouth, Neck, Swing};
    let real = core.swing();
    if (real - swing).abs() <= SWING_AGREEMENT {
        return Ok(());
    }
    let mut agrees = vec![(Swing, real)];
    if let Some(a) = mouth_for_swing(&core.stem(), core.clearance, swing).filter(|&a| a < core.ball)
    {
        agrees.push((Mouth, a));
    }
    if let Some(n) = neck_for_swing(core.ball, core.clearance, core.mouth, core.fillet, swing) {
        agrees.push((Neck, n));
    }
    let keys = [Swing, Mouth, Neck, Ball];
    Err(core.finding(Rule::Agreement, &keys, swing, (Swing, swing, real), agrees))
}

fn ball_follows(core: &mut Core, swing: f64) -> Result<(), Finding> {
    use JointKey::{Mouth, Neck, Swing};
    neck_in_mouth(core, swing)?;
    let most = std::f64::consts::FRAC_PI_2 - (core.neck / core.mouth).asin();
    match ball_for_swing(core.neck, core.clearance, core.mouth, core.fillet, swing) {
        Some(ball) => {
            core.ball = ball;
            Ok(())
        }
        None => {
            core.ball = core.mouth;
            let keys = [Swing, Mouth, Neck];
            Err(core.finding(
                Rule::Agreement,
                &keys,
                swing,
                (Swing, swing, most),
                Vec::new(),
            ))
        }
    }
}

fn neck_follows(core: &mut Core, swing: f64, usual_neck: f64) -> Result<(), Finding> {
    use JointKey::{Ball, Mouth, Swing};
    core.neck = 0.0;
    bounds_of_mouth(core, swing)?;
    if let Some(neck) = neck_for_swing(core.ball, core.clearance, core.mouth, core.fillet, swing) {
        core.neck = neck;
        return Ok(());
    }
    let most = mouth_half_angle(core.ball + core.clearance, core.mouth);
    let mut agrees = vec![(Swing, most)];
    core.neck = usual_neck.min(0.5 * core.ball);
    let mouth = mouth_for_swing(&core.stem(), core.clearance, swing);
    agrees.extend(mouth.filter(|&a| a < core.ball).map(|a| (Mouth, a)));
    let at = (Swing, swing, most);
    Err(core.finding(Rule::NoNeck, &[Swing, Mouth, Ball], swing, at, agrees))
}

fn bounds_of_mouth(core: &Core, swing: f64) -> Result<(), Finding> {
    if core.mouth < core.ball {
        return Ok(());
    }
    bounds(core, swing)
}

fn mouth_follows(core: &mut Core, swing: f64) -> Result<(), Finding> {
    use JointKey::{Ball, Neck, Swing};
    neck_in_ball(core)?;
    let mouth = mouth_for_swing(&core.stem(), core.clearance, swing);
    if let Some(a) = mouth.filter(|&a| a < core.ball) {
        core.mouth = a;
        return Ok(());
    }
    core.mouth = core.ball;
    let most = core.swing();
    let mut agrees = vec![(Swing, most)];
    if let Some(n) = neck_for_swing(core.ball, core.clearance, core.ball, core.fillet, swing) {
        agrees.push((Neck, n));
    }
    let at = (Swing, swing, most);
    Err(core.finding(Rule::SwingTooWide, &[Swing, Neck, Ball], swing, at, agrees))
}
