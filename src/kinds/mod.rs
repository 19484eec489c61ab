//! Kinds of creatures: a few plain choices become the text of a design.
//!
//! Each kind keeps all its proportions in one file of its own, as parts of the highest half that the
//! stock allows and of the shortest section that its joint allows. What does not scale with the stock:
//! clearance, pins, dowels, walls, and the least neck of the wood. The text is only a proposal; whoever
//! asks for it reads it back and checks it like any other design.

mod caterpillar;
mod centipede;
mod crocodile;
mod dachshund;
mod dragon;
mod ground;
mod newt;
mod otter;
mod part;
mod pike;
mod ray;
mod ruler;
mod shop;
mod slim;
mod whale;
mod write;

use std::ops::RangeInclusive;

use crate::chain::Measured;
use crate::params::Species;
use crate::params::written::Shop;
use crate::units::Unit;

use ground::{CLEARANCE, GAP, Ground};
pub use ruler::Ruler;
use ruler::Step;
pub use shop::{Cutters, shop_text};
use slim::{Slim, slim};
use write::{Head, Plan};

/// Lengths that a kind may be stretched to (by eye: shorter, and pins find no room; longer, and it
/// no longer looks like itself).
const STRETCH: (f64, f64) = (0.95, 1.3);
/// Thickest stock taken, mm: above, the usual cutters do not reach (a 1-1/2 in tapered ball).
const THICKEST: f64 = 27.0;

/// A kind of creature.
#[derive(Debug)]
pub struct Kind {
    /// Its name, one word.
    pub name: &'static str,
    /// What it looks like, in a few words.
    pub words: &'static str,
    /// How many sections it may have.
    pub least: u32,
    /// How many sections it may have.
    pub most: u32,
    /// How many it has when nothing is said.
    pub usual: u32,
    plan: fn(&Ground, u32) -> Plan,
}

/// Every kind, in the order of a list for people.
pub const KINDS: [&Kind; 10] = [
    &newt::NEWT,
    &caterpillar::CATERPILLAR,
    &crocodile::CROCODILE,
    &dachshund::DACHSHUND,
    &dragon::DRAGON,
    &otter::OTTER,
    &pike::PIKE,
    &whale::WHALE,
    &ray::RAY,
    &centipede::CENTIPEDE,
];

/// A kind by its name, whatever the letter case.
#[must_use]
pub fn kind(name: &str) -> Option<&'static Kind> {
    let lower = name.trim().to_lowercase();
    KINDS.into_iter().find(|kind| kind.name == lower)
}

/// What decides how large a creature of a kind can be.
#[derive(Debug, Clone, Copy)]
pub struct Frame {
    /// The kind.
    pub kind: &'static Kind,
    /// Unit of the file.
    pub unit: Unit,
    /// Thickness of the stock, mm.
    pub stock: f64,
    /// The wood.
    pub wood: &'static Species,
    /// How many sections.
    pub sections: u32,
    /// Radial clearance of the joints, mm.
    pub clearance: f64,
}

/// A choice that does not go, with what would.
#[derive(Debug, Clone, PartialEq)]
pub struct Misfit {
    /// The choice, as it is written: `--length`.
    pub choice: &'static str,
    /// What was asked for and what is allowed, in words.
    pub words: String,
}

/// Radial clearance of joints that write none, mm: what the shop's coupon showed, if there was one.
#[must_use]
pub fn clearance(shop: Option<&Shop>) -> f64 {
    shop.and_then(|s| Measured::of(s).usual_gap())
        .unwrap_or(CLEARANCE)
}

impl Frame {
    /// Thicknesses of stock that do, mm.
    #[must_use]
    pub fn stocks(unit: Unit, wood: &Species, clearance: f64) -> RangeInclusive<f64> {
        Ground::thinnest(Ruler { unit }, wood, clearance)..=THICKEST
    }

    /// Whether stock and sections are within their ranges.
    ///
    /// # Errors
    /// The first choice that is not.
    pub fn fits(&self) -> Result<(), Misfit> {
        let ruler = Ruler { unit: self.unit };
        let stocks = Frame::stocks(self.unit, self.wood, self.clearance);
        if !stocks.contains(&self.stock) {
            let words = format!(
                "{} of {}, allowed {} to {}",
                ruler.words(self.stock),
                self.wood.name,
                ruler.words(*stocks.start()),
                ruler.words(*stocks.end())
            );
            return Err(misfit("--stock", words));
        }
        let Kind { least, most, .. } = self.kind;
        if !(*least..=*most).contains(&self.sections) {
            let words = format!("{}, allowed {least} to {most}", self.sections);
            return Err(misfit("--sections", words));
        }
        Ok(())
    }

    fn ground(&self, stretch: f64) -> Ground {
        let ruler = Ruler { unit: self.unit };
        Ground {
            stretch,
            ..Ground::of(ruler, self.stock, self.wood, self.clearance)
        }
    }

    fn plan(&self, stretch: f64) -> Plan {
        (self.kind.plan)(&self.ground(stretch), self.sections)
    }

    /// Lengths from nose to tail that do, mm, and the usual one.
    #[must_use]
    pub fn lengths(&self) -> (RangeInclusive<f64>, f64) {
        let ruler = Ruler { unit: self.unit };
        let of = |stretch| self.plan(stretch).length(GAP);
        let least = ruler.up(of(STRETCH.0), Step::Coarse);
        let most = ruler.down(of(STRETCH.1), Step::Coarse);
        (least..=most, ruler.near(of(1.0), Step::Coarse))
    }

    /// Lengths over the whole range of [`Frame::lengths`], in this many steps, mm.
    #[must_use]
    pub fn lengths_spread(&self, steps: u32) -> Vec<f64> {
        let ruler = Ruler { unit: self.unit };
        let (range, _) = self.lengths();
        let (from, to) = (*range.start(), *range.end());
        let at = |k: u32| from + (to - from) * f64::from(k) / f64::from(steps);
        (0..=steps)
            .map(|k| ruler.near(at(k), Step::Coarse).clamp(from, to))
            .collect()
    }

    /// The text of the design.
    ///
    /// # Errors
    /// The choice that does not go.
    pub fn design(&self, name: &str, length: f64) -> Result<String, Misfit> {
        self.text(name, length, &[])
    }

    /// The text of the design for a shop, in which grooves without room are accepted.
    ///
    /// # Errors
    /// The choice that does not go.
    pub fn settled(&self, name: &str, length: f64, shop: &Shop) -> Result<String, Misfit> {
        let text = self.design(name, length)?;
        let slim = slim(&text, shop);
        if slim.is_empty() {
            return Ok(text);
        }
        self.text(name, length, &slim)
    }

    fn text(&self, name: &str, length: f64, accepted: &[Slim]) -> Result<String, Misfit> {
        self.fits()?;
        let ruler = Ruler { unit: self.unit };
        let (lengths, _) = self.lengths();
        if !lengths.contains(&length) {
            let words = format!(
                "{} for the {} of {} sections, allowed {} to {}",
                ruler.words(length),
                self.kind.name,
                self.sections,
                ruler.words(*lengths.start()),
                ruler.words(*lengths.end())
            );
            return Err(misfit("--length", words));
        }
        let gaps = GAP * f64::from(self.sections - 1);
        let usual = self.plan(1.0).length(0.0);
        let plan = self.plan((length - gaps) / usual);
        let about = format!(
            "{} Made for boards {} thick.",
            self.kind.words,
            ruler.words(self.stock)
        );
        let head = Head {
            name,
            about: &about,
            species: self.wood.name,
            accepted,
        };
        Ok(write::text(&plan, &head, ruler))
    }
}

fn misfit(choice: &'static str, words: String) -> Misfit {
    Misfit { choice, words }
}
