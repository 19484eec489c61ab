//! Closed forms, a search that shares no code, and bad input.

mod forms;
mod random;

use super::*;

pub(super) type Soup = (Vec<[f64; 3]>, Vec<[u32; 3]>);

pub(super) fn body((positions, triangles): &Soup) -> Body {
    Body::new(positions, triangles).unwrap()
}

#[test]
fn meshes_that_are_no_body() {
    let p = [[0.0; 3], [1.0, 0.0, 0.0], [0.0, f64::NAN, 0.0]];
    let refused = |t: &[[u32; 3]]| Body::new(&p, t).unwrap_err();
    assert_eq!(refused(&[]), BadBody::Empty);
    assert_eq!(
        refused(&[[0, 1, 1], [0, 1, 3]]),
        BadBody::NoSuchPosition { triangle: 1 }
    );
    assert_eq!(refused(&[[0, 1, 2]]), BadBody::NotFinite { triangle: 0 });
}
