//! `limberwood check`.

use serde::Serialize;

use super::args::{Check, Make};
use super::finish::Finish;
use super::make::{self, Outcome, progress};
use super::picture::plain_settings;
use super::print;
use crate::check::explain::{EXPLAINED, Explained, explain};
use crate::check::finding::{Finding, Verdict};
use crate::diagnostic::{Diagnostic, Severity};
use crate::make::check;
use crate::params::did_you_mean;
use crate::units::Unit;

/// Version of the JSON form; grows when a reader must know of a change.
const SCHEMA_VERSION: u32 = 1;

/// One design, checked or not.
#[derive(Serialize)]
struct Checked {
    file: String,
    exit: u8,
    /// Nothing when it could not be checked.
    verdict: Option<Verdict>,
    findings: Vec<Finding>,
    /// Why it could not be checked.
    messages: Vec<Diagnostic>,
    cause: Option<String>,
}

/// Runs the command.
pub fn run(args: &Check) -> Finish {
    if let Some(name) = &args.explain {
        return explain_check(name, args.json);
    }
    let checked: Vec<(Checked, Finish)> = args.designs.iter().map(|f| one(args, f)).collect();
    let worst = checked.iter().map(|c| c.1).max().unwrap_or(Finish::Sound);
    if args.json {
        let designs: Vec<&Checked> = checked.iter().map(|c| &c.0).collect();
        let text = serde_json::json!({
            "schema_version": SCHEMA_VERSION, "exit": worst.code(), "designs": designs
        });
        return print::out(&format!("{text:#}\n")).max(worst);
    }
    for (checked, _) in &checked {
        tell(args, checked);
    }
    worst
}

fn one(args: &Check, file: &std::path::Path) -> (Checked, Finish) {
    let plain = Make::plain(file, args.shop.as_deref(), args.quiet || args.json);
    let mut outcome = Outcome::new(&file.display().to_string());
    let mut checked = Checked {
        file: file.display().to_string(),
        exit: 0,
        verdict: None,
        findings: Vec::new(),
        messages: Vec::new(),
        cause: None,
    };
    let finish = match make::read(&plain, file, &plain_settings(Unit::Mm), &mut outcome) {
        Some((resolved, unit)) => {
            let bar = progress(plain.quiet, "parts and joints");
            let step = |done: usize, all: usize| {
                bar.set_length(all as u64);
                bar.set_position(done as u64);
            };
            checked.findings = check(&resolved, &plain_settings(unit), &outcome.messages, &step);
            bar.finish_and_clear();
            let verdict = Verdict::of(&checked.findings);
            checked.verdict = Some(verdict);
            finish_of(verdict)
        }
        None => {
            checked.messages = outcome.messages;
            checked.cause = outcome.cause;
            outcome.finish.unwrap_or(Finish::CouldNotRun)
        }
    };
    checked.exit = finish.code();
    (checked, finish)
}

/// Only errors fail.
pub(super) fn finish_of(verdict: Verdict) -> Finish {
    match verdict {
        Verdict::FixFirst => Finish::Fails,
        Verdict::Cut | Verdict::CutACouponFirst => Finish::Sound,
    }
}

fn tell(args: &Check, checked: &Checked) {
    for message in &checked.messages {
        print::say(&message.to_string());
    }
    if let Some(cause) = &checked.cause {
        print::say(&format!("{}: error: {cause}", checked.file));
    }
    let Some(verdict) = checked.verdict else {
        return;
    };
    print::out(&format!("{}: {}\n", checked.file, verdict.word()));
    let least = match (args.quiet, args.all) {
        (true, _) => Severity::Error,
        (false, false) => Severity::Warning,
        (false, true) => Severity::Note,
    };
    print::out(&lines(&checked.findings, least));
    let notes = checked
        .findings
        .iter()
        .filter(|f| f.message.severity == Severity::Note);
    if least == Severity::Warning {
        print::out(&format!(
            "{} notes: limberwood check --all\n",
            notes.count()
        ));
    }
}

/// One line a finding, gravest first.
pub(super) fn lines(findings: &[Finding], least: Severity) -> String {
    let shown = findings.iter().filter(|f| f.message.severity <= least);
    let line = |f: &Finding| {
        let accepted = f.accepted.as_ref();
        let accepted = accepted.map_or(String::new(), |r| format!(" (accepted: {r})"));
        format!("{} [{}]{accepted}\n", f.message, f.message.rule)
    };
    shown.map(line).collect()
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
