//! Woods: density, thinnest walls, thinnest neck.

/// A wood of the table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wood {
    /// Name as written in a design file.
    pub name: &'static str,
    /// Density at 12 % moisture, kg/m3.
    pub density: f64,
    /// Bending strength along the grain at 12 % moisture, MPa.
    pub bending: f64,
    /// Thinnest walls.
    pub walls: Walls,
    /// Large pores in rings: splinters on a ball.
    pub ring_porous: bool,
}

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

const HARD: Walls = walls(3.0, 2.5, 3.0);
const MIDDLE: Walls = walls(3.5, 3.0, 3.5);
const POPLAR: Walls = walls(4.0, 3.0, 4.0);
const SOFT: Walls = walls(5.0, 3.5, 5.0);

const fn walls(skin: f64, pin_floor: f64, land: f64) -> Walls {
    Walls {
        skin,
        pin_floor,
        land,
    }
}

/// The woods. Density is 1.12 x 1000 x the specific gravity of Table 5-3a of the Wood Handbook
/// (FPL-GTR-190, chapter 5), which rests on volume at 12 %; some rows as other pages quote them.
/// Bending strength of the same table, from memory; red maple, paper birch and sugar pine
/// likewise. Walls of woods without a figure of their own are those of cherry (hard) or pine.
pub const WOODS: [Wood; 15] = [
    wood("hard maple", 0.63, 109.0, HARD, false),
    wood("soft maple", 0.54, 92.0, MIDDLE, false),
    wood("beech", 0.64, 103.0, HARD, false),
    wood("yellow birch", 0.62, 114.0, HARD, false),
    wood("paper birch", 0.55, 85.0, HARD, false),
    wood("cherry", 0.50, 85.0, MIDDLE, false),
    wood("walnut", 0.55, 101.0, MIDDLE, false),
    wood("red oak", 0.63, 99.0, MIDDLE, true),
    wood("white oak", 0.68, 105.0, MIDDLE, true),
    wood("yellow-poplar", 0.42, 70.0, POPLAR, false),
    wood("basswood", 0.37, 60.0, SOFT, false),
    wood("white ash", 0.60, 103.0, MIDDLE, true),
    wood("white pine", 0.35, 59.0, SOFT, false),
    wood("ponderosa pine", 0.40, 65.0, SOFT, false),
    wood("sugar pine", 0.36, 57.0, SOFT, false),
];

const fn wood(name: &'static str, gravity: f64, bending: f64, walls: Walls, ring_porous: bool) -> Wood {
    Wood {
        name,
        density: gravity * 1.12 * 1000.0,
        bending,
        walls,
        ring_porous,
    }
}

impl Wood {
    /// The wood of that name, whatever the letter case.
    #[must_use]
    pub fn named(name: &str) -> Option<&'static Wood> {
        let name = name.trim().to_lowercase();
        WOODS.iter().find(|wood| wood.name == name)
    }

    /// The wood of a design that names none: hard maple.
    #[must_use]
    pub fn usual() -> &'static Wood {
        &WOODS[0]
    }

    /// Thinnest neck diameter, mm, that stands prying at the stop twice over: bending stress
    /// 32 M / (pi d^3) (beam formula) under M = 1.8 N m (from memory: 45 N at 40 mm); never
    /// under 1/4 in (common practice).
    #[must_use]
    pub fn least_neck(&self) -> f64 {
        const PRYING: f64 = 1800.0;
        const FACTOR: f64 = 2.0;
        (32.0 * PRYING * FACTOR / (std::f64::consts::PI * self.bending))
            .cbrt()
            .max(6.35)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Densities: specific gravity of the handbook's table x 1.12 (sugar maple 705.6, cherry
    /// 560, basswood 414.4). Necks: worked by hand from the beam formula.
    #[test]
    fn table() {
        let density = |name| Wood::named(name).unwrap().density;
        for (name, wanted) in [("Hard Maple", 705.6), ("cherry", 560.0), (" basswood", 414.4)] {
            assert!((density(name) - wanted).abs() < 1e-9, "{name}");
        }
        for (name, wanted) in [("cherry", 7.6), ("yellow-poplar", 8.1), ("white pine", 8.5)] {
            let neck = Wood::named(name).unwrap().least_neck();
            assert!((neck - wanted).abs() < 0.06, "{name}: {neck}");
        }
        assert!(Wood::named("plywood").is_none());
        assert!(WOODS.iter().all(|w| w.name == w.name.to_lowercase()));
        assert!(WOODS.iter().all(|w| w.walls.skin >= 2.5 && w.least_neck() >= 6.35));
    }
}
