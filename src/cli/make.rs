//! `limberwood make`.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use indicatif::{ProgressBar, ProgressStyle};
use serde::Serialize;

use super::args::{Make, PoseArg};
use super::check::{finish_of, lines};
use super::finish::Finish;
use super::print;
use crate::chain::{Resolved, resolve};
use crate::check::finding::{Finding, Verdict};
use crate::diagnostic::{Diagnostic, Place as FilePlace, Severity};
use crate::export::folder::{Folder, Parents, Report};
use crate::export::names::safe_stem;
use crate::export::step::Stamp;
use crate::make::{self, Made, MakeError, Place, Settings};
use crate::params;
use crate::units::Unit;

/// Distinct halves from which on progress is shown.
const LONG_WORK: usize = 8;

/// One design of the run.
#[derive(Serialize)]
pub(super) struct Outcome {
    file: String,
    /// The folder, when one was opened.
    pub(super) folder: Option<String>,
    exit: u8,
    pub(super) messages: Vec<Diagnostic>,
    /// Why it could not run, when that is no fault of a file.
    pub(super) cause: Option<String>,
    made: Option<Made>,
    /// What the checks say; nothing when it was not made.
    verdict: Option<Verdict>,
    findings: Vec<Finding>,
    report: Option<ReportJson>,
    #[serde(skip)]
    pub(super) finish: Option<Finish>,
    #[serde(skip)]
    pub(super) resolved: Option<Resolved>,
    #[serde(skip)]
    built_in_shop: bool,
}

#[derive(Serialize)]
struct ReportJson {
    written: Vec<String>,
    unchanged: Vec<String>,
    removed: Vec<String>,
    kept: Vec<String>,
}

impl From<Report> for ReportJson {
    fn from(r: Report) -> Self {
        ReportJson {
            written: r.written,
            unchanged: r.unchanged,
            removed: r.removed,
            kept: r.kept,
        }
    }
}

/// A design that can be made.
struct Ready {
    index: usize,
    resolved: Resolved,
    settings: Settings,
    folder: Folder,
}

/// Runs the command.
pub fn run(args: &Make) -> Finish {
    finish(args, &outcomes(args))
}

/// Makes every design, without a word but for the progress.
pub(super) fn outcomes(args: &Make) -> Vec<Outcome> {
    let stop = Arc::new(AtomicBool::new(false));
    let flag = Arc::clone(&stop);
    // Without a handler Ctrl-C ends the process at once: the folder's rules cover that too.
    let _ = ctrlc::set_handler(move || flag.store(true, Ordering::Relaxed));
    if let Some(n) = args.threads {
        // Fails only when the pool exists already, which does not change the bytes.
        let _ = rayon::ThreadPoolBuilder::new()
            .num_threads(n.into())
            .build_global();
    }
    let mut outcomes: Vec<Outcome> = args
        .designs
        .iter()
        .map(|file| Outcome::new(&file.display().to_string()))
        .collect();
    let ready = prepare(args, &mut outcomes);
    for ready in ready {
        let outcome = &mut outcomes[ready.index];
        make_one(args, ready, &stop, outcome);
    }
    outcomes
}

impl Outcome {
    pub(super) fn new(file: &str) -> Self {
        Outcome {
            file: file.to_owned(),
            folder: None,
            exit: 0,
            messages: Vec::new(),
            cause: None,
            made: None,
            verdict: None,
            findings: Vec::new(),
            report: None,
            finish: None,
            resolved: None,
            built_in_shop: false,
        }
    }

    /// Height of the tallest part, mm.
    pub(super) fn tallest(&self) -> f64 {
        self.made
            .as_ref()
            .map_or(0.0, |made| made.totals.tallest_mm)
    }

    pub(super) fn ends(&mut self, finish: Finish) {
        self.finish = Some(finish);
        self.exit = finish.code();
    }

    pub(super) fn could_not_run(&mut self, cause: String) {
        self.cause = Some(cause);
        self.ends(Finish::CouldNotRun);
    }
}

/// Reads, resolves and opens the folder of every design before any work: all faults of all
/// files come in one run.
fn prepare(args: &Make, outcomes: &mut [Outcome]) -> Vec<Ready> {
    let stamp = match Stamp::from_environment() {
        Ok(stamp) => stamp,
        Err(e) => {
            for outcome in outcomes.iter_mut() {
                outcome.could_not_run(e.to_string());
            }
            return Vec::new();
        }
    };
    let place = match args.pose {
        PoseArg::OutsideUp => Place::OutsideUp,
        PoseArg::InsideUp => Place::InsideUp,
        PoseArg::Creature => Place::Creature,
    };
    let mut found = Vec::new();
    for (index, file) in args.designs.iter().enumerate() {
        let mut settings = Settings {
            unit: Unit::Mm,
            deviation: args.deviation,
            place,
            only: args.only.clone(),
            stamp: stamp.clone(),
        };
        if let Some((resolved, unit)) = read(args, file, &settings, &mut outcomes[index]) {
            settings.unit = unit;
            found.push((index, resolved, settings));
        }
    }
    let mut folders: BTreeMap<String, usize> = BTreeMap::new();
    let mut ready = Vec::new();
    for (index, resolved, settings) in found {
        let (path, parents) = folder_of(args, &resolved);
        let outcome = &mut outcomes[index];
        let name = path.display().to_string();
        if let Some(&other) = folders.get(&name.to_lowercase()) {
            let cause = format!(
                "{name:?} is the folder of {} too: give the creatures different names",
                args.designs[other].display()
            );
            outcome.could_not_run(cause);
            continue;
        }
        folders.insert(name.to_lowercase(), index);
        match Folder::open(&path, parents) {
            Ok(folder) => {
                outcome.folder = Some(name);
                ready.push(Ready {
                    index,
                    resolved,
                    settings,
                    folder,
                });
            }
            Err(e) => outcome.could_not_run(e.to_string()),
        }
    }
    ready
}

pub(super) fn read(
    args: &Make,
    file: &Path,
    settings: &Settings,
    outcome: &mut Outcome,
) -> Option<(Resolved, Unit)> {
    let shop = args.shop.clone().or_else(|| params::shop_beside(file));
    outcome.built_in_shop = shop.is_none();
    let (design, shop, mut warnings) = match params::read_files(file, shop.as_deref()) {
        Ok(read) => read,
        Err(errors) => {
            let unreadable = [Some(file), shop.as_deref()]
                .into_iter()
                .flatten()
                .any(|file| file.is_dir() || std::fs::File::open(file).is_err());
            outcome.messages = errors.sorted();
            outcome.ends(if unreadable {
                Finish::CouldNotRun
            } else {
                Finish::Fails
            });
            return None;
        }
    };
    let resolved = match resolve(&design, &shop) {
        Ok(resolved) => resolved,
        Err(errors) => {
            warnings.extend(errors.sorted());
            outcome.messages = warnings;
            outcome.ends(Finish::Fails);
            return None;
        }
    };
    warnings.extend(resolved.warnings.sorted());
    outcome.messages = warnings;
    if let Err(cause) = make::check_deviation(settings.deviation, &resolved) {
        outcome.could_not_run(cause);
        return None;
    }
    if make::parts(&resolved, settings).is_empty() {
        let names: Vec<&str> = resolved
            .creature
            .sections
            .iter()
            .take(20)
            .map(|s| s.name.as_str())
            .collect();
        let asked = settings.only.as_deref().unwrap_or_default();
        outcome.could_not_run(format!(
            "no section {asked:?}; there are {}",
            names.join(", ")
        ));
        return None;
    }
    Some((resolved, design.units.value.0))
}

/// out/NAME, or the folder asked for; several designs get one folder each inside it.
fn folder_of(args: &Make, resolved: &Resolved) -> (PathBuf, Parents) {
    let mut name = safe_stem(&resolved.creature.name);
    if let Some(only) = &args.only {
        name = format!("{name}-only-{}", safe_stem(only));
    }
    match &args.output {
        None => (PathBuf::from("out").join(name), Parents::Make),
        Some(dir) if args.designs.len() == 1 => (dir.clone(), Parents::MustExist),
        Some(dir) => (dir.join(name), Parents::Make),
    }
}

fn make_one(args: &Make, ready: Ready, stop: &AtomicBool, outcome: &mut Outcome) {
    let bar = progress(args.quiet || args.json, "halves");
    let step = |done: usize, all: usize| {
        if all >= LONG_WORK {
            bar.set_length(all as u64);
            bar.set_position(done as u64);
        }
    };
    let result = make::make(&ready.resolved, &ready.settings, &ready.folder, stop, &step);
    bar.finish_and_clear();
    match result {
        Ok((made, report, thin)) => {
            let hidden = args.quiet || args.json;
            outcome.findings = findings(&ready, &outcome.messages, hidden);
            let verdict = Verdict::of(&outcome.findings);
            outcome.verdict = Some(verdict);
            outcome.messages.extend(thin.sorted());
            outcome.made = Some(made);
            outcome.report = Some(report.into());
            outcome.resolved = Some(ready.resolved);
            outcome.ends(finish_of(verdict));
        }
        Err(MakeError::Design(found)) => {
            outcome.messages.extend(found.sorted());
            outcome.ends(Finish::Fails);
        }
        Err(MakeError::Folder(e)) => outcome.could_not_run(e.to_string()),
        Err(MakeError::Manifest(e)) => outcome.could_not_run(e.to_string()),
    }
}

/// What the checks say of a design that was made.
fn findings(ready: &Ready, warnings: &[Diagnostic], hidden: bool) -> Vec<Finding> {
    let bar = progress(hidden, "checks of parts and joints");
    let step = |done: usize, all: usize| {
        bar.set_length(all as u64);
        bar.set_position(done as u64);
    };
    let findings = make::check(&ready.resolved, &ready.settings, warnings, &step);
    bar.finish_and_clear();
    findings
}

/// Shown on a terminal only, and cleared at the end.
pub(super) fn progress(hidden: bool, things: &str) -> ProgressBar {
    if hidden {
        return ProgressBar::hidden();
    }
    let bar = ProgressBar::new(0);
    let template = format!("{things} {{pos}} of {{len}} {{bar:40}}");
    if let Ok(style) = ProgressStyle::with_template(&template) {
        bar.set_style(style);
    }
    bar
}

pub(super) fn finish(args: &Make, outcomes: &[Outcome]) -> Finish {
    let worst = outcomes
        .iter()
        .filter_map(|o| o.finish)
        .max()
        .unwrap_or(Finish::Sound);
    if args.json {
        let text =
            serde_json::json!({ "schema_version": 1, "exit": worst.code(), "designs": outcomes });
        return print::out(&format!("{text:#}\n")).max(worst);
    }
    for outcome in outcomes {
        tell(args, outcome);
    }
    worst
}

fn tell(args: &Make, outcome: &Outcome) {
    let least = if args.quiet {
        Severity::Error
    } else {
        Severity::Warning
    };
    // What was made tells its warnings as findings.
    let messages = outcome
        .messages
        .iter()
        .filter(|_| outcome.verdict.is_none());
    for message in messages.filter(|m| m.severity <= least) {
        print::say(&message.to_string());
    }
    print::say_lines(&lines(&outcome.findings, least));
    if let Some(cause) = &outcome.cause {
        let message = Diagnostic::error(FilePlace::of_file(&outcome.file), cause.clone());
        print::say(&message.to_string());
    }
    let (Some(made), Some(report)) = (&outcome.made, &outcome.report) else {
        return;
    };
    if args.quiet {
        return;
    }
    if outcome.built_in_shop {
        print::say(&shop_in_use());
    }
    let folder = outcome.folder.as_deref().unwrap_or_default();
    let verdict = outcome.verdict.map_or("", Verdict::word);
    print::out(&format!(
        "{}checks: {verdict}\n",
        summary(made, report, folder)
    ));
}

fn shop_in_use() -> String {
    let lines = params::BUILT_IN_SHOP
        .lines()
        .filter(|l| !l.starts_with('#'));
    let text: Vec<String> = lines.map(|l| format!("  {l}")).collect();
    format!(
        "no shop file (--shop FILE, or shop.yaml beside the design); built in:\n{}",
        text.join("\n")
    )
}

/// Halves and whole sections, those that there are.
fn parts(halves: usize, whole: usize) -> String {
    match (halves, whole) {
        (halves, 0) => format!("{halves} halves"),
        (0, 1) => "1 whole section".to_owned(),
        (0, whole) => format!("{whole} whole sections"),
        (halves, whole) => format!("{halves} halves and {}", parts(0, whole)),
    }
}

fn summary(made: &Made, report: &ReportJson, folder: &str) -> String {
    let t = &made.totals;
    let mut text = String::new();
    if made.bench_only {
        text.push_str(&format!("{}\n", crate::export::words::NOT_FOR_CUTTING));
    }
    text.push_str(&format!(
        "{}: {} of {} sections, {} of them different, in {folder}\n",
        made.creature,
        parts(t.parts - t.whole, t.whole),
        t.sections,
        t.distinct
    ));
    text.push_str(&format!(
        "  {:.0} g of wood, tallest half {:.2} mm, {} triangles within {:.3} mm\n",
        t.mass_g, t.tallest_mm, t.triangles, t.deviation_mm
    ));
    text.push_str(&format!(
        "  section curves within {:.3} mm of the superellipses asked for\n",
        t.skin_misfit_mm
    ));
    text.push_str(&format!(
        "  {} files written, {} unchanged, {} of an older set removed\n",
        report.written.len(),
        report.unchanged.len(),
        report.removed.len()
    ));
    for name in &report.kept {
        text.push_str(&format!("  kept: {name} (changed by somebody else)\n"));
    }
    text
}
