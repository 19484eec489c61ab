//! The design files of a coupon's pairs: one section with a socket, and the section with the ball.

use std::fmt::Write;

use crate::chain::joint::{Joint, SocketFace, mouth_for_swing, mouth_swing};
use crate::chain::{Measured, Resolved};
use crate::check::accept::is;
use crate::params::value::Name;
use crate::params::yaml_quoted;

/// Clearances that are tried, against the design's, mm.
pub const STEPS: [f64; 4] = [-0.1, 0.0, 0.1, 0.2];
/// Names of their sections.
pub const NAMES: [&str; 4] = ["tight", "as-designed", "wide", "wider"];
/// Name of the section with the ball.
pub const BALL: &str = "ball";
/// Pin holes that are tried, against the shop's, mm on the diameter: in the sections with sockets,
/// and in the one with the ball.
const HOLES: ([f64; 4], f64) = ([-0.1, -0.05, 0.05, 0.1], 0.0);
/// Tabs of the first and of the last sample are thinner and thicker by this, mm.
const TAB_STEP: f64 = 0.5;
/// Wood over a socket beyond the least of the species, mm, so that no rounding makes it too thin.
const SPARE: f64 = 0.2;
/// Beside a socket: glue groove with its distances, mm (habit of the glue face: 1.5 and 0.8, 0.5 to the
/// chamfer, the chamfer, and a little).
const BESIDE: f64 = 3.5;
/// From a socket's edge to the outline, mm: groove and 3 of glue face, and a little.
const GLUE: f64 = 5.6;
/// From a pin hole to the closed end of a sample beyond the least wood beside a hole, and to the ends of
/// the section with the ball, mm.
const END: (f64, f64) = (1.0, 2.0);
/// Room for the number of the section with the ball, along it: beside its hole where it is wider than
/// [`WIDE`], else in front of it, mm.
const NUMBER: (f64, f64) = (4.0, 8.0);
/// Half of a width beside whose hole a number has room, mm.
const WIDE: f64 = 11.0;
/// Characters of a creature's name in that of its coupon.
const NAME: usize = Name::MOST - " coupon".len();
/// Half length and width of the flat that heights are measured to, mm.
const FLAT: (f64, f64) = (3.5, 8.0);
/// Width of the small flat at the closed end of a sample, mm.
const TIP: f64 = 12.0;

/// What the samples of a coupon have in common, and what differs.
pub(super) struct Plan<'a> {
    pub design: &'a Resolved,
    /// The joint that is tried.
    pub joint: Joint,
    /// Number of the joint.
    pub link: usize,
}

/// One sample.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Sample {
    /// Its place among [`STEPS`].
    pub step: usize,
    /// Its joint, as it is to come out.
    pub joint: Joint,
    /// Diameter of its pin hole, mm.
    pub hole: f64,
    /// Thickness of its tabs where they differ from the shop's, mm.
    pub tab: Option<f64>,
    /// Height of its flat over the split plane, mm.
    pub height: f64,
    /// Wood over the socket, mm.
    pub wall: f64,
}

impl Plan<'_> {
    /// The sample at a step: the joint of the design with another clearance and the same swing, for
    /// which the mouth follows.
    pub fn sample(&self, step: usize) -> Sample {
        let own = &self.joint;
        let clearance = nano(own.clearance + STEPS[step]);
        let swing = mouth_swing(&own.stem(), own.clearance, own.mouth);
        let mouth = match STEPS[step] {
            0.0 => Some(own.mouth),
            _ => mouth_for_swing(&own.stem(), clearance, swing),
        };
        let mut joint = Joint {
            clearance,
            mouth: mouth.unwrap_or(own.mouth),
            ..*own
        };
        // One ball is tried in all sockets, so its neck is as long for each.
        joint.gap = nano(own.reach() - joint.depth());
        let crown = self.crown();
        Sample {
            step,
            joint,
            hole: self.hole(HOLES.0[step]),
            tab: match step {
                0 => Some(self.design.fits.tab - TAB_STEP),
                3 => Some(self.design.fits.tab + TAB_STEP),
                _ => None,
            },
            height: crown - 0.5,
            wall: crown - joint.socket(),
        }
    }

    /// Diameter of the ball section's pin hole, mm.
    pub fn ball_hole(&self) -> f64 {
        self.hole(HOLES.1)
    }

    fn hole(&self, more: f64) -> f64 {
        let fits = &self.design.fits;
        nano(fits.dowel + fits.making.slip + more)
    }

    /// Radius of the widest socket, as it comes out or as it is drawn.
    fn widest(&self) -> f64 {
        let most = self.joint.socket() + STEPS[3];
        let Measured { socket, .. } = self.design.fits.making.measured;
        most.max(most - 0.5 * socket.unwrap_or(0.0))
    }

    /// Height of the samples over their sockets: a wall as thin as the wood allows.
    fn crown(&self) -> f64 {
        nano(self.widest() + self.design.walls.skin + SPARE)
    }

    /// The design file of a sample and its ball.
    pub fn text(&self, sample: &Sample) -> String {
        let mut out = String::new();
        let reason = "a coupon tries it";
        let species = &self.design.creature.species;
        // As much of the name as leaves room for the word.
        let name: String = self.design.creature.name.chars().take(NAME).collect();
        out += &format!(
            "limberwood: 1\nname: {}\n",
            yaml_quoted(&format!("{name} coupon"))
        );
        out += &format!("units: mm\nspecies: {species}\nsplit: level\naccept:\n");
        for check in ["odd-clearance", "budget", "pin-fit"] {
            out += &format!("  - {{check: {check}, reason: {reason}}}\n");
        }
        out += "  - {check: small-parts, reason: a coupon is no toy}\n";
        out += "  - {check: strength, reason: samples are held dry and not pried}\n";
        for (check, reason) in self.accepted() {
            out += &format!("  - {{check: {check}, reason: {}}}\n", yaml_quoted(reason));
        }
        out += &joint(&sample.joint);
        out += &format!("defaults: {{tip_width: {TIP}}}\nsections:\n");
        self.socket_section(sample, &mut out);
        self.ball_section(sample, &mut out);
        out
    }

    /// What the design accepts of its joint, with its reasons.
    fn accepted(&self) -> impl Iterator<Item = (&str, &str)> {
        const OF_JOINTS: [&str; 7] = [
            "wide-swing",
            "thin-capture",
            "thin-neck",
            "thin-land",
            "narrow-flare",
            "pinch-gap",
            "faces-meet",
        ];
        let after = &self.design.creature.sections[self.design.joints[self.link].after].name;
        let all = self.design.accepted.iter();
        all.filter(move |a| a.section.as_ref().is_none_or(|s| is(after, s)))
            .map(|a| (a.check.as_str(), a.reason.as_str()))
            .filter(|(check, _)| OF_JOINTS.contains(check))
    }

    fn socket_section(&self, sample: &Sample, out: &mut String) {
        let joint = &sample.joint;
        let (depth, crown) = (joint.depth(), self.crown());
        let floor = depth + joint.socket();
        let from_end = floor + self.design.walls.skin + BESIDE + 0.5 * sample.hole;
        let wood = self.design.walls.pin_floor;
        let length = (from_end + 0.5 * sample.hole + wood + END.0).ceil();
        let hole = nano(length - from_end);
        let wide = self.widest() + GLUE;
        let end = end_radius(joint, self.design.walls.land);
        let face = match joint.face {
            SocketFace::Domed => "domed",
            SocketFace::Flat => "flat",
        };
        let name = NAMES[sample.step];
        *out += &format!("  - name: {name}\n    length: {length}\n    rear_joint: socket\n");
        *out += &format!(
            "    rear: {face}\n    pins: [{{at: {hole} mm, diameter: {}}}]\n",
            sample.hole
        );
        let (half, width) = FLAT;
        let (from, to) = (nano(hole - half), nano(hole + half));
        *out +=
            &format!("    flats: [{{side: both, width: {width}, from: {from} mm, to: {to} mm}}]\n");
        if let Some(tab) = sample.tab {
            *out += "    tabs:\n";
            for side in ["left", "right"] {
                *out += &format!("      - {{side: {side}, at: {to} mm, thickness: {tab}}}\n");
            }
        }
        *out += "    outline:\n";
        point(out, "0%", (0.72 * wide, 0.62 * crown), None);
        point(
            out,
            &format!("{hole} mm"),
            (wide - 1.0, sample.height),
            Some(3),
        );
        point(
            out,
            &format!("{} mm", nano(length - depth)),
            (wide, crown),
            None,
        );
        point(out, "100%", (end, end), Some(2));
    }

    fn ball_section(&self, sample: &Sample, out: &mut String) {
        let hole = self.ball_hole();
        // The same for every sample.
        let thick = 0.98 * end_radius(&self.joint, self.design.walls.land);
        let number = if thick > WIDE { NUMBER.0 } else { NUMBER.1 };
        let length = (hole + 2.0 * (self.design.walls.pin_floor + END.1) + number).ceil();
        debug_assert!(sample.joint.ball == self.joint.ball);
        *out += &format!("  - name: {BALL}\n    length: {length}\n");
        *out += &format!("    pins: [{{at: 50%, diameter: {hole}}}]\n    outline:\n");
        point(out, "0%", (thick, thick), Some(2));
        point(out, "50%", (thick, thick), None);
        point(out, "100%", (0.85 * thick, 0.7 * thick), None);
    }
}

/// The end with the socket: as wide as nearly its dome, or as the flare asks for.
fn end_radius(joint: &Joint, land: f64) -> f64 {
    let (_, flare) = joint.flare_edge();
    match joint.face {
        SocketFace::Domed => (0.92 * joint.depth())
            .max(flare + 1.5)
            .min(0.97 * joint.depth()),
        SocketFace::Flat => flare + land + 0.3,
    }
}

/// The key `joint`: diameters as files have them; the gap is the design's, the swing follows.
fn joint(joint: &Joint) -> String {
    let mut out = format!(
        "joint: {{ball: {}, clearance: {}, neck: {}, mouth: {}, land: {}, gap: {}, fillet: {}",
        2.0 * joint.ball,
        joint.clearance,
        2.0 * joint.neck,
        2.0 * joint.mouth,
        joint.land,
        joint.gap,
        joint.fillet
    );
    if (joint.flare - joint.swing).abs() > 1e-9 {
        let _ = write!(out, ", flare: {} deg", joint.flare.to_degrees());
    }
    out + "}\n"
}

fn point(out: &mut String, at: &str, (width, height): (f64, f64), squareness: Option<u8>) {
    let (width, height) = (nano(width), nano(height));
    *out += &format!("      - {{at: {at}, half_width: {width}, height: {height}");
    if let Some(n) = squareness {
        *out += &format!(", squareness: {n}");
    }
    *out += "}\n";
}

/// To a millionth of a mm, so that sums print short.
fn nano(mm: f64) -> f64 {
    (mm * 1e6).round() / 1e6
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::resolve;
    use crate::params::{BUILT_IN_SHOP, read_design_str, read_shop_str};

    #[test]
    fn one_ball_is_tried_in_all_sockets() {
        let text = include_str!("../../../params/caterpillar.yaml");
        let (design, _) = read_design_str(text, "design").unwrap();
        let (shop, _) = read_shop_str(BUILT_IN_SHOP, "shop").unwrap();
        let design = resolve(&design, &shop).unwrap();
        let plan = Plan {
            design: &design,
            joint: design.joints[0].joint,
            link: 0,
        };
        let samples = [0, 1, 2, 3].map(|k| plan.sample(k).joint);
        for joint in samples {
            assert!((joint.reach() - plan.joint.reach()).abs() < 1e-6);
        }
        // Their faces lie at other depths, so the gap has to give way.
        assert!((samples[0].depth() - samples[3].depth()).abs() > 0.01);
    }
}
