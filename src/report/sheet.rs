//! The shop sheet: a page for every kind of piece and set-up, and pages for gluing.

use super::TrialSheet;
use super::html::{classed, inline, page, ticks, words};
use crate::export::words::NOT_FOR_CUTTING;
use crate::units::{inch_text, mm_text};

/// What a maker carries to the machine. Lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct ShopSheet {
    /// Name of the creature.
    pub creature: String,
    /// A body for benches: not for cutting.
    pub bench_only: bool,
    /// Number of creatures.
    pub creatures: usize,
    /// Wood.
    pub species: String,
    /// What the checks say, in three words.
    pub verdict: String,
    /// Pages of the pieces, in the order of the work.
    pub pieces: Vec<PieceSheet>,
    /// Gluing.
    pub assembly: Assembly,
    /// Work offsets to type in.
    pub stations: Vec<StationRow>,
    /// What comes where, round by round, in words.
    pub rounds: Vec<Vec<String>>,
    /// Of a coupon, what to try and to measure, instead of gluing.
    pub trial: Option<TrialSheet>,
    /// Cautions.
    pub cautions: Vec<String>,
}

/// A kind of piece in one set-up.
#[derive(Debug, Clone, PartialEq)]
pub struct PieceSheet {
    /// Its name.
    pub name: String,
    /// How many pieces.
    pub count: usize,
    /// Name of the stock.
    pub stock: String,
    /// Length along the grain, width and thickness.
    pub size: [f64; 3],
    /// The first set-up.
    pub inside_up: bool,
    /// By how much halves come out too high, by the shop's record.
    pub too_high: Option<f64>,
    /// Of whole sections alone, which have no split face.
    pub whole: bool,
    /// The drawing as SVG.
    pub drawing: String,
    /// Cutters in order: what each does, and its name.
    pub cutters: Vec<(String, String)>,
    /// Deepest place under the zero of this set-up, but for the holes of the dowels.
    pub deepest: f64,
    /// Minutes of cutting, if the shop file has the feeds.
    pub minutes: Option<f64>,
    /// Height of the cusps that the finishing cutter leaves on a flat, if it is known.
    pub cusp: Option<f64>,
    /// Names of the parts.
    pub parts: Vec<String>,
    /// Diameter of the rod and length of each dowel, front first.
    pub dowels: [[f64; 2]; 2],
    /// Kept free for clamps at the ends and along the sides.
    pub clamps: [f64; 2],
    /// How far they may stand over the stock.
    pub clamp_height: f64,
    /// How far they stay from the middles of the dowels while their holes are cut, if a holder asks.
    pub from_dowels: Option<f64>,
    /// What the flip can do, in the set-up after it.
    pub flip: Option<FlipRow>,
}

/// Where the second set-up of a piece can lie against the first, and what that does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FlipRow {
    /// How far the farthest corner moves by the play of the dowels.
    pub moves: f64,
    /// The step between two half balls, if there are any.
    pub step: Option<f64>,
    /// What that leaves of the least clearance of their joints, in the worst case and likely.
    pub left: Option<[f64; 2]>,
}

/// A row of the table of work offsets.
#[derive(Debug, Clone, PartialEq)]
pub struct StationRow {
    /// Name of the station.
    pub name: String,
    /// Its set-up in words.
    pub set_up: String,
    /// Word of the work offset.
    pub offset: String,
    /// Machine x and y of its zero.
    pub at: [f64; 2],
}

/// What is glued, with what, and how to measure it.
#[derive(Debug, Clone, PartialEq)]
pub struct Assembly {
    /// Sections in the order of gluing.
    pub steps: Vec<Step>,
    /// Pins to cut.
    pub rods: Vec<Rod>,
    /// What to measure.
    pub gauges: Vec<Gauge>,
    /// Advice, a paragraph each.
    pub advice: Vec<String>,
}

/// A section to glue.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// Number of the section.
    pub number: usize,
    /// Its name.
    pub name: String,
    /// What to do.
    pub words: String,
}

/// Pins of one size.
#[derive(Debug, Clone, PartialEq)]
pub struct Rod {
    /// Diameter of the rod.
    pub diameter: f64,
    /// Length to cut.
    pub length: f64,
    /// How many, for all creatures.
    pub count: usize,
}

/// A size to measure with calipers.
#[derive(Debug, Clone, PartialEq)]
pub struct Gauge {
    /// What is measured.
    pub what: String,
    /// As designed.
    pub nominal: f64,
    /// Least and greatest size that is right.
    pub go: [f64; 2],
    /// What to do when it is not.
    pub off: String,
}

impl ShopSheet {
    /// The sheet as one HTML page that prints to A4 and Letter.
    pub fn html(&self) -> String {
        let mut body = self.front();
        for piece in &self.pieces {
            body += &self.piece(piece);
        }
        body += &match &self.trial {
            Some(trial) => {
                let rods = words("h2", "Pins to cut") + &self.assembly.rods_table();
                trial.html(&self.creature, &rods)
            }
            None => self.gluing(),
        };
        page(&format!("{}: shop sheet", self.creature), &body)
    }

    fn marked(&self) -> String {
        if self.bench_only {
            classed("p", "warn", NOT_FOR_CUTTING)
        } else {
            String::new()
        }
    }

    /// First page: what there is to do, and the cautions.
    fn front(&self) -> String {
        let mut out = String::from("<section>\n");
        out += &words("h1", &format!("{}: shop sheet", self.creature));
        out += &self.marked();
        let creatures = match (self.creatures, &self.trial) {
            (_, Some(_)) => "one coupon".to_owned(),
            (1, None) => "one creature".to_owned(),
            (n, None) => format!("{n} creatures"),
        };
        out += &words(
            "p",
            &format!(
                "For {creatures}, {}. Checks: {}.",
                self.species, self.verdict
            ),
        );
        out += &words("h2", "Pieces of stock");
        out += &self.pieces_table();
        out += &self.machine();
        out += &words("h2", "Cautions");
        let cautions: String = self.cautions.iter().map(|c| words("li", c)).collect();
        out += &format!("<ul class=\"small\">\n{cautions}</ul>\n</section>\n");
        out
    }

    /// Work offsets and rounds, where the shop has stations.
    fn machine(&self) -> String {
        if self.stations.is_empty() {
            return String::new();
        }
        let mut out = words("h2", "Work offsets to type in");
        out += &self.stations_table();
        out += &words("h2", "Order of the work");
        let lines: Vec<String> = self
            .rounds
            .iter()
            .enumerate()
            .map(|(k, loads)| format!("round {}: {}", k + 1, loads.join("; ")))
            .collect();
        out + &ticks(&lines)
    }

    fn piece(&self, p: &PieceSheet) -> String {
        let (set_up, up, zero) = place(p);
        let count = match p.count {
            1 => String::new(),
            n => format!(", {n} pieces alike"),
        };
        let mut out = String::from("<section>\n");
        out += &words("h1", &format!("{}: {set_up}{count}", p.name));
        out += &self.marked();
        out += &classed("p", "up", up);
        out += &classed("p", "zero", zero);
        out += &classed(
            "p",
            "zero",
            "Zero X and Y: axis of the front dowel. X runs along the grain.",
        );
        out += &inline(&p.drawing);
        let cutters = p.cutters.iter();
        let cutters: Vec<String> = cutters
            .map(|(job, name)| format!("{job}: {name}"))
            .collect();
        let time = match p.minutes {
            Some(minutes) => format!(
                "About {:.0} minutes of cutting at the feeds of the shop file, air and tool changes not \
                 counted.",
                minutes.max(1.0)
            ),
            None => {
                "No time: a cutter in the shop file lacks feed, pass_depth or stepover.".to_owned()
            }
        };
        let cusp = match p.cusp {
            Some(cusp) => format!("Cusps of the finish on a flat: {cusp:.3} mm."),
            None => String::new(),
        };
        out += &format!(
            "<div class=\"two\">\n<div>\n{}{}{}{}</div>\n<div>\n{}{}</div>\n</div>\n</section>\n",
            words("h2", "Cutters in order"),
            ticks(&cutters),
            words("p", &self.touch(p)),
            words("p", &format!("{time} {cusp}")),
            words("h2", "Before the start"),
            ticks(&self.before(p))
        );
        out
    }

    /// What to touch at each cutter, and the number to expect.
    pub(super) fn touch(&self, p: &PieceSheet) -> String {
        if p.inside_up {
            let z = mm_text(-p.size[2]);
            return format!("At each cutter: touch the base beside the stock and expect Z = {z}.");
        }
        // The zero lies under the base by what halves came out too high.
        let z = mm_text(too_high(p).unwrap_or(0.0));
        format!("At each cutter: touch the base beside the stock and expect Z = {z}.")
    }

    /// What to look at before the start.
    pub(super) fn before(&self, p: &PieceSheet) -> Vec<String> {
        let [ends, sides] = p.clamps.map(mm_text);
        let [front, rear] = p
            .dowels
            .map(|[rod, length]| format!("{} thick, {} long", both(rod), mm_text(length)));
        let mut items: Vec<String> = corrected(p).into_iter().collect();
        items.extend([
            format!("stock: {}, {}, grain along X", p.stock, size(p.size)),
            format!(
                "clamps within {ends} of the ends and {sides} of the sides only, no higher over the stock \
                 than {}{}",
                mm_text(p.clamp_height),
                p.from_dowels.map_or(String::new(), |far| format!(
                    ", {} from the dowels' middles while their holes are cut",
                    mm_text(far)
                ))
            ),
            format!(
                "deepest cut {} under zero, but for the holes of the dowels",
                mm_text(p.deepest)
            ),
        ]);
        if p.inside_up {
            items.push(format!(
                "dowel holes through stock and base: front {front}; rear {rear}"
            ));
        } else {
            items.push(
                "both dowels seated, the thinner one in front; no dust under the stock".to_owned(),
            );
        }
        items.extend(p.flip.map(registration));
        items.push(format!("parts: {}", p.parts.join(", ")));
        items
    }

    fn gluing(&self) -> String {
        let a = &self.assembly;
        let mut out = String::from("<section>\n");
        out += &words("h1", &format!("{}: gluing", self.creature));
        out += &self.marked();
        out += &words("h2", "Order");
        out += &ticks(&a.steps_in_words());
        out += &words("h2", "Pins to cut");
        out += &a.rods_table();
        out += &words("h2", "To measure");
        out += &a.gauges_table();
        for paragraph in &a.advice {
            out += &words("p", paragraph);
        }
        out + "</section>\n"
    }
}

/// What the play of the dowels does.
fn registration(flip: FlipRow) -> String {
    let mut text = format!(
        "dowels fast in the base: their play in the stock moves a corner by up to {}",
        mm_text(flip.moves)
    );
    if let Some(step) = flip.step {
        text += &format!(", half balls step by up to {}", mm_text(step));
    }
    if let Some([worst, likely]) = flip.left {
        text += &format!(
            ", which leaves likely {} of the clearance, at worst {}",
            mm_text(likely),
            mm_text(worst)
        );
    }
    text
}

/// By how much halves came out too high by the shop's record, mm, in the set-up whose zero decides it.
fn too_high(p: &PieceSheet) -> Option<f64> {
    p.too_high
        .filter(|&high| high != 0.0 && !p.inside_up && !p.whole)
}

/// What the shop's record says of the zero of the set-up that makes the outer form.
fn corrected(p: &PieceSheet) -> Option<String> {
    let high = too_high(p)?;
    let (came_out, way) = if high > 0.0 {
        ("high", "lower")
    } else {
        ("low", "higher")
    };
    let by = mm_text(high.abs());
    Some(format!(
        "by the shop's record halves came out {by} too {came_out}: set this zero Z {by} {way} than the \
         base"
    ))
}

/// A length both ways.
pub(super) fn both(mm: f64) -> String {
    format!("{} = {}", mm_text(mm), inch_text(mm))
}

/// Length, width and thickness of a piece.
pub(super) fn size([length, width, thickness]: [f64; 3]) -> String {
    format!(
        "{} x {} x {}",
        mm_text(length),
        mm_text(width),
        both(thickness)
    )
}

/// Set-up, which way up, and zero, in words.
pub(super) fn place(p: &PieceSheet) -> (&'static str, &'static str, &'static str) {
    match (p.inside_up, p.whole) {
        (true, false) => (
            "set-up 1 of 2, inside up",
            "SPLIT FACES UP. Front end to the left.",
            "Zero Z: top of the stock, the face with the split faces.",
        ),
        (true, true) => (
            "set-up 1 of 2, lower side up",
            "MARKED FACE UP: mark one face of the stock. Front end to the left.",
            "Zero Z: top of the stock, the marked face.",
        ),
        (false, false) => (
            "set-up 2 of 2, outside up",
            "FLIPPED about the line of the dowels: split faces down. Front end to the left.",
            "Zero Z: top of the base, on which the split faces lie. Never the top of the stock here.",
        ),
        (false, true) => (
            "set-up 2 of 2, upper side up",
            "FLIPPED about the line of the dowels: marked face down. Front end to the left.",
            "Zero Z: top of the base, on which the marked face lies. Never the top of the stock here.",
        ),
    }
}
