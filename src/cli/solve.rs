//! `limberwood solve`.

use std::path::PathBuf;

use clap::Args as ClapArgs;

use super::finish::Finish;
use super::outcome::Outcome;
use super::print;
use super::progress::with_progress;
use super::read::{Ready, ready};
use crate::check::finding::Finding;
use crate::diagnostic::Severity;
use crate::make::{Settings, check};
use crate::solve::{Solved, snippet};

/// Arguments of `solve`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
In a design, ball, clearance, neck, mouth, swing and land of a joint may say `auto`. This prints the
values that were found as lines to paste into the design, after all checks but the measured leftover.

Examples:
  limberwood solve newt.yaml
  limberwood solve newt.yaml --shop my-shop.yaml > joint.yaml
  limberwood solve newt.yaml --json

Exit status: 0 found, 1 the design is refused, nothing fits or a check fails, 2 could not run.")]
pub struct SolveArgs {
    /// Design file.
    #[arg(value_name = "FILE")]
    pub design: PathBuf,
    /// Shop file; without it `shop.yaml` beside the design, else the built-in shop.
    #[arg(long, value_name = "FILE")]
    pub shop: Option<PathBuf>,
    /// Print one JSON document instead of YAML.
    #[arg(long)]
    pub json: bool,
    /// Say nothing but the lines to paste and errors.
    #[arg(short, long)]
    pub quiet: bool,
}

/// Version of the JSON form; grows when a reader must know of a change.
const SCHEMA_VERSION: u32 = 1;

/// Runs the command.
pub fn run(args: &SolveArgs) -> Finish {
    let mut outcome = Outcome::new(&args.design.display().to_string());
    let Some(ready) = ready(&args.design, args.shop.as_deref(), None, &mut outcome) else {
        if args.json {
            return super::outcome::print_json(&[outcome]);
        }
        return outcome.tell_refused();
    };
    let settings = Settings::of(&ready.resolved, ready.unit);
    let findings = with_progress(args.quiet || args.json, |step| {
        check(&ready.resolved, &settings, &[], step)
    });
    let about = |f: &&Finding| {
        let joints = ready.filled.solved.iter().flat_map(|s| &s.after);
        let mut names = joints.map(|after| format!("joint after `{after}`"));
        f.open() && names.any(|name| f.subject == name)
    };
    let open: Vec<&Finding> = findings.iter().filter(about).collect();
    let error = |f: &&Finding| f.message.severity == Severity::Error;
    let finish = match open.iter().any(error) {
        true => Finish::Fails,
        false => Finish::Sound,
    };
    if args.json {
        return json(&ready, &open, finish);
    }
    for finding in &open {
        print::say(&finding.to_string());
    }
    if ready.filled.solved.is_empty() {
        print::say("nothing to find: no joint of this design says `auto`");
        return finish;
    }
    if !args.quiet {
        outcome.tell_notes();
    }
    print::out(&snippet(&ready.filled, ready.resolved.joints.len())).max(finish)
}

fn json(ready: &Ready, open: &[&Finding], finish: Finish) -> Finish {
    let joints: Vec<_> = ready.filled.solved.iter().map(record).collect();
    let text = serde_json::json!({
        "schema_version": SCHEMA_VERSION,
        "exit": finish.code(),
        "joints": joints,
        "yaml": match ready.filled.solved.is_empty() {
            true => String::new(),
            false => snippet(&ready.filled, ready.resolved.joints.len()),
        },
        "findings": open,
    });
    print::out(&format!("{text:#}\n")).max(finish)
}

/// Diameters and lengths in mm, angles in degrees.
fn record(solved: &Solved) -> serde_json::Value {
    let j = &solved.joint;
    serde_json::json!({
        "after": solved.after,
        "ball_mm": 2.0 * j.ball,
        "clearance_mm": j.clearance,
        "neck_mm": 2.0 * j.neck,
        "mouth_mm": 2.0 * j.mouth,
        "land_mm": j.land,
        "swing_deg": j.swing.to_degrees(),
        "wall_mm": solved.wall.is_finite().then_some(solved.wall),
        "bound_by": solved.limit,
    })
}
