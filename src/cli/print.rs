//! The only place that prints.

use std::io::Write;

use super::finish::Finish;

/// A result, to standard output. A reader that has gone away is no fault.
pub fn out(text: &str) -> Finish {
    match std::io::stdout().write_all(text.as_bytes()) {
        Ok(()) => Finish::Sound,
        Err(e) if e.kind() == std::io::ErrorKind::BrokenPipe => Finish::Sound,
        Err(_) => Finish::CouldNotRun,
    }
}

/// Lines of talk that end in a line break each.
pub fn say_lines(text: &str) {
    if !text.is_empty() {
        say(text.trim_end_matches('\n'));
    }
}

/// Talk, to standard error; there is nowhere to report that this fails.
pub fn say(text: &str) {
    let _ = writeln!(std::io::stderr(), "{text}");
}

/// A question, to standard error, whose answer comes on the same line.
pub fn ask(text: &str) {
    let mut err = std::io::stderr();
    let _ = write!(err, "{text}");
    let _ = err.flush();
}
