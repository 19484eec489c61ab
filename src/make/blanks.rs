//! From the resolved creature to pieces of stock with its parts laid out, as exact solids.

use rayon::prelude::*;

use super::Settings;
use super::blank_words::words;
use super::measures::{Known, Measures};
use super::model::measured_solid;
use super::parts::{PartPlan, parts};
use super::refused::Refused;
use super::states::Roughed;
use crate::blank::{self, BallPlace, Blanks, Kind, Layout, Part, Placed, window};
use crate::brep::blank::{Inlay, Through, finished};
use crate::brep::pose::Pose;
use crate::brep::shape::Half;
use crate::brep::{NotClosed, build_form, sew};
use crate::chain::{End, EndJoint, FormKey, HalfForm, Resolved, SKIN_OF_STOCK, SectionForm, Side};
use crate::diagnostic::{Diagnostic, Diagnostics};
use crate::export::drawing::Lying;
use crate::skin::plan::Corner;

/// A creature laid out.
#[derive(Debug)]
pub struct Laid {
    /// Distinct sections.
    pub parts: Vec<Part>,
    /// Where they lie.
    pub blanks: Blanks,
    bodies: Vec<Bodies>,
}

/// The held bodies of a distinct section, tabs reaching to the windows, and how they lie in the wood.
#[derive(Debug)]
struct Bodies {
    finished: Vec<Half>,
    held: Vec<Half>,
    windows: Vec<Vec<Corner>>,
    roughed: Vec<Roughed>,
    measures: [Measures; 2],
    /// Height of the split plane over the face of the stock, mm.
    up: f64,
    sanding: f64,
    /// Its form with these tabs.
    form: SectionForm,
    /// Coarsest deviation at which its features are meshed apart, mm.
    finest: f64,
}

/// Lays out a number of creatures on the stock of the shop.
///
/// # Errors
/// Why a part was refused, or finds no place on the stock; all of it.
pub fn lay_out(
    resolved: &Resolved,
    settings: &Settings,
    creatures: usize,
) -> Result<Laid, Diagnostics> {
    let plans = parts(resolved, settings);
    let sections = distinct(resolved, &plans);
    let built: Vec<Result<(Part, Bodies), Diagnostics>> = sections
        .par_iter()
        .map(|own| part(resolved, settings, own, &plans))
        .collect();
    let (mut parts, mut bodies, mut faults) = (Vec::new(), Vec::new(), Diagnostics::new());
    for one in built {
        match one {
            Ok((part, own)) => {
                parts.push(part);
                bodies.push(own);
            }
            Err(found) => faults.append(found),
        }
    }
    if faults.has_errors() {
        return Err(faults);
    }
    match blank::lay_out(&parts, &resolved.blank, creatures) {
        Ok(blanks) => Ok(Laid {
            parts,
            blanks,
            bodies,
        }),
        Err(errors) => {
            faults.extend(
                errors
                    .iter()
                    .map(|e| words(e, &parts, &resolved.blank, settings.unit)),
            );
            Err(faults)
        }
    }
}

/// Indices of sections with equal parts and equal allowances together, in the order of their first.
fn distinct(resolved: &Resolved, plans: &[PartPlan]) -> Vec<Vec<usize>> {
    let mut known: Vec<(Vec<FormKey>, f64, Vec<usize>)> = Vec::new();
    for section in 0..resolved.creature.sections.len() {
        let own = plans.iter().filter(|p| p.section == section);
        let keys: Vec<FormKey> = own.map(|p| p.key.clone()).collect();
        if keys.is_empty() {
            continue;
        }
        let sanding = resolved.sources[section].sanding;
        let alike = known
            .iter_mut()
            .find(|(k, s, _)| *k == keys && *s == sanding);
        match alike {
            Some((_, _, sections)) => sections.push(section),
            None => known.push((keys, sanding, vec![section])),
        }
    }
    known.into_iter().map(|(_, _, sections)| sections).collect()
}

/// Window and held bodies of equal sections.
fn part(
    resolved: &Resolved,
    settings: &Settings,
    sections: &[usize],
    plans: &[PartPlan],
) -> Result<(Part, Bodies), Diagnostics> {
    let first = sections[0];
    let (section, source) = (&resolved.creature.sections[first], &resolved.sources[first]);
    let names = plans.iter().filter(|p| p.section == first);
    let names: Vec<String> = names.map(|p| p.name.clone()).collect();
    let said = |found: String| {
        Diagnostics::from(Diagnostic::error(source.place.clone(), found).rule("blank"))
    };
    let refused = |r: Refused| r.diagnostics(&source.place, &names[0], settings.unit);
    let form = &section.form;
    let plain = |side: Side| {
        let built = build_form(&HalfForm::of(form, side));
        built.map_err(|e| refused(e.into()))
    };
    let ((body, skin), (below, under)) = (plain(Side::Upper)?, plain(Side::Lower)?);
    let width = resolved.blank.window;
    let (upper, reaching) = window(form, &body, &skin, width).map_err(|tab| {
        said(format!(
            "{}: tab {} meets no straight run of the window",
            section.name,
            tab + 1
        ))
    })?;
    if reaching.features.tabs.is_empty() {
        return Err(said(format!(
            "{}: no tab holds it in the blank",
            section.name
        )));
    }
    let windows = if form.whole {
        vec![upper]
    } else {
        vec![upper.clone(), upper.mirrored()]
    };
    let (walls, bench) = (&resolved.walls, resolved.creature.bench_only);
    let held = [Side::Upper, Side::Lower]
        .map(|side| measured_solid(&HalfForm::held(&reaching, side), walls, bench));
    let [upper, lower] = held;
    let ((upper, finer), (lower, other)) = (upper.map_err(refused)?, lower.map_err(refused)?);
    let both = |upper: Half, lower: Half| -> Result<Vec<Half>, Diagnostics> {
        if form.whole {
            let sewn = sew(&upper, &lower).map_err(|e| refused(Refused::Fault(e.0)))?;
            return Ok(vec![sewn]);
        }
        Ok(vec![upper, lower])
    };
    let (finished, held) = (both(body, below)?, both(upper, lower)?);
    let sides = [(Side::Upper, &skin), (Side::Lower, &under)];
    let roughed = finished.iter().zip(sides).map(|(body, (side, skin))| {
        let half = HalfForm::held(&reaching, side);
        Roughed::of(resolved, body, (&half, skin), form.whole)
    });
    let roughed = roughed
        .collect::<Result<_, _>>()
        .map_err(|e: NotClosed| refused(Refused::Fault(e.0)))?;
    let part = Part {
        sections: sections.iter().map(|s| s + 1).collect(),
        names,
        balls: balls(form),
        need: source.stock,
        place: source.place.clone(),
        windows,
    };
    let bodies = Bodies {
        finished,
        held,
        windows: part.windows.iter().map(|w| w.outline()).collect(),
        roughed,
        measures: Default::default(),
        up: up(form, source.sanding),
        sanding: if form.whole { 0.0 } else { source.sanding },
        finest: finer.min(other),
        form: reaching,
    };
    Ok((part, bodies))
}

/// The balls of a section, front first.
fn balls(form: &SectionForm) -> Vec<BallPlace> {
    let ends = [(false, &form.front), (true, &form.rear)];
    let at = |(rear, end): (bool, &End)| {
        let EndJoint::Ball(ball) = end.joint else {
            return None;
        };
        let x = if rear {
            form.length + ball.reach
        } else {
            -ball.reach
        };
        Some(BallPlace { rear, x })
    };
    ends.into_iter().filter_map(at).collect()
}

/// Height of the split plane over the face of the stock: the wood that sanding takes away, or all of
/// the lower side of a whole section with a skin under it.
fn up(form: &SectionForm, sanding: f64) -> f64 {
    if !form.whole {
        return sanding;
    }
    let below = form.outline.iter().map(|s| s.below);
    below.fold(0.0, f64::max) + SKIN_OF_STOCK
}

/// The holes of a piece's dowels.
pub(super) fn dowel_holes(layout: &Layout) -> [Through; 2] {
    layout.dowels.map(|d| Through {
        at: d.at,
        radius: 0.5 * d.hole,
    })
}

impl Laid {
    /// The held body of a part with tabs that reach to its window, in its own frame; `side` is 0 for
    /// the upper half or the whole section.
    pub fn held(&self, part: usize, side: usize) -> &Half {
        &self.bodies[part].held[side]
    }

    /// The parts of a piece as drawings show them.
    pub fn lying<'a>(&'a self, kind: &'a Kind) -> Vec<Lying<'a>> {
        kind.placed
            .iter()
            .map(|p| Lying {
                placed: *p,
                finished: &self.bodies[p.part].finished[p.side],
                held: &self.bodies[p.part].held[p.side],
                window: &self.parts[p.part].windows[p.side],
            })
            .collect()
    }

    /// The finished body of a part, in its own frame.
    pub fn body(&self, part: usize, side: usize) -> &Half {
        &self.bodies[part].finished[side]
    }

    /// The form of a part with tabs as long as its window makes them.
    pub fn form(&self, part: usize) -> &SectionForm {
        &self.bodies[part].form
    }

    /// Areas and volumes of a part.
    pub(super) fn known(&self, placed: &Placed) -> &Known {
        let (own, side) = (&self.bodies[placed.part], placed.side);
        own.measures[side].of(&own.finished[side], &own.held[side], own.sanding)
    }

    /// Border of the window round a part, in the part's own frame.
    pub(super) fn border(&self, placed: &Placed) -> &[Corner] {
        &self.bodies[placed.part].windows[placed.side]
    }

    /// What the rough states of a part are made from.
    pub(super) fn roughed(&self, placed: &Placed) -> &Roughed {
        &self.bodies[placed.part].roughed[placed.side]
    }

    /// Height of a part's split plane over the face of the stock, mm.
    pub fn up(&self, part: usize) -> f64 {
        self.bodies[part].up
    }

    /// Wood between a part's split plane and the face of the stock that sanding takes away, mm.
    pub fn sanding(&self, part: usize) -> f64 {
        self.bodies[part].sanding
    }

    /// The coarsest deviation at which the features of a piece are meshed apart, mm.
    pub fn finest(&self, kind: &Kind) -> f64 {
        let own = kind.placed.iter().map(|p| self.bodies[p.part].finest);
        own.fold(f64::INFINITY, f64::min)
    }

    /// A piece of a kind with its parts held by their tabs.
    ///
    /// # Errors
    /// A fault of this program.
    pub fn finished(&self, layout: &Layout, kind: &Kind) -> Result<Half, NotClosed> {
        let inlays: Vec<Inlay<'_>> = kind
            .placed
            .iter()
            .map(|p| {
                let own = &self.bodies[p.part];
                Inlay {
                    body: &own.held[p.side],
                    pose: Pose {
                        about_z: p.turned,
                        shift: [p.at[0], p.at[1], own.up],
                        ..Pose::NONE
                    },
                    window: &own.windows[p.side],
                    sanding: own.sanding,
                }
            })
            .collect();
        let [length, width] = layout.size;
        let size = [length, width, layout.board.thickness];
        finished(size, &inlays, &dowel_holes(layout))
    }
}
