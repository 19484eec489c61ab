//! One section: from its keys and its joints to its form.

use super::Ground;
use super::cutting::{sides, stock};
use super::expand::Part;
use super::findings::{self, Subject};
use super::joints::Link;
use super::outline::{Frame, room, stations};
use super::pins::{Field, pins};
use super::report::Report;
use super::roles::Ends;
use super::skin::Wood;
use crate::chain::form::{End, EndFace, EndJoint, SectionForm, Station};
use crate::chain::joint::check_end;
use crate::params::value::EndForm;

/// The joints in front of and behind a section: `Some(None)` for one that was refused.
pub(super) type Sides<'l, 'a> = (Option<Option<&'l Link<'a>>>, Option<Option<&'l Link<'a>>>);

/// The form of a section; `None` after an error, here or in a joint.
pub(super) fn form(
    part: &Part<'_>,
    ends: &Ends,
    (front, rear): Sides<'_, '_>,
    name_before: &str,
    ground: &Ground<'_>,
    report: &mut Report,
) -> Option<SectionForm> {
    let sides = sides(part, ground, report);
    let length = missing(
        part.keys.length.map(|k| k.written.value.mm()),
        "length",
        part,
        report,
    );
    let points = missing(
        part.keys.outline.map(|k| &k.written.value),
        "outline",
        part,
        report,
    );
    let (length, points) = (length? * part.scale, points?);
    // A refused joint leaves its end unknown: nothing more to say about this section.
    let (front, rear) = (known(front)?, known(rear)?);
    let front_end = end_of(front, ends.front.1, Facing::Front);
    let rear_end = end_of(rear, ends.rear.1, Facing::Rear);
    let frame = Frame {
        length,
        rim: sides.rim,
        lean: sides.lean,
        tip_width: sides.tip_width,
        front: (ends.front.1, dome(&front_end)),
        rear: (ends.rear.1, dome(&rear_end)),
    };
    let depths = floor_of(&front_end) + floor_of(&rear_end);
    let deep = too_deep(part, depths, length, report);
    let stations = stations(part, points, &frame, report)?;
    let fits_front = fits(
        part,
        front,
        &stations[0],
        ends.front.1,
        Facing::Front,
        &frame,
        name_before,
        report,
    );
    let last = &stations[stations.len() - 1];
    let fits_rear = fits(
        part,
        rear,
        last,
        ends.rear.1,
        Facing::Rear,
        &frame,
        &part.name,
        report,
    );
    if deep || !fits_front || !fits_rear {
        return None;
    }
    let balls = [&front_end, &rear_end].map(|e| match e.joint {
        EndJoint::Ball(b) => b.radius,
        _ => 0.0,
    });
    stock(part, &stations, balls[0].max(balls[1]), ground, report);
    let field = Field {
        wood: Wood {
            stations: &stations,
            rim: sides.rim,
            lean: sides.lean,
        },
        length,
        free: (
            clear_of(&front_end, ground.walls.skin),
            length - clear_of(&rear_end, ground.walls.skin),
        ),
        ball_in_front: balls[0] > 0.0,
    };
    let pins = pins(part, &field, ground, report);
    Some(SectionForm {
        length,
        outline: stations,
        rim: sides.rim,
        lean: sides.lean,
        front: front_end,
        rear: rear_end,
        pins,
    })
}

/// Which way an end looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Facing {
    Front,
    Rear,
}

/// Whether the section behind or in front of this end carries the ball.
fn carries_ball(link: &Link<'_>, facing: Facing) -> bool {
    link.ball_in_front == (facing == Facing::Rear)
}

fn missing<T>(value: Option<T>, key: &str, part: &Part<'_>, report: &mut Report) -> Option<T> {
    if value.is_none() {
        report.error(
            key,
            part.place,
            format!("no `{key}` for `{}`", part.name),
            "one at the section, at one it is `like`, or in `defaults`",
            format!("write `{key}: ...`"),
        );
    }
    value
}

fn known<'l, 'a>(link: Option<Option<&'l Link<'a>>>) -> Option<Option<&'l Link<'a>>> {
    match link {
        None => Some(None),
        Some(solved) => solved.map(Some),
    }
}

fn end_of(link: Option<&Link<'_>>, face: EndForm, facing: Facing) -> End {
    let joint = link.map_or(EndJoint::None, |link| {
        if carries_ball(link, facing) {
            EndJoint::Ball(link.joint.to_ball())
        } else {
            EndJoint::Socket(link.joint.to_socket())
        }
    });
    let face = match (face, &joint) {
        (EndForm::Domed, EndJoint::Socket(s)) => EndFace::Domed { radius: s.depth },
        (EndForm::Closed, _) => EndFace::Closed,
        _ => EndFace::Flat,
    };
    End { face, joint }
}

fn dome(end: &End) -> f64 {
    match end.face {
        EndFace::Domed { radius } => radius,
        _ => 0.0,
    }
}

/// How deep a socket reaches into its section.
fn floor_of(end: &End) -> f64 {
    match end.joint {
        EndJoint::Socket(s) => s.depth + s.radius,
        _ => 0.0,
    }
}

/// From the datum to where a pin hole may begin.
fn clear_of(end: &End, wall: f64) -> f64 {
    match floor_of(end) {
        0.0 => 0.0,
        floor => floor + wall,
    }
}

fn too_deep(part: &Part<'_>, depths: f64, length: f64, report: &mut Report) -> bool {
    let deep = depths >= length;
    if deep {
        let (found, limit) = report.lengths(depths, length);
        let place = part.keys.length.map_or(part.place, |k| &k.written.place);
        report.error(
            "socket depth",
            place,
            format!("sockets {found} deep in `{}`", part.name),
            format!("less than its length, {limit}"),
            "make the section longer or the ball smaller",
        );
    }
    deep
}

/// Whether flare or neck fits the face it opens in or grows from.
#[allow(clippy::too_many_arguments)]
fn fits(
    part: &Part<'_>,
    link: Option<&Link<'_>>,
    station: &Station,
    face: EndForm,
    facing: Facing,
    frame: &Frame,
    after: &str,
    report: &mut Report,
) -> bool {
    let Some(link) = link else { return true };
    let room = room(station, face, frame);
    if !carries_ball(link, facing) {
        let Some(finding) = check_end(&link.joint, room) else {
            return true;
        };
        let subject = Subject {
            after,
            given: &link.given,
            place: link.place,
        };
        findings::say(&finding, &subject, report);
        return false;
    }
    if link.joint.neck < room {
        return true;
    }
    let (found, limit) = report.lengths(2.0 * link.joint.neck, 2.0 * room);
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

/// Widest reach of an end from the joint axis, for faces that meet.
pub(super) fn reach(form: &SectionForm, rear: bool) -> f64 {
    let end = if rear {
        form.outline.last()
    } else {
        form.outline.first()
    };
    end.map_or(0.0, |s| s.half_width.max(s.above).max(s.below))
}
