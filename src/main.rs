//! The `limberwood` command.

use std::process::ExitCode;

fn main() -> ExitCode {
    limberwood::cli::run()
}
