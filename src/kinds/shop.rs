//! The text of a shop file: one board, its double, and a usual set of cutters.

use std::fmt::Write;

use super::Frame;
use super::ruler::Ruler;
use crate::chain::resolve;
use crate::make::{Settings, lay_out};
use crate::params::{read_design_str, read_shop_str};
use crate::units::Unit;

/// A usual set of cutters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cutters {
    /// 1/4 in and 1/8 in flats, a tapered 1/8 in ball: those of the built-in shop.
    Inch,
    /// 6 mm and 3 mm flats, a tapered 3 mm ball.
    Metric,
    /// 1/4 in and 1/8 in flats, a long straight 1/8 in ball.
    Straight,
}

impl Cutters {
    /// All, in the order of a list.
    pub const ALL: [Cutters; 3] = [Cutters::Inch, Cutters::Metric, Cutters::Straight];

    /// As it is typed.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Cutters::Inch => "inch",
            Cutters::Metric => "metric",
            Cutters::Straight => "straight",
        }
    }

    /// What it is, in a few words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Cutters::Inch => "flats of 1/4 and 1/8 in, tapered ball of 1/8 in",
            Cutters::Metric => "flats of 6 and 3 mm, tapered ball of 3 mm",
            Cutters::Straight => "flats of 1/4 and 1/8 in, long straight ball of 1/8 in",
        }
    }
}

/// Writes a shop for the design of a frame: boards of its thickness and wood, in the smallest pieces that
/// hold it.
#[must_use]
pub fn shop_text(frame: &Frame, design: &str, cutters: Cutters) -> String {
    let of = |piece| text(frame, cutters, piece);
    let pieces = pieces(frame.unit, frame.stock);
    let held = pieces.into_iter().map(of).find(|shop| holds(shop, design));
    held.unwrap_or_else(|| of(pieces[0]))
}

/// Whether a design is laid out on the pieces of a shop.
fn holds(shop: &str, design: &str) -> bool {
    let (Ok((design, _)), Ok((shop, _))) = (
        read_design_str(design, "design.yaml"),
        read_shop_str(shop, "shop.yaml"),
    ) else {
        return false;
    };
    resolve(&design, &shop).is_ok_and(|resolved| {
        let settings = Settings::of(&resolved, design.units.value.0);
        lay_out(&resolved, &settings, 1).is_ok()
    })
}

fn text(frame: &Frame, cutters: Cutters, [length, width]: [u32; 2]) -> String {
    let (ruler, stock, species) = (Ruler { unit: frame.unit }, frame.stock, frame.wood.name);
    let unit = ruler.unit.symbol();
    let mut text = format!(
        "# Your shop: what you own, as you measured it. Every design in this folder is made for it.\n\
         limberwood_shop: 1\n\
         name: My shop\n\
         units: {unit}\n\
         # Measure each cutter, and add `measured:` where it differs from what it was sold as.\n\
         cutters:\n"
    );
    for line in lines(cutters) {
        let _ = writeln!(text, "  - {{{line}}}");
    }
    text.push_str(
        "# Thickness by calipers; length and width of the pieces that lie on the machine: write yours.\n\
         stock:\n",
    );
    for (name, thick) in [("board", stock), ("double", 2.0 * stock)] {
        let thick = ruler.exact(thick);
        let _ = writeln!(
            text,
            "  - {{name: {name}, thickness: {thick}, length: {length}, width: {width}, species: {species}}}"
        );
    }
    text
}

/// Lengths and widths of pieces of stock of a thickness in mm, in the unit: one that holds most kinds, then
/// larger ones for wide wings (by eye).
fn pieces(unit: Unit, stock: f64) -> [[u32; 2]; 4] {
    match (unit, stock > 20.0) {
        (Unit::Mm, false) => [[400, 200], [400, 300], [600, 300], [600, 450]],
        (Unit::Mm, true) => [[400, 250], [400, 350], [600, 350], [600, 500]],
        (Unit::Inch, false) => [[16, 8], [16, 12], [24, 12], [24, 18]],
        (Unit::Inch, true) => [[16, 10], [16, 14], [24, 14], [24, 20]],
    }
}

/// The cutters of a set, one a line.
fn lines(cutters: Cutters) -> [&'static str; 4] {
    const ROUGH: &str = "name: quarter flat, jobs: [rough], kind: flat, diameter: 1/4 in, \
                         cutting_length: 1 in, shank: 1/4 in";
    const HOLES: &str = "name: eighth flat, jobs: [holes, relief], kind: flat, diameter: 1/8 in, \
                         cutting_length: 1/2 in, shank: 1/8 in";
    const MARKS: &str = "name: thirty-second flat, jobs: [marks], kind: flat, diameter: 1/32 in, \
                         cutting_length: 3 mm, shank: 1/8 in";
    match cutters {
        Cutters::Inch => [
            ROUGH,
            HOLES,
            "name: tapered ball, jobs: [finish], kind: ball, tip_diameter: 1/8 in, taper: 3 deg per side, \
             cutting_length: 1-1/2 in, shank: 1/4 in",
            MARKS,
        ],
        Cutters::Metric => [
            "name: six flat, jobs: [rough], kind: flat, diameter: 6 mm, cutting_length: 25 mm, shank: 6 mm",
            "name: three flat, jobs: [holes, relief], kind: flat, diameter: 3 mm, cutting_length: 12 mm, \
             shank: 3 mm",
            "name: tapered ball, jobs: [finish], kind: ball, tip_diameter: 3 mm, taper: 5 deg included, \
             cutting_length: 40 mm, shank: 6 mm",
            "name: point-eight flat, jobs: [marks], kind: flat, diameter: 0.8 mm, cutting_length: 3 mm, \
             shank: 3 mm",
        ],
        Cutters::Straight => [
            ROUGH,
            HOLES,
            "name: straight ball, jobs: [finish], kind: ball, tip_diameter: 1/8 in, cutting_length: 1-1/2 in, \
             shank: 1/8 in",
            MARKS,
        ],
    }
}
