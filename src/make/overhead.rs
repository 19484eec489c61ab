//! Cutters over a laid-out piece: what shank and holder meet of clamps, of the wood round the parts
//! and of neighbours.
//!
//! The check of reach looks at a part by itself; here it lies in its stock. The wood beyond a window
//! stands up to the face of the stock, and nothing of a neighbour stands higher, so what clears that
//! wood clears neighbours. Clamps stand on the strips kept free for them, `clamp_height` over that
//! face. Of each job the deepest place is looked at, at every place to which its axis can come: beside
//! the window's border when it roughs, at its tip's radius round the part when it finishes or cuts the
//! groove, over sockets and pin holes. Eyes are left out: they end over what the finish has cut.

use super::blanks::Laid;
use super::planes::{INTO_BASE, into_base};
use crate::blank::{ClampArea, Layout, Placed};
use crate::brep::set_up::SetUp;
use crate::chain::{End, EndJoint, HalfForm, Resolved, SectionForm, Side, Socket};
use crate::check::reach::Tool;
use crate::check::reach::feature::{Beside, Obstacle, overrun, reaches};
use crate::params::value::Job;

/// Rounding of places, mm (the model's tolerance has the same size): what touches a strip or a border
/// does not run into it.
const PLACES: f64 = 1e-6;
/// Places of contact that are looked at in a socket, from its lowest to the split plane.
const CONTACTS: u32 = 30;

/// What a cutter does at a place of a piece.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Work {
    Rough,
    Finish,
    Relief,
    Pins,
    Sockets,
    Marks,
    Dowels,
}

/// Where a cutter's axis comes to stand, and how deep its tip is under the upper face of the stock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Cut {
    pub depth: f64,
    /// Box in plan on the piece.
    pub places: [[f64; 2]; 2],
    /// Least distance from the axis of wood that stands up to that face, where it is looked at here.
    pub wood: Option<f64>,
}

/// What of a cutter runs into what.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Hit {
    pub holder: bool,
    /// The clamps of a strip; nothing for wood.
    pub area: Option<ClampArea>,
    pub depth: f64,
    /// Height over the tip from which shank or holder begins, and how high what it meets stands.
    pub begins: f64,
    pub stands: f64,
    /// How much further away that would have to be.
    pub nearer: f64,
}

impl Work {
    /// All, in the order of the work.
    pub const ALL: [Work; 7] = [
        Work::Dowels,
        Work::Pins,
        Work::Relief,
        Work::Marks,
        Work::Rough,
        Work::Sockets,
        Work::Finish,
    ];

    /// The job of the cutters that do it.
    pub fn job(self) -> Job {
        match self {
            Work::Rough => Job::Rough,
            Work::Finish | Work::Sockets => Job::Finish,
            Work::Relief => Job::Relief,
            Work::Pins | Work::Dowels => Job::Holes,
            Work::Marks => Job::Marks,
        }
    }

    /// As people name it.
    pub fn words(self) -> &'static str {
        match self {
            Work::Rough => "roughs",
            Work::Finish => "finishes the outer form",
            Work::Relief => "cuts the relief groove",
            Work::Pins => "cuts pin holes",
            Work::Sockets => "cuts a socket",
            Work::Marks => "cuts marks and glue grooves",
            Work::Dowels => "cuts the holes of the dowels",
        }
    }

    /// Whether it is done in a set-up, of a section cut in one piece or in halves.
    fn is_in(self, set_up: SetUp, whole: bool) -> bool {
        let inside = set_up == SetUp::InsideUp;
        match self {
            Work::Rough | Work::Finish => whole || !inside,
            Work::Relief | Work::Pins | Work::Marks => inside && !whole,
            Work::Sockets => inside && !whole,
            Work::Dowels => inside,
        }
    }
}

/// What is looked at.
#[derive(Clone, Copy)]
pub(super) struct Over<'a> {
    pub resolved: &'a Resolved,
    pub laid: &'a Laid,
    pub layout: &'a Layout,
    pub set_up: SetUp,
}

/// A part as it lies.
#[derive(Clone, Copy)]
struct Lying<'a> {
    placed: &'a Placed,
    form: &'a SectionForm,
    half: &'a HalfForm,
    /// Height of its split plane over the face of the stock with the split faces.
    up: f64,
}

impl Over<'_> {
    /// What a cutter meets when it does this work on a part.
    pub fn part(&self, work: Work, placed: &Placed, tool: &Tool) -> Vec<Hit> {
        let section = self.laid.parts[placed.part].sections[0] - 1;
        let form = &self.resolved.creature.sections[section].form;
        if work == Work::Dowels || !work.is_in(self.set_up, form.whole) {
            return Vec::new();
        }
        let side = [Side::Upper, Side::Lower][placed.side];
        let part = Lying {
            placed,
            form,
            half: &HalfForm::of(form, side),
            up: self.laid.up(placed.part),
        };
        let cuts = self.cuts(work, &part, tool);
        cuts.iter().flat_map(|cut| self.hits(cut, tool)).collect()
    }

    /// What a cutter meets in the holes of the dowels, apart from clamps.
    pub fn dowels(&self, tool: &Tool) -> Vec<Hit> {
        let holes = self.layout.dowels.iter();
        let walls = holes.map(|hole| {
            let depth = self.layout.board.thickness + into_base(self.resolved);
            // A cutter that is thinner than the hole goes round in it, along its wall.
            let near = tool.widest_to(0.0).min(0.5 * hole.hole);
            (
                depth,
                Beside {
                    distance: near + PLACES,
                    top: depth,
                },
            )
        });
        walls
            .filter_map(|(depth, wall)| hit(tool, depth, None, wall))
            .collect()
    }

    fn cuts(&self, work: Work, part: &Lying<'_>, tool: &Tool) -> Vec<Cut> {
        let thickness = self.layout.board.thickness;
        let width = self.resolved.blank.window;
        let (inside, up) = (self.set_up == SetUp::InsideUp, part.up);
        // From the upper face of the stock to the split plane.
        let level = if inside { up } else { thickness - up };
        let touch = tool.widest_to(0.0);
        let all_round = |depth: f64, out: f64| {
            vec![Cut {
                depth,
                places: self.grown(part.placed, out),
                wood: Some(width - out),
            }]
        };
        match work {
            Work::Rough => {
                let depth = if inside { level } else { thickness + INTO_BASE };
                // It cuts the border, however wide it is at the top.
                let edges = tool.widest_to(depth.min(tool.cutting_length));
                all_round(depth, width - edges)
            }
            Work::Finish => all_round(level + overrun(&tool.profile, 0.0), touch),
            Work::Relief => all_round(level + self.resolved.relief, touch),
            Work::Marks => {
                let features = &part.half.features;
                let marks = features.marks.iter().map(|m| m.depth);
                let deepest = marks.chain(features.grooves.iter().map(|g| g.depth));
                let deepest = deepest.reduce(f64::max);
                let cut = deepest.map(|d| Cut {
                    depth: level + d,
                    places: self.grown(part.placed, 0.0),
                    wood: None,
                });
                cut.into_iter().collect()
            }
            Work::Pins => {
                let pins = part.half.pins.iter();
                pins.map(|pin| Cut {
                    depth: level + pin.depth,
                    places: [part.placed.apply([pin.x, pin.y]); 2],
                    wood: Some(pin.radius),
                })
                .collect()
            }
            Work::Sockets => [(&part.half.front, 0.0), (&part.half.rear, part.form.length)]
                .into_iter()
                .flat_map(|(end, datum)| sockets(part, level, (end, datum), tool))
                .collect(),
            Work::Dowels => Vec::new(),
        }
    }

    /// The box of a part's core on the piece, with so much round it.
    fn grown(&self, placed: &Placed, by: f64) -> [[f64; 2]; 2] {
        let core = &self.laid.parts[placed.part].windows[placed.side].core;
        let [low, high] = core.bounds();
        let ends = [placed.apply(low), placed.apply(high)];
        let pick =
            |f: fn(f64, f64) -> f64, by: f64| [0, 1].map(|k: usize| f(ends[0][k], ends[1][k]) + by);
        [pick(f64::min, -by), pick(f64::max, by)]
    }

    fn hits(&self, cut: &Cut, tool: &Tool) -> Vec<Hit> {
        let rules = &self.resolved.blank;
        let wood = cut.wood.map(|distance| {
            let top = cut.depth;
            (
                None,
                Beside {
                    distance: distance + PLACES,
                    top,
                },
            )
        });
        let clamps = ClampArea::ALL.map(|area| {
            let distance = area.distance(cut.places, self.layout, rules) + PLACES;
            let top = cut.depth + rules.clamp_height;
            (Some(area), Beside { distance, top })
        });
        let walls = wood.into_iter().chain(clamps);
        walls
            .filter_map(|(area, wall)| hit(tool, cut.depth, area, wall))
            .collect()
    }
}

/// How far clamps stay from the middles of the dowels so that a holder passes while their holes are cut,
/// mm; nothing when it stays over the clamps, or is not known.
pub(super) fn clamps_from_dowels(resolved: &Resolved, layout: &Layout, tool: &Tool) -> Option<f64> {
    let depth = layout.board.thickness + into_base(resolved);
    let holder = tool.holder?;
    let low = holder.over_tip < depth + resolved.blank.clamp_height;
    let aside = layout
        .dowels
        .iter()
        .map(|d| 0.5 * d.hole - tool.widest_to(0.0));
    low.then(|| holder.radius + aside.fold(0.0, f64::max))
}

/// Places in a socket from its lowest to the split plane, and at its flare in the end's face.
fn sockets(part: &Lying<'_>, level: f64, (end, datum): (&End, f64), tool: &Tool) -> Vec<Cut> {
    let EndJoint::Socket(socket) = end.joint else {
        return Vec::new();
    };
    let inwards = if datum > 0.0 { -1.0 } else { 1.0 };
    let middle = datum + inwards * socket.depth;
    let tip = tool.profile.tip();
    let away = (socket.radius - tip).max(0.0);
    let boxed = |x: f64, reach: f64, depth: f64| {
        let ends = [[x - reach, -reach], [x + reach, reach]].map(|p| part.placed.apply(p));
        let pick = |f: fn(f64, f64) -> f64| [0, 1].map(|k: usize| f(ends[0][k], ends[1][k]));
        Cut {
            depth: level + depth,
            places: [pick(f64::min), pick(f64::max)],
            wood: None,
        }
    };
    let mut all: Vec<Cut> = (0..=CONTACTS)
        .map(|k| {
            let turn = std::f64::consts::FRAC_PI_2 * f64::from(k) / f64::from(CONTACTS);
            boxed(middle, away * turn.sin(), away * turn.cos() + tip)
        })
        .collect();
    all.push(boxed(datum - inwards * tip, 0.0, flare_radius(&socket)));
    all
}

/// Radius of the flare in the plane of the end's datum, mm.
fn flare_radius(socket: &Socket) -> f64 {
    let plane = (socket.radius * socket.radius - socket.mouth_radius * socket.mouth_radius).sqrt();
    socket.mouth_radius + (socket.depth - plane).max(0.0) * socket.flare.tan()
}

/// What of a cutter meets a wall, but for its edges: the check of reach speaks of those.
fn hit(tool: &Tool, depth: f64, area: Option<ClampArea>, wall: Beside) -> Option<Hit> {
    let (holder, begins, radius) = match reaches(tool, &[wall])? {
        Obstacle::Edges => return None,
        Obstacle::Shank => (false, tool.cutting_length, tool.shank_radius),
        Obstacle::Holder => {
            let holder = tool.holder?;
            (true, holder.over_tip, holder.radius)
        }
    };
    Some(Hit {
        holder,
        area,
        depth,
        begins,
        stands: wall.top,
        nearer: radius - wall.distance,
    })
}
