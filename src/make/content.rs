//! Names for content: equal keys mean that a run would give the same, so its work need not be redone.

use super::Settings;
use crate::chain::{Accepted, ChainJoint, Resolved};
use crate::diagnostic::{Diagnostic, Place};
use crate::export::manifest::sha256;

/// The build of this program: version, and a hash of its sources, compiler and options.
pub const BUILD: &str = concat!(env!("CARGO_PKG_VERSION"), "-", env!("LIMBERWOOD_BUILD"));

/// Key of a creature as resolved, the settings and the build; `warnings` of reading are findings, so
/// they count. Where in the file something stands does not: comments and the order of keys leave the
/// key as it is.
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
        warnings: own,
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
    for w in own.clone().sorted().iter().chain(warnings) {
        let words = (&w.rule, &w.found, &w.allowed, &w.way_out);
        let words = without_lines(&format!("{words:?}"));
        text.push_str(&format!("{:?} {words} {}\n", w.severity, w.place.path));
    }
    sha256(text.as_bytes())
}

/// A text without the numbers of lines that messages name, as in `swing 18 deg (line 4)`.
fn without_lines(text: &str) -> String {
    let mut parts = text.split("(line ");
    let mut left = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        left.push_str("(line ");
        left.push_str(part.trim_start_matches(|c: char| c.is_ascii_digit()));
    }
    left
}

#[cfg(test)]
mod tests {
    use super::without_lines;

    #[test]
    fn numbers_of_lines_are_left_out_and_no_others() {
        let text = "swing 18 deg (line 4), ball 3 (line 12)";
        assert_eq!(without_lines(text), "swing 18 deg (line ), ball 3 (line )");
        assert_eq!(without_lines("18 deg"), "18 deg");
    }
}
