//! Tabs: prisms out of a window in the rim or in a plate's outer wall, with level top and
//! underside.

use super::rim::{RimOf, Stand, Standing, corner};
use super::shape::{Edge, FaceKind, Vertex};
use super::weave::{NotClosed, Weave, line};
use crate::chain::Tab;
use crate::skin::ledge::Ledge;
use crate::skin::plan::direction;

/// Where a tab begins and ends; pairs run from front to rear, then from low to high.
struct Place {
    /// Corners of the root.
    inner: [[Vertex; 2]; 2],
    /// Lower and upper edge of the root.
    levels: [Edge; 2],
    /// Outer ends of the sides in plan.
    ends: [[f64; 2]; 2],
    /// Ways out in plan of the sides.
    ways: [[f64; 2]; 2],
}

/// Adds a tab of the rim. Its sides are the vertical planes through two rulings.
///
/// # Errors
/// [`NotClosed`] on a fault of topology.
pub(super) fn tab(weave: &mut Weave, rim: &RimOf<'_>, tab: &Tab) -> Result<Stand, NotClosed> {
    let side = rim.side;
    let u = [-0.5, 0.5].map(|s| side.u_of_x(tab.x + s * tab.width));
    let z = [tab.from, tab.to];
    let inner = u.map(|u| z.map(|z| corner(rim, side.point(u, z))));
    let level = |k: usize| rim.level(&inner[0][k], &inner[1][k], (u[0], u[1]), z[k]);
    let place = Place {
        levels: [level(0), level(1)],
        inner,
        ends: [0, 1].map(|e: usize| side.out(u[e], tab.length[e])),
        ways: u.map(|u| side.outwards(u)),
    };
    Ok(Stand {
        from: u[0],
        to: u[1],
        kind: faces(weave, rim, tab, &place)?,
    })
}

/// Adds a tab of a plate's wall: its sides are planes of constant x, its root has straight edges.
///
/// # Errors
/// [`NotClosed`] on a fault of topology.
pub(super) fn on_plate(
    weave: &mut Weave,
    rim: &RimOf<'_>,
    tab: &Tab,
    ledge: &Ledge,
) -> Result<Standing, NotClosed> {
    let z = [tab.from, tab.to];
    let inner = ledge.root.map(|p| z.map(|z| corner(rim, [p[0], p[1], z])));
    let level = |k: usize| line(&inner[0][k], &inner[1][k]);
    let place = Place {
        levels: [level(0), level(1)],
        inner,
        ends: ledge.ends,
        ways: [[0.0, -1.0]; 2],
    };
    faces(weave, rim, tab, &place)
}

/// Adds a tab's faces. With its underside on the split plane it is a notch, and the underside a
/// part of the split face.
fn faces(
    weave: &mut Weave,
    rim: &RimOf<'_>,
    tab: &Tab,
    place: &Place,
) -> Result<Standing, NotClosed> {
    let Place {
        inner,
        levels,
        ends,
        ways,
    } = place;
    let z = [tab.from, tab.to];
    let outer = ends.map(|p| z.map(|z| corner(rim, [p[0], p[1], z])));
    let ruling = [0, 1].map(|e: usize| line(&inner[e][0], &inner[e][1]));
    let upright = [0, 1].map(|e: usize| line(&outer[e][0], &outer[e][1]));
    let out = [0, 1].map(|e: usize| [0, 1].map(|k: usize| line(&inner[e][k], &outer[e][k])));
    let end = [0, 1].map(|k: usize| line(&outer[0][k], &outer[1][k]));
    let top = vec![
        out[0][1].clone(),
        end[1].clone(),
        out[1][1].inverse(),
        levels[1].inverse(),
    ];
    let at = |v: &Vertex| v.point();
    rim.plane(
        weave,
        FaceKind::TabTop,
        (at(&inner[0][1]), [0.0, 0.0, 1.0]),
        top,
    )?;
    let front = vec![
        out[0][0].clone(),
        upright[0].clone(),
        out[0][1].inverse(),
        ruling[0].inverse(),
    ];
    // To the right of the way out, and to its left.
    let normal = [ways[0][1], -ways[0][0], 0.0];
    rim.plane(weave, FaceKind::TabWall, (at(&inner[0][0]), normal), front)?;
    let rear = vec![
        ruling[1].clone(),
        out[1][1].clone(),
        upright[1].inverse(),
        out[1][0].inverse(),
    ];
    let normal = [-ways[1][1], ways[1][0], 0.0];
    rim.plane(weave, FaceKind::TabWall, (at(&inner[1][0]), normal), rear)?;
    let along = direction(ends[0], ends[1]);
    let outside = vec![
        end[0].clone(),
        upright[1].clone(),
        end[1].inverse(),
        upright[0].inverse(),
    ];
    let normal = [along[1], -along[0], 0.0];
    rim.plane(
        weave,
        FaceKind::TabWall,
        (at(&outer[0][0]), normal),
        outside,
    )?;
    let round = vec![out[0][0].clone(), end[0].clone(), out[1][0].inverse()];
    Ok(if tab.from == 0.0 {
        Standing::Notch {
            rim: vec![ruling[0].clone(), levels[1].clone(), ruling[1].inverse()],
            split: round,
        }
    } else {
        let mut under: Vec<_> = round.iter().rev().map(|e| e.inverse()).collect();
        under.push(levels[0].clone());
        let low = (at(&inner[0][0]), [0.0, 0.0, -1.0]);
        rim.plane(weave, FaceKind::TabUnderside, low, under)?;
        Standing::Window(vec![
            ruling[0].clone(),
            levels[1].clone(),
            ruling[1].inverse(),
            levels[0].inverse(),
        ])
    })
}
