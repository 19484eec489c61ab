//! The numbers of the page of a creature.

use std::sync::atomic::AtomicBool;

use super::Settings;
use super::bent::centre;
use super::blank_files::blank_names;
use super::blanks::lay_out;
use super::checked::joint_name;
use super::kept::Kept;
use super::look::coarse;
use super::parts::{PartPlan, parts};
use super::sheet::{PIN_ROOM, rod_radius, sheet};
use super::shown::Shown;
use super::work::Work;
use crate::brep::pose::Pose;
use crate::brep::set_up::SetUp;
use crate::chain::{ChainJoint, Resolved, Side};
use crate::check::balance::mass_g;
use crate::check::cautions;
use crate::check::finding::{Amount, Finding, Row, Verdict};
use crate::check::wall;
use crate::diagnostic::Diagnostics;
use crate::export::manifest::Side as Named;
use crate::params::value::Job;
use crate::picture::{EncodingError, Size, View, Wood, ramp};
use crate::report::{
    CreaturePage, PageDrawings, PageFinding, PageFit, PageJoint, PageLeft, PageMachine, PagePart,
    PagePin,
};

/// Size of the picture that stands in, pixels (by eye: sharp enough, and a small share of the page).
const STAND_IN: (usize, usize) = (960, 540);

/// Why there is no page.
#[derive(Debug)]
pub enum PageError {
    /// A part was refused.
    Design(Diagnostics),
    /// The picture.
    Picture(EncodingError),
}

/// The page of a creature with what its checks found; the deviation of `settings` does not matter.
///
/// # Errors
/// See [`PageError`].
pub fn page(
    resolved: &Resolved,
    settings: &Settings,
    findings: &[Finding],
) -> Result<CreaturePage, PageError> {
    made(resolved, settings, Some(findings), (None, None))
}

/// The page of a design that is watched. Without findings it comes at once: what only the checks know
/// is left out, and so are the picture and the pieces of stock. When `stop` is set, the page is of no
/// use: what takes long is left out.
///
/// # Errors
/// See [`PageError`].
pub fn page_again(
    resolved: &Resolved,
    settings: &Settings,
    findings: Option<&[Finding]>,
    kept: &Kept,
    stop: &AtomicBool,
) -> Result<CreaturePage, PageError> {
    made(resolved, settings, findings, (Some(kept), Some(stop)))
}

fn made(
    resolved: &Resolved,
    settings: &Settings,
    findings: Option<&[Finding]>,
    (kept, stop): (Option<&Kept>, Option<&AtomicBool>),
) -> Result<CreaturePage, PageError> {
    let settings = coarse(resolved, settings);
    let plans = parts(resolved, &settings);
    let mut work = Work::new(resolved, &settings, &plans, &|_, _| {});
    (work.kept, work.stop) = (kept, stop);
    let shown = work.all_shown(findings.is_some());
    let shown = shown.map_err(PageError::Design)?;
    let creature = &resolved.creature;
    let parts = work.page_parts(&plans, &shown);
    let last = creature.sections.last();
    let told = findings.unwrap_or_default();
    let verdict = findings.map_or("being checked", |all| Verdict::of(all).word());
    let mut made = CreaturePage {
        creature: creature.name.clone(),
        bench_only: creature.bench_only,
        species: creature.species.clone(),
        wood: Wood::of_species(&creature.species).light(),
        mass: parts.iter().map(|p| p.mass).sum(),
        length: last.map_or(0.0, |s| s.x + s.form.length),
        sections: creature.sections.iter().map(|s| s.name.clone()).collect(),
        verdict: verdict.to_owned(),
        checked: findings.is_some(),
        picture: Vec::new(),
        ramp: ramp(),
        walls: [resolved.walls.skin, wall::MOST * resolved.walls.skin],
        left: scale_of_left(resolved),
        joints: joints(resolved, told),
        pins: pins(resolved, &plans),
        // Cautions have a place of their own.
        findings: told
            .iter()
            .filter(|f| f.message.rule != "caution")
            .map(|f| work.told(f, &plans))
            .collect(),
        fits: fits(told),
        drawings: work.drawings(&shown),
        machine: PageMachine::default(),
        meshes: shown.into_iter().map(|s| s.mesh).collect(),
        parts,
        cautions: cautions::applying(creature)
            .map(|c| c.text.to_owned())
            .collect(),
    };
    if findings.is_some() && !work.stopped() {
        made.machine = machine(resolved, &settings, verdict);
        made.picture = work.stand_in()?;
    }
    Ok(made)
}

/// Names of the set-ups, and the widest tip, which is what inside corners of the outer form bear.
fn scale_of_left(resolved: &Resolved) -> PageLeft {
    let whole = resolved.creature.sections.iter().all(|s| s.form.whole);
    let tips = resolved
        .cutters
        .iter()
        .filter(|c| c.jobs.contains(&Job::Finish));
    PageLeft {
        names: SetUp::BOTH.map(|up| up.word(whole)),
        most: tips.map(|c| c.radius).fold(1.0, f64::max),
    }
}

/// The pieces of stock of one creature, or why there are none.
fn machine(resolved: &Resolved, settings: &Settings, verdict: &str) -> PageMachine {
    match lay_out(resolved, settings, 1) {
        Ok(laid) => {
            let names = blank_names(&laid);
            PageMachine {
                sheet: Some(sheet(resolved, &laid, &names, verdict)),
                refused: Vec::new(),
            }
        }
        Err(faults) => PageMachine {
            sheet: None,
            refused: faults.sorted().iter().map(|m| m.found.clone()).collect(),
        },
    }
}

/// What is left of the clearances, equal tables together.
fn fits(findings: &[Finding]) -> Vec<PageFit> {
    let mut all: Vec<PageFit> = Vec::new();
    let tables = findings.iter().filter(|f| f.message.rule == "budget");
    for finding in tables.filter(|f| !f.rows.is_empty()) {
        let cell = |row: &Row, head| row.cell(head).map_or(String::new(), |a| a.text(row.unit));
        let rows: Vec<[String; 4]> = finding
            .rows
            .iter()
            .map(|row| {
                let [worst, likely] = ["worst", "likely"].map(|head| cell(row, head));
                [row.name.clone(), worst, likely, row.source.to_owned()]
            })
            .collect();
        match all.iter_mut().find(|fit| fit.rows == rows) {
            Some(fit) => fit.joints.push(finding.subject.clone()),
            None => all.push(PageFit {
                joints: vec![finding.subject.clone()],
                rows,
            }),
        }
    }
    all
}

impl Work<'_> {
    /// Parts in the order of the creature.
    fn page_parts(&self, plans: &[PartPlan], shown: &[Shown]) -> Vec<PagePart> {
        let part = |plan: &PartPlan| {
            let mesh = self.groups.iter().position(|g| g[0].key == plan.key)?;
            let own = &shown[mesh];
            Some(PagePart {
                name: plan.name.clone(),
                section: plan.section,
                mesh,
                pose: plan.placement.matrix(),
                whole: plan.named == Named::Whole,
                size: own.size,
                mass: mass_g(own.volume, self.resolved.creature.density),
            })
        };
        plans.iter().filter_map(part).collect()
    }

    /// The creature as PNG.
    fn stand_in(&self) -> Result<Vec<u8>, PageError> {
        let bodies = self.all_built().map_err(PageError::Design)?;
        let size = Size::new(STAND_IN.0, STAND_IN.1).unwrap_or_default();
        let picture = self.picture(&bodies, &View::FRONT_LEFT, size);
        picture.png().map_err(PageError::Picture)
    }

    /// A finding with the part that it speaks of; one of a joint speaks of the first part of the
    /// section with the socket.
    fn told(&self, finding: &Finding, plans: &[PartPlan]) -> PageFinding {
        let joint = self.resolved.joints.iter().find(|link| {
            let section = &self.resolved.creature.sections[link.after];
            finding.subject == joint_name(&section.name)
        });
        let part = match joint {
            Some(link) => {
                let socket = link.after + usize::from(link.ball_in_front);
                plans.iter().position(|p| p.section == socket)
            }
            None => plans.iter().position(|p| p.name == finding.subject),
        };
        let at = part.zip(finding.at);
        let message = &finding.message;
        let mut words = message.found.clone();
        if !message.allowed.is_empty() {
            words += &format!(", allowed {}", message.allowed);
        }
        if !message.way_out.is_empty() {
            words += &format!("; {}", message.way_out);
        }
        PageFinding {
            severity: message.severity,
            check: message.rule.clone(),
            words,
            measured: finding.measured.map(|m| m.text(self.settings.unit)),
            rows: finding.rows.iter().map(ToString::to_string).collect(),
            accepted: finding.accepted.clone(),
            at: at.map(|(part, at)| (part, plans[part].placement.apply(at))),
        }
    }

    fn drawings(&self, shown: &[Shown]) -> Vec<PageDrawings> {
        let groups = self.groups.iter().zip(shown);
        groups
            .map(|(group, own)| PageDrawings {
                parts: group.iter().map(|plan| plan.name.clone()).collect(),
                set_ups: own.set_ups.clone(),
            })
            .collect()
    }
}

/// The joints as they bend: no further than their closed forms, or than the checks found their
/// solids to touch.
fn joints(resolved: &Resolved, findings: &[Finding]) -> Vec<PageJoint> {
    let sections = &resolved.creature.sections;
    let joint = |link: &ChainJoint| {
        let (own, limits) = (&link.joint, &link.limits);
        let usable = limits.usable();
        let touch = touches(&joint_name(&sections[link.after].name), findings);
        let stop = match limits.faces {
            _ if touch < usable => "other places",
            Some(faces) if faces <= limits.swing_aside => "end faces",
            _ => "neck and mouth",
        };
        PageJoint {
            after: link.after,
            centre: [centre(resolved, link, own), 0.0, 0.0],
            limit: usable.min(touch).max(0.0),
            stop,
            diameters: [own.ball, own.neck, own.mouth].map(|r| 2.0 * r),
            clearance: own.clearance,
            capture: limits.capture,
            play: limits.play,
            gap: own.gap,
        }
    };
    resolved.joints.iter().map(joint).collect()
}

/// Least bend at which the solids of a joint were found to touch before its closed form.
fn touches(joint: &str, findings: &[Finding]) -> f64 {
    let own = findings
        .iter()
        .filter(|f| f.subject == joint && f.message.rule == "collision");
    own.filter_map(|f| match f.measured {
        Some(Amount::Angle(bend)) => Some(bend),
        _ => None,
    })
    .fold(f64::INFINITY, f64::min)
}

/// Pins in their holes, with their room shared between both ends.
fn pins(resolved: &Resolved, plans: &[PartPlan]) -> Vec<PagePin> {
    let placed = |section: usize| {
        let upper = |p: &&PartPlan| p.section == section && p.side == Side::Upper;
        plans.iter().find(upper).map_or(Pose::NONE, |p| p.placement)
    };
    let sections = resolved.creature.sections.iter().enumerate();
    sections
        .flat_map(|(k, section)| section.form.pins.iter().map(move |pin| (k, pin)))
        .map(|(k, pin)| {
            let heights = [
                PIN_ROOM / 2.0 - pin.depth_below,
                pin.depth_above - PIN_ROOM / 2.0,
            ];
            PagePin {
                section: k,
                ends: heights.map(|z| placed(k).apply([pin.x, pin.y, z])),
                radius: rod_radius(resolved, pin),
            }
        })
        .collect()
}
