//! `limberwood page`.

use std::io::Write;
use std::path::PathBuf;

use super::args::PageArgs;
use super::finish::Finish;
use super::outcome::{Outcome, worst};
use super::picture::place;
use super::print;
use super::progress::{stop_on_ctrl_c, with_progress};
use super::read::read;
use crate::export::folder::write_lone;
use crate::make::{PageError, Settings, check, page};
use crate::report::is_page;

/// Runs the command.
pub fn run(args: &PageArgs) -> Finish {
    let mut outcome = Outcome::new(&args.design.display().to_string());
    let written = write(args, &mut outcome);
    if let Err(cause) = &written {
        outcome.could_not_run(cause.clone());
    }
    outcome.tell_made(args.quiet);
    if let (Ok(Some(path)), false) = (&written, args.quiet) {
        print::out(&format!(
            "{}\nchecks: {}\n",
            path.display(),
            outcome.verdict()
        ));
    }
    worst(&[outcome])
}

/// Checks and writes; nothing when a part is refused. Says why it could not.
fn write(args: &PageArgs, outcome: &mut Outcome) -> Result<Option<PathBuf>, String> {
    let Some((resolved, unit)) = read(&args.design, args.shop.as_deref(), outcome) else {
        return Ok(None);
    };
    let settings = Settings::of(&resolved, unit);
    let findings = with_progress(args.quiet, |step| {
        check(&resolved, &settings, &outcome.messages, step)
    });
    let html = match page(&resolved, &settings, &findings) {
        Ok(page) => page.html().map_err(|e| e.to_string())?,
        // The checks have said so.
        Err(PageError::Design(_)) => {
            outcome.checked(findings);
            return Ok(None);
        }
        Err(PageError::Picture(e)) => return Err(e.to_string()),
    };
    let (path, parents) = place(args.output.as_ref(), &resolved.creature.name, "html");
    write_lone(&path, parents, is_page, stop_on_ctrl_c(), |file| {
        file.write_all(html.as_bytes())
    })
    .map_err(|e| e.to_string())?;
    outcome.checked(findings);
    Ok(Some(path))
}
