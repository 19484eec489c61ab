//! Where a tab stands on a plate: the straight outer wall, and its root there in plan.
//!
//! Written for a plate at y < 0, like its outline. The wall is upright and the tab's sides are
//! planes of constant x, so the root is a quadrangle of the wall's plane with two upright sides.

use super::flank::RimSide;
use super::plan::{Corner, Way, gap, plate_path, rounded};
use crate::chain::{Plate, Tab};

/// The wall of a plate that a tab stands out of.
#[derive(Debug, Clone, PartialEq)]
pub struct Ledge {
    /// The plate's rounded outline.
    pub outline: Vec<Corner>,
    /// Corner of that outline at which the wall begins.
    pub wall: usize,
    /// Places of the tab's sides on the wall's line, front and rear.
    pub root: [[f64; 2]; 2],
    /// Outer end of the tab's sides: straight along y from the root.
    pub ends: [[f64; 2]; 2],
}

impl Ledge {
    /// Of a tab on a plate: the wall under the tab's middle, the outermost one if there are
    /// several, else the nearest along x. None for a plate whose walls all run to the front.
    pub fn of(side: &RimSide, plate: &Plate, tab: &Tab) -> Option<Self> {
        let radii: Vec<f64> = plate.corners.iter().map(|c| c.radius).collect();
        let outline = rounded(&plate_path(side, plate), &radii);
        let last = outline.len().checked_sub(2)?;
        let y_at = |k: usize, x: f64| {
            let (p, q) = (outline[k].at, outline[k + 1].at);
            p[1] + (x - p[0]) / (q[0] - p[0]) * (q[1] - p[1])
        };
        let far = |k: usize| {
            let (p, q) = (outline[k].at, outline[k + 1].at);
            (p[0] - tab.x).max(tab.x - q[0]).max(0.0)
        };
        // The first and the last wall stand on the rim.
        let wall = (1..last)
            .filter(|&k| outline[k].way == Way::Line && outline[k].at[0] < outline[k + 1].at[0])
            .min_by(|&a, &b| {
                let out = || y_at(a, tab.x).total_cmp(&y_at(b, tab.x));
                far(a).total_cmp(&far(b)).then_with(out)
            })?;
        let root = [-0.5, 0.5].map(|s| {
            let x = tab.x + s * tab.width;
            [x, y_at(wall, x)]
        });
        let outer = root[0][1].min(root[1][1]);
        Some(Ledge {
            ends: [0, 1].map(|e: usize| [root[e][0], outer - tab.length[e]]),
            outline,
            wall,
            root,
        })
    }

    /// Straight wall left in front of the tab's root and behind it, mm; negative where the root
    /// runs over the wall's end.
    pub fn beside(&self) -> [f64; 2] {
        let (p, q) = (self.outline[self.wall].at, self.outline[self.wall + 1].at);
        let per_x = gap(p, q) / (q[0] - p[0]);
        [
            (self.root[0][0] - p[0]) * per_x,
            (q[0] - self.root[1][0]) * per_x,
        ]
    }
}
