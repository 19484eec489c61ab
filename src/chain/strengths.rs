//! Strength and movement of woods at 12 % moisture: averages of clear, straight-grained wood, no
//! design values.
//!
//! Wood Handbook (USDA Forest Products Laboratory, FPL-GTR-190): bending strength (modulus of
//! rupture), tension across and shear along the grain of Table 5-3a, movement of Table 13-5. Seen
//! on the page itself: both soft pines' strengths but bending, and the movement of most woods. Seen
//! on pages that quote it: tension across the grain, shear of maple, beech, birch, cherry, basswood,
//! ash, white oak, white pine. From memory: all bending strengths, shear of soft maple, walnut, red
//! oak and poplar, movement of poplar and white pine.

/// What the handbook says of a wood; nothing where its table is empty, which is not zero.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strengths {
    /// Name in the table of species.
    pub name: &'static str,
    /// Bending along the grain, MPa.
    pub bending: Option<f64>,
    /// Tension across the grain, MPa.
    pub across: Option<f64>,
    /// Shear along the grain, MPa.
    pub shear: f64,
    /// Tangential movement, as a part of the size for each percent of moisture.
    pub movement: Option<f64>,
}

const fn wood(
    name: &'static str,
    bending: Option<f64>,
    across: Option<f64>,
    shear: f64,
    movement: Option<f64>,
) -> Strengths {
    Strengths {
        name,
        bending,
        across,
        shear,
        movement,
    }
}

/// The table. Tension across the grain of hard (sugar) maple is not tabulated: that of black maple,
/// a hard maple too, stands in.
pub const STRENGTHS: [Strengths; 15] = [
    wood("hard maple", Some(109.0), Some(4.6), 16.1, Some(0.00353)),
    wood("soft maple", Some(92.0), None, 12.8, Some(0.00289)),
    wood("beech", Some(103.0), Some(7.0), 13.9, Some(0.00431)),
    wood("yellow birch", Some(114.0), Some(6.3), 13.0, Some(0.00338)),
    wood("paper birch", Some(85.0), None, 8.3, Some(0.00304)),
    wood("cherry", Some(85.0), Some(3.9), 11.7, Some(0.00248)),
    wood("walnut", Some(101.0), Some(4.8), 9.4, Some(0.00274)),
    wood("red oak", Some(99.0), Some(5.5), 12.3, Some(0.00369)),
    wood("white oak", Some(105.0), Some(5.5), 13.8, Some(0.00365)),
    wood("yellow-poplar", Some(70.0), Some(3.7), 8.2, Some(0.00289)),
    wood("basswood", Some(60.0), Some(2.4), 6.8, Some(0.00330)),
    wood("white ash", Some(103.0), Some(6.5), 13.2, Some(0.00274)),
    wood(
        "eastern white pine",
        Some(59.0),
        Some(2.1),
        6.2,
        Some(0.00212),
    ),
    wood("ponderosa pine", Some(65.0), Some(2.9), 7.8, Some(0.00216)),
    wood("sugar pine", None, Some(2.4), 7.8, None),
];

/// Bending strength that counts for a wood without one: a little under the weakest, MPa (habit).
const WEAKEST: f64 = 57.0;

impl Strengths {
    /// Of the wood of this name; of an unknown one nothing but the least shear is taken as known.
    #[must_use]
    pub fn of(name: &str) -> Strengths {
        let known = STRENGTHS.iter().find(|wood| wood.name == name);
        known
            .copied()
            .unwrap_or(wood("unknown", None, None, 6.2, None))
    }

    /// Bending strength, MPa; of a wood without one a little under the weakest.
    #[must_use]
    pub fn bending(&self) -> f64 {
        self.bending.unwrap_or(WEAKEST)
    }

    /// Tangential movement for each percent of moisture; of a wood without one the greatest.
    #[must_use]
    pub fn movement(&self) -> f64 {
        let known = STRENGTHS.iter().filter_map(|wood| wood.movement);
        self.movement.unwrap_or_else(|| known.fold(0.0, f64::max))
    }
}

/// Prying at the stop of a joint, N and mm (from memory: 45 N at 40 mm).
pub const PRYING: (f64, f64) = (45.0, 40.0);
/// Wanted of every strength: twice the load (habit).
pub const SAFETY: f64 = 2.0;

/// Bending stress in a round bar, MPa, from the moment (N mm) and the diameter (mm):
/// 32 M / (pi d^3) (beam formula).
#[must_use]
pub fn bending_stress(moment: f64, diameter: f64) -> f64 {
    32.0 * moment / (std::f64::consts::PI * diameter.powi(3))
}

/// Diameter, mm, of the round bar that a moment (N mm) bends to this stress (MPa).
#[must_use]
pub fn bent_diameter(moment: f64, stress: f64) -> f64 {
    (32.0 * moment / (std::f64::consts::PI * stress)).cbrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::params::SPECIES;

    #[test]
    fn every_wood_of_the_table_of_species_is_here() {
        for (species, strengths) in SPECIES.iter().zip(&STRENGTHS) {
            assert_eq!(species.name, strengths.name);
        }
    }

    #[test]
    fn what_is_not_tabulated_is_not_zero() {
        for name in ["sugar pine", "no such wood"] {
            let wood = Strengths::of(name);
            assert!(wood.bending() > 50.0 && wood.movement() > 0.004 && wood.shear > 6.0);
        }
        assert_eq!(Strengths::of("soft maple").across, None);
    }

    #[test]
    fn a_bar_bent_by_prying() {
        // Worked by hand: 1.8 N m on 5.9, 8 and 9.5 mm gives 89, 36 and 21 MPa.
        let moment = PRYING.0 * PRYING.1;
        for (diameter, wanted) in [(5.9, 89.0), (8.0, 36.0), (9.5, 21.0)] {
            let stress = bending_stress(moment, diameter);
            assert!((stress - wanted).abs() < 0.9, "{diameter}: {stress}");
            assert!((bent_diameter(moment, stress) - diameter).abs() < 1e-9);
        }
    }
}
