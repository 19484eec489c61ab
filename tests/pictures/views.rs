//! Pictures of a bent and an open creature, of parts, pieces of stock and walls: each against numbers
//! worked out here, and against a small picture that was looked at.

use std::fs;
use std::path::Path;

use limberwood::chain::{Resolved, resolve};
use limberwood::make::{Bend, Drawn, Settings, Way, drawn, lay_out, thickness};
use limberwood::params::read_files;
use limberwood::picture::{Picture, Size, View, ramp};
use limberwood::units::Unit;

use super::creature::Creature;

const DESIGN: &str = "params/caterpillar.yaml";
/// Part of a picture inside its margin of 6 % at each edge.
const INSIDE: f64 = 0.88;
/// Differences that another machine's arithmetic may make: mean of a channel, and the share of pixels
/// that are off by more than a tenth of the range.
const MEAN: f64 = 1.0;
const FAR: f64 = 0.005;

struct Case {
    resolved: Resolved,
    settings: Settings,
}

impl Case {
    fn read() -> Case {
        let (design, shop, _) = read_files(Path::new(DESIGN), None).expect("a sound file");
        let resolved = resolve(&design, &shop).expect("a sound creature");
        let settings = Settings::of(&resolved, Unit::Mm);
        Case { resolved, settings }
    }

    fn draw(&self, what: &Drawn, walls: bool, view: View, (w, h): (usize, usize)) -> Picture {
        let size = Size::new(w, h).expect("a size");
        let made = drawn(&self.resolved, &self.settings, what, walls, (&view, size));
        made.expect("a picture")
    }
}

fn bent(way: Way, share: f64) -> Drawn {
    let bend = Some(Bend { way, share });
    Drawn::Creature { bend, apart: 0.0 }
}

/// Wood is redder than blue; ground and its shadows are grey.
fn wooden([r, _, b]: [u8; 3]) -> bool {
    i32::from(r) - i32::from(b) > 34
}

/// Column and row of wooden pixels.
fn wood(picture: &Picture) -> Vec<[usize; 2]> {
    let wide = picture.size.width();
    let all = picture.pixels.iter().enumerate();
    let found = all.filter(|(_, p)| wooden(**p));
    found.map(|(at, _)| [at % wide, at / wide]).collect()
}

/// Against the picture of this name in `tests/data`; `LIMBERWOOD_WRITE_PICTURES=1` writes it.
fn as_seen(name: &str, picture: &Picture) {
    let path = format!("tests/data/pictures/{name}.png");
    if std::env::var_os("LIMBERWOOD_WRITE_PICTURES").is_some() {
        fs::write(&path, picture.png().expect("a PNG")).expect("a folder");
    }
    let file = std::io::BufReader::new(fs::File::open(&path).expect(&path));
    let mut reader = png::Decoder::new(file).read_info().expect("a PNG");
    let mut bytes = vec![0; reader.output_buffer_size().expect("a size")];
    let info = reader.next_frame(&mut bytes).expect("a PNG");
    let size = (info.width as usize, info.height as usize);
    assert_eq!(
        size,
        (picture.size.width(), picture.size.height()),
        "{name}"
    );
    let off: Vec<f64> = bytes
        .iter()
        .zip(picture.pixels.as_flattened())
        .map(|(a, b)| f64::from(a.abs_diff(*b)))
        .collect();
    let mean = off.iter().sum::<f64>() / off.len() as f64;
    let far = off.iter().filter(|d| **d > 25.0).count() as f64 / off.len() as f64;
    assert!(mean < MEAN && far < FAR, "{name}: mean {mean}, far {far}");
}

/// Where the chain's places lie in plan when each joint turns all behind it by an angle about its
/// centre: the head's frame first, worked out by angles that add up, not by products of motions.
fn turned(centres: &[f64], angles: &[f64], section: usize, [x, y]: [f64; 2]) -> [f64; 2] {
    let (mut at, mut sum, mut from) = ([0.0, 0.0], 0.0_f64, 0.0);
    for k in 0..section {
        at = [
            at[0] + (centres[k] - from) * sum.cos(),
            at[1] + (centres[k] - from) * sum.sin(),
        ];
        (sum, from) = (sum + angles[k], centres[k]);
    }
    let (s, c) = sum.sin_cos();
    let dx = x - from;
    [at[0] + c * dx - s * y, at[1] + s * dx + c * y]
}

#[test]
fn the_tail_of_the_bent_creature_lies_where_its_joints_put_it() {
    let case = Case::read();
    let solid = Creature::read(Path::new(DESIGN));
    let sections = &case.resolved.creature.sections;
    let centres: Vec<f64> = case
        .resolved
        .joints
        .iter()
        .map(|link| {
            // The socket's end is the datum: its centre lies so deep behind its face.
            let [front, behind] = [link.after, link.after + 1].map(|s| &sections[s]);
            if link.ball_in_front {
                behind.x + link.joint.depth()
            } else {
                front.x + front.form.length - link.joint.depth()
            }
        })
        .collect();
    for (way, share) in [(Way::Side, 0.6), (Way::Side, -0.4), (Way::Wave, 1.0)] {
        let count = centres.len();
        let angles: Vec<f64> = (0..count)
            .map(|k| {
                let swing = case.resolved.joints[k].limits.usable();
                let phase = std::f64::consts::TAU * (k as f64 + 0.5) / count as f64;
                let part = if way == Way::Wave { phase.sin() } else { 1.0 };
                share * part * swing
            })
            .collect();
        let mut places = Vec::new();
        for (section, piece) in solid.placed() {
            places.extend(piece.into_iter().map(|[x, y, _]| {
                let own = turned(&centres, &angles, section, [x, y]);
                (section, own)
            }));
        }
        let bounds = |k: usize| {
            let all = places.iter().map(|(_, p)| p[k]);
            all.fold([f64::INFINITY, f64::NEG_INFINITY], |[l, h], v| {
                [l.min(v), h.max(v)]
            })
        };
        let (size, [left, right], [low, high]) = ((640, 480), bounds(0), bounds(1));
        let room = [size.0, size.1].map(|n| n as f64 * INSIDE);
        let scale = (room[0] / (right - left)).min(room[1] / (high - low));
        // Seen from above with the head to the left, the creature's left side (-y) is below.
        let pixel = |[x, y]: [f64; 2]| {
            [
                size.0 as f64 / 2.0 + scale * (x - (left + right) / 2.0),
                size.1 as f64 / 2.0 - scale * (y - (low + high) / 2.0),
            ]
        };
        let picture = case.draw(&bent(way, share), false, View::TOP, size);
        let seen = wood(&picture);
        let last = sections.len() - 1;
        let tip = places
            .iter()
            .filter(|(section, _)| *section == last)
            .map(|(_, p)| *p)
            .max_by(|a, b| {
                let far = |p: &[f64; 2]| {
                    let joint = turned(&centres, &angles, last, [centres[last - 1], 0.0]);
                    (p[0] - joint[0]).hypot(p[1] - joint[1])
                };
                far(a).total_cmp(&far(b))
            })
            .expect("a tail");
        let at = pixel(tip);
        let near = seen
            .iter()
            .map(|[c, r]| (*c as f64 + 0.5 - at[0]).hypot(*r as f64 + 0.5 - at[1]))
            .fold(f64::INFINITY, f64::min);
        assert!(near < 3.0, "{way:?} {share}: the tip is {near} pixels off");
        // And the picture ends where the places end.
        let ends = |k: usize| {
            let all = seen.iter().map(|p| p[k]);
            [all.clone().min(), all.max()].map(|v| v.expect("wood") as f64)
        };
        let (first, last) = (pixel([left, high]), pixel([right, low]));
        let wanted = first.into_iter().zip(last).enumerate();
        for (k, (first, last)) in wanted {
            let [a, b] = ends(k);
            assert!((a - first).abs() < 4.0, "{way:?} {share}: {a}");
            assert!((b + 1.0 - last).abs() < 4.0, "{way:?} {share}: {b}");
        }
    }
    as_seen(
        "bent",
        &case.draw(&bent(Way::Up, 0.5), false, View::FRONT_LEFT, (160, 90)),
    );
}

#[test]
fn open_halves_leave_a_gap_at_the_split_plane() {
    let case = Case::read();
    let rows = |apart: f64| {
        let what = Drawn::Creature { bend: None, apart };
        let picture = case.draw(&what, false, View::SIDE, (400, 200));
        let mut rows = vec![0; 200];
        wood(&picture).iter().for_each(|p| rows[p[1]] += 1);
        rows
    };
    let (closed, open) = (rows(0.0), rows(1.0));
    let [first, last] = [
        open.iter().position(|n| *n > 0),
        open.iter().rposition(|n| *n > 0),
    ];
    let (first, last) = (first.expect("wood"), last.expect("wood"));
    assert!(open[first..last].contains(&0), "{open:?}");
    let [first, last] = [
        closed.iter().position(|n| *n > 0),
        closed.iter().rposition(|n| *n > 0),
    ];
    assert!(!closed[first.expect("wood")..last.expect("wood")].contains(&0));
    let what = Drawn::Creature {
        bend: None,
        apart: 0.6,
    };
    as_seen(
        "apart",
        &case.draw(&what, false, View::FRONT_LEFT, (160, 90)),
    );
}

#[test]
fn a_half_from_its_inside_is_its_outside_turned_over() {
    let case = Case::read();
    let side = |inside: bool| {
        let what = Drawn::Part {
            name: "02-body-1-upper".to_owned(),
            inside,
        };
        case.draw(&what, false, View::TOP, (200, 160))
    };
    let (outside, inside) = (side(false), side(true));
    let all = outside.pixels.len();
    let same = (0..all).filter(|at| {
        let (x, y) = (at % 200, at / 200);
        wooden(outside.pixels[*at]) == wooden(inside.pixels[(159 - y) * 200 + x])
    });
    let share = same.count() as f64 / all as f64;
    assert!(share > 0.99, "{share}");
    assert!(outside != inside);
    let what = Drawn::Part {
        name: "02-body-1-upper".to_owned(),
        inside: true,
    };
    as_seen(
        "inside",
        &case.draw(&what, false, View::FRONT_LEFT, (120, 90)),
    );
}

#[test]
fn a_piece_of_stock_has_its_sides_and_is_cut_through() {
    let case = Case::read();
    let laid = lay_out(&case.resolved, &case.settings, 1).expect("pieces");
    let [length, width] = laid.blanks.layouts[0].size;
    let what = Drawn::Blank {
        number: 1,
        inside: true,
    };
    let picture = case.draw(&what, false, View::TOP, (600, 400));
    let seen = wood(&picture);
    let ends = |k: usize| {
        let all = seen.iter().map(|p| p[k]);
        (all.clone().min().expect("wood"), all.max().expect("wood"))
    };
    let ((left, right), (top, bottom)) = (ends(0), ends(1));
    let found = (right - left + 1) as f64 / (bottom - top + 1) as f64;
    assert!((found / (length / width) - 1.0).abs() < 0.02, "{found}");
    let inside = (right - left + 1) * (bottom - top + 1);
    let open = 1.0 - seen.len() as f64 / inside as f64;
    assert!(
        (0.03..0.6).contains(&open),
        "{open} cut through or in the dark"
    );
    as_seen(
        "blank",
        &case.draw(&what, false, View::FRONT_LEFT, (160, 90)),
    );
}

#[test]
fn walls_have_the_colours_of_their_scale() {
    let case = Case::read();
    // The deviation of meshes that are looked at, so that the corners are the same.
    let settings = Settings {
        deviation: 0.04,
        ..case.settings.clone()
    };
    let all = thickness(&case.resolved, &settings);
    let (name, map) = all
        .iter()
        .find(|(name, _)| name == "02-body-1-upper")
        .expect("a body");
    let size = (480, 400);
    let what = Drawn::Part {
        name: name.clone(),
        inside: false,
    };
    let picture = case.draw(&what, true, View::TOP, size);
    let bounds = |k: usize| {
        let own = map.positions.iter().map(|p| p[k]);
        own.fold([f64::INFINITY, f64::NEG_INFINITY], |[l, h], v| {
            [l.min(v), h.max(v)]
        })
    };
    let ([left, right], [low, high]) = (bounds(0), bounds(1));
    let room = [size.0, size.1].map(|n| n as f64 * INSIDE);
    let scale = (room[0] / (right - left)).min(room[1] / (high - low));
    let most = 4.0 * case.resolved.walls.skin as f32;
    let tones = ramp();
    let (mut right_ones, mut looked) = (0, 0);
    let mut seen = [f32::INFINITY, 0.0_f32];
    let long = case.resolved.creature.sections[1].form.length;
    // The outer form over the socket, whose roof is at 0.63 of the height: nothing stands over it.
    let top = bounds(2)[1];
    for (p, thick) in map.positions.iter().zip(&map.thickness) {
        // Lines are drawn along the edges at both ends.
        if p[2] < 0.68 * top || p[0] < 5.0 || p[0] > long - 4.0 {
            continue;
        }
        // A pixel shows the wall a little beside the corner: the wall must be even there.
        let even = map.positions.iter().zip(&map.thickness).all(|(q, other)| {
            let far = (0..3).map(|k| (p[k] - q[k]).powi(2)).sum::<f64>();
            far > 1.0 || (thick - other).abs() < 0.25
        });
        if !even {
            continue;
        }
        let x = size.0 as f64 / 2.0 + scale * (p[0] - (left + right) / 2.0);
        let y = size.1 as f64 / 2.0 - scale * (p[1] - (low + high) / 2.0);
        let pixel = picture.pixels[y as usize * size.0 + x as usize];
        let at = (thick / most).clamp(0.0, 1.0) * 8.0;
        let (k, part) = ((at as usize).min(7), at - (at as usize).min(7) as f32);
        let wanted: [f32; 3] =
            std::array::from_fn(|c| tones[k][c] + part * (tones[k + 1][c] - tones[k][c]));
        let linear = pixel.map(|v| {
            let v = f32::from(v) / 255.0;
            if v <= 0.04045 {
                v / 12.92
            } else {
                ((v + 0.055) / 1.055).powf(2.4)
            }
        });
        // The way it faces takes up to a sixth of its light, no more.
        let shares: [f32; 3] = std::array::from_fn(|c| linear[c] / wanted[c]);
        looked += 1;
        seen = [seen[0].min(*thick), seen[1].max(*thick)];
        let good = shares.iter().all(|s| (0.74..1.08).contains(s));
        right_ones += i32::from(good);
        if !good {
            println!("{p:?}: wall {thick}, pixel {pixel:?}, shares {shares:?}");
        }
    }
    assert!(looked > 100 && seen[1] - seen[0] > 1.0, "{looked} {seen:?}");
    let share = f64::from(right_ones) / f64::from(looked);
    assert!(share > 0.95, "{share} of {looked}");
    let what = Drawn::Creature {
        bend: None,
        apart: 1.0,
    };
    as_seen(
        "walls",
        &case.draw(&what, true, View::FRONT_LEFT, (160, 90)),
    );
}
