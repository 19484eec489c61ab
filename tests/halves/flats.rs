//! Random flats on legal sections: the outline made level by a rule of its own, the skin planar
//! under each, and what the solid and its mesh make of it.

use limberwood::brep::shape::{FaceKind, Half, Surface};
use limberwood::brep::{build_form, sew};
use limberwood::chain::{
    EndFace, Fixes, Flat, HalfForm, Knot, Outline, SectionForm, Side, Station,
};
use limberwood::mesh::tessellate;
use limberwood::skin::{Skin, SkinError, skin};
use rayon::prelude::*;

use super::draw::Draw;
use super::eyes::Over;
use super::{forms, number};

/// How far the skin may lie off a flat's plane, mm: rounding.
const PLANAR: f64 = 1e-9;

/// The shares of the section's width that are drawn, from narrow to the widest that is level.
const SHARES: (f64, f64) = (0.08, 0.75);

/// A mesh takes fewer triangles than this for the flats of a half: one or two flats of four edges
/// with at most 64 pieces each (`bow.rs`), triangulated without inner points.
const MOST_TRIANGLES: usize = 2 * 4 * 64;

/// Lays a flat on one or both halves, where the section has room; pins and eyes come later.
pub fn add(d: &mut Draw, form: &mut SectionForm) {
    let sides = [
        &[Side::Upper][..],
        &[Side::Lower],
        &[Side::Upper, Side::Lower],
    ];
    for &side in sides[d.pick(3)] {
        let mut tried = form.clone();
        if lay(d, &mut tried, side) && holds(&tried, side) {
            *form = tried;
        }
    }
}

fn holds(form: &SectionForm, side: Side) -> bool {
    skin(&HalfForm::of(form, side)).is_ok()
}

fn height(s: &mut Station, side: Side) -> &mut f64 {
    match side {
        Side::Upper => &mut s.above,
        Side::Lower => &mut s.below,
    }
}

fn lay(d: &mut Draw, form: &mut SectionForm, side: Side) -> bool {
    let last = form.outline.len() - 1;
    let room = |end: EndFace, s: &Station| match end {
        EndFace::Domed { .. } => 0.5 * s.half_width + 3.0,
        _ => 3.0,
    };
    let from = form.outline[0].x + room(form.front.face, &form.outline[0]);
    let to = form.outline[last].x - room(form.rear.face, &form.outline[last]);
    let (a, b) = (d.between(from, to), d.between(from, to));
    let level = (a.min(b), a.max(b));
    let mut lean = 0.0f64;
    for s in &mut form.outline {
        lean = lean.max(*height(s, side) * form.lean.tan());
    }
    if level.1 - level.0 < 2.0 * lean + 2.0 {
        return false;
    }
    if form
        .outline
        .iter()
        .any(|s| (s.x - level.0).abs() < 3.0 || (s.x - level.1).abs() < 3.0)
    {
        return false;
    }
    let outlines = [Side::Upper, Side::Lower].map(|s| Outline::of(&HalfForm::of(form, s)));
    for x in [level.0, level.1] {
        let [up, low] = [0, 1].map(|k: usize| outlines[k].at(outlines[k].u_of_x(x)).0);
        let place = form.outline.partition_point(|s| s.x < x);
        form.outline.insert(
            place,
            Station {
                x,
                half_width: up[1],
                above: up[2],
                below: low[2],
                squareness: up[3],
                knot: Knot::Level {
                    above: side == Side::Upper,
                    below: side == Side::Lower,
                },
            },
        );
    }
    let within = |s: &&mut Station| (level.0..=level.1).contains(&s.x);
    let (mut low, mut narrow) = (f64::INFINITY, f64::INFINITY);
    for s in form.outline.iter_mut().filter(within) {
        low = low.min(*height(s, side));
        narrow = narrow.min(s.half_width);
    }
    low = (low - [0.0, d.between(0.0, 2.0)][d.pick(2)]).max(form.rim + 1.0);
    for s in form.outline.iter_mut().filter(within) {
        *height(s, side) = low;
    }
    form.features.flats.push(Flat {
        side,
        from: level.0 + lean,
        to: level.1 - lean,
        half_width: (narrow - low * form.lean.tan()) * d.between(SHARES.0, SHARES.1),
        height: low,
        level,
    });
    as_it_runs(form);
    true
}

/// A station of a flat of the other half says how high this half runs there, which its own flats
/// have changed.
fn as_it_runs(form: &mut SectionForm) {
    for side in [Side::Upper, Side::Lower] {
        let half = HalfForm::of(form, side);
        let outline = Outline::of(&half);
        for (s, own) in form.outline.iter_mut().zip(&half.stations) {
            if own.fixes == Fixes::Nothing {
                *height(s, side) = outline.at(outline.u_of_x(s.x)).0[2];
            }
        }
    }
}

/// Whether a place in plan is nearer to a flat of its half than a distance.
pub fn near(form: &SectionForm, side: Side, [x, y]: [f64; 2], far: f64) -> bool {
    let own = form.features.flats.iter().filter(|f| f.side == side);
    own.into_iter().any(|f| {
        let along = (f.from - x).max(x - f.to).max(0.0);
        let across = (y.abs() - f.half_width).max(0.0);
        along.hypot(across) < far
    })
}

/// The skin lies in the flat's plane all over the rectangle, and the solid has the rectangle as a
/// plane face.
pub fn check(half: &HalfForm, skin: &Skin, built: &Half) -> Result<f64, String> {
    let mut worst = 0.0f64;
    let mut over = Over::of(skin);
    let parts = [0.0, 0.1, 0.31, 0.5, 0.72, 0.93, 1.0];
    for f in &half.features.flats {
        for s in parts {
            for t in parts {
                let x = f.from + (f.to - f.from) * s;
                let y = f.half_width * (2.0 * t - 1.0);
                let (z, up) = over.height(x, y).ok_or("no skin under a flat")?;
                let off = (z - f.height).abs().max((1.0 - up).abs());
                if off.is_nan() || off > PLANAR {
                    return Err(format!("the skin is {off} off its flat at {x} {y}: {f:?}"));
                }
                worst = worst.max(off);
            }
        }
    }
    let faces = built.solid.face_iter().zip(&built.kinds);
    let flats: Vec<_> = faces.filter(|f| *f.1 == FaceKind::Flat).collect();
    if flats.len() != half.features.flats.len() {
        return Err(format!("{} flat faces", flats.len()));
    }
    for ((face, _), f) in flats.into_iter().zip(&half.features.flats) {
        let plane = matches!(face.surface(), Surface::Plane(p)
            if p.z.z == 1.0 && (p.origin.z - f.height).abs() < 1e-12);
        if !plane || face.boundaries().len() != 1 {
            return Err("a flat that is no plane rectangle".to_owned());
        }
    }
    Ok(worst)
}

/// The flats of a mesh have their area, in few triangles, to rounding.
fn meshed(half: &HalfForm, built: &Half) -> Result<usize, String> {
    let mesh = tessellate(built, 0.05).map_err(|e| e.0)?;
    let (mut area, mut count) = (0.0, 0);
    for (t, &face) in mesh.triangles.iter().zip(&mesh.face) {
        if built.kinds[face as usize] == FaceKind::Flat {
            let [a, b, c] = t.map(|v| mesh.positions[v as usize]);
            area += 0.5 * ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]));
            count += 1;
        }
    }
    let wanted: f64 = half
        .features
        .flats
        .iter()
        .map(|f| 2.0 * f.half_width * (f.to - f.from))
        .sum();
    if (area - wanted).abs() > 1e-9 * (1.0 + wanted) {
        return Err(format!("flats of {area} instead of {wanted} mm2"));
    }
    Ok(count)
}

/// Flats, worst off plane, most triangles; none where the form is refused because its crown, which a
/// flat raises, hangs over a narrow end: the independent look at the skin must see that too.
fn one(case: u64) -> Result<Option<(usize, f64, usize)>, String> {
    let form = forms::with_flats(case);
    let mut found = (form.features.flats.len(), 0.0f64, 0);
    for side in [Side::Upper, Side::Lower] {
        let half = HalfForm::held(&form, side);
        let skin = skin(&half).map_err(|e| format!("case {case}, {side:?}: {e:?}"))?;
        if skin.faces_down().is_some() && super::outer::check(&half, &skin).is_err() {
            return Ok(None);
        }
    }
    for (k, side) in [Side::Upper, Side::Lower].into_iter().enumerate() {
        let say = |e: String| format!("case {case}, {side:?}: {e}\n{form:?}");
        let stated = super::DEVIATIONS[(case as usize + 2 * k) % 4];
        super::one_half(&form, side, stated).map_err(say)?;
        let half = HalfForm::held(&form, side);
        let (built, skin) = build_form(&half).map_err(|e| say(format!("{e:?}")))?;
        found.1 = found.1.max(check(&half, &skin, &built).map_err(say)?);
        found.2 = found.2.max(meshed(&half, &built).map_err(say)?);
    }
    Ok(Some(found))
}

#[test]
fn random_sections_with_flats_keep_every_promise() {
    let cases = number("LIMBERWOOD_CASES").unwrap_or(120);
    let first = number("LIMBERWOOD_FIRST").unwrap_or(0);
    let results: Vec<_> = (first..first + cases).into_par_iter().map(one).collect();
    let faults: Vec<&String> = results.iter().filter_map(|r| r.as_ref().err()).collect();
    let refused = results.iter().filter(|r| matches!(r, Ok(None))).count();
    let sound = results.iter().flatten().flatten();
    let sum = sound.fold((0, 0.0f64, 0), |a, b| {
        (a.0 + b.0, a.1.max(b.1), a.2.max(b.2))
    });
    println!(
        "{cases} sections, {refused} refused, flats, worst off plane, most triangles: {sum:?}"
    );
    for fault in faults.iter().take(6) {
        println!("{fault}");
    }
    assert!(faults.is_empty(), "{} of {cases} cases fail", faults.len());
    assert!(refused as u64 <= cases / 100, "{refused} refused");
    assert!(sum.0 as u64 > cases, "{} flats", sum.0);
    // A rectangle in few triangles: two, and what edges that are divided for their neighbours add.
    assert!(sum.2 >= 2 && sum.2 < MOST_TRIANGLES, "{} triangles", sum.2);
}

/// A whole section with a flat on either half.
#[test]
fn whole_sections_with_flats_are_sewn() {
    let mut sewn = 0;
    for case in 0..60 {
        let mut form = forms::with_flats(case);
        let socket =
            |e: &limberwood::chain::End| matches!(e.joint, limberwood::chain::EndJoint::Socket(_));
        if socket(&form.front) || socket(&form.rear) {
            continue;
        }
        form.whole = true;
        form.pins.clear();
        form.features.grooves.clear();
        form.features.marks.clear();
        let [upper, lower] = [Side::Upper, Side::Lower]
            .map(|side| build_form(&HalfForm::held(&form, side)).unwrap().0);
        let whole = sew(&upper, &lower).unwrap();
        let flats = whole.kinds.iter().filter(|k| **k == FaceKind::Flat);
        assert_eq!(flats.count(), form.features.flats.len(), "case {case}");
        super::solid::check(&whole).unwrap();
        sewn += 1;
    }
    assert!(sewn > 8, "{sewn} whole sections");
}

/// The widest flat that is taken is the one that is named, and a wider one is refused.
#[test]
fn a_flat_too_wide_names_the_widest() {
    let mut form = forms::with_flats(3);
    let side = form.features.flats[0].side;
    form.features.flats.retain(|f| f.side == side);
    form.features.flats[0].half_width = 100.0;
    let Err(SkinError::WideFlat(width, most)) = skin(&HalfForm::of(&form, side)) else {
        panic!("taken");
    };
    assert_eq!(width, 200.0);
    form.features.flats[0].half_width = 0.5 * most;
    assert!(holds(&form, side));
    form.features.flats[0].half_width = 0.5 * most + 1e-6;
    assert!(!holds(&form, side));
    let narrow = form
        .outline
        .iter()
        .map(|s| s.half_width)
        .fold(f64::INFINITY, f64::min);
    assert!(most > narrow, "{most} of {}", 2.0 * narrow);
}
