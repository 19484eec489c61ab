//! Findings of the measured leftover, set-up by set-up.

use super::cutter::Profile;
use super::find::RULE;
use super::kit::Kit;
use super::leftover::{Left, leftover};
use super::limits::Judged;
use super::task::Site;
use super::tool::{Surroundings, Tool};
use super::volume::Fineness;
use crate::brep::set_up::SetUp;
use crate::brep::shape::{Half, label};
use crate::check::finding::{Amount, Finding, Limit, Subject};
use crate::diagnostic::Severity;
use crate::mesh::Mesh;
use crate::params::value::Job;
use crate::units::Unit;

/// Pitch of the coarser map, mm: half the usual tip radius; volumes come from finer ones (habit).
const PITCH: f64 = 0.8;
/// Below any board, mm: with the inside up the cutter may run into the surround.
const DEEP: f64 = -200.0;

/// What the cutters of a kit leave on a finished body, in both set-ups. A body for benches is not
/// cut: notes only.
pub fn measured(
    subject: &Subject<'_>,
    (half, mesh): (&Half, &Mesh),
    site: &Site<'_>,
    kit: &Kit,
    bench_only: bool,
) -> Vec<Finding> {
    let clearance = site.clearance[0].min(site.clearance[1]);
    let of = |up: SetUp| {
        let jobs: &[Job] = match (up, site.whole) {
            (SetUp::InsideUp, false) => &[Job::Finish, Job::Holes, Job::Marks],
            _ => &[Job::Finish, Job::Holes],
        };
        let around = around(site, up);
        let (low, high) = mesh.bounds();
        let tall = (high[2] - low[2]).max(around.stock_top) + site.relief;
        let tools = tools(jobs, kit, tall);
        let fineness = Fineness { pitch: PITCH };
        let left = leftover(half, mesh, up, &tools, &around, clearance, fineness);
        findings(subject, &left, up.word(site.whole), bench_only)
    };
    SetUp::BOTH.into_iter().flat_map(of).collect()
}

/// Cutters that finish faces in a set-up: a roughing pass leaves its allowance, over every limit.
/// Only what of them is as low as the wood is `tall` (mm) can touch it.
fn tools(jobs: &[Job], kit: &Kit, tall: f64) -> Vec<Tool> {
    let mut all: Vec<Tool> = Vec::new();
    for named in jobs.iter().flat_map(|&job| kit.with(job)) {
        let mut tool = named.tool;
        if let Profile::Ball { tip, reach, .. } = &mut tool.profile {
            *reach = reach.min(tall + 2.0 * *tip);
        }
        if !all.contains(&tool) {
            all.push(tool);
        }
    }
    all
}

/// Outside a half stands over its groove in its window; elsewhere cutters may run as deep as they
/// like beside it.
fn around(site: &Site<'_>, up: SetUp) -> Surroundings {
    let (floor, stock_top) = match (up, site.whole) {
        (SetUp::OutsideUp, false) => (-site.relief, site.stock),
        _ => (DEEP, DEEP),
    };
    Surroundings {
        window: if stock_top > floor { site.window } else { 0.0 },
        floor,
        stock_top,
    }
}

fn findings(subject: &Subject<'_>, left: &[Left], up: &str, bench_only: bool) -> Vec<Finding> {
    let mut all = Vec::new();
    for one in left {
        let against = one.judged;
        // Over the limit for certain: the mesh is no part of it.
        if against.excess() <= one.depth_error_mm {
            continue;
        }
        let severity = match Judged::of(one.kind) {
            _ if bench_only => Severity::Note,
            Judged::Outer => Severity::Warning,
            _ => Severity::Error,
        };
        let words = format!(
            "{up}, left on the {}: {}at its deepest",
            label(one.kind),
            volume(one.volume_mm3, one.volume_error_mm3, subject.unit)
        );
        let measured = Amount::Length(against.normal_mm);
        let limit = Limit::most(Amount::Length(against.limit_mm), source(one));
        let found = subject.finds(severity, RULE, &words, measured, Some(limit));
        let way_out = "take a thinner or straighter cutter with this job, or make the hollow wider";
        all.push(found.way_out(way_out).at(against.at));
    }
    let deepest = Left::deepest(left).map(|k| left[k]);
    if let Some(deepest) = deepest {
        let words = format!(
            "{up}, the cutters leave most on the {}: {}up to",
            label(deepest.kind),
            volume(deepest.volume_mm3, deepest.volume_error_mm3, subject.unit)
        );
        let most = Amount::Length(deepest.normal_mm);
        let note = subject.finds(Severity::Note, RULE, &words, most, None);
        all.push(note.at(deepest.at));
    }
    all
}

/// A volume with how sure it is, and a blank; nothing when it is no more than its error.
fn volume(mm3: f64, error: f64, unit: Unit) -> String {
    if mm3 <= error {
        return String::new();
    }
    let text = |v: f64| Amount::Volume(v).text(unit);
    format!("{} (give or take {}), ", text(mm3), text(error))
}

fn source(left: &Left) -> &'static str {
    match Judged::of(left.kind) {
        Judged::Joint => "a quarter of the clearance",
        Judged::Outer if left.judged.corner => "the cutter's radius, at an inside corner",
        _ => "habit",
    }
}
