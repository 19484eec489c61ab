//! The text of a design: short, each key explained where it comes first.

use std::collections::BTreeSet;
use std::fmt::Write;

use super::ground::Joint;
use super::part::{Part, Plate, Point};
use super::ruler::Ruler;
use super::slim::{REASON, Slim};
use crate::units::Unit;

/// Column of the comments.
const COLUMN: usize = 34;

/// A creature before it is written.
#[derive(Debug, Clone)]
pub struct Plan {
    /// How its split plane stands: level or upright.
    pub split: &'static str,
    /// Sections from front to rear.
    pub parts: Vec<Part>,
}

impl Plan {
    /// Length from nose to tail, mm, with `gap` between sections.
    #[must_use]
    pub fn length(&self, gap: f64) -> f64 {
        let sections: u32 = self.parts.iter().map(|p| p.repeat).sum();
        let parts: f64 = self.parts.iter().map(Part::total).sum();
        parts + gap * f64::from(sections.saturating_sub(1))
    }

    /// Joints in order, each with the name of the section in front of it.
    fn joints(&self) -> Vec<(String, Joint)> {
        let mut joints = Vec::new();
        let mut before: Option<String> = None;
        for part in &self.parts {
            for k in 1..=part.repeat {
                if let (Some(after), Some(joint)) = (before.take(), part.front) {
                    joints.push((after, joint));
                }
                before = Some(match part.repeat {
                    1 => part.name.to_owned(),
                    _ => format!("{}-{k}", part.name),
                });
            }
        }
        joints
    }
}

/// What stands above the sections.
#[derive(Debug, Clone, Copy)]
pub struct Head<'a> {
    /// Name of the creature.
    pub name: &'a str,
    /// First line of the file for people.
    pub about: &'a str,
    /// Wood.
    pub species: &'a str,
    /// Warnings that are accepted.
    pub accepted: &'a [Slim],
}

/// Writes a plan.
#[must_use]
pub fn text(plan: &Plan, head: &Head<'_>, ruler: Ruler) -> String {
    let mut page = Page {
        ruler,
        text: String::new(),
        told: BTreeSet::new(),
    };
    page.head(plan, head);
    let joints = plan.joints();
    let usual = joints.first().map(|(_, joint)| *joint);
    if let Some(joint) = usual {
        page.joint(&joint);
    }
    page.accepted(head.accepted);
    page.text.push_str("\nsections:");
    page.text
        .push_str("                        # from head to tail\n");
    for (k, part) in plan.parts.iter().enumerate() {
        if k > 0 {
            page.text.push('\n');
        }
        page.part(part);
    }
    page.others(&joints, usual);
    page.text
}

struct Page {
    ruler: Ruler,
    text: String,
    told: BTreeSet<&'static str>,
}

impl Page {
    /// A line, with a comment the first time `key` comes.
    fn line(&mut self, line: &str, key: &'static str, comment: &str) {
        self.text.push_str(line);
        if self.told.insert(key) && !comment.is_empty() {
            let room = COLUMN.saturating_sub(line.chars().count()).max(1);
            let _ = write!(self.text, "{:room$}# {comment}", "");
        }
        self.text.push('\n');
    }

    fn head(&mut self, plan: &Plan, head: &Head<'_>) {
        let _ = writeln!(
            self.text,
            "# {}\n# Change a number, save, and see: limberwood page FILE; before cutting: limberwood check \
             FILE.\n# Completion of keys in an editor: limberwood schema --help.",
            head.about
        );
        let name = serde_json::Value::from(head.name).to_string();
        let (unit, plain) = match self.ruler.unit {
            Unit::Mm => ("mm", "a plain number is a length in millimetres"),
            Unit::Inch => ("in", "a plain number is a length in inches"),
        };
        self.line(
            "limberwood: 1",
            "limberwood",
            "version of this form of file",
        );
        self.line(&format!("name: {name}"), "name", "");
        self.line(&format!("units: {unit}"), "units", plain);
        let wood = "the wood: decides walls, neck and weight";
        self.line(&format!("species: {}", head.species), "species", wood);
        let split = match plan.split {
            "upright" => "each section is glued of a left and a right half",
            _ => "each section is glued of an upper and a lower half",
        };
        self.line(&format!("split: {}", plan.split), "split", split);
        self.text
            .push_str("# To give the design away, add: author: you, licence: a name or words.\n");
    }

    fn joint(&mut self, joint: &Joint) {
        self.line("\njoint:", "joint", "every joint; the rest follows");
        let length = |mm| self.ruler.text(mm);
        let lines = [
            (
                format!("  ball: {}", length(joint.ball)),
                "ball",
                "diameter of the ball",
            ),
            (
                format!("  neck: {}", length(joint.neck)),
                "neck",
                "diameter of its stem; thinner breaks",
            ),
            (
                format!("  swing: {} deg", joint.swing),
                "swing",
                "how far it bends to each side",
            ),
            (
                format!("  land: {}", length(joint.land)),
                "land",
                "thickness of the ring round the socket's mouth",
            ),
        ];
        for (line, key, comment) in &lines {
            self.line(line, key, comment);
        }
        let _ = writeln!(
            self.text,
            "  # clearance, the gap all round the ball, is not written: it is what your coupon showed to move\n  \
             # easily (limberwood record), now {}.",
            self.ruler.typed(joint.clearance)
        );
    }

    fn accepted(&mut self, all: &[Slim]) {
        if !all.is_empty() {
            let comment = "warnings that are accepted, and why";
            self.line("\naccept:", "accept", comment);
        }
        for Slim { check, section } in all {
            let _ = writeln!(
                self.text,
                "  - {{check: {check}, section: {section}, reason: {REASON}}}"
            );
        }
    }

    fn part(&mut self, part: &Part) {
        let line = format!("  - name: {}", part.name);
        self.text.push_str(&line);
        let room = COLUMN.saturating_sub(line.len()).max(1);
        let _ = writeln!(self.text, "{:room$}# {}", "", part.words);
        if let Some(split) = part.split {
            self.line(
                &format!("    split: {split}"),
                "own split",
                "this section alone",
            );
        }
        if part.whole {
            self.line(
                "    whole: true",
                "whole",
                "one piece, from stock twice as thick",
            );
        }
        if part.repeat > 1 {
            self.line(
                &format!("    repeat: {}", part.repeat),
                "repeat",
                "how many of them",
            );
        }
        if part.steps > 1 && part.taper < 1.0 {
            let to = format!("    taper: {{to: {:.0}%}}", 100.0 * part.taper);
            self.line(&to, "taper", "size of the last of them");
            self.line(
                &format!("    steps: {}", part.steps),
                "steps",
                "in so many sizes",
            );
        }
        let length = format!("    length: {}", self.ruler.text(part.length));
        self.line(&length, "length", "from its front to its rear");
        self.ends(part);
        self.outline(&part.points);
    }

    /// Tip, eyes and plates.
    fn ends(&mut self, part: &Part) {
        let last = part.points.last().filter(|p| p.square.is_none());
        let first = part.points.first().filter(|p| p.square.is_none());
        if let Some(tip) = first.or(last) {
            let tip = format!("    tip_width: {}", self.ruler.text(2.0 * tip.wide));
            self.line(&tip, "tip_width", "the small flat of a nose or a tip");
        }
        for eye in &part.eyes {
            let t = |mm| self.ruler.text(mm);
            let line = format!(
                "    eyes: [{{at: {}%, across: {}, diameter: {}, depth: {}}}]",
                eye.at,
                t(eye.across),
                t(eye.diameter),
                t(eye.depth)
            );
            let comment = "a pair of holes: how far along, how far from the middle";
            self.line(&line, "eyes", comment);
        }
        if !part.plates.is_empty() {
            let comment = "flat fins and feet, half of each in each half";
            self.line("    plates:", "plates", comment);
        }
        for plate in &part.plates {
            self.plate(plate);
        }
    }

    fn plate(&mut self, plate: &Plate) {
        let comment = match plate.side {
            "both" => "the same on both sides",
            _ => "",
        };
        self.line(&format!("      - side: {}", plate.side), "side", comment);
        let thick = format!("        thickness: {}", self.ruler.text(plate.thick));
        self.line(&thick, "thickness", "of both halves together");
        let comment = "corners: how far along, how far out, how round";
        self.line("        outline:", "corners", comment);
        for &(at, out, round) in &plate.corners {
            let (out, round) = (self.ruler.text(out), self.ruler.text(round));
            let _ = writeln!(
                self.text,
                "          - {{at: {at}%, out: {out}, round: {round}}}"
            );
        }
    }

    fn outline(&mut self, points: &[Point]) {
        let comment = "the body at places from front (0%) to rear (100%)";
        self.line("    outline:", "outline", comment);
        for point in points {
            let t = |mm| self.ruler.text(mm);
            let heights = if t(point.above) == t(point.below) {
                format!("height: {}", t(point.above))
            } else {
                format!("above: {}, below: {}", t(point.above), t(point.below))
            };
            let square = point.square.map(|s| format!(", squareness: {s}"));
            let _ = writeln!(
                self.text,
                "      - {{at: {}%, half_width: {}, {heights}{}}}",
                point.at,
                t(point.wide),
                square.unwrap_or_default()
            );
        }
        if self.told.insert("squareness") {
            self.text
                .push_str("    # squareness 2 is round, 4 nearly a box; heights are of one half\n");
        }
    }

    /// Joints that differ from the first.
    fn others(&mut self, joints: &[(String, Joint)], usual: Option<Joint>) {
        let others = joints.iter().filter(|(_, joint)| Some(*joint) != usual);
        let mut first = true;
        for (after, joint) in others {
            if first {
                self.line(
                    "\njoints:",
                    "joints",
                    "joints that differ, by the section in front",
                );
                first = false;
            }
            let t = |mm| self.ruler.text(mm);
            let _ = writeln!(
                self.text,
                "  - {{after: {after}, ball: {}, neck: {}, swing: {} deg, land: {}}}",
                t(joint.ball),
                t(joint.neck),
                joint.swing,
                t(joint.land)
            );
        }
    }
}
