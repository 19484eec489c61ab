//! Whether flare or neck fits the face it opens in or grows from.

use super::expand::Part;
use super::findings::{self, Subject};
use super::joints::Link;
use super::outline::{Frame, room};
use super::report::Report;
use super::roles::Facing;
use crate::chain::form::Station;
use crate::chain::joint::{Measure, check_end};
use crate::params::value::EndForm;

/// An end with its joint.
pub(super) struct Joined<'l, 'a> {
    pub link: &'l Link<'a>,
    /// Name of the section in front of the joint.
    pub after: &'l str,
    pub face: EndForm,
    pub facing: Facing,
}

/// Whether the section with this end carries the ball of the joint.
pub(super) fn carries_ball(link: &Link<'_>, facing: Facing) -> bool {
    link.ball_in_front == (facing == Facing::Rear)
}

/// Checks an end against its last station.
pub(super) fn fits(
    part: &Part<'_>,
    joined: &Joined<'_, '_>,
    station: &Station,
    frame: &Frame,
    report: &mut Report,
) -> bool {
    let link = joined.link;
    let room = room(station, joined.face, frame);
    if carries_ball(link, joined.facing) {
        return neck_fits(part, link.joint.neck, room, report);
    }
    if joined.face != EndForm::Domed && !flare_meets_plane(part, joined, frame.lean, report) {
        return false;
    }
    let Some(finding) = check_end(&link.joint, room) else {
        return true;
    };
    let subject = Subject {
        after: joined.after,
        given: &link.given,
        place: link.place,
    };
    findings::say(&finding, &subject, report);
    false
}

fn neck_fits(part: &Part<'_>, neck: f64, room: f64, report: &mut Report) -> bool {
    if neck < room {
        return true;
    }
    let (found, limit) = report.lengths(2.0 * neck, 2.0 * room);
    let place = part.keys.outline.map_or(part.place, |k| &k.written.place);
    report.error(
        "neck in face",
        place,
        format!("a neck of {found} on an end of `{}`", part.name),
        format!("under {limit}, the width of its face"),
        "make the end wider and higher, or the neck thinner",
    );
    false
}

/// A cone about the axis meets a plane that leans by more than the cone's complement in no closed
/// curve (derived: the cut is an ellipse while flare + lean stays under a right angle).
const FLARE_AND_LEAN: f64 = 89.0 * std::f64::consts::PI / 180.0;

fn flare_meets_plane(
    part: &Part<'_>,
    joined: &Joined<'_, '_>,
    lean: f64,
    report: &mut Report,
) -> bool {
    let flare = joined.link.joint.flare;
    if flare + lean <= FLARE_AND_LEAN {
        return true;
    }
    let angle = |radians| report.measure(Measure::Angle(radians));
    let (found, leans) = (angle(flare), angle(lean));
    let allowed = format!(
        "at most {}, so that flare and lean are under 89 deg together",
        angle(FLARE_AND_LEAN - lean)
    );
    report.error(
        "flare and lean",
        joined.link.place,
        format!(
            "a flare of {found} in a face of `{}` that leans by {leans}",
            part.name
        ),
        allowed,
        "make the flare narrower or the lean smaller, or the end domed",
    );
    false
}
