//! One section: from its keys and its joints to its form.

use super::Ground;
use super::cutting::{Sides, sides};
use super::end_fit::{Joined, carries_ball, fits};
use super::expand::Part;
use super::eyes::eyes;
use super::flats::{self, Bed};
use super::foot::FootLine;
use super::joints::Link;
use super::outline::{Frame, stations};
use super::pins::{Field, pins};
use super::plates::plates;
use super::report::Report;
use super::roles::{Ends, Facing};
use super::skin::Wood;
use super::tabs;
use super::whole::whole;
use crate::chain::feature::Features;
use crate::chain::form::{End, EndFace, EndJoint, Pin, SectionForm, Station};
use crate::params::Located;
use crate::params::value::EndForm;
use crate::params::written::Point;

/// What lies beyond an end.
#[derive(Debug, Clone, Copy)]
pub(super) enum Beyond<'l, 'a> {
    /// The end of the chain.
    Nothing,
    /// A joint; `after` names the section in front of it.
    Joint { link: &'l Link<'a>, after: &'l str },
    /// A joint that was refused.
    Refused,
}

/// The form of a section; `None` after an error, here or in a joint.
pub(super) fn form(
    part: &Part<'_>,
    ends: &Ends,
    beyond: (Beyond<'_, '_>, Beyond<'_, '_>),
    ground: &Ground<'_>,
    report: &mut Report,
) -> Option<SectionForm> {
    let sides = sides(part, ground, report);
    let written = part.keys.length.map(|k| k.written.value.mm());
    let length = there(written, "length", part, report);
    let points = part.keys.outline.map(|k| &k.written.value);
    let points = there(points, "outline", part, report);
    let (length, points) = (length? * part.scale, points?);
    let front = end(beyond.0, ends.front.1, Facing::Front)?;
    let rear = end(beyond.1, ends.rear.1, Facing::Rear)?;
    let frame = frame(length, &sides, ends, (&front, &rear));
    let deep = too_deep(part, (&front, &rear), length, report);
    let mut outline = outline(part, points, ends, beyond, &frame, report)?;
    let bed = Bed {
        split: super::split(part, ground),
        length,
        rim: frame.rim,
        lean: frame.lean,
        faces: [front.face, rear.face],
    };
    let flats = flats::lay(part, &bed, &mut outline, report);
    if deep {
        return None;
    }
    let whole = whole(part, (&front, &rear), report);
    let pins = pins_of(
        part,
        &outline,
        (&front, &rear),
        &frame,
        whole,
        ground,
        report,
    );
    let features = Features {
        flats,
        ..stands(
            part,
            &outline,
            &pins,
            (&front, &rear),
            length,
            ground,
            report,
        )
    };
    Some(SectionForm {
        length,
        outline,
        rim: sides.rim,
        lean: sides.lean,
        front,
        rear,
        pins,
        whole,
        features,
    })
}

/// Plates, tabs and eyes.
fn stands(
    part: &Part<'_>,
    outline: &[Station],
    pins: &[Pin],
    (front, rear): (&End, &End),
    length: f64,
    ground: &Ground<'_>,
    report: &mut Report,
) -> Features {
    let ends = [front, rear];
    let line = FootLine::of(
        length,
        outline,
        ends.map(|e| e.face == EndFace::Closed),
        ends.map(|e| matches!(e.face, EndFace::Domed { .. })),
    );
    let split = super::split(part, ground);
    let plates = plates(part, split, &line, ground.shop.tip, report);
    let sides = tabs::Sides {
        line: &line,
        pins,
        plates: &plates,
    };
    let tabs = tabs::tabs(part, split, &sides, ground, report);
    Features {
        plates,
        tabs,
        eyes: eyes(part, split, length, report),
        ..Features::default()
    }
}

/// A key that every section needs.
fn there<T>(value: Option<T>, key: &str, part: &Part<'_>, report: &mut Report) -> Option<T> {
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

/// An end; `None` behind a refused joint, which leaves nothing more to say about the section.
fn end(beyond: Beyond<'_, '_>, face: EndForm, facing: Facing) -> Option<End> {
    let joint = match beyond {
        Beyond::Refused => return None,
        Beyond::Nothing => EndJoint::None,
        Beyond::Joint { link, .. } if carries_ball(link, facing) => {
            EndJoint::Ball(link.cut.to_ball())
        }
        Beyond::Joint { link, .. } => EndJoint::Socket(link.cut.to_socket()),
    };
    let face = match (face, &joint) {
        (EndForm::Domed, EndJoint::Socket(s)) => EndFace::Domed { radius: s.depth },
        (EndForm::Closed, _) => EndFace::Closed,
        _ => EndFace::Flat,
    };
    Some(End { face, joint })
}

fn frame(length: f64, sides: &Sides, ends: &Ends, (front, rear): (&End, &End)) -> Frame {
    let dome = |end: &End| match end.face {
        EndFace::Domed { radius } => radius,
        _ => 0.0,
    };
    Frame {
        length,
        rim: sides.rim,
        lean: sides.lean,
        tip_width: sides.tip_width,
        front: (ends.front.1, dome(front)),
        rear: (ends.rear.1, dome(rear)),
    }
}

/// Stations whose ends hold flare and neck.
fn outline(
    part: &Part<'_>,
    points: &[Located<Point>],
    ends: &Ends,
    (front, rear): (Beyond<'_, '_>, Beyond<'_, '_>),
    frame: &Frame,
    report: &mut Report,
) -> Option<Vec<Station>> {
    let stations = stations(part, points, frame, report)?;
    let (first, last) = (stations.first()?, stations.last()?);
    let mut sound = true;
    for (beyond, station, face, facing) in [
        (front, first, ends.front.1, Facing::Front),
        (rear, last, ends.rear.1, Facing::Rear),
    ] {
        if let Beyond::Joint { link, after } = beyond {
            let joined = Joined {
                link,
                after,
                face,
                facing,
            };
            sound &= fits(part, &joined, station, frame, report);
        }
    }
    sound.then_some(stations)
}

/// How deep a socket reaches into its section.
fn floor_of(end: &End) -> f64 {
    match end.joint {
        EndJoint::Socket(s) => s.depth + s.radius,
        _ => 0.0,
    }
}

fn too_deep(
    part: &Part<'_>,
    (front, rear): (&End, &End),
    length: f64,
    report: &mut Report,
) -> bool {
    let depths = floor_of(front) + floor_of(rear);
    if depths < length {
        return false;
    }
    let (found, limit) = report.lengths(depths, length);
    let place = part.keys.length.map_or(part.place, |k| &k.written.place);
    report.error(
        "socket depth",
        place,
        format!("sockets {found} deep in `{}`", part.name),
        format!("less than its length, {limit}"),
        "make the section longer or the ball smaller",
    );
    true
}

fn pins_of(
    part: &Part<'_>,
    outline: &[Station],
    (front, rear): (&End, &End),
    frame: &Frame,
    whole: bool,
    ground: &Ground<'_>,
    report: &mut Report,
) -> Vec<Pin> {
    if whole {
        return Vec::new();
    }
    let clear = |end: &End| match end.joint {
        EndJoint::Socket(_) => floor_of(end) + ground.walls.skin,
        _ => 0.0,
    };
    let field = Field {
        wood: Wood::new(
            outline,
            [front, rear].map(|end| end.face == EndFace::Closed),
            frame.rim,
            frame.lean,
        ),
        length: frame.length,
        free: (clear(front), frame.length - clear(rear)),
        ball_in_front: front.ball_radius() > 0.0,
    };
    let mut pins = pins(part, &field, ground, report);
    let wider = ground.measured().hole.unwrap_or(0.0);
    for pin in &mut pins {
        pin.radius -= 0.5 * wider;
    }
    pins
}

/// Widest reach of an end from the joint axis, for faces that meet.
pub(super) fn reach(form: &SectionForm, facing: Facing) -> f64 {
    let end = match facing {
        Facing::Front => form.outline.first(),
        Facing::Rear => form.outline.last(),
    };
    end.map_or(0.0, |s| s.half_width.max(s.above).max(s.below))
}
