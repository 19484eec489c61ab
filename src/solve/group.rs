//! Joints that are solved together, and how values are put into a design.

use super::table::Candidate;
use crate::chain::Seat;
use crate::chain::joint::JointKey;
use crate::diagnostic::Place;
use crate::params::Located;
use crate::params::value::{Name, OrAuto};
use crate::params::written::{Design, Joint, JointOverride};
use crate::units::{Angle, Length};

/// Keys that follow by closed forms; those that one relation ties are searched for.
const PLAIN: [JointKey; 2] = [JointKey::Clearance, JointKey::Land];

/// Joints that become equal.
#[derive(Debug, Clone)]
pub(super) struct Group<'a> {
    /// From front to rear; the keys of the first stand for all.
    pub seats: Vec<&'a Seat>,
    /// How much more wood than the habit the closed form of a flat end keeps round the flare, mm.
    pub ring: f64,
}

impl<'a> Group<'a> {
    /// The groups of the joints in which something is to be found, in the order of their first.
    pub fn of(seats: &'a [Seat]) -> Vec<Group<'a>> {
        let mut groups: Vec<Group<'a>> = Vec::new();
        for seat in seats
            .iter()
            .filter(|s| PLAIN.iter().chain(&JointKey::TIED).any(|&k| s.finds(k)))
        {
            match groups.iter_mut().find(|g| g.seats[0].class == seat.class) {
                Some(group) => group.seats.push(seat),
                None => groups.push(Group {
                    seats: vec![seat],
                    ring: 0.0,
                }),
            }
        }
        groups
    }

    /// Whether closed forms alone decide: neither ball nor neck, mouth or swing is to be found.
    pub fn is_plain(&self) -> bool {
        !JointKey::TIED.iter().any(|&k| self.seats[0].finds(k))
    }

    /// Writes a candidate into the entries of its joints.
    pub fn write(&self, one: &Candidate, design: &mut Design) {
        for seat in &self.seats {
            put(seat, one, design);
        }
    }
}

/// A length as a value that stands at a place.
fn length(mm: f64, place: &Place) -> Option<Located<OrAuto<Length>>> {
    Some(Located::new(
        OrAuto::Given(Length::from_mm(mm)),
        place.clone(),
    ))
}

fn put(seat: &Seat, one: &Candidate, design: &mut Design) {
    let place = own_place(seat);
    let list = design
        .joints
        .get_or_insert_with(|| Located::new(Vec::new(), seat.place.clone()));
    let name = seat.after.to_lowercase();
    let known = |o: &Located<JointOverride>| o.value.after.value.0.to_lowercase() == name;
    let at = match list.value.iter().position(known) {
        Some(at) => at,
        None => {
            list.value
                .push(Located::new(entry(&seat.after, &place), place.clone()));
            list.value.len() - 1
        }
    };
    let joint = &mut list.value[at].value.joint;
    joint.ball = length(2.0 * one.ball, &place);
    joint.neck = length(2.0 * one.neck, &place);
    joint.mouth = length(2.0 * one.mouth, &place);
    // The three give the swing.
    joint.swing = None;
    if seat.feel.is_none() {
        joint.clearance = length(one.clearance, &place);
    }
    if seat.finds(JointKey::Land) {
        joint.land = length(one.land, &place);
    }
}

/// Where messages about what was found point: the key that asks for it, named with the joint.
fn own_place(seat: &Seat) -> Place {
    Place {
        path: format!("{} (after `{}`)", seat.place.path, seat.after),
        ..seat.place.clone()
    }
}

fn entry(after: &str, place: &Place) -> JointOverride {
    JointOverride {
        after: Located::new(Name(after.to_owned()), place.clone()),
        joint: nothing(place),
        place: place.clone(),
    }
}

fn nothing(place: &Place) -> Joint {
    Joint {
        ball: None,
        clearance: None,
        feel: None,
        neck: None,
        mouth: None,
        swing: None,
        flare: None,
        land: None,
        gap: None,
        fillet: None,
        place: place.clone(),
    }
}

/// A design without any `auto` at its joints.
pub(super) fn stripped(written: &Design) -> Design {
    let mut design = written.clone();
    let general = design.joint.as_mut().map(|g| &mut g.value);
    let own = design.joints.as_mut().map(|list| &mut list.value);
    let own = own.into_iter().flatten().map(|o| &mut o.value.joint);
    general.into_iter().chain(own).for_each(strip);
    design
}

/// Takes every `auto` out of a record; what is found stands in an entry of its own.
fn strip(joint: &mut Joint) {
    let lengths = [
        &mut joint.ball,
        &mut joint.clearance,
        &mut joint.neck,
        &mut joint.mouth,
        &mut joint.land,
        &mut joint.gap,
        &mut joint.fillet,
    ];
    for key in lengths {
        key.take_if(|k| k.value == OrAuto::Auto);
    }
    for key in [&mut joint.swing, &mut joint.flare] {
        key.take_if(|k: &mut Located<OrAuto<Angle>>| k.value == OrAuto::Auto);
    }
}
