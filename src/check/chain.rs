//! What the whole chain does: smallest ring, order of assembly.

use super::finding::{Amount, Finding, Subject};
use crate::chain::Creature;
use crate::chain::joint::ring_radius;
use crate::diagnostic::Severity;

/// The smallest ring that the chain can be bent into: the centre line of a regular polygon whose
/// corners are the joints (formula 5.16 with the mean of the pitches, derived); `swings` are the
/// usable swings of the joints, radians.
pub fn ring(subject: &Subject<'_>, creature: &Creature, swings: &[f64]) -> Option<Finding> {
    let (first, last) = (creature.sections.first()?, creature.sections.last()?);
    if swings.is_empty() {
        return None;
    }
    let bend: f64 = swings.iter().sum();
    let length = last.x + last.form.length - first.x;
    let mean = bend / swings.len() as f64;
    let pitch = length / (swings.len() + 1) as f64;
    if bend < std::f64::consts::TAU {
        let words = "all joints at their stops bend by";
        let bend = Amount::Angle(bend);
        return Some(subject.finds(Severity::Note, "ring", words, bend, None));
    }
    let radius = Amount::Length(ring_radius(pitch, mean));
    let words = "bends round a ring; its smallest centre line has a radius of about";
    Some(subject.finds(Severity::Note, "ring", words, radius, None))
}

/// Indices of `n` sections in the order of gluing: each closes round balls that are there.
pub fn glue_order(n: usize, ball_in_front: &[bool]) -> Vec<usize> {
    // How many joints before it must stand: the longest row of balls that leads to it.
    let mut stage = vec![0usize; n];
    for (k, _) in ball_in_front.iter().enumerate().filter(|j| *j.1) {
        stage[k + 1] = stage[k] + 1;
    }
    for (k, _) in ball_in_front.iter().enumerate().rev().filter(|j| !*j.1) {
        stage[k] = stage[k].max(stage[k + 1] + 1);
    }
    let mut order: Vec<usize> = (0..n).collect();
    order.sort_by_key(|&k| (stage[k], k));
    order
}

/// In which order sections are glued: those that close round a ball after those that carry it.
/// `ball_in_front` says of each joint which section carries the ball.
pub fn order(subject: &Subject<'_>, creature: &Creature, ball_in_front: &[bool]) -> Vec<Finding> {
    let n = creature.sections.len();
    let names: Vec<&str> = glue_order(n, ball_in_front)
        .into_iter()
        .map(|k| creature.sections[k].name.as_str())
        .collect();
    let mut all = vec![subject.notes("order", format!("glue in this order: {}", names.join(", ")))];
    for k in 1..ball_in_front.len() {
        if ball_in_front[k - 1] && !ball_in_front[k] {
            let words = format!(
                "`{}` closes round two balls at once: have both neighbours ready",
                creature.sections[k].name
            );
            all.push(subject.notes("order", words));
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::diagnostic::Place;
    use crate::units::Unit;

    /// Equal sections under these names, 44 mm apart.
    fn creature(names: &[&str]) -> Creature {
        let text = "limberwood: 1\nname: Row\nunits: mm\nbench_only: true\nsections:\n  - {name: one, \
                    length: 40, front: flat, rear: flat, front_joint: none, rear_joint: none, outline: \
                    [{at: 0%, half_width: 12, height: 12}, {at: 100%, half_width: 12, height: 12}]}\n";
        let (design, _) = crate::params::read_design_str(text, "row.yaml").unwrap();
        let shop = crate::params::built_in_shop();
        let mut creature = crate::chain::resolve(&design, &shop).unwrap().creature;
        let one = creature.sections[0].clone();
        creature.sections = names
            .iter()
            .enumerate()
            .map(|(k, name)| crate::chain::Section {
                number: k + 1,
                name: (*name).to_owned(),
                x: 44.0 * k as f64,
                ..one.clone()
            })
            .collect();
        creature
    }

    fn of(creature: &Creature, balls: &[bool]) -> Vec<String> {
        let place = Place::default();
        let subject = Subject {
            name: "Row",
            section: None,
            place: &place,
            unit: Unit::Mm,
        };
        let found = order(&subject, creature, balls);
        found.into_iter().map(|f| f.message.found).collect()
    }

    #[test]
    fn sections_close_round_balls_that_are_there() {
        let row = creature(&["a", "b", "c", "d"]);
        assert!(of(&row, &[true; 3])[0].ends_with("a, b, c, d"));
        assert!(of(&row, &[false; 3])[0].ends_with("d, c, b, a"));
        let both = of(&row, &[true, false, false]);
        assert!(both[0].ends_with("a, d, c, b"), "{}", both[0]);
        assert!(both[1].contains("`b` closes round two balls"));
        let out = of(&row, &[false, true, true]);
        assert!(
            out[0].ends_with("b, a, c, d") && out.len() == 1,
            "{}",
            out[0]
        );
    }

    #[test]
    fn a_ring_by_the_worked_values() {
        // Fact 5.16 (derived): pitch 40, swing 29 deg: radius 79.879 mm, 12.4 joints.
        let names: Vec<String> = (0..14).map(|k| format!("s{k}")).collect();
        let names: Vec<&str> = names.iter().map(String::as_str).collect();
        let mut row = creature(&names);
        for (k, section) in row.sections.iter_mut().enumerate() {
            section.x = 40.0 * k as f64;
        }
        let place = Place::default();
        let subject = Subject {
            name: "Row",
            section: None,
            place: &place,
            unit: Unit::Mm,
        };
        let swing = 29f64.to_radians();
        let found = ring(&subject, &row, &[swing; 13]).unwrap();
        let Some(Amount::Length(radius)) = found.measured else {
            panic!("{found:?}")
        };
        assert!((radius - 79.879).abs() < 1e-3, "{radius}");
        let short = ring(&subject, &row, &[swing; 12]).unwrap();
        assert!(
            matches!(short.measured, Some(Amount::Angle(a)) if (a - 12.0 * swing).abs() < 1e-9)
        );
    }
}
