//! What a joint does: swing by closed form and by collision of the finished solids, capture, play.

use super::collide::Contact;
use super::finding::{Amount, Finding, Limit, Subject};
use crate::chain::joint::{Joint, JointLimits, usual_capture};
use crate::diagnostic::Severity;

/// First contacts of the neighbouring solids, the least of all directions; places in the frame of
/// the first part of the section with the socket.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Collided {
    /// Ball and socket concentric.
    pub concentric: Contact,
    /// Ball pushed aside by the clearance, less what facets may take of it.
    pub aside: Contact,
    /// By how much both may fall short of the closed forms for it, radians.
    pub short: [f64; 2],
    /// Closed forms of the joint as the solids are drawn.
    pub limits: JointLimits,
}

/// Findings of one joint.
pub fn findings(
    subject: &Subject<'_>,
    joint: &Joint,
    limits: &JointLimits,
    collided: Option<&Collided>,
) -> Vec<Finding> {
    let mut all = vec![capture(subject, joint, limits), play(subject, limits)];
    all.extend(swing(subject, limits, collided));
    all
}

/// The closed form, and what the solids do before it.
fn swing(subject: &Subject<'_>, limits: &JointLimits, collided: Option<&Collided>) -> Vec<Finding> {
    let first = |l: &JointLimits| l.faces.map_or(l.swing, |f| f.min(l.swing));
    let concentric = first(limits);
    let (swing, aside) = (Amount::Angle(concentric), Amount::Angle(limits.usable()));
    let pushed = "swings, with the ball pushed aside by the clearance, by";
    let mut all = vec![
        subject.finds(Severity::Note, "swing", "swings by", swing, None),
        subject.finds(Severity::Note, "swing", pushed, aside, None),
    ];
    let Some(found) = collided else { return all };
    let limits = &found.limits;
    let concentric = first(limits);
    let swing = Amount::Angle(concentric);
    let at_rest = [found.concentric, found.aside];
    if let Some(touch) = at_rest.iter().find(|c| c.angle <= 0.0) {
        let at = Amount::Angle(0.0);
        let limit = Limit::least(swing, "closed form of the joint");
        let words = "neighbouring sections touch at rest, at a bend of";
        let error = subject.finds(Severity::Error, "collision", words, at, Some(limit));
        let error = error.way_out("widen `gap`, or draw the two ends further apart");
        all.push(error.at(touch.place));
        return all;
    }
    // Pushed aside by less than the clearance, the closed form is a little wider.
    let pairs = [
        (found.concentric, concentric, "concentric"),
        (found.aside, limits.usable(), "with the ball pushed aside"),
    ];
    for ((contact, wanted, how), short) in pairs.into_iter().zip(found.short) {
        if contact.angle < wanted - short {
            let words = format!("{how}, other places of the two sections touch at a bend of");
            let limit = Limit::least(Amount::Angle(wanted), "closed form of the joint");
            let measured = Amount::Angle(contact.angle);
            let warning = subject.finds(
                Severity::Warning,
                "collision",
                &words,
                measured,
                Some(limit),
            );
            let way_out = "widen `gap`, make the ends near the joint narrower, or move plates away";
            all.push(warning.way_out(way_out).at(contact.place));
        }
    }
    all
}

fn capture(subject: &Subject<'_>, joint: &Joint, limits: &JointLimits) -> Finding {
    let least = usual_capture(joint.ball);
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
