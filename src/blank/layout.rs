//! From the sections of a creature to kinds of pieces with all parts in their places.

use super::place::{Room, Shapes};
use super::registration::{Dowel, DowelError, Flip, dowels, flip};
use super::share::{Group, Piece, fewest, share};
use super::station::{StationError, conflicts};
use super::window::Window;
use crate::chain::{BlankRules, Board};
use crate::diagnostic::Place;

/// Rounding noise of thicknesses, mm.
const NOISE: f64 = 1e-9;

/// A distinct section to be laid out.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Numbers of the sections with this form, from 1.
    pub sections: Vec<usize>,
    /// Names of its parts as files have them: of both halves, upper first, or of the whole section.
    pub names: Vec<String>,
    /// The window of each, in its own frame.
    pub windows: Vec<Window>,
    /// Its balls, front first.
    pub balls: Vec<BallPlace>,
    /// Least thickness of stock, mm.
    pub need: f64,
    /// Where its section is written.
    pub place: Place,
}

/// A ball of a section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BallPlace {
    /// Whether it is at the rear end.
    pub rear: bool,
    /// Its centre along the axis, mm.
    pub x: f64,
}

/// A part on a piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placed {
    /// Number of the section's form among those laid out.
    pub part: usize,
    /// Which of its parts: 0 upper or whole, 1 lower.
    pub side: usize,
    /// Place of the part's datum on the piece, mm.
    pub at: [f64; 2],
    /// Turned half round in plan: its front looks to the piece's rear end.
    pub turned: bool,
}

impl Placed {
    /// A place of the part in plan, on the piece.
    pub fn apply(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let sign = if self.turned { -1.0 } else { 1.0 };
        [self.at[0] + sign * x, self.at[1] + sign * y]
    }
}

/// A kind of piece.
#[derive(Debug, Clone, PartialEq)]
pub struct Kind {
    /// How many pieces of this kind.
    pub repeat: usize,
    /// What lies on each.
    pub placed: Vec<Placed>,
}

/// All pieces of one stock.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// The stock.
    pub board: Board,
    /// Length along the grain and width, mm.
    pub size: [f64; 2],
    /// Its dowels, front first.
    pub dowels: [Dowel; 2],
    /// What the flip can cost.
    pub flip: Flip,
    /// Kinds of pieces.
    pub kinds: Vec<Kind>,
    /// No layout can do with fewer pieces.
    pub fewest: usize,
}

impl Layout {
    /// Number of pieces.
    pub fn pieces(&self) -> usize {
        self.kinds.iter().map(|k| k.repeat).sum()
    }
}

/// All parts laid out.
#[derive(Debug, Clone, PartialEq)]
pub struct Blanks {
    /// One for each stock in use, thinnest first.
    pub layouts: Vec<Layout>,
    /// Number of creatures.
    pub creatures: usize,
}

impl Blanks {
    /// All kinds of pieces with their layouts, in the order in which pieces are numbered.
    pub fn kinds(&self) -> impl Iterator<Item = (&Layout, &Kind)> {
        self.layouts
            .iter()
            .flat_map(|l| l.kinds.iter().map(move |k| (l, k)))
    }
}

/// Why parts were not laid out.
#[derive(Debug, Clone, PartialEq)]
pub enum BlankError {
    /// No stock is thick enough for a part.
    Thin {
        /// Number of the part.
        part: usize,
        /// Thickness of the thickest stock, mm.
        most: f64,
    },
    /// The stock for a part has no length and width.
    NoSize(Board),
    /// A part and its windows do not fit on the stock.
    Large {
        /// Number of the part.
        part: usize,
        /// The stock.
        board: Board,
        /// Length and width that its larger window takes, mm.
        needs: [f64; 2],
        /// Length and width between ends and sides, mm.
        free: [f64; 2],
    },
    /// A dowel does not find room.
    Dowel(Board, DowelError),
    /// A station of the shop.
    Station(StationError),
    /// The window is narrower than its cutter.
    Narrow {
        /// Width of the window, mm.
        window: f64,
        /// Diameter of the cutter, mm.
        cutter: f64,
    },
}

/// Lays out the sections of some creatures.
///
/// # Errors
/// Every part that finds no place, and what is missing of stock or dowels.
pub fn lay_out(
    parts: &[Part],
    rules: &BlankRules,
    creatures: usize,
) -> Result<Blanks, Vec<BlankError>> {
    let mut errors = Vec::new();
    if rules.window < rules.cutter {
        errors.push(BlankError::Narrow {
            window: rules.window,
            cutter: rules.cutter,
        });
    }
    let most = rules.boards.last().map_or(0.0, |b| b.thickness);
    let mut on: Vec<Vec<usize>> = vec![Vec::new(); rules.boards.len()];
    for (k, part) in parts.iter().enumerate() {
        let thick = |b: &Board| b.thickness + NOISE >= part.need;
        match rules.boards.iter().position(thick) {
            Some(board) => on[board].push(k),
            None => errors.push(BlankError::Thin { part: k, most }),
        }
    }
    let mut layouts = Vec::new();
    for (board, own) in rules.boards.iter().zip(&on) {
        if own.is_empty() {
            continue;
        }
        match on_board(board, own, parts, rules, creatures) {
            Ok(layout) => {
                let at = layout.dowels[0].at;
                for e in conflicts(&rules.stations, layout.size, at, rules.travel) {
                    // Two stocks of one size have the same conflicts.
                    let e = BlankError::Station(e);
                    if !errors.contains(&e) {
                        errors.push(e);
                    }
                }
                layouts.push(layout);
            }
            Err(found) => errors.extend(found),
        }
    }
    if errors.is_empty() {
        Ok(Blanks { layouts, creatures })
    } else {
        Err(errors)
    }
}

fn on_board(
    board: &Board,
    own: &[usize],
    parts: &[Part],
    rules: &BlankRules,
    creatures: usize,
) -> Result<Layout, Vec<BlankError>> {
    let Some(size) = board.size else {
        return Err(vec![BlankError::NoSize(board.clone())]);
    };
    let dowels = dowels(size, rules).map_err(|e| vec![BlankError::Dowel(board.clone(), e)])?;
    let free = [size[0] - 2.0 * rules.ends, size[1] - 2.0 * rules.sides];
    let large: Vec<BlankError> = own
        .iter()
        .filter_map(|&k| too_large(k, &parts[k], board, free))
        .collect();
    if !large.is_empty() {
        return Err(large);
    }
    let kept = [rules.ends + rules.window, rules.sides + rules.window];
    let room = Room {
        low: kept,
        high: [0, 1].map(|k: usize| size[k] - kept[k]),
        apart: 2.0 * rules.window + rules.web,
    };
    let mut cores = Vec::new();
    let mut groups = Vec::new();
    for &k in own {
        let first = cores.len();
        cores.extend(parts[k].windows.iter().map(|w| w.core.clone()));
        groups.push(Group {
            shapes: (first..cores.len()).collect(),
            count: parts[k].sections.len() * creatures,
        });
    }
    let mut shapes = Shapes::new(&cores);
    let shared = share(&mut shapes, &groups, &room);
    let pieces = shared.map_err(|group| {
        let part = own[group];
        let [a, b] = parts[part].windows.iter().fold([0.0; 2], |all, w| {
            let s = span(w);
            [f64::max(all[0], s[0]), all[1] + s[1] + rules.web]
        });
        vec![BlankError::Large {
            part,
            board: board.clone(),
            needs: [a, b - rules.web],
            free,
        }]
    })?;
    Ok(Layout {
        board: board.clone(),
        size,
        dowels,
        flip: flip(&dowels, size, rules),
        kinds: pieces.iter().map(|p| kind(p, own)).collect(),
        fewest: fewest(&shapes, &groups, &room),
    })
}

/// Length and width of a window.
fn span(window: &Window) -> [f64; 2] {
    let [low, high] = window.core.bounds();
    [0, 1].map(|k: usize| high[k] - low[k] + 2.0 * window.width)
}

fn too_large(number: usize, part: &Part, board: &Board, free: [f64; 2]) -> Option<BlankError> {
    let spans = part.windows.iter().map(span);
    let needs = spans.fold([0.0; 2], |all, s| {
        [0, 1].map(|k: usize| f64::max(all[k], s[k]))
    });
    (needs[0] > free[0] + NOISE || needs[1] > free[1] + NOISE).then(|| BlankError::Large {
        part: number,
        board: board.clone(),
        needs,
        free,
    })
}

fn kind(piece: &Piece, own: &[usize]) -> Kind {
    let placed = piece.puts.iter().map(|put| Placed {
        part: own[put.group],
        side: put.part,
        at: put.spot.at,
        turned: put.spot.turned,
    });
    Kind {
        repeat: piece.repeat,
        placed: placed.collect(),
    }
}
