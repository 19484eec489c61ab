//! Pictures of a creature, of one part, or of a piece of stock.

use rayon::prelude::*;

use super::bend::{Bend, motions};
use super::blanks::lay_out;
use super::look::coarse;
use super::parts::{PartPlan, parts};
use super::work::Work;
use super::{Bodies, Settings, refused};
use crate::brep::pose::Pose;
use crate::chain::Resolved;
use crate::check::wall::{self, Thickness};
use crate::diagnostic::{Diagnostics, Place};
use crate::export::manifest::Side as Named;
use crate::mesh::tessellate;
use crate::picture::{Picture, Piece, Size, View, Wood, picture};
use nalgebra::{Matrix4, Vector3};

/// What is drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Drawn {
    /// The creature.
    Creature {
        /// How it is bent.
        bend: Option<Bend>,
        /// How far its halves are pulled apart, 0 to 1: at 1 every half is clear of its neighbour.
        apart: f64,
    },
    /// One part by its name.
    Part {
        /// Its name, as in the manifest; the start of it is enough where no other begins so.
        name: String,
        /// Seen from its inside.
        inside: bool,
    },
    /// A piece of stock by its number from 1.
    Blank {
        /// Number.
        number: usize,
        /// As the first set-up has it.
        inside: bool,
    },
}

/// Why there is no picture.
#[derive(Debug)]
pub enum DrawnError {
    /// The design was refused.
    Design(Diagnostics),
    /// No part has this name; names that there are.
    NoPart(Vec<String>),
    /// There are only so many pieces of stock.
    NoBlank(usize),
}

impl From<Diagnostics> for DrawnError {
    fn from(faults: Diagnostics) -> Self {
        DrawnError::Design(faults)
    }
}

/// How far halves are apart when all is open, in heights of the highest half: whole sockets show (by
/// eye).
const OPEN: f64 = 1.1;

/// Draws; with `walls` in the colours of the thickness of the wood, which a piece of stock has none of.
/// The deviation of `settings` does not matter.
///
/// # Errors
/// See [`DrawnError`].
pub fn drawn(
    resolved: &Resolved,
    settings: &Settings,
    drawn: &Drawn,
    walls: bool,
    (view, size): (&View, Size),
) -> Result<Picture, DrawnError> {
    let settings = coarse(resolved, settings);
    match drawn {
        Drawn::Blank { number, inside } => {
            blank(resolved, &settings, (*number, *inside), (view, size))
        }
        Drawn::Creature { bend, apart } => {
            let plans = parts(resolved, &settings);
            let placed = creature(resolved, &plans, bend.as_ref());
            let work = Work::new(resolved, &settings, &plans, &|_, _| {});
            let bodies = work.all_built()?;
            let tall = bodies.iter().map(|b| b.finished.mesh.bounds().1[2]);
            let out = apart * OPEN * tall.fold(0.0, f64::max);
            let all = placed.map(|(plan, motion)| {
                let away = if plan.named == Named::Whole { 0.0 } else { out };
                let away = Matrix4::new_translation(&Vector3::new(0.0, 0.0, away));
                (plan, motion * matrix(plan.placement) * away)
            });
            Ok(work.drawn(&bodies, &all.collect::<Vec<_>>(), walls, (view, size)))
        }
        Drawn::Part { name, inside } => {
            let plans = parts(resolved, &settings);
            let one = [named(&plans, name)?.clone()];
            let work = Work::new(resolved, &settings, &one, &|_, _| {});
            let turned = Pose {
                quarters: if *inside { 2 } else { 0 },
                ..Pose::NONE
            };
            let all = [(&one[0], matrix(turned))];
            Ok(work.drawn(&work.all_built()?, &all, walls, (view, size)))
        }
    }
}

fn matrix(pose: Pose) -> Matrix4<f64> {
    let rows = pose.matrix();
    Matrix4::from_fn(|r, c| rows[r][c])
}

/// Parts with the motion of their sections.
fn creature<'a>(
    resolved: &Resolved,
    plans: &'a [PartPlan],
    bend: Option<&Bend>,
) -> impl Iterator<Item = (&'a PartPlan, Matrix4<f64>)> {
    let moved = bend.map(|bend| motions(resolved, bend));
    plans.iter().map(move |plan| {
        let own = moved.as_ref().and_then(|all| all.get(plan.section));
        (plan, own.copied().unwrap_or_else(Matrix4::identity))
    })
}

/// The part of this name, whatever the letter case, or the only one that begins so.
fn named<'a>(plans: &'a [PartPlan], name: &str) -> Result<&'a PartPlan, DrawnError> {
    let wanted = name.to_lowercase();
    let exact = plans.iter().find(|p| p.name.to_lowercase() == wanted);
    let mut begin = plans
        .iter()
        .filter(|p| p.name.to_lowercase().starts_with(&wanted));
    match (exact, begin.next(), begin.next()) {
        (Some(plan), ..) | (None, Some(plan), None) => Ok(plan),
        _ => {
            let names = plans.iter().map(|p| p.name.clone());
            Err(DrawnError::NoPart(names.collect()))
        }
    }
}

impl Work<'_> {
    /// Parts of these bodies, moved.
    fn drawn(
        &self,
        bodies: &[Bodies],
        parts: &[(&PartPlan, Matrix4<f64>)],
        walls: bool,
        (view, size): (&View, Size),
    ) -> Picture {
        let limit = self.resolved.walls.skin;
        let shares: Vec<Option<Vec<f32>>> = bodies
            .par_iter()
            .map(|own| walls.then(|| shares(own, limit)))
            .collect();
        let wood = Wood::of_species(&self.resolved.creature.species);
        let pieces: Vec<Piece> = parts
            .iter()
            .filter_map(|(plan, motion)| {
                let own = self.groups.iter().position(|g| g[0].key == plan.key)?;
                let model = &bodies[own].finished;
                Some(Piece {
                    mesh: &model.mesh,
                    kinds: &model.half.kinds,
                    pose: std::array::from_fn(|r| std::array::from_fn(|c| motion[(r, c)])),
                    wood,
                    shares: shares[own].as_deref(),
                })
            })
            .collect();
        picture(&pieces, view, size)
    }
}

/// Wall at each corner as a share of the most that is told apart.
fn shares(bodies: &Bodies, limit: f64) -> Vec<f32> {
    let model = &bodies.finished;
    let map = Thickness::of(&model.half, &model.mesh, limit).thickness;
    let most = (wall::MOST * limit) as f32;
    map.into_iter().map(|thick| thick / most).collect()
}

fn blank(
    resolved: &Resolved,
    settings: &Settings,
    (number, inside): (usize, bool),
    (view, size): (&View, Size),
) -> Result<Picture, DrawnError> {
    let laid = lay_out(resolved, settings, 1)?;
    let kinds: Vec<_> = laid.blanks.kinds().collect();
    let own = number.checked_sub(1).and_then(|k| kinds.get(k));
    let Some(&(layout, kind)) = own else {
        return Err(DrawnError::NoBlank(kinds.len()));
    };
    let fault = |e: &str| DrawnError::Design(refused::fault(Place::default(), e).into());
    let solid = laid.finished(layout, kind).map_err(|e| fault(&e.0))?;
    let deviation = settings.deviation.min(laid.finest(kind));
    let mesh = tessellate(&solid, deviation).map_err(|e| fault(&e.0))?;
    let turned = Pose {
        quarters: if inside { 2 } else { 0 },
        ..Pose::NONE
    };
    let piece = Piece {
        mesh: &mesh,
        kinds: &solid.kinds,
        pose: turned.matrix(),
        wood: Wood::of_species(&resolved.creature.species),
        shares: None,
    };
    Ok(picture(&[piece], view, size))
}
