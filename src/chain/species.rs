//! Habits of woods: thinnest walls, thinnest neck. Names are those of the table of species.

use super::strengths::{PRYING, SAFETY, Strengths, bent_diameter};
use crate::params::Species;

/// Thinnest walls of a wood, mm (common practice, no source).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Walls {
    /// Between a socket and the outer form, or a pin hole.
    pub skin: f64,
    /// Under a pin hole.
    pub pin_floor: f64,
    /// Ring of wood round a mouth.
    pub land: f64,
}

const fn walls(skin: f64, pin_floor: f64, land: f64) -> Walls {
    Walls {
        skin,
        pin_floor,
        land,
    }
}

impl Walls {
    /// Walls of a wood. Oak and ash, which have no figure of their own, as cherry and walnut.
    #[must_use]
    pub fn of(species: &Species) -> Self {
        match species.name {
            "hard maple" | "beech" | "yellow birch" | "paper birch" => walls(3.0, 2.5, 3.0),
            "yellow-poplar" => walls(4.0, 3.0, 4.0),
            name if name == "basswood" || name.ends_with("pine") => walls(5.0, 3.5, 5.0),
            _ => walls(3.5, 3.0, 3.5),
        }
    }
}

/// Thinnest neck diameter, mm, that stands prying at the stop twice over; never under 1/4 in
/// (common practice).
#[must_use]
pub fn least_neck(species: &Species) -> f64 {
    let allowed = Strengths::of(species.name).bending() / SAFETY;
    bent_diameter(PRYING.0 * PRYING.1, allowed).max(6.35)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::params::{SPECIES, species};

    /// Worked by hand from the beam formula.
    #[test]
    fn necks() {
        for (name, wanted) in [("cherry", 7.6), ("yellow-poplar", 8.1), ("basswood", 8.5)] {
            let neck = least_neck(species(name).unwrap());
            assert!((neck - wanted).abs() < 0.06, "{name}: {neck}");
        }
    }

    #[test]
    fn every_wood_has_its_walls() {
        for wood in &SPECIES {
            let walls = Walls::of(wood);
            assert!(
                walls.skin >= walls.pin_floor && walls.pin_floor >= 2.5,
                "{}",
                wood.name
            );
            assert!((6.35..9.0).contains(&least_neck(wood)), "{}", wood.name);
        }
        assert_eq!(Walls::of(species("eastern white pine").unwrap()).skin, 5.0);
    }
}
