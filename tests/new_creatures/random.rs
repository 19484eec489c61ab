//! Random choices within the ranges that the program tells.

use super::bench::passes_or_is_refused;
use limberwood::kinds::{Cutters, Frame, KINDS, clearance};
use limberwood::params::{SPECIES, Species};
use limberwood::units::Unit;

/// Numbers of a fixed seed (xorshift, from memory: G. Marsaglia, Xorshift RNGs, 2003).
struct Numbers(u64);

impl Numbers {
    /// From 0 to 1.
    fn part(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn below(&mut self, n: usize) -> usize {
        ((self.part() * n as f64) as usize).min(n - 1)
    }

    fn between(&mut self, from: f64, to: f64) -> f64 {
        from + self.part() * (to - from)
    }
}

/// One case, or as many as LIMBERWOOD_CASES says.
#[test]
fn choices_within_the_ranges_pass_or_are_refused() {
    let cases = std::env::var("LIMBERWOOD_CASES");
    let cases: u32 = cases.ok().and_then(|c| c.parse().ok()).unwrap_or(1);
    let mut numbers = Numbers(0x9e37_79b9_7f4a_7c15);
    let mut passed = 0;
    for _ in 0..cases {
        let kind = KINDS[numbers.below(KINDS.len())];
        let wood: &'static Species = &SPECIES[numbers.below(SPECIES.len())];
        let unit = [Unit::Mm, Unit::Inch][numbers.below(2)];
        let stocks = Frame::stocks(unit, wood, clearance(None));
        // Calipers show hundredths of a millimetre.
        let stock = numbers.between(*stocks.start() + 0.01, *stocks.end() - 0.01);
        let stock = (100.0 * stock).round() / 100.0;
        let sections = kind.least + numbers.below((kind.most - kind.least + 1) as usize) as u32;
        let frame = Frame {
            kind,
            unit,
            stock,
            wood,
            sections,
            clearance: clearance(None),
        };
        let (range, _) = frame.lengths();
        let length = numbers.between(*range.start(), *range.end());
        let typed = |mm: f64| format!("{mm:.2} mm");
        passed += u32::from(passes_or_is_refused(&[
            "--kind",
            kind.name,
            "--unit",
            ["mm", "in"][usize::from(unit == Unit::Inch)],
            "--species",
            wood.name,
            "--stock",
            &typed(stock),
            "--sections",
            &sections.to_string(),
            "--length",
            &typed(length.clamp(*range.start() + 0.01, *range.end() - 0.01)),
            "--cutters",
            Cutters::ALL[numbers.below(3)].word(),
        ]));
    }
    // One case alone may be one that is refused.
    assert!(cases < 4 || 2 * passed >= cases, "{passed} of {cases} pass");
}
