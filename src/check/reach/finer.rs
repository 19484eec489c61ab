//! Volumes to tell: finer and finer maps of the place where something is left.

use super::cutter::Profile;
use super::tool::Surroundings;
use super::volume::{Mapped, Scene};
use crate::brep::shape::FaceKind;
use crate::check::plan::plan_box;
use crate::check::view::View;

/// A volume and how sure it is, mm3.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Volume {
    /// Extrapolated from two pitches.
    pub mm3: f64,
    /// How far the two pitches' volumes lie apart: more than the error where the error falls with
    /// the pitch.
    pub error: f64,
}

impl Volume {
    /// From the map of a pitch and that of half of it.
    pub fn of(coarse: f64, fine: f64) -> Volume {
        Volume {
            mm3: (2.0 * fine - coarse).max(0.0),
            error: (fine - coarse).abs(),
        }
    }

    fn is_sure(&self) -> bool {
        self.error <= (ENOUGH * self.mm3).max(NOTHING_MUCH)
    }
}

/// Pitches of the maps, mm, each half of the one before.
const PITCHES: [f64; 5] = [0.4, 0.2, 0.1, 0.05, 0.025];
/// Part of a volume that its two maps may lie apart (habit: three times what is promised of the
/// extrapolated one).
const ENOUGH: f64 = 0.1;
/// Volumes that lie no further apart are sure enough, mm3 (habit).
const NOTHING_MUCH: f64 = 0.05;
/// Cells of a map at most: some 16 MB of heights a cutter, and little work.
const MOST_CELLS: [f64; 2] = [4e6, 2e5];

/// What finer maps are made of.
#[derive(Clone, Copy)]
pub(super) struct Finer<'a> {
    pub view: &'a View,
    pub cutters: &'a [Profile],
    pub around: &'a Surroundings,
}

impl Finer<'_> {
    /// What is left on a kind of face, until it is sure or maps get too large; nothing when the
    /// coarsest are too large already.
    pub fn surely(&self, kind: FaceKind) -> Option<Volume> {
        self.volume(kind, MOST_CELLS[0])
    }

    /// The same with small maps.
    pub fn quickly(&self, kind: FaceKind) -> Option<Volume> {
        self.volume(kind, MOST_CELLS[1])
    }

    fn volume(&self, kind: FaceKind, most_cells: f64) -> Option<Volume> {
        let radii = self.cutters.iter().map(Profile::radius);
        // A cutter that touches the place touches nothing further off; stock that stands in a
        // window whose part is out of sight would have to be nearer.
        let far = 2.0 * radii.fold(0.0, f64::max);
        let window = self.around.window;
        let margin = far + if window < far { window } else { 0.0 };
        let (lo, hi) = self.plan_of(kind, margin);
        let area = (hi[0] - lo[0]) * (hi[1] - lo[1]);
        let mut best: Option<Volume> = None;
        let mut before = None;
        for pitch in PITCHES.into_iter().filter(|p| area <= most_cells * p * p) {
            let scene = Scene::within(self.view, self.around, pitch, (lo, hi));
            let left: Option<Mapped> = scene.left(self.view, self.cutters).remove(&kind);
            let volume = left.map_or(0.0, |m| m.volume);
            if let Some(coarse) = before.replace(volume) {
                let found = Volume::of(coarse, volume);
                best = Some(found);
                if found.is_sure() {
                    break;
                }
            }
        }
        best
    }

    /// Where the faces of a kind that are cut here lie in plan, and so much beside them.
    fn plan_of(&self, kind: FaceKind, margin: f64) -> ([f64; 2], [f64; 2]) {
        let own = |&t: &usize| self.view.own[t] && self.view.kinds[t] == kind;
        let (mut lo, mut hi) = ([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]);
        for triangle in (0..self.view.triangles.len()).filter(own) {
            let (low, high) = plan_box(&self.view.corners(triangle));
            for k in 0..2 {
                lo[k] = lo[k].min(low[k] - margin);
                hi[k] = hi[k].max(high[k] + margin);
            }
        }
        (lo, hi)
    }
}
