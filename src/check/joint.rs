//! What a joint does: swing by closed form and by collision of the finished solids, capture, play,
//! gap over the whole swing.

use super::finding::{Amount, Finding, Limit, Subject};
use crate::chain::joint::{CAPTURE_USUAL, Joint, JointLimits, SocketFace, face_gap};
use crate::diagnostic::Severity;

/// How much the swing of meshes falls short of that of solids, in deviations over the socket's
/// radius: neck and mouth each lie off by the deviation, seen from the centre of the joint, the neck
/// by up to 1 / cos 30 degrees more (derived; `tests/swings.rs` holds it).
const FACETS: f64 = 2.16;

/// First contacts of the neighbouring solids, the least of all directions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Collided {
    /// Ball and socket concentric, radians.
    pub concentric: f64,
    /// Ball pushed aside by `push`, radians.
    pub aside: f64,
    /// The push, mm: the clearance less what facets may take.
    pub push: f64,
    /// Largest deviation of the two meshes, mm.
    pub deviation: f64,
}

/// Findings of one joint. `reach` is how far its end faces reach from the axis, mm.
pub fn findings(
    subject: &Subject<'_>,
    joint: &Joint,
    limits: &JointLimits,
    reach: f64,
    collided: Option<&Collided>,
) -> Vec<Finding> {
    let mut all = vec![capture(subject, joint, limits), play(subject, limits)];
    all.extend(gap(subject, joint, limits, reach));
    all.extend(swing(subject, joint, limits, collided));
    all
}

/// The closed form, and what the solids do before it.
fn swing(
    subject: &Subject<'_>,
    joint: &Joint,
    limits: &JointLimits,
    collided: Option<&Collided>,
) -> Vec<Finding> {
    let concentric = limits.faces.map_or(limits.swing, |f| f.min(limits.swing));
    let (swing, aside) = (Amount::Angle(concentric), Amount::Angle(limits.usable()));
    let pushed = "swings, with the ball pushed aside by the clearance, by";
    let mut all = vec![
        subject.finds(Severity::Note, "swing", "swings by", swing, None),
        subject.finds(Severity::Note, "swing", pushed, aside, None),
    ];
    let Some(found) = collided else { return all };
    let short = FACETS * found.deviation / joint.socket();
    if found.concentric <= 0.0 || found.aside <= 0.0 {
        let at = Amount::Angle(0.0);
        let limit = Limit::least(swing, "closed form of the joint");
        let words = "neighbouring sections touch at rest, at a bend of";
        let error = subject.finds(Severity::Error, "collision", words, at, Some(limit));
        all.push(error.way_out("widen `gap`, or draw the two ends further apart"));
        return all;
    }
    // Pushed aside by less than the clearance, the closed form is a little wider.
    let pairs = [
        (found.concentric, concentric, "concentric"),
        (found.aside, limits.usable(), "with the ball pushed aside"),
    ];
    for (measured, wanted, how) in pairs {
        if measured < wanted - short {
            let words = format!("{how}, other places of the two sections touch at a bend of");
            let limit = Limit::least(Amount::Angle(wanted), "closed form of the joint");
            let measured = Amount::Angle(measured);
            let warning = subject.finds(
                Severity::Warning,
                "collision",
                &words,
                measured,
                Some(limit),
            );
            let way_out = "widen `gap`, make the ends near the joint narrower, or move plates away";
            all.push(warning.way_out(way_out));
        }
    }
    all
}

fn capture(subject: &Subject<'_>, joint: &Joint, limits: &JointLimits) -> Finding {
    let least = CAPTURE_USUAL.0.max(CAPTURE_USUAL.1 * joint.ball);
    let held = Amount::Length(limits.capture);
    let limit = Some(Limit::least(Amount::Length(least), "habit"));
    // Too little is told when the joint is solved.
    subject.finds(
        Severity::Note,
        "capture",
        "mouth holds the ball by",
        held,
        limit,
    )
}

fn play(subject: &Subject<'_>, limits: &JointLimits) -> Finding {
    let play = Amount::Length(limits.play);
    subject.finds(
        Severity::Note,
        "play",
        "moves along the axis by",
        play,
        None,
    )
}

/// A dome about the socket's centre keeps its gap; flat faces close on one side.
fn gap(subject: &Subject<'_>, joint: &Joint, limits: &JointLimits, reach: f64) -> Vec<Finding> {
    let rest = Amount::Length(joint.gap);
    let at_rest = subject.finds(Severity::Note, "gap", "gap at rest", rest, None);
    let least = match joint.face {
        SocketFace::Domed => joint.gap,
        SocketFace::Flat => face_gap(joint.depth(), joint.gap, reach, limits.usable()).max(0.0),
    };
    let words = "least gap over the whole swing";
    let least = subject.finds(Severity::Note, "gap", words, Amount::Length(least), None);
    vec![at_rest, least]
}
