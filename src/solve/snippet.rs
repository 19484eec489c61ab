//! What was found, in words and as lines of a design.

use super::fill::{Filled, Solved};
use crate::chain::joint::JointKey;
use crate::chain::joint::budget::Feel;
use crate::diagnostic::Diagnostic;
use crate::params::written::Design;
use crate::params::yaml_text;
use crate::units::{Angle, Length, angle_text, length_text, short};

/// Name of the rule of notes about what was found.
pub const RULE: &str = "auto";

/// What was found at one joint, or at several equal ones, as a note where `auto` stands.
#[must_use]
pub fn note(solved: &Solved, design: &Design) -> Diagnostic {
    let unit = design.units.value.0;
    let length = |mm: f64| length_text(Length::from_mm(mm), unit);
    let j = &solved.joint;
    let wall = match solved.wall.is_finite() {
        true => format!(
            ", {} of wood between socket and outer form",
            length(solved.wall)
        ),
        false => String::new(),
    };
    let found = format!(
        "found for the {}: ball {}, clearance {}, neck {}, mouth {}, land {}; swing {}{wall}; bound by {}",
        joints(&solved.after),
        length(2.0 * j.ball),
        length(j.clearance),
        length(2.0 * j.neck),
        length(2.0 * j.mouth),
        length(j.land),
        angle_text(Angle::from_radians(j.swing)),
        solved.limit
    );
    Diagnostic::note(solved.place.clone(), found).rule(RULE)
}

fn joints(after: &[String]) -> String {
    let first = after.first().map_or("", String::as_str);
    match after.len() {
        0 | 1 => format!("joint after `{first}`"),
        n => format!("joint after `{first}` and {} equal ones", n - 1),
    }
}

/// Lines of YAML to paste into the design in place of what says `auto`: one `joint` when all joints
/// came out equal, else entries of `joints`.
#[must_use]
pub fn snippet(filled: &Filled, joints: usize) -> String {
    let mut keys: Vec<String> = filled.solved.iter().map(keys).collect();
    let covered: usize = filled.solved.iter().map(|s| s.after.len()).sum();
    let scaled = filled.design.scale_joints.as_ref().is_some_and(|s| s.value);
    let alike = keys.windows(2).all(|pair| pair[0] == pair[1]);
    if alike && covered == joints && !scaled {
        let one = keys.pop().unwrap_or_default();
        return format!("joint: {{{one}}}\n");
    }
    let mut text = "joints:\n".to_owned();
    for (solved, keys) in filled.solved.iter().zip(&keys) {
        for after in &solved.after {
            text.push_str(&format!("  - {{after: {}, {keys}}}\n", yaml_text(after)));
        }
    }
    text
}

/// The keys of a joint with their values.
fn keys(solved: &Solved) -> String {
    let (j, seat) = (&solved.joint, &solved.seat);
    let mm = |mm: f64| format!("{} mm", short(mm, 4));
    let mut all = vec![format!("ball: {}", mm(2.0 * j.ball))];
    match seat.feel {
        Some(Feel::Stiff) => all.push("feel: stiff".to_owned()),
        Some(Feel::Easy) => all.push("feel: easy".to_owned()),
        Some(Feel::Loose) => all.push("feel: loose".to_owned()),
        None => all.push(format!("clearance: {}", mm(j.clearance))),
    }
    all.push(format!("neck: {}", mm(2.0 * j.neck)));
    all.push(format!("mouth: {}", mm(2.0 * j.mouth)));
    if seat.wish.land.is_some() || seat.finds(JointKey::Land) {
        all.push(format!("land: {}", mm(j.land)));
    }
    let more = [
        (
            "flare",
            seat.wish
                .flare
                .map(|f| format!("{} deg", short(f.to_degrees(), 4))),
        ),
        ("gap", seat.wish.gap.map(mm)),
        ("fillet", seat.wish.fillet.map(mm)),
    ];
    all.extend(
        more.into_iter()
            .filter_map(|(k, v)| Some(format!("{k}: {}", v?))),
    );
    all.join(", ")
}
