//! The outer form of a half as two kinds of patch: the skin above the rim and the rim itself.
//!
//! Both are C1 cubics along u over the same knots, so the line they share, the ends and the edge
//! on the split plane are exact iso-curves. The lean moves the control points: rulings of the rim
//! run along the plan normal of the outline, flat and closed ends lie in their tilted plane, a
//! domed end is a true circle.

use super::arch::{self, COLUMNS};
use super::flat::Levels;
use super::lean::{shifts, zones};
use super::patch::{Patch, hermite_knots, hermite_points};
use crate::chain::{EndFace, HalfForm, Outline, ROUND_ZONE, monotone_slopes};

/// A knot span of the skin is at most this part of the half's length, so that the lean, which is
/// set at knots, holds between them.
pub(super) const SPAN_PART: f64 = 0.1;
/// Least knot spans between two stations, which may both be turning points of a steep plan.
const PIECES: f64 = 4.0;
/// Two domed ends must share the angle at which the rim's top meets their circles.
const SAME_ANGLE: f64 = 1e-9;

/// The outer form of a half.
#[derive(Debug, Clone, PartialEq)]
pub struct Skin {
    /// Above the rim; u from front to rear, v from -y over the top to +y; normal outwards.
    pub skin: Patch,
    /// The rim at y < 0; u from front to rear, v from the split plane up; normal outwards.
    pub rim: Patch,
    /// Largest distance of the fitted section curves from their superellipses, before a flat
    /// raises their shoulders, mm.
    pub misfit: f64,
}

/// Why an outer form cannot be built.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SkinError {
    /// Both ends are domed, with circles of different radius, front and rear, mm.
    UnequalDomes(f64, f64),
    /// A dome's circle is not wider than the rim is high: radius, rim, mm.
    RimOverDome(f64, f64),
    /// A flat is wider than the skin can be level: its width, the widest there, mm.
    WideFlat(f64, f64),
}

/// Outline and lean at a knot, with derivatives by u.
#[derive(Clone, Copy)]
struct Row {
    u: f64,
    x: [f64; 2],
    w: [f64; 2],
    h: [f64; 2],
    n: f64,
    /// Shift of a point along x per height.
    s: [f64; 2],
    /// Shift of a point towards the middle per height.
    t: [f64; 2],
    /// 1 on an end that must lie in its tilted plane, falling to 0 over a zone beside it.
    plane: [f64; 2],
    /// Circle radius on a domed end.
    dome: Option<f64>,
}

/// Builds the outer form of a half.
///
/// # Errors
/// See [`SkinError`].
pub fn skin(half: &HalfForm) -> Result<Skin, SkinError> {
    let beta = rim_angle(half)?;
    let rows = rows(half);
    let weights = arch::weights(beta);
    let arches: Vec<arch::Arch> = arches(&rows, &weights);
    let circle = beta.map(arch::circle);
    let u: Vec<f64> = rows.iter().map(|r| r.u).collect();
    let over = |arches: &[arch::Arch]| {
        let columns = (0..COLUMNS).map(|j| {
            let shape = |c: usize| -> Vec<f64> { arches.iter().map(|a| a.points[j][c]).collect() };
            let (a, b) = (shape(0), shape(1));
            let (da, db) = (
                monotone_slopes(&u, &a, [false; 2]),
                monotone_slopes(&u, &b, [false; 2]),
            );
            column(&u, &rows, |k, row| match (row.dome, &circle) {
                (Some(r), Some(c)) => dome_point(row, half.rim, r, c[j]),
                _ => skin_point(row, half.rim, [a[k], da[k]], [b[k], db[k]]),
            })
        });
        patch(&u, arch::knots(), 3, weights.clone(), columns.collect())
    };
    let skin = match Levels::of(half) {
        Some(levels) => levels.skin(&u, &arches, over)?,
        None => over(&arches),
    };
    let scale = rows
        .iter()
        .map(|r| r.w[0].max(r.h[0] - half.rim))
        .fold(0.0, f64::max);
    let misfit = arches.iter().map(|a| a.misfit).fold(0.0, f64::max) * scale;
    let rim = rim(half, &rows, beta);
    Ok(Skin { skin, rim, misfit })
}

/// Angle over the split plane at which the rim's top meets a dome's circle.
fn rim_angle(half: &HalfForm) -> Result<Option<f64>, SkinError> {
    let radius = |k: usize| {
        let end = [&half.front, &half.rear][k];
        let station = if k == 0 {
            half.stations.first()
        } else {
            half.stations.last()
        };
        matches!(end.face, EndFace::Domed { .. }).then(|| station.map_or(0.0, |s| s.half_width))
    };
    let angle = |r: f64| {
        if r > half.rim {
            Ok((half.rim / r).asin())
        } else {
            Err(SkinError::RimOverDome(r, half.rim))
        }
    };
    match (radius(0), radius(1)) {
        (None, None) => Ok(None),
        (Some(r), None) | (None, Some(r)) => Ok(Some(angle(r)?)),
        (Some(a), Some(b)) if (angle(a)? - angle(b)?).abs() > SAME_ANGLE => {
            Err(SkinError::UnequalDomes(a, b))
        }
        (Some(a), Some(_)) => Ok(Some(angle(a)?)),
    }
}

/// One fitted arch per knot; equal exponents are fitted once.
fn arches(rows: &[Row], weights: &[f64]) -> Vec<arch::Arch> {
    let mut out: Vec<arch::Arch> = Vec::with_capacity(rows.len());
    for (k, row) in rows.iter().enumerate() {
        let same = (0..k).find(|&i| rows[i].n == row.n);
        out.push(match same {
            Some(i) => out[i].clone(),
            None => arch::superellipse(row.n, weights),
        });
    }
    out
}

fn patch(
    u: &[f64],
    v_knots: Vec<f64>,
    v_degree: usize,
    weights: Vec<f64>,
    columns: Vec<Vec<[f64; 3]>>,
) -> Patch {
    let net = (0..columns[0].len())
        .map(|i| columns.iter().map(|c| c[i]).collect())
        .collect();
    Patch {
        u_knots: hermite_knots(u),
        v_knots,
        v_degree,
        weights,
        net,
    }
}

/// Control points of one column from point and slope at every knot.
fn column(u: &[f64], rows: &[Row], f: impl Fn(usize, &Row) -> [[f64; 2]; 3]) -> Vec<[f64; 3]> {
    let jets: Vec<[[f64; 2]; 3]> = rows.iter().enumerate().map(|(k, r)| f(k, r)).collect();
    let value: Vec<[f64; 3]> = jets.iter().map(|j| [j[0][0], j[1][0], j[2][0]]).collect();
    let slope: Vec<[f64; 3]> = jets.iter().map(|j| [j[0][1], j[1][1], j[2][1]]).collect();
    hermite_points(u, &value, &slope)
}

/// A control point of an ordinary section, (value, slope) per coordinate: shape (a, b) in unit
/// half axes, leaned.
fn skin_point(row: &Row, rim: f64, a: [f64; 2], b: [f64; 2]) -> [[f64; 2]; 3] {
    let z = [
        rim + (row.h[0] - rim) * b[0],
        row.h[1] * b[0] + (row.h[0] - rim) * b[1],
    ];
    leaned(row, a, z)
}

/// The point of height z whose unleaned place across is a * half width.
fn leaned(row: &Row, a: [f64; 2], z: [f64; 2]) -> [[f64; 2]; 3] {
    let reach = [
        row.w[0] - row.t[0] * z[0],
        row.w[1] - row.t[1] * z[0] - row.t[0] * z[1],
    ];
    let y = [a[0] * reach[0], a[1] * reach[0] + a[0] * reach[1]];
    let inner = 1.0 - a[0].abs();
    let share = 1.0 - inner * (1.0 - row.plane[0]);
    let x = [
        row.x[0] + row.s[0] * z[0] * share,
        row.x[1]
            + (row.s[1] * z[0] + row.s[0] * z[1]) * share
            + row.s[0] * z[0] * inner * row.plane[1],
    ];
    [x, y, z]
}

/// A control point of the circle on a domed end; the section grows from it with the outline.
fn dome_point(row: &Row, rim: f64, radius: f64, unit: [f64; 2]) -> [[f64; 2]; 3] {
    let (y, z) = (radius * unit[0], radius * unit[1]);
    [
        [row.x[0], row.x[1]],
        [y, row.w[1] * unit[0]],
        [z, row.h[1] * (z - rim) / (radius - rim)],
    ]
}

/// The rim at y < 0: straight rulings, or a quadratic that is a circle arc on a domed end.
fn rim(half: &HalfForm, rows: &[Row], beta: Option<f64>) -> Patch {
    let u: Vec<f64> = rows.iter().map(|r| r.u).collect();
    let top = half.rim;
    let straight = |row: &Row, z: f64| leaned(row, [-1.0, 0.0], [z, 0.0]);
    let Some(beta) = beta else {
        let columns = [0.0, top].map(|z| column(&u, rows, |_, row| straight(row, z)));
        return patch(
            &u,
            vec![0.0, 0.0, 1.0, 1.0],
            1,
            vec![1.0; 2],
            columns.to_vec(),
        );
    };
    let corner = (0.5 * beta).tan();
    let circle = [[-1.0, 0.0], [-1.0, corner], [-beta.cos(), beta.sin()]];
    let columns = [0.0, 0.5 * top, top]
        .into_iter()
        .zip(circle)
        .map(|(z, unit)| {
            column(&u, rows, |_, row| match row.dome {
                Some(r) => [
                    [row.x[0], row.x[1]],
                    [r * unit[0], row.w[1] * unit[0]],
                    [r * unit[1], 0.0],
                ],
                None => straight(row, z),
            })
        });
    let weights = vec![1.0, (0.5 * beta).cos(), 1.0];
    patch(
        &u,
        vec![0.0, 0.0, 0.0, 1.0, 1.0, 1.0],
        2,
        weights,
        columns.collect(),
    )
}

/// Outline, lean and end conditions at every knot of the skin.
fn rows(half: &HalfForm) -> Vec<Row> {
    let outline = Outline::of(half);
    let u = knots(half, &outline);
    let last = u.len() - 1;
    let lean = half.lean.tan();
    let zones = zones(half, &outline);
    let mut rows: Vec<Row> = Vec::with_capacity(u.len());
    for (k, &u) in u.iter().enumerate() {
        let (v, d) = outline.at(u);
        let end = [(0, &half.front), (last, &half.rear)];
        let domed = end
            .iter()
            .any(|(i, end)| *i == k && matches!(end.face, EndFace::Domed { .. }));
        let parts = zones.map(|z| z.map_or([0.0; 2], |z| z.at(u)));
        let (s, t) = shifts(lean, d[0], d[1], &zones, &parts);
        rows.push(Row {
            u,
            x: [v[0], d[0]],
            w: [v[1], d[1]],
            h: [v[2], d[2]],
            n: v[3],
            s: [s, 0.0],
            t: [t, 0.0],
            plane: [parts[0][0] + parts[1][0], parts[0][1] + parts[1][1]],
            dome: domed.then_some(v[1]),
        });
    }
    lean_slopes(half, &u, &mut rows);
    rows
}

/// Slopes of the lean's shifts. A closed end is tangent to its plane, so s is still there.
fn lean_slopes(half: &HalfForm, u: &[f64], rows: &mut [Row]) {
    let s: Vec<f64> = rows.iter().map(|r| r.s[0]).collect();
    let t: Vec<f64> = rows.iter().map(|r| r.t[0]).collect();
    let (ds, dt) = (
        monotone_slopes(u, &s, [false; 2]),
        monotone_slopes(u, &t, [false; 2]),
    );
    for (k, row) in rows.iter_mut().enumerate() {
        row.s[1] = ds[k];
        row.t[1] = dt[k];
    }
    let last = rows.len() - 1;
    for (k, end) in [(0, &half.front), (last, &half.rear)] {
        if end.face == EndFace::Closed {
            rows[k].s[1] = 0.0;
        }
    }
}

/// Knots of the skin: the stations alone where the form is a plain product, else finer, with a
/// round zone next to each dome.
fn knots(half: &HalfForm, outline: &Outline) -> Vec<f64> {
    let base = outline.knots();
    let domes = half.domes();
    let one_shape = half
        .stations
        .iter()
        .all(|s| s.squareness == half.stations[0].squareness);
    if half.lean == 0.0 && one_shape && domes == [None, None] {
        return base.to_vec();
    }
    let last = base.len() - 1;
    let mut fixed = base.to_vec();
    if domes[0].is_some() {
        fixed.push(base[0] + ROUND_ZONE * half.stations[0].half_width);
    }
    if domes[1].is_some() {
        fixed.push(base[last] - ROUND_ZONE * half.stations[last].half_width);
    }
    // Zones longer than their span end at the station.
    fixed.retain(|&k| {
        base.contains(&k)
            || (domes[0].is_some() && k > base[0] && k < base[1])
            || (domes[1].is_some() && k < base[last] && k > base[last - 1])
    });
    fixed.sort_by(f64::total_cmp);
    let longest = SPAN_PART * half.length;
    let mut knots = vec![fixed[0]];
    for (i, pair) in fixed.windows(2).enumerate() {
        let zone = (i == 0 && domes[0].is_some()) || (i + 2 == fixed.len() && domes[1].is_some());
        let pieces = if zone {
            1.0
        } else {
            ((pair[1] - pair[0]) / longest - 1e-9).ceil().max(PIECES)
        };
        for p in 1..=pieces as usize {
            let last = p == pieces as usize;
            let part = p as f64 / pieces;
            knots.push(if last {
                pair[1]
            } else {
                pair[0] + (pair[1] - pair[0]) * part
            });
        }
    }
    knots
}
