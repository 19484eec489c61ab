//! Pieces of stock between the set-ups: what they need of each part, and the solids.

use truck_modeling::{InnerSpace, Point3};

use super::blanks::{Laid, dowel_holes};
use crate::blank::{self, Cloud, Height, Kind, Layout, Placed, Ray, USUAL_PASS, tab_sides};
use crate::brep::pose::Pose;
use crate::brep::shape::Half;
use crate::brep::states::{Below, Site, State, piece};
use crate::brep::terraces::Terraces;
use crate::brep::volume::volume;
use crate::brep::{NotClosed, openings};
use crate::chain::{HalfForm, Resolved};
use crate::params::value::Job;
use crate::skin::Skin;

/// A relief groove is at least so deep, and its floor keeps so far from the crown of a mouth, mm (as
/// near as features of a half may come).
const LEAST: f64 = crate::clear::half::BUILD_GAP;

/// A piece in a state: its solid, or why there is none.
pub type InState = Result<Half, String>;

/// What a part's rough states are made from.
#[derive(Debug)]
pub(super) struct Roughed {
    cloud: Cloud,
    tabs: Vec<[Ray; 2]>,
    /// Heights of the lowest and the highest tab's end.
    ends: [f64; 2],
    /// Depth of the relief groove, from the split plane; nothing for a section in one piece.
    relief: Option<f64>,
    pass: f64,
    /// Why it is not drawn.
    left_out: Option<String>,
}

impl Roughed {
    /// Of a finished body; `half` is the half with tabs, or the upper half of a section in one piece.
    pub(super) fn of(
        resolved: &Resolved,
        body: &Half,
        (half, skin): (&HalfForm, &Skin),
        whole: bool,
    ) -> Result<Self, NotClosed> {
        let own = &half.features.tabs;
        let ends = own.iter().map(|t| t.to);
        let relief = (!whole).then_some(resolved.relief);
        let rough = resolved.cutters.iter().find(|c| c.does(Job::Rough));
        let lowest = own.iter().map(|t| t.from).fold(f64::INFINITY, f64::min);
        let left_out = match relief {
            None => None,
            Some(deep) if deep < LEAST => {
                Some("the shop cuts no relief groove: `relief` is 0".to_owned())
            }
            Some(deep) if lowest < deep - 1e-9 => {
                Some("a tab begins within the relief groove".to_owned())
            }
            Some(deep) => {
                let radius = |ends: &[Point3; 2]| 0.5 * (ends[1] - ends[0]).magnitude();
                let found = openings(body)?;
                let found = found.iter().any(|m| (radius(m) - deep).abs() < LEAST);
                found.then(|| "the relief groove is as deep as a socket's mouth".to_owned())
            }
        };
        Ok(Roughed {
            cloud: Cloud::of(body)?,
            tabs: tab_sides(half, skin)
                .ok_or_else(|| NotClosed("a tab that stands on nothing".to_owned()))?,
            ends: [
                ends.clone().fold(f64::INFINITY, f64::min),
                ends.fold(0.0, f64::max),
            ],
            relief,
            pass: rough.and_then(|c| c.pass_depth).unwrap_or(USUAL_PASS),
            left_out,
        })
    }
}

/// A part of a piece, ready for its solid.
struct Part<'a> {
    placed: &'a Placed,
    below: Option<Terraces>,
    above: Option<Terraces>,
}

impl Laid {
    /// A piece of a kind in a state, or why it is not drawn.
    ///
    /// # Errors
    /// A fault of this program.
    pub fn state(&self, layout: &Layout, kind: &Kind, state: State) -> Result<InState, NotClosed> {
        if state == State::Finished {
            return self.finished(layout, kind).map(Ok);
        }
        let thickness = layout.board.thickness;
        let mut parts = Vec::new();
        for placed in &kind.placed {
            match self.part(placed, thickness, state) {
                Ok(part) => parts.push(part),
                Err(why) => {
                    let name = &self.parts[placed.part].names[placed.side];
                    return Ok(Err(format!("{name}: {why}")));
                }
            }
        }
        let sites: Vec<Site<'_>> = parts.iter().map(|p| self.site(p)).collect();
        let [length, width] = layout.size;
        piece([length, width, thickness], &sites, &dowel_holes(layout)).map(Ok)
    }

    /// Volume of a piece of a kind in a state, mm3; of a finished one by the closed form stock - windows +
    /// parts with their tabs.
    pub(super) fn volume(
        &self,
        (layout, kind): (&Layout, &Kind),
        state: State,
        solid: &Half,
    ) -> f64 {
        if state != State::Finished {
            return volume(solid);
        }
        let holes = dowel_holes(layout).map(|h| std::f64::consts::PI * h.radius * h.radius);
        let thickness = layout.board.thickness;
        let stock = layout.size[0] * layout.size[1] - holes.iter().sum::<f64>();
        let parts = kind.placed.iter().map(|p| {
            let window = &self.parts[p.part].windows[p.side];
            self.known(p).held - window.core.area_within(window.width) * thickness
        });
        stock * thickness + parts.sum::<f64>()
    }

    /// What roughing leaves of a part on the outer face of stock of a thickness, or on the one with the
    /// split faces.
    ///
    /// # Errors
    /// Why it is not drawn.
    pub fn terraces(
        &self,
        placed: &Placed,
        thickness: f64,
        above: bool,
    ) -> Result<Terraces, String> {
        let own = self.roughed(placed);
        let height = Height {
            above,
            split: self.up(placed.part),
            thickness,
            foot: own.relief.unwrap_or(0.0),
            tabs: own.ends,
        };
        let window = &self.parts[placed.part].windows[placed.side];
        let part = (&own.cloud, own.tabs.as_slice());
        blank::terraces(part, window, &height, own.pass)
            .ok_or_else(|| "its window leaves no ring for the rough cutter".to_owned())
    }

    fn part<'a>(
        &self,
        placed: &'a Placed,
        thickness: f64,
        state: State,
    ) -> Result<Part<'a>, String> {
        let own = self.roughed(placed);
        if let Some(why) = &own.left_out {
            return Err(why.clone());
        }
        let terraces = |above: bool| self.terraces(placed, thickness, above);
        let below = match own.relief {
            Some(_) => None,
            None => Some(terraces(false)?),
        };
        let above = match state {
            State::Rough => Some(terraces(true)?),
            _ => None,
        };
        Ok(Part {
            placed,
            below,
            above,
        })
    }

    fn site<'a>(&'a self, part: &'a Part<'_>) -> Site<'a> {
        let placed = part.placed;
        let split = self.up(placed.part);
        Site {
            pose: Pose {
                about_z: placed.turned,
                shift: [placed.at[0], placed.at[1], split],
                ..Pose::NONE
            },
            window: self.border(placed),
            below: match &part.below {
                Some(own) => Below::Rough(own),
                None => Below::Relief {
                    body: self.body(placed.part, placed.side),
                    split,
                    floor: split + self.roughed(placed).relief.unwrap_or_default(),
                },
            },
            above: part.above.as_ref(),
        }
    }
}
