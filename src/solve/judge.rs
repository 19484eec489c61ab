//! Whether a design with a candidate in it passes the checks that concern that joint.

use super::group::Group;
use super::table::Candidate;
use crate::chain::joint::{Joint, JointKey};
use crate::chain::{Resolved, Seat, resolve};
use crate::check::finding::{Amount, Bound, Finding};
use crate::clear::half::{Facing, Feature, Ligament, Refusal};
use crate::diagnostic::{Diagnostic, Severity};
use crate::make::{FormOfPart, Settings, formed, joint_findings};
use crate::params::written::{Design, Shop};
use crate::units::Unit;

/// What kind of limit a candidate breaks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Kind {
    /// The design cannot be resolved.
    Form,
    /// Wood too thin.
    Wall,
    /// No board holds a part.
    Stock,
    /// A cutter does not make it.
    Cutter,
    /// The joint's own closed forms.
    Joint,
}

/// A limit that is broken.
#[derive(Debug, Clone)]
pub(super) struct Block {
    pub kind: Kind,
    /// By how much, mm or radians; infinite when that is no number.
    pub short: f64,
    /// Whether it is the wood round a flare's edge.
    pub ring: bool,
    pub message: Diagnostic,
}

/// What a candidate comes to.
#[derive(Debug, Clone)]
pub(super) struct Judged {
    pub blocks: Vec<Block>,
    /// The first joint of the group as resolved.
    pub joint: Option<Joint>,
    /// Least wood between its socket and the outer form, mm.
    pub wall: f64,
}

impl Judged {
    /// By how much the wood round the flare's edge is too thin, when nothing else is wrong.
    pub fn ring(&self) -> Option<f64> {
        let ring = !self.blocks.is_empty() && self.blocks.iter().all(|b| b.ring);
        ring.then(|| self.blocks.iter().map(|b| b.short).fold(0.0, f64::max))
    }
}

/// What is judged: a design in which every `auto` has a value.
#[derive(Debug, Clone)]
pub(super) struct World<'a> {
    pub design: Design,
    pub shop: &'a Shop,
}

impl World<'_> {
    /// The design with this candidate at a group's joints, judged.
    pub fn judge(&self, group: &Group<'_>, one: &Candidate) -> Judged {
        let mut design = self.design.clone();
        group.write(one, &mut design);
        judged(&design, self.shop, group)
    }
}

/// Judges a design as it stands by what concerns one group.
pub(super) fn judged(design: &Design, shop: &Shop, group: &Group<'_>) -> Judged {
    let mut all = Judged {
        blocks: Vec::new(),
        joint: None,
        wall: f64::INFINITY,
    };
    let resolved = match resolve(design, shop) {
        Ok(resolved) => resolved,
        Err(refused) => {
            let errors = refused.sorted().into_iter();
            let errors = errors.filter(|m| m.severity == Severity::Error);
            all.blocks
                .extend(errors.map(|m| block(Kind::Form, f64::INFINITY, m)));
            return all;
        }
    };
    let settings = Settings::of(&resolved, design.units.value.0);
    let first = group.seats[0].index;
    all.joint = resolved.joints.get(first).map(|j| j.joint);
    all.blocks.extend(warned(&resolved, group));
    let mut sections: Vec<usize> = group
        .seats
        .iter()
        .flat_map(|s| [s.index, s.index + 1])
        .collect();
    sections.dedup();
    let parts = formed(&resolved, &settings, &sections);
    for part in &parts {
        for facing in facings(group, part.section) {
            all.blocks
                .extend(of_part(part, facing, (&resolved, settings.unit)));
            let walls = part.ligaments.iter().filter(|l| outer(l, facing.0));
            all.wall = walls.map(|l| l.gap).fold(all.wall, f64::min);
        }
    }
    for finding in joint_findings(&resolved, &settings, first) {
        if finding.open() && finding.message.rule != "pinch-gap" {
            all.blocks
                .push(block(Kind::Joint, short(&finding), finding.message));
        }
    }
    all
}

fn block(kind: Kind, short: f64, message: Diagnostic) -> Block {
    Block {
        kind,
        short,
        ring: false,
        message,
    }
}

/// Warnings of the joint room about this group's joints, but for those that written keys alone bring.
fn warned(resolved: &Resolved, group: &Group<'_>) -> Vec<Block> {
    let warnings = resolved.warnings.iter();
    let own = warnings.filter(|w| {
        let of = |s: &&Seat| w.found.ends_with(&format!("joint after `{}`", s.after));
        w.severity <= Severity::Warning && group.seats.iter().any(of)
    });
    let seat = group.seats[0];
    let (wish, written) = (&seat.wish, |key| !seat.finds(key));
    let told = own.filter(|w| match w.rule.as_str() {
        "pinch-gap" => false,
        "wide-swing" => wish.swing.is_none() && wish.mouth.is_none(),
        "thin-neck" => wish.neck.is_none(),
        "thin-land" => written(JointKey::Land) && wish.land.is_none(),
        "odd-clearance" => written(JointKey::Clearance) && wish.clearance.is_none(),
        "thin-capture" => wish.ball.is_none() || wish.mouth.is_none(),
        _ => true,
    });
    told.map(|w| block(Kind::Joint, f64::INFINITY, w.clone()))
        .collect()
}

/// The ends of a section at which a joint of the group sits, with whether it carries the ball.
fn facings(group: &Group<'_>, section: usize) -> Vec<(Facing, bool)> {
    let rear = |s: &&&Seat| s.index == section;
    let front = |s: &&&Seat| s.index + 1 == section;
    let rear = group
        .seats
        .iter()
        .find(rear)
        .map(|s| (Facing::Rear, s.ball_in_front));
    let front = group
        .seats
        .iter()
        .find(front)
        .map(|s| (Facing::Front, !s.ball_in_front));
    rear.into_iter().chain(front).collect()
}

fn of_part(
    part: &FormOfPart,
    (facing, ball): (Facing, bool),
    (resolved, unit): (&Resolved, Unit),
) -> Vec<Block> {
    let section = &resolved.creature.sections[part.section];
    let place = &resolved.sources[part.section].place;
    let mut all = Vec::new();
    for thin in part.thin.iter().filter(|t| concerns(t, facing)) {
        let mut message = thin.diagnostic(place.clone(), unit);
        message.found = format!("{}: {}", section.name, message.found);
        let short = thin.least - thin.gap;
        let ring = matches!(thin.between.0, Feature::FlareEdge(_));
        all.push(Block {
            ring,
            ..block(Kind::Wall, short, message)
        });
    }
    let end = match facing {
        Facing::Front => "front",
        Facing::Rear => "rear",
    };
    let words = match ball {
        true => vec![format!("{end} ball"), format!("{end} neck")],
        false => vec![format!("{end} socket")],
    };
    for finding in part.findings.iter().filter(|f| f.open()) {
        let kind = match finding.message.rule.as_str() {
            "stock" => Kind::Stock,
            "reach" if !words.iter().any(|w| finding.message.found.contains(w)) => continue,
            "reach" => Kind::Cutter,
            _ => Kind::Form,
        };
        all.push(block(kind, short(finding), finding.message.clone()));
    }
    all
}

/// Whether thin wood has to do with the joint at this end.
fn concerns(thin: &Refusal, facing: Facing) -> bool {
    let joint = |f: Feature| match f {
        Feature::Socket(at)
        | Feature::Mouth(at)
        | Feature::Flare(at)
        | Feature::FlareEdge(at)
        | Feature::Ball(at)
        | Feature::Neck(at) => at == facing,
        _ => false,
    };
    joint(thin.between.0) || joint(thin.between.1)
}

/// Whether a distance is the wood between the socket at an end and the outer form.
fn outer(l: &Ligament, facing: Facing) -> bool {
    l.between.0 == Feature::Socket(facing)
        && matches!(l.between.1, Feature::Skin | Feature::Rim | Feature::Flat(_))
}

/// By how much a finding misses its limit.
fn short(finding: &Finding) -> f64 {
    let number = |a: Amount| match a {
        Amount::Length(x) | Amount::Angle(x) | Amount::Stress(x) | Amount::Factor(x) => Some(x),
        _ => None,
    };
    let measured = finding.measured.and_then(number);
    let limit = finding.limit.as_ref();
    let Some((measured, limit)) = measured.zip(limit) else {
        return f64::INFINITY;
    };
    match (number(limit.amount), limit.bound) {
        (Some(least), Bound::Least) => least - measured,
        (Some(most), Bound::Most) => measured - most,
        (None, _) => f64::INFINITY,
    }
}
