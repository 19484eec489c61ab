//! Rules that refuse a joint, and those that warn.

use super::finding::{Finding, JointKey, Measure, Rule};
use super::hold::capture;
use super::swing::mouth_swing;
use super::wish::{JointDefaults, JointWish};
use super::{Joint, SocketFace};

/// Narrowest flare that is built, 1 degree: below it the cone's apex runs off (derived).
pub(super) const FLARE_LEAST: f64 = 1.0 * std::f64::consts::PI / 180.0;
/// The flare stays under this, 80 degrees: beyond it the land is a feather edge (no source).
const FLARE_MOST: f64 = 80.0 * std::f64::consts::PI / 180.0;
/// Straight neck left between the end face and the fillet, mm (derived: an edge pair of its own).
const NECK_LENGTH_LEAST: f64 = 0.1;
/// Swing beyond which warnings begin, 30 degrees (common practice, no source).
pub const SWING_USUAL: f64 = 30.0 * std::f64::consts::PI / 180.0;
/// Least capture R - a, mm, and as a part of R (common practice, no source).
const CAPTURE_USUAL: (f64, f64) = (1.2, 0.12);
/// Usual radial clearance, mm (common practice, no source).
const CLEARANCE_USUAL: (f64, f64) = (0.25, 0.5);
/// A gap from 3/16 in up to 13 mm admits a finger that the swing then pinches: ASTM F963
/// 4.18.1 as quoted by test houses (3/16 in, 1/2 in) and EN 71-1 (5, 12 mm), the stricter of each.
pub const PINCH: (f64, f64) = (4.7625, 13.0);

/// Sizes that are numbers and positive, angles below a right angle.
pub(super) fn check_wishes(wish: &JointWish, defaults: &JointDefaults) -> Vec<Finding> {
    use JointKey::{Ball, Clearance, Fillet, Flare, Gap, Land, Mouth, Neck, Swing};
    let quarter = std::f64::consts::FRAC_PI_2;
    let given = [
        (Ball, wish.ball, f64::MAX),
        (Clearance, wish.clearance, f64::MAX),
        (Neck, wish.neck, f64::MAX),
        (Mouth, wish.mouth, f64::MAX),
        (Swing, wish.swing, quarter),
        (Flare, wish.flare, quarter),
        (Land, wish.land, f64::MAX),
        (Gap, wish.gap, f64::MAX),
        (Fillet, wish.fillet, f64::MAX),
    ];
    let mut found: Vec<Finding> = given
        .into_iter()
        .filter_map(|(key, value, most)| size(key, value?, most))
        .collect();
    found.extend(wish.flare.and_then(flare_angle));
    let clearance = wish.clearance.unwrap_or(defaults.clearance);
    found.extend(gap_floor(wish.gap.unwrap_or(defaults.gap), clearance));
    found
}

fn size(key: JointKey, value: f64, most: f64) -> Option<Finding> {
    let least_ok = value > 0.0 || (key == JointKey::Fillet && value == 0.0);
    (!(least_ok && value < most)).then(|| Finding {
        rule: Rule::Size,
        values: vec![(key, value)],
        measured: key.written(value),
        limit: key.written(if least_ok { most } else { 0.0 }),
        agrees: Vec::new(),
    })
}

fn flare_angle(flare: f64) -> Option<Finding> {
    let limit = flare.clamp(FLARE_LEAST, FLARE_MOST);
    (!(FLARE_LEAST..FLARE_MOST).contains(&flare)).then(|| Finding {
        rule: Rule::FlareAngle,
        values: vec![(JointKey::Flare, flare)],
        measured: Measure::Angle(flare),
        limit: Measure::Angle(limit),
        agrees: vec![(JointKey::Flare, limit)],
    })
}

/// Pushed in by the clearance the ball still must not bring the faces together.
fn gap_floor(gap: f64, clearance: f64) -> Option<Finding> {
    (gap <= clearance).then(|| Finding {
        rule: Rule::GapTooSmall,
        values: vec![(JointKey::Gap, gap), (JointKey::Clearance, clearance)],
        measured: Measure::Length(gap),
        limit: Measure::Length(clearance),
        agrees: vec![(JointKey::Gap, JointDefaults::HARD_MAPLE.gap)],
    })
}

/// Rules about a solved joint: refusals and warnings, in the order of the rules.
#[must_use]
pub fn check_joint(joint: &Joint, wish: &JointWish, defaults: &JointDefaults) -> Vec<Finding> {
    let mut found = Vec::new();
    found.extend(fillet_length(joint));
    found.extend(if wish.flare.is_none() {
        flare_angle(joint.flare)
    } else {
        None
    });
    found.extend(wide_swing(joint));
    found.extend(thin_capture(joint));
    found.extend(odd_clearance(joint));
    found.extend(thin(
        JointKey::Neck,
        Rule::ThinNeck,
        joint.neck,
        defaults.least_neck,
    ));
    found.extend(thin(
        JointKey::Land,
        Rule::ThinLand,
        joint.land,
        defaults.land,
    ));
    found.extend(wish.flare.and_then(|_| narrow_flare(joint)));
    found.extend(pinch_gap(joint));
    found
}

fn fillet_length(joint: &Joint) -> Option<Finding> {
    let (from, reach) = (joint.stem().fillet_centre(), joint.reach());
    (from + NECK_LENGTH_LEAST > reach).then(|| Finding {
        rule: Rule::FilletLength,
        values: vec![
            (JointKey::Fillet, joint.fillet),
            (JointKey::Gap, joint.gap),
            (JointKey::Land, joint.land),
        ],
        measured: Measure::Length(from),
        limit: Measure::Length(reach - NECK_LENGTH_LEAST),
        agrees: vec![(JointKey::Gap, joint.gap + from + NECK_LENGTH_LEAST - reach)],
    })
}

fn wide_swing(joint: &Joint) -> Option<Finding> {
    (joint.swing > SWING_USUAL + NOISE).then(|| Finding {
        rule: Rule::WideSwing,
        values: vec![(JointKey::Swing, joint.swing)],
        measured: Measure::Angle(joint.swing),
        limit: Measure::Angle(SWING_USUAL),
        agrees: vec![(JointKey::Swing, SWING_USUAL)],
    })
}

/// Least that a mouth usually holds of a ball of this radius, mm.
pub fn usual_capture(ball: f64) -> f64 {
    CAPTURE_USUAL.0.max(CAPTURE_USUAL.1 * ball)
}

fn thin_capture(joint: &Joint) -> Option<Finding> {
    let (held, _) = capture(joint.ball, joint.mouth);
    let least = usual_capture(joint.ball);
    (held < least - NOISE).then(|| Finding {
        rule: Rule::ThinCapture,
        values: vec![(JointKey::Mouth, joint.mouth), (JointKey::Ball, joint.ball)],
        measured: Measure::Length(held),
        limit: Measure::Length(least),
        agrees: vec![(JointKey::Mouth, joint.ball - least)],
    })
}

fn odd_clearance(joint: &Joint) -> Option<Finding> {
    let usual = joint.clearance.clamp(CLEARANCE_USUAL.0, CLEARANCE_USUAL.1);
    ((joint.clearance - usual).abs() > NOISE).then(|| Finding {
        rule: Rule::OddClearance,
        values: vec![(JointKey::Clearance, joint.clearance)],
        measured: Measure::Length(joint.clearance),
        limit: Measure::Length(usual),
        agrees: vec![(JointKey::Clearance, usual)],
    })
}

fn thin(key: JointKey, rule: Rule, value: f64, least: f64) -> Option<Finding> {
    (value < least - NOISE).then(|| Finding {
        rule,
        values: vec![(key, value)],
        measured: key.written(value),
        limit: key.written(least),
        agrees: vec![(key, least)],
    })
}

/// A flare narrower than the swing of the mouth (5.12): the joint's swing is already the
/// reduced one, from the flare's outer edge.
fn narrow_flare(joint: &Joint) -> Option<Finding> {
    let wanted = mouth_swing(&joint.stem(), joint.clearance, joint.mouth);
    (joint.swing < wanted - NOISE).then(|| Finding {
        rule: Rule::NarrowFlare,
        values: vec![(JointKey::Flare, joint.flare), (JointKey::Swing, wanted)],
        measured: Measure::Angle(joint.swing),
        limit: Measure::Angle(wanted),
        agrees: vec![(JointKey::Flare, wanted)],
    })
}

fn pinch_gap(joint: &Joint) -> Option<Finding> {
    (joint.gap >= PINCH.0 && joint.gap < PINCH.1).then(|| Finding {
        rule: Rule::PinchGap,
        values: vec![(JointKey::Gap, joint.gap)],
        measured: Measure::Length(joint.gap),
        limit: Measure::Length(PINCH.0),
        agrees: vec![(JointKey::Gap, JointDefaults::HARD_MAPLE.gap)],
    })
}

/// Whether the flare ends inside the face of its end. `room` is the radius of the widest circle
/// about the axis that the face holds: the dome's rim circle, or the least of half width (less
/// the rim's lean) and heights of a flat end.
#[must_use]
pub fn check_end(joint: &Joint, room: f64) -> Option<Finding> {
    let (_, radius) = joint.flare_edge();
    (radius >= room).then(|| Finding {
        rule: Rule::FlareInFace,
        values: vec![
            (JointKey::Flare, joint.flare),
            (JointKey::Mouth, joint.mouth),
            (JointKey::Land, joint.land),
        ],
        measured: Measure::Length(2.0 * radius),
        limit: Measure::Length(2.0 * room),
        agrees: flare_within(joint, room)
            .map(|f| (JointKey::Flare, f))
            .into_iter()
            .collect(),
    })
}

/// The widest flare whose edge has the radius `room`: from the mouth to that circle of the face.
fn flare_within(joint: &Joint, room: f64) -> Option<f64> {
    let hm = super::mouth_plane(joint.socket(), joint.mouth);
    let x = match joint.face {
        SocketFace::Flat => joint.depth(),
        SocketFace::Domed if room < joint.depth() => super::mouth_plane(joint.depth(), room),
        SocketFace::Domed => return None,
    };
    let flare = (room - joint.mouth).atan2(x - hm);
    (x > hm && flare >= FLARE_LEAST).then_some(flare)
}

/// Rounding noise on lengths and angles, so that a value written as the limit does not warn.
const NOISE: f64 = 1e-9;

#[cfg(test)]
mod tests;
