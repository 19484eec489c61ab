//! Bodies of revolution, halved through the axis. Closed forms derived; figures where given are
//! checked by quadrature elsewhere.

use std::f64::consts::PI;

use proptest::prelude::*;

use super::build::{To, turned};
use super::close;
use crate::brep::volume::{face_area, moments, volume};

/// Centroid of a solid.
fn centroid(half: &crate::brep::shape::Half) -> [f64; 3] {
    let (v, m) = moments(half);
    m.map(|m| m / v)
}

#[test]
fn half_ball() {
    let body = turned(
        &[(-10.0, 0.0), (0.0, 10.0), (10.0, 0.0)],
        &[To::Arc(0.0, 0.0); 2],
    );
    close(volume(&body), 2_094.395_102_393_195);
    let c = centroid(&body);
    close(c[2], 3.75);
    assert!(c[0].abs() < 1e-9 && c[1].abs() < 1e-9);
    let area: f64 = body.solid.face_iter().map(face_area).sum();
    close(area, 3.0 * PI * 100.0);
}

/// Ball of radius R about the origin on a neck of radius n to x = l, with a fillet f.
fn ball_on_neck(r: f64, n: f64, f: f64, l: f64) -> f64 {
    let d = (r * r - n * n).sqrt();
    let cap = |h: f64| PI * h * h * (3.0 * r - h) / 3.0;
    let plain = 4.0 / 3.0 * PI * r.powi(3) - cap(r - d) + PI * n * n * (l - d);
    if f == 0.0 {
        return plain;
    }
    // What the fillet adds: under its arc, less the ball, less the neck.
    let big = n + f;
    let xc = ((r + f).powi(2) - big * big).sqrt();
    let x1 = r * xc / (r + f);
    let under = |u: f64| {
        big * big * u + f * f * u
            - u.powi(3) / 3.0
            - big * (u * (f * f - u * u).sqrt() + f * f * (u / f).asin())
    };
    let ball = |x: f64| r * r * x - x.powi(3) / 3.0;
    plain + PI * (under(0.0) - under(x1 - xc)) - PI * (ball(d) - ball(x1)) - PI * n * n * (xc - d)
}

#[test]
fn stated_figures() {
    assert!((ball_on_neck(10.0, 4.0, 0.0, 20.0) - 4_712.122_399).abs() < 1e-6);
    assert!((ball_on_neck(10.0, 4.0, 1.5875, 20.0) - 4_712.122_399 - 4.132_959).abs() < 2e-6);
    assert!((ball_on_neck(10.0, 4.0, 3.175, 20.0) - 4_712.122_399 - 14.584_011).abs() < 2e-6);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn ball_and_neck(r in 5.0_f64..14.0, share in 0.2_f64..0.6, l in 15.0_f64..30.0) {
        let n = r * share;
        let d = f64::sqrt(r * r - n * n);
        let body = turned(
            &[(-r, 0.0), (0.0, r), (d, n), (l, n), (l, 0.0)],
            &[To::Arc(0.0, 0.0), To::Arc(0.0, 0.0), To::Line, To::Line],
        );
        close(volume(&body), 0.5 * ball_on_neck(r, n, 0.0, l));
    }

    #[test]
    fn ball_fillet_and_neck(r in 5.0_f64..14.0, share in 0.2_f64..0.6, f in 0.5_f64..3.0, l in 20.0_f64..30.0) {
        let n = r * share;
        let xc = f64::sqrt((r + f).powi(2) - (n + f).powi(2));
        let x1 = r * xc / (r + f);
        let r1 = r * (n + f) / (r + f);
        let body = turned(
            &[(-r, 0.0), (0.0, r), (x1, r1), (xc, n), (l, n), (l, 0.0)],
            &[To::Arc(0.0, 0.0), To::Arc(0.0, 0.0), To::Arc(xc, n + f), To::Line, To::Line],
        );
        close(volume(&body), 0.5 * ball_on_neck(r, n, f, l));
    }

    /// The ball without its cap, and so the socket's void to its mouth.
    #[test]
    fn ball_less_cap(r in 5.0_f64..14.0, share in 0.2_f64..0.95) {
        let n = r * share;
        let d = f64::sqrt(r * r - n * n);
        let body = turned(
            &[(-r, 0.0), (0.0, r), (d, n), (d, 0.0)],
            &[To::Arc(0.0, 0.0), To::Arc(0.0, 0.0), To::Line],
        );
        let h = r - d;
        let rest = 4.0 / 3.0 * PI * r.powi(3) - PI * h * h * (3.0 * r - h) / 3.0;
        close(volume(&body), 0.5 * rest);
        let (_, m) = moments(&body);
        close(m[0], -0.125 * PI * n.powi(4));
        let first = |t: f64| {
            (t * (5.0 * r * r - 2.0 * t * t) * (r * r - t * t).sqrt() + 3.0 * r.powi(4) * (t / r).asin()) / 8.0
        };
        close(m[2], 2.0 / 3.0 * (first(d) - first(-r)));
    }

    #[test]
    fn frustum(a in 2.0_f64..12.0, b in 2.0_f64..12.0, h in 1.0_f64..40.0) {
        prop_assume!(f64::abs(a - b) > 1e-3);
        let body = turned(&[(0.0, 0.0), (0.0, a), (h, b), (h, 0.0)], &[To::Line; 3]);
        close(volume(&body), PI * h * (a * a + a * b + b * b) / 6.0);
        close(centroid(&body)[0], h * (a * a + 2.0 * a * b + 3.0 * b * b) / (4.0 * (a * a + a * b + b * b)));
        let lateral = body.solid.face_iter().nth(1).map(face_area).unwrap();
        close(lateral, 0.5 * PI * (a + b) * f64::hypot(a - b, h));
    }

    /// Down to the apex: the edges meet in it.
    #[test]
    fn cone(r in 1.0_f64..20.0, h in 1.0_f64..40.0) {
        let body = turned(&[(0.0, 0.0), (0.0, r), (h, 0.0)], &[To::Line; 2]);
        close(volume(&body), PI * r * r * h / 6.0);
        close(centroid(&body)[0], h / 4.0);
    }

    #[test]
    fn half_cylinder(r in 1.0_f64..20.0, l in 1.0_f64..80.0) {
        let body = turned(&[(0.0, 0.0), (0.0, r), (l, r), (l, 0.0)], &[To::Line; 3]);
        close(volume(&body), 0.5 * PI * r * r * l);
        let c = centroid(&body);
        close(c[0], l / 2.0);
        close(c[2], 4.0 * r / (3.0 * PI));
    }

    /// A post on a plate with a fillet ring at its foot.
    #[test]
    fn post_with_fillet(n in 2.0_f64..6.0, f in 0.5_f64..3.0) {
        let (rim, thick, top) = (n + f + 2.0, 4.0, 12.0);
        let body = turned(
            &[(-thick, 0.0), (-thick, rim), (0.0, rim), (0.0, n + f), (f, n), (top, n), (top, 0.0)],
            &[To::Line, To::Line, To::Line, To::Arc(f, n + f), To::Line, To::Line],
        );
        let ring = 2.0 * PI * (n * f * f * (1.0 - PI / 4.0) + f.powi(3) * (5.0 / 6.0 - PI / 4.0));
        let exact = PI * (rim * rim * thick + n * n * top) + ring;
        close(volume(&body), 0.5 * exact);
    }

    /// A cup: the inner sphere is an inverted face.
    #[test]
    fn bowl(r in 5.0_f64..10.0, wall in 1.0_f64..4.0) {
        let out = r + wall;
        let body = turned(
            &[(-out, 0.0), (0.0, out), (0.0, r), (-r, 0.0)],
            &[To::Arc(0.0, 0.0), To::Line, To::Arc(0.0, 0.0)],
        );
        close(volume(&body), PI / 3.0 * (out.powi(3) - r.powi(3)));
        let v = PI / 3.0 * (out.powi(3) - r.powi(3));
        // Half balls' halves: first moments of quarter balls about the flat, pi r^4 / 8.
        close(centroid(&body)[0] * v, -PI / 8.0 * (out.powi(4) - r.powi(4)));
    }

    /// The outer half of a ring, cut along its middle circle's cylinder.
    #[test]
    fn outer_half_of_torus(major in 6.0_f64..14.0, minor in 1.0_f64..4.0) {
        let body = turned(
            &[(-minor, 0.0), (-minor, major), (0.0, major + minor), (minor, major), (minor, 0.0)],
            &[To::Line, To::Arc(0.0, major), To::Arc(0.0, major), To::Line],
        );
        let outer = PI * PI * major * minor * minor + 4.0 / 3.0 * PI * minor.powi(3);
        close(volume(&body), 0.5 * (outer + 2.0 * PI * major * major * minor));
    }
}
