//! From the resolved creature to its set of files.
//!
//! Equal halves are built once; each distinct half is built, meshed, inspected, written and checked
//! by one task, which keeps its mesh alone, for the checks of joints: memory grows with the distinct
//! halves, not with the chain. The bytes do not depend on the number of threads.

mod bend;
mod bent;
mod blank_files;
mod blank_words;
mod blanks;
mod checked;
mod content;
pub mod coupon;
mod creature;
mod drawn;
mod forms;
mod kept;
mod laid_out;
mod layout;
mod look;
mod measures;
mod model;
mod overhead;
mod overhead_words;
mod page;
mod parts;
mod planes;
mod reached;
mod refused;
mod registered;
mod report;
mod run;
mod sections;
mod sheet;
mod shown;
mod state_files;
mod states;
mod store;
mod times;
mod together;
mod work;

use std::sync::atomic::AtomicBool;

use crate::brep::pose::Pose;
use crate::chain::Resolved;
use crate::check::finding::Finding;
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::export::folder::{Folder, FolderError, Report};
use crate::export::manifest::{Manifest, ManifestError, Part, Settings as Recorded};
use crate::export::step::Stamp;
use crate::units::Unit;

pub use bend::{Bend, Way};
pub use blank_files::{BlankSet, blanks};
pub use blanks::{Laid, lay_out};
pub use checked::{check, check_again, thickness};
pub use content::{BUILD, content_key};
pub use drawn::{Drawn, DrawnError, drawn};
pub use forms::{FormOfPart, formed, joint_findings};
pub use kept::Kept;
pub use look::look;
pub use model::{Bodies, Model, bodies, model, whole};
pub use page::{PageError, page, page_again};
pub use parts::{Body, PartPlan, Place, parts};
pub use refused::Refused;
pub use report::{Made, Totals};
use run::Run;
pub use states::InState;
pub use store::{Redone, Store};
use together::Together;
pub use together::{ASSEMBLY, THREE_MF};
use work::Work;

/// Deviation of the mesh when nothing is asked for, mm (habit).
pub const DEFAULT_DEVIATION: f64 = 0.02;
/// Finest and coarsest deviation taken, mm: below, meshes grow without use in wood; above, facets
/// show (habit).
pub const DEVIATION_RANGE: (f64, f64) = (0.001, 0.2);
/// Part of the smallest clearance that the deviation may reach: facets shrink ball and cavity, so
/// the fit moves by up to twice the deviation (habit).
pub const CLEARANCE_PART: f64 = 0.1;

/// What a run is asked for.
#[derive(Debug, Clone)]
pub struct Settings {
    /// Largest distance of the mesh from the true surface, mm.
    pub deviation: f64,
    /// Pose in which each half is written.
    pub place: Place,
    /// Only sections of this name.
    pub only: Option<String>,
    /// Only the section of this name and those behind it, for a remake when a joint broke.
    pub from: Option<String>,
    /// Unit of lengths in messages.
    pub unit: Unit,
    /// Time stamp of STEP files.
    pub stamp: Stamp,
    /// Whether checks measure what the cutters leave on every part: seconds a part; closed forms are
    /// looked at in any case.
    pub leftover: bool,
}

impl Settings {
    /// What is usual for a creature whose file speaks in `unit`: the default deviation, or the
    /// coarsest that its clearances allow; all sections, outside up; leftover not measured.
    pub fn of(resolved: &Resolved, unit: Unit) -> Self {
        Settings {
            deviation: DEFAULT_DEVIATION.min(CLEARANCE_PART * tightest(resolved)),
            place: Place::OutsideUp,
            only: None,
            from: None,
            unit,
            stamp: Stamp::default(),
            leftover: false,
        }
    }
}

/// A set that was made.
#[derive(Debug)]
pub struct Done {
    /// In a few numbers.
    pub made: Made,
    /// What became of its files.
    pub report: Report,
    /// What the checks say.
    pub findings: Vec<Finding>,
}

/// Why a set was not made.
#[derive(Debug)]
pub enum MakeError {
    /// Faults of the design, with places in its file.
    Design(Diagnostics),
    /// The folder or a file.
    Folder(FolderError),
    /// The manifest.
    Manifest(ManifestError),
}

impl From<FolderError> for MakeError {
    fn from(e: FolderError) -> Self {
        MakeError::Folder(e)
    }
}

/// Checks a deviation against its range and the creature's clearances.
///
/// # Errors
/// What is allowed, in words.
pub fn check_deviation(deviation: f64, resolved: &Resolved) -> Result<(), String> {
    let (least, most) = DEVIATION_RANGE;
    if !(least..=most).contains(&deviation) {
        return Err(format!(
            "deviation {deviation} mm; allowed {least} to {most} mm: give --deviation 0.02"
        ));
    }
    let clearance = tightest(resolved);
    let limit = CLEARANCE_PART * clearance;
    if deviation > limit {
        return Err(format!(
            "deviation {deviation} mm is more than a tenth of the clearance {clearance} mm: facets \
             would change the fit; give --deviation {:.3} or less",
            (limit * 1000.0).floor() / 1000.0
        ));
    }
    Ok(())
}

/// The smallest clearance of the creature, as it is to come out or as it is drawn, mm; infinite
/// without joints.
fn tightest(resolved: &Resolved) -> f64 {
    let joints = resolved.joints.iter();
    let clearances = joints.map(|j| j.joint.clearance.min(j.cut.clearance));
    clearances.fold(f64::INFINITY, f64::min)
}

/// Makes the whole set in an opened folder, and checks it; `warnings` of reading and resolving are
/// findings too. `step` is told after each distinct part and joint.
///
/// # Errors
/// See [`MakeError`]; nothing of the old set is touched then.
pub fn make(
    resolved: &Resolved,
    settings: &Settings,
    warnings: &[Diagnostic],
    folder: &Folder,
    stop: &AtomicBool,
    step: &(dyn Fn(usize, usize) + Sync),
) -> Result<Done, MakeError> {
    make_again(resolved, settings, warnings, (folder, None), stop, step)
}

/// The same with the records of the former set, if there are any: what did not change is taken over.
///
/// # Errors
/// As [`make`].
pub fn make_again(
    resolved: &Resolved,
    settings: &Settings,
    warnings: &[Diagnostic],
    (folder, store): (&Folder, Option<&Store<'_>>),
    stop: &AtomicBool,
    step: &(dyn Fn(usize, usize) + Sync),
) -> Result<Done, MakeError> {
    let plans = parts(resolved, settings);
    let together = [ASSEMBLY, THREE_MF].map(str::to_owned);
    let names: Vec<String> = plans.iter().flat_map(PartPlan::files).collect();
    let set = folder.claim(&[names, together.to_vec()].concat(), stop)?;
    let together = Together::begin(&set, resolved, settings)?;
    let mut work = Work::new(resolved, settings, &plans, step);
    work.store = store;
    let run = Run {
        work: &work,
        set: &set,
        together: &together,
    };
    let written = run.all()?;
    let mut manifest = Manifest::new(
        &resolved.creature.name,
        resolved.creature.bench_only,
        Recorded {
            deviation_mm: settings.deviation,
        },
    );
    manifest.found_joints.clone_from(&resolved.found);
    let mut checked = Vec::new();
    for (parts, part) in written {
        manifest.parts.extend(parts);
        checked.push(part);
    }
    let placed = placed(&work.groups, &manifest.parts);
    let files = together.end(&set, &resolved.creature.name, &placed)?;
    manifest.files.extend(files);
    let made = Made::of(&manifest, work.groups.len());
    let report = set.commit(&manifest.to_bytes().map_err(MakeError::Manifest)?)?;
    let findings = work.findings(checked, warnings);
    if let Some(store) = store {
        store.end()?;
    }
    Ok(Done {
        made,
        report,
        findings,
    })
}

/// Every part in the order of the creature: number of its solid, place, record. `parts` stand in
/// the order of the groups.
fn placed<'a>(groups: &[Vec<&PartPlan>], parts: &'a [Part]) -> Vec<(usize, Pose, &'a Part)> {
    let solids = groups.iter().enumerate();
    let plans = solids.flat_map(|(solid, group)| group.iter().map(move |plan| (solid, plan)));
    let mut placed: Vec<_> = plans
        .zip(parts)
        .map(|((solid, plan), part)| (solid, plan.placement, part))
        .collect();
    placed.sort_by_key(|(_, _, part)| (part.section, part.side));
    placed
}
