//! A design as pieces, through the crate's public functions.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use limberwood::chain::{Resolved, resolve};
use limberwood::make::{Model, PartPlan, Settings, bodies, parts, whole};
use limberwood::params::read_files;
use limberwood::picture::{Piece, Wood};
use limberwood::units::Unit;

type Matrix = [[f64; 4]; 4];

/// Deviation of the meshes, mm.
const DEVIATION: f64 = 0.03;

/// A creature, built.
pub struct Creature {
    resolved: Resolved,
    parts: Vec<(PartPlan, Arc<Model>, Matrix)>,
}

impl Creature {
    /// Reads, resolves and builds a design.
    pub fn read(design: &Path) -> Creature {
        let (design, shop, _) = read_files(design, None).expect("a sound file");
        let resolved = resolve(&design, &shop).expect("a sound creature");
        let settings = Settings::of(&resolved, Unit::Mm);
        let mut made = BTreeMap::new();
        let parts = parts(&resolved, &settings)
            .into_iter()
            .map(|plan| {
                let model = made
                    .entry(plan.key.clone())
                    .or_insert_with(|| Arc::new(built(&resolved, &plan)));
                let (model, pose) = (Arc::clone(model), plan.placement.matrix());
                (plan, model, pose)
            })
            .collect();
        Creature { resolved, parts }
    }

    /// Number of sections.
    pub fn sections(&self) -> usize {
        self.resolved.creature.sections.len()
    }

    /// Its wood as written.
    pub fn species(&self) -> &str {
        &self.resolved.creature.species
    }

    /// Bends every joint sideways by an angle that runs as a wave along the chain, rad at most.
    pub fn bend(&mut self, most: f64) {
        let sections = &self.resolved.creature.sections;
        let count = sections.len() as f64;
        let (mut turn, mut at, mut last) = (0.35 * most * count / 2.0, [0.0, 0.0], 0.0);
        for (index, section) in sections.iter().enumerate() {
            let pivot = if index == 0 { 0.0 } else { section.x };
            at = [
                at[0] + (pivot - last) * turn.cos(),
                at[1] + (pivot - last) * turn.sin(),
            ];
            last = pivot;
            if index > 0 {
                turn -= most * (1.1 * index as f64).cos();
            }
            for (plan, _, pose) in &mut self.parts {
                if plan.section == index {
                    let own = plan.placement.matrix();
                    *pose = turned(&own, turn, pivot, at);
                }
            }
        }
    }

    /// The pieces, each of the wood told by section and part.
    pub fn pieces(&self, wood: impl Fn(usize, &PartPlan) -> Wood) -> Vec<Piece<'_>> {
        self.parts
            .iter()
            .map(|(plan, model, pose)| Piece {
                mesh: &model.mesh,
                kinds: &model.half.kinds,
                pose: *pose,
                wood: wood(plan.section, plan),
            })
            .collect()
    }
}

/// A pose, then turned about the upright axis through (pivot, 0) and put at a place.
fn turned(own: &Matrix, turn: f64, pivot: f64, at: [f64; 2]) -> Matrix {
    let (s, c) = turn.sin_cos();
    let mut moved = *own;
    for k in 0..4 {
        let x = own[0][k] - if k == 3 { pivot } else { 0.0 };
        moved[0][k] = c * x - s * own[1][k];
        moved[1][k] = s * x + c * own[1][k];
    }
    moved[0][3] += at[0];
    moved[1][3] += at[1];
    moved
}

fn built(resolved: &Resolved, plan: &PartPlan) -> Model {
    let section = &resolved.creature.sections[plan.section];
    let walls = &resolved.walls;
    let bodies = if section.form.whole {
        whole(&section.form, DEVIATION, walls, false)
    } else {
        bodies(
            &plan.half(section),
            &plan.held_half(section),
            DEVIATION,
            walls,
            false,
        )
    };
    bodies.expect("a body").finished
}
