//! A whale: great blunt head, flippers, level flukes.

use super::Kind;
use super::ground::Ground;
use super::part::Thick;
use super::write::Plan;

/// The whale.
pub const WHALE: Kind = Kind {
    name: "whale",
    words: "A whale: great blunt head, flippers, a body that narrows to level flukes.",
    least: 5,
    most: 12,
    usual: 5,
    plan,
};

fn plan(g: &Ground, sections: u32) -> Plan {
    let (body, stem) = (g.joint(1.1), g.joint(0.8));
    let parts = vec![
        g.head("the great head", &body, 2.2)
            .eye(62, 0.95, 0.22)
            .blunt(0, 0.6, 0.4)
            .point(16, 1.08, 0.8, 0.66)
            .point(50, 1.4, 1.0, 0.88)
            .point(82, 1.36, 1.0, 0.9)
            .rear(&body),
        g.part("chest", "the flippers", &body, 1.65)
            .plate(
                "both",
                Thick::Fin,
                &[
                    (31, 0.27, 0.16),
                    (46, 0.74, 0.27),
                    (63, 0.8, 0.16),
                    (67, 0.32, 0.14),
                ],
            )
            .point(34, 1.3, 1.0, 0.92)
            .point(70, 1.2, 0.98, 0.9)
            .rear(&body),
        g.part("waist", "the waist", &body, 1.25)
            .row(sections - 4, 1.0, 1)
            .point(34, 1.06, 0.94, 0.86)
            .point(70, 0.94, 0.86, 0.8)
            .rear(&stem),
        g.part("stem", "the slim part before the flukes", &stem, 1.25)
            .point(32, 0.8, 0.75, 0.7)
            .point(70, 0.68, 0.66, 0.64)
            .rear(&stem),
        g.part("flukes", "the flukes, level as a whale's are", &stem, 2.2)
            .plate(
                "both",
                Thick::Fin,
                &[
                    (48, 0.16, 0.16),
                    (80, 1.1, 0.22),
                    (93, 1.16, 0.16),
                    (96, 0.75, 0.16),
                ],
            )
            .point(30, 0.64, 0.6, 0.56)
            .point(66, 0.44, 0.4, 0.38)
            .blunt(100, 0.27, 0.27),
    ];
    Plan {
        split: "level",
        parts,
    }
}
