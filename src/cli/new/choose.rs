//! The choices of `limberwood new`: given, answered on a terminal, or defaults.

use super::{New, Stop, cannot};
use crate::cli::ask::Asker;
use crate::cli::typed;
use crate::kinds::{Cutters, Frame, KINDS, Ruler, clearance, kind};
use crate::params::written::Shop;
use crate::params::{SPECIES, Species, did_you_mean, species};
use crate::units::Unit;

/// What was chosen.
pub struct Choices {
    pub frame: Frame,
    /// From nose to tail, mm.
    pub length: f64,
    /// Of a new shop file.
    pub cutters: Cutters,
}

/// Every choice, in the order in which one limits the next.
pub fn choose(args: &New, shop: Option<&Shop>, asker: &mut Asker) -> Result<Choices, Stop> {
    let named = kind(&args.name).unwrap_or(KINDS[0]).name;
    let kinds = KINDS.map(|k| k.name);
    let kind = asker
        .choice(
            ("--kind", &format!("Kind: {}", kinds.join(", "))),
            args.kind.as_deref(),
            named,
            |text| kind(text).ok_or_else(|| unknown(text, &kinds)),
        )
        .map_err(cannot)?;
    let unit_word = shop.map_or("mm", |s| s.units.value.0.symbol());
    let unit = asker
        .choice(
            ("--unit", "Unit of the files, mm or in"),
            args.unit.as_deref(),
            unit_word,
            |text| match text.to_lowercase().as_str() {
                "mm" => Ok(Unit::Mm),
                "in" | "inch" => Ok(Unit::Inch),
                _ => Err(unknown(text, &["mm", "in"])),
            },
        )
        .map_err(cannot)?;
    let woods = SPECIES.map(|s| s.name);
    let wood = asker
        .choice(
            ("--species", "Wood"),
            args.species.as_deref(),
            "hard maple",
            |text| species(text).ok_or_else(|| unknown(text, &woods)),
        )
        .map_err(cannot)?;
    let stock = stock(args, asker, (unit, wood, shop))?;
    let cutters = match shop {
        Some(_) => Cutters::Inch,
        None => cutters(args, asker, unit)?,
    };
    let frame = Frame {
        kind,
        unit,
        stock,
        wood,
        sections: kind.usual,
        clearance: clearance(shop),
    };
    size(args, asker, frame, cutters)
}

/// Thickness of the boards, mm.
fn stock(
    args: &New,
    asker: &mut Asker,
    (unit, wood, shop): (Unit, &Species, Option<&Shop>),
) -> Result<f64, Stop> {
    let range = Frame::stocks(unit, wood, clearance(shop));
    let ruler = Ruler { unit };
    let boards = shop.into_iter().flat_map(|s| &s.stock.value);
    let boards = boards.map(|b| b.value.thickness.value.mm());
    let board = boards.filter(|b| range.contains(b)).min_by(f64::total_cmp);
    let question = format!(
        "Thickness of your boards, by calipers, {} to {}",
        ruler.words(*range.start()),
        ruler.words(*range.end())
    );
    let default = ruler.typed(board.unwrap_or(19.05));
    asker
        .choice(
            ("--stock", &question),
            args.stock.as_deref(),
            &default,
            |text| typed::length(text, unit),
        )
        .map_err(cannot)
}

fn cutters(args: &New, asker: &mut Asker, unit: Unit) -> Result<Cutters, Stop> {
    let all = Cutters::ALL;
    let lines = all.map(|c| format!("  {}: {}", c.word(), c.words()));
    let default = match unit {
        Unit::Mm => Cutters::Metric,
        Unit::Inch => Cutters::Inch,
    };
    asker
        .choice(
            (
                "--cutters",
                &format!("Cutters:\n{}\nwhich", lines.join("\n")),
            ),
            args.cutters.as_deref(),
            default.word(),
            |text| {
                let found = all.into_iter().find(|c| c.word() == text.to_lowercase());
                found.ok_or_else(|| unknown(text, &all.map(Cutters::word)))
            },
        )
        .map_err(cannot)
}

/// Sections and length.
fn size(args: &New, asker: &mut Asker, frame: Frame, cutters: Cutters) -> Result<Choices, Stop> {
    let kind = frame.kind;
    frame.fits()?;
    let sections = asker
        .choice(
            (
                "--sections",
                &format!("Sections, {} to {}", kind.least, kind.most),
            ),
            args.sections.as_deref(),
            &kind.usual.to_string(),
            |text| {
                text.parse()
                    .map_err(|_| format!("found `{text}`, write a whole number"))
            },
        )
        .map_err(cannot)?;
    let frame = Frame { sections, ..frame };
    frame.fits()?;
    let (range, usual) = frame.lengths();
    let ruler = Ruler { unit: frame.unit };
    let question = format!(
        "Length from nose to tail, {} to {}",
        ruler.words(*range.start()),
        ruler.words(*range.end())
    );
    let length = asker
        .choice(
            ("--length", &question),
            args.length.as_deref(),
            &ruler.typed(usual),
            |text| typed::length(text, frame.unit),
        )
        .map_err(cannot)?;
    Ok(Choices {
        frame,
        length,
        cutters,
    })
}

fn unknown(text: &str, known: &[&str]) -> String {
    let list = format!("write one of: {}", known.join(", "));
    let way_out = did_you_mean(text, known.iter().copied(), &list);
    format!("found `{text}`; {way_out}")
}
