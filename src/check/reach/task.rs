//! The features of a body as tasks for cutters.

use super::ask::Ask;
use crate::brep::set_up::SetUp;
use crate::chain::joint::Stem;
use crate::chain::{Ball, End, EndFace, EndJoint, HalfForm, Plate, Socket};
use crate::clear::half::{Feature, Ligament};
use crate::params::value::Job;
use crate::skin::flank::RimSide;
use crate::skin::plan::{plate_path, roundings};
use crate::skin::skin;

/// A feature with all that it asks of the one cutter that makes it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Task {
    /// As people name it.
    pub name: String,
    /// Where it asks most, in the half's own frame.
    pub at: [f64; 3],
    /// The set-up in which it is cut.
    pub set_up: SetUp,
    /// The jobs of the cutters that may make it, the usual one first.
    pub jobs: &'static [Job],
    /// Its depth, mm, if it has one.
    pub depth: Option<f64>,
    pub asks: Vec<Ask>,
}

/// What a half is cut from and with, lengths in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Site<'a> {
    /// The half; of a whole section its side over the split plane in this set-up.
    pub half: &'a HalfForm,
    /// Whether it is a side of a section cut in one piece.
    pub whole: bool,
    /// Clearance of the joint at each end, front first.
    pub clearance: [f64; 2],
    /// Distances between its features.
    pub ligaments: &'a [Ligament],
    /// Depth of the relief groove.
    pub relief: f64,
    /// Width of the window round each part.
    pub window: f64,
    /// Thickness of the board over the split plane with the outside up.
    pub stock: f64,
}

/// Leftover that the outer form bears away from inside corners, mm (habit).
pub(super) const OUTER: f64 = 0.3;
/// Leftover that the floor of a pin hole bears, mm (habit; pins are 1.6 shorter than their holes).
pub(super) const PIN: f64 = 0.05;
/// Turns flatter than this are no corners, radians: the cutter's cusps are deeper.
const STRAIGHT: f64 = 0.02;
/// Part of the clearance that may be left on ball or socket (common practice, no source).
pub(super) const OF_CLEARANCE: f64 = 0.25;

impl Site<'_> {
    /// Every task on it.
    pub(super) fn tasks(&self) -> Vec<Task> {
        let mut all = Vec::new();
        for (k, end) in [&self.half.front, &self.half.rear].into_iter().enumerate() {
            match end.joint {
                EndJoint::None => (),
                EndJoint::Ball(ball) => all.extend(self.ball(k, end, &ball)),
                EndJoint::Socket(socket) => all.push(self.socket(k, &socket)),
            }
            all.extend(self.face(k, end));
        }
        if !self.whole {
            all.extend(self.pins());
            all.extend(self.grooves());
            all.extend(self.marks());
            all.push(self.relief());
        }
        all.push(self.rim());
        all.extend(self.plates());
        all.extend(self.gaps());
        all.extend(self.eyes());
        all
    }

    /// A place on the axis, so far out of an end's datum.
    fn on_axis(&self, end: usize, out: f64) -> f64 {
        [-out, self.half.length + out][end]
    }

    fn outside(&self, name: String, at: [f64; 3], asks: Vec<Ask>) -> Task {
        Task {
            name,
            at,
            set_up: SetUp::OutsideUp,
            jobs: &[Job::Finish],
            depth: None,
            asks,
        }
    }

    fn inside(
        &self,
        name: String,
        at: [f64; 2],
        jobs: &'static [Job],
        depth: f64,
        asks: Vec<Ask>,
    ) -> Task {
        Task {
            name,
            at: [at[0], at[1], 0.0],
            set_up: SetUp::InsideUp,
            jobs,
            depth: Some(depth),
            asks,
        }
    }

    fn ball(&self, k: usize, end: &End, ball: &Ball) -> Vec<Task> {
        let word = ["front", "rear"][k];
        let most = OF_CLEARANCE * self.clearance[k];
        let x = self.on_axis(k, ball.reach);
        let sphere = Ask::Sphere {
            radius: ball.radius,
            hollow: false,
            most,
        };
        let mut all =
            vec![self.outside(format!("{word} ball"), [x, ball.radius, 0.0], vec![sphere])];
        let stem = Stem {
            ball: ball.radius,
            neck: ball.neck_radius,
            fillet: ball.fillet,
        };
        let side = ball.neck_radius + ball.fillet;
        let at = [
            self.on_axis(k, ball.reach - stem.fillet_centre()),
            side,
            0.0,
        ];
        let round = Ask::Round {
            radius: ball.fillet,
            depth: 0.0,
            way_out: "make `fillet` larger or leave it out, or take a thinner cutter",
        };
        let mut asks = vec![round];
        if end.face == EndFace::Flat {
            asks.push(Ask::Behind {
                stem,
                reach: ball.reach,
            });
        }
        all.push(self.outside(format!("{word} neck and fillet"), at, asks.clone()));
        if !self.whole {
            let name = format!("relief groove at the {word} neck");
            all.push(self.inside(name, [at[0], at[1]], &[Job::Relief], self.relief, asks));
        }
        all
    }

    fn socket(&self, k: usize, socket: &Socket) -> Task {
        let sphere = Ask::Sphere {
            radius: socket.radius,
            hollow: true,
            most: OF_CLEARANCE * self.clearance[k],
        };
        let at = [self.on_axis(k, -socket.depth), socket.radius];
        let name = format!("{} socket", ["front", "rear"][k]);
        let below = Ask::Below {
            depth: socket.radius,
        };
        let asks = vec![sphere, below];
        self.inside(name, at, &[Job::Finish], socket.radius, asks)
    }

    /// A flat end is a wall as high as the body there; a dome leans away by itself.
    fn face(&self, k: usize, end: &End) -> Option<Task> {
        let ends = [self.half.stations.first(), self.half.stations.last()];
        let station = ends[k]?;
        if matches!(end.face, EndFace::Domed { .. }) {
            return None;
        }
        let (draft, height) = (self.half.lean, station.height);
        let asks = vec![
            Ask::Wall {
                height,
                draft,
                most: OUTER,
            },
            Ask::Along {
                draft,
                height,
                way_out: "take a finishing cutter with longer edges or a thinner shank, or make the end lower",
            },
        ];
        let at = [self.on_axis(k, 0.0), station.half_width, 0.0];
        Some(self.outside(format!("{} face", ["front", "rear"][k]), at, asks))
    }

    fn pins(&self) -> impl Iterator<Item = Task> {
        self.half.pins.iter().enumerate().map(|(k, pin)| {
            let asks = vec![
                Ask::Room {
                    half_width: pin.radius,
                    depth: pin.depth,
                    way_out: "make the pin's `diameter` larger, or add a thinner cutter with the job `holes`",
                },
                Ask::Floor { most: PIN },
            ];
            let at = [pin.x, pin.y];
            self.inside(format!("pin hole {}", k + 1), at, &[Job::Holes], pin.depth, asks)
        })
    }

    fn grooves(&self) -> impl Iterator<Item = Task> {
        self.half.features.grooves.iter().map(|g| {
            let room = Ask::Room {
                half_width: g.half_width,
                depth: g.depth,
                way_out: "write `glue_groove: off`, or add a thinner cutter with the job `marks`",
            };
            let word = if g.mouth < 0.0 { "front" } else { "rear" };
            let at = [g.x - g.mouth * g.radius, 0.0];
            let name = format!("{word} glue groove");
            self.inside(name, at, &[Job::Marks], g.depth, vec![room])
        })
    }

    fn marks(&self) -> impl Iterator<Item = Task> {
        self.half.features.marks.iter().map(|m| {
            let room = Ask::Room {
                half_width: m.half_width,
                depth: m.depth,
                way_out: "write `marks: off`, or add a thinner cutter with the job `marks`",
            };
            let first = m.strokes.first().and_then(|s| s.path.first());
            let at = first.copied().unwrap_or_default();
            let name = format!("mark `{}`", m.text);
            self.inside(name, at, &[Job::Marks], m.depth, vec![room])
        })
    }

    /// Wood stands on one side of the groove alone, the part's split face.
    fn relief(&self) -> Task {
        let along = Ask::Along {
            draft: 0.0,
            height: self.relief,
            way_out: "take a relief cutter with longer edges or a thinner shank",
        };
        let at = [0.5 * self.half.length, 0.0];
        let name = "relief groove".to_owned();
        self.inside(name, at, &[Job::Relief], self.relief, vec![along])
    }

    /// The rim all round, with the window beside it and the groove under it.
    fn rim(&self) -> Task {
        let draft = self.half.lean;
        let balls = [&self.half.front, &self.half.rear].map(|e| e.ball_radius() > 0.0);
        let mut asks = vec![
            Ask::Wall {
                height: self.half.rim,
                draft,
                most: OUTER,
            },
            Ask::Window {
                width: self.window,
                stock: self.stock,
            },
        ];
        if !self.whole {
            // A ball stands upright at the split plane, and so does a plate.
            let upright = balls.contains(&true) || !self.half.features.plates.is_empty();
            asks.push(Ask::Relief {
                draft: if upright { 0.0 } else { draft },
                groove: self.relief,
            });
        }
        let widest = self
            .half
            .stations
            .iter()
            .max_by(|a, b| a.half_width.total_cmp(&b.half_width));
        let at = widest.map_or([0.0; 3], |s| [s.x, s.half_width, 0.0]);
        self.outside("rim".to_owned(), at, asks)
    }

    fn plates(&self) -> Vec<Task> {
        let plates = &self.half.features.plates;
        // A half without an outer form is refused long before.
        let skin = (!plates.is_empty()).then(|| skin(self.half).ok()).flatten();
        let side = skin.map(|skin| RimSide::of(self.half, &skin));
        let task = |(k, p): (usize, &Plate)| {
            let mut asks = vec![Ask::Wall {
                height: p.half_thickness,
                draft: 0.0,
                most: OUTER,
            }];
            asks.extend(side.as_ref().and_then(|side| tightest(side, p)));
            let far = p.corners.iter().max_by(|a, b| a.out.total_cmp(&b.out));
            let (x, out) = far.map_or((0.0, 0.0), |c| (c.x, c.out));
            let y = p.flank.sign() * (self.half_width(x) + out);
            self.outside(format!("plate {}", k + 1), [x, y, 0.0], asks)
        };
        plates.iter().enumerate().map(task).collect()
    }

    /// Half of the width at the split plane, by straight lines between the points.
    fn half_width(&self, x: f64) -> f64 {
        let s = &self.half.stations;
        let k = s.partition_point(|s| s.x < x).clamp(1, s.len().max(2) - 1);
        let (Some(a), Some(b)) = (s.get(k - 1), s.get(k)) else {
            return 0.0;
        };
        let t = ((x - a.x) / (b.x - a.x)).clamp(0.0, 1.0);
        a.half_width + t * (b.half_width - a.half_width)
    }

    /// Slots between the walls of two plates, as deep as the lower of them.
    fn gaps(&self) -> Vec<Task> {
        let plates = &self.half.features.plates;
        let high = |n: usize| plates.get(n - 1).map_or(0.0, |p| p.half_thickness);
        let slots = self.ligaments.iter().filter_map(|l| match l.between {
            (Feature::Plate(a), Feature::Plate(b)) if a != b => Some((l, a, b)),
            _ => None,
        });
        let task = |(l, a, b): (&Ligament, usize, usize)| {
            let room = Ask::Room {
                half_width: 0.5 * l.gap,
                depth: high(a).min(high(b)),
                way_out: "move the plates apart along the body (`at`), or finish with a thinner cutter",
            };
            self.outside(format!("slot between plates {a} and {b}"), l.at, vec![room])
        };
        slots.map(task).collect()
    }

    /// A drilled pocket: a flat cutter for holes, else the finishing one.
    fn eyes(&self) -> impl Iterator<Item = Task> {
        self.half.features.eyes.iter().enumerate().map(|(k, eye)| {
            let room = Ask::Room {
                half_width: eye.radius,
                depth: eye.depth,
                way_out: "make the eye's `diameter` larger or its `depth` less, or add a thinner cutter with the job `holes`",
            };
            let at = [eye.x, eye.y, self.half.rim];
            Task {
                depth: Some(eye.depth),
                jobs: &[Job::Holes, Job::Finish],
                ..self.outside(format!("eye {}", k + 1), at, vec![room])
            }
        })
    }
}

/// The tightest inside corner of a plate in plan. Its corners on the rim are not rounded: there the
/// cutter leaves its own radius.
fn tightest(side: &RimSide, plate: &Plate) -> Option<Ask> {
    let radii: Vec<f64> = plate.corners.iter().map(|c| c.radius).collect();
    let turns = roundings(&plate_path(side, plate), &radii);
    let inside = turns.iter().zip(&radii).filter(|(r, _)| r.turn < -STRAIGHT);
    let radius = inside.map(|(_, &r)| r).reduce(f64::min)?;
    Some(Ask::Round {
        radius,
        depth: plate.half_thickness,
        way_out: "make `round` of the plate's inside corner larger, or finish with a thinner cutter",
    })
}
