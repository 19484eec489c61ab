//! First contact of two rigid meshes when one turns about a fixed axis: how far a joint swings.
//!
//! In cylindrical coordinates about the axis a turn is a shift of the angle, and the distance
//! from a point of the axis does not change either: two points can only meet when distance from
//! the axis, height and distance from the centre agree, and they meet after the angle between
//! them. So boxes in these coordinates give lower bounds of the angle that are nearly sharp, even
//! for ball and socket, which lie one clearance apart all the way; and the angle at which two
//! triangles meet has a closed form (`event.rs`). Nothing is stepped, nothing is iterated.
//!
//! Guaranteed: the angle is the least over all pairs of triangles, within [`ANGLE_TOLERANCE`];
//! places nearer than [`TOUCH`] count as touching; meshes that cross before the turn touch at
//! angle 0; the same input gives the same answer on any number of threads. Not guaranteed: a
//! body that begins inside the other without crossing its surface is free; which of several
//! pairs that meet together is named; contact of faces that slide in one plane square to the axis
//! is found at their outlines.

mod event;
mod poised;
mod round;
mod search;

#[cfg(test)]
mod tests;

use nalgebra::Vector3;
use rayon::prelude::*;

use poised::Poised;
use round::Axis;
use search::search;

use crate::mesh::nearest::MeshTree;

/// Largest error of the angle against the true first contact of the two meshes, radians. Derived:
/// grazing contacts are double roots, where rounding of 1e-12 mm grows to its square root over
/// lever arms of some mm.
pub const ANGLE_TOLERANCE: f64 = 1e-5;
/// Places so near touch, mm: far over the rounding of coordinates below a metre, far below any
/// deviation of a mesh.
pub const TOUCH: f64 = 1e-9;

/// The first contact of a turn, or its free end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contact {
    /// Angle of the first contact, or the whole turn that was asked for, radians.
    pub angle: f64,
    /// Whether the bodies touch within the turn.
    pub touched: bool,
    /// Where they touch, in the frame of the still body, mm; the centre when they do not.
    pub place: [f64; 3],
}

/// Swings of one joint in all directions.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swing {
    /// The fixed point, mm.
    pub centre: [f64; 3],
    /// From the centre along the straight chain, towards the moving body; any length but 0.
    pub chain_axis: [f64; 3],
    /// Number of directions, evenly round the chain's axis.
    pub count: usize,
    /// Shift before the turn, mm, square to the chain's axis, the way that the turn carries what
    /// lies along that axis: 0 keeps ball and socket concentric, the clearance pushes the neck
    /// nearest to the mouth.
    pub aside: f64,
    /// Greatest angle looked at, radians; below 2 pi.
    pub most: f64,
}

/// First contacts in `count` directions: direction k carries the chain's axis towards the k-th of
/// evenly spread directions square to it. The first one is the y direction (x when the chain lies
/// along y) less its part along the chain; the others follow right-handed about the chain.
pub fn swing_all(still: &MeshTree, moving: &MeshTree, swing: &Swing) -> Vec<Contact> {
    let centre = Vector3::from(swing.centre);
    let chain = Axis::new(swing.chain_axis.into());
    let still = Poised::new(still, -centre);
    // Concentric, the moving body begins at one place for all directions.
    let concentric = (swing.aside == 0.0).then(|| Poised::new(moving, -centre));
    (0..swing.count)
        .into_par_iter()
        .map(|k| {
            let towards = chain.across(std::f64::consts::TAU * k as f64 / swing.count as f64);
            let axis = Axis::new(chain.along.cross(&towards));
            let pushed;
            let moving = match &concentric {
                Some(moving) => moving,
                None => {
                    pushed = Poised::new(moving, towards * swing.aside - centre);
                    &pushed
                }
            };
            search(&still, moving, &axis, swing.most).at(swing.centre)
        })
        .collect()
}

impl Contact {
    /// The contact, found about the origin, about its centre.
    fn at(mut self, centre: [f64; 3]) -> Contact {
        self.place = std::array::from_fn(|k| self.place[k] + centre[k]);
        self
    }
}
