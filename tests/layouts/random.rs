//! Chains by chance on stock by chance: nothing overlaps, gaps are kept, holes come onto holes, the
//! volume is right; what is refused does not fit.

use std::f64::consts::PI;

use limberwood::blank::{Kind, Layout};
use limberwood::brep::shape::FaceKind;
use limberwood::chain::{BlankRules, Resolved};
use limberwood::make::{Laid, lay_out};
use limberwood::mesh::{Mesh, second_opinion};

use super::cases;
use super::designs::{resolved, settings};
use super::draw::Draw;
use super::plan::{DEVIATION, apart, area, chords, from_border, holds, lying, mesh};

/// A chain of two to four sections, some with feet, some with a head in one piece.
fn design(draw: &mut Draw) -> String {
    let more = draw.pick(3);
    let (whole, feet) = (draw.chance(0.3), draw.chance(0.6));
    let mut b = |from: f64, to: f64| (draw.between(from, to) * 10.0).round() / 10.0;
    let ball = b(16.0, 18.0);
    // Within the dome of ball, clearance and land.
    let end = ((0.5 * ball + 4.0) * 9.5).floor() / 10.0;
    let mut text = format!(
        "limberwood: 1\nname: Chance\nunits: mm\nspecies: hard maple\n\
         joint: {{ball: {ball}, clearance: 0.4, neck: 8.5, swing: 20 deg, land: 3.6, gap: 4}}\n\
         sections:\n- name: head\n  length: {}\n  tip_width: 12\n  rim: 5\n{}  outline:\n  \
         - {{at: 0%, half_width: 6, height: 6}}\n  - {{at: 40%, half_width: {}, height: {}}}\n  \
         - {{at: 100%, half_width: {end}, height: {end}, squareness: 2}}\n",
        b(44.0, 60.0),
        if whole { "  whole: true\n" } else { "" },
        b(15.0, 22.0),
        b(13.5, 15.0),
    );
    for k in 0..more {
        let feet = if feet {
            "  plates:\n  - side: both\n    thickness: 7\n    outline:\n    \
             - {at: 33%, out: 7, round: 3.5}\n    - {at: 40%, out: 12.5, round: 4}\n    \
             - {at: 52%, out: 12, round: 4}\n    - {at: 64%, out: 4, round: 2.5}\n"
        } else {
            ""
        };
        text += &format!(
            "- name: body{k}\n  length: {}\n  rim: 5\n{feet}  outline:\n  \
             - {{at: 0%, half_width: {end}, height: {end}, squareness: 2}}\n  \
             - {{at: 40%, half_width: {}, height: {}}}\n  \
             - {{at: 100%, half_width: {end}, height: {end}, squareness: 2}}\n",
            b(if feet.is_empty() { 46.0 } else { 58.0 }, 66.0),
            b(15.0, 20.0),
            b(14.0, 15.0),
        );
    }
    text + &format!(
        "- name: tail\n  length: {}\n  tip_width: 10\n  rim: 5\n  outline:\n  \
         - {{at: 0%, half_width: {end}, height: {end}, squareness: 2}}\n  \
         - {{at: 40%, half_width: {}, height: 14}}\n  - {{at: 100%, half_width: 5, height: 5}}\n",
        b(50.0, 80.0),
        b(13.0, 16.0),
    )
}

fn shop(draw: &mut Draw) -> String {
    let mut b = |from: f64, to: f64| (draw.between(from, to) * 10.0).round() / 10.0;
    // Thin stock and small pieces too: those are refused.
    let (thick, long, wide) = (b(14.0, 30.0), b(110.0, 320.0), b(80.0, 220.0));
    format!(
        "limberwood_shop: 1\nname: Chance\nunits: mm\ncutters:\n  \
         - {{name: six, jobs: [rough], kind: flat, diameter: 6}}\n  \
         - {{name: three, jobs: [holes, relief, marks], kind: flat, diameter: 3}}\n  \
         - {{name: ball, jobs: [finish], kind: ball, tip_diameter: 3}}\n\
         stock:\n  - {{name: a, thickness: {thick}, length: {long}, width: {wide}}}\n  \
         - {{name: b, thickness: {}, length: {}, width: {}}}\n\
         fits: {{window: {}, slip: {}}}\n\
         blank: {{ends: {}, sides: {}, web: {}}}\n",
        b(28.0, 44.0),
        b(110.0, 320.0),
        b(80.0, 220.0),
        b(6.5, 13.0),
        b(0.05, 0.3),
        b(25.0, 35.0),
        b(2.0, 25.0),
        b(1.5, 12.0),
    )
}

/// What lies on a piece, as meshes of the bodies without tabs.
fn outlines(laid: &Laid, kind: &Kind) -> Vec<Vec<[f64; 2]>> {
    let each = kind.placed.iter();
    each.map(|p| lying(&mesh(laid.body(p.part, p.side)), p))
        .collect()
}

/// Distances: no part nearer to the border than clamps and window take, no two nearer than two windows
/// and the web, no dowel nearer than the window. A mesh may lie off its body by its deviation.
fn gaps(kind: &Kind, layout: &Layout, own: &[Vec<[f64; 2]>], rules: &BlankRules) {
    let kept = [rules.ends, rules.sides].map(|k| k + rules.window - DEVIATION);
    for (k, hull) in own.iter().enumerate() {
        for p in hull {
            for i in 0..2 {
                let (low, high) = (p[i], layout.size[i] - p[i]);
                assert!(
                    low >= kept[i] && high >= kept[i],
                    "{p:?} of {:?}",
                    kind.placed[k]
                );
            }
        }
        for other in &own[..k] {
            let far = apart(hull, other);
            let least = 2.0 * rules.window + rules.web - 2.0 * DEVIATION;
            assert!(far >= least, "{far} apart, not {least}");
        }
        for dowel in &layout.dowels {
            assert!(!holds(hull, dowel.at));
            let wood = from_border(hull, dowel.at) - 0.5 * dowel.hole;
            assert!(wood >= rules.window, "a dowel {wood} from a part");
        }
    }
}

/// Turned over about the middle line each hole comes onto itself; the piece turned end for end, or the
/// other way over, does not go onto the dowels.
fn holes(layout: &Layout) {
    let [front, rear] = layout.dowels;
    let [long, wide] = layout.size;
    for dowel in [front, rear] {
        let over = [dowel.at[0], wide - dowel.at[1]];
        assert!((over[1] - dowel.at[1]).abs() < 1e-9, "{dowel:?}");
        assert!(dowel.hole > dowel.rod);
        let least = dowel.at[0].min(long - dowel.at[0]).min(over[1]);
        assert!(least > 0.5 * dowel.hole, "{dowel:?} is in the wood");
    }
    // End for end the front hole would come onto the rear dowel.
    let ends = (front.at[0] - (long - rear.at[0])).abs() > front.hole;
    assert!(ends || front.rod > rear.hole || rear.rod > front.hole);
}

/// Area of the split face of a mesh.
fn split(mesh: &Mesh, kinds: &[FaceKind]) -> f64 {
    let own = mesh.triangles.iter().zip(&mesh.face);
    let own = own.filter(|(_, face)| kinds[**face as usize] == FaceKind::SplitFace);
    own.map(|(corners, _)| {
        let [a, b, c] = corners.map(|k| mesh.positions[k as usize]);
        0.5 * ((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])).abs()
    })
    .sum()
}

/// Stock less windows and holes, with the parts, their tabs, and what sanding takes from them.
fn volume(laid: &Laid, layout: &Layout, kind: &Kind) {
    let thick = layout.board.thickness;
    let holes: f64 = layout
        .dowels
        .iter()
        .map(|d| 0.25 * PI * d.hole * d.hole)
        .sum();
    let mut wanted = (layout.size[0] * layout.size[1] - holes) * thick;
    let mut surface = 0.0;
    for p in &kind.placed {
        let window = &laid.parts[p.part].windows[p.side];
        let body = laid.held(p.part, p.side);
        let held = mesh(body);
        wanted -= area(&chords(&window.outline())) * thick;
        wanted += second_opinion(&held).volume + laid.sanding(p.part) * split(&held, &body.kinds);
        surface += held.area();
    }
    let solid = laid.finished(layout, kind).expect("it closes");
    let whole = mesh(&solid);
    let second = second_opinion(&whole);
    assert!(second.closed);
    let off = (second.volume - wanted).abs();
    let bound = DEVIATION * (surface + whole.area());
    assert!(
        off < bound,
        "{} and {wanted}: off by {off}, not {bound}",
        second.volume
    );
}

/// Everything that is said of a layout here.
pub fn look(resolved: &Resolved, laid: &Laid, creatures: usize) {
    let mut seen = vec![[0; 2]; laid.parts.len()];
    for layout in &laid.blanks.layouts {
        holes(layout);
        for kind in &layout.kinds {
            gaps(kind, layout, &outlines(laid, kind), &resolved.blank);
            volume(laid, layout, kind);
            for p in &kind.placed {
                seen[p.part][p.side] += kind.repeat;
            }
        }
        assert!(layout.fewest <= layout.pieces());
    }
    for (part, seen) in laid.parts.iter().zip(seen) {
        let wanted = creatures * part.sections.len();
        assert_eq!(seen, [wanted, wanted * (part.windows.len() - 1)]);
    }
}

/// Whether the halves of a part find a place together on a piece, on a grid of places.
fn fits(resolved: &Resolved, own: &[Vec<[f64; 2]>], size: [f64; 2]) -> bool {
    const STEP: f64 = 1.5;
    let rules = &resolved.blank;
    let kept = [rules.ends, rules.sides].map(|k| k + rules.window);
    let range = |hull: &[[f64; 2]], i: usize| {
        let all = hull.iter().map(|p| p[i]);
        let (low, high) = all.fold((f64::MAX, f64::MIN), |(l, h), c| (l.min(c), h.max(c)));
        (kept[i] - low, size[i] - kept[i] - high)
    };
    let places = |hull: &[[f64; 2]]| {
        let along = |(from, to): (f64, f64)| {
            let count = ((to - from) / STEP).floor();
            (0..=count as i64).map(move |k| from + STEP * k as f64)
        };
        let (x, y) = (range(hull, 0), range(hull, 1));
        let room = x.0 <= x.1 && y.0 <= y.1;
        let all = along(x).flat_map(|a| along(y).map(move |b| [a, b]).collect::<Vec<_>>());
        if room { all.collect() } else { Vec::new() }
    };
    let moved = |hull: &[[f64; 2]], by: [f64; 2]| -> Vec<[f64; 2]> {
        hull.iter().map(|p| [p[0] + by[0], p[1] + by[1]]).collect()
    };
    let turned = |hull: &[[f64; 2]]| hull.iter().map(|p| [-p[0], -p[1]]).collect::<Vec<_>>();
    match own {
        [one] => !places(one).is_empty(),
        [upper, lower] => {
            let ways = [
                (upper.clone(), turned(lower)),
                (turned(upper), lower.clone()),
            ];
            ways.iter().any(|(a, b)| {
                let least = 2.0 * rules.window + rules.web;
                // One of two parts that have room has it as far to a corner of the piece as it goes,
                // or slides there; the border of its places is enough for the first.
                let (x, y) = (range(a, 0), range(a, 1));
                let first = places(a).into_iter().filter(|p| {
                    let near = |v: f64, (l, h): (f64, f64)| v - l < STEP || h - v < STEP;
                    near(p[0], x) || near(p[1], y)
                });
                let second = places(b);
                first.into_iter().any(|p| {
                    let a = moved(a, p);
                    second.iter().any(|q| apart(&a, &moved(b, *q)) >= least)
                })
            })
        }
        _ => false,
    }
}

/// A refusal by size or thickness is right.
fn is_right(resolved: &Resolved, text: &str) {
    let most = resolved.boards.last().copied().unwrap_or(0.0);
    if text.contains("needs stock") {
        let need = resolved.sources.iter().map(|s| s.stock).fold(0.0, f64::max);
        assert!(need > most, "{text}");
        return;
    }
    assert!(text.contains("its window takes"), "{text}");
    // The same on pieces that take anything: which part it is, and how it looks.
    let mut wide = resolved.clone();
    for board in &mut wide.blank.boards {
        board.size = Some([2000.0, 2000.0]);
    }
    if let Some(thickest) = wide.blank.boards.last_mut() {
        thickest.thickness = 100.0;
    }
    let laid = lay_out(&wide, &settings(&wide), 1).expect("there is room for all");
    for part in 0..laid.parts.len() {
        if !text.contains(&laid.parts[part].names[0]) {
            continue;
        }
        let sides = 0..laid.parts[part].windows.len();
        // The window is cut round this polygon.
        let core = |side: usize| laid.parts[part].windows[side].core.corners().collect();
        let own: Vec<Vec<[f64; 2]>> = sides.map(core).collect();
        let need = laid.parts[part].need;
        let board = resolved.blank.boards.iter().find(|b| b.thickness >= need);
        let size = board.and_then(|b| b.size).expect("a size");
        assert!(!fits(resolved, &own, size), "it fits: {text}");
    }
}

#[test]
fn chains_by_chance_on_stock_by_chance() {
    let (mut done, mut right, mut feet, mut whole) = (0, 0, 0, 0);
    let wanted = cases(8);
    for case in 0..wanted {
        let mut draw = Draw::of(case);
        // A design or a shop that is refused before is drawn again.
        let mut sound = resolved(&design(&mut draw), &shop(&mut draw));
        for _ in 0..40 {
            if sound.is_err() {
                sound = resolved(&design(&mut draw), &shop(&mut draw));
            }
        }
        let resolved = sound.unwrap_or_else(|e| panic!("{case}: {e}"));
        let creatures = 1 + draw.pick(3);
        match lay_out(&resolved, &settings(&resolved), creatures) {
            Ok(laid) => {
                look(&resolved, &laid, creatures);
                let forms = resolved.creature.sections.iter().map(|s| &s.form);
                feet += forms
                    .clone()
                    .filter(|f| !f.features.plates.is_empty())
                    .count();
                whole += forms.filter(|f| f.whole).count();
                done += 1;
            }
            Err(found) => {
                let errors = found.sorted();
                for one in &errors {
                    is_right(&resolved, &one.to_string());
                }
                right += errors.len();
            }
        }
    }
    println!("{done} laid out, {right} parts refused; {feet} sections with feet, {whole} whole");
    assert!(done > 0 && right > 0, "{done} {right}");
}
