//! `limberwood blank`.

use std::path::PathBuf;

use super::args::Blank;
use super::finish::Finish;
use super::make::section_there;
use super::outcome::{Outcome, print_json, worst};
use super::progress::{stop_on_ctrl_c, with_progress};
use super::read::read;
use crate::export::folder::{Folder, Parents};
use crate::export::names::safe_stem;
use crate::export::step::Stamp;
use crate::make::{self, BlankSet, MakeError, Settings};

/// Runs the command.
pub fn run(args: &Blank) -> Finish {
    let mut outcome = Outcome::new(&args.design.display().to_string());
    let set = blank(args, &mut outcome);
    if args.json {
        return print_json(&[outcome]);
    }
    outcome.tell_blanks(set.as_ref(), args.quiet);
    worst(&[outcome])
}

/// Checks the design, lays it out and writes the files; `outcome` is told.
fn blank(args: &Blank, outcome: &mut Outcome) -> Option<BlankSet> {
    let (resolved, unit) = read(&args.design, args.shop.as_deref(), outcome)?;
    let stamp = match Stamp::from_environment() {
        Ok(stamp) => stamp,
        Err(e) => {
            outcome.could_not_run(e.to_string());
            return None;
        }
    };
    let settings = Settings {
        stamp,
        ..Settings::of(&resolved, unit)
    };
    let part = Settings {
        from: args.from.clone(),
        ..settings.clone()
    };
    if let Err(cause) = section_there(&resolved, &part) {
        outcome.could_not_run(cause);
        return None;
    }
    let hidden = args.quiet || args.json;
    let findings = with_progress(hidden, |step| {
        make::check(&resolved, &settings, &outcome.messages, step)
    });
    outcome.checked(findings);
    if !outcome.is_sound() {
        return None;
    }
    let mut name = safe_stem(&resolved.creature.name);
    if let Some(from) = &args.from {
        name = format!("{name}-from-{}", safe_stem(from));
    }
    let name = format!("{name}-blanks");
    let (path, parents) = match &args.output {
        Some(path) => (path.clone(), Parents::MustExist),
        None => (PathBuf::from("out").join(name), Parents::Make),
    };
    let folder = match Folder::open(&path, parents) {
        Ok(folder) => folder,
        Err(e) => {
            outcome.could_not_run(e.to_string());
            return None;
        }
    };
    outcome.folder = Some(path.display().to_string());
    let stop = stop_on_ctrl_c();
    let creatures = usize::from(args.count);
    match make::blanks(
        &resolved,
        &part,
        (creatures, outcome.judged()),
        &folder,
        stop,
    ) {
        Ok(set) => {
            outcome.laid_out(&set.findings);
            outcome.wrote(&set.report);
            Some(set)
        }
        Err(MakeError::Design(found)) => {
            outcome.messages.extend(found.sorted());
            outcome.ends(Finish::Fails);
            None
        }
        Err(MakeError::Folder(e)) => {
            outcome.could_not_run(e.to_string());
            None
        }
        Err(MakeError::Manifest(e)) => {
            outcome.could_not_run(e.to_string());
            None
        }
    }
}
