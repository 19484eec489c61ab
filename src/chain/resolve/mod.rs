//! From the written design and shop to the resolved creature.
//!
//! Steps: entries become single sections ([`expand`]); neighbours agree on ball and socket
//! ([`roles`]); each joint is solved ([`joints`]); each section gets its form ([`shape`]);
//! sections are placed one behind the other. Every step goes on past a fault as far as it can,
//! so that one run names all independent ones.

mod blank;
mod cutting;
mod edges;
mod end_fit;
mod expand;
mod eyes;
mod findings;
mod flats;
mod foot;
mod halves;
mod joints;
mod keys;
mod outline;
mod pins;
mod plates;
mod pockets;
mod repeat;
mod report;
mod roles;
mod seats;
mod shape;
mod shop;
mod skin;
mod tabs;
mod whole;
mod written_tabs;

use super::cutter::Cutter;
use super::form::{Creature, Pin, Section, SectionForm, Split};
use super::joint::budget::Making;
use super::joint::{Joint, JointLimits, SocketFace, gap_for_swing};
use super::species::{Walls, least_neck};
use super::strengths::Strengths;
use super::{Measured, Trial};
use crate::diagnostic::{Diagnostics, Place};
use crate::params::value::{Name, SplitPose};
use crate::params::written::{Design, Shop};
use crate::params::{Located, SPECIES, Species, species};
pub use blank::{BlankRules, Board, Station as MachineStation};
pub use cutting::SKIN_OF_STOCK;
use expand::{Part, expand};
use joints::{Link, links};
pub use outline::DOME_PART;
use report::Report;
use roles::{Facing, ends};
pub use seats::{Seat, seats};
use shape::Beyond;
use shop::ShopValues;

/// What the sections of a design share.
struct Ground<'a> {
    design: &'a Design,
    shop: ShopValues,
    walls: Walls,
    /// Thinnest neck diameter of the wood.
    least_neck: f64,
    /// Its movement for each percent of moisture.
    movement: f64,
    bench: bool,
    /// What the marks say, of the first sections; those beyond carry their place in the chain.
    numbers: &'a [usize],
}

impl<'a> Ground<'a> {
    fn of(design: &'a Design, shop: &Shop, numbers: &'a [usize]) -> Self {
        let wood = wood(design);
        Ground {
            design,
            shop: shop_values(design, shop),
            walls: Walls::of(wood),
            least_neck: least_neck(wood),
            movement: Strengths::of(wood.name).movement(),
            bench: design.bench_only.as_ref().is_some_and(|b| b.value),
            numbers,
        }
    }

    /// The number that the mark of a section says.
    fn number(&self, section: usize) -> usize {
        self.numbers.get(section).copied().unwrap_or(section + 1)
    }

    /// What enters the budget of a joint.
    fn making(&self) -> Making {
        Making {
            tip: self.shop.tip,
            taper: self.shop.taper,
            slip: self.shop.slip,
            sanding: self.shop.sanding,
            movement: self.movement,
            measured: self.measured(),
        }
    }

    /// What a coupon showed; a bench body, which is not cut, is drawn as written.
    fn measured(&self) -> Measured {
        match self.bench {
            true => Measured::default(),
            false => self.shop.measured,
        }
    }
}

/// A joint of the chain with its limits.
#[derive(Debug, Clone, PartialEq)]
pub struct ChainJoint {
    /// Index of the section in front of it.
    pub after: usize,
    /// Whether the section in front carries the ball (else the socket).
    pub ball_in_front: bool,
    /// The joint.
    pub joint: Joint,
    /// What it can do.
    pub limits: JointLimits,
    /// The joint as the solids are drawn, with what a coupon showed taken off ball and socket.
    pub cut: Joint,
    /// What the solids can do.
    pub cut_limits: JointLimits,
    /// How far its two end faces reach from the axis, mm.
    pub reach: f64,
    /// Where it is written.
    pub place: Place,
    /// The entries for it alone that its keys stand in, in whichever file.
    pub entries: Vec<Place>,
}

/// Where a section comes from, and what it takes beside its form.
#[derive(Debug, Clone, PartialEq)]
pub struct SectionSource {
    /// Where its entry stands.
    pub place: Place,
    /// The entries that its own keys stand in: of a design that is based on another, in both files.
    pub entries: Vec<Place>,
    /// Sanding allowance of the split face of each half, mm.
    pub sanding: f64,
    /// Least thickness of stock for each of its parts, mm.
    pub stock: f64,
}

/// What the author says of the design, for those who get it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Terms {
    /// Who made it.
    pub author: Option<String>,
    /// Terms of use.
    pub licence: Option<String>,
    /// Whom else to name.
    pub credit: Option<String>,
}

impl Terms {
    fn of(design: &Design) -> Self {
        let text = |key: &Option<Located<Name>>| key.as_ref().map(|k| k.value.0.clone());
        Terms {
            author: text(&design.author),
            licence: text(&design.licence),
            credit: text(&design.credit),
        }
    }
}

/// A warning that the design accepts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Accepted {
    /// Name of the check.
    pub check: String,
    /// Name of a section; all when nothing.
    pub section: Option<String>,
    /// The reason.
    pub reason: String,
    /// Where it is written.
    pub place: Place,
}

fn accepted(design: &Design) -> Vec<Accepted> {
    let written = design.accept.iter().flat_map(|list| &list.value);
    written
        .map(|entry| Accepted {
            check: entry.value.check.value.0.clone(),
            section: entry.value.section.as_ref().map(|s| s.value.0.clone()),
            reason: entry.value.reason.value.0.clone(),
            place: entry.value.check.place.clone(),
        })
        .collect()
}

/// The shop's dowel and tabs, and what enters the budgets of joints.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShopFits {
    /// Diameter of the dowel rod that pins are cut from, mm.
    pub dowel: f64,
    /// Thickness of a tab, mm.
    pub tab: f64,
    /// Cutters, fits and wood as the budget of a joint reads them.
    pub making: Making,
}

impl ShopFits {
    /// Diameter of a pin hole as it comes out, mm.
    #[must_use]
    pub fn made_hole(&self, pin: &Pin) -> f64 {
        self.making.measured.made_hole(pin.radius)
    }
}

/// A resolved design.
#[derive(Debug, Clone, PartialEq)]
pub struct Resolved {
    /// The creature.
    pub creature: Creature,
    /// Its joints from front to rear, one fewer than sections.
    pub joints: Vec<ChainJoint>,
    /// A source for each section.
    pub sources: Vec<SectionSource>,
    /// Thinnest walls of its wood.
    pub walls: Walls,
    /// What the author says of the design.
    pub terms: Terms,
    /// Warnings that it accepts.
    pub accepted: Vec<Accepted>,
    /// Thicknesses of the shop's boards, mm, thinnest first.
    pub boards: Vec<f64>,
    /// The shop's dowel and what enters the budgets of joints.
    pub fits: ShopFits,
    /// How its parts are laid out on stock.
    pub blank: BlankRules,
    /// The shop's cutters.
    pub cutters: Vec<Cutter>,
    /// Depth of the groove cut from the inside round each outline, mm.
    pub relief: f64,
    /// What there is to try, of a coupon.
    pub trial: Option<Trial>,
    /// What was found for joints that say `auto`, as lines of a design; nothing when none does.
    pub found: Option<String>,
    /// Warnings.
    pub warnings: Diagnostics,
}

/// Resolves a design for a shop.
///
/// Every written key counts as read from a file: ranges, names, `like` and the order of the
/// outline are already checked there. An `auto` of a joint counts as left out: the room `solve` puts
/// values in first.
///
/// # Errors
/// All independent faults, with the warnings found on the way.
pub fn resolve(design: &Design, shop: &Shop) -> Result<Resolved, Diagnostics> {
    resolve_numbered(design, shop, &[])
}

/// The same, with `numbers` in the marks of the first sections instead of their places in the chain.
///
/// # Errors
/// See [`resolve`].
pub fn resolve_numbered(
    design: &Design,
    shop: &Shop,
    numbers: &[usize],
) -> Result<Resolved, Diagnostics> {
    let wood = wood(design);
    let ground = Ground::of(design, shop, numbers);
    let mut report = Report::new(design.units.value.0, ground.bench);
    let parts = expand(design);
    let chain = chain(&ground, &parts, &mut report);
    if report.found.has_errors() {
        return Err(report.found);
    }
    let Some((forms, joints)) = chain else {
        return Err(report.found);
    };
    let sources = parts.iter().zip(&forms);
    let sources = sources
        .map(|(part, form)| source(part, form, &ground))
        .collect();
    Ok(Resolved {
        creature: creature(&ground, wood, &parts, forms, &joints),
        joints,
        sources,
        walls: ground.walls,
        terms: Terms::of(design),
        accepted: accepted(design),
        boards: shop::boards(shop),
        fits: ShopFits {
            dowel: ground.shop.dowel,
            tab: ground.shop.tab.1,
            making: ground.making(),
        },
        blank: BlankRules::of(shop, &ground.shop),
        cutters: shop::cutters(shop),
        relief: ground.shop.relief,
        trial: None,
        found: None,
        warnings: report.found,
    })
}

/// What the design needs of the shop; a dowel of its own wins.
fn shop_values(design: &Design, shop: &Shop) -> ShopValues {
    let values = ShopValues::of(shop);
    let own = design.dowel.as_ref().map(|d| d.value.mm());
    ShopValues {
        dowel: own.unwrap_or(values.dowel),
        ..values
    }
}

/// The entries that keys stand in, in whichever file, each once.
fn entries<'a>(keys: impl IntoIterator<Item = &'a Place>) -> Vec<Place> {
    let mut all: Vec<Place> = Vec::new();
    for key in keys {
        let entry = key.path.rsplit_once('.').map_or("", |(entry, _)| entry);
        if !all.iter().any(|p| p.file == key.file && p.path == entry) {
            all.push(Place {
                path: entry.to_owned(),
                ..key.clone()
            });
        }
    }
    all
}

fn source(part: &Part<'_>, form: &SectionForm, ground: &Ground<'_>) -> SectionSource {
    let sanding = cutting::sanding(part, ground);
    let ball = form.front.ball_radius().max(form.rear.ball_radius());
    SectionSource {
        place: part.place.clone(),
        entries: entries(part.keys.own()),
        sanding,
        stock: cutting::stock(&form.outline, (ball, form.whole), sanding),
    }
}

/// How a section's split plane stands: its own key, else the creature's, else level.
fn split(part: &Part<'_>, ground: &Ground<'_>) -> Split {
    let own = part.keys.split.map(|key| key.written.value);
    match own.or(ground.design.split.as_ref().map(|s| s.value)) {
        Some(SplitPose::Upright) => Split::Upright,
        _ => Split::Level,
    }
}

/// The wood of the design, hard maple when it names none.
fn wood(design: &Design) -> &'static Species {
    let named = design
        .species
        .as_ref()
        .and_then(|name| species(&name.value.0));
    named.unwrap_or(&SPECIES[0])
}

/// Forms and joints; `None` after an error.
fn chain<'a>(
    ground: &Ground<'a>,
    parts: &[Part<'a>],
    report: &mut Report,
) -> Option<(Vec<SectionForm>, Vec<ChainJoint>)> {
    let ends = ends(parts, report)?;
    let links = links(ground, parts, &ends, report);
    let beyond = |joint: Option<usize>| match joint.and_then(|k| links.get(k).map(|l| (k, l))) {
        None => Beyond::Nothing,
        Some((_, None)) => Beyond::Refused,
        Some((k, Some(link))) => Beyond::Joint {
            link,
            after: &parts[k].name,
        },
    };
    // All sections are looked at, also behind one that fails.
    let forms: Vec<Option<SectionForm>> = parts
        .iter()
        .enumerate()
        .map(|(k, part)| {
            let sides = (beyond(k.checked_sub(1)), beyond(Some(k)));
            shape::form(part, &ends[k], sides, ground, report)
        })
        .collect();
    let mut forms: Vec<SectionForm> = forms.into_iter().collect::<Option<_>>()?;
    pockets::cut(&mut forms, parts, ground, report);
    let links: Vec<Link<'a>> = links.into_iter().collect::<Option<_>>()?;
    let joints = links
        .iter()
        .enumerate()
        .map(|(k, link)| chain_joint(k, link, &forms, &parts[k].name, report))
        .collect();
    Some((forms, joints))
}

fn chain_joint(
    after: usize,
    link: &Link<'_>,
    forms: &[SectionForm],
    name: &str,
    report: &mut Report,
) -> ChainJoint {
    let joint = link.joint;
    let width = shape::reach(&forms[after], Facing::Rear)
        .max(shape::reach(&forms[after + 1], Facing::Front));
    let limits = JointLimits::of(&joint, width);
    if let Some(faces) = limits
        .faces
        .filter(|&f| f < joint.swing && joint.face == SocketFace::Flat)
    {
        let gap = gap_for_swing(joint.depth(), width, joint.swing);
        let finding = findings::faces_meet(joint.swing, faces, (joint.gap, gap));
        let subject = findings::Subject {
            after: name,
            given: &link.given,
            place: link.place,
        };
        findings::say(&finding, &subject, report);
    }
    ChainJoint {
        after,
        ball_in_front: link.ball_in_front,
        joint,
        limits,
        cut: link.cut,
        cut_limits: JointLimits::of(&link.cut, width),
        reach: width,
        place: link.place.clone(),
        entries: entries(link.given.iter().filter(|g| g.own).map(|g| g.place)),
    }
}

/// Puts the sections one behind the other.
fn creature(
    ground: &Ground<'_>,
    wood: &Species,
    parts: &[Part<'_>],
    forms: Vec<SectionForm>,
    joints: &[ChainJoint],
) -> Creature {
    let mut x = 0.0;
    let mut sections = Vec::with_capacity(parts.len());
    for (k, (part, form)) in parts.iter().zip(forms).enumerate() {
        let length = form.length;
        sections.push(Section {
            number: k + 1,
            name: part.name.clone(),
            split: split(part, ground),
            form,
            x,
        });
        x += length + joints.get(k).map_or(0.0, |j| j.joint.gap);
    }
    Creature {
        name: ground.design.name.value.0.clone(),
        bench_only: ground.bench,
        species: wood.name.to_owned(),
        density: wood.density,
        sections,
    }
}

#[cfg(test)]
mod tests;
