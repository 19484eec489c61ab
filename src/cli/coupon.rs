//! `limberwood coupon`.

use std::path::{Path, PathBuf};

use clap::Args as ClapArgs;

use super::finish::Finish;
use super::outcome::{Outcome, print_json, worst};
use super::print;
use super::progress::{stop_on_ctrl_c, with_progress};
use super::read::read_with_shop;
use crate::chain::Trial;
use crate::diagnostic::{Diagnostic, Severity};
use crate::export::folder::{Folder, Parents, write_lone};
use crate::export::names::safe_stem;
use crate::export::step::Stamp;
use crate::export::trial;
use crate::make::coupon::{coupon, one_piece};
use crate::make::{self, BlankSet, MakeError, Settings};
use crate::params::design_files;
use crate::units::mm_text;

/// Arguments of `coupon`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
The coupon is one small piece of stock with one ball and four sockets of the design's own joint, at
clearances of -0.1, 0, +0.1 and +0.2 mm about the design's, and five sizes of pin holes; its shop sheet
says what to try and to measure. `limberwood record` takes what was found into the shop file.

Examples:
  limberwood coupon newt.yaml
  limberwood coupon newt.yaml --after hip --shop my-shop.yaml -o newt-coupon

Exit status: 0 made and sound, 1 the design is refused or a check fails, 2 could not run.")]
pub struct CouponArgs {
    /// Design file.
    #[arg(value_name = "FILE")]
    pub design: PathBuf,
    /// Shop file; without it `shop.yaml` beside the design, else the built-in shop.
    #[arg(long, value_name = "FILE")]
    pub shop: Option<PathBuf>,
    /// Section in front of the joint to try; without it the joint that there are most of.
    #[arg(long, value_name = "SECTION")]
    pub after: Option<String>,
    /// Folder to write the parts to, instead of out/NAME-coupon; pieces of stock go to DIR-blanks,
    /// the numbers for `record` to DIR.json.
    #[arg(short, long, value_name = "DIR")]
    pub output: Option<PathBuf>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
    /// Say nothing but errors.
    #[arg(short, long)]
    pub quiet: bool,
}

/// Runs the command.
pub fn run(args: &CouponArgs) -> Finish {
    let mut outcome = Outcome::new(&args.design.display().to_string());
    let made = match one(args, &mut outcome) {
        Ok(made) => made,
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
    };
    if args.json {
        return print_json(&[outcome]);
    }
    outcome.tell_blanks(made.as_ref().map(|(_, set, _)| set), args.quiet);
    if let (Some((trial, _, file)), false) = (&made, args.quiet) {
        print::out(&told(trial, outcome.verdict(), file));
    }
    worst(&[outcome])
}

/// Makes parts, pieces of stock and the file of numbers.
fn one(
    args: &CouponArgs,
    outcome: &mut Outcome,
) -> Result<Option<(Trial, BlankSet, PathBuf)>, MakeError> {
    let Some((design, unit, shop)) = read_with_shop(&args.design, args.shop.as_deref(), outcome)
    else {
        return Ok(None);
    };
    // Of the design only its joint is tried; `check` tells what is warned of the rest.
    let files = design_files(&args.design).unwrap_or_default();
    let names: Vec<String> = files.iter().map(|f| f.path.display().to_string()).collect();
    let concerned = |m: &Diagnostic| {
        let of_design = names.iter().any(|name| *name == *m.place.file);
        m.severity == Severity::Error || m.place.path.contains("joint") || !of_design
    };
    outcome.messages.retain(concerned);
    let stamp = match Stamp::from_environment() {
        Ok(stamp) => stamp,
        Err(e) => {
            outcome.could_not_run(e.to_string());
            return Ok(None);
        }
    };
    let settings = Settings {
        stamp,
        ..Settings::of(&design, unit)
    };
    let hidden = args.quiet || args.json;
    let mut coupon = with_progress(hidden, |step| {
        coupon(&design, &shop, args.after.as_deref(), &settings, step)
    })
    .map_err(MakeError::Design)?;
    // The samples have less clearance than the design, and meshes follow the least of them.
    let trial = coupon.resolved.trial.as_ref();
    let least = trial.map_or(f64::INFINITY, Trial::least_clearance);
    let settings = Settings {
        deviation: settings.deviation.min(least * make::CLEARANCE_PART),
        ..settings
    };
    let laid = make::lay_out(&coupon.resolved, &settings, 1).map_err(MakeError::Design)?;
    coupon.resolved.blank = one_piece(&laid, &coupon.resolved.blank);
    drop(laid);
    let (parts, pieces, numbers) = places(args, &coupon.resolved.creature.name);
    let parents = match args.output {
        Some(_) => Parents::MustExist,
        None => Parents::Make,
    };
    let stop = stop_on_ctrl_c();
    let folder = Folder::open(&parts, parents)?;
    outcome.folder = Some(parts.display().to_string());
    let done = with_progress(hidden, |step| {
        make::make(&coupon.resolved, &settings, &[], &folder, stop, step)
    })?;
    outcome.checked(coupon.findings(done.findings));
    outcome.made(done.made, done.report);
    if !outcome.is_sound() {
        return Ok(None);
    }
    let folder = Folder::open(&pieces, parents)?;
    let verdict = outcome.judged();
    let set = make::blanks(&coupon.resolved, &settings, (1, verdict), &folder, stop)?;
    outcome.laid_out(&set.findings);
    outcome.folder = Some(pieces.display().to_string());
    let Some(trial) = coupon.resolved.trial else {
        return Ok(None);
    };
    let bytes = trial::to_bytes(&trial);
    write_lone(&numbers, parents, trial::is_ours, stop, |file| {
        std::io::Write::write_all(file, &bytes)
    })?;
    Ok(Some((trial, set, numbers)))
}

/// Folder of the parts, folder of the pieces, file of the numbers.
fn places(args: &CouponArgs, name: &str) -> (PathBuf, PathBuf, PathBuf) {
    let parts = match &args.output {
        Some(path) => path.clone(),
        None => Path::new("out").join(safe_stem(name)),
    };
    let beside = |end: &str| {
        let mut name = parts.as_os_str().to_owned();
        name.push(end);
        PathBuf::from(name)
    };
    (parts.clone(), beside("-blanks"), beside(".json"))
}

/// What the coupon has, and what comes next.
fn told(trial: &Trial, verdict: &str, file: &Path) -> String {
    let mut text = format!(
        "coupon of the joint after `{}` of {}: ball {} (number {})\n",
        trial.after,
        trial.of,
        mm_text(trial.ball),
        trial.ball_number
    );
    for (socket, hole) in trial.sockets.iter().zip(&trial.holes) {
        text += &format!(
            "  number {}: clearance {}, socket {}, pin hole {}\n",
            socket.number,
            mm_text(socket.clearance),
            mm_text(socket.diameter),
            mm_text(hole.diameter)
        );
    }
    for hole in trial.holes.iter().skip(trial.sockets.len()) {
        let (number, hole) = (hole.number, mm_text(hole.diameter));
        text += &format!("  number {number}, the ball: pin hole {hole}, as designed\n");
    }
    for left_out in &trial.left_out {
        text += &format!("  left out: {left_out}\n");
    }
    text += &format!("checks: {verdict}\n");
    text + &format!(
        "cut it, try it as its shop sheet says, then: limberwood record SHOP.yaml --coupon {}\n",
        file.display()
    )
}
