//! `limberwood check`.

use std::path::Path;

use super::args::Check;
use super::finish::Finish;
use super::outcome::{Outcome, print_json, worst};
use super::print;
use super::progress::with_progress;
use super::read::read;
use crate::check::explain::{EXPLAINED, Explained, explain};
use crate::diagnostic::Severity;
use crate::make::{Settings, check};
use crate::params::did_you_mean;

/// Runs the command.
pub fn run(args: &Check) -> Finish {
    if let Some(name) = &args.explain {
        return explain_check(name, args.json);
    }
    let outcomes: Vec<Outcome> = args.designs.iter().map(|f| one(args, f)).collect();
    if args.json {
        return print_json(&outcomes);
    }
    let least = match (args.quiet, args.all) {
        (true, _) => Severity::Error,
        (false, false) => Severity::Warning,
        (false, true) => Severity::Note,
    };
    for outcome in &outcomes {
        outcome.tell_checked(least);
    }
    worst(&outcomes)
}

fn one(args: &Check, file: &Path) -> Outcome {
    let mut outcome = Outcome::new(&file.display().to_string());
    if let Some((resolved, unit)) = read(file, args.shop.as_deref(), &mut outcome) {
        let settings = Settings {
            leftover: true,
            ..Settings::of(&resolved, unit)
        };
        let findings = with_progress(args.quiet || args.json, |step| {
            check(&resolved, &settings, &outcome.messages, step)
        });
        outcome.checked(findings);
    }
    outcome
}

fn explain_check(name: &str, json: bool) -> Finish {
    let found: Vec<&Explained> = match name {
        "list" => EXPLAINED.iter().collect(),
        _ => explain(name).into_iter().collect(),
    };
    if found.is_empty() {
        let known = EXPLAINED.iter().map(|e| e.check);
        let way_out = did_you_mean(name, known, "see --explain list");
        print::say(&format!("error: there is no check `{name}`; {way_out}"));
        return Finish::CouldNotRun;
    }
    if json {
        return print::out(&format!("{:#}\n", serde_json::json!(found)));
    }
    let text = |e: &&Explained| {
        let limits = match e.limits {
            "" => String::new(),
            limits => format!("  Limits: {limits}\n"),
        };
        format!(
            "{}\n  Rule: {}\n  Source: {}\n{limits}",
            e.check, e.rule, e.source
        )
    };
    print::out(&found.iter().map(text).collect::<String>())
}
