//! blanks.json: the pieces of stock, what lies on them and where.

use serde::Serialize;

use super::manifest::SCHEMA_VERSION;
use crate::blank::{Blanks, Dowel, Kind, Layout, Part, Placed};

/// Name of the file.
pub const FILE: &str = "blanks.json";

/// The record as JSON, ended by a line end. `names` gives each kind of piece its name, in the order of
/// layouts and kinds.
///
/// # Errors
/// The writer's.
pub fn to_bytes(
    creature: &str,
    blanks: &Blanks,
    parts: &[Part],
    names: &[String],
) -> Result<Vec<u8>, serde_json::Error> {
    let mut names = names.iter();
    let layouts: Vec<LayoutJson<'_>> = blanks
        .layouts
        .iter()
        .map(|layout| LayoutJson::of(layout, parts, &mut names))
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
        names: &mut impl Iterator<Item = &'a String>,
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
                .map(|kind| KindJson::of(kind, parts, names.next().map_or("", |n| n)))
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
    fn of(kind: &Kind, parts: &'a [Part], name: &'a str) -> Self {
        let part = |p: &Placed| {
            let own = &parts[p.part];
            let window = &own.windows[p.side];
            PartJson {
                name: &own.names[p.side],
                sections: &own.sections,
                at_mm: p.at,
                turned: p.turned,
                core_mm: window.core.corners().map(|c| p.apply(c)).collect(),
                window_mm: window.width,
            }
        };
        KindJson {
            name,
            pieces: kind.repeat,
            parts: kind.placed.iter().map(part).collect(),
        }
    }
}
