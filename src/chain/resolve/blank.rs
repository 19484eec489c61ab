//! How halves are laid out on the pieces of stock of a shop.

use super::shop::{ShopValues, cutters};
use crate::diagnostic::Place;
use crate::params::value::{Job, StationSetUp};
use crate::params::written::{Blank, Shop};
use crate::params::{Located, built_in_shop};
use crate::units::Length;

/// A kind of stock as it lies on the machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Board {
    /// Its name in the shop file.
    pub name: String,
    /// Thickness, mm.
    pub thickness: f64,
    /// Length along the grain and width, mm, if the shop file states them.
    pub size: Option<[f64; 2]>,
    /// Where it is written.
    pub place: Place,
}

/// A place on the machine where a piece of stock lies in one set-up.
#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    /// Its name.
    pub name: String,
    /// The first set-up, with the split faces up.
    pub inside_up: bool,
    /// The axis of the front dowel in machine coordinates, mm.
    pub at: [f64; 2],
    /// Word of its work offset.
    pub offset: &'static str,
    /// Where it is written.
    pub place: Place,
}

/// What a layout keeps to, all in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct BlankRules {
    /// The shop's stock, thinnest first.
    pub boards: Vec<Board>,
    /// Kept free at both ends.
    pub ends: f64,
    /// Kept free along both sides.
    pub sides: f64,
    /// How far clamps stand over the upper face of the stock (built in: common practice, no source).
    pub clamp_height: f64,
    /// Least width of wood between two windows.
    pub web: f64,
    /// Width of the window round a part.
    pub window: f64,
    /// Diameters of the flip dowels near the front and the rear end.
    pub dowels: [f64; 2],
    /// Clearance of a dowel in its hole, on the diameter.
    pub slip: f64,
    /// Thickness of the temporary board under the stock.
    pub base: f64,
    /// Diameter of the cutter that cuts the windows; 0 when the shop has none with the job `rough`.
    pub cutter: f64,
    /// Places on the machine, as written.
    pub stations: Vec<Station>,
    /// What the machine reaches along x and y from 0, if the shop file states it.
    pub travel: Option<[f64; 2]>,
}

impl BlankRules {
    pub(super) fn of(shop: &Shop, values: &ShopValues) -> Self {
        let built_in = built_in_shop();
        let rule = |key: fn(&Blank) -> &Option<Located<Length>>| {
            let written = |shop: &Shop| {
                let rules = shop.blank.as_ref().map(|b| &b.value)?;
                key(rules).as_ref().map(|k| k.value.mm())
            };
            // The built-in shop has every rule (a test holds that).
            written(shop)
                .or_else(|| written(&built_in))
                .unwrap_or_default()
        };
        let cutters = cutters(shop);
        let rough = cutters.iter().filter(|c| c.does(Job::Rough));
        let rough = rough.map(|c| c.radius);
        BlankRules {
            boards: boards(shop),
            ends: rule(|b| &b.ends),
            sides: rule(|b| &b.sides),
            clamp_height: rule(|b| &b.clamp_height),
            web: rule(|b| &b.web),
            window: values.window,
            dowels: [rule(|b| &b.front_dowel), rule(|b| &b.rear_dowel)],
            slip: values.slip,
            base: rule(|b| &b.base),
            cutter: 2.0 * rough.fold(0.0, f64::max),
            stations: stations(shop),
            travel: shop
                .travel
                .as_ref()
                .map(|t| [t.value.x.value.mm(), t.value.y.value.mm()]),
        }
    }
}

fn stations(shop: &Shop) -> Vec<Station> {
    let stations = shop.stations.iter().flat_map(|s| &s.value);
    stations
        .map(|s| Station {
            name: s.value.name.value.0.clone(),
            inside_up: s.value.set_up.value == StationSetUp::InsideUp,
            at: [s.value.x.value.mm(), s.value.y.value.mm()],
            offset: s.value.offset.value.word(),
            place: s.place.clone(),
        })
        .collect()
}

fn boards(shop: &Shop) -> Vec<Board> {
    let stock = shop.stock.value.iter();
    let mut boards: Vec<Board> = stock
        .map(|s| {
            let size = s.value.length.as_ref().zip(s.value.width.as_ref());
            Board {
                name: s.value.name.value.0.clone(),
                thickness: s.value.thickness.value.mm(),
                size: size.map(|(l, w)| [l.value.mm(), w.value.mm()]),
                place: s.place.clone(),
            }
        })
        .collect();
    boards.sort_by(|a, b| a.thickness.total_cmp(&b.thickness));
    boards
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_built_in_shop_has_every_rule() {
        let shop = built_in_shop();
        let rules = BlankRules::of(&shop, &ShopValues::of(&shop));
        assert_eq!((rules.ends, rules.sides, rules.web), (25.0, 15.0, 6.0));
        assert_eq!(rules.clamp_height, 10.0);
        assert_eq!((rules.dowels, rules.base), ([6.35, 7.9375], 12.0));
        assert_eq!((rules.window, rules.cutter), (9.5, 6.35));
        let sizes: Vec<_> = rules.boards.iter().map(|b| b.size).collect();
        assert_eq!(sizes, [Some([400.0, 180.0]); 2]);
    }
}
