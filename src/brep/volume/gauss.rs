//! Gauss-Legendre quadrature.

use std::sync::OnceLock;

/// Nodes of the rule for arcs and trimmed edges.
const NODES: usize = 24;
/// Nodes of the rule within a knot span: exact for the polynomial elements of a bicubic patch
/// (degree 11 in each parameter with the moments), and rounding only for our rational ones, whose
/// weights hardly change within a span (the tests hold both to 1e-9).
const SPAN_NODES: usize = 10;

/// Nodes and weights on -1..1, found by Newton's method on the Legendre polynomial with the
/// usual first guess cos(pi (i + 3/4) / (n + 1/2)). Source: Abramowitz and Stegun 25.4.29 for
/// the weights (from memory); a test integrates all powers that the rule must get exactly.
fn rule<const N: usize>() -> [(f64, f64); N] {
    std::array::from_fn(|i| {
        let mut x = (std::f64::consts::PI * (i as f64 + 0.75) / (N as f64 + 0.5)).cos();
        for _ in 0..8 {
            let (value, slope) = legendre(N, x);
            x -= value / slope;
        }
        let (_, slope) = legendre(N, x);
        (x, 2.0 / ((1.0 - x * x) * slope * slope))
    })
}

/// Legendre polynomial of degree `n` and its derivative.
fn legendre(n: usize, x: f64) -> (f64, f64) {
    let (mut before, mut here) = (1.0, x);
    for k in 2..=n {
        let k = k as f64;
        (before, here) = (here, ((2.0 * k - 1.0) * x * here - (k - 1.0) * before) / k);
    }
    let slope = n as f64 * (x * here - before) / (x * x - 1.0);
    (here, slope)
}

fn visit_all(rule: &[(f64, f64)], from: f64, to: f64, mut visit: impl FnMut(f64, f64)) {
    let (middle, half) = (0.5 * (from + to), 0.5 * (to - from));
    for (x, w) in rule {
        visit(middle + half * x, half * w);
    }
}

/// Calls `visit(t, weight)` at the nodes of from..to; the weights sum to `to - from`.
pub(super) fn over(from: f64, to: f64, visit: impl FnMut(f64, f64)) {
    static RULE: OnceLock<[(f64, f64); NODES]> = OnceLock::new();
    visit_all(RULE.get_or_init(rule), from, to, visit);
}

/// The same within one knot span of a spline.
pub(super) fn over_span(from: f64, to: f64, visit: impl FnMut(f64, f64)) {
    static RULE: OnceLock<[(f64, f64); SPAN_NODES]> = OnceLock::new();
    visit_all(RULE.get_or_init(rule), from, to, visit);
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
    fn powers_are_exact_within_a_span() {
        for power in 0..2 * SPAN_NODES as i32 {
            let mut sum = 0.0;
            over_span(0.0, 2.0, |t, w| sum += w * (t / 2.0).powi(power));
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
