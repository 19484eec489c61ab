//! blanks.json: the pieces of stock, what lies on them and where.

use serde::Serialize;

use super::manifest::SCHEMA_VERSION;
use crate::blank::{Blanks, Dowel, Flip, Kind, Layout, Part, Placed};

/// Name of the file.
pub const FILE: &str = "blanks.json";

/// The record as JSON, ended by a line end. `own` is what is known of each kind of piece, in the order
/// of layouts and kinds, `clamps` those of each layout.
///
/// # Errors
/// The writer's.
pub fn to_bytes(
    creature: &str,
    blanks: &Blanks,
    parts: &[Part],
    (own, clamps): (&[OfKind], &[Clamps]),
) -> Result<Vec<u8>, serde_json::Error> {
    let mut own = own.iter();
    let layouts: Vec<LayoutJson<'_>> = blanks
        .layouts
        .iter()
        .zip(clamps)
        .map(|(layout, clamps)| LayoutJson::of((layout, clamps), parts, &mut own))
        .collect();
    let record = Record {
        schema_version: SCHEMA_VERSION,
        creature,
        creatures: blanks.creatures,
        unit: "mm",
        frame: "x along the grain from the front end, y across, z = 0 the face of the stock with the \
                split faces, z up into the wood, as it lies outside up",
        stocks: layouts,
    };
    let mut bytes = serde_json::to_vec_pretty(&record)?;
    bytes.push(b'\n');
    Ok(bytes)
}

/// Where clamps may stand on the pieces of a stock.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Clamps {
    /// How far they stand over the upper face of the stock.
    pub height_mm: f64,
    /// The strips for them.
    pub areas: Vec<ClampRow>,
    /// How far they stay from the middles of the dowels while their holes are cut, when the cutter's
    /// holder asks for that.
    pub from_dowels_mm: Option<f64>,
}

/// A strip for clamps on a piece.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ClampRow {
    /// Its name.
    pub name: &'static str,
    /// Least corner.
    pub from_mm: [f64; 2],
    /// Greatest corner.
    pub to_mm: [f64; 2],
}

/// What the flip can do to a ball on a piece.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BallRow {
    /// Numbers of the sections with this form, from 1.
    pub sections: Vec<usize>,
    /// At which of their ends it is.
    pub end: &'static str,
    /// Number of its upper half, or whole section, among the parts of the piece, from 0.
    pub part: usize,
    /// Step between its halves by the play of the dowels, at most.
    pub step_worst_mm: f64,
    /// The same in the mean.
    pub step_likely_mm: f64,
    /// Step for each mm by which the flip line is off.
    pub step_per_mm_of_line: f64,
    /// Step for each degree by which the line of the dowels is askew.
    pub step_per_degree_of_skew_mm: f64,
    /// The step that the fit budget of every joint takes.
    pub budget_takes_mm: f64,
    /// What is left of the least clearance with this step in the worst case; nothing without a joint.
    pub left_worst_mm: Option<f64>,
    /// The same, likely.
    pub left_likely_mm: Option<f64>,
}

/// The heights of one set-up of a piece, mm, in its pose: zero is the axis of the front dowel on the
/// face of the split faces, z up.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Planes {
    /// Which side is up.
    pub set_up: &'static str,
    /// Corners of the stock.
    pub stock_mm: [[f64; 3]; 2],
    /// Upper face of the stock.
    pub top_mm: f64,
    /// Upper face of the base.
    pub bed_mm: f64,
    /// Where a cutter moves over the stock.
    pub safe_mm: f64,
    /// Deepest place of a cutter in windows and parts.
    pub deepest_mm: f64,
    /// Deepest place in the holes of the dowels, in the set-up that makes them.
    pub dowel_holes_mm: Option<f64>,
}

/// What is known of a kind of piece beside its layout.
#[derive(Debug, Clone, PartialEq)]
pub struct OfKind {
    /// Its name.
    pub name: String,
    /// Its set-ups.
    pub set_ups: [Planes; 2],
    /// Its states.
    pub states: Vec<InState>,
    /// The balls on it.
    pub balls: Vec<BallRow>,
}

/// A piece in a state.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InState {
    /// Name of the state.
    pub state: &'static str,
    /// Volume of the exact solid.
    pub volume_mm3: Option<f64>,
    /// Its solids in the poses of both set-ups.
    pub files: Vec<String>,
    /// Why there are none.
    pub left_out: Option<String>,
}

#[derive(Serialize)]
struct Record<'a> {
    schema_version: u32,
    creature: &'a str,
    creatures: usize,
    unit: &'static str,
    frame: &'static str,
    stocks: Vec<LayoutJson<'a>>,
}

#[derive(Serialize)]
struct LayoutJson<'a> {
    stock: &'a str,
    thickness_mm: f64,
    size_mm: [f64; 2],
    pieces: usize,
    fewest_possible: usize,
    origin: [f64; 2],
    dowels: [DowelJson; 2],
    clamps: &'a Clamps,
    flip: FlipJson,
    kinds: Vec<KindJson<'a>>,
}

#[derive(Serialize)]
struct DowelJson {
    at_mm: [f64; 2],
    rod_mm: f64,
    hole_mm: f64,
}

#[derive(Serialize)]
struct FlipJson {
    span_mm: f64,
    slip_mm: f64,
    shift_mm: f64,
    turn_deg: f64,
    worst_mm: f64,
    shift_per_mm_of_line: f64,
    turn_per_degree_of_skew_deg: f64,
}

#[derive(Serialize)]
struct KindJson<'a> {
    name: &'a str,
    pieces: usize,
    set_ups: &'a [Planes; 2],
    states: &'a [InState],
    parts: Vec<PartJson<'a>>,
    balls: &'a [BallRow],
}

#[derive(Serialize)]
struct PartJson<'a> {
    name: &'a str,
    sections: &'a [usize],
    at_mm: [f64; 2],
    turned: bool,
    /// Corners of the polygon from which the window keeps its width.
    core_mm: Vec<[f64; 2]>,
    window_mm: f64,
    /// How far its outside can come to lie off its inside by the play of the dowels.
    flip_moves_mm: f64,
}

impl<'a> LayoutJson<'a> {
    fn of(
        (layout, clamps): (&'a Layout, &'a Clamps),
        parts: &'a [Part],
        own: &mut impl Iterator<Item = &'a OfKind>,
    ) -> Self {
        let flip = &layout.flip;
        LayoutJson {
            stock: &layout.board.name,
            thickness_mm: layout.board.thickness,
            size_mm: layout.size,
            pieces: layout.pieces(),
            fewest_possible: layout.fewest,
            origin: layout.dowels[0].at,
            dowels: layout.dowels.map(DowelJson::of),
            clamps,
            flip: FlipJson {
                span_mm: flip.play.span,
                slip_mm: flip.play.slip,
                shift_mm: flip.play.shift(),
                turn_deg: flip.play.turn().to_degrees(),
                worst_mm: flip.worst,
                shift_per_mm_of_line: flip.per_line,
                turn_per_degree_of_skew_deg: flip.per_skew,
            },
            kinds: layout
                .kinds
                .iter()
                .zip(own)
                .map(|(kind, own)| KindJson::of(kind, parts, flip, own))
                .collect(),
        }
    }
}

impl DowelJson {
    fn of(dowel: Dowel) -> Self {
        DowelJson {
            at_mm: dowel.at,
            rod_mm: dowel.rod,
            hole_mm: dowel.hole,
        }
    }
}

impl<'a> KindJson<'a> {
    fn of(kind: &Kind, parts: &'a [Part], flip: &Flip, own: &'a OfKind) -> Self {
        let part = |p: &Placed| {
            let form = &parts[p.part];
            let window = &form.windows[p.side];
            PartJson {
                name: &form.names[p.side],
                sections: &form.sections,
                at_mm: p.at,
                turned: p.turned,
                core_mm: window.core.corners().map(|c| p.apply(c)).collect(),
                window_mm: window.width,
                flip_moves_mm: flip.moves(form, p),
            }
        };
        KindJson {
            name: &own.name,
            pieces: kind.repeat,
            set_ups: &own.set_ups,
            states: &own.states,
            parts: kind.placed.iter().map(part).collect(),
            balls: &own.balls,
        }
    }
}
