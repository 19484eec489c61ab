//! Flats: where and how the skin is level.
//!
//! Over a run of knots of equal height, columns of height 1 make the patch planar by itself: a
//! cubic's span is a mean of its four control points, and so are rational ones of equal height.
//! The columns beside the middle are raised there, and less and less towards the ends.

use super::arch::{Arch, COLUMNS, SPANS};
use super::outer::SkinError;
use super::patch::Patch;
use crate::chain::{Flat, HalfForm, Outline};

/// Most knot spans of the arch, on either side of its top, that are made level: then one column
/// is left for the shoulder.
const MOST_SPANS: usize = 3;
/// Rounding noise of a parameter, over mm.
const NOISE: f64 = 1e-9;

/// The level runs of a half along u.
pub(super) struct Levels<'a> {
    runs: Vec<(&'a Flat, (f64, f64))>,
    ends: (f64, f64),
}

impl<'a> Levels<'a> {
    /// None without flats.
    pub fn of(half: &'a HalfForm) -> Option<Self> {
        let flats = &half.features.flats;
        if flats.is_empty() {
            return None;
        }
        let outline = Outline::of(half);
        let knots = outline.knots();
        let u = |x: f64| outline.u_of_x(x);
        Some(Levels {
            runs: flats
                .iter()
                .map(|f| (f, (u(f.level.0), u(f.level.1))))
                .collect(),
            ends: (knots[0], knots[knots.len() - 1]),
        })
    }

    /// How far the columns are raised at u: 1 in a level run, falling smoothly to 0 at the ends.
    fn share(&self, u: f64) -> f64 {
        let one = |(from, to): (f64, f64)| {
            let far = if u < from - NOISE {
                (from - u) / (from - self.ends.0)
            } else if u > to + NOISE {
                (u - to) / (self.ends.1 - to)
            } else {
                return 1.0;
            };
            let left = 1.0 - (far * far).min(1.0);
            left * left
        };
        self.runs.iter().map(|r| one(r.1)).fold(0.0, f64::max)
    }

    /// The skin with the fewest level spans that hold every flat; `build` makes a patch from the
    /// arches at the knots `u`.
    ///
    /// # Errors
    /// [`SkinError::WideFlat`] when a flat is wider than the widest.
    pub fn skin(
        &self,
        u: &[f64],
        arches: &[Arch],
        build: impl Fn(&[Arch]) -> Patch,
    ) -> Result<Patch, SkinError> {
        let mut spans = 1;
        loop {
            let patch = build(&self.raised(u, arches, spans));
            let wide = |r: &&(&Flat, (f64, f64))| half_width(&patch, r.1, spans) < r.0.half_width;
            let Some((flat, run)) = self.runs.iter().find(wide) else {
                return Ok(patch);
            };
            if spans == MOST_SPANS {
                let most = half_width(&patch, *run, spans);
                return Err(SkinError::WideFlat(2.0 * flat.half_width, 2.0 * most));
            }
            spans += 1;
        }
    }

    fn raised(&self, u: &[f64], arches: &[Arch], spans: usize) -> Vec<Arch> {
        let mut raised = arches.to_vec();
        for (arch, &u) in raised.iter_mut().zip(u) {
            let share = self.share(u);
            let middle = COLUMNS / 2;
            for point in &mut arch.points[middle - spans - 1..=middle + spans + 1] {
                point[1] = if share == 1.0 {
                    1.0
                } else {
                    point[1] + share * (1.0 - point[1])
                };
            }
        }
        raised
    }
}

/// Half of the width that is level over a run of u: the line of equal v at the border lies in the
/// hull of its Bezier points.
fn half_width(patch: &Patch, (from, to): (f64, f64), spans: usize) -> f64 {
    let border = |k: usize| k as f64 / SPANS as f64;
    let v = (border(SPANS / 2 - spans), border(SPANS / 2 - spans + 1));
    let nets = patch.beziers_within(v);
    nets.iter()
        .filter(|net| net.u.0 >= from - NOISE && net.u.1 <= to + NOISE)
        .flat_map(|net| net.points.iter().step_by(net.degree.1 + 1))
        .map(|p| -p[1] / p[3])
        .fold(f64::INFINITY, f64::min)
}
