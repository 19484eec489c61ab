//! A ray: wide wings on one great section, a long thin tail.

use super::Kind;
use super::ground::Ground;
use super::part::Thick;
use super::write::Plan;

/// The ray.
pub const RAY: Kind = Kind {
    name: "ray",
    words: "A ray: wide wings on one great flat section, a long thin tail.",
    least: 4,
    most: 14,
    usual: 8,
    plan,
};

fn plan(g: &Ground, sections: u32) -> Plan {
    let tail = g.joint(0.74);
    let parts = vec![
        g.head("the wings, with eyes on top", &tail, 3.0)
            .eye(20, 0.4, 0.24)
            .plate(
                "both",
                Thick::Foot,
                &[
                    (12, 0.3, 0.3),
                    (52, 2.4, 0.2),
                    (68, 2.4, 0.2),
                    (86, 0.4, 0.3),
                ],
            )
            .blunt(0, 0.5, 0.34)
            .point(14, 0.9, 0.6, 0.46)
            .point(40, 1.2, 0.9, 0.6)
            .point(75, 0.95, 0.8, 0.6)
            .rear(&tail),
        g.part("tail", "the tail", &tail, 1.42)
            .row(sections - 2, 0.94, 2)
            .point(30, 0.72, 0.66, 0.6)
            .point(70, 0.68, 0.62, 0.58)
            .rear(&tail),
        g.part("tip", "the sting", &tail, 2.6)
            .point(26, 0.56, 0.56, 0.54)
            .point(60, 0.32, 0.34, 0.32)
            .blunt(100, 0.17, 0.27),
    ];
    Plan {
        split: "level",
        parts,
    }
}
