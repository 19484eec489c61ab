//! Random pockets in the glue face, legal by plain rules of their own: sampled points of their
//! middle lines keep clear of everything. And their volumes, as closed forms.

use std::f64::consts::{PI, TAU};

use limberwood::chain::{
    End, EndFace, EndJoint, Groove, HalfForm, HalfPin, Mark, Outline, SectionForm, Side, Socket,
    Stroke,
};

use super::draw::Draw;
use super::rules::inside;

/// Wood left beside a pocket, mm.
const WALL: f64 = 0.3;

/// Area of a stroke: rectangles and the round ends; a bend adds a sector outside and takes a kite
/// inside (derived).
pub fn stroke_area(stroke: &Stroke, w: f64) -> f64 {
    let steps: Vec<[f64; 2]> = (stroke.path.windows(2))
        .map(|p| [p[1][0] - p[0][0], p[1][1] - p[0][1]])
        .collect();
    let length: f64 = steps.iter().map(|s| s[0].hypot(s[1])).sum();
    let bends: f64 = steps
        .windows(2)
        .map(|s| 0.5 * turn(s[0], s[1]))
        .map(|h| h - h.tan())
        .sum();
    2.0 * w * length + w * w * (PI + bends)
}

/// Angle between two directions.
fn turn(a: [f64; 2], b: [f64; 2]) -> f64 {
    (a[0] * b[1] - a[1] * b[0])
        .atan2(a[0] * b[0] + a[1] * b[1])
        .abs()
}

/// Volume of all pockets of a half but for the holes of its pins.
pub fn volume(half: &HalfForm) -> f64 {
    let c = half.features.pin_chamfer;
    let chamfer = |p: &HalfPin| PI * (p.radius * c * c + c.powi(3) / 3.0) + p.slot * c * c;
    let ring = |g: &Groove| {
        let (middle, ends) = (g.radius * (TAU - 2.0 * g.free), PI * g.half_width.powi(2));
        (2.0 * g.half_width * middle + ends) * g.depth
    };
    let mark = |m: &Mark| {
        let areas = m.strokes.iter().map(|s| stroke_area(s, m.half_width));
        areas.sum::<f64>() * m.depth
    };
    let features = &half.features;
    half.pins.iter().map(chamfer).sum::<f64>()
        + features.grooves.iter().map(ring).sum::<f64>()
        + features.marks.iter().map(mark).sum::<f64>()
}

/// Adds pockets to a section that has its pins; what finds no place is left out.
pub fn add(d: &mut Draw, form: &mut SectionForm) {
    if d.chance(0.5) {
        // Pins keep 1 mm of wood, which two chamfers share.
        form.features.pin_chamfer = d.between(0.1, 0.45);
    }
    for (end, out) in [(form.front, -1.0), (form.rear, 1.0)] {
        if let EndJoint::Socket(socket) = end.joint
            && d.chance(0.7)
        {
            let groove = (0..20).map(|_| groove(d, form, &socket, out));
            if let Some(groove) = groove.into_iter().find(|g| groove_fits(form, g)) {
                form.features.grooves.push(groove);
            }
        }
    }
    for side in [Side::Upper, Side::Lower] {
        if d.chance(0.7) {
            let mark = mark(d, form, side);
            form.features.marks.extend(mark);
        }
    }
}

fn centre(form: &SectionForm, socket: &Socket, out: f64) -> f64 {
    if out < 0.0 {
        socket.depth
    } else {
        form.length - socket.depth
    }
}

fn groove(d: &mut Draw, form: &SectionForm, socket: &Socket, out: f64) -> Groove {
    let half_width = d.between(0.2, 0.7);
    Groove {
        x: centre(form, socket, out),
        mouth: out,
        radius: socket.radius + half_width + d.between(WALL, 2.0),
        half_width,
        depth: d.between(0.2, 1.2),
        free: d.between(0.5, 2.7),
    }
}

/// Points of a groove's middle line.
fn middle(g: &Groove) -> Vec<[f64; 2]> {
    (0..=180)
        .map(|k| {
            let angle = g.free + (TAU - 2.0 * g.free) * f64::from(k) / 180.0;
            [
                g.x + g.mouth * g.radius * angle.cos(),
                g.radius * angle.sin(),
            ]
        })
        .collect()
}

fn groove_fits(form: &SectionForm, g: &Groove) -> bool {
    let half = HalfForm::of(form, Side::Upper);
    let points = middle(g);
    let wide = g.half_width + WALL;
    let ends = [points[0], points[points.len() - 1]];
    points
        .iter()
        .all(|&p| clear(&half, form, p, wide, g.depth, Some(g.x)))
        && (ends[0][1] - ends[1][1]).abs() > 2.0 * wide
}

/// A mark of up to three strokes.
fn mark(d: &mut Draw, form: &SectionForm, side: Side) -> Option<Mark> {
    let half_width = d.between(0.2, 0.5);
    let depth = d.between(0.1, 0.8);
    let half = HalfForm::of(form, side);
    let mut strokes: Vec<Stroke> = Vec::new();
    for _ in 0..12 {
        let stroke = Stroke {
            path: path(d, form),
        };
        let points = along(&stroke);
        let free = bends_are_open(&stroke, half_width)
            && points
                .iter()
                .all(|&p| clear(&half, form, p, half_width + WALL, depth, None))
            && strokes.iter().flat_map(along).all(|q| {
                points
                    .iter()
                    .all(|p| apart(*p, q) > 2.0 * half_width + WALL)
            });
        if free {
            strokes.push(stroke);
        }
        if strokes.len() == 3 {
            break;
        }
    }
    (!strokes.is_empty()).then(|| Mark {
        side,
        text: "random".to_owned(),
        strokes,
        half_width,
        depth,
    })
}

fn path(d: &mut Draw, form: &SectionForm) -> Vec<[f64; 2]> {
    let mut p = [d.between(0.0, form.length), d.between(-12.0, 12.0)];
    let mut angle = d.between(0.0, TAU);
    let mut path = vec![p];
    for _ in 0..=d.pick(4) {
        let length = d.between(0.8, 4.0);
        p = [p[0] + length * angle.cos(), p[1] + length * angle.sin()];
        path.push(p);
        angle += d.between(-2.3, 2.3);
    }
    path
}

fn apart(p: [f64; 2], q: [f64; 2]) -> f64 {
    (p[0] - q[0]).hypot(p[1] - q[1])
}

/// Points every tenth of a millimetre.
fn along(stroke: &Stroke) -> Vec<[f64; 2]> {
    stroke
        .path
        .windows(2)
        .flat_map(|p| between(p[0], p[1]))
        .collect()
}

fn between(a: [f64; 2], b: [f64; 2]) -> Vec<[f64; 2]> {
    let steps = (apart(a, b) / 0.1).ceil() as u32;
    (0..=steps)
        .map(|k| [0, 1].map(|c| a[c] + (b[c] - a[c]) * f64::from(k) / f64::from(steps)))
        .collect()
}

/// Bends leave straight pieces, and pieces that are not neighbours keep apart.
fn bends_are_open(stroke: &Stroke, w: f64) -> bool {
    let pieces: Vec<&[[f64; 2]]> = stroke.path.windows(2).collect();
    let step = |k: usize| [0, 1].map(|c: usize| pieces[k][1][c] - pieces[k][0][c]);
    let take = |k: usize| w * (0.5 * turn(step(k), step(k + 1))).tan();
    (0..pieces.len()).all(|k| {
        let before = if k > 0 { take(k - 1) } else { 0.0 };
        let behind = if k + 1 < pieces.len() { take(k) } else { 0.0 };
        let slight = k + 1 < pieces.len() && turn(step(k), step(k + 1)) * w < 0.011;
        let far = pieces[k + 1..].iter().skip(1).all(|other| {
            let (a, b) = (
                between(pieces[k][0], pieces[k][1]),
                between(other[0], other[1]),
            );
            a.iter()
                .all(|p| b.iter().all(|q| apart(*p, *q) > 2.0 * w + WALL))
        });
        apart(pieces[k][0], pieces[k][1]) > before + behind + 0.05 && far && !slight
    })
}

/// Whether a disc about a point of the glue face of a half keeps clear of its outline and ends,
/// of sockets with their flares (that at `own` along x but for its ball), pins and grooves.
fn clear(
    half: &HalfForm,
    form: &SectionForm,
    p: [f64; 2],
    wide: f64,
    depth: f64,
    own: Option<f64>,
) -> bool {
    let outline = Outline::of(half);
    let within = (-4..=4).all(|k| {
        let x = p[0] + wide * f64::from(k) / 4.0;
        let (w, h) = inside(half, &outline, x);
        let y = p[1].abs() + (wide * wide - (x - p[0]).powi(2)).max(0.0).sqrt();
        (y / w).powi(2) + ((depth + WALL) / h).powi(2) < 1.0
    });
    let c = half.features.pin_chamfer;
    let pins = half.pins.iter().all(|pin| {
        let along = ((p[0] - pin.x).abs() - 0.5 * pin.slot).max(0.0);
        along.hypot(p[1] - pin.y) > pin.radius + c + wide
    });
    let grooves = half.features.grooves.iter().all(|g| {
        own == Some(g.x)
            || middle(g)
                .iter()
                .all(|&q| apart(p, q) > g.half_width + wide + 0.2)
    });
    let ends = [
        (&form.front, -1.0, 0),
        (&form.rear, 1.0, half.stations.len() - 1),
    ];
    within
        && pins
        && grooves
        && ends.iter().all(|&(end, out, k)| {
            let (x, r) = (half.stations[k].x, half.stations[k].half_width);
            end_is_clear(
                form,
                end,
                out,
                (x, r),
                p,
                wide + depth * half.lean.tan(),
                own,
            )
        })
}

fn end_is_clear(
    form: &SectionForm,
    end: &End,
    out: f64,
    (x, _): (f64, f64),
    p: [f64; 2],
    wide: f64,
    own: Option<f64>,
) -> bool {
    let datum = if out < 0.0 { 0.0 } else { form.length };
    let face = match end.face {
        EndFace::Domed { radius } => {
            let v = [p[0] - (datum - out * radius), p[1]];
            out * (p[0] - x) < -wide || v[0].hypot(v[1]) < radius - wide
        }
        _ => out * (p[0] - datum) < -wide,
    };
    let EndJoint::Socket(s) = end.joint else {
        return face;
    };
    let at = datum - out * s.depth;
    let ball = own == Some(at) || (p[0] - at).hypot(p[1]) > s.radius + wide;
    let mouth = (s.radius.powi(2) - s.mouth_radius.powi(2)).sqrt();
    // The flare, with the wood beside it, from behind its mouth on; in a dome it ends before the
    // datum.
    let beyond = out * (p[0] - at) - mouth + wide;
    let slope = s.flare.tan();
    let open = s.mouth_radius + beyond.max(0.0) * slope + wide * (1.0 + slope);
    face && ball && (beyond < 0.0 || p[1].abs() > open)
}
