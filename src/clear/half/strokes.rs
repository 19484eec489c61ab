//! The strokes of a mark: pieces that are upright slots in plan.

use nalgebra::{Point2, Point3, Vector3};

use super::feature::{Feature, Ligament};
use super::found::Found;
use super::level::{Between, Segment, nearer, segments};
use super::pockets::{Around, Ditch, eyes, less, pins, sheets, under};
use super::voids::{Solid, Void, between};
use crate::chain::Mark;
use crate::clear::Stadium;

/// Turns flatter than this count as straight, radians (rounding noise; the solid's outline takes
/// the same).
const STRAIGHT: f64 = 1e-9;

/// A straight piece of a stroke.
#[derive(Debug, Clone, Copy)]
struct Piece {
    stroke: usize,
    place: usize,
    line: Segment,
}

/// A mark as it is measured.
struct Cut<'a> {
    mark: &'a Mark,
    feature: Feature,
    pieces: Vec<Piece>,
}

/// All ligaments of the marks.
pub(super) fn marks(around: &Around<'_>, grooves: &[Ditch]) -> Vec<Ligament> {
    let marks = around.half.features.marks.iter().enumerate();
    let cuts: Vec<Cut<'_>> = marks.map(|(k, mark)| Cut::of(mark, k + 1)).collect();
    let mut all = Vec::new();
    for (k, cut) in cuts.iter().enumerate() {
        all.extend(cut.itself());
        all.extend(cut.outside(around));
        all.extend(cut.beside(around, grooves));
        all.extend(cut.eyes(around));
        for other in &cuts[k + 1..] {
            let near = other.pieces.iter().filter_map(|p| cut.to_line(&p.line));
            let widths = (cut.mark.half_width, other.mark.half_width);
            all.extend(near.reduce(nearer).map(|near| {
                less(near, widths).named(cut.feature, other.feature, [cut.size(), other.size()])
            }));
        }
    }
    all
}

impl<'a> Cut<'a> {
    fn of(mark: &'a Mark, number: usize) -> Self {
        let mut pieces = Vec::new();
        for (stroke, s) in mark.strokes.iter().enumerate() {
            let lines = s.path.windows(2).enumerate();
            pieces.extend(lines.map(|(place, ends)| Piece {
                stroke,
                place,
                line: [ends[0], ends[1]].map(Point2::from),
            }));
        }
        Cut {
            mark,
            feature: Feature::Mark(number),
            pieces,
        }
    }

    fn size(&self) -> (&'static str, f64) {
        ("stroke width", 2.0 * self.mark.half_width)
    }

    fn to_line(&self, line: &Segment) -> Option<Between> {
        self.pieces
            .iter()
            .map(|p| segments(&p.line, line))
            .reduce(nearer)
    }

    fn solid(&self, line: &Segment) -> Stadium {
        let [a, b] = line.map(|p| Point3::new(p.x, p.y, 0.0));
        Stadium {
            base: nalgebra::center(&a, &b),
            axis: Vector3::z(),
            half_slot: (b - a) * 0.5,
            radius: self.mark.half_width,
            height: self.mark.depth,
        }
    }

    /// Strokes apart from each other and, but for bends, from themselves; pieces longer than
    /// their bends take; bends that are bends.
    fn itself(&self) -> Vec<Ligament> {
        let widths = (self.mark.half_width, self.mark.half_width);
        let mut all = Vec::new();
        let near = self
            .pieces
            .iter()
            .enumerate()
            .flat_map(|(k, a)| self.pieces[k + 1..].iter().map(move |b| (a, b)))
            .filter(|(a, b)| !self.bend(a, b))
            .map(|(a, b)| segments(&a.line, &b.line))
            .reduce(nearer);
        let size = self.size();
        all.extend(near.map(|near| {
            less(near, widths).named(
                self.feature,
                self.feature,
                [size, ("mark depth", self.mark.depth)],
            )
        }));
        let short = |p: &Piece| {
            let [a, b] = p.line.map(|p| Point3::new(p.x, p.y, 0.0));
            let length = (b - a).norm();
            (length - self.taken(p), length, a, b)
        };
        let least = self
            .pieces
            .iter()
            .map(short)
            .min_by(|a, b| a.0.total_cmp(&b.0));
        all.extend(least.map(|(gap, length, a, b)| {
            Found::exact(gap, a, b).named(
                self.feature,
                self.feature,
                [size, ("piece of a stroke", length)],
            )
        }));
        let slight = |p: &Piece| {
            let turn = self.turn(p).map(f64::abs).filter(|turn| *turn > STRAIGHT)?;
            let at = Point3::new(p.line[1].x, p.line[1].y, 0.0);
            Some((turn * self.mark.half_width, at))
        };
        let least = self.pieces.iter().filter_map(slight);
        all.extend(least.min_by(|a, b| a.0.total_cmp(&b.0)).map(|(arc, at)| {
            let numbers = [size, ("length of the arc round a bend", arc)];
            Found::exact(arc, at, at).named(self.feature, self.feature, numbers)
        }));
        all
    }

    /// The turn of the stroke behind a piece, to the left, radians.
    fn turn(&self, piece: &Piece) -> Option<f64> {
        let next = self.piece(piece.stroke, piece.place + 1)?;
        let (u, v) = (piece.line[1] - piece.line[0], next.line[1] - next.line[0]);
        Some(u.perp(&v).atan2(u.dot(&v)))
    }

    fn piece(&self, stroke: usize, place: usize) -> Option<&Piece> {
        let same = |p: &&Piece| p.stroke == stroke && p.place == place;
        self.pieces.iter().find(same)
    }

    /// Whether two pieces belong to one bend: neighbours, or with one piece between them and not
    /// turned back by more than half a turn in all. There [`Self::taken`] tells.
    fn bend(&self, a: &Piece, b: &Piece) -> bool {
        if a.stroke != b.stroke || b.place > a.place + 2 {
            return false;
        }
        if b.place == a.place + 1 {
            return true;
        }
        let middle = self.piece(a.stroke, a.place + 1);
        let turns = [Some(a), middle].map(|p| p.and_then(|p| self.turn(p)).unwrap_or(0.0));
        turns[0].abs() + turns[1].abs() <= std::f64::consts::PI + 1e-9
    }

    /// Length that the sharp inner corners of its two bends take from a piece, on the side where
    /// they take more.
    fn taken(&self, piece: &Piece) -> f64 {
        let before = piece.place.checked_sub(1);
        let before = before.and_then(|place| self.piece(piece.stroke, place));
        let turns = [before, Some(piece)].map(|p| p.and_then(|p| self.turn(p)).unwrap_or(0.0));
        let on = |side: f64| {
            let take = |turn: f64| (0.5 * (side * turn).max(0.0)).tan() * self.mark.half_width;
            turns.into_iter().map(take).sum::<f64>()
        };
        on(1.0).max(on(-1.0))
    }

    /// Against outer form and ends: these are alike on both sides of the middle plane, so a piece
    /// and its mirror image are held against the side at y <= 0.
    fn outside(&self, around: &Around<'_>) -> Vec<Ligament> {
        let solids: Vec<(Stadium, bool)> = self
            .pieces
            .iter()
            .flat_map(|p| self.minus_side(&p.line))
            .collect();
        let mut all = Vec::new();
        let begins = self.mark.strokes.iter().filter_map(|s| s.path.first());
        let held = begins.into_iter().all(|p| around.outer.holds(p[0], p[1]));
        for (feature, sheet) in sheets(around.outer) {
            let near = solids.iter().filter_map(|(solid, turned)| {
                let near = around.outer.least(sheet, solid)?;
                Some((near.found.turned(*turned), near.size()))
            });
            let near = near.min_by(|a, b| a.0.gap.total_cmp(&b.0.gap));
            all.extend(near.map(|(f, size)| {
                f.within(held || feature != Feature::Rim).named(
                    self.feature,
                    feature,
                    [self.size(), size],
                )
            }));
        }
        for end in around.ends {
            let near = solids
                .iter()
                .filter_map(|(solid, turned)| Some(end.behind(solid)?.turned(*turned)));
            let numbers = [self.size(), ("section length", around.half.length)];
            let face = Feature::EndFace(end.facing);
            all.extend(
                near.reduce(Found::least)
                    .map(|f| f.named(self.feature, face, numbers)),
            );
        }
        all
    }

    /// The piece as far as it can be nearest at y <= 0, and its mirror image.
    fn minus_side(&self, line: &Segment) -> Vec<(Stadium, bool)> {
        let mirrored = line.map(|p| Point2::new(p.x, -p.y));
        let mut all = Vec::new();
        if line.iter().any(|p| p.y < self.mark.half_width) {
            all.push((self.solid(line), false));
        }
        if line.iter().any(|p| p.y > -self.mark.half_width) {
            all.push((self.solid(&mirrored), true));
        }
        all
    }

    /// Against eyes.
    fn eyes(&self, around: &Around<'_>) -> Vec<Ligament> {
        let one = |(void, hole): (&Void, &Stadium)| {
            let axis = Point2::new(hole.base.x, hole.base.y);
            let near = self.to_line(&[axis, axis])?;
            let found = under(near, self.mark.half_width, self.mark.depth, hole);
            Some(found.named(void.feature, self.feature, [void.size, self.size()]))
        };
        eyes(around).filter_map(one).collect()
    }

    /// Against sockets, flares, pin holes and grooves.
    fn beside(&self, around: &Around<'_>, grooves: &[Ditch]) -> Vec<Ligament> {
        let mut all = Vec::new();
        for void in around.voids.iter().filter(|v| v.feature.facing().is_some()) {
            let near = self
                .pieces
                .iter()
                .map(|p| between(&Solid::Stadium(self.solid(&p.line)), &void.solid))
                .reduce(Found::least);
            all.extend(near.map(|f| f.named(self.feature, void.feature, [self.size(), void.size])));
        }
        let half_width = self.mark.half_width;
        for (feature, line, size) in pins(around.half) {
            let near = self
                .to_line(&line)
                .map(|near| less(near, (half_width, size.1)));
            all.extend(near.map(|f| f.named(self.feature, feature, [self.size(), size])));
        }
        for ditch in grooves {
            let near = self
                .pieces
                .iter()
                .map(|p| ditch.ring.to(&p.line))
                .reduce(nearer);
            let near = near.map(|near| less(near, (ditch.half_width, half_width)));
            all.extend(
                near.map(|f| f.named(self.feature, ditch.feature, [self.size(), ditch.size])),
            );
        }
        all
    }
}
