//! Neck and mouth of a joint.

use std::f64::consts::{FRAC_PI_2, PI};

use super::load::{JAMMED, PRIED, PULL, PULLED, TORQUE};
use super::{Finding, Held, Subject, finding};
use crate::chain::joint::{Joint, SocketFace, hoop_force, mouth_plane};
use crate::chain::strengths::{PRYING, Strengths, bending_stress};

/// The screen of a joint. `room` is how far its socket's end face reaches from the axis at least,
/// mm.
pub fn joint(subject: &Subject<'_>, joint: &Joint, room: f64, wood: &Strengths) -> Finding {
    let held = held(joint, room, wood);
    let way_out = "make the neck or the land thicker, or take a stronger wood";
    finding(subject, "neck and mouth", &held, way_out)
}

/// Neck bent, pulled (fact 1.26: F / (pi n^2)) and turned in a ball that is jammed (2 T / (pi
/// n^3)); lip of the mouth pulled (5.8). The neck runs with the grain, and half of it in each half.
/// Tension along the grain is not tabulated: bending strength is a low estimate of it (Wood
/// Handbook, from memory). The hoop of the lip works across the grain everywhere.
fn held(joint: &Joint, room: f64, wood: &Strengths) -> [Held; 4] {
    let n = joint.neck;
    let hoop = hoop_force(PULL, joint.ball, joint.mouth);
    [
        Held {
            name: "neck pried at its stop",
            stress: bending_stress(PRYING.0 * PRYING.1, 2.0 * n),
            strength: wood.bending,
            // The joint room warns of it.
            judged: false,
            source: PRIED,
        },
        Held {
            name: "neck pulled",
            stress: PULL / (PI * n * n),
            strength: wood.bending,
            judged: true,
            source: PULLED,
        },
        Held {
            name: "neck turned",
            stress: 2.0 * TORQUE / (PI * n.powi(3)),
            strength: Some(wood.shear),
            // A ball turns freely in its socket: this is one that is jammed.
            judged: false,
            source: JAMMED,
        },
        Held {
            name: "mouth's lip pulled",
            stress: hoop / lip_area(joint, room),
            strength: wood.across,
            judged: true,
            source: PULLED,
        },
    ]
}

/// Area of the lip's ring cut by a plane through the axis, mm2, on one side of it, on the thin side
/// (derived). In a dome: the shell between socket and dome from the flare's edge to the plane
/// through the socket's centre, (D^2 - Rs^2) / 2 times that angle. In a flat end: from the mouth's
/// circle to the least `room`, as deep as the land, less the flare's triangle.
fn lip_area(joint: &Joint, room: f64) -> f64 {
    let (x, r) = joint.flare_edge();
    let area = match joint.face {
        SocketFace::Domed => {
            let (dome, socket) = (joint.depth(), joint.socket());
            0.5 * (dome * dome - socket * socket) * (FRAC_PI_2 - r.atan2(x)).max(0.0)
        }
        SocketFace::Flat => {
            let deep = x - mouth_plane(joint.socket(), joint.mouth);
            deep * (room - joint.mouth) - 0.5 * deep * (r - joint.mouth)
        }
    };
    area.max(f64::MIN_POSITIVE)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn example() -> Joint {
        Joint {
            ball: 10.0,
            clearance: 0.25,
            neck: 4.0,
            mouth: 8.0,
            swing: 0.4,
            flare: 0.5,
            land: 3.0,
            gap: 4.0,
            fillet: 0.0,
            face: SocketFace::Domed,
        }
    }

    #[test]
    fn the_worked_values() {
        // Fact 1.26 (derived): n = 4: 90 N 1.7905 MPa; 4 in-lbf 4.4955 MPa. 5.8: 19.0986 N.
        let joint = example();
        let held = held(&joint, 13.0, &Strengths::of("hard maple"));
        assert!((held[1].stress - 1.7905).abs() < 1e-4, "{held:?}");
        assert!(
            (held[2].stress - 4.495523508534465).abs() < 1e-9,
            "{held:?}"
        );
        let hoop = held[3].stress * lip_area(&joint, 13.0);
        assert!((hoop - 19.098593171027442).abs() < 1e-9, "{hoop}");
    }

    /// The area counted over a fine grid of the plane through the axis.
    #[test]
    fn the_lip_by_counting() {
        for face in [SocketFace::Domed, SocketFace::Flat] {
            let joint = Joint { face, ..example() };
            let (room, step) = (13.0, 0.01);
            let hm = mouth_plane(joint.socket(), joint.mouth);
            let (ex, er) = joint.flare_edge();
            let wood = |x: f64, r: f64| match face {
                SocketFace::Domed => {
                    let d = x.hypot(r);
                    d > joint.socket() && d < joint.depth() && r.atan2(x) > er.atan2(ex)
                }
                SocketFace::Flat => {
                    let cone = joint.mouth + (x - hm) * joint.flare.tan();
                    x > hm && x < ex && r > cone && r < room
                }
            };
            let cells = (0..1500).flat_map(|i| (0..1500).map(move |k| (i, k)));
            let count = cells
                .filter(|&(i, k)| wood((f64::from(i) + 0.5) * step, (f64::from(k) + 0.5) * step))
                .count();
            let counted = count as f64 * step * step;
            let found = lip_area(&joint, room);
            assert!(
                (found / counted - 1.0).abs() < 2e-3,
                "{face:?} {found} {counted}"
            );
        }
    }
}
