//! The bench body: against the closed form of its outline and the sizes of its joints.

use super::*;
use crate::chain::form::{EndFace, EndJoint, SectionForm};
use crate::params::read_design_str;

const REFERENCE: &str = include_str!("../../../../params/reference.yaml");

#[test]
fn reference_body() {
    let resolved = sound(REFERENCE);
    let creature = &resolved.creature;
    assert!(creature.bench_only);
    assert!(resolved.warnings.is_empty(), "{}", resolved.warnings);
    assert_eq!(creature.sections.len(), 12);
    for (i, section) in creature.sections.iter().enumerate() {
        let s = 0.97f64.powi(i32::try_from(i).unwrap());
        let form = &section.form;
        assert!((form.length - 40.0 * s).abs() < 1e-9);
        assert_eq!((form.rim, form.lean), (2.0, 0.0));
        assert_eq!(
            (form.front.face, form.rear.face),
            (EndFace::Flat, EndFace::Flat)
        );
        let pin = form.pins[0];
        assert!((pin.x - 20.0 * s).abs() < 1e-9 && (pin.radius - 3.175).abs() < 1e-12);
        assert!((pin.depth_above - (14.0 * s - 1.5).min(8.0)).abs() < 1e-8);
        assert!((pin.depth_below - (10.0 * s - 1.5).min(8.0)).abs() < 1e-8);
        joints_of(form, s, i);
        outline_of(form, s);
    }
}

fn joints_of(form: &SectionForm, s: f64, i: usize) {
    if let EndJoint::Ball(ball) = form.rear.joint {
        assert!((ball.radius - 8.0 * s).abs() < 1e-8 && (ball.neck_radius - 4.0 * s).abs() < 1e-8);
        // Neck 4 s long up to where it meets the ball.
        assert!((ball.reach - s * (4.0 + 48f64.sqrt())).abs() < 1e-7);
        assert_eq!(ball.fillet, 0.0);
    } else {
        assert_eq!(i, 11);
    }
    if let EndJoint::Socket(socket) = form.front.joint {
        let before = s / 0.97;
        assert!((socket.radius - 8.0 * before - 0.3).abs() < 1e-8);
        assert!((socket.depth - 5.0 * before).abs() < 1e-7);
        let mouth = (socket.radius.powi(2) - (4.0 * before).powi(2)).sqrt();
        assert!((socket.mouth_radius - mouth).abs() < 1e-8);
        assert!((socket.flare.to_degrees() - 50.0).abs() < 1e-9);
    } else {
        assert_eq!(i, 0);
    }
}

/// Both usual choices of slopes for a monotone cubic keep within 0.006 mm of the sine.
fn outline_of(form: &SectionForm, s: f64) {
    let sine = |x: f64, middle: f64| {
        s * (10.0 + (middle - 10.0) * (std::f64::consts::PI * x / form.length).sin())
    };
    let xs: Vec<f64> = form.outline.iter().map(|p| p.x).collect();
    let widths: Vec<f64> = form.outline.iter().map(|p| p.half_width).collect();
    assert!(
        form.outline
            .iter()
            .all(|p| (p.below - 10.0 * s).abs() < 1e-9 && p.squareness == 2.5)
    );
    assert!(
        form.outline
            .iter()
            .all(|p| (p.above - p.half_width).abs() < 1e-9)
    );
    for harmonic in [true, false] {
        let slopes = slopes(&xs, &widths, harmonic);
        for k in 0..=2000 {
            let x = form.length * f64::from(k) / 2000.0;
            let off = hermite(&xs, &widths, &slopes, x) - sine(x, 14.0);
            assert!(off.abs() < 0.006, "{off} at {x}");
        }
    }
}

fn slopes(xs: &[f64], ys: &[f64], harmonic: bool) -> Vec<f64> {
    let h: Vec<f64> = xs.windows(2).map(|w| w[1] - w[0]).collect();
    let d: Vec<f64> = ys
        .windows(2)
        .zip(&h)
        .map(|(w, h)| (w[1] - w[0]) / h)
        .collect();
    let n = xs.len();
    let mut m = vec![0.0; n];
    for i in 1..n - 1 {
        if d[i - 1] * d[i] > 0.0 {
            m[i] = if harmonic {
                let (a, b) = (2.0 * h[i] + h[i - 1], h[i] + 2.0 * h[i - 1]);
                (a + b) / (a / d[i - 1] + b / d[i])
            } else {
                (h[i] * d[i - 1] + h[i - 1] * d[i]) / (h[i] + h[i - 1])
            };
        }
    }
    let end = |h0: f64, h1: f64, d0: f64, d1: f64| ((2.0 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
    m[0] = end(h[0], h[1], d[0], d[1]);
    m[n - 1] = end(h[n - 2], h[n - 3], d[n - 2], d[n - 3]);
    m
}

fn hermite(xs: &[f64], ys: &[f64], m: &[f64], x: f64) -> f64 {
    let i = xs.partition_point(|&k| k <= x).clamp(1, xs.len() - 1) - 1;
    let h = xs[i + 1] - xs[i];
    let t = (x - xs[i]) / h;
    let (t2, t3) = (t * t, t * t * t);
    (2.0 * t3 - 3.0 * t2 + 1.0) * ys[i]
        + (t3 - 2.0 * t2 + t) * h * m[i]
        + (3.0 * t2 - 2.0 * t3) * ys[i + 1]
        + (t3 - t2) * h * m[i + 1]
}

/// Without `bench_only` its rim, its lean and its necks are not for cutting.
#[test]
fn the_bench_body_is_not_for_cutting() {
    let text = REFERENCE.replace("bench_only: true\n", "");
    assert!(read_design_str(&text, "r.yaml").is_ok());
    let messages = refused(&text);
    assert!(messages.contains("relief groove"), "{messages}");
    assert!(
        messages.contains("taper of the finishing cutter"),
        "{messages}"
    );
}
