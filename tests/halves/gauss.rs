//! Gauss-Legendre rules of these tests' own.

use std::sync::LazyLock;

/// Nodes and weights on -1..1 of the rule with `n` nodes. The nodes are bracketed between those
/// of the rule below (roots of neighbouring Legendre polynomials interlace) and bisected.
fn rule(n: usize) -> Vec<(f64, f64)> {
    let mut roots: Vec<f64> = vec![0.0];
    for degree in 2..=n {
        let mut fence = vec![-1.0];
        fence.extend(&roots);
        fence.push(1.0);
        roots = fence
            .windows(2)
            .map(|f| bisect(degree, f[0], f[1]))
            .collect();
    }
    roots
        .into_iter()
        .map(|x| {
            let below = legendre(n - 1, x);
            // Abramowitz and Stegun 25.4.29 with 22.8.5 (from memory).
            let k = n as f64;
            (x, 2.0 * (1.0 - x * x) / (k * below).powi(2))
        })
        .collect()
}

fn legendre(n: usize, x: f64) -> f64 {
    let (mut a, mut b) = (1.0, x);
    for k in 2..=n {
        let k = k as f64;
        (a, b) = (b, ((2.0 * k - 1.0) * x * b - (k - 1.0) * a) / k);
    }
    if n == 0 { a } else { b }
}

fn bisect(n: usize, mut lo: f64, mut hi: f64) -> f64 {
    let rising = legendre(n, hi) > legendre(n, lo);
    for _ in 0..60 {
        let mid = 0.5 * (lo + hi);
        if (legendre(n, mid) > 0.0) == rising {
            hi = mid;
        } else {
            lo = mid;
        }
    }
    0.5 * (lo + hi)
}

static FIVE: LazyLock<Vec<(f64, f64)>> = LazyLock::new(|| rule(5));
static FIFTEEN: LazyLock<Vec<(f64, f64)>> = LazyLock::new(|| rule(15));

/// Five nodes: exact to degree 9.
pub fn five(from: f64, to: f64, f: impl FnMut(f64) -> f64) -> f64 {
    sum(&FIVE, from, to, f)
}

/// Fifteen nodes: exact to degree 29.
pub fn fifteen(from: f64, to: f64, f: impl FnMut(f64) -> f64) -> f64 {
    sum(&FIFTEEN, from, to, f)
}

fn sum(rule: &[(f64, f64)], from: f64, to: f64, mut f: impl FnMut(f64) -> f64) -> f64 {
    let (middle, half) = (0.5 * (from + to), 0.5 * (to - from));
    rule.iter()
        .map(|(x, w)| half * w * f(middle + half * x))
        .sum()
}

#[test]
fn powers_are_exact_up_to_the_rule_and_not_beyond() {
    let off = |n: i32, got: f64| (got - 1.0 / f64::from(n + 1)).abs();
    for n in 0..=9 {
        assert!(off(n, five(0.0, 1.0, |x| x.powi(n))) < 1e-14, "{n}");
    }
    assert!(off(10, five(0.0, 1.0, |x| x.powi(10))) > 1e-9);
    for n in 0..=29 {
        assert!(off(n, fifteen(0.0, 1.0, |x| x.powi(n))) < 1e-14, "{n}");
    }
}
