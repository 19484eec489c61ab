//! A dragon: spikes along the back, four feet, an arrow at the tail.

use super::Kind;
use super::ground::Ground;
use super::part::Thick;
use super::write::Plan;

/// The dragon.
pub const DRAGON: Kind = Kind {
    name: "dragon",
    words: "A dragon: horned head, spikes along the back, four feet, an arrow at the tail.",
    least: 6,
    most: 18,
    usual: 10,
    plan,
};

fn plan(g: &Ground, sections: u32) -> Plan {
    let (body, tail) = (g.joint(0.95), g.joint(0.76));
    // Head, shoulder, hip and tip stand once; half of the rest is back, half tail.
    let rest = sections - 4;
    let backs = rest.div_ceil(2);
    let spike = &[
        (32, 0.12, 0.1),
        (52, 0.5, 0.12),
        (60, 0.46, 0.1),
        (64, 0.12, 0.1),
    ];
    let parts = vec![
        g.head("the head, with a horn", &body, 2.0)
            .eye(64, 0.34, 0.27)
            .plate(
                "back",
                Thick::Fin,
                &[(50, 0.14, 0.1), (72, 0.62, 0.14), (80, 0.4, 0.1)],
            )
            .blunt(0, 0.4, 0.34)
            .point(14, 0.56, 0.5, 0.5)
            .point(34, 0.56, 0.5, 0.5)
            .point(60, 0.86, 0.72, 0.72)
            .point(84, 0.86, 0.74, 0.74)
            .rear(&body),
        g.part("shoulder", "the front feet and a spike", &body, 1.6)
            .plate("back", Thick::Fin, spike)
            .plate("belly", Thick::Leg, &[(34, 0.62, 0.14), (62, 0.62, 0.14)])
            .point(32, 0.94, 0.8, 0.8)
            .point(70, 0.96, 0.82, 0.82)
            .rear(&body),
        g.part("back", "a spike on the back", &body, 1.42)
            .row(backs, 1.0, 1)
            .plate("back", Thick::Fin, spike)
            .point(32, 0.96, 0.82, 0.82)
            .point(70, 0.96, 0.82, 0.82)
            .rear(&body),
        g.part("hip", "the rear feet and a spike", &body, 1.6)
            .plate("back", Thick::Fin, spike)
            .plate("belly", Thick::Leg, &[(34, 0.62, 0.14), (62, 0.62, 0.14)])
            .point(32, 0.92, 0.8, 0.8)
            .point(70, 0.84, 0.76, 0.76)
            .rear(&tail),
        g.part("tail", "a smaller spike", &tail, 1.5)
            .row(rest - backs, 0.94, 2)
            .plate(
                "back",
                Thick::Fin,
                &[(36, 0.12, 0.1), (56, 0.36, 0.1), (62, 0.12, 0.1)],
            )
            .point(32, 0.7, 0.68, 0.68)
            .point(70, 0.64, 0.64, 0.64)
            .rear(&tail),
        g.part("tip", "the arrow", &tail, 2.4)
            .plate(
                "both",
                Thick::Fin,
                &[(64, 0.6, 0.12), (68, 0.7, 0.12), (94, 0.14, 0.1)],
            )
            .point(26, 0.56, 0.58, 0.58)
            .point(58, 0.4, 0.4, 0.4)
            .blunt(100, 0.2, 0.27),
    ];
    Plan {
        split: "upright",
        parts,
    }
}
