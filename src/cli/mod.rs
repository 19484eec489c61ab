//! The command line: arguments, progress, words for people, exit code.
//!
//! Results go to standard output, talk to standard error. Exit 0: made and sound; 1: a check
//! fails; 2: could not run.

mod args;
mod ask;
mod batch;
mod blank;
mod check;
mod coupon;
mod finish;
mod make;
mod new;
mod outcome;
mod pack;
mod page;
mod picture;
mod print;
mod progress;
mod read;
mod record;
mod refit;
mod solve;
mod typed;
mod watch;
mod welcome;

use std::process::ExitCode;

use clap::{CommandFactory, Parser};

use args::{Args, Command, SchemaOf};
use finish::Finish;

/// Runs the program on the process's arguments.
pub fn run() -> ExitCode {
    let args = Args::parse();
    let finish = match args.command {
        None => welcome::show(),
        Some(Command::New(args)) => new::run(&args),
        Some(Command::Make(make)) => make::run(&make),
        Some(Command::Check(args)) => check::run(&args),
        Some(Command::Solve(args)) => solve::run(&args),
        Some(Command::Blank(args)) => blank::run(&args),
        Some(Command::Coupon(args)) => coupon::run(&args),
        Some(Command::Refit(args)) => refit::run(&args),
        Some(Command::Batch(args)) => batch::run(&args),
        Some(Command::Pack(pack)) => pack::run(&pack),
        Some(Command::Page(args)) => page::run(&args),
        Some(Command::Record(args)) => record::run(&args),
        Some(Command::Watch(args)) => watch::run(&args),
        Some(Command::Picture(picture)) => picture::run(&picture),
        Some(Command::Schema { of }) => schema(of),
        Some(Command::Completions { shell }) => {
            let mut command = Args::command();
            let mut bytes = Vec::new();
            clap_complete::generate(shell, &mut command, "limberwood", &mut bytes);
            print::out(&String::from_utf8_lossy(&bytes))
        }
    };
    finish.into()
}

fn schema(of: SchemaOf) -> Finish {
    let schema = match of {
        SchemaOf::Design => crate::params::schema_design(),
        SchemaOf::Shop => crate::params::schema_shop(),
        SchemaOf::Plan => crate::params::schema_plan(),
    };
    print::out(&format!("{schema:#}\n"))
}
