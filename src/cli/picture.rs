//! `limberwood picture`.

use std::io::Write;
use std::path::PathBuf;
use std::sync::atomic::AtomicBool;

use super::args::{Make, PictureArgs, ViewArg};
use super::finish::Finish;
use super::make::{self, Outcome};
use super::print;
use crate::export::folder::{Parents, write_lone};
use crate::export::names::safe_stem;
use crate::export::step::Stamp;
use crate::make::{DEFAULT_DEVIATION, MakeError, Place, Settings, look};
use crate::picture::{View, is_ours};
use crate::units::Unit;

/// Settings where only the solids count.
pub(super) fn plain_settings(unit: Unit) -> Settings {
    Settings {
        deviation: DEFAULT_DEVIATION,
        place: Place::OutsideUp,
        only: None,
        unit,
        stamp: Stamp::default(),
    }
}

/// Runs the command.
pub fn run(args: &PictureArgs) -> Finish {
    let plain = Make::plain(&args.design, args.shop.as_deref(), args.quiet);
    let mut outcome = Outcome::new(&args.design.display().to_string());
    draw(args, &plain, &mut outcome);
    make::finish(&plain, &[outcome])
}

fn draw(args: &PictureArgs, plain: &Make, outcome: &mut Outcome) {
    let settings = plain_settings(Unit::Mm);
    let Some((resolved, unit)) = make::read(plain, &args.design, &settings, outcome) else {
        return;
    };
    let view = match args.view {
        ViewArg::FrontLeft => View::FRONT_LEFT,
        ViewArg::Side => View::SIDE,
        ViewArg::Top => View::TOP,
    };
    let picture = match look(&resolved, &plain_settings(unit), &view, args.size) {
        Ok(picture) => picture,
        Err(MakeError::Design(found)) => {
            outcome.messages.extend(found.sorted());
            return outcome.ends(Finish::Fails);
        }
        Err(_) => return outcome.could_not_run("the picture could not be drawn".to_owned()),
    };
    let bytes = match picture.png() {
        Ok(bytes) => bytes,
        Err(e) => return outcome.could_not_run(e.to_string()),
    };
    let (path, parents) = match &args.output {
        Some(path) => (path.clone(), Parents::MustExist),
        None => (default_path(&resolved.creature.name, "png"), Parents::Make),
    };
    let stop = AtomicBool::new(false);
    match write_lone(&path, parents, is_ours, &stop, |file| {
        file.write_all(&bytes)
    }) {
        Ok(()) => {
            outcome.ends(Finish::Sound);
            if !args.quiet {
                print::out(&format!("{}\n", path.display()));
            }
        }
        Err(e) => outcome.could_not_run(e.to_string()),
    }
}

/// out/NAME.ENDING
pub(super) fn default_path(name: &str, ending: &str) -> PathBuf {
    PathBuf::from("out").join(format!("{}.{ending}", safe_stem(name)))
}
