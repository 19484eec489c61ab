//! blanks.json: the pieces of stock, what lies on them and where.

use serde::Serialize;

use super::manifest::SCHEMA_VERSION;
use crate::blank::{Blanks, Dowel, Kind, Layout, Part, Placed};

/// Name of the file.
pub const FILE: &str = "blanks.json";

/// The record as JSON, ended by a line end. `own` is what is known of each kind of piece, in the order
/// of layouts and kinds.
///
/// # Errors
/// The writer's.
pub fn to_bytes(
    creature: &str,
    blanks: &Blanks,
    parts: &[Part],
    own: &[OfKind],
) -> Result<Vec<u8>, serde_json::Error> {
    let mut own = own.iter();
    let layouts: Vec<LayoutJson<'_>> = blanks
        .layouts
        .iter()
        .map(|layout| LayoutJson::of(layout, parts, &mut own))
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
    shift_mm: f64,
    turn_deg: f64,
    worst_mm: f64,
    shift_per_mm_of_line: f64,
}

#[derive(Serialize)]
struct KindJson<'a> {
    name: &'a str,
    pieces: usize,
    set_ups: &'a [Planes; 2],
    states: &'a [InState],
    parts: Vec<PartJson<'a>>,
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
}

impl<'a> LayoutJson<'a> {
    fn of(
        layout: &'a Layout,
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
            flip: FlipJson {
                span_mm: flip.span,
                shift_mm: flip.shift,
                turn_deg: flip.turn.to_degrees(),
                worst_mm: flip.worst,
                shift_per_mm_of_line: flip.per_line,
            },
            kinds: layout
                .kinds
                .iter()
                .zip(own)
                .map(|(kind, own)| KindJson::of(kind, parts, own))
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
    fn of(kind: &Kind, parts: &'a [Part], own: &'a OfKind) -> Self {
        let part = |p: &Placed| {
            let part = &parts[p.part];
            let window = &part.windows[p.side];
            PartJson {
                name: &part.names[p.side],
                sections: &part.sections,
                at_mm: p.at,
                turned: p.turned,
                core_mm: window.core.corners().map(|c| p.apply(c)).collect(),
                window_mm: window.width,
            }
        };
        KindJson {
            name: &own.name,
            pieces: kind.repeat,
            set_ups: &own.set_ups,
            states: &own.states,
            parts: kind.placed.iter().map(part).collect(),
        }
    }
}
