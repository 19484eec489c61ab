//! Thin dark lines where the picture changes abruptly.

use nalgebra::Vector3;

use super::scene::Facet;

/// What is seen at one sample.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sample {
    /// Index of the facet, [`NOTHING`] for the ground.
    pub facet: u32,
    /// Growing to the eye, mm.
    pub depth: f32,
    /// Normal, not of unit length.
    pub normal: Vector3<f32>,
    /// Share of the colour scale, where the facet has one.
    pub share: f32,
}

/// No facet.
pub(super) const NOTHING: u32 = u32::MAX;

/// How far off the neighbours stand that a sample is held against, samples (by eye: thin lines).
pub(super) const REACH: usize = 1;

/// Darkness of lines by what changes (by eye).
const OUTLINE: f32 = 0.75;
const STEP: f32 = 0.8;
const CREASE: f32 = 0.55;
const SEAM: f32 = 0.30;
/// Cosine of the turn over two samples that makes a crease, 25 degrees (by eye).
const TURN: f32 = 0.906_307_8;

impl Sample {
    /// The ground.
    pub const GROUND: Sample = Sample {
        facet: NOTHING,
        depth: f32::NEG_INFINITY,
        normal: Vector3::new(0.0, 0.0, 0.0),
        share: 0.0,
    };
}

/// Darkness of the line at a sample from its neighbours (left, right, above, below), 0 to 1.
/// `step` is the jump of depth in mm that makes a line. A plane seen askew has no second
/// difference of depth, so it draws none.
pub(super) fn line(own: &Sample, near: [&Sample; 4], facets: &[Facet], step: f32) -> f32 {
    if own.facet == NOTHING {
        return 0.0;
    }
    if near.iter().any(|s| s.facet == NOTHING) {
        return OUTLINE;
    }
    let jump = |a: &Sample, b: &Sample| (a.depth + b.depth - 2.0 * own.depth).abs();
    if jump(near[0], near[1]).max(jump(near[2], near[3])) > step {
        return STEP;
    }
    let piece = |s: &Sample| facets[s.facet as usize].piece;
    let seam = near.iter().any(|s| piece(s) != piece(own));
    let turned = |a: &Sample, b: &Sample| {
        let long = a.normal.norm_squared() * b.normal.norm_squared();
        a.normal.dot(&b.normal) < TURN * long.sqrt()
    };
    let crease = turned(near[0], near[1]) || turned(near[2], near[3]);
    let crease = if crease { CREASE } else { 0.0 };
    crease.max(if seam { SEAM } else { 0.0 })
}
