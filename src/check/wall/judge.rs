//! Which walls of a part are too thin, and its least one.

use super::feature::{Owner, owners};
use super::{Found, Wall, WallMap};
use crate::brep::shape::{FaceKind, Half, label};
use crate::chain::{HalfForm, Side, Walls};
use crate::check::finding::{Amount, Finding, Limit, Subject};
use crate::clear::half::{Feature, HABIT_SLACK, LEAST_HABIT, Refusal, habit};
use crate::diagnostic::Severity;
use crate::mesh::Mesh;
use crate::units::{Length, length_text};

/// The name of the check.
const RULE: &str = "wall";
/// What the two may differ where wall and ligament are the same, mm: meshes are told apart from
/// exact faces by less, wherever a way is finished.
const SAME: f64 = 0.01;

/// A part and what is known of it.
#[derive(Debug, Clone, Copy)]
pub struct Part<'a> {
    /// The finished body.
    pub body: &'a Half,
    /// Its mesh.
    pub mesh: &'a Mesh,
    /// Its halves: one, or upper and lower.
    pub forms: &'a [HalfForm],
    /// Habits of the wood.
    pub walls: &'a Walls,
    /// Whether it is never cut, so that habits do not bind it.
    pub bench_only: bool,
    /// Thin wood between designed features that is told already.
    pub told: &'a [(Side, Refusal)],
}

/// The walls of a part that are too thin, one finding for each two features; when none is, a note
/// of the least. What the ligaments tell is left out.
pub fn findings(subject: &Subject<'_>, part: &Part<'_>) -> Vec<Finding> {
    let habits = Habits::of(part);
    let map = WallMap::of(part.body, part.mesh, &|a, b| habits.least(a, b));
    let judged = map.least.iter().filter(|w| !habits.told(w, part.told));
    let mut seen = Vec::new();
    let mut thin = Vec::new();
    for wall in judged.clone() {
        let Some(least) = habits.least(wall.faces.0, wall.faces.1) else {
            continue;
        };
        let between = habits.between(wall);
        if !part.bench_only && wall.thickness < least - HABIT_SLACK && !seen.contains(&between) {
            let severity = habits.severity(wall);
            let finding = habits.finding(subject, wall, least, severity);
            thin.push(finding.way_out(way_out(wall.kinds)));
            seen.push(between);
        }
    }
    if !thin.is_empty() {
        return thin;
    }
    let least = judged.min_by(|a, b| a.thickness.total_cmp(&b.thickness));
    let told = least.and_then(|wall| {
        let limit = habits.least(wall.faces.0, wall.faces.1)?;
        Some(habits.finding(subject, wall, limit, Severity::Note))
    });
    let none = || {
        let most = length_text(Length::from_mm(habits.listed()), subject.unit);
        subject.notes(RULE, format!("no wall under {most}"))
    };
    vec![told.unwrap_or_else(none)]
}

/// The least wood that is usual between faces of a part.
struct Habits<'a> {
    kinds: &'a [FaceKind],
    owners: Vec<Option<Owner>>,
    walls: &'a Walls,
}

/// Features between which thin wood is told once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Place {
    Outer,
    Plate,
    At(Option<Side>, Feature),
}

impl<'a> Habits<'a> {
    fn of(part: &Part<'a>) -> Self {
        Habits {
            kinds: &part.body.kinds,
            owners: owners(part.body, part.forms),
            walls: part.walls,
        }
    }

    /// Usual least wood between two faces, mm; none where thin wood does no harm. Between features
    /// for which no ligament has a habit, as skin and skin, it is that under a pin hole.
    fn least(&self, a: usize, b: usize) -> Option<f64> {
        let harmless = |face: usize| self.kinds.get(face).is_none_or(|k| harmless(*k));
        if harmless(a) || harmless(b) {
            return None;
        }
        let general = self.walls.pin_floor.max(LEAST_HABIT);
        let (Some((_, a)), Some((_, b))) = (self.owners[a], self.owners[b]) else {
            return Some(general);
        };
        let both = [habit((a, b), self.walls), habit((b, a), self.walls)];
        Some(
            both.into_iter()
                .flatten()
                .reduce(f64::max)
                .unwrap_or(general),
        )
    }

    /// Walls thicker than this are not listed for any two faces.
    fn listed(&self) -> f64 {
        super::LISTED * self.walls.pin_floor.max(LEAST_HABIT)
    }

    fn severity(&self, wall: &Wall) -> Severity {
        let floor = |k| k == FaceKind::PinFloor;
        if floor(wall.kinds.0) || floor(wall.kinds.1) {
            Severity::Error
        } else {
            Severity::Warning
        }
    }

    fn between(&self, wall: &Wall) -> [Place; 2] {
        let place = |face: usize| match self.owners[face] {
            None => Place::Plate,
            Some((side, feature)) => place(side, feature),
        };
        [place(wall.faces.0), place(wall.faces.1)]
    }

    /// Whether a ligament between the same features that is as thin is told.
    fn told(&self, wall: &Wall, told: &[(Side, Refusal)]) -> bool {
        let [a, b] = self.between(wall);
        told.iter().any(|(side, thin)| {
            let [c, d] = [thin.between.0, thin.between.1].map(|f| place(*side, f));
            let same = (a == c && b == d) || (a == d && b == c);
            same && thin.gap < wall.thickness + SAME
        })
    }

    fn finding(
        &self,
        subject: &Subject<'_>,
        wall: &Wall,
        least: f64,
        severity: Severity,
    ) -> Finding {
        let at = [0, 1, 2].map(|k| 0.5 * (wall.at[0][k] + wall.at[1][k]));
        let length = |mm: f64| length_text(Length::from_mm(mm), subject.unit);
        let name = |face: usize, kind: FaceKind| match self.owners[face] {
            Some((_, feature)) => feature.to_string(),
            None => label(kind).to_owned(),
        };
        let [a, b] = [
            name(wall.faces.0, wall.kinds.0),
            name(wall.faces.1, wall.kinds.1),
        ];
        let about = match wall.found {
            Found::Exact => String::new(),
            Found::Mesh { within } => format!(" (of the mesh, within {})", length(within)),
        };
        let [x, y, z] = at.map(length);
        let what = format!("between {a} and {b} at x {x}, y {y}, z {z} a wall{about} of");
        let limit = Limit::least(Amount::Length(least), "habit");
        let measured = Amount::Length(wall.thickness);
        subject
            .finds(severity, RULE, &what, measured, Some(limit))
            .at(at)
    }
}

/// Faces beside which thin wood does no harm, as for ligaments: grooves, marks and chamfers are
/// shallow, tabs are cut off, and what balls and necks need is their joint's matter.
fn harmless(kind: FaceKind) -> bool {
    use FaceKind::{
        Ball, Fillet, GrooveFloor, GrooveWall, MarkFloor, MarkWall, Neck, PinChamfer, PlateEase,
        TabTop, TabUnderside, TabWall,
    };
    let joint = matches!(kind, Ball | Neck | Fillet);
    let shallow = matches!(kind, GrooveWall | GrooveFloor | MarkWall | MarkFloor);
    let chamfer = matches!(kind, PinChamfer | PlateEase);
    joint || shallow || chamfer || matches!(kind, TabTop | TabUnderside | TabWall)
}

fn place(side: Side, feature: Feature) -> Place {
    use Feature::{
        EndFace, Flare, FlareEdge, Flat, Mouth, Outline, PinChamfer, PinFloor, PinHole, Plate, Rim,
        RimTop, Skin, Socket, SplitFace,
    };
    match feature {
        Skin | Rim | RimTop | Flat(_) | Outline(_) => Place::Outer,
        Plate(_) => Place::Plate,
        // Both halves of a whole share ends and sockets.
        Socket(at) | Mouth(at) | Flare(at) | FlareEdge(at) => Place::At(None, Socket(at)),
        EndFace(at) => Place::At(None, EndFace(at)),
        SplitFace => Place::At(None, SplitFace),
        PinHole(n) | PinFloor(n) | PinChamfer(n) => Place::At(Some(side), PinHole(n)),
        other => Place::At(Some(side), other),
    }
}

fn way_out(kinds: (FaceKind, FaceKind)) -> &'static str {
    use FaceKind::{EyeFloor, EyeWall, PinFloor, PinWall, PlateTop, PlateWall, SplitFace};
    let either = |one: &[FaceKind]| one.contains(&kinds.0) || one.contains(&kinds.1);
    if either(&[EyeFloor, EyeWall]) {
        "move the eye to where the body is wider, or make it smaller or shallower"
    } else if either(&[PinFloor, PinWall]) {
        "move the pin inwards, or make its hole shallower or thinner"
    } else if either(&[PlateTop, PlateWall]) {
        "make the plate thicker, or wider in plan"
    } else if either(&[SplitFace]) {
        "make the section higher there"
    } else {
        "make the section wider, higher or longer there"
    }
}
