//! The mesh as a reader of the file sees it: corners with equal coordinates are one corner.
//!
//! STL stores no shared corners, so equal float32 numbers are all that joins two triangles.
//! After this step no index is out of range and no coordinate of a kept triangle is infinite
//! or NaN; triangles that break that are left out and reported.

use super::exact::{Corners, Point, widen};
use super::finding::{Fault, Finding};

/// No corner yet.
const NONE: u32 = u32::MAX;

/// The welded mesh.
#[derive(Debug, Clone)]
pub(super) struct Welded {
    /// Places of the corners, in the order of first use, -0 written as 0.
    pub(super) corners: Vec<Point>,
    /// Corners of each kept triangle.
    pub(super) triangles: Vec<[u32; 3]>,
    /// Number in the input of each kept triangle.
    pub(super) source: Vec<u32>,
}

impl Welded {
    /// Welds, and adds what keeps a triangle or a corner from being welded to `findings`.
    pub(super) fn new(
        positions: &[[f32; 3]],
        triangles: &[[u32; 3]],
        findings: &mut Vec<Finding>,
    ) -> Welded {
        let mut welder = Welder::new(positions);
        let mut mesh = Welded {
            corners: Vec::new(),
            triangles: Vec::with_capacity(triangles.len()),
            source: Vec::with_capacity(triangles.len()),
        };
        for (number, triangle) in (0u32..).zip(triangles) {
            match welder.usable(triangle) {
                Ok(()) => {
                    let welded = triangle.map(|p| welder.corner(p, number, findings));
                    mesh.triangles.push(welded);
                    mesh.source.push(number);
                }
                Err(fault) => findings.push(Finding::new(fault, [number], None)),
            }
        }
        mesh.corners = welder.corners;
        mesh
    }

    /// Places of a kept triangle's corners.
    pub(super) fn at(&self, triangle: usize) -> Corners {
        self.triangles[triangle].map(|c| self.corners[c as usize])
    }

    /// Place of a corner, widened.
    pub(super) fn place(&self, corner: u32) -> [f64; 3] {
        widen(&self.corners[corner as usize])
    }

    /// Middle between two corners.
    pub(super) fn middle(&self, a: u32, b: u32) -> [f64; 3] {
        let (a, b) = (self.place(a), self.place(b));
        std::array::from_fn(|k| (a[k] + b[k]) / 2.0)
    }

    /// Whether two of the corners are one corner.
    pub(super) fn is_pinched(&self, triangle: usize) -> bool {
        let [a, b, c] = self.triangles[triangle];
        a == b || b == c || c == a
    }
}

/// Corner numbers by place: an open table, at most half full.
struct Welder<'a> {
    positions: &'a [Point],
    /// Corner of each position met so far.
    known: Vec<u32>,
    corners: Vec<Point>,
    /// Bits of each corner as first written, to tell 0 from -0.
    written: Vec<[u32; 3]>,
    slots: Vec<u32>,
}

impl<'a> Welder<'a> {
    fn new(positions: &'a [Point]) -> Welder<'a> {
        let size = (positions.len() * 2).next_power_of_two();
        Welder {
            positions,
            known: vec![NONE; positions.len()],
            corners: Vec::with_capacity(positions.len()),
            written: Vec::with_capacity(positions.len()),
            slots: vec![NONE; size],
        }
    }

    fn usable(&self, triangle: &[u32; 3]) -> Result<(), Fault> {
        for &index in triangle {
            let place = self
                .positions
                .get(index as usize)
                .ok_or(Fault::NoSuchPosition { index })?;
            if !place.iter().all(|x| x.is_finite()) {
                return Err(Fault::NotFinite);
            }
        }
        Ok(())
    }

    /// Corner of a position that exists and is finite.
    fn corner(&mut self, position: u32, triangle: u32, findings: &mut Vec<Finding>) -> u32 {
        let index = position as usize;
        if self.known[index] != NONE {
            return self.known[index];
        }
        // Adding 0 turns -0 into 0 and changes nothing else.
        let place = self.positions[index].map(|x| x + 0.0);
        let bits = self.positions[index].map(f32::to_bits);
        let slot = self.slot(&place);
        if self.slots[slot] == NONE {
            self.slots[slot] = self.corners.len() as u32;
            self.corners.push(place);
            self.written.push(bits);
        }
        let corner = self.slots[slot];
        if self.written[corner as usize] != bits {
            let place = Some(widen(&place));
            findings.push(Finding::new(Fault::SignedZero, [triangle], place));
        }
        self.known[index] = corner;
        corner
    }

    /// Slot that holds the place, or the empty slot where it belongs.
    fn slot(&self, place: &Point) -> usize {
        let mask = self.slots.len() - 1;
        let mut slot = hash(place) as usize & mask;
        while self.slots[slot] != NONE && self.corners[self.slots[slot] as usize] != *place {
            slot = (slot + 1) & mask;
        }
        slot
    }
}

/// Spreads the bits of a place over a word. The multipliers are odd numbers without a pattern
/// (fractions of the golden ratio and of the roots of 2 and 3); they decide speed only.
fn hash(place: &Point) -> u64 {
    let [x, y, z] = place.map(|c| u64::from(c.to_bits()));
    let mixed = x.wrapping_mul(0x9e37_79b9_7f4a_7c15)
        ^ y.wrapping_mul(0x6a09_e667_f3bc_c909)
        ^ z.wrapping_mul(0xbb67_ae85_84ca_a73b);
    let mixed = (mixed ^ (mixed >> 32)).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    mixed >> 20
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_bits_are_one_corner_and_the_next_number_is_another() {
        let next = f32::from_bits(1f32.to_bits() + 1);
        let positions = [
            [1.0, 0.0, 0.0],
            [0.0, 1.0, 0.0],
            [0.0, 0.0, 1.0],
            [1.0, 0.0, 0.0],
            [next, 0.0, 0.0],
        ];
        let mut findings = Vec::new();
        let mesh = Welded::new(
            &positions,
            &[[0, 1, 2], [3, 1, 2], [4, 1, 2]],
            &mut findings,
        );
        assert_eq!(mesh.triangles, [[0, 1, 2], [0, 1, 2], [3, 1, 2]]);
        assert!(findings.is_empty());
    }

    #[test]
    fn corners_that_cannot_be_used_are_named() {
        let positions = [[0.0; 3], [1.0, 0.0, 0.0], [0.0, f32::NAN, 0.0], [-0.0; 3]];
        let mut findings = Vec::new();
        let mesh = Welded::new(
            &positions,
            &[[0, 1, 9], [0, 1, 2], [0, 1, 3]],
            &mut findings,
        );
        let faults: Vec<_> = findings.iter().map(|f| f.fault).collect();
        let expected = [
            Fault::NoSuchPosition { index: 9 },
            Fault::NotFinite,
            Fault::SignedZero,
        ];
        assert_eq!(faults, expected);
        assert_eq!(mesh.source, [2]);
        assert!(mesh.is_pinched(0));
    }

    #[test]
    fn a_position_that_no_triangle_uses_is_not_written_and_not_looked_at() {
        let positions = [[0.0; 3], [1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [f32::NAN; 3]];
        let mut findings = Vec::new();
        let mesh = Welded::new(&positions, &[[0, 1, 2]], &mut findings);
        assert_eq!((mesh.corners.len(), findings.len()), (3, 0));
    }
}
