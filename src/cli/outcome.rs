//! What became of one design, and how it is told.

use serde::Serialize;

use super::finish::Finish;
use super::print;
use crate::blank::ball_steps;
use crate::check::finding::{Finding, Verdict, sort};
use crate::diagnostic::{Diagnostic, Place, Severity};
use crate::export::folder::Report;
use crate::export::words::NOT_FOR_CUTTING;
use crate::make::{BlankSet, Made, Totals};
use crate::params;
use crate::solve;

/// Version of the JSON form; grows when a reader must know of a change.
const SCHEMA_VERSION: u32 = 1;

/// One design of a run.
#[derive(Serialize)]
pub struct Outcome {
    pub file: String,
    /// The folder, when one was opened.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub folder: Option<String>,
    exit: u8,
    /// What was said before the checks; theirs are findings.
    pub messages: Vec<Diagnostic>,
    /// Why it could not run, when that is no fault of a file.
    cause: Option<String>,
    /// What the checks say; nothing when there were none.
    verdict: Option<Verdict>,
    findings: Vec<Finding>,
    #[serde(skip_serializing_if = "Option::is_none")]
    made: Option<Made>,
    #[serde(skip_serializing_if = "Option::is_none")]
    report: Option<ReportJson>,
    #[serde(skip)]
    finish: Option<Finish>,
    #[serde(skip)]
    pub built_in_shop: bool,
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

impl Outcome {
    /// A design of which nothing is known yet.
    pub fn new(file: &str) -> Self {
        Outcome {
            file: file.to_owned(),
            folder: None,
            exit: 0,
            messages: Vec::new(),
            cause: None,
            verdict: None,
            findings: Vec::new(),
            made: None,
            report: None,
            finish: None,
            built_in_shop: false,
        }
    }

    /// Notes how it ends.
    pub fn ends(&mut self, finish: Finish) {
        self.finish = Some(finish);
        self.exit = finish.code();
    }

    /// It could not run, for this reason.
    pub fn could_not_run(&mut self, cause: String) {
        self.cause = Some(cause);
        self.ends(Finish::CouldNotRun);
    }

    /// It was checked: errors fail. What was said before is among the findings.
    pub fn checked(&mut self, findings: Vec<Finding>) {
        let verdict = Verdict::of(&findings);
        self.messages.clear();
        self.findings = findings;
        self.verdict = Some(verdict);
        self.ends(match verdict {
            Verdict::FixFirst => Finish::Fails,
            Verdict::Cut | Verdict::CutACouponFirst => Finish::Sound,
        });
    }

    /// It was made.
    pub fn made(&mut self, made: Made, report: Report) {
        self.made = Some(made);
        self.report = Some(report.into());
    }

    /// It was laid out: what that does to fits and cutters comes after what the checks said of the
    /// design.
    pub fn laid_out(&mut self, findings: &[Finding]) {
        self.findings.extend_from_slice(findings);
        sort(&mut self.findings);
        self.verdict = self.verdict.max(Some(Verdict::of(findings)));
    }

    /// Its files were written.
    pub fn wrote(&mut self, report: &Report) {
        self.report = Some(report.clone().into());
    }

    /// What the checks say, in three words.
    pub fn verdict(&self) -> &'static str {
        self.verdict.map_or("not checked", Verdict::word)
    }

    /// The same as a value; a design that was not checked is none to cut.
    pub fn judged(&self) -> Verdict {
        self.verdict.unwrap_or(Verdict::FixFirst)
    }

    /// What the checks say.
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// Why it could not run.
    pub fn cause(&self) -> Option<&str> {
        self.cause.as_deref()
    }

    /// Exit status so far.
    pub fn exit(&self) -> u8 {
        self.exit
    }

    /// Whether its files were made.
    pub fn was_made(&self) -> bool {
        self.made.is_some()
    }

    /// Its set in a few numbers.
    pub fn totals(&self) -> Option<Totals> {
        self.made.as_ref().map(|made| made.totals)
    }

    /// Height of the tallest part, mm; 0 before it is made.
    pub fn tallest(&self) -> f64 {
        let made = self.made.as_ref();
        made.map_or(0.0, |made| made.totals.tallest_mm)
    }

    /// Whether it ended well.
    pub fn is_sound(&self) -> bool {
        self.finish == Some(Finish::Sound)
    }

    /// Messages of this severity and graver, and why it could not run.
    fn tell_messages(&self, least: Severity) {
        for message in self.messages.iter().filter(|m| shown(m, least)) {
            print::say(&message.to_string());
        }
        if let Some(cause) = &self.cause {
            let message = Diagnostic::error(Place::of_file(&self.file), cause.clone());
            print::say(&message.to_string());
        }
    }

    /// Findings of this severity and graver, one line each.
    fn lines(&self, least: Severity) -> String {
        let shown = self.findings.iter().filter(|f| shown(&f.message, least));
        shown.map(|f| format!("{f}\n")).collect()
    }

    /// Messages and findings, warnings too unless `quiet`.
    fn tell_beside(&self, quiet: bool) {
        self.tell_messages(least(quiet));
        print::say_lines(&self.lines(least(quiet)));
    }

    /// As a command tells it whose design is refused.
    pub fn tell_refused(&self) -> Finish {
        self.tell_messages(Severity::Warning);
        self.finish.unwrap_or(Finish::Fails)
    }

    /// What was found for an `auto`, and warnings of reading.
    pub fn tell_notes(&self) {
        self.tell_messages(Severity::Warning);
    }

    /// As a command that makes tells it: findings beside, the result last.
    pub fn tell_made(&self, quiet: bool) {
        self.tell_beside(quiet);
        let (Some(made), Some(report), false) = (&self.made, &self.report, quiet) else {
            return;
        };
        if self.built_in_shop {
            print::say(&shop_in_use());
        }
        let folder = self.folder.as_deref().unwrap_or_default();
        let verdict = self.verdict.map_or("", Verdict::word);
        let summary = summary(made, report, folder);
        print::out(&format!("{summary}checks: {verdict}\n"));
    }

    /// As `blank` tells it: findings beside, the pieces last.
    pub fn tell_blanks(&self, set: Option<&BlankSet>, quiet: bool) {
        self.tell_beside(quiet);
        if let (Some(set), false) = (set, quiet) {
            let folder = self.folder.as_deref().unwrap_or_default();
            print::out(&pieces(set, folder));
        }
    }

    /// As `check` tells it: three words first, then findings of this severity and graver.
    pub fn tell_checked(&self, least: Severity) {
        self.tell_messages(least);
        let Some(verdict) = self.verdict else {
            return;
        };
        print::out(&format!("{}: {}\n", self.file, verdict.word()));
        if verdict == Verdict::CutACouponFirst && least != Severity::Error {
            print::out(&self.asked());
        }
        print::out(&self.lines(least));
        if least == Severity::Warning {
            let notes = self.findings.iter().map(|f| f.message.severity);
            let notes = notes.filter(|&s| s == Severity::Note).count();
            print::out(&format!("{notes} notes: limberwood check --all\n"));
        }
    }
}

impl Outcome {
    /// Which checks ask for a coupon, and which warnings none answers.
    fn asked(&self) -> String {
        let open = self.findings.iter().filter(|f| f.open());
        let (asks, rest): (Vec<_>, Vec<_>) = open.partition(|f| f.asks_for_a_coupon());
        let names = |list: Vec<&Finding>| {
            let mut names: Vec<&str> = list.iter().map(|f| f.message.rule.as_str()).collect();
            names.sort_unstable();
            names.dedup();
            names.join(", ")
        };
        let (asks, rest) = (names(asks), names(rest));
        let coupon = match asks.as_str() {
            "" => String::new(),
            _ => format!(
                "a coupon answers: {asks} (limberwood coupon {})\n",
                self.file
            ),
        };
        let yours = match rest.as_str() {
            "" => String::new(),
            _ => format!("to change or to accept: {rest}\n"),
        };
        coupon + &yours
    }
}

/// The least severity that is told.
pub fn least(quiet: bool) -> Severity {
    if quiet {
        Severity::Error
    } else {
        Severity::Warning
    }
}

/// Messages of this severity and graver are shown, and what was found for an `auto` with warnings.
pub fn shown(message: &Diagnostic, least: Severity) -> bool {
    message.severity <= least || (message.rule == solve::RULE && least != Severity::Error)
}

/// How a run over several designs ends.
pub fn worst(outcomes: &[Outcome]) -> Finish {
    let ends = outcomes.iter().filter_map(|o| o.finish);
    ends.max().unwrap_or(Finish::Sound)
}

/// All outcomes as one document.
pub fn print_json(outcomes: &[Outcome]) -> Finish {
    let worst = worst(outcomes);
    let text = serde_json::json!({
        "schema_version": SCHEMA_VERSION, "exit": worst.code(), "designs": outcomes
    });
    print::out(&format!("{text:#}\n")).max(worst)
}

/// The pieces of a set in words.
fn pieces(set: &BlankSet, folder: &str) -> String {
    let mut names = set.names.iter();
    let mut text = String::new();
    for layout in &set.laid.blanks.layouts {
        let [length, width] = layout.size;
        text.push_str(&format!(
            "{} of `{}`, {length:.0} x {width:.0} x {:.2} mm (no layout needs fewer than {})\n",
            count(layout.pieces(), "piece"),
            layout.board.name,
            layout.board.thickness,
            layout.fewest
        ));
        for (kind, name) in layout.kinds.iter().zip(&mut names) {
            text.push_str(&format!(
                "  {name}: {}, {}\n",
                count(kind.repeat, "piece"),
                count(kind.placed.len(), "part")
            ));
        }
        let steps = layout.kinds.iter();
        let steps = steps.flat_map(|k| ball_steps(layout, k, &set.laid.parts));
        let step = steps.map(|b| b.step.worst).reduce(f64::max);
        text.push_str(&format!(
            "  dowels of the flip {:.1} mm apart: slip moves the second side by up to {:.2} mm{}\n",
            layout.flip.play.span,
            layout.flip.worst,
            step.map_or(String::new(), |s| format!(
                ", half balls step by up to {s:.2} mm"
            ))
        ));
    }
    for left_out in &set.left_out {
        text.push_str(&format!("{left_out}\n"));
    }
    text.push_str(&format!("in {folder}\n"));
    text
}

/// A number of things in words.
pub fn count(n: usize, thing: &str) -> String {
    let plural = if n == 1 { "" } else { "s" };
    format!("{n} {thing}{plural}")
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
        text.push_str(&format!("{}\n", NOT_FOR_CUTTING));
    }
    text.push_str(&format!(
        "{}: {} of {} sections, {} of them different, in {folder}\n",
        made.creature,
        parts(t.parts - t.whole, t.whole),
        t.sections,
        t.distinct
    ));
    text.push_str(&format!(
        "  {:.0} g of wood, tallest part {:.2} mm, {} triangles within {:.3} mm\n",
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
