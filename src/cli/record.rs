//! `limberwood record`.

use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};

use clap::Args as ClapArgs;

use super::ask::answer;
use super::finish::Finish;
use super::print;
use super::progress::stop_on_ctrl_c;
use super::typed;
use crate::chain::Trial;
use crate::export::folder::{Parents, write_lone};
use crate::export::trial;
use crate::make::coupon::{Entry, Readings, entries};
use crate::params::{BUILT_IN_SHOP, changed, read_shop_str, read_text};
use crate::units::Unit;

/// Arguments of `record`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Sizes are lengths in mm, or with a unit: 20.06, `20.06 mm`, `0.79 in`. Numbers are those cut into
the parts. With no size and no number all are asked for on a terminal; nothing is an answer too.
The shop file keeps every byte but for the values that are added or changed. Where there is none,
one is written: the built-in shop with the record.

Examples:
  limberwood record shop.yaml --coupon out/Newt-coupon.json
  limberwood record shop.yaml --coupon c.json --stiff 1 --easy 2 --loose 4 --pin 3
  limberwood record shop.yaml --coupon c.json --ball 20.06 --socket 2=20.78 --height 13.5
  limberwood record shop.yaml --coupon c.json --cutter \"eighth flat=3.15\" --dry-run

Exit status: 0 recorded, or nothing new; 1 the shop file or the readings are refused; 2 could not run.")]
pub struct RecordArgs {
    /// Shop file to record in.
    #[arg(value_name = "SHOPFILE")]
    pub shop: PathBuf,
    /// The coupon's numbers, which `coupon` wrote.
    #[arg(long, value_name = "FILE.json")]
    pub coupon: PathBuf,
    /// Number of the socket that moves stiffly: holds any pose.
    #[arg(long, value_name = "N")]
    pub stiff: Option<usize>,
    /// Number of the socket that moves easily: by itself, holds a little.
    #[arg(long, value_name = "N")]
    pub easy: Option<usize>,
    /// Number of the socket that moves loosely: dangles.
    #[arg(long, value_name = "N")]
    pub loose: Option<usize>,
    /// Number of the tightest pin hole that takes the dowel by hand.
    #[arg(long, value_name = "N")]
    pub pin: Option<usize>,
    /// Diameter of the ball, measured along its seam.
    #[arg(long, value_name = "SIZE", value_parser = size, allow_hyphen_values = true)]
    pub ball: Option<f64>,
    /// Diameter of a socket, measured at its split face, by number; more than one can be given.
    #[arg(long, value_name = "N=SIZE", value_parser = numbered)]
    pub socket: Vec<(usize, f64)>,
    /// Diameter of a pin hole, by number; more than one can be given.
    #[arg(long, value_name = "N=SIZE", value_parser = numbered)]
    pub hole: Vec<(usize, f64)>,
    /// Height of a half from its split face to its flat.
    #[arg(long, value_name = "SIZE", value_parser = size, allow_hyphen_values = true)]
    pub height: Option<f64>,
    /// Diameter of a cutter at its end, by name; more than one can be given.
    #[arg(long, value_name = "NAME=SIZE", value_parser = named)]
    pub cutter: Vec<(String, f64)>,
    /// Ask for everything that no option gives, also when standard input is no terminal.
    #[arg(long)]
    pub ask: bool,
    /// Say what would change, and write nothing.
    #[arg(long)]
    pub dry_run: bool,
    /// Print one JSON document instead of text.
    #[arg(long)]
    pub json: bool,
    /// Say nothing but errors.
    #[arg(short, long)]
    pub quiet: bool,
}

/// A plain number is in mm, as calipers show it.
fn size(text: &str) -> Result<f64, String> {
    typed::length(text, Unit::Mm)
}

fn numbered(text: &str) -> Result<(usize, f64), String> {
    let (number, length) = named(text)?;
    let number = number
        .parse()
        .map_err(|_| format!("{number:?} is no number of a part"))?;
    Ok((number, length))
}

fn named(text: &str) -> Result<(String, f64), String> {
    let (name, length) = text
        .rsplit_once('=')
        .ok_or("write what was measured, `=`, and its size, such as 2=20.83")?;
    Ok((name.trim().to_owned(), size(length)?))
}

/// Why nothing was recorded: words, and how the run ends.
type Refused = (Vec<String>, Finish);

/// Runs the command.
pub fn run(args: &RecordArgs) -> Finish {
    match record(args) {
        Ok(recorded) => {
            if args.json {
                return print::out(&format!("{:#}\n", recorded.json(args)));
            }
            if !args.quiet {
                return print::out(&recorded.text(args));
            }
            Finish::Sound
        }
        Err((words, finish)) if args.json => {
            let refused = serde_json::json!({
                "schema_version": 1,
                "shop": args.shop.display().to_string(),
                "written": false,
                "errors": words,
            });
            match print::out(&format!("{refused:#}\n")) {
                Finish::Sound => finish,
                other => other,
            }
        }
        Err((words, finish)) => {
            for line in words {
                print::say(&line);
            }
            finish
        }
    }
}

/// What became of a record.
struct Recorded {
    entries: Vec<Entry>,
    /// There was no shop file.
    new_file: bool,
}

fn record(args: &RecordArgs) -> Result<Recorded, Refused> {
    let cannot = |words: String| (vec![format!("error: {words}")], Finish::CouldNotRun);
    let shown = args.coupon.display();
    let bytes = std::fs::read(&args.coupon).map_err(|e| cannot(format!("{shown}: {e}")))?;
    let trial = trial::from_bytes(&bytes).map_err(|e| {
        cannot(format!(
            "{shown} is not the file of numbers that `limberwood coupon` writes: {e}"
        ))
    })?;
    let name = args.shop.display().to_string();
    let new_file = matches!(std::fs::symlink_metadata(&args.shop),
        Err(e) if e.kind() == std::io::ErrorKind::NotFound);
    let source = match new_file {
        true => BUILT_IN_SHOP.to_owned(),
        false => {
            read_text(&args.shop).map_err(|found| (vec![found.to_string()], Finish::CouldNotRun))?
        }
    };
    let broken = |found: crate::diagnostic::Diagnostics| (vec![found.to_string()], Finish::Fails);
    let (shop, _) = read_shop_str(&source, &name).map_err(broken)?;
    let readings = readings(args, &trial).map_err(cannot)?;
    let entries = entries(&trial, &shop, &readings).map_err(|faults| {
        let lines = faults.iter().map(|f| format!("{name}: error: {f}"));
        (lines.collect(), Finish::Fails)
    })?;
    let changes: Vec<_> = entries
        .iter()
        .filter(|e| e.differs())
        .map(Entry::change)
        .collect();
    let text = changed(&source, &name, &changes).map_err(broken)?;
    // What the reader refuses is not written; every change was read back already.
    read_shop_str(&text, &name).map_err(broken)?;
    if !args.dry_run && (new_file || text != source) {
        put(&args.shop, &source, &text, new_file).map_err(cannot)?;
    }
    Ok(Recorded { entries, new_file })
}

/// Replaces the file, if it is still the one that was read.
fn put(path: &Path, source: &str, text: &str, new_file: bool) -> Result<(), String> {
    let old = if new_file {
        None
    } else {
        let found = std::fs::metadata(path).map_err(|e| e.to_string())?;
        if found.permissions().readonly() {
            return Err(format!(
                "{} is read-only: nothing was written; make it writable, or copy it",
                path.display()
            ));
        }
        Some(found.permissions())
    };
    let same = |bytes: &[u8]| bytes == source.as_bytes();
    write_lone(path, Parents::MustExist, same, stop_on_ctrl_c(), |file| {
        if let Some(old) = old {
            file.get_ref().set_permissions(old)?;
        }
        file.write_all(text.as_bytes())
    })
    .map_err(|e| e.to_string())
}

/// What the options give; the rest is asked for where there is somebody to ask.
fn readings(args: &RecordArgs, trial: &Trial) -> Result<Readings, String> {
    let mut read = Readings {
        ball: args.ball,
        sockets: args.socket.clone(),
        holes: args.hole.clone(),
        height: args.height,
        pin: args.pin,
        feels: [args.stiff, args.easy, args.loose],
        cutters: args.cutter.clone(),
    };
    if args.ask || (read == Readings::default() && std::io::stdin().is_terminal()) {
        ask(&mut read, trial)?;
    }
    if read == Readings::default() {
        return Err(
            "nothing to record: give sizes or numbers as options (see --help), or run it on a terminal"
                .to_owned(),
        );
    }
    Ok(read)
}

/// Asks on standard error for everything that is not given.
fn ask(read: &mut Readings, trial: &Trial) -> Result<(), String> {
    print::say("What was found? Enter alone passes on.");
    let ways = [
        "moves stiffly, holds any pose",
        "moves easily, by itself, holds a little",
        "moves loosely, dangles",
    ];
    for (feel, way) in read.feels.iter_mut().zip(ways) {
        if feel.is_none() {
            *feel = question(&format!("Number of the socket that {way}"), number);
        }
    }
    if read.pin.is_none() {
        let words = "Number of the tightest pin hole that takes the dowel by hand";
        read.pin = question(words, number);
    }
    let designed = |what: &str, mm: f64| format!("{what} (designed {mm:.2} mm)");
    if read.ball.is_none() {
        let words = designed("Diameter of the ball along its seam", trial.ball);
        read.ball = question(&words, size);
    }
    if read.sockets.is_empty() {
        for socket in &trial.sockets {
            let words = designed(
                &format!("Diameter of socket {}", socket.number),
                socket.diameter,
            );
            let found = question(&words, size);
            read.sockets.extend(found.map(|mm| (socket.number, mm)));
        }
    }
    if read.holes.is_empty() {
        for hole in &trial.holes {
            let words = designed(
                &format!("Diameter of pin hole {}", hole.number),
                hole.diameter,
            );
            let found = question(&words, size);
            read.holes.extend(found.map(|mm| (hole.number, mm)));
        }
    }
    if read.height.is_none() {
        let words = designed("Height of a half from split face to flat", trial.height);
        read.height = question(&words, size);
    }
    Ok(())
}

fn number(text: &str) -> Result<usize, String> {
    text.parse()
        .map_err(|_| "write a number of a part".to_owned())
}

/// One question, until its answer reads; nothing for an empty line or the end of the input.
fn question<T>(words: &str, read: fn(&str) -> Result<T, String>) -> Option<T> {
    while let Some(answer) = answer(&format!("{words}: ")).filter(|a| !a.is_empty()) {
        match read(&answer) {
            Ok(value) => return Some(value),
            Err(e) => print::say(&e),
        }
    }
    None
}

impl Recorded {
    fn text(&self, args: &RecordArgs) -> String {
        let mut out = String::new();
        let changes = self.entries.iter().filter(|e| e.differs());
        for e in changes {
            let old = e.old.as_deref().unwrap_or("nothing");
            out += &format!("{}: {old} -> {} ({})\n", e.key, e.new, e.follows);
        }
        let kept = self.entries.iter().filter(|e| !e.differs());
        for e in kept {
            out += &format!("{}: {} as it was\n", e.key, e.new);
        }
        let name = args.shop.display();
        let done = match (
            args.dry_run,
            self.new_file,
            self.entries.iter().any(Entry::differs),
        ) {
            (true, _, _) => format!("{name}: nothing written (--dry-run)"),
            (_, true, _) => format!("{name}: written, the built-in shop with this record"),
            (_, _, true) => format!("{name}: recorded; `check` and `make` with this shop use it"),
            (_, _, false) => format!("{name}: unchanged"),
        };
        out + &done + "\n"
    }

    fn json(&self, args: &RecordArgs) -> serde_json::Value {
        serde_json::json!({
            "schema_version": 1,
            "shop": args.shop.display().to_string(),
            "new_file": self.new_file,
            "written": !args.dry_run && (self.new_file || self.entries.iter().any(Entry::differs)),
            "entries": self.entries,
        })
    }
}
