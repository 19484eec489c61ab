//! Holders and shanks over clamps and stock, against positions of a tool path.

use limberwood::blank::{ClampArea, Layout, Placed};
use limberwood::chain::{BlankRules, Resolved};
use limberwood::check::finding::Finding;
use limberwood::diagnostic::Severity;
use limberwood::make::Laid;

use super::cases;
use super::designs::{PAIR, Shop, laid, resolved, settings};
use super::draw::Draw;
use super::plan::{chords, from_border, holds};

fn found(resolved: &Resolved, laid: &Laid) -> Vec<Finding> {
    let mut all = laid.findings(resolved, &settings(resolved));
    all.retain(|f| f.message.rule == "reach-on-blank" && f.message.severity != Severity::Note);
    all
}

fn looked(shop: &Shop<'_>) -> Vec<Finding> {
    let resolved = resolved(PAIR, &shop.text()).unwrap();
    let laid = laid(&resolved, 1);
    found(&resolved, &laid)
}

#[test]
fn a_holder_over_all_clamps_is_good_and_one_among_them_is_named() {
    let with = |rough: &str, blank: &str| {
        looked(&Shop {
            cutters: [rough, "", ""],
            blank,
            ..Shop::default()
        })
    };
    // 20.2 deep: 34 leaves 13.8 over the stock, clamps stand 10.
    let good = with(", holder: 30, stick_out: 34", "ends: 25, clamp_height: 10");
    assert!(good.is_empty(), "{good:?}");
    let bad = with(", holder: 30, stick_out: 34", "ends: 25, clamp_height: 16");
    assert!(!bad.is_empty());
    for one in &bad {
        let text = one.to_string();
        assert_eq!(one.message.severity, Severity::Error);
        for word in [
            "on blank-01, outside up, `six` roughs 20.2 mm",
            "its holder runs into clamps at",
            "let it stick out 2.2 mm more",
            "take lower clamps",
        ] {
            assert!(text.contains(word), "{text} lacks {word}");
        }
    }
    // A holder no wider than the cutter meets nothing beside it; wider ends take the clamps away.
    let thin = with(", holder: 6, stick_out: 34", "ends: 25, clamp_height: 16");
    assert!(thin.is_empty(), "{thin:?}");
    let sunk = with(", holder: 30, stick_out: 18", "ends: 25");
    assert!(
        sunk.iter()
            .any(|f| f.to_string().contains("the wood beside it"))
    );
}

#[test]
fn a_shank_thicker_than_short_edges_rubs_on_the_window() {
    let with = |rough: &str| {
        looked(&Shop {
            cutters: [rough, "", ""],
            // Clamps beside a window stand in the way of a thicker shank too.
            blank: "ends: 30, clamp_height: 0",
            ..Shop::default()
        })
    };
    assert!(with(", cutting_length: 12, shank: 6").is_empty());
    assert!(with(", cutting_length: 22, shank: 8").is_empty());
    let bad = with(", cutting_length: 12, shank: 8");
    let text = bad[0].to_string();
    assert!(
        text.contains("its shank runs into the wood beside it"),
        "{text}"
    );
    assert!(text.contains("edges 8.2 mm longer"), "{text}");
}

#[test]
fn holes_of_dowels_are_drilled_where_no_cutter_reaches() {
    let with = |thin: &str| {
        looked(&Shop {
            cutters: ["", thin, ""],
            ..Shop::default()
        })
    };
    assert!(with(", cutting_length: 12, shank: 3").is_empty());
    let bad = with(", cutting_length: 12, shank: 6");
    let text = bad.iter().map(ToString::to_string).collect::<String>();
    assert!(bad.iter().all(|f| f.message.severity == Severity::Warning));
    assert!(
        text.contains("cuts the holes of the dowels 30 mm"),
        "{text}"
    );
    assert!(text.contains("or drill these holes"), "{text}");
}

#[test]
fn cutters_without_a_holder_are_named_as_not_looked_at() {
    let resolved = resolved(PAIR, &Shop::default().text()).unwrap();
    let laid = laid(&resolved, 1);
    let all = laid.findings(&resolved, &settings(&resolved));
    let note = all.iter().find(|f| f.message.rule == "reach-on-blank");
    let text = note.unwrap().to_string();
    assert!(text.contains("`six`, `three`, `fine`, `ball`"), "{text}");
    assert!(text.contains("was not looked at"), "{text}");
}

/// Stacked cylinders: radius, from and to over the tip.
type Stack = [(f64, f64, f64); 3];

/// Whether a cutter whose tip is `depth` under the stock's face at this place is in a clamp.
fn in_clamps(tool: &Stack, p: [f64; 2], depth: f64, area: [[f64; 2]; 2], height: f64) -> bool {
    let [x, y] = [0, 1].map(|k: usize| (area[0][k] - p[k]).max(p[k] - area[1][k]).max(0.0));
    let far = x.hypot(y);
    tool.iter().any(|&(radius, from, to)| {
        let (low, high) = (from - depth, to - depth);
        // A window may touch the strip, and places on arcs lie off by that much: no hit.
        far < radius - 2e-3 && low < height && high > 0.0
    })
}

/// Places of the axis while the window of a part is roughed: its border moved in by the radius, by
/// places of the border and of their normals.
fn roughing(laid: &Laid, placed: &Placed, radius: f64) -> Vec<[f64; 2]> {
    let window = &laid.parts[placed.part].windows[placed.side];
    let border = chords(&window.outline());
    let mut all = Vec::new();
    for (k, a) in border.iter().enumerate() {
        let b = border[(k + 1) % border.len()];
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        let long = dx.hypot(dy);
        if long < 1e-9 {
            continue;
        }
        for t in [0.0, 0.5, 1.0] {
            let p = [
                a[0] + t * dx - radius * dy / long,
                a[1] + t * dy + radius * dx / long,
            ];
            all.push(placed.apply(p));
        }
    }
    all
}

/// Which clamp areas the roughing cutter comes into; and whether its shank or holder rubs on wood.
fn path((laid, layout, rules): (&Laid, &Layout, &BlankRules), tool: &Stack) -> ([bool; 4], bool) {
    let mut met = [false; 4];
    let mut wood = false;
    // The cut through the stock goes 0.2 into the base.
    let depth = layout.board.thickness + 0.2;
    let radius = tool[0].0;
    for kind in &layout.kinds {
        for placed in &kind.placed {
            let window = &laid.parts[placed.part].windows[placed.side];
            let border: Vec<_> = chords(&window.outline())
                .into_iter()
                .map(|p| placed.apply(p))
                .collect();
            for p in roughing(laid, placed, radius) {
                for (k, area) in ClampArea::ALL.into_iter().enumerate() {
                    let corners = area.corners(layout, rules);
                    met[k] |= in_clamps(tool, p, depth, corners, rules.clamp_height);
                }
            }
            // A few places will do for the wood beyond the border: all lie as far from it.
            for p in roughing(laid, placed, radius).into_iter().step_by(301) {
                assert!(holds(&border, p), "the axis is in the window");
                let far = from_border(&border, p) + 1e-3;
                wood |= tool.iter().any(|&(r, from, _)| r > far && from < depth);
            }
        }
    }
    (met, wood)
}

#[test]
fn random_holders_and_clamps_agree_with_a_sampled_path() {
    let (mut hits, mut clear) = (0, 0);
    for case in 0..cases(60) {
        let mut draw = Draw::of(case);
        let mut b = |from: f64, to: f64| (draw.between(from, to) * 10.0).round() / 10.0;
        let (edges, shank) = (b(10.0, 30.0), b(6.0, 8.0));
        let (holder, out) = (b(8.0, 60.0), b(edges, 60.0));
        let (ends, sides, height) = (b(25.0, 60.0), b(5.0, 40.0), b(0.0, 30.0));
        let rough = format!(
            ", cutting_length: {edges}, shank: {shank}, holder: {holder}, stick_out: {out}"
        );
        let blank = format!("ends: {ends}, sides: {sides}, clamp_height: {height}");
        let shop = Shop {
            cutters: [&rough, "", ""],
            blank: &blank,
            ..Shop::default()
        };
        let resolved = resolved(PAIR, &shop.text()).unwrap();
        let laid = laid(&resolved, 1);
        let layout = &laid.blanks.layouts[0];
        let tool = [
            (3.0, 0.0, edges),
            (0.5 * shank, edges, out),
            (0.5 * holder, out, 200.0),
        ];
        let (met, wood) = path((&laid, layout, &resolved.blank), &tool);
        let all = found(&resolved, &laid);
        let says = |words: &str| all.iter().any(|f| f.to_string().contains(words));
        for (k, area) in ClampArea::ALL.into_iter().enumerate() {
            let told = says(&format!("into clamps at {}", area.name()));
            assert_eq!(told, met[k], "{case}: {} {all:?}", area.name());
        }
        assert_eq!(says("the wood beside it"), wood, "{case}: {all:?}");
        let any = wood || met.contains(&true);
        (hits, clear) = (hits + usize::from(any), clear + usize::from(!any));
    }
    assert!(hits > 0 && clear > 0, "{hits} hits, {clear} clear");
}
