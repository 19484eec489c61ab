//! `limberwood new`.

mod choose;
mod nearest;
mod prove;

use std::io::Write;
use std::path::{Path, PathBuf};

use clap::Args as ClapArgs;

use super::ask::Asker;
use super::finish::Finish;
use super::outcome::{Outcome, worst};
use super::picture::place;
use super::print;
use super::progress::stop_on_ctrl_c;
use crate::chain::{Resolved, resolve};
use crate::check::finding::Verdict;
use crate::diagnostic::Diagnostics;
use crate::export::folder::{FolderError, Parents, write_lone};
use crate::export::names::safe_stem;
use crate::kinds::{Misfit, shop_text};
use crate::params;
use crate::params::written::Shop;
use choose::choose;
use nearest::nearest;
use prove::{Proof, prove, warned, way_out};

/// Arguments of `new`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
On a terminal, what is left out is asked for; elsewhere defaults are taken and told. The design is
checked before anything is written, and no file is ever overwritten: NAME.yaml, shop.yaml if there is
none beside it, out/NAME.html and out/NAME.png.

Kinds: newt, caterpillar, crocodile, dachshund, dragon, otter, pike, whale, ray, centipede.

Examples:
  limberwood new Newt
  limberwood new \"Green Dragon\" --kind dragon --sections 12 --stock 18.6mm
  limberwood new Rex --kind crocodile --unit in --stock '3/4 in' --length '24 in' --species cherry

Exit status: 0 written and sound, 1 the choices do not go together, 2 could not run, as with a choice
out of its range.")]
pub struct New {
    /// Name of the creature, and of its file.
    #[arg(value_name = "NAME")]
    pub name: String,
    /// What it is; a NAME that is a kind chooses it.
    #[arg(long, value_name = "KIND")]
    pub kind: Option<String>,
    /// How many sections, head and tail included.
    #[arg(long, value_name = "N")]
    pub sections: Option<String>,
    /// Length from nose to tail, such as 450, 450mm or '18 in'.
    #[arg(long, value_name = "LENGTH")]
    pub length: Option<String>,
    /// Thickness of your boards by calipers, such as 18.6 or '3/4 in'.
    #[arg(long, value_name = "THICKNESS")]
    pub stock: Option<String>,
    /// Cutters of a new shop file: inch, metric or straight.
    #[arg(long, value_name = "SET")]
    pub cutters: Option<String>,
    /// Unit of the files: mm or in.
    #[arg(long, value_name = "mm|in")]
    pub unit: Option<String>,
    /// Wood, by a name of the table of species.
    #[arg(long, value_name = "WOOD")]
    pub species: Option<String>,
    /// Say nothing but errors.
    #[arg(short, long)]
    pub quiet: bool,
}

/// Why nothing was written.
enum Stop {
    /// Words and exit status.
    Told(String, Finish),
    /// Messages of the reader or the checks stand in the outcome.
    Messages,
    /// The same, and what would do.
    Refused(String),
}

impl From<Misfit> for Stop {
    fn from(misfit: Misfit) -> Self {
        Stop::Told(
            format!("{}: {}", misfit.choice, misfit.words),
            Finish::CouldNotRun,
        )
    }
}

fn cannot(words: impl ToString) -> Stop {
    Stop::Told(words.to_string(), Finish::CouldNotRun)
}

/// Runs the command.
pub fn run(args: &New) -> Finish {
    let file = PathBuf::from(format!("{}.yaml", safe_stem(&args.name)));
    let mut outcome = Outcome::new(&file.display().to_string());
    let created = create(args, &file, &mut outcome);
    let created = match created {
        Ok(words) => Some(words),
        Err(Stop::Told(words, finish)) => {
            print::say(&format!("error: {words}"));
            return finish;
        }
        Err(Stop::Messages) => None,
        Err(Stop::Refused(way_out)) => {
            outcome.tell_made(args.quiet);
            print::say(&way_out);
            print::say(&format!("error: {file:?} was not written"));
            return worst(&[outcome]);
        }
    };
    outcome.tell_made(args.quiet);
    match created {
        Some(words) if !args.quiet => {
            print::out(&words);
        }
        Some(_) => {}
        None => print::say(&format!("error: {file:?} was not written")),
    }
    worst(&[outcome])
}

/// Chooses, checks and writes; the closing words.
fn create(args: &New, file: &Path, outcome: &mut Outcome) -> Result<String, Stop> {
    if file
        .file_stem()
        .is_some_and(|s| s.eq_ignore_ascii_case("shop"))
    {
        return Err(cannot(format!(
            "{file:?} is the name of the shop file; give another name"
        )));
    }
    if args.name.trim().is_empty() {
        return Err(cannot("an empty NAME; give one, such as Newt"));
    }
    let [html, png] = ["html", "png"].map(|ending| place(None, &args.name, ending).0);
    for file in [file, &html, &png] {
        if std::fs::symlink_metadata(file).is_ok() {
            let words = "is there already and stays as it is; give another NAME, or move it away";
            return Err(cannot(format!("{file:?} {words}")));
        }
    }
    let beside = shop_beside(file, outcome)?;
    if beside.is_some() && args.cutters.is_some() {
        let words = "--cutters: shop.yaml is there and says which; leave --cutters out";
        return Err(cannot(words));
    }
    let mut asker = Asker::new();
    let choices = choose(args, beside.as_ref(), &mut asker)?;
    if let (Some(taken), false) = (asker.taken(), args.quiet) {
        print::say(&format!("taken without asking: {taken}"));
    }
    let frame = &choices.frame;
    let (shop, shop_file) = match beside {
        Some(shop) => (shop, None),
        None => {
            let design = frame.design(&args.name, choices.length)?;
            let text = shop_text(frame, &design, choices.cutters);
            (
                read_text(&text, Path::new("shop.yaml"), outcome)?,
                Some(text),
            )
        }
    };
    let design = frame.settled(&args.name, choices.length, &shop)?;
    let asked = (shop_file.is_none(), args.quiet);
    let proof = read_back(&design, &shop, outcome)
        .and_then(|resolved| prove(&resolved, &choices, asked, outcome));
    let proof = match proof {
        Ok(proof) => proof,
        Err(Stop::Messages) => {
            let way_out = way_out(&choices, &shop, asked);
            return Err(Stop::Refused(way_out));
        }
        Err(stop) => return Err(stop),
    };
    let mut files = vec![(file.to_path_buf(), design.into_bytes())];
    files.extend(shop_file.map(|text| (PathBuf::from("shop.yaml"), text.into_bytes())));
    write(&files, &proof, &args.name).map_err(cannot)?;
    let warned = warned(outcome.findings(), || {
        let verdict = Verdict::Cut;
        (!args.quiet).then(|| nearest(&choices, &shop, asked, verdict))?
    });
    let mut words = String::new();
    for (path, _) in &files {
        words.push_str(&format!("{}\n", path.display()));
    }
    for ending in ["html", "png"] {
        words.push_str(&format!(
            "{}\n",
            place(None, &args.name, ending).0.display()
        ));
    }
    let warned = warned.map_or(String::new(), |words| words + "\n");
    Ok(format!("{words}{warned}{}\n", proof.sentence))
}

/// The shop file that is there already.
fn shop_beside(file: &Path, outcome: &mut Outcome) -> Result<Option<Shop>, Stop> {
    let Some(path) = params::shop_beside(file) else {
        return Ok(None);
    };
    match params::read_shop(&path) {
        Ok((shop, _)) => Ok(Some(shop)),
        Err(errors) => Err(refused(errors, outcome)),
    }
}

fn refused(errors: Diagnostics, outcome: &mut Outcome) -> Stop {
    outcome.messages.extend(errors.sorted());
    outcome.ends(Finish::Fails);
    Stop::Messages
}

fn read_text(text: &str, file: &Path, outcome: &mut Outcome) -> Result<Shop, Stop> {
    let read = params::read_shop_str(text, &file.display().to_string());
    let (shop, _) = read.map_err(|errors| refused(errors, outcome))?;
    Ok(shop)
}

/// The design as the reader of every design sees it.
fn read_back(text: &str, shop: &Shop, outcome: &mut Outcome) -> Result<Resolved, Stop> {
    let read = params::read_design_str(text, &outcome.file);
    let (design, warnings) = read.map_err(|errors| refused(errors, outcome))?;
    let resolved = resolve(&design, shop).map_err(|errors| refused(errors, outcome))?;
    outcome.messages = warnings;
    outcome.messages.extend(resolved.warnings.clone().sorted());
    Ok(resolved)
}

/// Writes everything; no file is replaced.
fn write(files: &[(PathBuf, Vec<u8>)], proof: &Proof, name: &str) -> Result<(), FolderError> {
    let stop = stop_on_ctrl_c();
    let foreign = |_: &[u8]| false;
    for (path, bytes) in files {
        write_lone(path, Parents::MustExist, foreign, stop, |f| {
            f.write_all(bytes)
        })?;
    }
    let (path, parents) = place(None, name, "html");
    let html = proof.html.as_bytes();
    write_lone(&path, parents, foreign, stop, |f| f.write_all(html))?;
    let (path, parents) = place(None, name, "png");
    write_lone(&path, parents, foreign, stop, |f| {
        f.write_all(&proof.picture)
    })
}
