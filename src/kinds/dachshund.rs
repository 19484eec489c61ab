//! A dachshund: hanging ears, a long back on short legs, a thin tail.

use super::Kind;
use super::ground::Ground;
use super::part::Thick;
use super::write::Plan;

/// The dachshund.
pub const DACHSHUND: Kind = Kind {
    name: "dachshund",
    words: "A dachshund: hanging ears, a long back on four short legs, a thin tail.",
    least: 5,
    most: 14,
    usual: 7,
    plan,
};

fn plan(g: &Ground, sections: u32) -> Plan {
    let body = g.joint(0.95);
    let parts = vec![
        g.head("the head, with ears", &body, 2.0)
            .split("level")
            .eye(48, 0.34, 0.24)
            .plate(
                "both",
                Thick::Fin,
                &[
                    (50, 0.2, 0.14),
                    (60, 0.56, 0.2),
                    (80, 0.66, 0.24),
                    (84, 0.3, 0.16),
                ],
            )
            .blunt(0, 0.34, 0.34)
            .point(10, 0.46, 0.46, 0.44)
            .point(36, 0.56, 0.56, 0.5)
            .point(60, 0.86, 0.9, 0.7)
            .point(80, 0.84, 0.86, 0.7)
            .rear(&body),
        g.part("chest", "the front legs", &body, 1.85)
            .plate("belly", Thick::Leg, &[(32, 0.82, 0.14), (64, 0.82, 0.14)])
            .point(34, 1.0, 0.86, 0.86)
            .point(70, 1.0, 0.86, 0.86)
            .rear(&body),
        g.part("back", "the long back", &body, 1.25)
            .row(sections - 4, 1.0, 1)
            .point(34, 0.95, 0.84, 0.84)
            .point(70, 0.95, 0.84, 0.84)
            .rear(&body),
        g.part("rump", "the rear legs", &body, 1.85)
            .plate("belly", Thick::Leg, &[(32, 0.82, 0.14), (64, 0.82, 0.14)])
            .point(34, 0.98, 0.86, 0.86)
            .point(70, 0.98, 0.86, 0.86)
            .rear(&body),
        g.part("tail", "the tail", &body, 2.3)
            .point(24, 0.8, 0.74, 0.74)
            .point(54, 0.42, 0.4, 0.4)
            .blunt(100, 0.2, 0.27),
    ];
    Plan {
        split: "upright",
        parts,
    }
}
