//! Which end carries ball or socket, and the form of its face.

use super::expand::Part;
use super::keys::{Key, Origin};
use super::report::Report;
use crate::params::value::{EndForm, JointKind};

/// The two ends of a section.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Ends {
    /// What the front carries, and its face.
    pub front: (JointKind, EndForm),
    /// What the rear carries, and its face.
    pub rear: (JointKind, EndForm),
}

/// Ends of all sections. `None` when two neighbours don't fit together.
pub(super) fn ends(parts: &[Part<'_>], report: &mut Report) -> Option<Vec<Ends>> {
    let mut kinds = vec![(JointKind::None, JointKind::None); parts.len()];
    let mut whole = true;
    for k in 1..parts.len() {
        match pair(&parts[k - 1], &parts[k], report) {
            Some((rear, front)) => (kinds[k - 1].1, kinds[k].0) = (rear, front),
            None => whole = false,
        }
    }
    loose_ends(parts, report);
    if !whole {
        return None;
    }
    let ends = parts.iter().zip(&kinds).map(|(part, &(front, rear))| Ends {
        front: (front, face(part, Facing::Front, front, report)),
        rear: (rear, face(part, Facing::Rear, rear, report)),
    });
    Some(ends.collect())
}

fn word(kind: JointKind) -> &'static str {
    match kind {
        JointKind::Socket => "socket",
        JointKind::Ball => "ball",
        JointKind::None => "none",
    }
}

/// What the rear of one section and the front of the next carry. Where one of them says
/// nothing it is the other's counterpart; where both say nothing, ball and socket.
fn pair(
    before: &Part<'_>,
    after: &Part<'_>,
    report: &mut Report,
) -> Option<(JointKind, JointKind)> {
    let (rear, front) = (before.keys.rear_joint, after.keys.front_joint);
    let counterpart = |kind| match kind {
        JointKind::Ball => JointKind::Socket,
        JointKind::Socket => JointKind::Ball,
        JointKind::None => JointKind::None,
    };
    let kinds = match (
        rear.map(|k| k.written.value),
        front.map(|k| k.written.value),
    ) {
        (None, None) => (JointKind::Ball, JointKind::Socket),
        (Some(rear), None) => (rear, counterpart(rear)),
        (None, Some(front)) => (counterpart(front), front),
        (Some(rear), Some(front)) => (rear, front),
    };
    if kinds.0 != JointKind::None && kinds.1 == counterpart(kinds.0) {
        return Some(kinds);
    }
    // The later key of the two is the one to name; one of them is written.
    let place = front.or(rear).map_or(after.place, |k| &k.written.place);
    report.error(
        "pair",
        place,
        format!(
            "`{}` at the rear of `{}` and `{}` at the front of `{}`",
            word(kinds.0),
            before.name,
            word(kinds.1),
            after.name
        ),
        "one ball and one socket",
        "write `rear_joint` of the one and `front_joint` of the other to fit, or leave both out",
    );
    None
}

/// A ball or socket that its own section asks for at an end of the chain joins nothing. What
/// comes from `defaults`, `like` or a repeated entry speaks of the sections between.
fn loose_ends(parts: &[Part<'_>], report: &mut Report) {
    let mut check =
        |part: Option<&Part<'_>>, key: fn(&Part<'_>) -> Option<(Origin, JointKind)>, end: &str| {
            let Some(part) = part else { return };
            let Some((Origin::Own, kind)) = key(part) else {
                return;
            };
            if part.repeated || kind == JointKind::None {
                return;
            }
            report.error(
                end,
                part.place,
                format!(
                    "a {} at the {end} of `{}`, where the chain ends",
                    word(kind),
                    part.name
                ),
                "`none`, or nothing written",
                format!("remove `{end}_joint`, or add a section"),
            );
        };
    check(
        parts.first(),
        |p| p.keys.front_joint.map(|k| (k.origin, k.written.value)),
        "front",
    );
    check(
        parts.last(),
        |p| p.keys.rear_joint.map(|k| (k.origin, k.written.value)),
        "rear",
    );
}

/// Which end of a section.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Facing {
    /// At x = 0.
    Front,
    /// At x = length.
    Rear,
}

/// Face of an end: as its section writes it, or as `like` or `defaults` write it where that
/// goes with what the end carries, or the usual one.
fn face(part: &Part<'_>, end: Facing, kind: JointKind, report: &mut Report) -> EndForm {
    let usual = match (kind, end) {
        (JointKind::None, _) => EndForm::Closed,
        (JointKind::Socket, Facing::Front) => EndForm::Domed,
        _ => EndForm::Flat,
    };
    let (key, name): (Option<Key<'_, EndForm>>, _) = match end {
        Facing::Front => (part.keys.front, "front"),
        Facing::Rear => (part.keys.rear, "rear"),
    };
    let Some(key) = key else { return usual };
    let form = key.written.value;
    let fits = match form {
        EndForm::Flat => true,
        EndForm::Domed => kind == JointKind::Socket,
        EndForm::Closed => kind == JointKind::None,
    };
    if fits {
        return form;
    }
    if key.origin == Origin::Own && !part.repeated {
        let (found, way_out) = match form {
            EndForm::Domed => (
                "domed",
                "a dome is drawn about a socket's centre: write `flat`",
            ),
            _ => (
                "closed",
                "a closed end carries nothing: write `flat` or `domed`",
            ),
        };
        report.error(
            name,
            &key.written.place,
            format!(
                "a {found} {name} of `{}`, which carries {}",
                part.name,
                carried(kind)
            ),
            "a face that goes with what the end carries",
            way_out,
        );
    }
    usual
}

fn carried(kind: JointKind) -> &'static str {
    match kind {
        JointKind::Socket => "a socket",
        JointKind::Ball => "a ball",
        JointKind::None => "nothing",
    }
}
