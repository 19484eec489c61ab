//! The table of species.

/// A wood.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Species {
    /// Name as written in a file (without regard to letter case).
    pub name: &'static str,
    /// Density at 12 % moisture in kg/m3: specific gravity x 1.12 x 1000.
    pub density: f64,
    /// Large pores in rings: such wood splinters on a ball.
    pub ring_porous: bool,
}

const fn wood(name: &'static str, specific_gravity: f64, ring_porous: bool) -> Species {
    Species {
        name,
        density: specific_gravity * 1.12 * 1000.0,
        ring_porous,
    }
}

/// Specific gravity: USDA Forest Products Laboratory, Wood Handbook (FPL-GTR-190), Table 5-3a,
/// oven-dry mass over volume at 12 % moisture. Ring-porous: from memory.
pub const SPECIES: [Species; 15] = [
    wood("hard maple", 0.63, false),
    wood("soft maple", 0.54, false),
    wood("beech", 0.64, false),
    wood("yellow birch", 0.62, false),
    wood("paper birch", 0.55, false),
    wood("cherry", 0.50, false),
    wood("walnut", 0.55, false),
    wood("red oak", 0.63, true),
    wood("white oak", 0.68, true),
    wood("yellow-poplar", 0.42, false),
    wood("basswood", 0.37, false),
    wood("white ash", 0.60, true),
    wood("eastern white pine", 0.35, false),
    wood("ponderosa pine", 0.40, false),
    wood("sugar pine", 0.36, false),
];

/// Names that mean the same wood.
const OTHER_NAMES: [(&str, &str); 9] = [
    ("sugar maple", "hard maple"),
    ("red maple", "soft maple"),
    ("american beech", "beech"),
    ("black cherry", "cherry"),
    ("black walnut", "walnut"),
    ("northern red oak", "red oak"),
    ("yellow poplar", "yellow-poplar"),
    ("poplar", "yellow-poplar"),
    ("ash", "white ash"),
];

/// Finds a wood by its name or another usual name, whatever the letter case.
#[must_use]
pub fn species(name: &str) -> Option<&'static Species> {
    let lower = name.trim().to_lowercase();
    let name = OTHER_NAMES
        .iter()
        .find(|(other, _)| *other == lower)
        .map_or(lower.as_str(), |(_, name)| name);
    SPECIES.iter().find(|species| species.name == name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_woods() {
        // 0.63 x 1.12 x 1000 by hand.
        assert!((species("Hard Maple").unwrap().density - 705.6).abs() < 1e-9);
        assert_eq!(species("black cherry"), species("cherry"));
        assert_eq!(species("plywood"), None);
    }

    #[test]
    fn other_names_lead_to_the_table() {
        for (other, _) in OTHER_NAMES {
            assert!(species(other).is_some(), "{other}");
        }
    }
}
