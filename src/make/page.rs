//! The numbers of the page of a creature.

use rayon::prelude::*;

use super::Settings;
use super::bent::centre;
use super::checked::joint_name;
use super::look::coarse;
use super::model::{Bodies, Model};
use super::parts::{PartPlan, parts};
use super::sheet::{PIN_ROOM, rod_radius};
use super::work::Work;
use crate::brep::pose::Pose;
use crate::brep::set_up::SetUp;
use crate::chain::{ChainJoint, Resolved, Side};
use crate::check::balance::mass_g;
use crate::check::finding::{Amount, Finding, Verdict};
use crate::check::wall::{self, Thickness};
use crate::check::{cautions, cut_first};
use crate::diagnostic::Diagnostics;
use crate::export::drawing::{Drawing, Title};
use crate::export::manifest::Side as Named;
use crate::picture::{EncodingError, Size, View, Wood};
use crate::report::{
    CreaturePage, Measures, PackedMesh, PageDrawings, PageFinding, PageJoint, PageLeft, PagePart,
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
    let settings = coarse(resolved, settings);
    let plans = parts(resolved, &settings);
    let work = Work::new(resolved, &settings, &plans, &|_, _| {});
    let bodies = work.all_built().map_err(PageError::Design)?;
    let size = Size::new(STAND_IN.0, STAND_IN.1).unwrap_or_default();
    let picture = work.picture(&bodies, &View::FRONT_LEFT, size);
    let creature = &resolved.creature;
    let parts = work.page_parts(&plans, &bodies);
    let last = creature.sections.last();
    Ok(CreaturePage {
        creature: creature.name.clone(),
        bench_only: creature.bench_only,
        species: creature.species.clone(),
        wood: Wood::of_species(&creature.species).light(),
        mass: parts.iter().map(|p| p.mass).sum(),
        length: last.map_or(0.0, |s| s.x + s.form.length),
        sections: creature.sections.iter().map(|s| s.name.clone()).collect(),
        verdict: Verdict::of(findings).word().to_owned(),
        picture: picture.png().map_err(PageError::Picture)?,
        walls: [resolved.walls.skin, wall::MOST * resolved.walls.skin],
        left: PageLeft {
            names: ["inside up", "outside up"],
            most: 1.0,
        },
        meshes: bodies
            .par_iter()
            .map(|b| packed(&b.finished, resolved.walls.skin))
            .collect(),
        joints: joints(resolved, findings),
        pins: pins(resolved, &plans),
        // Cautions have a place of their own.
        findings: findings
            .iter()
            .filter(|f| f.message.rule != "caution")
            .map(|f| work.told(f, &plans))
            .collect(),
        drawings: work.drawings(&bodies),
        parts,
        cautions: cautions::applying(creature)
            .map(|c| c.text.to_owned())
            .collect(),
    })
}

/// A mesh with its walls; `limit` is the wall that is thick enough, mm.
fn packed(model: &Model, limit: f64) -> PackedMesh {
    let Thickness { thickness, .. } = Thickness::of(&model.half, &model.mesh, limit);
    let measures = Measures {
        first: &cut_first(&model.half, &model.mesh),
        walls: &thickness,
        most: wall::MOST * limit,
        left: None,
    };
    PackedMesh::of(&model.mesh, &model.half.kinds, &measures)
}

impl Work<'_> {
    /// Parts in the order of the creature.
    fn page_parts(&self, plans: &[PartPlan], bodies: &[Bodies]) -> Vec<PagePart> {
        let part = |plan: &PartPlan| {
            let mesh = self.groups.iter().position(|g| g[0].key == plan.key)?;
            let model = &bodies[mesh].finished;
            let (low, high) = model.mesh.bounds();
            Some(PagePart {
                name: plan.name.clone(),
                section: plan.section,
                mesh,
                pose: plan.placement.matrix(),
                whole: plan.named == Named::Whole,
                size: [0, 1, 2].map(|k| high[k] - low[k]),
                mass: mass_g(model.volume, self.resolved.creature.density),
            })
        };
        plans.iter().filter_map(part).collect()
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

    fn drawings(&self, bodies: &[Bodies]) -> Vec<PageDrawings> {
        let drawn = |group: &Vec<&PartPlan>, bodies: &Bodies| {
            let whole = group[0].named == Named::Whole;
            let title = Title {
                part: group[0].name.clone(),
                bench_only: self.resolved.creature.bench_only,
            };
            let held = bodies.held.as_ref().map(|model| &model.half);
            PageDrawings {
                parts: group.iter().map(|plan| plan.name.clone()).collect(),
                set_ups: SetUp::BOTH.map(|setup| {
                    let drawing = Drawing::of(&bodies.finished.half, held, setup).svg(&title);
                    let svg = String::from_utf8_lossy(&drawing).into_owned();
                    (setup.word(whole).to_owned(), svg)
                }),
            }
        };
        let groups = self.groups.iter().zip(bodies);
        groups.map(|(group, bodies)| drawn(group, bodies)).collect()
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
