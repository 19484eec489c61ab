//! Cutters as the machine holds them, and the wood and air round a part.

use super::cutter::Profile;

/// A cutter with what is over its edges. Lengths in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tool {
    /// Form of the cutting edges.
    pub profile: Profile,
    /// Taper of the sides over a flat end, radians; a ball's is in its profile. Maps leave it out.
    pub flat_taper: f64,
    /// Length of the cutting edges from the tip up.
    pub cutting_length: f64,
    /// Radius of the shank above them.
    pub shank_radius: f64,
    /// The holder, when it is known: its radius and how far over the tip it begins.
    pub holder: Option<Holder>,
}

/// What holds a cutter. Lengths in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Holder {
    /// Radius.
    pub radius: f64,
    /// Height of its lower end over the tip.
    pub over_tip: f64,
}

/// What lies round a part in one set-up, heights over the split plane as the cutter sees them
/// (with the inside up, what lies over the part's outer side is below 0). Lengths in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surroundings {
    /// Width of the window round the part in plan.
    pub window: f64,
    /// Height up to which wood stands in the window: -relief where the groove was cut from the
    /// other side; very low where the cutter may cut into the surround at will.
    pub floor: f64,
    /// Height of the wood beyond the window.
    pub stock_top: f64,
}

impl Tool {
    /// Taper per side, radians.
    pub fn taper(&self) -> f64 {
        self.profile.taper().max(self.flat_taper)
    }

    /// How wide the edges are, as a radius, up to a height over the tip; a ball not yet sunk to
    /// its middle counts as wide as it gets.
    pub fn widest_to(&self, height: f64) -> f64 {
        let straight = self.profile.radius_at(height.max(self.profile.tip()));
        straight + height * self.flat_taper.tan()
    }
}

impl Profile {
    /// Radius of the round end that touches a wall's foot: the tip of a ball, 0 of a flat end.
    pub fn tip(&self) -> f64 {
        match *self {
            Profile::Flat { .. } => 0.0,
            Profile::Ball { tip, .. } => tip,
        }
    }

    /// Half-angle of the cone over the tip, radians.
    pub fn taper(&self) -> f64 {
        match *self {
            Profile::Flat { .. } => 0.0,
            Profile::Ball { taper, .. } => taper,
        }
    }

    /// Radius at a height over the tip, mm (fact 3.6: sqrt(2 r z - z^2) on the tip's sphere, then
    /// r / cos a + (z - r) tan a).
    pub fn radius_at(&self, z: f64) -> f64 {
        match *self {
            Profile::Flat { radius } => radius,
            Profile::Ball { tip, taper, .. } => {
                if z <= tip * (1.0 - taper.sin()) {
                    (z * (2.0 * tip - z)).max(0.0).sqrt()
                } else {
                    tip / taper.cos() + (z - tip) * taper.tan()
                }
            }
        }
    }

    /// The cutter with `by` (mm, less than the tip's or end's radius) taken off all round. Its own
    /// tip is `by` higher when the two share their axis and the sphere's centre.
    pub(super) fn shrunk(&self, by: f64) -> Profile {
        match *self {
            Profile::Flat { radius } => Profile::Flat {
                radius: (radius - by).max(0.0),
            },
            Profile::Ball { tip, taper, reach } => Profile::Ball {
                tip: (tip - by).max(0.0),
                taper,
                reach,
            },
        }
    }

    /// Distance from the cutter's body, mm, of a place `r` from its axis and `z` over its tip;
    /// negative inside, as far as the nearest surface.
    pub(super) fn distance(&self, r: f64, z: f64) -> f64 {
        match *self {
            Profile::Flat { radius } => {
                let (out, under) = (r - radius, -z);
                if out > 0.0 && under > 0.0 {
                    out.hypot(under)
                } else {
                    out.max(under)
                }
            }
            Profile::Ball { tip, taper, .. } => {
                let up = z - tip;
                let (sin, cos) = taper.sin_cos();
                // The cone begins where its normal through the sphere's centre meets it.
                if up * cos + r * sin > 0.0 {
                    r * cos - up * sin - tip
                } else {
                    r.hypot(up) - tip
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn tapered(tip: f64, degrees: f64) -> Profile {
        Profile::Ball {
            tip,
            taper: degrees.to_radians(),
            reach: 30.0,
        }
    }

    #[test]
    fn radii_by_worked_values() {
        // Fact 3.6.
        for (tip, degrees, z, rho) in [
            (0.79375, 5.0, 5.0, 1.16478),
            (0.79375, 5.0, 19.05, 2.39400),
            (1.5875, 5.0, 10.0, 2.32956),
            (0.79375, 3.0, 10.0, 1.27732),
        ] {
            let found = tapered(tip, degrees).radius_at(z);
            assert!((found - rho).abs() < 1e-5, "{found} {rho}");
        }
    }

    #[test]
    fn surface_points_have_no_distance() {
        for cutter in [
            tapered(1.5875, 5.0),
            tapered(1.5875, 0.0),
            Profile::Flat { radius: 2.0 },
        ] {
            for z in [0.1, 0.7, 1.4, 1.6, 5.0, 12.0] {
                let r = cutter.radius_at(z);
                assert!(cutter.distance(r, z).abs() < 1e-9, "{cutter:?} {z}");
                assert!(cutter.distance(r + 0.1, z) > 0.0);
                // A shrunk cutter, its tip by so much higher, is as far inside.
                if cutter.tip() > 0.0 {
                    let inner = cutter.shrunk(0.05).distance(r, z - 0.05);
                    assert!((inner - 0.05).abs() < 1e-9, "{inner}");
                }
            }
        }
    }
}
