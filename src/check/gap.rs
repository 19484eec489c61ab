//! Gaps between neighbouring end faces over the whole swing, and what rods find there.

use super::finding::{Amount, Finding, Limit, Subject};
use crate::chain::joint::{Joint, JointLimits, PINCH, SocketFace, face_gap};
use crate::diagnostic::Severity;

/// Rods of the rule, mm: 5 (EN 71-1, from memory; ASTM F963 4.18.1 has 3/16 in) and 13.
const RODS: (f64, f64) = (5.0, 13.0);

/// Findings of one joint. `reach` is how far its end faces reach from the axis, mm.
pub fn findings(
    subject: &Subject<'_>,
    joint: &Joint,
    limits: &JointLimits,
    reach: f64,
) -> Vec<Finding> {
    let note = |words: &str, mm: f64| {
        subject.finds(Severity::Note, "gap", words, Amount::Length(mm), None)
    };
    let mut all = vec![note("gap at rest", joint.gap)];
    match joint.face {
        SocketFace::Domed => {
            all.push(note("least gap over the whole swing", joint.gap));
            all.push(rods(subject, joint, reach));
        }
        SocketFace::Flat => {
            let at = |swing| face_gap(joint.depth(), joint.gap, reach, swing);
            let (least, most) = (at(limits.usable()).max(0.0), at(-limits.usable()));
            all.push(note("least gap over the whole swing", least));
            all.push(note("widest gap over the whole swing", most));
            let rod = most * 2.0 / (1.0 + 1.0 / limits.usable().cos());
            all.extend(pinch(subject, joint.gap, (most, rod)));
        }
    }
    all
}

/// A gap between flat faces that the swing opens for a finger and closes again; what admits one at
/// rest already is told where the joint is solved. `most` is the distance of the far edge from the
/// other face, `rod` the thickest rod that comes under it: its middle lies half of it from both
/// faces, and the face behind the edge slopes (derived).
fn pinch(subject: &Subject<'_>, rest: f64, (most, rod): (f64, f64)) -> Option<Finding> {
    let told = rest >= PINCH.0 && rest < PINCH.1;
    (!told && most >= PINCH.0 && rod < PINCH.1).then(|| {
        let limit = Limit::most(Amount::Length(PINCH.0), "ASTM F963 4.18.1, EN 71-1");
        let words = "the swing opens the far side of the faces to";
        let amount = Amount::Length(most);
        let found = subject.finds(Severity::Warning, "pinch-gap", words, amount, Some(limit));
        found.way_out("dome the socket's end, or make `gap` or the ends narrower")
    })
}

/// How far in from outside the rods go beside a dome.
fn rods(subject: &Subject<'_>, joint: &Joint, reach: f64) -> Finding {
    let text = |mm: f64| Amount::Length(mm).text(subject.unit);
    let told = |rod: f64| {
        let stop = wedge_stop(joint.depth(), joint.gap, rod).max(joint.neck + 0.5 * rod);
        match stop < reach {
            true => format!("one of {} goes in by {}", text(rod), text(reach - stop)),
            false => format!("one of {} does not go in", text(rod)),
        }
    };
    let words = format!(
        "beside the dome the gap widens outwards, the same in every swing; of rods {}, {}",
        told(RODS.0),
        told(RODS.1)
    );
    subject.notes("gap", words)
}

/// Distance from the neck's axis at which a rod of diameter `rod`, rolled inwards on the flat face
/// towards a dome of radius `dome`, `gap` apart on the axis, meets the dome: its middle lies dome +
/// rod / 2 from the dome's centre and rod / 2 before the face (derived). 0 when it passes.
fn wedge_stop(dome: f64, gap: f64, rod: f64) -> f64 {
    let (far, along) = (dome + 0.5 * rod, dome + gap - 0.5 * rod);
    (far * far - along * along).max(0.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Rolls a rod inwards in small steps until it overlaps the dome.
    fn rolled_beside_dome(dome: f64, gap: f64, rod: f64) -> f64 {
        let mut off = 200.0f64;
        while off > 0.0 && off.hypot(dome + gap - 0.5 * rod) >= dome + 0.5 * rod {
            off -= 1e-3;
        }
        off.max(0.0)
    }

    /// Whether a rod that rolls inwards on the still face x = pivot comes under the outer edge of
    /// the other face, swung by `swing` away from it, whose places are sampled.
    fn rolls_under(pivot: f64, gap: f64, reach: f64, swing: f64, rod: f64) -> bool {
        let (sin, cos) = swing.sin_cos();
        // The far side: the edge swings away.
        let place = |e: f64| ((pivot + gap) * cos + e * sin, e * cos - (pivot + gap) * sin);
        let edge = place(reach).1;
        let mut y = edge + 2.0 * rod;
        while y > edge {
            let hit = (0..=400).any(|k| {
                let (x, z) = place(reach * f64::from(k) / 400.0);
                (x - pivot - 0.5 * rod).hypot(z - y) < 0.5 * rod
            });
            if hit {
                return false;
            }
            y -= 0.01;
        }
        true
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(24) })]

        #[test]
        fn a_rod_rolled_beside_a_dome(dome in 8.0..25.0f64, gap in 2.0..8.0f64, rod in 1.0..15.0f64) {
            let (found, rolled) = (wedge_stop(dome, gap, rod), rolled_beside_dome(dome, gap, rod));
            prop_assert!((found - rolled).abs() < 2e-3, "{found} {rolled}");
        }

        #[test]
        fn a_rod_rolled_between_flat_faces(pivot in 6.0..14.0f64, gap in 2.0..8.0f64, reach in 8.0..20.0f64, swing in 0.05..0.4f64) {
            let widest = face_gap(pivot, gap, reach, -swing);
            let thickest = widest * 2.0 / (1.0 + 1.0 / swing.cos());
            prop_assert!(rolls_under(pivot, gap, reach, swing, thickest - 0.05));
            prop_assert!(!rolls_under(pivot, gap, reach, swing, thickest + 0.05));
            prop_assert!(thickest <= widest && thickest > 0.95 * widest);
        }
    }

    #[test]
    fn the_worked_value() {
        // Fact 1.22 (derived): p 6.408, g 3, e 15, 10 deg: 0.2523 and 5.4618.
        let swing = 10f64.to_radians();
        assert!((face_gap(6.408, 3.0, 15.0, swing) - 0.2523).abs() < 1e-4);
        assert!((face_gap(6.408, 3.0, 15.0, -swing) - 5.4618).abs() < 1e-4);
    }
}
