//! `limberwood make`.

use std::collections::BTreeMap;
use std::path::PathBuf;
use std::sync::atomic::AtomicBool;

use super::args::{Make, PoseArg};
use super::finish::Finish;
use super::outcome::{Outcome, print_json, worst};
use super::progress::{stop_on_ctrl_c, with_progress};
use super::read::read;
use crate::chain::Resolved;
use crate::export::folder::{Folder, Parents};
use crate::export::names::safe_stem;
use crate::export::step::Stamp;
use crate::make::{self, MakeError, Place, Settings, Store};
use crate::params::did_you_mean;

/// A design that can be made.
struct Ready {
    index: usize,
    resolved: Resolved,
    settings: Settings,
    folder: Folder,
}

/// Runs the command.
pub fn run(args: &Make) -> Finish {
    if let Some(n) = args.threads {
        // Fails only when the pool exists already, which does not change the bytes.
        let _ = rayon::ThreadPoolBuilder::new()
            .num_threads(n.into())
            .build_global();
    }
    let stop = stop_on_ctrl_c();
    let files = args.designs.iter();
    let mut outcomes: Vec<Outcome> = files
        .map(|file| Outcome::new(&file.display().to_string()))
        .collect();
    for ready in prepare(args, &mut outcomes) {
        let outcome = &mut outcomes[ready.index];
        let hidden = args.quiet || args.json;
        make_one(
            &ready.resolved,
            &ready.settings,
            (&ready.folder, None),
            (stop, hidden),
            outcome,
        );
    }
    if args.json {
        return print_json(&outcomes);
    }
    for outcome in &outcomes {
        outcome.tell_made(args.quiet);
    }
    worst(&outcomes)
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
    let mut found = Vec::new();
    for (index, file) in args.designs.iter().enumerate() {
        let outcome = &mut outcomes[index];
        let Some((resolved, unit)) = read(file, args.shop.as_deref(), outcome) else {
            continue;
        };
        let settings = Settings {
            stamp: stamp.clone(),
            ..Settings::of(&resolved, unit)
        };
        match asked(args, &resolved, settings) {
            Ok(settings) => found.push((index, resolved, settings)),
            Err(cause) => outcome.could_not_run(cause),
        }
    }
    open(args, found, outcomes)
}

/// The settings as the arguments change them; what is wrong with those in words.
fn asked(args: &Make, resolved: &Resolved, plain: Settings) -> Result<Settings, String> {
    let settings = Settings {
        deviation: args.deviation.unwrap_or(plain.deviation),
        place: match args.pose {
            PoseArg::OutsideUp => Place::OutsideUp,
            PoseArg::InsideUp => Place::InsideUp,
            PoseArg::Creature => Place::Creature,
        },
        only: args.only.clone(),
        from: args.from.clone(),
        ..plain
    };
    make::check_deviation(settings.deviation, resolved)?;
    section_there(resolved, &settings)?;
    Ok(settings)
}

/// Whether there is the section that `--only` or `--from` names; else near misses in words.
pub(super) fn section_there(resolved: &Resolved, settings: &Settings) -> Result<(), String> {
    if !make::parts(resolved, settings).is_empty() {
        return Ok(());
    }
    let sections = &resolved.creature.sections;
    let names = || sections.iter().map(|s| s.name.as_str());
    let asked = settings.only.as_ref().or(settings.from.as_ref());
    let asked = asked.map_or("", String::as_str);
    let some: Vec<&str> = names().take(20).collect();
    let otherwise = format!("there are {}", some.join(", "));
    let way_out = did_you_mean(asked, names(), &otherwise);
    Err(format!("no section {asked:?}; {way_out}"))
}

fn open(
    args: &Make,
    found: Vec<(usize, Resolved, Settings)>,
    outcomes: &mut [Outcome],
) -> Vec<Ready> {
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

/// out/NAME, or the folder asked for; several designs get one folder each inside it.
fn folder_of(args: &Make, resolved: &Resolved) -> (PathBuf, Parents) {
    let mut name = safe_stem(&resolved.creature.name);
    if let Some(only) = &args.only {
        name = format!("{name}-only-{}", safe_stem(only));
    }
    if let Some(from) = &args.from {
        name = format!("{name}-from-{}", safe_stem(from));
    }
    match &args.output {
        None => (PathBuf::from("out").join(name), Parents::Make),
        Some(dir) if args.designs.len() == 1 => (dir.clone(), Parents::MustExist),
        Some(dir) => (dir.join(name), Parents::Make),
    }
}

/// Makes and checks one design in its folder, with the records of its former set if there are any; tells `outcome`.
pub(super) fn make_one(
    resolved: &Resolved,
    settings: &Settings,
    place: (&Folder, Option<&Store<'_>>),
    (stop, hidden): (&AtomicBool, bool),
    outcome: &mut Outcome,
) {
    let result = with_progress(hidden, |step| {
        make::make_again(resolved, settings, &outcome.messages, place, stop, step)
    });
    match result {
        Ok(done) => {
            outcome.made(done.made, done.report);
            outcome.checked(done.findings);
        }
        Err(MakeError::Design(found)) => {
            outcome.messages.extend(found.sorted());
            outcome.ends(Finish::Fails);
        }
        Err(MakeError::Folder(e)) => outcome.could_not_run(e.to_string()),
        Err(MakeError::Manifest(e)) => outcome.could_not_run(e.to_string()),
    }
}
