//! What a run made, in a few numbers.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::export::manifest::{Manifest, Side};

/// Sums over the set.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct Totals {
    /// Parts.
    pub parts: usize,
    /// Parts that are whole sections; the others are halves.
    pub whole: usize,
    /// Solids that differ.
    pub distinct: usize,
    /// Sections.
    pub sections: usize,
    /// Triangles in all STL files.
    pub triangles: usize,
    /// Volume of all parts, mm3.
    pub volume_mm3: f64,
    /// Mass of all parts, g.
    pub mass_g: f64,
    /// Largest height of a part: of a half over its split face, mm.
    pub tallest_mm: f64,
    /// Largest measured distance between mesh and true surface, mm.
    pub deviation_mm: f64,
    /// Largest distance of fitted section curves from their superellipses, mm.
    pub skin_misfit_mm: f64,
}

/// A finished set.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Made {
    /// Name of the creature.
    pub creature: String,
    /// Not for cutting.
    pub bench_only: bool,
    /// Sums.
    pub totals: Totals,
}

impl Made {
    /// From the manifest and the number of distinct solids.
    pub fn of(manifest: &Manifest, distinct: usize) -> Made {
        let mut totals = Totals {
            distinct,
            ..Totals::default()
        };
        // Equal parts lie together, so a section's parts need not.
        let sections: BTreeSet<usize> = manifest.parts.iter().map(|p| p.section).collect();
        totals.sections = sections.len();
        for part in &manifest.parts {
            totals.parts += 1;
            totals.whole += usize::from(part.side == Side::Whole);
            totals.triangles += part.triangles;
            totals.volume_mm3 += part.volume_mm3;
            totals.mass_g += part.mass_g;
            let b = &part.bounding_box;
            totals.tallest_mm = totals.tallest_mm.max(b.max[2] - b.min[2]);
            totals.skin_misfit_mm = totals.skin_misfit_mm.max(part.skin_misfit_mm);
            totals.deviation_mm = totals.deviation_mm.max(part.deviation_mm);
        }
        Made {
            creature: manifest.creature.clone(),
            bench_only: manifest.bench_only,
            totals,
        }
    }
}
