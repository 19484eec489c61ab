//! A pike: tall fish whose split stands upright, fins far back.

use super::Kind;
use super::ground::Ground;
use super::part::Thick;
use super::write::Plan;

/// The pike.
pub const PIKE: Kind = Kind {
    name: "pike",
    words: "A pike: long snout, tall body of left and right halves, fins far back.",
    least: 4,
    most: 18,
    usual: 7,
    plan,
};

fn plan(g: &Ground, sections: u32) -> Plan {
    let body = g.joint(0.92);
    let parts = vec![
        g.head("the head, with an eye on each side", &body, 2.05)
            .eye(60, 0.34, 0.32)
            .blunt(0, 0.24, 0.27)
            .point(26, 0.5, 0.43, 0.43)
            .point(58, 0.82, 0.64, 0.64)
            .point(86, 0.92, 0.72, 0.72)
            .rear(&body),
        g.part("trunk", "the long body", &body, 1.22)
            .row(sections - 3, 1.0, 1)
            .point(34, 0.97, 0.77, 0.77)
            .point(72, 0.97, 0.77, 0.77)
            .rear(&body),
        g.part("fins", "the fins on back and belly", &body, 1.6)
            .plate(
                "both",
                Thick::Fin,
                &[
                    (28, 0.14, 0.1),
                    (50, 0.76, 0.22),
                    (63, 0.7, 0.16),
                    (66, 0.22, 0.1),
                ],
            )
            .point(32, 0.9, 0.74, 0.74)
            .point(70, 0.8, 0.7, 0.7)
            .rear(&body),
        g.part("tail", "the tail and its fin", &body, 2.15)
            .plate(
                "both",
                Thick::Fin,
                &[(59, 0.14, 0.1), (90, 0.95, 0.22), (95, 0.82, 0.16)],
            )
            .point(24, 0.76, 0.7, 0.7)
            .point(64, 0.45, 0.45, 0.45)
            .blunt(100, 0.27, 0.27),
    ];
    Plan {
        split: "upright",
        parts,
    }
}
