//! `limberwood batch`.

mod kept;
mod one;
mod plan;
mod products;
mod results;

use std::path::PathBuf;
use std::str::FromStr;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::time::Duration;

use clap::{Args as ClapArgs, ValueEnum};
use rayon::prelude::*;

use super::finish::Finish;
use super::print;
use super::progress::{stop_on_ctrl_c, with_progress_of};
use crate::export::step::Stamp;
use crate::params::value::Product;
use one::{Attempt, Done, Shared, attempt};
use plan::{Entry, Plan};

/// Time between two looks at entries that another run holds (habit).
const WAIT: Duration = Duration::from_millis(200);

/// Arguments of `batch`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
A plan names designs, shops and sizes; each design is made for each shop in each size:
  limberwood_plan: 1
  entries:
    - designs: [newt.yaml, pike.yaml]
      sizes: [{scale: 80%}, {scale: 100%, count: 6}]
  write: [set, blanks, page]

What is done already and unchanged is not redone; a run that was cut short is completed by the next.
The parts of a plan can run on several machines into one folder or into several that are put
together; a run without --part over the finished folder then writes the table of all.

Examples:
  limberwood batch spring.yaml
  limberwood batch newt.yaml pike.yaml --write set,page -o both
  limberwood batch spring.yaml --part 2/5 --json

Exit status: 0 all made and sound, 1 a design is refused or a check fails, 2 something could not run.")]
pub struct Batch {
    /// One plan, or design files.
    #[arg(required = true, value_name = "FILE")]
    files: Vec<PathBuf>,
    /// Shop files for designs named here; a plan names its own.
    #[arg(long, value_name = "FILE")]
    shop: Vec<PathBuf>,
    /// What to write of each creature, instead of what the plan says.
    #[arg(long, value_enum, value_delimiter = ',', value_name = "WHAT")]
    write: Vec<ProductArg>,
    /// Folder to write to, instead of out/PLAN (out/batch for designs).
    #[arg(short, long, value_name = "DIR")]
    output: Option<PathBuf>,
    /// Only part K of N: every N-th creature from number K on.
    #[arg(long, value_name = "K/N")]
    part: Option<PartOf>,
    /// Redo everything.
    #[arg(long)]
    fresh: bool,
    /// Print one JSON document instead of a table.
    #[arg(long)]
    json: bool,
    /// Say nothing but errors.
    #[arg(short, long)]
    quiet: bool,
    /// Threads to use; all cores without it. The files do not depend on it.
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=256))]
    threads: Option<u16>,
}

/// What can be written.
#[derive(Debug, Clone, Copy, ValueEnum)]
enum ProductArg {
    /// The files of all parts.
    Set,
    /// The pieces of stock.
    Blanks,
    /// The page.
    Page,
    /// The archive.
    Pack,
}

impl From<ProductArg> for Product {
    fn from(arg: ProductArg) -> Self {
        match arg {
            ProductArg::Set => Product::Set,
            ProductArg::Blanks => Product::Blanks,
            ProductArg::Page => Product::Page,
            ProductArg::Pack => Product::Pack,
        }
    }
}

/// Parts of a plan at most: more than one person has machines (habit).
const MOST_PARTS: usize = 1000;

/// A part of a plan: which of how many.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct PartOf {
    number: usize,
    of: usize,
}

impl FromStr for PartOf {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let numbers = text.split_once('/').and_then(|(number, of)| {
            let (number, of) = (number.parse().ok()?, of.parse().ok()?);
            (1 <= number && number <= of && of <= MOST_PARTS).then_some(PartOf { number, of })
        });
        numbers
            .ok_or_else(|| format!("write which part of how many, up to {MOST_PARTS}, such as 2/5"))
    }
}

/// Runs the command.
pub fn run(args: &Batch) -> Finish {
    if let Some(n) = args.threads {
        // Fails only when the pool exists already, which does not change the bytes.
        let _ = rayon::ThreadPoolBuilder::new()
            .num_threads(n.into())
            .build_global();
    }
    let plan = match Plan::of(&args.files, &args.shop, &args.write) {
        Ok(plan) => plan,
        Err(refused) => {
            for message in refused.messages.sorted() {
                print::say(&message.to_string());
            }
            return refused.finish;
        }
    };
    match batch(args, &plan) {
        Ok(finish) => finish,
        Err(cause) => {
            print::say(&format!("error: {cause}"));
            Finish::CouldNotRun
        }
    }
}

/// Makes the entries asked for and writes the results; says why it could not.
fn batch(args: &Batch, plan: &Plan) -> Result<Finish, String> {
    let stop = stop_on_ctrl_c();
    let default = || PathBuf::from("out").join(&plan.stem);
    let folder = args.output.clone().unwrap_or_else(default);
    let shared = Shared {
        folder: &folder,
        write: &plan.write,
        stamp: Stamp::from_environment().map_err(|e| e.to_string())?,
        fresh: args.fresh,
        stop,
    };
    let mine = |entry: &&Entry| match args.part {
        Some(part) => (entry.number - 1) % part.of == part.number - 1,
        None => true,
    };
    let entries: Vec<&Entry> = plan.entries.iter().filter(mine).collect();
    let hidden = args.quiet || args.json;
    let done = with_progress_of(hidden, "creatures", |step| {
        all(&entries, &shared, hidden, step)
    });
    if stop.load(Ordering::Relaxed) {
        return Err("stopped; the next run goes on from here".to_owned());
    }
    for one in &done {
        one.tell(args.quiet || args.json);
    }
    results::write(&folder, args.part, &done, stop)?;
    let worst = done.iter().map(|d| d.finish).max();
    let worst = worst.unwrap_or(Finish::Sound);
    let told = if args.json {
        print::out(&results::json(&folder, &done, worst))
    } else if args.quiet {
        Finish::Sound
    } else {
        print::out(&results::table(&folder, &done))
    };
    Ok(told.max(worst))
}

/// All entries in parallel, in the order of the plan. Those that another run holds come last: a task
/// never waits for a lock while it may hold one.
fn all(
    entries: &[&Entry],
    shared: &Shared<'_>,
    hidden: bool,
    step: &(dyn Fn(usize, usize) + Sync),
) -> Vec<Done> {
    let count = AtomicUsize::new(0);
    let (mut open, mut done) = (entries.to_vec(), Vec::new());
    let mut told = hidden;
    loop {
        let attempts: Vec<Attempt> = open
            .par_iter()
            .map(|entry| {
                let attempt = attempt(entry, shared);
                if matches!(attempt, Attempt::Done(_)) {
                    step(count.fetch_add(1, Ordering::Relaxed) + 1, entries.len());
                }
                attempt
            })
            .collect();
        let mut left = Vec::new();
        for (entry, attempt) in open.iter().zip(attempts) {
            match attempt {
                Attempt::Done(one) => done.push(*one),
                Attempt::Open => left.push(*entry),
            }
        }
        if left.is_empty() || stopped(shared.stop) {
            done.sort_by_key(|d| d.number);
            return done;
        }
        if !told {
            let (n, folder) = (left.len(), shared.folder.display());
            print::say(&format!("waiting for another run into {folder}: {n} left"));
            told = true;
        }
        std::thread::sleep(WAIT);
        open = left;
    }
}

fn stopped(stop: &AtomicBool) -> bool {
    stop.load(Ordering::Relaxed)
}
