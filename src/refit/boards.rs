//! Which boards the design is cut from, and which it shall be cut from.

use crate::chain::{Resolved, SKIN_OF_STOCK};
use crate::params::written::Shop;
use crate::units::Length;

/// Rounding noise of thicknesses, mm.
const NOISE: f64 = 1e-9;

/// What a section asks of its board.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Need {
    /// Thickness, sanding and skin included, mm.
    pub thickness: f64,
    /// Sanding and skin, which do not scale, mm.
    pub fixed: f64,
    /// Boards' thickness counts twice: cut in one piece from double stock.
    pub whole: bool,
}

impl Need {
    /// Needs of all sections.
    pub fn all(resolved: &Resolved) -> Vec<Need> {
        let sections = resolved.creature.sections.iter().zip(&resolved.sources);
        let need = sections.map(|(section, source)| Need {
            thickness: source.stock,
            fixed: if section.form.whole {
                2.0 * SKIN_OF_STOCK
            } else {
                source.sanding + SKIN_OF_STOCK
            },
            whole: section.form.whole,
        });
        need.collect()
    }

    /// The largest scale at which it comes out of a board.
    pub fn scale(&self, board: f64) -> f64 {
        (board - self.fixed) / (self.thickness - self.fixed)
    }
}

/// Old and new board of the halves; those of whole sections are as many times as thick as before.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Boards {
    /// Thickness that the design is drawn for, mm.
    pub old: f64,
    /// Thickness that it is fitted to, mm.
    pub new: f64,
}

impl Boards {
    /// How much thicker the new board is.
    pub fn ratio(&self) -> f64 {
        self.new / self.old
    }
}

/// The board that the halves (of a creature without halves, the whole sections) are cut from: what
/// the design says, else the thinnest of `boards` that takes the tallest.
pub(super) fn drawn_for(said: Option<f64>, needs: &[Need], boards: &[f64]) -> Option<f64> {
    let most = |whole: bool| {
        let of = needs.iter().filter(|n| n.whole == whole);
        of.map(|n| n.thickness).reduce(f64::max)
    };
    let need = most(false).or(most(true));
    let takes = |need: f64| boards.iter().copied().find(|&b| b + NOISE >= need);
    said.or_else(|| need.and_then(takes))
}

/// The board whose thickness is nearest to `old`, by ratio.
pub(super) fn nearest(old: f64, boards: &[f64]) -> Option<f64> {
    let off = |b: &f64| (b / old).ln().abs();
    boards
        .iter()
        .copied()
        .min_by(|a, b| off(a).total_cmp(&off(b)))
}

/// The shop with every board thicker or thinner by this ratio: double stock stays double.
pub(super) fn with_boards(shop: &Shop, ratio: f64) -> Shop {
    let mut shop = shop.clone();
    for board in &mut shop.stock.value {
        let thickness = &mut board.value.thickness.value;
        *thickness = Length::from_mm(thickness.mm() * ratio);
    }
    shop
}
