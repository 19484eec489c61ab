//! Creatures laid out on stock: places, windows and the exact solids of whole pieces.

use std::f64::consts::PI;
use std::path::Path;
use std::sync::atomic::AtomicBool;

use limberwood::blank::{Kind, Layout, Placed};
use limberwood::brep::shape::FaceKind;
use limberwood::brep::volume::{face_area, volume};
use limberwood::chain::{Resolved, resolve};
use limberwood::check::finding::Verdict;
use limberwood::export::folder::{Folder, Parents};
use limberwood::make::{Laid, Settings, blanks, lay_out};
use limberwood::mesh::inspect::inspect;
use limberwood::mesh::{second_opinion, tessellate};
use limberwood::params;
use limberwood::units::Unit;

const DEMOS: [&str; 5] = ["newt", "caterpillar", "pike", "otter", "whale"];

fn read(name: &str) -> Resolved {
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("params/{name}.yaml"));
    let (design, shop, _) = params::read_files(&file, None).expect("the demo is read");
    resolve(&design, &shop).expect("the demo is resolved")
}

fn laid(resolved: &Resolved, creatures: usize) -> Laid {
    let settings = Settings::of(resolved, Unit::Mm);
    lay_out(resolved, &settings, creatures).unwrap_or_else(|e| panic!("{:?}", e.sorted()))
}

/// The volume of a piece from its parts: stock less windows and dowel holes, with the held bodies and
/// the wood that sanding takes away.
fn from_parts(laid: &Laid, layout: &Layout, placed: &[Placed]) -> f64 {
    let [length, width] = layout.size;
    let thick = layout.board.thickness;
    let holes: f64 = layout
        .dowels
        .iter()
        .map(|d| PI * d.hole * d.hole / 4.0)
        .sum();
    let mut sum = (length * width - holes) * thick;
    for p in placed {
        let window = &laid.parts[p.part].windows[p.side];
        let held = laid.held(p.part, p.side);
        sum += volume(held) - window.core.area_within(window.width) * thick;
        let faces = held.solid.face_iter().zip(&held.kinds);
        let split = faces.filter(|(_, kind)| **kind == FaceKind::SplitFace);
        sum += laid.sanding(p.part) * split.map(|(face, _)| face_area(face)).sum::<f64>();
    }
    sum
}

#[test]
fn pieces_of_all_demos_are_sound_solids_of_the_right_volume() {
    for name in DEMOS {
        let resolved = read(name);
        let laid = laid(&resolved, 1);
        for layout in &laid.blanks.layouts {
            for kind in &layout.kinds {
                let solid = laid.finished(layout, kind).expect("it closes");
                let own = volume(&solid);
                let parts = from_parts(&laid, layout, &kind.placed);
                assert!((own / parts - 1.0).abs() < 1e-9, "{name}: {own} {parts}");
                let mesh = tessellate(&solid, 0.05).expect("it is meshed");
                let second = second_opinion(&mesh);
                assert!(second.closed, "{name}");
                let off = (second.volume - own).abs();
                assert!(off < mesh.area() * 0.05, "{name}: {off}");
                let written: Vec<[f32; 3]> =
                    mesh.positions.iter().map(|p| p.map(|c| c as f32)).collect();
                let seen = inspect(&written, &mesh.triangles);
                assert!(seen.is_sound() && seen.shells == 1, "{name}");
            }
            println!(
                "{name}: {} pieces of `{}`, {} at least",
                layout.pieces(),
                layout.board.name,
                layout.fewest
            );
        }
    }
}

/// Depth of the deepest place that is cut from the inside, mm, as the mesh of a finished piece has it.
fn deepest_inside(laid: &Laid, layout: &Layout, kind: &Kind) -> f64 {
    let solid = laid.finished(layout, kind).expect("it closes");
    let mesh = tessellate(&solid, 0.02).expect("it is meshed");
    let inside = [FaceKind::Socket, FaceKind::PinWall, FaceKind::PinFloor];
    let own = mesh.triangles.iter().zip(&mesh.face);
    own.filter(|(_, face)| inside.contains(&solid.kinds[**face as usize]))
        .flat_map(|(corners, _)| corners.map(|c| mesh.positions[c as usize][2]))
        .fold(0.0, f64::max)
}

#[test]
fn heights_of_set_ups_are_those_of_the_solids() {
    let resolved = read("newt");
    let settings = Settings::of(&resolved, Unit::Mm);
    let laid = laid(&resolved, 1);
    let room = tempfile::tempdir().expect("a folder");
    let folder = Folder::open(&room.path().join("out"), Parents::Make).expect("it opens");
    let stop = AtomicBool::new(false);
    blanks(&resolved, &settings, (1, Verdict::Cut), &folder, &stop).expect("all is written");
    let file = std::fs::read(room.path().join("out/blanks.json")).expect("the record");
    let record: serde_json::Value = serde_json::from_slice(&file).expect("JSON");
    let number = |v: &serde_json::Value| v.as_f64().expect("a number");
    for (stock, layout) in laid.blanks.layouts.iter().enumerate() {
        for (k, kind) in layout.kinds.iter().enumerate() {
            let own = &record["stocks"][stock]["kinds"][k];
            for (j, word) in ["inside-up", "outside-up"].into_iter().enumerate() {
                let heights = &own["set_ups"][j];
                assert_eq!(heights["set_up"], word.replace('-', " "));
                let name = own["name"].as_str().expect("a name");
                let path = room.path().join(format!("out/{name}-finished-{word}.stl"));
                let mut stl = std::fs::File::open(path).expect("the mesh");
                let mesh = stl_io::read_stl(&mut stl).expect("STL");
                for axis in 0..3 {
                    let all = mesh.vertices.iter().map(|v| f64::from(v.0[axis]));
                    let (low, high) = all.fold((f64::MAX, f64::MIN), |(low, high), c| {
                        (low.min(c), high.max(c))
                    });
                    let stated = [0, 1].map(|end| number(&heights["stock_mm"][end][axis]));
                    assert!((low - stated[0]).abs() < 1e-3 && (high - stated[1]).abs() < 1e-3);
                }
            }
            let [inside, outside] = [0, 1].map(|j: usize| &own["set_ups"][j]);
            let deepest = deepest_inside(&laid, layout, kind);
            let stated = -number(&inside["deepest_mm"]);
            // A piece of whole sections alone has nothing that is cut from its inside.
            let whole = deepest == 0.0;
            assert!(
                whole || (stated - deepest).abs() < 0.02,
                "{stated} {deepest}"
            );
            assert!(number(&outside["deepest_mm"]) < number(&outside["bed_mm"]));
            assert!(number(&inside["dowel_holes_mm"]) < number(&inside["bed_mm"]));
            assert!(outside["dowel_holes_mm"].is_null());
        }
    }
}

/// Places along the border of a part's core on its piece, about a millimetre apart.
fn border(laid: &Laid, p: &Placed) -> Vec<[f64; 2]> {
    let corners: Vec<_> = laid.parts[p.part].windows[p.side]
        .core
        .corners()
        .map(|c| p.apply(c))
        .collect();
    (0..corners.len())
        .flat_map(|k| {
            let (a, b) = (corners[k], corners[(k + 1) % corners.len()]);
            let steps = (b[0] - a[0]).hypot(b[1] - a[1]).ceil().max(1.0);
            (0..steps as usize).map(move |i| {
                let t = i as f64 / steps;
                [a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])]
            })
        })
        .collect()
}

#[test]
fn windows_keep_the_web_and_the_clamps_and_nothing_is_left_out() {
    for (name, creatures) in [("newt", 1), ("caterpillar", 5), ("pike", 2), ("otter", 3)] {
        let resolved = read(name);
        let laid = laid(&resolved, creatures);
        let rules = &resolved.blank;
        let apart = 2.0 * rules.window + rules.web;
        let mut seen = vec![0; laid.parts.len()];
        for layout in &laid.blanks.layouts {
            for kind in &layout.kinds {
                let borders: Vec<_> = kind.placed.iter().map(|p| border(&laid, p)).collect();
                for (k, own) in borders.iter().enumerate() {
                    for p in own {
                        for (at, size, free) in [
                            (p[0], layout.size[0], rules.ends),
                            (p[1], layout.size[1], rules.sides),
                        ] {
                            let least = free + rules.window - 1e-9;
                            assert!(at >= least && size - at >= least, "{name}: {p:?}");
                        }
                        for other in borders[..k].iter().flatten() {
                            let far = (p[0] - other[0]).hypot(p[1] - other[1]);
                            assert!(far >= apart - 1e-9, "{name}: {far} apart, not {apart}");
                        }
                    }
                }
                for p in &kind.placed {
                    seen[p.part] += kind.repeat;
                    // The other half of each pair lies on the same piece, turned the other way.
                    let sides = laid.parts[p.part].windows.len();
                    let alike = |side: usize, turned: bool| {
                        let same =
                            |q: &&Placed| q.part == p.part && q.side == side && q.turned == turned;
                        kind.placed.iter().filter(same).count()
                    };
                    if sides == 2 {
                        for turned in [false, true] {
                            assert_eq!(alike(0, turned), alike(1, !turned), "{name}");
                        }
                    }
                }
            }
            assert!(layout.fewest >= 1 && layout.fewest <= layout.pieces());
        }
        for (part, seen) in laid.parts.iter().zip(seen) {
            assert_eq!(seen, creatures * part.sections.len() * part.windows.len());
        }
    }
}

#[test]
fn more_creatures_take_no_more_pieces_than_each_by_itself() {
    let resolved = read("caterpillar");
    let pieces = |creatures: usize| -> usize {
        let laid = laid(&resolved, creatures);
        laid.blanks.layouts.iter().map(Layout::pieces).sum()
    };
    let one = pieces(1);
    for creatures in [2, 3, 50] {
        assert!(pieces(creatures) <= creatures * one);
    }
}

/// The first message that a shop text leads to.
fn refused(shop: &str) -> String {
    let (shop, _) = params::read_shop_str(shop, "shop.yaml").expect("the shop is read");
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("params/caterpillar.yaml");
    let (design, _, _) = params::read_files(&file, None).expect("the demo is read");
    let resolved = resolve(&design, &shop).expect("the demo is resolved");
    let settings = Settings::of(&resolved, Unit::Mm);
    match lay_out(&resolved, &settings, 1) {
        Ok(_) => panic!("it finds a place"),
        Err(errors) => errors.sorted()[0].to_string(),
    }
}

fn shop(stock: &str, blank: &str) -> String {
    format!(
        "limberwood_shop: 1\nname: Shed\nunits: mm\ncutters:\n  - {{name: six, jobs: [rough], kind: flat, \
         diameter: 6}}\n  - {{name: three, jobs: [finish, holes], kind: ball, tip_diameter: 3}}\nstock:\n  \
         - {{name: pine, {stock}}}\nblank: {{{blank}}}\n"
    )
}

#[test]
fn what_stands_against_a_layout_is_named_with_both_numbers() {
    let cases = [
        (
            "thickness: 19.05",
            "ends: 25",
            ["without length and width", "length: 400 mm", "shop.yaml:8"],
        ),
        (
            "thickness: 12, length: 400, width: 180",
            "ends: 25",
            ["needs stock", "thick", "12 mm"],
        ),
        (
            "thickness: 20, length: 110, width: 180",
            "ends: 25",
            ["its window takes", "at most 60", "`pine`"],
        ),
        (
            "thickness: 20, length: 400, width: 85",
            "ends: 25",
            ["its window takes", "x 55 mm", "larger pieces"],
        ),
        (
            "thickness: 20, length: 400, width: 180",
            "ends: 20",
            ["ends of 20 mm", "24.26 mm", "thinner"],
        ),
        (
            "thickness: 20, length: 400, width: 180",
            "front_dowel: 8, rear_dowel: 8",
            ["both dowels of the flip 8 mm", "two sizes", "`rear_dowel`"],
        ),
    ];
    for (stock, blank, words) in cases {
        let text = refused(&shop(stock, blank));
        for word in words {
            assert!(text.contains(word), "{text} lacks {word}");
        }
    }
    let narrow = shop("thickness: 20, length: 400, width: 180", "ends: 25") + "fits: {window: 5}\n";
    let text = refused(&narrow);
    assert!(
        text.contains("a window 5 mm wide") && text.contains("at least 6 mm"),
        "{text}"
    );
}

#[test]
fn stations_in_each_others_way_or_off_the_machine_are_refused() {
    let stations = |list: &str| {
        shop("thickness: 20, length: 400, width: 180", "ends: 25")
            + &format!("travel: {{x: 420, y: 400}}\nstations: [{list}]\n")
    };
    let at = |name: &str, set_up: &str, y: f64, offset: &str| {
        format!("{{name: {name}, set_up: {set_up}, x: 20, y: {y}, offset: {offset}}}")
    };
    let first = at("A", "inside-up", 100.0, "G54");
    let cases = [
        (
            [first.clone(), at("B", "outside-up", 200.0, "G55")].join(", "),
            [
                "station `B` lies 400 mm x 80 mm over one at `A`",
                "move one of the two",
            ],
        ),
        (
            [first.clone(), at("B", "outside-up", 320.0, "G55")].join(", "),
            [
                "`B` reaches from 7.5 mm, 230 mm to 407.5 mm, 410 mm",
                "420 mm, 400 mm",
            ],
        ),
        (
            first,
            [
                "no station for the set-up `outside-up`",
                "leave `stations` out",
            ],
        ),
    ];
    for (list, words) in cases {
        let text = refused(&stations(&list));
        for word in words {
            assert!(text.contains(word), "{text} lacks {word}");
        }
    }
}
