//! Habits of woods: thinnest walls, thinnest neck. Names are those of the table of species.

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

/// Bending strength along the grain at 12 % moisture, MPa: Table 5-3a of the Wood Handbook
/// (FPL-GTR-190), from memory. A wood that is not in the list counts as the weakest.
fn bending(species: &Species) -> f64 {
    const STRENGTHS: [(&str, f64); 13] = [
        ("hard maple", 109.0),
        ("soft maple", 92.0),
        ("beech", 103.0),
        ("yellow birch", 114.0),
        ("paper birch", 85.0),
        ("cherry", 85.0),
        ("walnut", 101.0),
        ("red oak", 99.0),
        ("white oak", 105.0),
        ("yellow-poplar", 70.0),
        ("basswood", 60.0),
        ("white ash", 103.0),
        ("ponderosa pine", 65.0),
    ];
    const WEAKEST: f64 = 57.0;
    STRENGTHS
        .iter()
        .find(|(name, _)| *name == species.name)
        .map_or(WEAKEST, |(_, strength)| *strength)
}

/// Thinnest neck diameter, mm, that stands prying at the stop twice over: bending stress
/// 32 M / (pi d^3) (beam formula) under M = 1.8 N m (from memory: 45 N at 40 mm); never under
/// 1/4 in (common practice).
#[must_use]
pub fn least_neck(species: &Species) -> f64 {
    const PRYING: f64 = 1800.0;
    const FACTOR: f64 = 2.0;
    (32.0 * PRYING * FACTOR / (std::f64::consts::PI * bending(species)))
        .cbrt()
        .max(6.35)
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
