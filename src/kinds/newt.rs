//! A newt: whole head, four splayed feet, a tail that tapers.

use super::Kind;
use super::ground::Ground;
use super::part::Thick;
use super::write::Plan;

/// The newt.
pub const NEWT: Kind = Kind {
    name: "newt",
    words: "A newt: broad head in one piece, four splayed feet, a long tail.",
    least: 6,
    most: 16,
    usual: 8,
    plan,
};

fn plan(g: &Ground, sections: u32) -> Plan {
    let (body, tail) = (g.joint(0.92), g.joint(0.74));
    // Head, shoulder, hip, root and tip stand once; of the rest two fifths are belly.
    let rest = sections - 5;
    let bellies = (2 * rest).div_ceil(5);
    let tails = rest - bellies;
    let mut parts = vec![
        g.head("the head, with eyes", &body, 1.5)
            .whole()
            .eye(42, 0.56, 0.29)
            .blunt(0, 0.36, 0.27)
            .point(16, 0.73, 0.49, 0.43)
            .point(52, 1.0, 0.76, 0.62)
            .point(80, 0.8, 0.71, 0.64)
            .rear(&body),
        g.part("shoulder", "the front feet", &body, 1.6)
            .plate(
                "both",
                Thick::Fin,
                &[
                    (30, 0.38, 0.19),
                    (38, 0.68, 0.22),
                    (52, 0.65, 0.22),
                    (64, 0.22, 0.14),
                ],
            )
            .point(30, 0.89, 0.81, 0.73)
            .point(70, 0.92, 0.84, 0.73)
            .rear(&body),
        g.part("belly", "the back between the feet", &body, 1.28)
            .row(bellies, 1.0, 1)
            .point(30, 0.92, 0.84, 0.73)
            .point(70, 0.92, 0.84, 0.73)
            .rear(&body),
        g.part("hip", "the rear feet", &body, 1.6)
            .plate(
                "both",
                Thick::Fin,
                &[
                    (30, 0.22, 0.14),
                    (42, 0.65, 0.22),
                    (56, 0.68, 0.22),
                    (64, 0.38, 0.19),
                ],
            )
            .point(30, 0.89, 0.82, 0.73)
            .point(70, 0.84, 0.8, 0.7)
            .rear(&tail),
        g.part("root", "where the tail begins", &tail, 1.35)
            .point(30, 0.75, 0.75, 0.68)
            .point(70, 0.7, 0.7, 0.65)
            .rear(&tail),
    ];
    if tails > 0 {
        parts.push(
            g.part("tail", "the tail", &tail, 1.35)
                .row(tails, 0.94, 2)
                .point(30, 0.66, 0.68, 0.62)
                .point(70, 0.62, 0.64, 0.6)
                .rear(&tail),
        );
    }
    parts.push(
        g.part("tip", "the tip of the tail", &tail, 2.2)
            .point(26, 0.6, 0.62, 0.58)
            .point(62, 0.4, 0.44, 0.4)
            .blunt(100, 0.17, 0.27),
    );
    Plan {
        split: "level",
        parts,
    }
}
