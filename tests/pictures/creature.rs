//! A design as pieces, through the crate's public functions.

use std::collections::BTreeMap;
use std::path::Path;
use std::sync::Arc;

use limberwood::chain::{Resolved, resolve};
use limberwood::make::{Model, PartPlan, Settings, bodies, parts, whole};
use limberwood::params::read_files;
use limberwood::picture::{Piece, Wood};
use limberwood::units::Unit;

/// Deviation of the meshes, mm.
const DEVIATION: f64 = 0.03;

/// A creature, built.
pub struct Creature {
    resolved: Resolved,
    parts: Vec<(PartPlan, Arc<Model>)>,
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
                let model = Arc::clone(model);
                (plan, model)
            })
            .collect();
        Creature { resolved, parts }
    }

    /// Number of sections.
    pub fn sections(&self) -> usize {
        self.resolved.creature.sections.len()
    }

    /// Corners of the parts in the straight creature, with their sections.
    pub fn placed(&self) -> Vec<(usize, Vec<[f64; 3]>)> {
        let of = |(plan, model): &(PartPlan, Arc<Model>)| {
            let corners = model.mesh.positions.iter();
            let placed = corners.map(|&p| plan.placement.apply(p)).collect();
            (plan.section, placed)
        };
        self.parts.iter().map(of).collect()
    }

    /// The pieces, each of the wood told by section and part.
    pub fn pieces(&self, wood: impl Fn(usize, &PartPlan) -> Wood) -> Vec<Piece<'_>> {
        self.parts
            .iter()
            .map(|(plan, model)| Piece {
                mesh: &model.mesh,
                kinds: &model.half.kinds,
                pose: plan.placement.matrix(),
                wood: wood(plan.section, plan),
                shares: None,
            })
            .collect()
    }
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
