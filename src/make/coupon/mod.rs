//! A coupon: one ball and four sockets of the design's own joint, to try before the creature is cut.
//!
//! Each socket makes a pair with the ball: a little design of two sections, read, resolved and checked
//! like any other. The coupon is the sockets of all pairs and the ball once, since it is the same in
//! all: ten halves instead of sixteen, and every socket is tried with one and the same ball. Halves of
//! a socket are held round the ball dry, so that each joint is tried and pulled apart by itself.

mod drawn;
mod piece;
mod record;
mod sheet;

use super::checked::joint_name;
use super::{CLEARANCE_PART, Settings, check};
use crate::chain::{
    ChainJoint, DrawnWith, Resolved, SectionSource, Side, Trial, TrialHole, TrialSocket,
    resolve_numbered,
};
use crate::check::finding::{Finding, sort};
use crate::diagnostic::{Diagnostic, Diagnostics, Place, Severity};
use crate::params::read_design_str;
use crate::params::written::Shop;
use drawn::{NAMES, Plan, STEPS, Sample};

pub use piece::one_piece;
pub use record::{Entry, Readings, entries};
pub(super) use sheet::trial_sheet;

/// Version of the form of [`Trial`].
const VERSION: u32 = 1;
/// Between two sections of a coupon in a row, mm (habit).
const APART: f64 = 10.0;

/// A coupon.
#[derive(Debug)]
pub struct Coupon {
    /// Its sections, with what there is to try; no joints, since nothing is glued together.
    pub resolved: Resolved,
    /// What the checks say of its joints, each of a socket with the ball.
    pub joints: Vec<Finding>,
}

/// A pair that can be made.
struct Pair {
    sample: Sample,
    resolved: Resolved,
    joint: Vec<Finding>,
}

/// Makes the coupon of a design for a shop: of the joint after the section `after`, else of the joint
/// that the design has most of. A sample that cannot be made or would not hold its ball is left out,
/// and [`Trial::left_out`] says why.
///
/// # Errors
/// A design without joints, a body for benches, an unknown section, or no sample that can be made.
pub fn coupon(
    design: &Resolved,
    shop: &Shop,
    after: Option<&str>,
    settings: &Settings,
    step: &(dyn Fn(usize, usize) + Sync),
) -> Result<Coupon, Diagnostics> {
    let link = joint_of(design, after)?;
    let plan = Plan {
        design,
        joint: design.joints[link].joint,
        link,
    };
    let (mut pairs, mut left_out) = (Vec::new(), Vec::new());
    for (k, name) in NAMES.into_iter().enumerate() {
        // Marks say the place among the samples that are there.
        match pair(&plan, plan.sample(k), pairs.len() + 1, shop, settings) {
            Ok(pair) => pairs.push(pair),
            Err(why) => left_out.push(format!("{name}: {why}")),
        }
        step(k + 1, STEPS.len());
    }
    if pairs.is_empty() {
        let place = design.joints[link].place.clone();
        let found = format!("no sample of a coupon can be made: {}", left_out.join("; "));
        return Err(Diagnostic::error(place, found).rule("coupon").into());
    }
    // The ball carries the number after the last socket's.
    let numbers = [1, pairs.len() + 1];
    match read_pair(&plan, &pairs[0].sample, numbers, shop) {
        Ok((numbered, _)) => pairs[0].resolved = numbered,
        Err(fault) => return Err(Diagnostic::error(Place::default(), fault).into()),
    }
    Ok(merged(&plan, pairs, left_out))
}

/// Number of the joint to try.
fn joint_of(design: &Resolved, after: Option<&str>) -> Result<usize, Diagnostics> {
    let (joints, sections) = (&design.joints, &design.creature.sections);
    let place = || {
        let first = design.sources.first();
        first.map(|s| s.place.whole_file()).unwrap_or_default()
    };
    let refused = |found: &str, allowed: String, way_out: &str| {
        let message = Diagnostic::error(place(), found.to_owned()).rule("coupon");
        Err(Diagnostics::from(message.allowed(allowed).way_out(way_out)))
    };
    if design.creature.bench_only {
        return refused(
            "a coupon of a body for benches",
            "a design to be cut".to_owned(),
            "take another design",
        );
    }
    if joints.is_empty() {
        return refused(
            "a coupon of a design without joints",
            "a design with two sections or more".to_owned(),
            "take another design",
        );
    }
    let Some(name) = after else {
        return Ok(most_frequent(joints));
    };
    let own = |j: &ChainJoint| sections[j.after].name.to_lowercase() == name.to_lowercase();
    joints.iter().position(own).map_or_else(
        || {
            let names: Vec<&str> = joints.iter().map(|j| &*sections[j.after].name).collect();
            refused(
                &format!("no joint after `{name}`"),
                format!("one of {}", names.join(", ")),
                "name the section in front of the joint",
            )
        },
        Ok,
    )
}

/// The first of the joints that there are most of.
fn most_frequent(joints: &[ChainJoint]) -> usize {
    let count = |j: &ChainJoint| joints.iter().filter(|o| o.joint == j.joint).count();
    let most = joints.iter().map(count).max().unwrap_or(0);
    joints.iter().position(|j| count(j) == most).unwrap_or(0)
}

/// Reads and resolves one pair, with these numbers in its marks; what was said on the way.
///
/// # Errors
/// The first thing that stands against it.
fn read_pair(
    plan: &Plan<'_>,
    sample: &Sample,
    numbers: [usize; 2],
    shop: &Shop,
) -> Result<(Resolved, Vec<Diagnostic>), String> {
    let first = |found: Diagnostics| {
        let mut errors = found.sorted().into_iter();
        let error = errors.find(|m| m.severity == Severity::Error);
        error.map_or_else(String::new, |m| words(&m))
    };
    let name = format!("coupon of {}", plan.design.creature.name);
    let (design, mut told) = read_design_str(&plan.text(sample), &name).map_err(first)?;
    let resolved = resolve_numbered(&design, shop, &numbers).map_err(first)?;
    told.extend(resolved.warnings.clone().sorted());
    Ok((resolved, told))
}

/// Reads, resolves and checks one pair.
///
/// # Errors
/// Why it is left out.
fn pair(
    plan: &Plan<'_>,
    sample: Sample,
    number: usize,
    shop: &Shop,
    settings: &Settings,
) -> Result<Pair, String> {
    let (resolved, told) = read_pair(plan, &sample, [number, STEPS.len() + 1], shop)?;
    let accepted = plan.design.accepted.iter();
    let as_wanted = accepted.clone().any(|a| a.check == "thin-capture");
    if let Some(thin) = told.iter().find(|m| m.rule == "thin-capture" && !as_wanted) {
        return Err(words(thin));
    }
    // As wanted and as drawn.
    let drawn = resolved.joints.iter().map(|j| j.cut.clearance);
    let clearance = drawn.fold(sample.joint.clearance, f64::min);
    let settings = Settings {
        deviation: settings.deviation.min(CLEARANCE_PART * clearance),
        ..settings.clone()
    };
    let findings = check(&resolved, &settings, &told, &|_, _| {});
    let mut errors = findings.iter().map(|f| &f.message);
    if let Some(error) = errors.find(|m| m.severity == Severity::Error) {
        return Err(words(error));
    }
    let subject = joint_name(NAMES[sample.step]);
    let own = |f: &Finding| f.subject == subject || f.message.place.path.starts_with("joint");
    Ok(Pair {
        sample,
        joint: findings.into_iter().filter(own).collect(),
        resolved,
    })
}

/// What was found and allowed, without a place.
fn words(message: &Diagnostic) -> String {
    match message.allowed.as_str() {
        "" => message.found.clone(),
        allowed => format!("{}, allowed {allowed}", message.found),
    }
}

/// All sockets, and the ball of the first pair.
fn merged(plan: &Plan<'_>, pairs: Vec<Pair>, left_out: Vec<String>) -> Coupon {
    let trial = trial(plan, &pairs, left_out);
    let place = Place::of_file(&format!("coupon of {}", plan.design.creature.name));
    let mut resolved = pairs[0].resolved.clone();
    let ball = (
        resolved.creature.sections[1].clone(),
        resolved.sources[1].clone(),
    );
    let sockets = pairs.iter().map(|pair| {
        let own = &pair.resolved;
        (own.creature.sections[0].clone(), own.sources[0].clone())
    });
    let mut x = 0.0;
    let (mut sections, mut sources) = (Vec::new(), Vec::new());
    for (k, (mut section, source)) in sockets.chain([ball]).enumerate() {
        let own_ball = section.form.front.ball_radius();
        let reach = if own_ball > 0.0 {
            plan.joint.reach() + own_ball
        } else {
            0.0
        };
        (section.number, section.x) = (k + 1, x + reach);
        x += reach + section.form.length + APART;
        sections.push(section);
        sources.push(SectionSource {
            place: place.clone(),
            ..source
        });
    }
    resolved.creature.sections = sections;
    resolved.sources = sources;
    resolved.joints = Vec::new();
    resolved.warnings = Diagnostics::new();
    resolved.trial = Some(trial);
    let mut joints: Vec<Finding> = Vec::new();
    for finding in pairs.into_iter().flat_map(|p| p.joint) {
        let mut finding = finding;
        finding.message.place = place.clone();
        if finding.message.rule != "accept" && !joints.contains(&finding) {
            joints.push(finding);
        }
    }
    Coupon { resolved, joints }
}

fn trial(plan: &Plan<'_>, pairs: &[Pair], left_out: Vec<String>) -> Trial {
    let ball_number = pairs.len() + 1;
    let measured = plan.design.fits.making.measured;
    let numbered = || pairs.iter().enumerate().map(|(k, p)| (k + 1, p));
    let sockets = numbered().map(|(number, p)| TrialSocket {
        number,
        clearance: p.sample.joint.clearance,
        diameter: 2.0 * p.sample.joint.socket(),
        wall: p.sample.wall,
    });
    let holes = numbered().map(|(number, p)| TrialHole {
        number,
        diameter: p.sample.hole,
    });
    let own = TrialHole {
        number: ball_number,
        diameter: plan.ball_hole(),
    };
    let tabs = numbered().map(|(number, p)| (number, p.sample.tab.unwrap_or(plan.design.fits.tab)));
    let section = &plan.design.creature.sections[plan.design.joints[plan.link].after];
    Trial {
        limberwood_coupon: VERSION,
        of: plan.design.creature.name.clone(),
        after: section.name.clone(),
        ball_number,
        ball: 2.0 * plan.joint.ball,
        sockets: sockets.collect(),
        holes: holes.chain([own]).collect(),
        dowel: plan.design.fits.dowel,
        height: flat_height(&pairs[0].resolved).unwrap_or(pairs[0].sample.height),
        tabs: tabs.chain([(ball_number, plan.design.fits.tab)]).collect(),
        left_out,
        drawn_with: DrawnWith {
            ball: measured.ball.unwrap_or(0.0),
            socket: measured.socket.unwrap_or(0.0),
            hole: measured.hole.unwrap_or(0.0),
            height: measured.height.unwrap_or(0.0),
        },
    }
}

/// Height of the flat of a sample, as the solid has it.
fn flat_height(pair: &Resolved) -> Option<f64> {
    let flats = &pair.creature.sections.first()?.form.features.flats;
    let upper = flats.iter().find(|f| f.side == Side::Upper);
    upper.or(flats.first()).map(|f| f.height)
}

impl Coupon {
    /// All findings: those of parts and set as checked, and those of the joints. What speaks of a
    /// creature as a whole, or of acceptances that another pair needs, is left out.
    pub fn findings(&self, made: Vec<Finding>) -> Vec<Finding> {
        const OF_CREATURES: [&str; 5] = ["order", "ring", "stands", "weight", "accept"];
        let kept = made
            .into_iter()
            .filter(|f| !OF_CREATURES.contains(&&*f.message.rule));
        let mut all: Vec<Finding> = kept.chain(self.joints.iter().cloned()).collect();
        sort(&mut all);
        all
    }
}
