//! What a design needs of the shop, with the values that stand in for keys left out.

use crate::chain::{Cutter, Measured};
use crate::params::value::{CutterKind, Job};
use crate::params::written::{Fits, Shop};
use crate::params::{Located, built_in_shop};
use crate::units::Length;

/// The shop in mm and radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct ShopValues {
    pub clearance: f64,
    pub dowel: f64,
    pub slip: f64,
    pub slot: f64,
    /// Chamfer at the mouths of pin holes.
    pub chamfer: f64,
    pub sanding: f64,
    /// Depth of the relief groove.
    pub relief: f64,
    /// Width and thickness of a tab.
    pub tab: (f64, f64),
    /// Width of the window round a part.
    pub window: f64,
    /// Tip radius of the finishing cutter; 0 for a flat one.
    pub tip: f64,
    /// Radius of the thinnest relief cutter, which runs round the neck; 0 without one.
    pub relief_tip: f64,
    /// Taper of the finishing cutter per side.
    pub taper: f64,
    /// Diameter of the thinnest cutter for marks, if there is one.
    pub marks_cutter: Option<f64>,
    /// Thickness of the thickest board; 0 when there is none.
    pub stock: f64,
    /// What a coupon showed; it is in the fits above already.
    pub measured: Measured,
}

impl ShopValues {
    /// Reads the shop. A shop as read has a finishing cutter; without one, a straight flat one.
    pub fn of(shop: &Shop) -> Self {
        let built_in = built_in_shop();
        let fit = |key: fn(&Fits) -> &Option<Located<Length>>| {
            let written = |shop: &Shop| {
                let fits = shop.fits.as_ref().map(|f| &f.value)?;
                key(fits).as_ref().map(|k| k.value.mm())
            };
            // The built-in shop has every fit (a test holds that).
            written(shop)
                .or_else(|| written(&built_in))
                .unwrap_or_default()
        };
        let cutters = cutters(shop);
        let with = |job: Job| cutters.iter().filter(move |c| c.does(job));
        let thinnest = |job| with(job).map(|c| 2.0 * c.radius).reduce(f64::min);
        let finish = with(Job::Finish).next();
        let ball = finish.filter(|c| c.kind == CutterKind::Ball);
        let measured = Measured::of(shop);
        Self {
            clearance: measured.usual_gap().unwrap_or(fit(|f| &f.clearance)),
            dowel: fit(|f| &f.dowel),
            slip: measured.slip.unwrap_or(fit(|f| &f.slip)),
            slot: fit(|f| &f.slot),
            chamfer: fit(|f| &f.chamfer),
            sanding: fit(|f| &f.sanding),
            relief: fit(|f| &f.relief),
            tab: (fit(|f| &f.tab_width), fit(|f| &f.tab_thickness)),
            window: fit(|f| &f.window),
            tip: ball.map_or(0.0, |c| c.radius),
            relief_tip: thinnest(Job::Relief).map_or(0.0, |d| 0.5 * d),
            taper: finish.map_or(0.0, |c| c.taper),
            marks_cutter: thinnest(Job::Marks),
            stock: boards(shop).last().copied().unwrap_or(0.0),
            measured,
        }
    }
}

/// Thicknesses of the boards, mm, thinnest first.
pub(super) fn boards(shop: &Shop) -> Vec<f64> {
    let stock = shop.stock.value.iter();
    let mut boards: Vec<f64> = stock.map(|s| s.value.thickness.value.mm()).collect();
    boards.sort_by(f64::total_cmp);
    boards.dedup();
    boards
}

/// The shop's cutters in the order of the file.
pub(super) fn cutters(shop: &Shop) -> Vec<Cutter> {
    let written = shop.cutters.value.iter();
    written.map(|c| Cutter::of(&c.value)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::params::read_shop_str;

    #[test]
    fn the_built_in_shop_has_every_fit() {
        let values = ShopValues::of(&built_in_shop());
        assert_eq!(
            (values.clearance, values.dowel, values.sanding),
            (0.4, 6.35, 0.1)
        );
        assert_eq!((values.slip, values.slot, values.chamfer), (0.15, 0.6, 0.5));
        assert!((values.marks_cutter.unwrap() - 25.4 / 32.0).abs() < 1e-12);
        assert_eq!((values.tip, values.stock), (1.5875, 38.1));
        assert!((values.taper.to_degrees() - 3.0).abs() < 1e-9);
    }

    #[test]
    fn what_was_measured_wins_and_the_rest_is_built_in() {
        let text = "limberwood_shop: 1\nname: Shed\nunits: mm\ncutters:\n  - {name: a, jobs: [finish, holes], \
            kind: ball, tip_diameter: 3, measured: 2.9}\nstock: [{name: b, thickness: 18}]\nfits: {slot: 1}\n";
        // A backslash at a line's end swallows the blanks before the next.
        let (shop, _) = read_shop_str(text, "shed.yaml").unwrap();
        let values = ShopValues::of(&shop);
        assert_eq!((values.tip, values.taper), (1.45, 0.0));
        assert_eq!(
            (values.slot, values.clearance, values.stock),
            (1.0, 0.4, 18.0)
        );
        assert_eq!(values.marks_cutter, None);
    }
}
