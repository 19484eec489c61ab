//! The outer form, cut into Bezier pieces once per half.
//!
//! Skin and rim are symmetric about y = 0 and only their halves at y <= 0 are kept: a convex
//! solid that is symmetric about a plane y = c <= 0 is nearest to them on that side.

use nalgebra::Point3;

use super::feature::Facing;
use super::found::Found;
use crate::chain::{HalfForm, Outline, Values};
use crate::clear::search::search;
use crate::clear::{BezierCurve, BezierPatch, Convex, Nearest};
use crate::skin::{BezierNet, Skin};

/// A piece with a ball that holds it.
#[derive(Debug, Clone)]
struct Piece {
    patch: BezierPatch,
    u: (f64, f64),
    /// A point of the piece.
    middle: Point3<f64>,
    /// No point of the piece is further from the middle.
    reach: f64,
}

/// Skin or rim.
#[derive(Debug, Clone)]
pub(super) struct Sheet(Vec<Piece>);

/// The outer form of a half.
#[derive(Debug, Clone)]
pub(super) struct Outer {
    pub skin: Sheet,
    pub rim: Sheet,
    /// Ends of skin and rim in front and at the rear.
    ends: [Vec<BezierCurve>; 2],
    outline: Outline,
    /// x of the first and the last station.
    stations: (f64, f64),
    /// Centre along x and radius of each domed end.
    domes: [Option<(f64, f64)>; 2],
}

/// Nearest place of a sheet, and the outline there.
pub(super) struct OnSheet {
    pub found: Found,
    pub outline: Values,
    /// Height of the place over the split plane and its distance from the middle plane.
    place: (f64, f64),
}

impl OnSheet {
    /// Half height or half width of the section there, by which of them the place lies.
    pub fn size(&self) -> (&'static str, f64) {
        if self.place.0 > self.place.1 {
            ("half height there", self.outline[2])
        } else {
            ("half width there", self.outline[1])
        }
    }
}

impl Sheet {
    pub fn of(nets: &[BezierNet]) -> Self {
        Sheet(nets.iter().filter_map(Piece::of).collect())
    }

    /// Least signed distance; none when there is no piece. Most pieces are put aside by their
    /// balls: a signed distance never changes by more than the way between two points.
    fn least(&self, solid: &dyn Convex) -> Option<(Nearest, f64)> {
        let mut near: Vec<(f64, &Piece)> = self
            .0
            .iter()
            .map(|piece| (solid.signed_distance(&piece.middle).0, piece))
            .collect();
        let upper = near.iter().fold(f64::INFINITY, |least, n| least.min(n.0));
        near.retain(|(distance, piece)| distance - piece.reach <= upper);
        near.sort_by(|a, b| a.0.total_cmp(&b.0));
        let patches: Vec<&BezierPatch> = near.iter().map(|(_, piece)| &piece.patch).collect();
        let found = search(solid, &patches, None)?;
        let (u0, u1) = near[found.index].1.u;
        Some((found, u0 + found.uv.0 * (u1 - u0)))
    }
}

impl Piece {
    fn of(net: &BezierNet) -> Option<Piece> {
        let patch = BezierPatch::new(net.degree, net.points.clone()).ok()?;
        let middle = patch.at(0.5, 0.5);
        let reach = net.points.iter().fold(0.0_f64, |far, p| {
            far.max((Point3::new(p[0], p[1], p[2]) / p[3] - middle).norm())
        });
        Some(Piece {
            patch,
            u: net.u,
            middle,
            reach,
        })
    }
}

impl Outer {
    pub fn of(half: &HalfForm, skin: &Skin) -> Self {
        let (v0, v1) = skin.skin.v_range();
        let skin_nets = skin.skin.beziers_within((v0, 0.5 * (v0 + v1)));
        let rim_nets = skin.rim.beziers();
        let (u0, u1) = skin.skin.u_range();
        let ends = [(Facing::Front, u0), (Facing::Rear, u1)].map(|(facing, u)| {
            skin_nets
                .iter()
                .chain(&rim_nets)
                .filter_map(|net| side(net, facing, u))
                .collect()
        });
        Outer {
            skin: Sheet::of(&skin_nets),
            rim: Sheet::of(&rim_nets),
            ends,
            outline: Outline::of(half),
            stations: (
                half.stations.first().map_or(0.0, |s| s.x),
                half.stations.last().map_or(half.length, |s| s.x),
            ),
            domes: {
                let [front, rear] = half.domes();
                [
                    front.map(|radius| (radius, radius)),
                    rear.map(|radius| (half.length - radius, radius)),
                ]
            },
        }
    }

    /// Whether a place of the split plane lies within the outline of the split face, domes
    /// included; beyond a flat end its plane tells. What touches nothing may still lie outside.
    pub fn holds(&self, x: f64, y: f64) -> bool {
        let beyond = [x < self.stations.0, x > self.stations.1];
        for (beyond, dome) in beyond.into_iter().zip(self.domes) {
            if beyond {
                return dome.is_none_or(|(centre, radius)| (x - centre).hypot(y) <= radius);
            }
        }
        y.abs() <= self.outline.at(self.outline.u_of_x(x)).0[1]
    }

    /// Least distance of a solid at y <= 0 from a sheet of this form.
    pub fn least(&self, sheet: &Sheet, solid: &dyn Convex) -> Option<OnSheet> {
        let (near, u) = sheet.least(solid)?;
        Some(OnSheet {
            found: near.into(),
            outline: self.outline.at(u).0,
            place: (near.on_target.z, near.on_target.y.abs()),
        })
    }

    /// Ends of skin and rim.
    pub fn end(&self, facing: Facing) -> &[BezierCurve] {
        &self.ends[usize::from(facing == Facing::Rear)]
    }
}

/// The side of a net at u = `at`, when it has one there.
fn side(net: &BezierNet, facing: Facing, at: f64) -> Option<BezierCurve> {
    let row = net.degree.1 + 1;
    let points = match facing {
        Facing::Front if net.u.0 == at => &net.points[..row],
        Facing::Rear if net.u.1 == at => &net.points[net.points.len() - row..],
        _ => return None,
    };
    BezierCurve::new(points.to_vec()).ok()
}
