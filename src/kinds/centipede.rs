//! A centipede: flat equal sections, each with a pair of legs.

use super::Kind;
use super::ground::Ground;
use super::part::Thick;
use super::write::Plan;

/// The centipede.
pub const CENTIPEDE: Kind = Kind {
    name: "centipede",
    words: "A centipede: flat equal sections with a pair of legs each; only three parts differ.",
    least: 4,
    most: 30,
    usual: 12,
    plan,
};

fn plan(g: &Ground, sections: u32) -> Plan {
    let joint = g.joint(0.86);
    let parts = vec![
        g.head("the head, with feelers", &joint, 1.45)
            .eye(36, 0.5, 0.24)
            .plate("both", Thick::Fin, &[(32, 0.5, 0.14), (50, 0.24, 0.12)])
            .blunt(0, 0.44, 0.33)
            .point(22, 0.86, 0.66, 0.56)
            .point(56, 1.0, 0.8, 0.68)
            .rear(&joint),
        g.part("body", "one of many, with a pair of legs", &joint, 1.5)
            .row(sections - 2, 1.0, 1)
            .plate(
                "both",
                Thick::Fin,
                &[
                    (36, 0.2, 0.12),
                    (46, 0.66, 0.14),
                    (60, 0.66, 0.14),
                    (64, 0.3, 0.12),
                ],
            )
            .point(30, 0.92, 0.78, 0.7)
            .square(2.4)
            .point(66, 0.96, 0.8, 0.7)
            .square(2.4)
            .rear(&joint),
        g.part("tail", "the end, with two long legs", &joint, 1.9)
            .plate(
                "both",
                Thick::Fin,
                &[(44, 0.2, 0.12), (66, 0.66, 0.14), (74, 0.6, 0.12)],
            )
            .point(30, 0.86, 0.74, 0.68)
            .point(66, 0.6, 0.54, 0.5)
            .blunt(100, 0.3, 0.28),
    ];
    Plan {
        split: "level",
        parts,
    }
}
