//! Closed forms, and a search that shares no code.

mod forms;
mod random;

use super::*;

pub(super) type Soup = (Vec<[f64; 3]>, Vec<[u32; 3]>);

pub(super) fn body((positions, triangles): &Soup) -> MeshTree {
    MeshTree::new(positions, triangles).unwrap()
}

/// The least angle in [0, `most`] (radians) at which `moving`, shifted by `offset` (mm) and turned
/// right-handed about `axis` through `centre`, touches `still`.
pub(super) fn first_contact(
    still: &MeshTree,
    moving: &MeshTree,
    centre: [f64; 3],
    axis: [f64; 3],
    offset: [f64; 3],
    most: f64,
) -> Contact {
    let still = Poised::new(still, -Vector3::from(centre));
    let moving = Poised::new(moving, Vector3::from(offset) - Vector3::from(centre));
    search(&still, &moving, &Axis::new(axis.into()), most).at(centre)
}
