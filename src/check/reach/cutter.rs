//! Cutters as bodies of revolution about an upright axis.

/// Height of a cutter's surface over its tip, by the distance from the axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Profile {
    /// Flat end of this radius, mm.
    Flat {
        /// Radius.
        radius: f64,
    },
    /// Ball of this tip radius on a cone that opens by `taper` (radians per side; 0 is a straight
    /// ball cutter) up to `reach` over the tip, all that is looked at.
    Ball {
        /// Radius of the tip, mm.
        tip: f64,
        /// Half-angle of the cone.
        taper: f64,
        /// Height over the tip up to which the cutter counts, mm.
        reach: f64,
    },
}

impl Profile {
    /// Largest distance from the axis that counts, mm.
    ///
    /// Tapered ball (fact 3.6): the cone touches the tip's sphere r (1 - sin a) over the tip, where
    /// it is r cos a wide.
    pub fn radius(&self) -> f64 {
        Surface::of(self).radius
    }

    /// Height over the tip at the distance `r` from the axis, mm.
    pub fn height(&self, r: f64) -> f64 {
        Surface::of(self).height(r)
    }
}

/// A profile with all that does not depend on the place, for many places.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Surface {
    /// Largest distance from the axis that counts, mm.
    pub radius: f64,
    /// Radius of the tip's sphere, mm; nothing for a flat end.
    pub tip: Option<f64>,
    /// Sine of the taper.
    pub sin: f64,
    /// Where the cone touches the sphere, mm from the axis.
    pub touch: f64,
    /// How much the cone rises by distance from the axis; infinite when straight.
    pub rise: f64,
}

impl Surface {
    pub fn of(profile: &Profile) -> Surface {
        match *profile {
            Profile::Flat { radius } => Surface {
                radius,
                tip: None,
                sin: 0.0,
                touch: radius,
                rise: f64::INFINITY,
            },
            Profile::Ball { tip, taper, reach } => {
                let (sin, cos) = taper.sin_cos();
                let above = (reach - tip * (1.0 - sin)).max(0.0);
                let straight = taper <= 0.0;
                Surface {
                    radius: if straight {
                        tip
                    } else {
                        tip * cos + above * sin / cos
                    },
                    tip: Some(tip),
                    sin,
                    touch: tip * cos,
                    rise: if straight { f64::INFINITY } else { cos / sin },
                }
            }
        }
    }

    /// Height over the tip at the distance `r` from the axis, mm.
    pub fn height(&self, r: f64) -> f64 {
        let Some(tip) = self.tip else { return 0.0 };
        if r <= self.touch || self.rise.is_infinite() {
            let r = r.min(tip);
            tip - ((tip - r) * (tip + r)).sqrt()
        } else {
            tip * (1.0 - self.sin) + (r - self.touch) * self.rise
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tapered_ball_by_worked_values() {
        // Fact 3.6: r 0.79375, a 5 deg: rho(5) 1.16478, rho(10) 1.60222 (derived there).
        let cutter = Profile::Ball {
            tip: 0.79375,
            taper: 5f64.to_radians(),
            reach: 30.0,
        };
        for (z, rho) in [(5.0, 1.16478), (10.0, 1.60222), (19.05, 2.39400)] {
            assert!(
                (cutter.height(rho) - z).abs() < 2e-4,
                "{}",
                cutter.height(rho)
            );
        }
        assert!((cutter.height(0.79073) - 0.72457).abs() < 2e-4);
        assert!((cutter.height(cutter.radius()) - 30.0).abs() < 1e-9);
    }
}
