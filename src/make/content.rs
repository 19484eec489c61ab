//! Names for content: equal keys mean that a run would give the same, so its work need not be redone.

use super::Settings;
use crate::chain::{Accepted, ChainJoint, Resolved};
use crate::diagnostic::{Diagnostic, Place};
use crate::export::manifest::sha256;

/// The build of this program: version, and a hash of its sources, compiler and options.
pub const BUILD: &str = concat!(env!("CARGO_PKG_VERSION"), "-", env!("LIMBERWOOD_BUILD"));

/// Key of a creature as resolved, the settings and the build; `warnings` of reading and resolving are
/// findings, so they count, word for word. Where in the file something stands does not, so comments and
/// the order of keys leave the key as it is, unless a warning names a line.
pub fn content_key(resolved: &Resolved, settings: &Settings, warnings: &[Diagnostic]) -> String {
    // Every field by name: a new one does not compile until it is thought of.
    let Resolved {
        creature,
        joints,
        sources,
        walls,
        terms,
        accepted,
        boards,
        fits,
        blank,
        cutters,
        relief,
        trial,
        found,
        // What comes with a design is among the messages.
        warnings: _,
    } = resolved;
    // Numbers print so that they read back, so equal text is equal numbers.
    let mut text = format!("{BUILD}\n{creature:?}\n{walls:?}\n{terms:?}\n{boards:?}\n{fits:?}\n");
    let mut blank = blank.clone();
    blank
        .boards
        .iter_mut()
        .for_each(|b| b.place = Place::default());
    let stations = blank.stations.iter_mut();
    stations.for_each(|s| s.place = Place::default());
    text.push_str(&format!(
        "{blank:?}\n{cutters:?}\n{relief:?}\n{trial:?}\n{found:?}\n{settings:?}\n"
    ));
    for j in joints {
        let ChainJoint {
            after,
            ball_in_front,
            joint,
            limits,
            cut,
            cut_limits,
            reach,
            place,
            entries: _,
        } = j;
        let path = &place.path;
        text.push_str(&format!(
            "{after} {ball_in_front} {joint:?} {limits:?} {cut:?} {cut_limits:?} {reach:?} {path}\n"
        ));
    }
    for s in sources {
        text.push_str(&format!("{:?} {}\n", (s.sanding, s.stock), s.place.path));
    }
    for a in accepted {
        let Accepted {
            check,
            section,
            reason,
            place: _,
        } = a;
        text.push_str(&format!("{check:?} {section:?} {reason:?}\n"));
    }
    for w in warnings {
        let words = (&w.rule, &w.found, &w.allowed, &w.way_out);
        text.push_str(&format!("{:?} {words:?} {}\n", w.severity, w.place.path));
    }
    sha256(text.as_bytes())
}
