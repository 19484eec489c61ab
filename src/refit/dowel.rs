//! Dowel rods that are sold, for pins that fit a smaller or larger creature.

use crate::units::MM_PER_INCH;

/// Diameters in mm. From 5 mm: fluted wooden dowels of DIN 68150-1 (from memory); 3 and 4 mm: thin
/// rod of shops for models (common practice, no source).
pub const METRIC: [f64; 7] = [3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0];

/// Diameters in sixteenths of an inch: birch rod of North American shops (common practice, no
/// source).
pub const SIXTEENTHS: [u8; 7] = [2, 3, 4, 5, 6, 7, 8];

/// All standard diameters, mm, thickest first, of the system that `like` belongs to: a whole number
/// of millimetres is metric, anything else inch.
pub fn standard(like: f64) -> Vec<f64> {
    let metric = (like - like.round()).abs() < 1e-6;
    let mut all: Vec<f64> = if metric {
        METRIC.to_vec()
    } else {
        let inch = |n: u8| f64::from(n) / 16.0 * MM_PER_INCH;
        SIXTEENTHS.into_iter().map(inch).collect()
    };
    all.reverse();
    all
}

/// Diameters to try, best first: `now`, the thinner standard ones, then the other system's.
pub fn candidates(now: f64) -> Vec<f64> {
    let thinner = |d: &f64| *d < now - 1e-6;
    let mut all = vec![now];
    all.extend(standard(now).into_iter().filter(thinner));
    all
}
