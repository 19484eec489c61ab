//! What a coupon showed of a shop: how sizes come out, and which gaps fit.

use super::joint::budget::Feel;
use crate::params::Located;
use crate::params::written::Shop;
use crate::units::Length;

/// A hole or gap is one that was found to fit within this, mm (half a step of the coupon's holes,
/// which is less than calipers tell in a hole).
const AS_FOUND: f64 = 0.025;

/// What comes out larger than drawn, and what fits; all in mm, nothing where nothing was measured.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Measured {
    /// By how much balls come out larger, on the diameter.
    pub ball: Option<f64>,
    /// By how much sockets come out larger, on the diameter.
    pub socket: Option<f64>,
    /// By how much pin holes come out larger, on the diameter.
    pub hole: Option<f64>,
    /// By how much halves come out higher.
    pub height: Option<f64>,
    /// How much wider than the dowel a hole is that takes it by hand, on the diameter.
    pub slip: Option<f64>,
    /// Radial gaps that were found stiff, easy and loose.
    pub gaps: [Option<f64>; 3],
}

impl Measured {
    /// As it stands in the shop file.
    #[must_use]
    pub fn of(shop: &Shop) -> Self {
        let Some(m) = shop.measured.as_ref().map(|m| &m.value) else {
            return Self::default();
        };
        let mm = |key: &Option<Located<Length>>| key.as_ref().map(|k| k.value.mm());
        Measured {
            ball: mm(&m.ball),
            socket: mm(&m.socket),
            hole: mm(&m.hole),
            height: mm(&m.height),
            slip: mm(&m.slip),
            gaps: [mm(&m.stiff), mm(&m.easy), mm(&m.loose)],
        }
    }

    /// Whether there is anything.
    #[must_use]
    pub fn any(&self) -> bool {
        *self != Self::default()
    }

    /// The gap of joints that say nothing: easy, else stiff, else loose.
    #[must_use]
    pub fn usual_gap(&self) -> Option<f64> {
        let [stiff, easy, loose] = self.gaps;
        easy.or(stiff).or(loose)
    }

    /// The gap for a feel: the one that was found; else the nearest feel's, and the difference of
    /// what the two leave of the clearance.
    #[must_use]
    pub fn gap(&self, feel: Feel) -> Option<f64> {
        let near = match feel {
            Feel::Stiff => [Feel::Stiff, Feel::Easy, Feel::Loose],
            Feel::Easy => [Feel::Easy, Feel::Stiff, Feel::Loose],
            Feel::Loose => [Feel::Loose, Feel::Easy, Feel::Stiff],
        };
        let known = |f: Feel| self.gaps[f as usize].map(|gap| gap + feel.left() - f.left());
        near.into_iter().find_map(known)
    }

    /// Whether a gap lies among those that were found to fit.
    #[must_use]
    pub fn fits(&self, gap: f64) -> bool {
        let found = || self.gaps.iter().flatten().copied();
        let (least, most) = (
            found().fold(f64::INFINITY, f64::min),
            found().fold(f64::NEG_INFINITY, f64::max),
        );
        (least - AS_FOUND..=most + AS_FOUND).contains(&gap)
    }

    /// Whether a hole that is wider than its dowel by `slip`, mm, is the one that was found.
    #[must_use]
    pub fn takes(&self, slip: f64) -> bool {
        self.slip.is_some_and(|s| (s - slip).abs() <= AS_FOUND)
    }

    /// Diameter of a hole as it comes out, of one drawn with this radius, mm.
    #[must_use]
    pub fn made_hole(&self, radius: f64) -> f64 {
        2.0 * radius + self.hole.unwrap_or(0.0)
    }
}
