//! Flux through faces on surfaces of revolution.

use std::f64::consts::{FRAC_PI_2, PI, TAU};

use truck_modeling::{InnerSpace, Point3, Vector3};

use super::super::shape::{Face, Frame, Surface};
use super::{Flux, edges, gauss};

/// The form of the meridian, by its own parameter m.
#[derive(Debug, Clone, Copy)]
enum Meridian {
    /// m = height.
    Cylinder { radius: f64 },
    /// m = height over the apex.
    Cone { slope: f64 },
    /// m = latitude.
    Sphere { radius: f64 },
    /// m = angle round the tube.
    Torus { major: f64, minor: f64 },
}

/// A surface of revolution in parameters (angle about the axis, m).
#[derive(Debug, Clone, Copy)]
pub(super) struct Chart {
    frame: Frame,
    meridian: Meridian,
}

impl Chart {
    /// None for planes and splines.
    pub(super) fn of(surface: &Surface) -> Option<Self> {
        let (frame, meridian) = match *surface {
            Surface::Sphere { frame, radius } => (frame, Meridian::Sphere { radius }),
            Surface::Cylinder { frame, radius } => (frame, Meridian::Cylinder { radius }),
            Surface::Cone {
                mut frame,
                radius,
                half_angle,
            } => {
                let slope = half_angle.tan();
                frame.origin -= frame.z * (radius / slope);
                (frame, Meridian::Cone { slope })
            }
            Surface::Torus {
                frame,
                major,
                minor,
            } => (frame, Meridian::Torus { major, minor }),
            Surface::Plane(_) | Surface::Spline(_) => return None,
        };
        Some(Self { frame, meridian })
    }

    /// Distance from the axis, height, and their derivatives, at m.
    fn profile(&self, m: f64) -> [f64; 4] {
        let (s, c) = m.sin_cos();
        match self.meridian {
            Meridian::Cylinder { radius } => [radius, m, 0.0, 1.0],
            Meridian::Cone { slope } => [slope * m, m, slope, 1.0],
            Meridian::Sphere { radius } => [radius * c, radius * s, -radius * s, radius * c],
            Meridian::Torus { major, minor } => {
                [major + minor * c, minor * s, -minor * s, minor * c]
            }
        }
    }

    /// Element of flux per dm and per radian about the axis, in the direction `out` from it.
    fn element(&self, out: Vector3, m: f64) -> Flux {
        let [r, h, dr, dh] = self.profile(m);
        let point = self.frame.origin + out * r + self.frame.z * h;
        Flux::element(point, (out * dh - self.frame.z * dr) * r)
    }

    /// Flux through the whole of a closed surface.
    fn whole(&self) -> Option<Flux> {
        let (area, volume) = match self.meridian {
            Meridian::Cylinder { .. } | Meridian::Cone { .. } => return None,
            Meridian::Sphere { radius } => {
                (4.0 * PI * radius.powi(2), 4.0 / 3.0 * PI * radius.powi(3))
            }
            Meridian::Torus { major, minor } => (
                4.0 * PI * PI * major * minor,
                2.0 * PI * PI * major * minor.powi(2),
            ),
        };
        let o = self.frame.origin;
        Some(Flux {
            area,
            volume,
            moments: [o.x, o.y, o.z].map(|c| c * volume),
        })
    }

    /// Place of a surface point.
    fn locate(&self, point: Point3) -> Place {
        let v = point - self.frame.origin;
        let h = v.dot(self.frame.z);
        let flat = v - self.frame.z * h;
        let r = flat.magnitude();
        let m = match self.meridian {
            Meridian::Cylinder { .. } | Meridian::Cone { .. } => h,
            Meridian::Sphere { .. } => h.atan2(r),
            Meridian::Torus { major, .. } => h.atan2(r - major),
        };
        let (x, y) = (flat.dot(self.frame.x), flat.dot(self.frame.y()));
        Place {
            out: flat / r,
            r,
            angle: y.atan2(x),
            m,
        }
    }
}

/// Where a point lies on a chart.
struct Place {
    /// Unit direction from the axis.
    out: Vector3,
    /// Distance from the axis.
    r: f64,
    /// Angle about the axis.
    angle: f64,
    m: f64,
}

impl Place {
    /// Step of the angle about the axis for a step of the point.
    fn turn(&self, chart: &Chart, step: Vector3) -> f64 {
        chart.frame.z.cross(self.out).dot(step) / self.r
    }

    /// Step of m; along the torus's tube.
    fn tube_step(&self, chart: &Chart, step: Vector3, minor: f64) -> f64 {
        let (s, c) = self.m.sin_cos();
        (chart.frame.z * c - self.out * s).dot(step) / minor
    }
}

/// Flux through the face.
pub(super) fn flux(face: &Face, chart: &Chart) -> Flux {
    let mut sum = match chart.meridian {
        Meridian::Cylinder { .. } => along_meridians(face, chart, 0.0),
        Meridian::Cone { .. } => along_meridians(face, chart, cone_start(face, chart)),
        Meridian::Sphere { .. } => along_meridians(face, &clear_of_poles(face, chart), -FRAC_PI_2),
        Meridian::Torus { minor, .. } => torus(face, chart, minor),
    };
    // Edges leave open whether the face or the rest of a closed surface is meant, when the place
    // from which the integrals start lies on the wrong side: the area then comes out negative.
    if let Some(whole) = chart.whole()
        && sum.area < 0.0
    {
        sum.add(&whole, 1.0);
    }
    sum
}

/// Green with the integral over m: minus the line integral of (integral from `start` to m of the
/// element) d(angle).
fn along_meridians(face: &Face, chart: &Chart, start: f64) -> Flux {
    let mut sum = Flux::default();
    edges::around(face, |point, step| {
        let place = chart.locate(point);
        let turn = place.turn(chart, step);
        gauss::over(start, place.m, |m, w| {
            sum.add(&chart.element(place.out, m), -turn * w);
        });
    });
    sum
}

/// Where the integrals along a cone's meridians start: its apex serves always, but far from a
/// nearly cylindrical face it costs digits, so a face that does not hold it starts at its own
/// lowest edge.
fn cone_start(face: &Face, chart: &Chart) -> f64 {
    let (mut turns, mut low, mut high) = (0.0, f64::INFINITY, 0.0_f64);
    edges::around(face, |point, step| {
        let place = chart.locate(point);
        turns += place.turn(chart, step);
        low = low.min(place.m);
        high = high.max(place.m);
    });
    // Round the apex the edges make a whole turn.
    let holds_apex = turns.abs() > PI || low < 0.5 * high;
    if holds_apex { 0.0 } else { low }
}

/// The same sphere with an axis that keeps both poles far from the face's edges.
fn clear_of_poles(face: &Face, chart: &Chart) -> Chart {
    let mut boundary = Vec::new();
    edges::around(face, |point, _| {
        boundary.push((point - chart.frame.origin).normalize());
    });
    let mut best = (f64::INFINITY, chart.frame.z);
    for code in 0..27 {
        // The 13 axes of a cube, turned a little so that none lies along a likely edge.
        let digit = |by: i32| f64::from(code / by % 3 - 1);
        let v = Vector3::new(digit(1), digit(3), digit(9));
        let axis = v + Vector3::new(0.11, 0.07, 0.13);
        let axis = axis.normalize();
        let near = boundary
            .iter()
            .fold(0.0_f64, |most, d| most.max(d.dot(axis).abs()));
        if near < best.0 {
            best = (near, axis);
        }
    }
    let z = best.1;
    let side = if z.x.abs() < 0.6 {
        Vector3::unit_x()
    } else {
        Vector3::unit_y()
    };
    let x = z.cross(side).normalize();
    Chart {
        frame: Frame {
            x,
            z,
            ..chart.frame
        },
        ..*chart
    }
}

/// The middle of the widest gap between angles.
fn widest_gap(mut angles: Vec<f64>) -> (f64, f64) {
    angles.sort_by(f64::total_cmp);
    let Some((first, last)) = angles.first().zip(angles.last()) else {
        return (TAU, 0.0);
    };
    let mut best = (first + TAU - last, 0.5 * (first + TAU + last));
    for pair in angles.windows(2) {
        if pair[1] - pair[0] > best.0 {
            best = (pair[1] - pair[0], 0.5 * (pair[0] + pair[1]));
        }
    }
    best
}

/// The torus is cut open where no edge is: round the tube if possible, else about the axis.
fn torus(face: &Face, chart: &Chart, minor: f64) -> Flux {
    let (mut tube, mut turns) = (Vec::new(), Vec::new());
    edges::around(face, |point, _| {
        let place = chart.locate(point);
        tube.push(place.m);
        turns.push(place.angle);
    });
    let (tube_gap, tube_cut) = widest_gap(tube);
    let (turn_gap, turn_cut) = widest_gap(turns);
    let unwrap = |angle: f64, cut: f64| cut + (angle - cut).rem_euclid(TAU);
    let mut sum = Flux::default();
    edges::around(face, |point, step| {
        let place = chart.locate(point);
        if tube_gap >= turn_gap {
            let turn = place.turn(chart, step);
            gauss::over(tube_cut, unwrap(place.m, tube_cut), |m, w| {
                sum.add(&chart.element(place.out, m), -turn * w);
            });
        } else {
            let tube_step = place.tube_step(chart, step, minor);
            gauss::over(turn_cut, unwrap(place.angle, turn_cut), |angle, w| {
                let (s, c) = angle.sin_cos();
                let out = chart.frame.x * c + chart.frame.y() * s;
                sum.add(&chart.element(out, place.m), tube_step * w);
            });
        }
    });
    sum
}
