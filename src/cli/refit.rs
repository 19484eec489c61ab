//! `limberwood refit`.

use std::io::Write;
use std::path::{Component, Path, PathBuf};

use clap::Args as ClapArgs;
use serde_json::json;

use super::finish::Finish;
use super::outcome::{Outcome, worst};
use super::print;
use super::progress::{stop_on_ctrl_c, with_progress};
use super::typed;
use crate::diagnostic::{Diagnostic, Place};
use crate::export::folder::{Parents, write_lone};
use crate::export::names::safe_stem;
use crate::params;
use crate::params::value::Name;
use crate::refit::{Bench, Fit, Fitted, Refused, Target, Tried, Wish, is_ours, refit};
use crate::units::{Unit, mm_text};

/// Arguments of `refit`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Outlines and balls scale; clearance, dowels, cutters, walls and the rules of swing do not. Standard
dowels are tried: 3, 4, 5, 6, 8, 10, 12 mm, or 1/8 to 1/2 in by sixteenths. The result is a small
design file that is based on FILE. Boards within a tenth of the old thickness are the same stock
measured: then nothing changes, or nothing but heights; `--scale 1` keeps the size for any board.

Examples:
  limberwood refit newt.yaml --thickness 18.6mm
  limberwood refit newt.yaml --thickness '1/2 in' -o small-newt.yaml
  limberwood refit newt.yaml --shop my-shop.yaml --species cherry
  limberwood refit newt.yaml --length 240mm --pin 5mm --json

Exit status: 0 fitted, or nothing had to change, 1 refused, 2 could not run.")]
pub struct RefitArgs {
    /// Design file.
    #[arg(value_name = "FILE")]
    pub design: PathBuf,
    /// Thickness of the boards, as measured: `12 mm`, `1/2 in`; a plain number is in the design's
    /// unit.
    #[arg(long, value_name = "LENGTH", conflicts_with_all = ["length", "scale"])]
    pub thickness: Option<String>,
    /// Length of the whole creature.
    #[arg(long, value_name = "LENGTH", conflicts_with = "scale")]
    pub length: Option<String>,
    /// Scale of all that scales, 0.05 to 20, or as 90%.
    #[arg(long, value_name = "FACTOR")]
    #[arg(value_parser = typed::factor)]
    pub scale: Option<f64>,
    /// Diameter of the dowel rod for half pins, instead of a standard one.
    #[arg(long, value_name = "LENGTH")]
    pub pin: Option<String>,
    /// Wood, by a name of the table of species.
    #[arg(long, value_name = "NAME")]
    pub species: Option<String>,
    /// Shop file to fit the design to; without it `shop.yaml` beside the design, else the built-in
    /// shop.
    #[arg(long, value_name = "FILE")]
    pub shop: Option<PathBuf>,
    /// Design file to write, instead of one beside FILE.
    #[arg(short, long, value_name = "NEW.yaml")]
    pub output: Option<PathBuf>,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
    /// Say nothing but errors.
    #[arg(short, long)]
    pub quiet: bool,
}

/// What came out, besides messages.
struct Done {
    fitted: Fitted,
    /// The new file; nothing when nothing had to change.
    file: Option<PathBuf>,
    unit: Unit,
}

/// Runs the command.
pub fn run(args: &RefitArgs) -> Finish {
    let mut outcome = Outcome::new(&args.design.display().to_string());
    let mut tried = Vec::new();
    let done = match fit(args, &mut outcome, &mut tried) {
        Ok(done) => done,
        Err(cause) => {
            outcome.could_not_run(cause);
            None
        }
    };
    if args.json {
        return tell_json(done.as_ref(), &tried, &outcome);
    }
    outcome.tell_made(args.quiet);
    if let (Some(done), false) = (&done, args.quiet) {
        print::out(&words(done));
    }
    worst(&[outcome])
}

/// Fits and writes; nothing when it is refused. Says why it could not run.
fn fit(
    args: &RefitArgs,
    outcome: &mut Outcome,
    tried: &mut Vec<Tried>,
) -> Result<Option<Done>, String> {
    let beside = params::shop_beside(&args.design);
    let read = params::read_files(&args.design, beside.as_deref());
    let ((design, old, warnings), new) = match (read, &args.shop) {
        (Ok(read), None) => {
            let new = read.1.clone();
            (read, new)
        }
        (Ok(read), Some(shop)) => match params::read_shop(shop) {
            Ok((new, _)) => (read, new),
            Err(errors) => return Ok(refused(outcome, errors.sorted(), shop)),
        },
        (Err(errors), _) => return Ok(refused(outcome, errors.sorted(), &args.design)),
    };
    let unit = design.units.value.0;
    let wish = wish(args, unit)?;
    let file = args.output.clone().unwrap_or_else(|| named(args, &wish));
    if same_file(&file, &args.design) {
        return Err(format!(
            "{} is the design itself: name another file with -o",
            file.display()
        ));
    }
    let folder = file.parent().filter(|f| *f != Path::new(""));
    if let Some(folder) = folder.filter(|f| !f.is_dir()) {
        let folder = folder.display();
        return Err(format!("there is no folder {folder}; make it first"));
    }
    let base = path_from(&file, &args.design);
    let name = renamed(&design.name.value.0, &fitted_to(args, &wish));
    let result = with_progress(args.quiet || args.json, |step| {
        let mut bench = Bench::new((&design, &warnings), (&old, &new), &wish, step)?;
        let target = Target {
            file: &file.display().to_string(),
            base: &base,
            name: &name,
            step,
        };
        refit(&mut bench, &wish, &target)
    });
    let fitted = match result {
        Ok(fitted) => {
            tried.clone_from(&fitted.tried);
            fitted
        }
        Err(Refused::Faults(found)) => return Ok(refused(outcome, found.sorted(), &args.design)),
        Err(Refused::Binds(found, list)) => {
            *tried = list;
            return Ok(refused(outcome, found, &args.design));
        }
        Err(Refused::Wish(words)) => return Err(words),
        Err(Refused::Base(findings)) => {
            let mut all: Vec<Diagnostic> = findings.into_iter().map(|f| f.message).collect();
            let place = Place::of_file(&args.design.display().to_string());
            all.push(
                Diagnostic::error(place, "the design does not pass its own checks")
                    .way_out("mend it first: limberwood check"),
            );
            return Ok(refused(outcome, all, &args.design));
        }
    };
    let kept = fitted.fit == Fit::Nothing;
    if !kept {
        let stop = stop_on_ctrl_c();
        let text = fitted.text.as_bytes();
        write_lone(&file, Parents::MustExist, is_ours, stop, |out| {
            out.write_all(text)
        })
        .map_err(|e| e.to_string())?;
    }
    outcome.checked(fitted.findings.clone());
    Ok(Some(Done {
        fitted,
        file: (!kept).then_some(file),
        unit,
    }))
}

/// Notes a refusal; a file that cannot be opened could not run.
fn refused(outcome: &mut Outcome, messages: Vec<Diagnostic>, file: &Path) -> Option<Done> {
    let unreadable = file.is_dir() || std::fs::File::open(file).is_err();
    outcome.messages = messages;
    outcome.ends(if unreadable {
        Finish::CouldNotRun
    } else {
        Finish::Fails
    });
    None
}

/// The wish of the arguments; what is wrong with one in words.
fn wish(args: &RefitArgs, unit: Unit) -> Result<Wish, String> {
    let length = |name: &str, text: &Option<String>, (least, most): (f64, f64)| {
        let Some(text) = text else { return Ok(None) };
        let mm = typed::length(text, unit).map_err(|fault| format!("{name}: {fault}"))?;
        if (least..=most).contains(&mm) {
            return Ok(Some(mm));
        }
        let found = match unit {
            Unit::Mm => mm_text(mm),
            Unit::Inch => format!("{text}, which is {}", mm_text(mm)),
        };
        Err(format!(
            "{name}: found {found}, allowed {least} mm to {most} mm"
        ))
    };
    if let Some(scale) = args.scale
        && !(0.05..=20.0).contains(&scale)
    {
        return Err(format!("--scale: found {scale}, allowed 0.05 to 20"));
    }
    let wish = Wish {
        // As `thickness` of stock, lengths of chains of sections, and the shop's `dowel`.
        thickness: length("--thickness", &args.thickness, (2.0, 300.0))?,
        length: length("--length", &args.length, (1.0, 100_000.0))?,
        pin: length("--pin", &args.pin, (1.0, 50.0))?,
        scale: args.scale,
        species: args.species.clone(),
    };
    if wish == Wish::default() && args.shop.is_none() {
        return Err(
            "nothing to fit to: give --thickness, --length, --scale, --pin, --species or --shop"
                .to_owned(),
        );
    }
    Ok(wish)
}

/// The creature's name with what it is fitted to, as long as names may be.
fn renamed(name: &str, parts: &[String]) -> String {
    let more = format!(" {}", parts.join(" "));
    let most = Name::MOST.saturating_sub(more.chars().count());
    let kept: String = name.chars().take(most).collect();
    let all: String = format!("{}{more}", kept.trim_end())
        .chars()
        .take(Name::MOST)
        .collect();
    all.trim().to_owned()
}

/// What it is fitted to, in a few words.
fn fitted_to(args: &RefitArgs, wish: &Wish) -> Vec<String> {
    let mut parts = Vec::new();
    let mm = |mm: f64| format!("{}mm", (mm * 100.0).round() / 100.0);
    parts.extend(wish.thickness.map(mm));
    parts.extend(wish.length.map(|l| format!("{}-long", mm(l))));
    parts.extend(wish.scale.map(|s| format!("x{s}")));
    parts.extend(wish.pin.map(|p| format!("{}-pins", mm(p))));
    parts.extend(wish.species.clone());
    let shop = args.shop.as_ref().and_then(|s| s.file_stem());
    parts.extend(shop.map(|s| s.to_string_lossy().into_owned()));
    parts
}

/// A file beside the design whose name says what it is fitted to.
fn named(args: &RefitArgs, wish: &Wish) -> PathBuf {
    let parts = fitted_to(args, wish);
    let stem = args
        .design
        .file_stem()
        .unwrap_or_default()
        .to_string_lossy();
    let name = safe_stem(&format!("{stem}-{}", parts.join("-")));
    args.design.with_file_name(format!("{name}.yaml"))
}

fn same_file(a: &Path, b: &Path) -> bool {
    match (a.canonicalize(), b.canonicalize()) {
        (Ok(a), Ok(b)) => a == b,
        _ => a == b,
    }
}

/// The path of `to` from the folder of `file`.
fn path_from(file: &Path, to: &Path) -> String {
    let folder = |path: &Path| match path.parent() {
        Some(folder) if folder != Path::new("") => folder.to_path_buf(),
        _ => PathBuf::from("."),
    };
    let whole = |path: &Path| path.canonicalize().ok();
    let (Some(from), Some(at)) = (whole(&folder(file)), whole(&folder(to))) else {
        return to.display().to_string();
    };
    let name = to.file_name().unwrap_or_default();
    let (from, at): (Vec<Component<'_>>, Vec<Component<'_>>) =
        (from.components().collect(), at.components().collect());
    let shared = from.iter().zip(&at).take_while(|(a, b)| a == b).count();
    // On another drive there is no way but the whole path.
    if shared == 0 {
        return to.display().to_string();
    }
    let mut path: PathBuf = from[shared..]
        .iter()
        .map(|_| Component::ParentDir)
        .collect();
    path.extend(&at[shared..]);
    path.push(name);
    path.display().to_string()
}

/// The result for people.
fn words(done: &Done) -> String {
    let Fitted {
        fit,
        changes,
        kept,
        said,
        ..
    } = &done.fitted;
    let mut text = String::new();
    for line in said {
        text.push_str(&format!("{line}\n"));
    }
    if *fit == Fit::Nothing {
        return text;
    }
    for change in changes {
        text.push_str(&format!("  {}\n", change.text(done.unit)));
    }
    text.push_str(&format!("  kept: {}\n", kept.join(", ")));
    if let Some(file) = &done.file {
        text.push_str(&format!("{}\n", file.display()));
    }
    text
}

fn tell_json(done: Option<&Done>, tried: &[Tried], outcome: &Outcome) -> Finish {
    let exit = worst(std::slice::from_ref(outcome));
    let fit = done.map(|d| match d.fitted.fit {
        Fit::Nothing => json!({ "how": "nothing" }),
        Fit::Heights => json!({ "how": "heights" }),
        Fit::Solved => json!({ "how": "solved" }),
        Fit::Scaled(scale) => json!({ "how": "scaled", "scale": scale }),
    });
    let document = json!({
        "schema_version": 1,
        "exit": exit.code(),
        "fit": fit,
        "written": done.and_then(|d| d.file.as_ref()).map(|f| f.display().to_string()),
        "changes": done.map(|d| &d.fitted.changes),
        "kept": done.map(|d| &d.fitted.kept),
        "tried": tried,
        "said": done.map(|d| &d.fitted.said),
        "design": outcome,
    });
    print::out(&format!("{document:#}\n")).max(exit)
}
