//! An otter: round head with ears, sleek body, four paws, a thick tail.

use super::Kind;
use super::ground::Ground;
use super::part::Thick;
use super::write::Plan;

/// The otter.
pub const OTTER: Kind = Kind {
    name: "otter",
    words: "An otter: round head with ears, sleek body, four paws, a thick tail.",
    least: 6,
    most: 16,
    usual: 7,
    plan,
};

fn plan(g: &Ground, sections: u32) -> Plan {
    let (body, tail) = (g.joint(1.0), g.joint(0.8));
    let parts = vec![
        g.head("the head, with eyes and ears", &body, 1.5)
            .eye(38, 0.42, 0.25)
            .plate(
                "both",
                Thick::Fin,
                &[
                    (58, 0.12, 0.09),
                    (63, 0.26, 0.12),
                    (71, 0.24, 0.12),
                    (76, 0.11, 0.09),
                ],
            )
            .blunt(0, 0.38, 0.33)
            .point(20, 0.7, 0.57, 0.6)
            .point(56, 0.98, 0.92, 0.74)
            .point(84, 0.88, 0.84, 0.75)
            .rear(&body),
        g.part("chest", "the front paws", &body, 1.62)
            .plate(
                "both",
                Thick::Fin,
                &[
                    (32, 0.27, 0.16),
                    (40, 0.6, 0.22),
                    (53, 0.57, 0.22),
                    (65, 0.19, 0.14),
                ],
            )
            .point(34, 0.97, 0.94, 0.84)
            .point(70, 1.0, 0.96, 0.86)
            .rear(&body),
        g.part("back", "the sleek back", &body, 1.35)
            .row(sections - 5, 1.0, 1)
            .point(30, 1.0, 0.96, 0.86)
            .point(70, 1.0, 0.96, 0.86)
            .rear(&body),
        g.part("hips", "the rear paws", &body, 1.62)
            .plate(
                "both",
                Thick::Fin,
                &[
                    (32, 0.22, 0.14),
                    (44, 0.62, 0.22),
                    (58, 0.68, 0.22),
                    (66, 0.38, 0.19),
                ],
            )
            .point(32, 0.98, 0.94, 0.84)
            .point(72, 0.9, 0.86, 0.78)
            .rear(&tail),
        g.part("tail", "the thick tail", &tail, 1.5)
            .point(30, 0.8, 0.76, 0.72)
            .point(70, 0.74, 0.7, 0.66)
            .rear(&tail),
        g.part("tip", "the tip of the tail", &tail, 2.2)
            .point(28, 0.7, 0.66, 0.62)
            .point(66, 0.5, 0.46, 0.42)
            .blunt(100, 0.22, 0.27),
    ];
    Plan {
        split: "level",
        parts,
    }
}
