//! The two ends as this room sees them: faces, flares, sockets, necks.
//!
//! The same forms as the ends of the solid: a flat or closed end lies in the plane
//! x = datum - out z tan(lean), a dome about its socket's centre.

use nalgebra::{Point2, Point3, Vector3};

use super::feature::Facing;
use super::found::Found;
use super::voids::Solid;
use crate::chain::joint::{flare_on_dome, mouth_plane};
use crate::chain::{Ball, End, EndFace, EndJoint, HalfForm, Socket};
use crate::clear::search::search;
use crate::clear::{BezierPatch, Bowl, Compact, CutCone, Ellipse, Frustum, to_plane};

/// One end of a half.
#[derive(Debug, Clone, Copy)]
pub(super) struct EndOf {
    pub facing: Facing,
    pub end: End,
    /// x of the datum.
    pub datum: f64,
    /// +1 at the rear, -1 in front.
    pub out: f64,
    /// Tangent of the plane's tilt.
    pub tilt: f64,
    /// x and radius of a dome's circle; of a flat end the station's x and half width.
    pub circle: (f64, f64),
}

impl EndOf {
    pub fn both(half: &HalfForm) -> [EndOf; 2] {
        Facing::BOTH.map(|facing| {
            let (end, station, datum, out) = match facing {
                Facing::Front => (half.front, half.stations.first(), 0.0, -1.0),
                Facing::Rear => (half.rear, half.stations.last(), half.length, 1.0),
            };
            EndOf {
                facing,
                end,
                datum,
                out,
                tilt: half.lean.tan(),
                circle: station.map_or((datum, 0.0), |s| (s.x, s.half_width)),
            }
        })
    }

    /// Outwards along the axis.
    pub fn axis(&self) -> Vector3<f64> {
        Vector3::x() * self.out
    }

    /// The point of the axis so far outwards from the datum.
    pub fn on_axis(&self, along: f64) -> Point3<f64> {
        Point3::new(self.datum + self.out * along, 0.0, 0.0)
    }

    /// Unit normal of the flat end, outwards.
    pub fn normal(&self) -> Vector3<f64> {
        Vector3::new(self.out, 0.0, self.tilt).normalize()
    }

    pub fn dome(&self) -> Option<f64> {
        match self.end.face {
            EndFace::Domed { radius } => Some(radius),
            EndFace::Flat | EndFace::Closed => None,
        }
    }

    pub fn socket(&self) -> Option<Socket> {
        match self.end.joint {
            EndJoint::Socket(socket) => Some(socket),
            _ => None,
        }
    }

    pub fn ball(&self) -> Option<Ball> {
        match self.end.joint {
            EndJoint::Ball(ball) => Some(ball),
            _ => None,
        }
    }

    /// The ellipse in which the flat end cuts a cone about the axis that has `radius` at the
    /// datum and grows outwards by `slope` per length (derived; see the ends of the solid). None
    /// when the plane is as steep as the cone.
    pub fn slant(&self, radius: f64, slope: f64) -> Option<Ellipse> {
        let k = self.tilt * slope;
        if k.abs() >= 1.0 {
            return None;
        }
        let up = radius / (1.0 - k * k);
        let lift = -k * up;
        let rise = Vector3::new(-self.out * self.tilt, 0.0, 1.0);
        Some(Ellipse {
            centre: self.on_axis(0.0) + rise * lift,
            axes: [Vector3::y(), rise.normalize()],
            radii: [radius / (1.0 - k * k).sqrt(), up * rise.norm()],
        })
    }

    pub fn bowl(&self, socket: &Socket) -> Bowl {
        Bowl {
            centre: self.on_axis(-socket.depth),
            radius: socket.radius,
            axis: self.axis(),
            mouth: mouth_plane(socket.radius, socket.mouth_radius),
        }
    }

    /// Edge of the flare in a dome: outwards from the datum, and radius.
    pub fn edge_on_dome(&self, socket: &Socket, dome: f64) -> (f64, f64) {
        let (x, r) = flare_on_dome(socket.radius, socket.mouth_radius, socket.flare, dome);
        (x - socket.depth, r)
    }

    /// Edge of the flare in a flat end.
    pub fn edge_on_plane(&self, socket: &Socket) -> Option<Ellipse> {
        let slope = socket.flare.tan();
        let behind = socket.depth - mouth_plane(socket.radius, socket.mouth_radius);
        self.slant(socket.mouth_radius + behind * slope, slope)
    }

    /// The flare's edge in the split plane at y > 0, from the mouth to the end face; none when it
    /// has no length.
    pub fn flare_line(&self, socket: &Socket) -> Option<[Point2<f64>; 2]> {
        let mouth = mouth_plane(socket.radius, socket.mouth_radius) - socket.depth;
        let (along, radius) = match self.dome() {
            Some(dome) => self.edge_on_dome(socket, dome),
            None => (0.0, socket.mouth_radius - mouth * socket.flare.tan()),
        };
        let at = |along: f64, y: f64| Point2::new(self.datum + self.out * along, y);
        (along > mouth).then(|| [at(mouth, socket.mouth_radius), at(along, radius)])
    }

    /// The hull of the flare; none when it has no length.
    pub fn flare(&self, socket: &Socket) -> Option<Solid> {
        let mouth = mouth_plane(socket.radius, socket.mouth_radius) - socket.depth;
        let slope = socket.flare.tan();
        let cone = |height: f64, top_radius: f64| Frustum {
            base: self.on_axis(mouth),
            axis: self.axis(),
            height,
            base_radius: socket.mouth_radius,
            top_radius,
        };
        if let Some(dome) = self.dome() {
            let (along, radius) = self.edge_on_dome(socket, dome);
            return (along > mouth).then(|| Solid::Frustum(cone(along - mouth, radius)));
        }
        if mouth >= 0.0 {
            return None;
        }
        let at_datum = socket.mouth_radius - mouth * slope;
        if self.tilt == 0.0 {
            return Some(Solid::Frustum(cone(-mouth, at_datum)));
        }
        // The plane reaches furthest out at the ellipse's lowest point, under the split plane.
        let edge = self.slant(at_datum, slope)?;
        let height = 1.001 * (self.tilt * at_datum / (1.0 - self.tilt * slope)) - mouth;
        Some(Solid::CutCone(CutCone {
            cone: cone(height, socket.mouth_radius + height * slope),
            edge,
            normal: self.normal(),
        }))
    }

    /// How far a solid stays behind the end face. Of a flat end the endless plane counts, also
    /// where a neck or a mouth leaves no face; of a dome the ring round its flare, to which the
    /// solid's y must be at most 0.
    pub fn behind(&self, solid: &dyn Compact) -> Option<Found> {
        let Some(dome) = self.dome() else {
            return Some(to_plane(solid, &self.on_axis(0.0), &-self.normal()).into());
        };
        let ring = self.dome_ring(dome)?;
        search(solid, &[&ring], None).map(Found::from)
    }

    /// The dome between flare edge and outer circle over y <= 0, z >= 0.
    fn dome_ring(&self, dome: f64) -> Option<BezierPatch> {
        let centre = self.on_axis(-dome);
        let inner = self.socket().map_or(0.0, |socket| {
            let (along, r) = self.edge_on_dome(&socket, dome);
            r.atan2(along + dome)
        });
        let (x, r) = self.circle;
        let outer = r.atan2(self.out * (x - centre.x));
        let half = 0.5 * (outer - inner);
        let meridian = [
            (inner, dome, 1.0),
            (0.5 * (inner + outer), dome / half.cos(), half.cos()),
            (outer, dome, 1.0),
        ];
        let turn = [
            (-1.0, 0.0, 1.0),
            (-1.0, 1.0, std::f64::consts::FRAC_1_SQRT_2),
            (0.0, 1.0, 1.0),
        ];
        let mut points = Vec::with_capacity(9);
        for (angle, far, wm) in meridian {
            let (sin, cos) = angle.sin_cos();
            for (y, z, wt) in turn {
                let w = wm * wt;
                points.push([
                    w * (centre.x + self.out * far * cos),
                    w * far * sin * y,
                    w * far * sin * z,
                    w,
                ]);
            }
        }
        BezierPatch::new((2, 2), points).ok()
    }
}
