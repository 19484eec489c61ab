//! From the resolved creature to its set of files.
//!
//! Equal halves are built once; each distinct half is built, meshed, inspected and written by one
//! task, so memory does not grow with the chain. The bytes do not depend on the number of threads.

mod model;
mod parts;
mod refused;
mod report;

use std::collections::BTreeMap;
use std::sync::atomic::AtomicBool;

use rayon::prelude::*;

use crate::chain::Resolved;
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::export::folder::{FileSet, Folder, FolderError, Report};
use crate::export::manifest::{Manifest, ManifestError, Part, Settings as Recorded};
use crate::export::step::Stamp;
use crate::units::Unit;

pub use model::{Bodies, Model, bodies, model, whole};
use parts::held;
pub use parts::{Body, PartPlan, Place, parts};
pub use refused::Refused;
use refused::named;
pub use report::{Made, Totals};

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
    /// Unit of lengths in messages.
    pub unit: Unit,
    /// Time stamp of STEP files.
    pub stamp: Stamp,
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
    let clearance = resolved
        .joints
        .iter()
        .map(|j| j.joint.clearance)
        .fold(f64::INFINITY, f64::min);
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

/// Makes the whole set in an opened folder; returns warnings of thin walls beside it. `step` is
/// told after each distinct half.
///
/// # Errors
/// See [`MakeError`]; nothing of the old set is touched then.
pub fn make(
    resolved: &Resolved,
    settings: &Settings,
    folder: &Folder,
    stop: &AtomicBool,
    step: &(dyn Fn(usize, usize) + Sync),
) -> Result<(Made, Report, Diagnostics), MakeError> {
    let plans = parts(resolved, settings);
    let names: Vec<String> = plans.iter().flat_map(PartPlan::files).collect();
    let set = folder.claim(&names, stop)?;
    let groups = groups(&plans);
    let done = std::sync::atomic::AtomicUsize::new(0);
    let results: Vec<Result<Written, MakeError>> = groups
        .par_iter()
        .map(|group| {
            let parts = write_group(resolved, settings, group, &set);
            let n = done.fetch_add(1, std::sync::atomic::Ordering::Relaxed) + 1;
            step(n, groups.len());
            parts
        })
        .collect();
    let mut manifest = Manifest::new(
        &resolved.creature.name,
        resolved.creature.bench_only,
        Recorded {
            deviation_mm: settings.deviation,
        },
    );
    let mut faults = Diagnostics::new();
    for result in results {
        match result {
            Ok((parts, thin)) => {
                manifest.parts.extend(parts);
                faults.extend(thin);
            }
            Err(MakeError::Design(found)) => faults.append(found),
            Err(other) => return Err(other),
        }
    }
    if faults.has_errors() {
        return Err(MakeError::Design(faults));
    }
    let made = Made::of(&manifest, groups.len());
    let report = set.commit(&manifest.to_bytes().map_err(MakeError::Manifest)?)?;
    Ok((made, report, faults))
}

/// Parts of one solid together, in the order of their first part.
fn groups(plans: &[PartPlan]) -> Vec<Vec<&PartPlan>> {
    let mut index = BTreeMap::new();
    let mut groups: Vec<Vec<&PartPlan>> = Vec::new();
    for plan in plans {
        let at = *index.entry(plan.key.clone()).or_insert_with(|| {
            groups.push(Vec::new());
            groups.len() - 1
        });
        groups[at].push(plan);
    }
    groups
}

/// Parts of one solid as written, and warnings of its thin walls.
type Written = (Vec<Part>, Vec<Diagnostic>);

fn write_group(
    resolved: &Resolved,
    settings: &Settings,
    group: &[&PartPlan],
    set: &FileSet<'_>,
) -> Result<Written, MakeError> {
    let first = group[0];
    let section = &resolved.creature.sections[first.section];
    let place = &resolved.sources[first.section].place;
    let bench = resolved.creature.bench_only;
    let (deviation, walls) = (settings.deviation, &resolved.walls);
    let bodies = if section.form.whole {
        whole(&section.form, deviation, walls, bench)
    } else {
        bodies(
            &first.half(section),
            &first.held_half(section),
            deviation,
            walls,
            bench,
        )
    }
    .map_err(|refused| MakeError::Design(refused.diagnostics(place, &first.name, settings.unit)))?;
    let thin = bodies
        .thin
        .iter()
        .map(|r| r.diagnostic(place.clone(), settings.unit));
    let thin = thin.map(|m| named(m, &first.name)).collect();
    let parts: Result<Vec<Part>, MakeError> = group
        .iter()
        .map(|plan| {
            let put = |body: Body, model: &Model| {
                let (stl, step) = plan.bytes(body, model, settings, bench).map_err(|cause| {
                    let found = format!("{}: {cause}", plan.name);
                    MakeError::Design(Diagnostics::from(Diagnostic::error(place.clone(), found)))
                })?;
                let files = [
                    set.put(&plan.stl(body), &stl)?,
                    set.put(&plan.step(body), &step)?,
                ];
                Ok::<_, MakeError>(files.to_vec())
            };
            let finished = put(Body::Finished, &bodies.finished)?;
            let mut part = plan.record(&resolved.creature, &bodies.finished, finished);
            if let Some(model) = &bodies.held {
                part.held = Some(held(model, put(Body::Held, model)?));
            }
            Ok(part)
        })
        .collect();
    Ok((parts?, thin))
}
