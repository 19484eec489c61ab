//! `limberwood picture`.

use std::io::Write;
use std::path::PathBuf;

use super::args::{PictureArgs, ViewArg};
use super::finish::Finish;
use super::outcome::{Outcome, worst};
use super::print;
use super::progress::stop_on_ctrl_c;
use super::read::read;
use crate::export::folder::{Parents, write_lone};
use crate::export::names::safe_stem;
use crate::make::{Settings, look};
use crate::picture::{View, is_ours};

/// Runs the command.
pub fn run(args: &PictureArgs) -> Finish {
    let mut outcome = Outcome::new(&args.design.display().to_string());
    match draw(args, &mut outcome) {
        Ok(Some(path)) if !args.quiet => {
            print::out(&format!("{}\n", path.display()));
        }
        Ok(_) => {}
        Err(cause) => outcome.could_not_run(cause),
    }
    outcome.tell_made(args.quiet);
    worst(&[outcome])
}

/// Draws and writes; nothing when the design is refused. Says why it could not.
fn draw(args: &PictureArgs, outcome: &mut Outcome) -> Result<Option<PathBuf>, String> {
    let Some((resolved, unit)) = read(&args.design, args.shop.as_deref(), outcome) else {
        return Ok(None);
    };
    let view = match args.view {
        ViewArg::FrontLeft => View::FRONT_LEFT,
        ViewArg::Side => View::SIDE,
        ViewArg::Top => View::TOP,
    };
    let settings = Settings::of(&resolved, unit);
    let picture = match look(&resolved, &settings, &view, args.size) {
        Ok(picture) => picture.png().map_err(|e| e.to_string())?,
        Err(refused) => {
            outcome.messages.extend(refused.sorted());
            outcome.ends(Finish::Fails);
            return Ok(None);
        }
    };
    let (path, parents) = place(args.output.as_ref(), &resolved.creature.name, "png");
    let stop = stop_on_ctrl_c();
    write_lone(&path, parents, is_ours, stop, |file| {
        file.write_all(&picture)
    })
    .map_err(|e| e.to_string())?;
    outcome.ends(Finish::Sound);
    Ok(Some(path))
}

/// The file asked for, or out/NAME.ENDING, whose folder may be made.
pub(super) fn place(asked: Option<&PathBuf>, name: &str, ending: &str) -> (PathBuf, Parents) {
    match asked {
        Some(path) => (path.clone(), Parents::MustExist),
        None => {
            let file = format!("{}.{ending}", safe_stem(name));
            (PathBuf::from("out").join(file), Parents::Make)
        }
    }
}
