//! A distinct part as the page of its creature shows it.

use rayon::prelude::*;

use super::model::{Bodies, Model};
use super::parts::PartPlan;
use super::work::Work;
use crate::brep::set_up::SetUp;
use crate::check::cut_first;
use crate::check::reach::{Depth, Depths};
use crate::check::wall::{self, Thickness};
use crate::diagnostic::Diagnostics;
use crate::export::drawing::{Drawing, Title};
use crate::export::manifest::Side as Named;
use crate::report::{Measures, PackedMesh, left_sign};

/// What the page needs of a distinct part.
#[derive(Debug, Clone)]
pub(super) struct Shown {
    pub mesh: PackedMesh,
    /// Name of each set-up and its drawing as SVG.
    pub set_ups: [(String, String); 2],
    /// Extent of its box, mm.
    pub size: [f64; 3],
    /// mm3.
    pub volume: f64,
}

impl Work<'_> {
    /// All distinct parts; what the cutters leave is measured only when it is `wanted`, else taken from
    /// memory where it is there.
    ///
    /// # Errors
    /// Why a part was refused.
    pub(super) fn all_shown(&self, wanted: bool) -> Result<Vec<Shown>, Diagnostics> {
        let groups = self.groups.par_iter();
        groups.map(|group| self.shown(group, wanted)).collect()
    }

    fn shown(&self, group: &[&PartPlan], wanted: bool) -> Result<Shown, Diagnostics> {
        let plan = group[0];
        let depths = if wanted && !self.stopped() {
            let measure = || self.built(plan).map(|own| self.depths(group, &own));
            Some(self.keep(|k| &k.depths, || self.depths_key(group), measure)?)
        } else {
            self.found(|k| &k.depths, || self.depths_key(group))
        };
        let key = || {
            let known = depths.as_ref().map(|_| self.depths_key(group));
            format!("{} {} {known:?}", self.body_key(plan), plan.name)
        };
        let show = || {
            let bodies = self.built(plan)?;
            Ok(self.show(plan, &bodies, depths.as_ref()))
        };
        self.keep(|k| &k.shown, key, show)
    }

    fn show(&self, plan: &PartPlan, bodies: &Bodies, depths: Option<&[Depths; 2]>) -> Shown {
        let model = &bodies.finished;
        let (low, high) = model.mesh.bounds();
        Shown {
            mesh: packed(model, self.resolved.walls.skin, depths),
            set_ups: self.set_ups(plan, bodies),
            size: [0, 1, 2].map(|k| high[k] - low[k]),
            volume: model.volume,
        }
    }

    fn set_ups(&self, plan: &PartPlan, bodies: &Bodies) -> [(String, String); 2] {
        let whole = plan.named == Named::Whole;
        let title = Title {
            part: plan.name.clone(),
            bench_only: self.resolved.creature.bench_only,
        };
        let held = bodies.held.as_ref().map(|model| &model.half);
        SetUp::BOTH.map(|setup| {
            let drawing = Drawing::of(&bodies.finished.half, held, setup).svg(&title);
            let svg = String::from_utf8_lossy(&drawing).into_owned();
            (setup.word(whole).to_owned(), svg)
        })
    }
}

/// A mesh with its walls and leftover; `limit` is the wall that is thick enough, mm.
fn packed(model: &Model, limit: f64, depths: Option<&[Depths; 2]>) -> PackedMesh {
    let Thickness { thickness, .. } = Thickness::of(&model.half, &model.mesh, limit);
    let left = depths.map(|both| [0, 1].map(|k| signs(&both[k])));
    let measures = Measures {
        first: &cut_first(&model.half, &model.mesh),
        walls: &thickness,
        most: wall::MOST * limit,
        left: left.as_ref().map(|[a, b]| [a.as_slice(), b.as_slice()]),
    };
    PackedMesh::of(&model.mesh, &model.half.kinds, &measures)
}

/// Of a hidden place what stands over it, else what is left.
fn signs(depths: &Depths) -> Vec<u16> {
    let sign = |own: &Depth| {
        let hidden = own.hidden_mm > 0.0;
        let mm = if hidden { own.hidden_mm } else { own.left_mm };
        left_sign(mm, own.over, hidden)
    };
    depths.corners.iter().map(sign).collect()
}
