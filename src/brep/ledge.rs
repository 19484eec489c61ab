//! The foot of a plate's wall with the tabs that stand out of it: windows in the wall, or notches
//! of its foot where a tab lies on the split plane.

use super::rim::{RimOf, Standing};
use super::shape::{Edge, Vertex};
use super::tab;
use super::weave::{NotClosed, Weave, line};
use crate::chain::{Plate, Tab};
use crate::skin::ledge::Ledge;

/// A tab of a plate with its place.
pub(super) struct Held<'a> {
    tab: &'a Tab,
    ledge: Ledge,
}

/// What a wall's foot becomes.
pub(super) struct Foot {
    /// Lower edges of the wall, from its front to its rear.
    pub wall: Vec<Edge>,
    /// Part of the split face's outline.
    pub split: Vec<Edge>,
    /// Windows in the wall.
    pub windows: Vec<Vec<Edge>>,
}

/// The tabs of a plate from front to rear.
///
/// # Errors
/// [`NotClosed`] when a tab's root does not lie on the upright part of its wall, or meets another.
pub(super) fn held<'a>(
    rim: &RimOf<'_>,
    plate: &Plate,
    tabs: &[&'a Tab],
) -> Result<Vec<Held<'a>>, NotClosed> {
    let fault = |what: &str| NotClosed(format!("a tab {what} its plate's straight outer edge"));
    let mut all = Vec::new();
    for &tab in tabs {
        let ledge = Ledge::of(rim.side, plate, tab).ok_or_else(|| fault("without"))?;
        let on = ledge.beside().iter().all(|&left| left > 0.0);
        if !on || tab.to >= plate.half_thickness - plate.ease {
            return Err(fault("beyond"));
        }
        all.push(Held { tab, ledge });
    }
    all.sort_by(|a, b| a.tab.x.total_cmp(&b.tab.x));
    let meet = |pair: &[Held<'_>]| {
        pair[0].ledge.wall == pair[1].ledge.wall
            && pair[1].ledge.root[0][0] <= pair[0].ledge.root[1][0]
    };
    if all.windows(2).any(meet) {
        return Err(fault("over another on"));
    }
    Ok(all)
}

/// Adds the tabs of one wall, whose foot runs between two corners; without tabs it stays one edge.
///
/// # Errors
/// [`NotClosed`] on a fault of topology.
pub(super) fn foot(
    weave: &mut Weave,
    rim: &RimOf<'_>,
    held: &[Held<'_>],
    wall: usize,
    whole: &Edge,
) -> Result<Foot, NotClosed> {
    let mut foot = Foot {
        wall: Vec::new(),
        split: Vec::new(),
        windows: Vec::new(),
    };
    let mut at: Vertex = whole.front().clone();
    for held in held.iter().filter(|h| h.ledge.wall == wall) {
        match tab::on_plate(weave, rim, held.tab, &held.ledge)? {
            Standing::Window(edges) => foot.windows.push(edges),
            Standing::Notch { rim: over, split } => {
                let run = line(&at, over[0].front());
                at = over[over.len() - 1].back().clone();
                foot.wall.push(run.clone());
                foot.wall.extend(over);
                foot.split.push(run);
                foot.split.extend(split);
            }
        }
    }
    let last = if foot.wall.is_empty() {
        whole.clone()
    } else {
        line(&at, whole.back())
    };
    foot.wall.push(last.clone());
    foot.split.push(last);
    Ok(foot)
}
