//! A crocodile: long flat snout, armoured back, a tail with teeth.

use super::Kind;
use super::ground::Ground;
use super::part::Thick;
use super::write::Plan;

/// The crocodile.
pub const CROCODILE: Kind = Kind {
    name: "crocodile",
    words: "A crocodile: long flat snout, boxy back, a tail with teeth on both sides.",
    least: 7,
    most: 18,
    usual: 10,
    plan,
};

fn plan(g: &Ground, sections: u32) -> Plan {
    let (body, tail) = (g.joint(0.9), g.joint(0.74));
    // Head, shoulder, hip, root and tip stand once; half of the rest is back, half tail.
    let rest = sections - 5;
    let backs = rest / 2;
    let parts = vec![
        g.head("the head: long snout, eyes on top", &body, 2.7)
            .whole()
            .eye(70, 0.42, 0.26)
            .blunt(0, 0.5, 0.3)
            .point(12, 0.66, 0.4, 0.36)
            .point(40, 0.56, 0.36, 0.34)
            .point(62, 0.95, 0.66, 0.5)
            .point(80, 1.02, 0.84, 0.62)
            .rear(&body),
        g.part("shoulder", "the front legs", &body, 1.7)
            .plate(
                "both",
                Thick::Foot,
                &[
                    (29, 0.5, 0.12),
                    (35, 0.9, 0.14),
                    (56, 0.9, 0.14),
                    (64, 0.3, 0.12),
                ],
            )
            .point(30, 0.95, 0.82, 0.7)
            .square(2.6)
            .point(70, 1.08, 0.86, 0.7)
            .square(2.6)
            .rear(&body),
        g.part("back", "the armoured back", &body, 1.25)
            .row(backs, 1.0, 1)
            .point(30, 1.08, 0.88, 0.7)
            .square(2.8)
            .point(70, 1.08, 0.88, 0.7)
            .square(2.8)
            .rear(&body),
        g.part("hip", "the rear legs", &body, 1.7)
            .plate(
                "both",
                Thick::Foot,
                &[
                    (30, 0.3, 0.12),
                    (38, 0.9, 0.14),
                    (60, 0.9, 0.14),
                    (66, 0.5, 0.12),
                ],
            )
            .point(30, 1.05, 0.86, 0.7)
            .square(2.6)
            .point(70, 0.9, 0.8, 0.68)
            .square(2.6)
            .rear(&tail),
        g.part("root", "where the tail begins", &tail, 1.5)
            .plate(
                "both",
                Thick::Fin,
                &[(36, 0.12, 0.1), (60, 0.36, 0.1), (64, 0.12, 0.1)],
            )
            .point(30, 0.78, 0.74, 0.66)
            .square(2.4)
            .point(70, 0.7, 0.7, 0.64)
            .square(2.4)
            .rear(&tail),
        g.part("tail", "a tooth on both sides", &tail, 1.5)
            .row(rest - backs, 0.94, 2)
            .plate(
                "both",
                Thick::Fin,
                &[(36, 0.12, 0.1), (60, 0.36, 0.1), (64, 0.12, 0.1)],
            )
            .point(30, 0.66, 0.68, 0.6)
            .square(2.4)
            .point(70, 0.62, 0.64, 0.58)
            .square(2.4)
            .rear(&tail),
        g.part("tip", "the tip of the tail", &tail, 2.4)
            .point(26, 0.58, 0.6, 0.56)
            .point(62, 0.4, 0.42, 0.38)
            .blunt(100, 0.17, 0.27),
    ];
    Plan {
        split: "level",
        parts,
    }
}
