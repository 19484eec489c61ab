use super::*;
use crate::brep::spline::curve;
use proptest::prelude::*;
use std::f64::consts::{FRAC_PI_2, PI};
use truck_modeling::Point3;

/// Greatest distance of places along the curve from the polyline.
fn off(curve: &Curve, places: &[Place]) -> f64 {
    let (from, to) = curve.range();
    let distance = |p: Point3| {
        let to_chord = |w: &[Place]| {
            let (d, v) = (
                [w[1][0] - w[0][0], w[1][1] - w[0][1]],
                [p.x - w[0][0], p.y - w[0][1]],
            );
            let square = (d[0] * d[0] + d[1] * d[1]).max(f64::MIN_POSITIVE);
            let share = ((d[0] * v[0] + d[1] * v[1]) / square).clamp(0.0, 1.0);
            (v[0] - share * d[0]).hypot(v[1] - share * d[1])
        };
        let all = places.windows(2).map(to_chord);
        all.fold(f64::INFINITY, f64::min)
    };
    (0..=2000)
        .map(|i| distance(curve.at(from + (to - from) * f64::from(i) / 2000.0)))
        .fold(0.0, f64::max)
}

fn polyline(curve: &Curve) -> Vec<Place> {
    match Stroke::of(curve, true) {
        Stroke::Polyline(places) => places,
        other => panic!("{other:?}"),
    }
}

proptest! {
    #[test]
    fn a_spline_keeps_within_its_tolerance(
        raw in prop::collection::vec(-30.0f64..30.0, 14), inner in 0.1f64..0.9) {
        let knots = [vec![0.0; 4], vec![inner, inner, 0.95], vec![1.0; 4]].concat();
        let points: Vec<[f64; 3]> = raw.chunks(2).map(|p| [p[0], p[1], 0.0]).collect();
        let spline = Curve::Spline(curve(knots, &points));
        let places = polyline(&spline);
        let found = off(&spline, &places);
        prop_assert!(found < FLATTENED_WITHIN, "{}", found);
    }

    #[test]
    fn an_arc_keeps_its_ends_and_its_sense(
        r in 0.1f64..50.0, from in -PI..PI, long in 0.01f64..6.2, up in any::<bool>(), forward in any::<bool>()) {
        let b = Vector3::new(0.0, if up { r } else { -r }, 0.0);
        let arc = Curve::Arc(Arc {
            centre: Point3::new(1.0, 2.0, 0.0), a: Vector3::new(r, 0.0, 0.0), b, range: (from, from + long),
        });
        let stroke = Stroke::of(&arc, forward);
        let (p, q) = stroke.ends();
        let (s, t) = if forward { (from, from + long) } else { (from + long, from) };
        for (place, t) in [(p, s), (q, t)] {
            let wanted = arc.at(t);
            prop_assert!((place[0] - wanted.x).hypot(place[1] - wanted.y) < 1e-12 * (1.0 + r) * 10.0);
        }
        let Stroke::Arc { turn, .. } = stroke else { panic!("no arc") };
        prop_assert_eq!(turn > 0.0, up == forward);
        prop_assert!((turn.abs() - long).abs() < 1e-12);
    }
}

#[test]
fn an_ellipse_keeps_within_its_tolerance() {
    // A circle of radius 20 tilted by 60 degrees: semi-axes 20 and 10 in plan.
    let arc = Curve::Arc(Arc {
        centre: Point3::new(3.0, -4.0, 5.0),
        a: Vector3::new(20.0, 0.0, 0.0),
        b: Vector3::new(0.0, 10.0, 300f64.sqrt()),
        range: (0.0, PI),
    });
    let places = polyline(&arc);
    assert!(off(&arc, &places) < FLATTENED_WITHIN);
    // Green over the half ellipse and its diameter: pi a b / 2.
    let centre = [3.0, -4.0];
    let seen: Vec<Place> = places
        .iter()
        .map(|p| [p[0] - centre[0], p[1] - centre[1]])
        .collect();
    let area = 0.5 * Stroke::Polyline(seen).twice_area();
    assert!((area - 100.0 * PI).abs() < 0.7 * FLATTENED_WITHIN * 50.0);
}

#[test]
fn two_half_arcs_are_a_circle_and_two_others_are_not() {
    let half = |x: f64, radius: f64, start: f64, turn: f64| Stroke::Arc {
        centre: [x, 1.0],
        radius,
        start,
        turn,
    };
    let circle = joined(vec![half(2.0, 3.0, 0.5, PI), half(2.0, 3.0, 0.5 + PI, PI)]);
    assert_eq!(
        circle,
        [Stroke::Circle {
            centre: [2.0, 1.0],
            radius: 3.0
        }]
    );
    for other in [
        half(2.1, 3.0, 0.5 + PI, PI),
        half(2.0, 3.1, 0.5 + PI, PI),
        half(2.0, 3.0, 0.5 + PI, FRAC_PI_2),
        half(2.0, 3.0, 0.5 + PI, -PI),
    ] {
        let two = vec![half(2.0, 3.0, 0.5, PI), other];
        assert_eq!(joined(two.clone()), two);
    }
}

#[test]
fn the_box_of_an_arc_holds_the_quarters_it_passes() {
    let arc = |start: f64, turn: f64| Stroke::Arc {
        centre: [0.0, 0.0],
        radius: 2.0,
        start,
        turn,
    };
    let most = |s: &Stroke, c: usize, sign: f64| {
        let all = s.extremes().into_iter().map(|p| sign * p[c]);
        all.fold(f64::NEG_INFINITY, f64::max)
    };
    for stroke in [arc(-0.3, 0.6), arc(0.3, -0.6)] {
        assert!((most(&stroke, 0, 1.0) - 2.0).abs() < 1e-12);
        assert!((most(&stroke, 1, 1.0) - 2.0 * 0.3_f64.sin()).abs() < 1e-12);
        assert!((most(&stroke, 0, -1.0) + 2.0 * 0.3_f64.cos()).abs() < 1e-12);
    }
}
