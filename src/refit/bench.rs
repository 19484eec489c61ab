//! What the search works from: the design, what it asks of boards and joints, and what is wished.

use super::boards::{Boards, Need, drawn_for, nearest, with_boards};
use super::oracle::Open;
use super::search::{Fit, Tried};
use crate::chain::{EndFace, Resolved, Walls, least_neck};
use crate::check::finding::Finding;
use crate::diagnostic::{Diagnostic, Diagnostics, Severity};
use crate::make::{Settings, check};
use crate::params::written::{Design, Joint, Shop};
use crate::params::{SPECIES, species};
use crate::solve;
use crate::units::Unit;

/// Half width that a closed end keeps over the inset of its leaning rim, mm: what the resolver asks
/// and a little.
const TIP_OVER_INSET: f64 = 0.25;

/// What the design shall be fitted to.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Wish {
    /// Thickness of the boards, mm.
    pub thickness: Option<f64>,
    /// Length of the creature, mm.
    pub length: Option<f64>,
    /// Scale of everything that scales.
    pub scale: Option<f64>,
    /// Diameter of the dowel rod, mm.
    pub pin: Option<f64>,
    /// Wood, by a name of the table.
    pub species: Option<String>,
}

/// Why nothing was fitted.
#[derive(Debug)]
pub enum Refused {
    /// Faults of design or shop.
    Faults(Diagnostics),
    /// The design does not pass its own checks.
    Base(Vec<Finding>),
    /// Nothing that was tried passes: what binds and what would do, in words, and what was tried.
    Binds(Vec<Diagnostic>, Vec<Tried>),
    /// What is wished makes no sense, in words.
    Wish(String),
}

/// The design on the bench.
#[derive(Debug)]
pub struct Bench<'a> {
    /// The design as read.
    pub design: &'a Design,
    /// The shop with the new boards.
    pub shop: Shop,
    /// The design as it stands, in that shop.
    pub resolved: Resolved,
    /// Old and new boards; nothing when the design finds none.
    pub boards: Option<Boards>,
    /// Boards of the shop file as it is, mm.
    pub(super) shop_boards: Vec<f64>,
    /// What stands open in the design itself.
    pub(super) open: Open,
    /// Entry of `sections` that each section comes from.
    pub(super) entries: Vec<usize>,
    /// The largest scale at which each section comes out of its board.
    pub(super) room: Vec<f64>,
    /// The largest scale at which each section's domed ends do.
    pub(super) end_room: Vec<f64>,
    /// Width that a closed end keeps, by section, mm.
    pub(super) tip_floors: Vec<f64>,
    /// Whether the mouth of each joint is written.
    pub(super) mouths: Vec<bool>,
    pub(super) needs: Vec<Need>,
    /// The new board of each section, mm: a half that comes from a single board shall not need a
    /// double one. Empty when a size is wished, which any board may serve.
    pub(super) own_boards: Vec<f64>,
    pub(super) dowel: f64,
    /// Whether the dowel is wished.
    pub(super) pinned: bool,
    /// The wished wood.
    pub(super) species: Option<String>,
    pub(super) wood: &'static str,
    /// Thinnest neck radius and land of the wood, mm.
    pub(super) least_neck: f64,
    pub(super) least_land: f64,
    /// What the file says that it is drawn for, mm.
    pub(super) drawn_for: Option<f64>,
    pub(super) unit: Unit,
}

impl<'a> Bench<'a> {
    /// Puts a design on the bench: `old` is the shop that it is made for, `new` the one that it is
    /// fitted to.
    ///
    /// # Errors
    /// A design that does not pass its own checks; a wood that is not in the table.
    pub fn new(
        (design, warnings): (&'a Design, &[Diagnostic]),
        (old, new): (&Shop, &Shop),
        wish: &Wish,
        step: &(dyn Fn(usize, usize) + Sync),
    ) -> Result<Self, Refused> {
        let unit = design.units.value.0;
        let (_, before) = solve::resolved(design, old).map_err(Refused::Faults)?;
        let mut told: Vec<Diagnostic> = warnings.to_vec();
        told.extend(before.warnings.clone().sorted());
        let findings = check(&before, &Settings::of(&before, unit), &told, step);
        let wrong = |f: &&Finding| f.message.severity == Severity::Error;
        let faults: Vec<Finding> = findings.iter().filter(wrong).cloned().collect();
        if !faults.is_empty() {
            return Err(Refused::Base(faults));
        }
        let said = design.drawn_for.as_ref().map(|d| d.value.mm());
        let needs = Need::all(&before);
        let (boards, shop) = fitted_boards(said, &needs, (&before.boards, new), wish);
        let own_boards = own_boards(said, &needs, &before.boards, &shop, boards);
        let (_, resolved) = solve::resolved(design, &shop).map_err(Refused::Faults)?;
        let wood = match &wish.species {
            None => species(&resolved.creature.species).unwrap_or(&SPECIES[0]),
            Some(name) => species(name).ok_or_else(|| unknown_wood(name))?,
        };
        let same = wood.name == resolved.creature.species;
        let stock = new.stock.value.iter();
        Ok(Bench {
            shop_boards: stock.map(|b| b.value.thickness.value.mm()).collect(),
            open: Open::of(&findings),
            entries: entries(design),
            room: needs
                .iter()
                .zip(&own_boards)
                .map(|(n, b)| n.scale(*b))
                .collect(),
            end_room: end_room(&resolved, &needs, &own_boards),
            own_boards: if wish.resizes() {
                Vec::new()
            } else {
                own_boards
            },
            tip_floors: tip_floors(&resolved),
            mouths: mouths(design, &resolved),
            needs,
            dowel: resolved.fits.dowel,
            pinned: wish.pin.is_some(),
            species: (!same).then(|| wood.name.to_owned()),
            wood: wood.name,
            least_neck: 0.5 * least_neck(wood),
            least_land: Walls::of(wood).land,
            drawn_for: boards.map(|b| b.new).filter(|_| !wish.resizes()).or(said),
            boards,
            unit,
            design,
            shop,
            resolved,
        })
    }

    /// Puts other boards in the place of the new ones, by this ratio.
    pub(super) fn thicker(&mut self, ratio: f64) {
        self.shop = with_boards(&self.shop, ratio);
        self.boards = self.boards.map(|b| Boards {
            new: b.new * ratio,
            ..b
        });
        self.drawn_for = self.drawn_for.map(|d| d * ratio);
        self.own_boards.iter_mut().for_each(|b| *b *= ratio);
        let needs = self.needs.iter().zip(&self.own_boards);
        self.room = needs.map(|(n, b)| n.scale(*b)).collect();
        self.end_room = end_room(&self.resolved, &self.needs, &self.own_boards);
    }

    /// What a design that grows is based on: less was given up there.
    pub(super) fn based(&self, fit: Fit) -> Option<String> {
        let base = &self.design.based_on.as_ref()?.value.0;
        let grows = matches!(fit, Fit::Scaled(scale) if scale > 1.0 + 1e-9);
        grows.then(|| {
            format!(
                "this design is based on {base}: to fit that one keeps what was given up on the way here"
            )
        })
    }

    /// Length of the straight creature, mm: what scales, and the gaps, which do not.
    pub(super) fn length(&self) -> (f64, f64) {
        let sections = self.resolved.creature.sections.iter();
        let gaps = self.resolved.joints.iter().map(|j| j.joint.gap);
        (sections.map(|s| s.form.length).sum(), gaps.sum())
    }
}

impl Bench<'_> {
    /// What of a board's thickness no half can use, mm: sanding and skin.
    pub(super) fn fixed(&self) -> f64 {
        let halves = self.needs.iter().filter(|n| !n.whole);
        let fixed = halves.map(|n| n.fixed).reduce(f64::max);
        fixed.unwrap_or(self.needs[0].fixed)
    }
}

impl Wish {
    /// Whether a size is wished, which no board decides.
    pub(super) fn resizes(&self) -> bool {
        self.length.is_some() || self.scale.is_some()
    }
}

fn unknown_wood(name: &str) -> Refused {
    let known = SPECIES.iter().map(|s| s.name);
    let way_out = crate::params::did_you_mean(name, known, "see the table of woods");
    Refused::Wish(format!("the unknown species `{name}`; {way_out}"))
}

/// Old and new board, and the shop with boards of the wished thickness.
fn fitted_boards(
    said: Option<f64>,
    needs: &[Need],
    (old, new): (&[f64], &Shop),
    wish: &Wish,
) -> (Option<Boards>, Shop) {
    let drawn = drawn_for(said, needs, old);
    let mut boards: Vec<f64> = new
        .stock
        .value
        .iter()
        .map(|s| s.value.thickness.value.mm())
        .collect();
    boards.sort_by(f64::total_cmp);
    let Some(drawn) = drawn else {
        return (None, new.clone());
    };
    let Some(thickness) = wish.thickness else {
        let new_board = nearest(drawn, &boards).unwrap_or(drawn);
        return (
            Some(Boards {
                old: drawn,
                new: new_board,
            }),
            new.clone(),
        );
    };
    // The board of the shop in whose place the wished one comes.
    let place = match said {
        Some(_) => boards.first().copied(),
        None => nearest(drawn, &boards),
    };
    let ratio = thickness / place.unwrap_or(thickness);
    let boards = Boards {
        old: drawn,
        new: thickness,
    };
    (Some(boards), with_boards(new, ratio))
}

/// The new board of each section: of the one that it comes from the one that is nearest, where the
/// old boards are those that the design is drawn for.
fn own_boards(
    said: Option<f64>,
    needs: &[Need],
    old: &[f64],
    shop: &Shop,
    boards: Option<Boards>,
) -> Vec<f64> {
    let new: Vec<f64> = shop
        .stock
        .value
        .iter()
        .map(|s| s.value.thickness.value.mm())
        .collect();
    let drawn = match (said, old.first()) {
        (Some(said), Some(first)) => said / first,
        _ => 1.0,
    };
    let ratio = boards.map_or(1.0, |b| b.ratio());
    let each = needs.iter().map(|need| {
        let mut from = old.iter().map(|b| b * drawn);
        let from = from.find(|b| *b + 1e-9 >= need.thickness);
        let from = from.or(old.last().map(|b| b * drawn)).unwrap_or_default();
        nearest(from * ratio, &new).unwrap_or_default()
    });
    each.collect()
}

/// The largest scale at which domed ends and necks come out of a board: they are circles, whose height
/// cannot be lowered.
fn end_room(resolved: &Resolved, needs: &[Need], boards: &[f64]) -> Vec<f64> {
    let sections = resolved.creature.sections.iter().zip(needs).zip(boards);
    let room = sections.map(|((section, need), board)| {
        let form = &section.form;
        let ends = [
            (&form.front, form.outline.first()),
            (&form.rear, form.outline.last()),
        ];
        let domed = ends
            .into_iter()
            .filter(|(end, _)| matches!(end.face, EndFace::Domed { .. }));
        let widest = domed
            .filter_map(|(_, s)| s)
            .map(|s| s.above.max(s.below))
            .fold(0.0, f64::max);
        let high = if need.whole { 0.5 } else { 1.0 } * (board - need.fixed);
        if widest > 0.0 { high / widest } else { 1.0 }
    });
    room.collect()
}

/// The entry of each section.
fn entries(design: &Design) -> Vec<usize> {
    let entries = design.sections.value.iter().enumerate();
    let each = entries.flat_map(|(i, entry)| {
        let count = entry.value.repeat.as_ref().map_or(1, |r| r.value);
        std::iter::repeat_n(i, count as usize)
    });
    each.collect()
}

fn tip_floors(resolved: &Resolved) -> Vec<f64> {
    let sections = resolved.creature.sections.iter();
    let floor = sections.map(|s| 2.0 * (s.form.rim * s.form.lean.tan() + TIP_OVER_INSET));
    floor.collect()
}

fn given(joint: &Joint) -> bool {
    joint
        .mouth
        .as_ref()
        .is_some_and(|m| m.value.given().is_some())
}

/// Whether the mouth of each joint is written, in its own entry or for all.
fn mouths(design: &Design, resolved: &Resolved) -> Vec<bool> {
    let general = design.joint.as_ref().is_some_and(|j| given(&j.value));
    let links = resolved.joints.iter();
    let each = links.map(|link| {
        let name = resolved.creature.sections[link.after].name.to_lowercase();
        let mut own = design.joints.iter().flat_map(|list| &list.value);
        let own = own.find(|j| j.value.after.value.folded() == name);
        general || own.is_some_and(|j| given(&j.value.joint))
    });
    each.collect()
}
