//! `limberwood watch`.

use std::path::PathBuf;
use std::process::{Command, Stdio};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::{Duration, Instant, SystemTime, UNIX_EPOCH};

use clap::Args as ClapArgs;

use super::finish::Finish;
use super::print;
use super::progress::stop_on_ctrl_c;
use super::read::solved;
use crate::chain::Resolved;
use crate::diagnostic::{Diagnostic, Severity};
use crate::live::files::POLL;
use crate::live::{Board, Files, Server, Snapshot, faults_of};
use crate::make::{Kept, PageError, Settings, check_again, page_again};
use crate::report::LiveFault;
use crate::units::Unit;

/// What a browser takes to draw an edit, with two cores and no graphics card (measured).
const DRAWING: Duration = Duration::from_millis(250);

/// Arguments of `watch`.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
The page of `limberwood page` on an address of this machine that no other machine reaches. It follows
the design and the shop file: what is saved is on the screen at once, and checked after that. A file
with faults shows them over the page, and the last good creature stays. Nothing is written to disk.

Examples:
  limberwood watch newt.yaml
  limberwood watch newt.yaml --shop my-shop.yaml --port 8123 --open

Exit status: 0 ended with Ctrl-C, 2 could not run.")]
pub struct WatchArgs {
    /// Design file.
    #[arg(value_name = "FILE")]
    pub design: PathBuf,
    /// Shop file; without it `shop.yaml` beside the design, else the built-in shop.
    #[arg(long, value_name = "FILE")]
    pub shop: Option<PathBuf>,
    /// Port of 127.0.0.1; the first free one from 49374 without it.
    #[arg(long, value_name = "N")]
    pub port: Option<u16>,
    /// Open the page in a browser; without it the address is printed, and that is all.
    #[arg(long)]
    pub open: bool,
    /// Print the address, and say nothing else.
    #[arg(short, long)]
    pub quiet: bool,
}

/// Runs the command.
pub fn run(args: &WatchArgs) -> Finish {
    match watch(args) {
        Ok(()) => Finish::Sound,
        Err(cause) => {
            print::say(&format!("{}: error: {cause}", args.design.display()));
            Finish::CouldNotRun
        }
    }
}

fn watch(args: &WatchArgs) -> Result<(), String> {
    for file in std::iter::once(&args.design).chain(&args.shop) {
        if !file.is_file() {
            return Err(format!("no such file: {}; check the path", file.display()));
        }
    }
    let server = Server::bind(args.port).map_err(|e| e.to_string())?;
    let address = server.address();
    let title = args.design.display().to_string();
    let board = Arc::new(Board::new(this_run(), title.clone()));
    server
        .serve(Arc::clone(&board))
        .map_err(|e| e.to_string())?;
    let stop = stop_on_ctrl_c();
    print::out(&format!("{address}\n"));
    if args.open {
        open(&address);
    }
    let mut watcher = Watcher {
        quiet: args.quiet,
        file: title,
        board,
        kept: Arc::new(Kept::default()),
        edit: 0,
        checking: None,
    };
    let mut files = Files::new(&args.design, args.shop.as_deref());
    while !stop.load(Ordering::Relaxed) {
        if let Some(snapshot) = files.changed() {
            watcher.take(snapshot);
        }
        thread::sleep(POLL);
    }
    watcher.stop_checking();
    Ok(())
}

/// What is shown at once is not stopped.
static NEVER: AtomicBool = AtomicBool::new(false);

/// A name that no earlier run on the same port had; it reaches no file.
fn this_run() -> String {
    let since = SystemTime::now().duration_since(UNIX_EPOCH);
    format!("{:x}", since.unwrap_or(Duration::ZERO).as_nanos())
}

/// What the system opens addresses with.
fn open(address: &str) {
    let (program, before): (&str, &[&str]) = if cfg!(target_os = "macos") {
        ("open", &[])
    } else if cfg!(target_os = "windows") {
        ("cmd", &["/C", "start", ""])
    } else {
        ("xdg-open", &[])
    };
    let mut command = Command::new(program);
    command.args(before).arg(address);
    command.stdin(Stdio::null()).stdout(Stdio::null());
    if let Err(e) = command.stderr(Stdio::null()).spawn() {
        print::say(&format!("no browser could be opened ({program}: {e})"));
    }
}

/// A design as it was saved.
struct Saved {
    resolved: Resolved,
    unit: Unit,
    warnings: Vec<Diagnostic>,
}

struct Watcher {
    quiet: bool,
    file: String,
    board: Arc<Board>,
    kept: Arc<Kept>,
    /// Number of the edit.
    edit: u64,
    /// The wish that the checks of an older edit stop.
    checking: Option<Arc<AtomicBool>>,
}

impl Watcher {
    /// Shows what was saved, then has it checked; or says why it cannot be shown.
    fn take(&mut self, snapshot: Snapshot) {
        let begin = Instant::now();
        self.edit += 1;
        self.stop_checking();
        match saved(snapshot) {
            Ok(saved) => self.show(saved, begin),
            Err(messages) => self.refuse(&messages),
        }
    }

    fn stop_checking(&mut self) {
        if let Some(stop) = self.checking.take() {
            stop.store(true, Ordering::Relaxed);
        }
    }

    fn refuse(&self, messages: &[Diagnostic]) {
        for message in messages.iter().filter(|m| m.severity == Severity::Error) {
            print::say(&message.to_string());
        }
        self.board.refuse(self.edit, faults_of(messages));
    }

    fn show(&mut self, saved: Saved, begin: Instant) {
        self.kept.begin();
        let settings = Settings::of(&saved.resolved, saved.unit);
        let before = self.kept.built();
        let page = match page_again(&saved.resolved, &settings, None, &self.kept, &NEVER) {
            Ok(page) => page,
            Err(PageError::Design(faults)) => return self.refuse(&faults.sorted()),
            Err(PageError::Picture(e)) => return self.teller().fault(&e.to_string()),
        };
        let built = self.kept.built() - before;
        if let Err(e) = self.board.show(self.edit, page, self.kept.built()) {
            return self.teller().fault(&e.to_string());
        }
        if !self.quiet {
            let time = begin.elapsed().as_secs_f64();
            print::say(&format!(
                "shown after {time:.2} s ({built} different parts built)"
            ));
        }
        self.check(saved, settings);
    }

    /// Has an edit checked aside, on all cores but one, so that the next edit is shown at once.
    fn check(&mut self, saved: Saved, settings: Settings) {
        let stop = Arc::new(AtomicBool::new(false));
        self.checking = Some(Arc::clone(&stop));
        let (kept, teller) = (Arc::clone(&self.kept), self.teller());
        let quiet = self.quiet;
        let settings = Settings {
            leftover: true,
            ..settings
        };
        let work = move || {
            let cores = thread::available_parallelism().map_or(1, usize::from);
            let pool = rayon::ThreadPoolBuilder::new().num_threads((cores - 1).max(1));
            let pool = match pool.build() {
                Ok(pool) => pool,
                Err(e) => return teller.unchecked(&e.to_string()),
            };
            if !rested(&stop) {
                return;
            }
            let page = pool.install(|| checked(&saved, &settings, &kept, &stop));
            match page {
                Some(Ok(page)) if !stop.load(Ordering::Relaxed) => {
                    let verdict = page.verdict.clone();
                    match teller.board.show(teller.edit, page, kept.built()) {
                        Ok(()) if !quiet => print::say(&format!("checks: {verdict}")),
                        Ok(()) => {}
                        Err(e) => teller.unchecked(&e.to_string()),
                    }
                }
                // A part that is refused has been told of when it was to be shown.
                Some(Err(PageError::Picture(e))) => teller.unchecked(&e.to_string()),
                _ => {}
            }
        };
        let begun = thread::Builder::new().name("checks".to_owned()).spawn(work);
        if let Err(e) = begun {
            self.teller().unchecked(&e.to_string());
        }
    }

    fn teller(&self) -> Teller {
        Teller {
            file: self.file.clone(),
            board: Arc::clone(&self.board),
            edit: self.edit,
        }
    }
}

/// Tells of faults that are none of the files', once at the prompt and once in the browser.
struct Teller {
    file: String,
    board: Arc<Board>,
    edit: u64,
}

impl Teller {
    fn unchecked(&self, cause: &str) {
        self.tell(&format!("the checks could not be done: {cause}"), true);
    }

    fn fault(&self, words: &str) {
        self.tell(words, false);
    }

    fn tell(&self, words: &str, shown: bool) {
        print::say(&format!("{}: error: {words}", self.file));
        let fault = LiveFault {
            at: self.file.clone(),
            line: 0,
            column: 0,
            words: words.to_owned(),
            shown,
        };
        self.board.refuse(self.edit, vec![fault]);
    }
}

/// Leaves the machine to the browser that draws an edit; whether no other edit has come meanwhile.
fn rested(stop: &AtomicBool) -> bool {
    let end = Instant::now() + DRAWING;
    while Instant::now() < end && !stop.load(Ordering::Relaxed) {
        thread::sleep(DRAWING / 10);
    }
    !stop.load(Ordering::Relaxed)
}

/// The page with all findings; nothing when an edit has come between.
fn checked(
    saved: &Saved,
    settings: &Settings,
    kept: &Kept,
    stop: &AtomicBool,
) -> Option<Result<crate::report::CreaturePage, PageError>> {
    let resolved = &saved.resolved;
    let findings = check_again(
        resolved,
        settings,
        &saved.warnings,
        (Some(kept), None),
        stop,
    )?;
    Some(page_again(resolved, settings, Some(&findings), kept, stop))
}

fn saved(snapshot: Snapshot) -> Result<Saved, Vec<Diagnostic>> {
    let parsed = snapshot.parsed().map_err(|faults| faults.sorted())?;
    let (design, shop, mut messages) = parsed;
    let Some((_, resolved)) = solved(&design, &shop, &mut messages) else {
        return Err(messages);
    };
    Ok(Saved {
        resolved,
        unit: design.units.value.0,
        warnings: messages,
    })
}
