//! Random tabs on straight outer edges of plates, legal by plain rules of their own, and their
//! volumes in closed form.

use limberwood::brep::{build_form, volume::volume as exact};
use limberwood::chain::{
    End, EndFace, EndJoint, Features, Flank, HalfForm, Knot, Plate, PlateCorner, SectionForm, Side,
    Station, Tab, TabRoot,
};
use limberwood::mesh::tessellate;

use super::draw::Draw;
use super::stands::{Rim, path, rims, sub};

/// The plate that a tab names.
fn of_flank<'a>(plates: &'a [Plate], tab: &Tab, number: usize) -> &'a Plate {
    let mut own = plates.iter().filter(|p| p.flank == tab.flank);
    own.nth(number).expect("the plate of a tab")
}

/// Straight outer walls of a plate: from x to x between the roundings, and the wall's line as y at
/// an x.
fn walls(rim: &Rim, plate: &Plate) -> Vec<([f64; 2], impl Fn(f64) -> f64)> {
    let (corners, turns) = path(rim, plate);
    let taken = |k: usize| plate.corners[k].radius * (0.5 * turns[k].abs()).tan();
    let all = corners.windows(2).enumerate().map(|(k, pair)| {
        let (p, d) = (pair[0], sub(pair[1], pair[0]));
        let part = d[0] / d[0].hypot(d[1]);
        let ends = [p[0] + part * taken(k), pair[1][0] - part * taken(k + 1)];
        (ends, move |x: f64| p[1] + d[1] / d[0] * (x - p[0]))
    });
    all.collect()
}

/// A trapezium in plan between the wall and its outer end, level with the wall's outermost place.
pub fn volume(rim: &Rim, plates: &[Plate], tab: &Tab, number: usize) -> f64 {
    let plate = of_flank(plates, tab, number);
    let ends = [tab.x - 0.5 * tab.width, tab.x + 0.5 * tab.width];
    let all = walls(rim, plate);
    let own = all.iter().find(|(w, _)| w[0] < ends[0] && ends[1] < w[1]);
    let y = ends.map(|x| own.expect("a wall under the tab").1(x));
    (0.5 * (tab.length[0] + tab.length[1]) + 0.5 * (y[0] - y[1]).abs())
        * tab.width
        * (tab.to - tab.from)
}

/// Adds tabs to the plates of a section, in numbers of their own so that the other draws stay.
pub fn add(form: &mut SectionForm) {
    let mut d = Draw::of(form.length.to_bits());
    let rims = rims(form);
    let plates = form.features.plates.clone();
    for flank in Flank::BOTH {
        let own = plates.iter().filter(|p| p.flank == flank);
        for (number, plate) in own.enumerate() {
            for _ in 0..3 {
                let Some(tab) = tab_on(&mut d, &rims, plate, number) else {
                    continue;
                };
                if alone(&rims, form, &tab, plate) {
                    form.features.tabs.push(tab);
                }
            }
        }
    }
}

fn tab_on(d: &mut Draw, rims: &[Rim], plate: &Plate, number: usize) -> Option<Tab> {
    let all: Vec<Vec<[f64; 2]>> = rims
        .iter()
        .map(|rim| {
            walls(rim, plate)
                .into_iter()
                .map(|(ends, _)| ends)
                .collect()
        })
        .collect();
    let wall = d.pick(all[0].len());
    let room = |from: f64, to: f64| (to - from > 0.2).then_some((from, to));
    let from = all
        .iter()
        .map(|w| w[wall][0])
        .fold(f64::NEG_INFINITY, f64::max)
        + 0.1;
    let to = all.iter().map(|w| w[wall][1]).fold(f64::INFINITY, f64::min) - 0.1;
    let (from, to) = room(from, to)?;
    let width = d.between(0.3, 0.9) * (to - from).min(8.0);
    let (low, high) = room(0.05, plate.half_thickness - plate.ease - 0.05)?;
    let under = if d.chance(0.3) {
        0.0
    } else {
        d.between(low, 0.5 * (low + high))
    };
    Some(Tab {
        flank: plate.flank,
        on: TabRoot::Plate(number),
        x: d.between(from + 0.5 * width, to - 0.5 * width),
        width,
        from: under,
        to: d.between(under + 0.2 * (high - under), high),
        length: [0; 2].map(|_| d.between(2.0, 10.0)),
    })
}

/// Nothing else of its flank comes near the strip in front of a tab.
fn alone(rims: &[Rim], form: &SectionForm, tab: &Tab, own: &Plate) -> bool {
    let strip = (tab.x - 0.5 * tab.width - 0.3, tab.x + 0.5 * tab.width + 0.3);
    let clear = |xs: &[f64]| xs.iter().all(|&x| x < strip.0) || xs.iter().all(|&x| x > strip.1);
    let plates = form
        .features
        .plates
        .iter()
        .filter(|p| p.flank == tab.flank && *p != own);
    let tabs = form.features.tabs.iter().filter(|t| t.flank == tab.flank);
    rims.iter().all(|rim| {
        let beside = plates.clone().all(|p| {
            let mut xs: Vec<f64> = path(rim, p).0.iter().map(|c| c[0]).collect();
            xs.extend(p.corners.iter().map(|c| c.x));
            clear(&xs)
        });
        beside
            && tabs.clone().all(|t| {
                let ends = [t.x - 0.5 * t.width, t.x + 0.5 * t.width];
                let far = [0, 1].map(|e: usize| {
                    if t.on == TabRoot::Rim {
                        rim.out(ends[e], t.length[e])[0]
                    } else {
                        ends[e]
                    }
                });
                clear(&[ends[0], ends[1], far[0], far[1]])
            })
    })
}

/// A straight upright body whose plate has a slanted, a level and a hollow edge: tabs add their
/// trapezia to the volume, and the finished body is the same to the last bit with and without.
#[test]
fn tabs_on_slanted_edges_by_closed_form() {
    let bare = End {
        face: EndFace::Flat,
        joint: EndJoint::None,
    };
    let station = |x: f64| Station {
        x,
        half_width: 15.0,
        above: 13.0,
        below: 13.0,
        squareness: 2.5,
        knot: Knot::Point,
    };
    let mut form = SectionForm {
        length: 70.0,
        rim: 6.0,
        lean: 0.0,
        front: bare,
        rear: bare,
        outline: [0.0, 35.0, 70.0].map(station).to_vec(),
        pins: Vec::new(),
        whole: false,
        features: Features::default(),
    };
    let corner = |x: f64, out: f64| PlateCorner {
        x,
        out,
        radius: 1.5,
    };
    for flank in Flank::BOTH {
        form.features.plates = vec![Plate {
            flank,
            half_thickness: 5.5,
            corners: vec![
                corner(10.0, 4.0),
                corner(30.0, 10.0),
                corner(45.0, 5.0),
                corner(60.0, 9.0),
            ],
            ease: 0.7,
        }];
        form.features.tabs.clear();
        let bare = build_form(&HalfForm::of(&form, Side::Upper)).unwrap().0;
        // x, width, slope of the wall there.
        let places: [(f64, f64, f64); 3] = [
            (18.0, 6.0, 0.3),
            (37.0, 7.0, -1.0 / 3.0),
            (52.0, 5.0, 4.0 / 15.0),
        ];
        for from in [0.0, 2.0] {
            form.features.tabs = places
                .map(|(x, width, _)| Tab {
                    flank,
                    on: TabRoot::Plate(0),
                    x,
                    width,
                    from,
                    to: 4.5,
                    length: [9.5; 2],
                })
                .to_vec();
            for side in [Side::Upper, Side::Lower] {
                let held = build_form(&HalfForm::held(&form, side)).unwrap().0;
                let added: f64 = places
                    .iter()
                    .map(|(_, w, slope)| w * (9.5 + 0.5 * w * slope.abs()) * (4.5 - from))
                    .sum();
                let found = exact(&held) - exact(&bare);
                assert!((found - added).abs() < 1e-8, "{found} {added}");
                assert_eq!(
                    held.kinds.len(),
                    bare.kinds.len() + if from > 0.0 { 15 } else { 12 }
                );
                super::solid::check(&held).unwrap();
            }
            let again = build_form(&HalfForm::of(&form, Side::Upper)).unwrap().0;
            let mesh = |h| tessellate(h, 0.02).unwrap();
            let (a, b) = (mesh(&bare), mesh(&again));
            assert_eq!((a.positions, a.triangles), (b.positions, b.triangles));
        }
    }
}
