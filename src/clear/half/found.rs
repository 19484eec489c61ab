//! A least distance before it has names.

use nalgebra::Point3;

use super::feature::{Feature, Ligament, Named};
use crate::clear::{Gap, Nearest, PairNearest};

/// A gap, the middle of the wood there, and whether it is proven.
#[derive(Debug, Clone, Copy)]
pub(super) struct Found {
    pub gap: f64,
    pub at: Point3<f64>,
    pub proven: bool,
}

impl Found {
    /// A closed form.
    pub fn exact(gap: f64, a: Point3<f64>, b: Point3<f64>) -> Self {
        Found {
            gap,
            at: nalgebra::center(&a, &b),
            proven: gap.is_finite(),
        }
    }

    /// The smaller of two.
    pub fn least(self, other: Found) -> Found {
        let mut least = if other.gap < self.gap { other } else { self };
        least.proven = self.proven && other.proven;
        least
    }

    /// Of a feature that lies wholly outside, how far out it is.
    pub fn within(mut self, held: bool) -> Found {
        if !held {
            self.gap = -self.gap.abs();
        }
        self
    }

    /// As seen in the mirror y = 0, if so wanted.
    pub fn turned(mut self, turned: bool) -> Found {
        if turned {
            self.at.y = -self.at.y;
        }
        self
    }

    pub fn named(self, a: Feature, b: Feature, numbers: [(&'static str, f64); 2]) -> Ligament {
        Ligament {
            between: (a, b),
            gap: self.gap,
            at: [self.at.x, self.at.y, self.at.z],
            numbers: numbers.map(|(name, value)| Named { name, value }),
            proven: self.proven,
        }
    }
}

impl From<Gap> for Found {
    fn from(gap: Gap) -> Self {
        Found::exact(gap.distance, gap.on_feature, gap.on_face)
    }
}

impl From<Nearest> for Found {
    fn from(near: Nearest) -> Self {
        Found {
            gap: near.distance,
            at: nalgebra::center(&near.on_target, &near.on_feature),
            proven: near.proven,
        }
    }
}

impl From<PairNearest> for Found {
    fn from(near: PairNearest) -> Self {
        Found {
            gap: near.distance,
            at: nalgebra::center(&near.on_a, &near.on_b),
            proven: near.proven,
        }
    }
}
