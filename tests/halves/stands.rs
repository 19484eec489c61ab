//! Random plates and tabs on the rim, legal by plain rules of their own, and their volumes: level
//! slices of what lies between a path in plan and the rim's line of that height.

use std::f64::consts::PI;

use limberwood::chain::{
    Flank, HalfForm, Outline, Plate, PlateCorner, SectionForm, Side, Tab, TabRoot,
};
use limberwood::skin::Skin;

use super::draw::Draw;
use super::gauss;
use super::ledges;
use super::spline::{Jet, Spline};

/// Wood or air left beside a plate or a tab, mm.
const GAP: f64 = 1.0;

/// Volume of all plates and tabs of a half.
pub fn volume(half: &HalfForm, skin: &Skin) -> f64 {
    let rim = Rim::of(half, skin);
    let plates = half.features.plates.iter().map(|p| plate(&rim, p));
    let tabs = half.features.tabs.iter().map(|t| match t.on {
        TabRoot::Rim => tab(&rim, t),
        TabRoot::Plate(number) => ledges::volume(&rim, &half.features.plates, t, number),
    });
    plates.chain(tabs).sum()
}

pub struct Rim {
    patch: Spline,
    outline: Outline,
}

impl Rim {
    fn of(half: &HalfForm, skin: &Skin) -> Self {
        Rim {
            patch: Spline::of_patch(&skin.rim),
            outline: Outline::of(half),
        }
    }

    /// The rim's point at a height over the foot at u, by halving.
    fn at(&self, u: f64, z: f64) -> Jet {
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if self.patch.jet(u, middle).at[2] < z {
                low = middle;
            } else {
                high = middle;
            }
        }
        self.patch.jet(u, 0.5 * (low + high))
    }

    fn u(&self, x: f64) -> f64 {
        self.outline.u_of_x(x)
    }

    /// Foot and way out in plan: down the ruling, else square to the outline.
    fn foot(&self, x: f64) -> ([f64; 2], [f64; 2]) {
        let u = self.u(x);
        let (foot, high) = (self.patch.jet(u, 0.0), self.patch.jet(u, 0.5));
        let mut way = [foot.at[0] - high.at[0], foot.at[1] - high.at[1]];
        if way[0].hypot(way[1]) < 1e-9 {
            way = [foot.du[1], -foot.du[0]];
        }
        let size = way[0].hypot(way[1]);
        ([foot.at[0], foot.at[1]], way.map(|c| c / size))
    }

    pub fn out(&self, x: f64, far: f64) -> [f64; 2] {
        let (foot, way) = self.foot(x);
        [foot[0] + far * way[0], foot[1] + far * way[1]]
    }

    /// Area between the rim's line at a height, from x to x, and a path outside: shoelace along
    /// the path and Green's theorem along the line.
    fn slice(&self, path: &[[f64; 2]], ends: [f64; 2], z: f64) -> f64 {
        let (a, b) = (self.u(ends[0]), self.u(ends[1]));
        let point = |u: f64| {
            let p = self.at(u, z).at;
            [p[0], p[1]]
        };
        let mut all = vec![point(a)];
        all.extend_from_slice(path);
        all.push(point(b));
        let polygon: f64 = all
            .windows(2)
            .map(|p| p[0][0] * p[1][1] - p[0][1] * p[1][0])
            .sum();
        let (us, _) = self.patch.breaks();
        let mut marks: Vec<f64> = us.into_iter().filter(|&u| u > a && u < b).collect();
        marks.insert(0, a);
        marks.push(b);
        let line: f64 = marks
            .windows(2)
            .map(|m| {
                gauss::five(m[0], m[1], |u| {
                    let j = self.at(u, z);
                    // Along the line of this height: du turned by what dv must mend of z.
                    let d = j.du[2] / j.dv[2];
                    let (dx, dy) = (j.du[0] - d * j.dv[0], j.du[1] - d * j.dv[1]);
                    j.at[0] * dy - j.at[1] * dx
                })
            })
            .sum();
        0.5 * (polygon - line)
    }
}

fn tab(rim: &Rim, tab: &Tab) -> f64 {
    let ends = [tab.x - 0.5 * tab.width, tab.x + 0.5 * tab.width];
    let path = [0, 1].map(|e: usize| rim.out(ends[e], tab.length[e]));
    gauss::five(tab.from, tab.to, |z| rim.slice(&path, ends, z))
}

/// Turn at each corner of a plate's path, and the path itself.
pub fn path(rim: &Rim, plate: &Plate) -> (Vec<[f64; 2]>, Vec<f64>) {
    let corners: Vec<[f64; 2]> = plate.corners.iter().map(|c| rim.out(c.x, c.out)).collect();
    let (first, last) = (plate.corners[0].x, plate.corners[corners.len() - 1].x);
    let mut all = vec![rim.foot(first).0];
    all.extend(&corners);
    all.push(rim.foot(last).0);
    let turns = all
        .windows(3)
        .map(|p| {
            let (a, b) = (sub(p[1], p[0]), sub(p[2], p[1]));
            (a[0] * b[1] - a[1] * b[0]).atan2(a[0] * b[0] + a[1] * b[1])
        })
        .collect();
    (corners, turns)
}

pub fn sub(a: [f64; 2], b: [f64; 2]) -> [f64; 2] {
    [a[0] - b[0], a[1] - b[1]]
}

/// Slices less the roundings, r^2 (tan t/2 - t/2) at each corner, less the chamfer: its triangle
/// swept along walls and, by Pappus, round arcs.
fn plate(rim: &Rim, plate: &Plate) -> f64 {
    let (corners, turns) = path(rim, plate);
    let ends = [plate.corners[0].x, plate.corners[corners.len() - 1].x];
    let high = plate.half_thickness;
    let square = gauss::five(0.0, high, |z| rim.slice(&corners, ends, z));
    let c = plate.ease;
    let (mut area, mut chamfer) = (0.0, 0.0);
    for (k, (corner, turn)) in plate.corners.iter().zip(&turns).enumerate() {
        let (r, half) = (corner.radius, 0.5 * turn.abs());
        let lost = r * r * (half.tan() - half);
        area += lost * turn.signum();
        let centroid = r - turn.signum() * c / 3.0;
        chamfer += 0.5 * c * c * turn.abs() * centroid;
        if k + 1 < corners.len() {
            let next = plate.corners[k + 1].radius * (0.5 * turns[k + 1].abs()).tan();
            let d = sub(corners[k + 1], corners[k]);
            chamfer += 0.5 * c * c * (d[0].hypot(d[1]) - r * half.tan() - next);
        }
    }
    square - area * high - chamfer
}

/// Adds plates and tabs to a section; what finds no place is left out.
pub fn add(d: &mut Draw, form: &mut SectionForm) {
    let mut taken: Vec<(Flank, f64, f64)> = Vec::new();
    for _ in 0..d.pick(4) {
        let flank = Flank::BOTH[d.pick(2)];
        if d.chance(0.5) {
            let tab = tab_of(d, form, flank);
            let ends = (tab.x - 0.5 * tab.width, tab.x + 0.5 * tab.width);
            if tab.to < form.rim - 0.05
                && free(form, &taken, flank, ends)
                && fans(form, flank, ends, tab.length[0].max(tab.length[1]))
            {
                form.features.tabs.push(tab);
                taken.push((flank, ends.0, ends.1));
            }
        } else {
            let plate = plate_of(d, form, flank);
            let ends = (plate.corners[0].x, plate.corners[plate.corners.len() - 1].x);
            if free(form, &taken, flank, ends) && stands(form, &plate) {
                form.features.plates.push(plate);
                taken.push((flank, ends.0, ends.1));
            }
        }
    }
}

fn tab_of(d: &mut Draw, form: &SectionForm, flank: Flank) -> Tab {
    let from = if d.chance(0.2) {
        0.0
    } else {
        d.between(0.2, 1.5)
    };
    Tab {
        flank,
        on: TabRoot::Rim,
        x: d.between(0.1, 0.9) * form.length,
        width: d.between(2.0, 6.0),
        from,
        to: from + d.between(0.3, 2.0),
        length: [0; 2].map(|_| d.between(2.0, 10.0)),
    }
}

fn plate_of(d: &mut Draw, form: &SectionForm, flank: Flank) -> Plate {
    let from = d.between(0.1, 0.6) * form.length;
    let width = d.between(6.0, 16.0);
    let count = 2 + d.pick(3);
    let half_thickness = d.between(0.3, 0.9) * form.rim;
    let ease = if d.chance(0.4) {
        d.between(0.1, 0.45) * half_thickness
    } else {
        0.0
    };
    let corners = (0..count)
        .map(|k| PlateCorner {
            x: from + width * k as f64 / (count - 1) as f64,
            out: d.between(3.0, 9.0),
            radius: if ease > 0.0 {
                ease + d.between(0.1, 0.8)
            } else {
                d.between(0.0, 1.2)
            },
        })
        .collect();
    Plate {
        flank,
        half_thickness,
        corners,
        ease,
    }
}

/// Inside the straight part of the rim and beside what stands there.
fn free(
    form: &SectionForm,
    taken: &[(Flank, f64, f64)],
    flank: Flank,
    (from, to): (f64, f64),
) -> bool {
    let circle = form
        .outline
        .iter()
        .map(|s| s.half_width)
        .fold(0.0, f64::max);
    let (first, last) = (form.outline[0].x, form.outline[form.outline.len() - 1].x);
    let inset = |end: &limberwood::chain::End| match end.face {
        limberwood::chain::EndFace::Domed { .. } => 0.5 * circle + GAP,
        _ => GAP,
    };
    from > first + inset(&form.front)
        && to < last - inset(&form.rear)
        && taken
            .iter()
            .all(|t| t.0 != flank || to + GAP < t.1 || from - GAP > t.2)
}

/// The rims of both halves, seen from the flank.
pub fn rims(form: &SectionForm) -> Vec<Rim> {
    [Side::Upper, Side::Lower]
        .into_iter()
        .filter_map(|side| {
            let half = HalfForm::of(form, side);
            let skin = limberwood::skin::skin(&half).ok()?;
            Some(Rim::of(&half, &skin))
        })
        .collect()
}

/// Sides of a tab do not meet.
fn fans(form: &SectionForm, _flank: Flank, (from, to): (f64, f64), far: f64) -> bool {
    rims(form)
        .iter()
        .all(|rim| rim.out(to, far)[0] - rim.out(from, far)[0] > 0.5)
}

/// A plate's path is simple, its roundings fit its walls, and it keeps off the outline.
fn stands(form: &SectionForm, plate: &Plate) -> bool {
    rims(form).iter().all(|rim| {
        let (corners, turns) = path(rim, plate);
        let taken = |k: usize| plate.corners[k].radius * (0.5 * turns[k].abs()).tan();
        let last = corners.len() - 1;
        let walls = (0..last).all(|k| {
            let d = sub(corners[k + 1], corners[k]);
            d[0] > 0.3 && d[0].hypot(d[1]) - taken(k) - taken(k + 1) > 0.1
        });
        let legs =
            plate.corners[0].out - taken(0) > 0.5 && plate.corners[last].out - taken(last) > 0.5;
        let off = (0..last).all(|k| {
            (0..=10).all(|i| {
                let t = f64::from(i) / 10.0;
                let p = [0, 1].map(|c| corners[k][c] + t * (corners[k + 1][c] - corners[k][c]));
                let w = rim.outline.at(rim.u(p[0])).0[1];
                -p[1] > w + 0.5
            })
        });
        // No wall turns back, and the plate's side is not hollow against the rim.
        walls && legs && off && turns.iter().all(|t| t.abs() < 0.8 * PI)
    })
}
