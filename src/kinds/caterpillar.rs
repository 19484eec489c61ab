//! A caterpillar: round head, humps in three sizes.

use super::Kind;
use super::ground::Ground;
use super::write::Plan;

/// The caterpillar.
pub const CATERPILLAR: Kind = Kind {
    name: "caterpillar",
    words: "A caterpillar: round head with eyes, humps in three sizes.",
    least: 4,
    most: 24,
    usual: 11,
    plan,
};

fn plan(g: &Ground, sections: u32) -> Plan {
    let joint = g.joint(1.0);
    let parts = vec![
        g.head("the head, with eyes", &joint, 1.3)
            .eye(34, 0.42, 0.27)
            .blunt(0, 0.34, 0.33)
            .point(25, 0.84, 0.8, 0.78)
            .point(60, 1.0, 0.94, 0.9)
            .rear(&joint),
        g.part("hump", "one hump of the body", &joint, 1.14)
            .row(sections - 2, 0.96, 3)
            .point(30, 0.9, 0.92, 0.88)
            .point(65, 0.98, 0.98, 0.9)
            .rear(&joint),
        g.part("tail", "the round end", &joint, 1.5)
            .point(30, 0.86, 0.86, 0.84)
            .point(64, 0.76, 0.72, 0.68)
            .blunt(100, 0.28, 0.28),
    ];
    Plan {
        split: "level",
        parts,
    }
}
