//! Drawings of the halves of whole designs against closed forms and against the solids; the last
//! test leaves files under the target folder for `tests/foreign/drawing_check.py`.

mod solids;

use std::f64::consts::PI;
use std::path::Path;

use limberwood::brep::set_up::SetUp;
use limberwood::brep::shape::FaceKind;
use limberwood::brep::volume::face_area;
use limberwood::chain::HalfPin;
use limberwood::export::drawing::{
    Contour, Drawing, FLATTENED_WITHIN, Layer, Shape, Stroke, Title,
};
use solids::{Part, part, parts};

fn on(drawing: &Drawing, layer: Layer) -> Vec<&Shape> {
    let shapes = drawing.shapes.iter();
    shapes.filter(|s| s.layer == layer).collect()
}

fn draw(part: &Part, setup: SetUp) -> Drawing {
    Drawing::of(&part.finished, part.held.as_ref(), setup)
}

/// Length of all polylines of a line, mm: only they differ from the solid.
fn flattened(contour: &Contour) -> f64 {
    let length = |stroke: &Stroke| match stroke {
        Stroke::Polyline(places) => places
            .windows(2)
            .map(|w| (w[1][0] - w[0][0]).hypot(w[1][1] - w[0][1]))
            .sum(),
        _ => 0.0,
    };
    contour.strokes.iter().map(length).sum()
}

#[test]
fn the_outline_less_its_holes_has_the_area_of_the_split_face() {
    let mut seen = 0;
    for part in parts().iter().filter(|p| !p.whole) {
        let drawing = draw(part, SetUp::OutsideUp);
        let area = |layer| -> f64 {
            let own = on(&drawing, layer);
            own.iter().map(|s| s.contour.area().abs()).sum()
        };
        let chamfered = part.pin_chamfer > 0.0;
        let mouths = if chamfered {
            Layer::PinChamfers
        } else {
            Layer::PinHoles
        };
        let holes: f64 = [mouths, Layer::GlueGroove, Layer::Marks]
            .map(area)
            .iter()
            .sum();
        let [outline] = on(&drawing, Layer::Outline)[..] else {
            panic!("{}: not one outline", part.name);
        };
        let mut faces = part.finished.solid.face_iter().zip(&part.finished.kinds);
        let split = faces.find(|(_, k)| **k == FaceKind::SplitFace);
        let wanted = face_area(split.expect("a split face").0);
        let found = outline.contour.area().abs() - holes;
        // A chord that keeps within t of its arc leaves at most 2/3 of its length times t beside
        // it (a flat parabola).
        let allowed = 1e-6 + 0.7 * FLATTENED_WITHIN * flattened(&outline.contour);
        assert!(
            (found - wanted).abs() < allowed,
            "{}: {found} {wanted} {allowed}",
            part.name
        );
        seen += 1;
    }
    assert!(seen > 20, "only {seen} halves");
}

/// The hole that a drawing should show, as the set-up sees it.
fn pin(pin: &HalfPin, setup: SetUp) -> ([f64; 2], f64) {
    let sign = if setup == SetUp::InsideUp { -1.0 } else { 1.0 };
    ([pin.x, sign * pin.y], pin.radius)
}

#[test]
fn pin_holes_have_the_places_and_sizes_of_the_form() {
    let (mut round, mut slotted) = (0, 0);
    for part in parts().iter().filter(|p| !p.whole) {
        for setup in SetUp::BOTH {
            let drawing = draw(part, setup);
            let holes = on(&drawing, Layer::PinHoles);
            assert_eq!(holes.len(), part.pins.len(), "{}", part.name);
            let mouths = on(&drawing, Layer::PinChamfers).len();
            let chamfered = part.pin_chamfer > 0.0;
            assert_eq!(mouths, if chamfered { holes.len() } else { 0 });
            for (form, hole) in part.pins.iter().zip(holes) {
                let (centre, radius) = pin(form, setup);
                assert_eq!(drawing.is_far(hole), setup == SetUp::OutsideUp);
                if form.slot > 0.0 {
                    let area = PI * radius * radius + 2.0 * radius * form.slot;
                    assert!((hole.contour.area().abs() - area).abs() < 1e-9);
                    slotted += 1;
                    continue;
                }
                let [
                    Stroke::Circle {
                        centre: c,
                        radius: r,
                    },
                ] = hole.contour.strokes[..]
                else {
                    panic!("{}: no circle", part.name);
                };
                let off = (c[0] - centre[0]).hypot(c[1] - centre[1]);
                assert!(off < 1e-9 && (r - radius).abs() < 1e-9, "{}", part.name);
                round += 1;
            }
        }
    }
    assert!(round > 20 && slotted > 20, "{round} {slotted}");
}

fn mirrored(drawing: &Drawing, by: f64) -> Vec<Vec<[f64; 2]>> {
    let ends = |s: &Shape| {
        let strokes = s.contour.strokes.iter();
        strokes
            .flat_map(|s| {
                let (p, q) = s.ends();
                // The middle too: ends alone do not tell an arc from the rest of its circle.
                let middle = match s {
                    Stroke::Arc {
                        centre,
                        radius,
                        start,
                        turn,
                    } => {
                        let (sin, cos) = (start + 0.5 * turn).sin_cos();
                        [centre[0] + radius * cos, centre[1] + radius * sin]
                    }
                    Stroke::Circle { centre, .. } => *centre,
                    Stroke::Polyline(places) => places[places.len() / 2],
                    Stroke::Line(..) => p,
                };
                [p, middle, q]
            })
            .map(|p| [p[0], by * p[1]])
            .collect()
    };
    drawing.shapes.iter().map(ends).collect()
}

#[test]
fn inside_up_is_the_mirror_image_in_y_of_outside_up() {
    for part in parts() {
        let [inside, outside] = SetUp::BOTH.map(|s| draw(&part, s));
        let (a, b) = (mirrored(&inside, 1.0), mirrored(&outside, -1.0));
        assert_eq!(a.len(), b.len());
        for (p, q) in a.iter().flatten().zip(b.iter().flatten()) {
            let off = (p[0] - q[0]).hypot(p[1] - q[1]);
            assert!(off < 1e-12, "{}: {p:?} {q:?}", part.name);
        }
        for (s, t) in inside.shapes.iter().zip(&outside.shapes) {
            let sided = !matches!(s.layer, Layer::Outline | Layer::Tabs);
            assert_eq!(inside.is_far(s) != outside.is_far(t), sided);
            let (a, b) = (s.contour.area(), t.contour.area());
            // A circle has no sense of turning.
            let whole = matches!(s.contour.strokes[..], [Stroke::Circle { .. }]);
            let b = if whole { b } else { -b };
            assert!((a - b).abs() < 1e-9, "{}", part.name);
        }
    }
}

#[test]
fn every_line_is_closed_but_tabs_of_whole_sections() {
    for part in parts() {
        for setup in SetUp::BOTH {
            for shape in &draw(&part, setup).shapes {
                let open = part.whole && shape.layer == Layer::Tabs;
                assert_eq!(shape.contour.closed, !open, "{}", part.name);
                // Vertices that an arc's angles give back (rounding noise).
                assert!(shape.contour.gap() < 1e-9, "{}", part.name);
            }
        }
    }
}

#[test]
fn a_whole_section_has_one_outline_and_eyes_on_both_sides() {
    // That of tests/data/whole.yaml stands behind the newt's head.
    let part = parts().into_iter().rfind(|p| p.whole).expect("a whole one");
    for setup in SetUp::BOTH {
        let drawing = draw(&part, setup);
        let [outline] = on(&drawing, Layer::Outline)[..] else {
            panic!("not one outline");
        };
        // Half width 15 at 40 % of tests/data/whole.yaml; on the left, which is towards -y from
        // above, the ear, 2 out of a body that is no wider there; the ball's rear pole.
        let (low, high) = outline.contour.bounds();
        let (right, left) = match setup {
            SetUp::OutsideUp => (high[1], -low[1]),
            SetUp::InsideUp => (-low[1], high[1]),
        };
        assert!((right - 15.0).abs() < 1e-6, "{right}");
        assert!(left > 15.0 && left < 15.0 + 2.0, "{left}");
        assert!(low[0].abs() < 1e-6 && high[0] > 60.0);
        let eyes = on(&drawing, Layer::Eyes);
        let far = eyes.iter().filter(|s| drawing.is_far(s)).count();
        assert_eq!((eyes.len(), far), (part.eyes, part.eyes_far_from(setup)));
        for eye in eyes {
            let [Stroke::Circle { centre, radius }] = eye.contour.strokes[..] else {
                panic!("no circle");
            };
            // At 35 % of 50 mm, 6 mm across in all, 4 mm wide: tests/data/whole.yaml.
            assert!((centre[0] - 17.5).abs() < 1e-9 && (radius - 2.0).abs() < 1e-9);
        }
    }
}

/// Corners of the flats of tests/data/flat.yaml: from 40 to 70 % of 60 mm, 14 wide; from 30 to 45
/// mm, 10 wide.
const FRONT: [[f64; 2]; 2] = [[24.0, -7.0], [42.0, 7.0]];
const REAR: [[f64; 2]; 2] = [[30.0, -5.0], [45.0, 5.0]];

#[test]
fn flats_are_rectangles_on_a_layer_of_their_own() {
    let halves: Vec<Part> = parts().into_iter().filter(|p| p.design == "flat").collect();
    // The front section has its flat below, the rear one on both sides.
    let wanted = [None, Some(FRONT), Some(REAR), Some(REAR)];
    assert_eq!(halves.len(), wanted.len());
    for (half, wanted) in halves.iter().zip(wanted) {
        for setup in SetUp::BOTH {
            let drawing = draw(half, setup);
            let flats = on(&drawing, Layer::Flats);
            assert_eq!(flats.len(), usize::from(wanted.is_some()), "{}", half.name);
            for (flat, [least, most]) in flats.iter().zip(wanted) {
                let (low, high) = flat.contour.bounds();
                let off = [0, 1].map(|k| (low[k] - least[k]).abs().max((high[k] - most[k]).abs()));
                assert!(off[0].max(off[1]) < 1e-6, "{}: {low:?} {high:?}", half.name);
                // As large as its box: a rectangle.
                let area = (most[0] - least[0]) * (most[1] - least[1]);
                assert!((flat.contour.area().abs() - area).abs() < 1e-4);
                assert!(flat.contour.closed);
                assert_eq!(drawing.is_far(flat), setup == SetUp::InsideUp);
            }
            let title = Title {
                part: half.name.clone(),
                bench_only: false,
            };
            let far = if setup == SetUp::InsideUp {
                " (far side)"
            } else {
                ""
            };
            let name = format!("flats{far}");
            let dxf = String::from_utf8(drawing.dxf(&title)).expect("text");
            assert_eq!(dxf.contains(&format!("\n{name}\n")), wanted.is_some());
            let svg = String::from_utf8(drawing.svg(&title)).expect("text");
            assert_eq!(
                svg.contains(&format!("<title>{name}</title>")),
                wanted.is_some()
            );
        }
    }
}

#[test]
fn tabs_stand_where_the_form_has_them() {
    let mut seen = 0;
    for part in parts() {
        let drawing = draw(&part, SetUp::OutsideUp);
        let tabs = on(&drawing, Layer::Tabs);
        assert_eq!(tabs.len(), part.tabs.len(), "{}", part.name);
        for form in &part.tabs {
            let side = form.flank.sign();
            let near = |s: &&&Shape| {
                let (low, high) = s.contour.bounds();
                let (x, y) = (0.5 * (low[0] + high[0]), 0.5 * (low[1] + high[1]));
                // A ruling leans along x by less than a tab is wide.
                (x - form.x).abs() < form.width && y * side > 0.0
            };
            let found = tabs.iter().find(near);
            let (low, high) = found.expect("a tab there").contour.bounds();
            assert!(
                high[1] - low[1] > 0.7 * form.length[0].min(form.length[1]),
                "{}",
                part.name
            );
            assert!(high[0] - low[0] > 0.9 * form.width, "{}", part.name);
            seen += 1;
        }
    }
    assert!(seen > 4, "only {seen} tabs");
}

#[test]
fn same_half_same_bytes() {
    let title = Title {
        part: "x".to_owned(),
        bench_only: false,
    };
    for setup in SetUp::BOTH {
        let [a, b] = [(); 2].map(|()| draw(&part("newt", 0), setup));
        assert_eq!(a.dxf(&title), b.dxf(&title));
        assert_eq!(a.svg(&title), b.svg(&title));
    }
}

/// Names that break careless writers of XML and DXF.
const HOSTILE: [&str; 7] = [
    "</title><script>&\"'<![CDATA[ ]]>",
    "-->\u{0}\u{1}\u{b}\u{1f}\u{7f}\u{85}\u{fffe}\u{ffff} \t\n\r\n  0\nENDSEC",
    "\\U+0041 \\P %%u %%% ^J ^M {\\H3x;}",
    "Schwanzstück 尾巴 ذيل хвост 🦎🐛𝄞",
    "🦎🦎🦎🦎🦎🦎🦎🦎🦎🦎🦎🦎🦎🦎🦎🦎🦎🦎🦎🦎🦎🦎🦎🦎🦎🦎🦎🦎🦎🦎",
    "   ",
    "",
];

fn put(folder: &Path, stem: &str, drawing: &Drawing, title: &Title) {
    std::fs::create_dir_all(folder).expect("a folder");
    let write = |ending: &str, bytes: Vec<u8>| {
        std::fs::write(folder.join(format!("{stem}.{ending}")), bytes).expect("a file");
    };
    write("dxf", drawing.dxf(title));
    write("svg", drawing.svg(title));
}

#[test]
fn files_for_foreign_readers_are_left_under_the_target_folder() {
    let root = Path::new(env!("CARGO_TARGET_TMPDIR")).join("drawings");
    let title = |name: &str, bench_only| Title {
        part: name.to_owned(),
        bench_only,
    };
    for part in parts() {
        for setup in SetUp::BOTH {
            let drawing = draw(&part, setup);
            assert_eq!(drawing.whole, part.whole, "{}", part.name);
            let word = setup.word(drawing.whole).replace(' ', "-");
            let stem = format!("{}-{word}", part.stem);
            let title = title(&part.name, part.bench_only);
            put(&root.join(part.design), &stem, &drawing, &title);
        }
    }
    let drawing = draw(&part("whole", 0), SetUp::InsideUp);
    for (k, name) in HOSTILE.iter().enumerate() {
        let folder = root.join("hostile");
        put(&folder, &format!("name-{k}"), &drawing, &title(name, true));
    }
}
