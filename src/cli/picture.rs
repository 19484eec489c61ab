//! `limberwood picture`.

use std::io::Write;
use std::path::PathBuf;

use clap::{ArgGroup, Args as ClapArgs, ValueEnum};

use super::finish::Finish;
use super::outcome::{Outcome, worst};
use super::print;
use super::progress::stop_on_ctrl_c;
use super::read::read;
use crate::export::folder::{Parents, write_lone};
use crate::export::names::safe_stem;
use crate::make::{Bend, Drawn, DrawnError, Settings, Way, drawn};
use crate::picture::{Size, View, is_ours};

/// Whence a picture is taken.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum ViewArg {
    /// From the front, the left and above.
    FrontLeft,
    /// From the left.
    Side,
    /// From above.
    Top,
}

/// Which way the creature bends.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum BendArg {
    /// To the side.
    Side,
    /// Upwards.
    Up,
    /// In a wave.
    Wave,
}

/// What the colours show.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum ColourArg {
    /// Wood.
    Wood,
    /// Thickness of the wood: dark where it is thin, palest from four times the least wall on.
    Wall,
}

/// The side of a part or piece that is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum FromArg {
    /// The outer side up.
    Outside,
    /// The split face up.
    Inside,
}

/// Arguments of `picture`.
#[derive(Debug, ClapArgs)]
#[command(group = ArgGroup::new("single").args(["part", "blank"]))]
#[command(after_help = "\
Examples:
  limberwood picture newt.yaml
  limberwood picture pike.yaml --view side --size 1200x400 -o pike-side.png
  limberwood picture newt.yaml --bend wave --share 60
  limberwood picture newt.yaml --apart 100 --colour wall
  limberwood picture newt.yaml --part 03-body-upper --from inside
  limberwood picture newt.yaml --blank 1 --from inside

Exit status: 0 drawn, 1 the design is refused, 2 could not run.")]
pub struct PictureArgs {
    /// Design file.
    #[arg(value_name = "FILE")]
    pub design: PathBuf,
    /// Shop file; without it `shop.yaml` beside the design, else the built-in shop.
    #[arg(long, value_name = "FILE")]
    pub shop: Option<PathBuf>,
    /// PNG file to write, instead of out/NAME.png.
    #[arg(short, long, value_name = "FILE.png")]
    pub output: Option<PathBuf>,
    /// Whence it is taken.
    #[arg(long, value_enum, default_value = "front-left")]
    pub view: ViewArg,
    /// Width and height in pixels.
    #[arg(long, value_name = "WxH", default_value = "1600x900", value_parser = size)]
    pub size: Size,
    /// Bend every joint this way.
    #[arg(long, value_enum)]
    pub bend: Option<BendArg>,
    /// How far, in percent of what each joint's closed form allows; negative the other way.
    #[arg(long, value_name = "PERCENT", default_value_t = 100.0, requires = "bend",
          value_parser = percent, allow_negative_numbers = true)]
    pub share: f64,
    /// Pull the halves apart, in percent: at 100 each is clear of the other.
    #[arg(long, value_name = "PERCENT", default_value_t = 0.0, value_parser = opened)]
    pub apart: f64,
    /// Only the part of this name, or the one whose name begins so.
    #[arg(long, value_name = "NAME", conflicts_with_all = ["bend", "apart"])]
    pub part: Option<String>,
    /// Only the piece of stock of this number, with its windows cut through and its parts in their tabs.
    #[arg(long, value_name = "N", conflicts_with_all = ["bend", "apart", "part", "colour"])]
    pub blank: Option<usize>,
    /// The side of the part or of the piece that lies up.
    #[arg(long, value_enum, default_value = "outside", requires = "single")]
    pub from: FromArg,
    /// What the colours show.
    #[arg(long, value_enum, default_value = "wood")]
    pub colour: ColourArg,
    /// Say nothing but errors.
    #[arg(short, long)]
    pub quiet: bool,
}

fn size(text: &str) -> Result<Size, String> {
    let numbers = text.split_once(['x', 'X']).and_then(|(w, h)| {
        let number = |t: &str| t.trim().parse().ok();
        Size::new(number(w)?, number(h)?)
    });
    numbers.ok_or_else(|| "write width and height from 1 to 8192, such as 1600x900".to_owned())
}

/// A number from -100 to 100.
fn percent(text: &str) -> Result<f64, String> {
    within(text, -100.0)
}

/// A number from 0 to 100.
fn opened(text: &str) -> Result<f64, String> {
    within(text, 0.0)
}

fn within(text: &str, least: f64) -> Result<f64, String> {
    let number = text.trim().trim_end_matches('%').parse::<f64>().ok();
    let number = number.filter(|n| (least..=100.0).contains(n));
    number.ok_or_else(|| format!("write a number from {least} to 100, such as 50"))
}

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
    let (what, walls) = (wanted(args), args.colour == ColourArg::Wall);
    let picture = match drawn(&resolved, &settings, &what, walls, (&view, args.size)) {
        Ok(picture) => picture.png().map_err(|e| e.to_string())?,
        Err(DrawnError::Design(refused)) => {
            outcome.messages.extend(refused.sorted());
            outcome.ends(Finish::Fails);
            return Ok(None);
        }
        Err(DrawnError::NoPart(names)) => {
            let asked = args.part.as_deref().unwrap_or_default();
            let names = names.join(", ");
            return Err(format!(
                "--part: no single part `{asked}`; name one of {names}"
            ));
        }
        Err(DrawnError::NoBlank(most)) => {
            let asked = args.blank.unwrap_or_default();
            return Err(format!("--blank: no piece {asked}; give 1 to {most}"));
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

fn wanted(args: &PictureArgs) -> Drawn {
    let inside = args.from == FromArg::Inside;
    if let Some(number) = args.blank {
        return Drawn::Blank { number, inside };
    }
    if let Some(name) = args.part.clone() {
        return Drawn::Part { name, inside };
    }
    let bend = args.bend.map(|way| Bend {
        way: match way {
            BendArg::Side => Way::Side,
            BendArg::Up => Way::Up,
            BendArg::Wave => Way::Wave,
        },
        share: args.share / 100.0,
    });
    Drawn::Creature {
        bend,
        apart: args.apart / 100.0,
    }
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
