//! Gauss-Legendre quadrature.

use std::sync::OnceLock;

/// Nodes of each rule.
const NODES: usize = 24;

/// Nodes and weights on -1..1, found by Newton's method on the Legendre polynomial with the
/// usual first guess cos(pi (i + 3/4) / (n + 1/2)). Source: Abramowitz and Stegun 25.4.29 for
/// the weights (from memory); a test integrates all powers that the rule must get exactly.
pub(super) fn rule() -> &'static [(f64, f64); NODES] {
    static RULE: OnceLock<[(f64, f64); NODES]> = OnceLock::new();
    RULE.get_or_init(|| {
        std::array::from_fn(|i| {
            let n = NODES as f64;
            let mut x = (std::f64::consts::PI * (i as f64 + 0.75) / (n + 0.5)).cos();
            for _ in 0..8 {
                let (value, slope) = legendre(x);
                x -= value / slope;
            }
            let (_, slope) = legendre(x);
            (x, 2.0 / ((1.0 - x * x) * slope * slope))
        })
    })
}

/// Legendre polynomial of degree [`NODES`] and its derivative.
fn legendre(x: f64) -> (f64, f64) {
    let (mut before, mut here) = (1.0, x);
    for k in 2..=NODES {
        let k = k as f64;
        (before, here) = (here, ((2.0 * k - 1.0) * x * here - (k - 1.0) * before) / k);
    }
    let slope = NODES as f64 * (x * here - before) / (x * x - 1.0);
    (here, slope)
}

/// Calls `visit(t, weight)` at the nodes of from..to; the weights sum to `to - from`.
pub(super) fn over(from: f64, to: f64, mut visit: impl FnMut(f64, f64)) {
    let (middle, half) = (0.5 * (from + to), 0.5 * (to - from));
    for (x, w) in rule() {
        visit(middle + half * x, half * w);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn powers_are_exact() {
        for power in 0..2 * NODES as i32 {
            let mut sum = 0.0;
            over(0.0, 2.0, |t, w| sum += w * (t / 2.0).powi(power));
            let exact = 2.0 / f64::from(power + 1);
            assert!((sum - exact).abs() < 1e-14, "{power}: {sum} {exact}");
        }
    }

    #[test]
    fn one_power_more_is_not() {
        let mut sum = 0.0;
        over(-1.0, 1.0, |t, w| sum += w * t.powi(2 * NODES as i32));
        let exact = 2.0 / (2.0 * NODES as f64 + 1.0);
        assert!((sum - exact).abs() > 1e-16);
    }
}
