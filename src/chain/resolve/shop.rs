//! What a design needs of the shop, with the values that stand in for keys left out.

use crate::params::Located;
use crate::params::value::{CutterKind, Job};
use crate::params::written::{Cutter, Shop};
use crate::units::Length;

/// Common practice, no source: radial clearance 0.4, slip +0.15 on the diameter, slot 0.6,
/// sanding 0.1 mm; dowel rod of 1/4 in.
const CLEARANCE: f64 = 0.4;
const DOWEL: f64 = 6.35;
const SLIP: f64 = 0.15;
const SLOT: f64 = 0.6;
const SANDING: f64 = 0.1;

/// The shop in mm and radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct ShopValues {
    pub clearance: f64,
    pub dowel: f64,
    pub slip: f64,
    pub slot: f64,
    pub sanding: f64,
    /// Tip radius of the finishing cutter; 0 for a flat one.
    pub tip: f64,
    /// Taper of the finishing cutter per side.
    pub taper: f64,
    /// Diameter of the thinnest cutter for holes; 0 when there is none.
    pub hole_cutter: f64,
    /// Thickness of the thickest board; 0 when there is none.
    pub stock: f64,
}

impl ShopValues {
    /// Reads the shop. A shop as read has a finishing cutter; without one, a straight flat one.
    pub fn of(shop: &Shop) -> Self {
        let fits = shop.fits.as_ref().map(|fits| &fits.value);
        let fit = |key: Option<&Option<Located<Length>>>, usual: f64| {
            key.and_then(|k| k.as_ref()).map_or(usual, |k| k.value.mm())
        };
        let finish = cutters(shop, Job::Finish).next();
        let ball = finish.filter(|c| c.kind.value == CutterKind::Ball);
        Self {
            clearance: fit(fits.map(|f| &f.clearance), CLEARANCE),
            dowel: fit(fits.map(|f| &f.dowel), DOWEL),
            slip: fit(fits.map(|f| &f.slip), SLIP),
            slot: fit(fits.map(|f| &f.slot), SLOT),
            sanding: fit(fits.map(|f| &f.sanding), SANDING),
            tip: ball.map_or(0.0, |c| 0.5 * diameter(c)),
            taper: finish
                .and_then(|c| c.taper.as_ref())
                .map_or(0.0, |t| t.value.per_side.radians()),
            hole_cutter: cutters(shop, Job::Holes)
                .map(diameter)
                .reduce(f64::min)
                .unwrap_or(0.0),
            stock: shop
                .stock
                .value
                .iter()
                .map(|s| s.value.thickness.value.mm())
                .fold(0.0, f64::max),
        }
    }
}

fn cutters(shop: &Shop, job: Job) -> impl Iterator<Item = &Cutter> {
    let does = move |c: &&Cutter| c.jobs.value.iter().any(|j| j.value == job);
    shop.cutters.value.iter().map(|c| &c.value).filter(does)
}

/// Diameter, as measured if it was.
fn diameter(cutter: &Cutter) -> f64 {
    let sold = match cutter.kind.value {
        CutterKind::Ball => &cutter.tip_diameter,
        CutterKind::Flat => &cutter.diameter,
    };
    let known = cutter.measured.as_ref().or(sold.as_ref());
    known.map_or(0.0, |d| d.value.mm())
}
