//! Flats: the outline made level under each, and the rectangle on it.

use super::expand::Part;
use super::halves::{Word, halves};
use super::outline::OVER_RIM;
use super::plates::along;
use super::report::Report;
use crate::chain::feature::Flat;
use crate::chain::form::{EndFace, Knot, Side, Split, Station};
use crate::chain::half::{Fixes, HalfStation};
use crate::chain::outline::{Outline, ROUND_ZONE};
use crate::params::Located;
use crate::params::written;

/// A flat is at least this long, mm (habit).
const LEAST: f64 = 2.0;
/// The outline is level from at least so far behind the end, or behind the round zone of a domed
/// one, mm: the skin comes down to the end over that (common practice, no source).
const FROM_END: f64 = 2.0;
/// Stations that a flat adds stand at least this far from others, mm: nearer ones would make the
/// outline turn sharply between them (common practice, no source).
const APART: f64 = 1.0;
/// Rounding noise: heights that are written equal are equal within this part.
const EQUAL: f64 = 1e-9;

/// The section that a flat is laid on.
pub(super) struct Bed {
    pub split: Split,
    pub length: f64,
    pub rim: f64,
    pub lean: f64,
    /// Faces of the front and the rear end.
    pub faces: [EndFace; 2],
}

/// Lays the flats of a section on its outline, whose stations grow by those at the ends of each
/// level run: in the other half, and in width and squareness, the outline stays what it was. Flats
/// grow with the section.
pub(super) fn lay(
    part: &Part<'_>,
    bed: &Bed,
    outline: &mut Vec<Station>,
    report: &mut Report,
) -> Vec<Flat> {
    let written = part.keys.flats.map_or(&[][..], |k| &k.written.value);
    let mut laid: Vec<Flat> = Vec::new();
    for flat in written {
        let f = &flat.value;
        let plain = match bed.split {
            Split::Level => vec![Side::Lower],
            Split::Upright => vec![Side::Upper, Side::Lower],
        };
        let word = Word {
            key: "side",
            written: f.side.as_ref(),
            plain,
        };
        let [from, to] = [&f.from, &f.to].map(|at| along(at.value, bed.length, part.scale));
        if to - from < LEAST {
            let (a, b) = report.lengths(from, to);
            report.error(
                "flat length",
                &f.to.place,
                format!("a flat from {a} to {b} in `{}`", part.name),
                format!("one at least {} long", report.length(LEAST)),
                format!("write `to: {}` or more", report.length(from + LEAST)),
            );
            continue;
        }
        for side in halves(word, bed.split, &part.name, report) {
            let one = One {
                part,
                bed,
                flat,
                side,
                run: (from, to),
            };
            laid.extend(one.lay(outline, &laid, report));
        }
    }
    settle_others(outline, bed.faces);
    laid
}

/// Stations of a flat of the other half say how high this half runs there, all flats laid.
fn settle_others(outline: &mut [Station], faces: [EndFace; 2]) {
    for side in [Side::Upper, Side::Lower] {
        let run = profile(outline, side, faces);
        for s in outline.iter_mut() {
            if HalfStation::of(s, side).fixes == Fixes::Nothing {
                *s.height_mut(side) = run.at(run.u_of_x(s.x)).0[2];
            }
        }
    }
}

fn profile(outline: &[Station], side: Side, faces: [EndFace; 2]) -> Outline {
    let stations: Vec<HalfStation> = outline.iter().map(|s| HalfStation::of(s, side)).collect();
    Outline::through(&stations, faces.map(|f| f == EndFace::Closed))
}

/// One flat on one half.
struct One<'a, 'p> {
    part: &'a Part<'p>,
    bed: &'a Bed,
    flat: &'a Located<written::Flat>,
    side: Side,
    run: (f64, f64),
}

impl One<'_, '_> {
    fn lay(
        &self,
        outline: &mut Vec<Station>,
        before: &[Flat],
        report: &mut Report,
    ) -> Option<Flat> {
        let level = self.level(outline, report)?;
        self.apart(level, before, report)?;
        let height = self.height(outline, level, report)?;
        for x in [level.0, level.1] {
            self.add(outline, x);
        }
        for s in outline.iter_mut().filter(|s| within(s.x, level)) {
            *s.height_mut(self.side) = height;
        }
        Some(Flat {
            side: self.side,
            from: self.run.0,
            to: self.run.1,
            half_width: 0.5 * self.part.scale * self.flat.value.width.value.mm(),
            height,
            level,
        })
    }

    /// Where the outline is level: the skin leans over that along x by its height times the lean.
    fn level(&self, outline: &[Station], report: &mut Report) -> Option<(f64, f64)> {
        let highest = outline
            .iter()
            .map(|s| s.height(self.side))
            .fold(0.0, f64::max);
        let lean = highest * self.bed.lean.tan();
        let free = |face: EndFace, s: &Station| match face {
            EndFace::Domed { .. } => ROUND_ZONE * s.half_width + FROM_END,
            _ => FROM_END,
        };
        let (first, last) = (outline.first()?, outline.last()?);
        let [front, rear] = self.bed.faces;
        let run_out = [free(front, first), free(rear, last)];
        let least = first.x + run_out[0] + lean;
        let most = last.x - run_out[1] - lean;
        let f = &self.flat.value;
        for (key, at, x, (limit, run_out), bound, reach) in [
            (
                "from",
                &f.from,
                self.run.0,
                (least, run_out[0]),
                "at least",
                "more",
            ),
            (
                "to",
                &f.to,
                self.run.1,
                (most, run_out[1]),
                "at most",
                "less",
            ),
        ] {
            if (key == "from" && x < limit) || (key == "to" && x > limit) {
                let (found, limit) = report.lengths(x, limit);
                report.error(
                    &format!("flat {key}"),
                    &at.place,
                    format!(
                        "a flat that {} at {found} in `{}`",
                        ends(key),
                        self.part.name
                    ),
                    format!(
                        "{bound} {limit}: the last {} to the end of the outline are not level, \
                         and the lean of the sides takes {} more",
                        report.length(run_out),
                        report.length(lean)
                    ),
                    format!("write `{key}: {limit}` or {reach}, or make the section longer"),
                );
                return None;
            }
        }
        Some((
            settle(self.run.0 - lean, outline, -1.0),
            settle(self.run.1 + lean, outline, 1.0),
        ))
    }

    /// Two flats of a half lie apart.
    fn apart(&self, level: (f64, f64), before: &[Flat], report: &mut Report) -> Option<()> {
        let meets = |f: &&Flat| {
            f.side == self.side && level.0 < f.level.1 + APART && level.1 > f.level.0 - APART
        };
        let Some(other) = before.iter().find(meets) else {
            return Some(());
        };
        let run = |(a, b): (f64, f64)| format!("{} to {}", report.length(a), report.length(b));
        let (own, other) = (run(level), run(other.level));
        report.error(
            "flats apart",
            &self.flat.place,
            format!("a flat in `{}` that is level from {own}", self.part.name),
            format!(
                "at least {} from another of the same half, level from {other}",
                report.length(APART)
            ),
            "move one of the two, or make one of them",
        );
        None
    }

    /// Its height: as written, or the outline's least over the level run, which is over the rim
    /// since all points of the outline are.
    fn height(&self, outline: &[Station], level: (f64, f64), report: &mut Report) -> Option<f64> {
        let profile = self.profile(outline, self.side);
        // Monotone between stations, so the least lies at one or at an end of the run.
        let inner = outline.iter().map(|s| s.x).filter(|&x| within(x, level));
        let least = inner
            .chain([level.0, level.1])
            .map(|x| profile.at(profile.u_of_x(x)).0[2])
            .fold(f64::INFINITY, f64::min);
        let Some(written) = self.flat.value.height.as_ref() else {
            return Some(least);
        };
        let height = self.part.scale * written.value.mm();
        let place = &written.place;
        let name = &self.part.name;
        if height > least * (1.0 + EQUAL) {
            let (found, limit) = report.lengths(height, least);
            report.error(
                "flat height",
                place,
                format!("a flat {found} from the split plane of `{name}`"),
                format!("at most {limit}, the least height of the outline under it"),
                format!("write `height: {limit}` or less, or make the outline higher there"),
            );
            return None;
        }
        if height < self.bed.rim + OVER_RIM {
            let (found, limit) = report.lengths(height, self.bed.rim + OVER_RIM);
            report.error(
                "flat over rim",
                place,
                format!("a flat {found} from the split plane of `{name}`"),
                format!(
                    "at least {limit}, the rim of {} and a little",
                    report.length(self.bed.rim)
                ),
                format!("write `height: {limit}` or more, or make the rim lower"),
            );
            return None;
        }
        Some(height.min(least))
    }

    /// A station at x, as the smooth outline runs there, that fixes the height of this half.
    fn add(&self, outline: &mut Vec<Station>, x: f64) {
        if let Some(there) = outline.iter_mut().find(|s| s.x == x) {
            if let Knot::Level { above, below } = &mut there.knot {
                *(if self.side == Side::Upper {
                    above
                } else {
                    below
                }) = true;
            }
            return;
        }
        let [above, below] = [Side::Upper, Side::Lower].map(|side| {
            let profile = self.profile(outline, side);
            profile.at(profile.u_of_x(x)).0
        });
        let station = Station {
            x,
            half_width: above[1],
            above: above[2],
            below: below[2],
            squareness: above[3],
            knot: Knot::Level {
                above: self.side == Side::Upper,
                below: self.side == Side::Lower,
            },
        };
        let place = outline.partition_point(|s| s.x < x);
        outline.insert(place, station);
    }

    fn profile(&self, outline: &[Station], side: Side) -> Outline {
        profile(outline, side, self.bed.faces)
    }
}

fn ends(key: &str) -> &'static str {
    if key == "from" { "begins" } else { "ends" }
}

fn within(x: f64, (from, to): (f64, f64)) -> bool {
    (from..=to).contains(&x)
}

/// An end of a level run moved outwards so that no station stands too near to it: on the nearest
/// one just outside, or away from the nearest just inside.
fn settle(x: f64, outline: &[Station], outwards: f64) -> f64 {
    let nearest = |x: f64, range: std::ops::Range<f64>| {
        let beyond = |s: &Station| outwards * (s.x - x);
        let near = outline.iter().filter(|s| range.contains(&beyond(s)));
        near.map(|s| s.x)
            .min_by(|a, b| (a - x).abs().total_cmp(&(b - x).abs()))
    };
    let inside = nearest(x, -APART..0.0).map_or(x, |at| at + outwards * APART);
    nearest(inside, 0.0..APART).unwrap_or(inside)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(places: &[f64]) -> Vec<Station> {
        let station = |&x: &f64| Station {
            x,
            half_width: 10.0,
            above: 9.0,
            below: 9.0,
            squareness: 2.5,
            knot: Knot::Point,
        };
        places.iter().map(station).collect()
    }

    #[test]
    fn a_level_run_ends_on_the_nearest_station() {
        let two = at(&[0.0, 20.1, 20.6, 40.0]);
        assert_eq!(settle(21.0, &two, -1.0), 20.6);
        assert_eq!(settle(20.0, &two, 1.0), 20.1);
        // Away from the nearest inside: of two, the other one is further away still.
        assert_eq!(settle(20.0, &two, -1.0), 19.1);
        assert_eq!(settle(20.7, &two, 1.0), 21.6);
        assert_eq!(settle(30.0, &two, 1.0), 30.0);
    }
}
