//! Which ligaments are too thin.

use super::feature::{Feature, Ligament, Named};
use super::words::way_out;
use crate::chain::Walls;
use crate::diagnostic::{Diagnostic, Place, Severity};
use crate::units::{Length, MM_PER_INCH, Unit, length_text, short};

/// Features nearer than this are not built, mm: half that and less is lost in the printed
/// precision, and no mesh in use keeps them apart. A mesh keeps features apart for certain only
/// where the gap is over twice its deviation (derived; the value has no outside source).
pub const BUILD_GAP: f64 = 0.01;
/// No habit asks for less wood than this, mm (common practice, no source).
pub const LEAST_HABIT: f64 = 2.5;

/// By how much a habit may be missed, mm: half the printed precision.
pub const HABIT_SLACK: f64 = 0.005;

/// A ligament that is too thin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Refusal {
    /// An error: not built. A warning: thinner than habit.
    pub severity: Severity,
    /// The two features.
    pub between: (Feature, Feature),
    /// Their least distance, mm; negative when they cross.
    pub gap: f64,
    /// The least that is allowed, mm.
    pub least: f64,
    /// Whether `least` is mere habit: common practice without a source.
    pub habit: bool,
    /// Middle of the wood where it is thinnest.
    pub at: [f64; 3],
    /// The two numbers that make the gap what it is.
    pub numbers: [Named; 2],
    /// What to do about it.
    pub way_out: &'static str,
}

/// What cannot be built, and what is thinner than habit. A body for benches is not cut: habits
/// do not bind it.
pub fn refusals(ligaments: &[Ligament], walls: &Walls, bench_only: bool) -> Vec<Refusal> {
    ligaments
        .iter()
        .filter_map(|l| refusal(l, ligaments, walls, bench_only))
        .collect()
}

fn refusal(l: &Ligament, all: &[Ligament], walls: &Walls, bench_only: bool) -> Option<Refusal> {
    let thin = |severity, least, habit| Refusal {
        severity,
        between: l.between,
        gap: l.gap,
        least,
        habit,
        at: l.at,
        numbers: l.numbers,
        way_out: way_out(l.between),
    };
    let part = part_of_crossing(l, all);
    if crosses(l) && !part {
        return Some(thin(Severity::Error, BUILD_GAP, false));
    }
    let least = habit(l.between, walls)?;
    if part || bench_only || l.gap >= least - HABIT_SLACK || told(l, all, walls) {
        return None;
    }
    let severity = match l.between.0 {
        Feature::PinFloor(_) => Severity::Error,
        _ => Severity::Warning,
    };
    Some(thin(severity, least, true))
}

/// Usual least wood between two features; none where thin wood does no harm.
pub fn habit(between: (Feature, Feature), walls: &Walls) -> Option<f64> {
    use Feature::{
        Ball, EndFace, Eye, Flare, FlareEdge, Groove, Mark, Mouth, Neck, PinChamfer, PinFloor,
        PinHole, Plate, Socket, SplitFace, Tab,
    };
    let least = match between {
        (Eye(_), Groove(_) | Mark(_)) => walls.pin_floor,
        (Groove(_) | Mark(_) | PinChamfer(_), _) | (_, PinChamfer(_)) => return None,
        (Tab(a), Tab(b)) if a == b => LEAST_HABIT,
        (Plate(_) | Tab(_), _) => return None,
        (Eye(_), SplitFace) => walls.pin_floor,
        (Eye(_), Socket(_) | Flare(_)) | (Socket(_) | Flare(_), Eye(_)) => walls.skin,
        (Eye(_), PinHole(_)) | (PinHole(_), Eye(_)) => walls.pin_floor,
        (Eye(_), _) | (_, Eye(_)) => return None,
        (Ball(_) | Neck(_) | EndFace(_), _) => return None,
        (PinFloor(_), _) => return Some(walls.pin_floor),
        (Socket(a) | Mouth(a), EndFace(b)) if a == b => walls.land,
        (FlareEdge(_), _) => walls.land,
        (Socket(_) | Mouth(_) | Flare(_), _) | (_, Socket(_) | Flare(_)) => walls.skin,
        (PinHole(_), _) => walls.pin_floor,
        _ => return None,
    };
    Some(least.max(LEAST_HABIT))
}

/// Whether it cannot be built; a gap that is no number can not.
fn crosses(l: &Ligament) -> bool {
    l.gap.is_nan() || l.gap < BUILD_GAP
}

fn of(all: &[Ligament], a: Feature, b: Feature) -> Option<&Ligament> {
    all.iter().find(|l| l.between == (a, b))
}

/// The floor of a hole that crosses the outer form anyway, or the chamfer of one that crosses
/// the same feature.
fn part_of_crossing(l: &Ligament, all: &[Ligament]) -> bool {
    let either = |a, b| of(all, a, b).or_else(|| of(all, b, a));
    let (a, b) = l.between;
    for (chamfer, other) in [(a, b), (b, a)] {
        if let Feature::PinChamfer(n) = chamfer
            && either(Feature::PinHole(n), other).is_some_and(crosses)
        {
            return true;
        }
    }
    let Feature::PinFloor(n) = l.between.0 else {
        return false;
    };
    let hole = Feature::PinHole(n);
    outer(all, hole).is_some_and(crosses) || of(all, hole, Feature::Rim).is_some_and(crosses)
}

/// A hole against the skin, or against the flat that tells of it.
fn outer(all: &[Ligament], void: Feature) -> Option<&Ligament> {
    let skin = |l: &&Ligament| matches!(l.between.1, Feature::Skin | Feature::Flat(_));
    all.iter().find(|l| l.between.0 == void && skin(l))
}

/// Whether thin wood is told by another ligament: of skin and rim the nearer one tells, of a hole
/// and its floor the thinner one, and a flare is nearest to both by its edge in the end face.
fn told(l: &Ligament, all: &[Ligament], walls: &Walls) -> bool {
    use Feature::{Flare, FlareEdge, Flat, Outline, PinFloor, PinHole, Rim, Skin};
    let (void, sheet) = l.between;
    let other = match sheet {
        Skin | Flat(_) => of(all, void, Rim).is_some_and(|o| o.gap < l.gap),
        Rim => outer(all, void).is_some_and(|o| o.gap <= l.gap),
        _ => false,
    };
    let better = match (void, sheet) {
        (Flare(at), Skin | Flat(_) | Rim) => of(all, FlareEdge(at), Outline(at)).is_some_and(|o| {
            o.gap < l.gap + BUILD_GAP || habit(o.between, walls).is_some_and(|least| o.gap < least)
        }),
        (PinHole(n), Skin | Flat(_) | Rim) => {
            outer(all, PinFloor(n)).is_some_and(|o| o.gap < l.gap + BUILD_GAP)
        }
        _ => false,
    };
    // A floor is not told by the rim, its own least binds.
    better || (other && !matches!(void, PinFloor(_)))
}

impl Refusal {
    /// As a message about the value at `place`, lengths in `unit`.
    pub fn diagnostic(&self, place: Place, unit: Unit) -> Diagnostic {
        let (a, b) = self.between;
        let length = |mm: f64| length_text(Length::from_mm(mm), unit);
        let (gap, least) = pair(self.gap.abs(), self.least, unit);
        let of = if a == b {
            format!("sides of {a}")
        } else {
            format!("{a} and {b}")
        };
        let apart = if self.gap < 0.0 {
            format!("{of} cross by {gap}")
        } else {
            format!("{of} {gap} apart")
        };
        let numbers = self
            .numbers
            .map(|n| format!("{} {}", n.name, length(n.value)));
        let found = format!(
            "{apart} at x {} ({}, {})",
            length(self.at[0]),
            numbers[0],
            numbers[1]
        );
        let kind = if self.habit { " (habit)" } else { "" };
        Diagnostic::new(self.severity, place, found)
            .rule(if self.habit { "thin wall" } else { "crossing" })
            .allowed(format!("{least} and more{kind}"))
            .way_out(self.way_out)
    }
}

/// Two lengths as usual, or with as many decimals as it takes to tell them apart and from 0.
fn pair(a: f64, b: f64, unit: Unit) -> (String, String) {
    let usual = |mm: f64| length_text(Length::from_mm(mm), unit);
    if (a >= 1.0 && usual(a) != usual(b)) || !a.is_finite() {
        return (usual(a), usual(b));
    }
    (fine(a, unit), fine(b, unit))
}

fn fine(mm: f64, unit: Unit) -> String {
    match unit {
        Unit::Mm => format!("{} mm", short(mm, 3)),
        Unit::Inch => format!("{} in", short(mm / MM_PER_INCH, 4)),
    }
}
