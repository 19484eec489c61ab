//! Volumes of pieces from closed forms, from halves built without what is cut into their split faces, and
//! from the plans of terraces: none of the states' solids enters.

use std::f64::consts::{FRAC_PI_2, PI};

use limberwood::blank::{Kind, Layout, Placed};
use limberwood::brep::build_form;
use limberwood::brep::shape::{FaceKind, Half};
use limberwood::brep::states::State;
use limberwood::brep::terraces::Terraces;
use limberwood::brep::volume::{face_area, volume};
use limberwood::chain::{End, EndFace, EndJoint, HalfForm, Side};

use super::designs::Case;

/// Volume of half a socket with its flare up to the upright plane through the mouth's places on the split
/// plane, and its area in the split plane.
pub fn hollow(end: &End) -> Option<(f64, f64)> {
    let EndJoint::Socket(s) = end.joint else {
        return None;
    };
    let (r, a) = (s.radius, s.mouth_radius);
    let e = (r * r - a * a).sqrt();
    // From the socket's centre to the plane of the mouth. On a dome about that centre of radius d:
    // x^2 + (a + (x - e) tan f)^2 = d^2.
    let t = s.flare.tan();
    let far = match end.face {
        EndFace::Domed { radius } => {
            let c = a - e * t;
            let (p, q) = (1.0 + t * t, c * t);
            (-q + (q * q - p * (c * c - radius * radius)).sqrt()) / p
        }
        EndFace::Flat | EndFace::Closed => s.depth,
    };
    let (long, wide) = (far - e, a + (far - e) * t);
    let ball = PI * (r * r * e - e * e * e / 3.0 + 2.0 * r * r * r / 3.0);
    let cone = PI * long / 3.0 * (a * a + a * wide + wide * wide);
    let circle = e * a + r * r * ((e / r).asin() + FRAC_PI_2);
    Some((0.5 * (ball + cone), circle + long * (a + wide)))
}

fn split_area(half: &Half) -> f64 {
    let faces = half.solid.face_iter().zip(&half.kinds);
    let own = faces.filter(|(_, kind)| **kind == FaceKind::SplitFace);
    own.map(|(face, _)| face_area(face)).sum()
}

/// What the first set-up takes of a half within a window of an area: the groove round it, the hollows in
/// its split face, and what lies over them in the wood that sanding takes.
pub fn inside(form: &HalfForm, body: &Half, window: f64, (sanding, relief): (f64, f64)) -> f64 {
    let mut plain = form.clone();
    plain.pins.clear();
    plain.features.grooves.clear();
    plain.features.marks.clear();
    let (plain, _) = build_form(&plain).expect("it is built without pockets");
    let sockets = [&form.front, &form.rear].into_iter().filter_map(hollow);
    let (deep, open) = sockets.fold((0.0, 0.0), |(v, a), (w, b)| (v + w, a + b));
    let island = split_area(&plain) + open;
    let pockets = volume(&plain) - volume(body);
    (window - island) * (sanding + relief) + sanding * (island - split_area(body)) + pockets + deep
}

fn polygon(places: &[[f64; 2]]) -> f64 {
    let next = places.iter().cycle().skip(1);
    let cross = places
        .iter()
        .zip(next)
        .map(|(p, q)| p[0] * q[1] - p[1] * q[0]);
    0.5 * cross.sum::<f64>()
}

/// Area of a polygon to the right of the way from p to q.
fn cut_off(places: &[[f64; 2]], p: [f64; 2], q: [f64; 2]) -> f64 {
    let off = |c: &[f64; 2]| (q[0] - p[0]) * (c[1] - p[1]) - (q[1] - p[1]) * (c[0] - p[0]);
    let mut kept = Vec::new();
    let next = places.iter().cycle().skip(1);
    for (a, b) in places.iter().zip(next) {
        let (from, to) = (off(a), off(b));
        if from <= 0.0 {
            kept.push(*a);
        }
        if (from < 0.0) != (to < 0.0) && from != to {
            let part = from / (from - to);
            kept.push([0, 1].map(|k: usize| a[k] + part * (b[k] - a[k])));
        }
    }
    polygon(&kept)
}

/// What roughing takes from a face of the stock at a height.
fn roughed(own: &Terraces, window: f64, face: f64) -> f64 {
    let mut left = 0.0;
    let mut at = own.from;
    for (contour, to) in &own.steps {
        left += polygon(contour) * (at - to).abs();
        at = *to;
    }
    let arms = own.arms.iter().map(|[first, second]| {
        let whole = polygon(&[first[0], first[1], second[1], second[0]]);
        // Of the contour, what lies beyond the line between the tab's corners.
        whole - cut_off(&own.contour, first[0], second[0])
    });
    left += (polygon(&own.contour) + arms.sum::<f64>()) * (own.level - own.floor).abs();
    window * (face - own.floor).abs() - left
}

/// Volume of a piece in a state; of finished ones other tests know it.
pub fn volume_of(case: &Case, layout: &Layout, kind: &Kind, state: State) -> Option<f64> {
    if state == State::Finished {
        return None;
    }
    let [length, width] = layout.size;
    let thick = layout.board.thickness;
    let holes = layout.dowels.iter().map(|d| PI * d.hole * d.hole / 4.0);
    let mut sum = (length * width - holes.sum::<f64>()) * thick;
    for placed in &kind.placed {
        sum -= below(case, placed, thick);
        if state == State::Rough {
            let own = case.laid.terraces(placed, thick, true).expect("terraces");
            sum -= roughed(&own, window(case, placed), thick);
        }
    }
    Some(sum)
}

fn window(case: &Case, placed: &Placed) -> f64 {
    let window = &case.laid.parts[placed.part].windows[placed.side];
    window.core.area_within(window.width)
}

fn below(case: &Case, placed: &Placed, thick: f64) -> f64 {
    let number = case.laid.parts[placed.part].sections[0] - 1;
    let form = &case.resolved.creature.sections[number].form;
    let window = window(case, placed);
    if form.whole {
        let own = case.laid.terraces(placed, thick, false).expect("terraces");
        return roughed(&own, window, 0.0);
    }
    let side = [Side::Upper, Side::Lower][placed.side];
    let sizes = (case.laid.sanding(placed.part), case.resolved.relief);
    let body = case.laid.body(placed.part, placed.side);
    inside(&HalfForm::of(form, side), body, window, sizes)
}
