//! Bodies whose slices have closed forms: neither patches nor solids enter the expectation.

use limberwood::brep::{build_form, volume::volume as exact_volume};
use limberwood::chain::{
    End, EndFace, EndJoint, Features, HalfForm, Knot, SectionForm, Side, Station,
};

use super::draw::Draw;
use super::gauss;

fn plain() -> End {
    End {
        face: EndFace::Flat,
        joint: EndJoint::None,
    }
}

fn form(length: f64, outline: Vec<Station>, rim: f64, lean: f64) -> SectionForm {
    SectionForm {
        length,
        outline,
        rim,
        lean,
        front: plain(),
        rear: plain(),
        pins: Vec::new(),
        whole: false,
        features: Features::default(),
    }
}

/// Exact volume, and how far the fit of the section curves can put it off.
fn measured(form: &SectionForm) -> (f64, f64) {
    let half = HalfForm::of(form, Side::Upper);
    let (solid, skin) = build_form(&half).expect("a half");
    let most = |f: &dyn Fn(&Station) -> f64| form.outline.iter().map(f).fold(0.0, f64::max);
    let curve = 2.0 * (most(&|s| s.half_width) + most(&|s| s.above));
    (exact_volume(&solid), skin.misfit * curve * form.length)
}

/// A straight body with leaning sides and ends, cut by level planes: at height z it is a
/// rectangle, as wide as the superellipse and both leans leave it.
#[test]
fn straight_leaning_bodies_by_level_slices() {
    for case in 0..60 {
        let mut d = Draw::of(1_000_000 + case);
        let (w, h) = (d.between(8.0, 20.0), d.between(8.0, 20.0));
        let (length, rim) = (d.between(15.0, 60.0), d.between(2.0, 6.0));
        let (lean, n) = (d.between(0.0, 6.0).to_radians(), d.between(2.0, 4.0));
        let station = |x: f64| Station {
            x,
            half_width: w,
            above: h,
            below: h,
            squareness: n,
            knot: Knot::Point,
        };
        let form = form(length, vec![station(0.0), station(length)], rim, lean);
        let t = lean.tan();
        let slice = |z: f64, part: f64| 2.0 * part * (w - t * z) * (length - 2.0 * t * z);
        // Above the rim (z - rim) / (h - rim) = sin^(2/n), part = cos^(2/n); the square keeps
        // both ends of the quadrature smooth enough.
        let above = |q: f64| {
            let a = 0.5 * std::f64::consts::PI * (3.0 - 2.0 * q) * q * q;
            let da = 3.0 * std::f64::consts::PI * q * (1.0 - q);
            let z = rim + (h - rim) * a.sin().powf(2.0 / n);
            let dz = (h - rim) * 2.0 / n * a.sin().powf(2.0 / n - 1.0) * a.cos() * da;
            slice(z, a.cos().powf(2.0 / n)) * dz
        };
        let steps = 20;
        let at = |i: i32| f64::from(i) / f64::from(steps);
        let expected: f64 = gauss::fifteen(0.0, rim, |z| slice(z, 1.0))
            + (0..steps)
                .map(|i| gauss::fifteen(at(i), at(i + 1), above))
                .sum::<f64>();
        let (exact, misfit) = measured(&form);
        let off = (exact - expected).abs();
        // The lean moves control points, so a leaning section is not quite the superellipse
        // leaned point by point.
        let bulge = 0.02 * t * expected;
        assert!(
            off < misfit + bulge,
            "case {case}: {exact} {expected} {misfit} {bulge}"
        );
    }
}

/// An upright body of half ellipses over a rim, width and height straight between two ends: a
/// slice is 2 w rim + pi/2 w (h - rim), of degree 2 along x.
#[test]
fn upright_elliptic_bodies_by_slices_across() {
    for case in 0..60 {
        let mut d = Draw::of(2_000_000 + case);
        let (length, rim) = (d.between(15.0, 60.0), d.between(2.0, 6.0));
        let mut station = |x: f64| Station {
            x,
            half_width: d.between(8.0, 20.0),
            above: d.between(8.0, 20.0),
            below: 9.0,
            squareness: 2.0,
            knot: Knot::Point,
        };
        let (a, b) = (station(0.0), station(length));
        let slice = |x: f64| {
            let between = |p: f64, q: f64| p + (q - p) * x / length;
            let (w, h) = (
                between(a.half_width, b.half_width),
                between(a.above, b.above),
            );
            2.0 * w * rim + 0.5 * std::f64::consts::PI * w * (h - rim)
        };
        let expected = gauss::five(0.0, length, slice);
        let (exact, misfit) = measured(&form(length, vec![a, b], rim, 0.0));
        let off = (exact - expected).abs();
        assert!(
            off < misfit + 1e-9 * expected,
            "case {case}: {exact} {expected} {misfit}"
        );
    }
}
