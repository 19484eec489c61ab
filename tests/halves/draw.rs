//! Numbers drawn from a case's number: every case can be run again by itself.

/// A stream of numbers (SplitMix64, Steele, Lea and Flood 2014; constants from memory).
pub struct Draw(u64);

impl Draw {
    pub fn of(case: u64) -> Self {
        let mut draw = Draw(case.wrapping_mul(0xA076_1D64_78BD_642F));
        draw.next();
        draw
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Evenly between the two, the second left out.
    pub fn between(&mut self, from: f64, to: f64) -> f64 {
        from + (to - from) * (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    pub fn chance(&mut self, part: f64) -> bool {
        self.between(0.0, 1.0) < part
    }

    /// One of 0..count.
    pub fn pick(&mut self, count: usize) -> usize {
        (self.next() % count as u64) as usize
    }
}
