//! What stands out of a section: plates, and the tabs that hold it in the blank.

use super::load::{PULL, PULLED, PUSHED, SIDE, TORQUE, TURNED};
use super::{Finding, Held, Subject, finding};
use crate::chain::strengths::Strengths;
use crate::chain::{Plate, SectionForm, TabRoot};
use crate::check::finding::{Amount, Row};

/// The screen of a section's plates, that with the weakest root; nothing without plates.
pub fn plates(subject: &Subject<'_>, form: &SectionForm, wood: &Strengths) -> Option<Finding> {
    let weakest = |held: &[Held; 3]| -> f64 {
        let judged = held.iter().filter(|h| h.judged);
        judged.map(|h| -h.stress).fold(0.0, f64::min)
    };
    let all = form.features.plates.iter().map(|p| held(p, wood));
    let held = all.min_by(|a, b| weakest(a).total_cmp(&weakest(b)))?;
    let way_out = "make the plate's root longer, or the plate thicker";
    Some(finding(subject, "the plates' roots", &held, way_out))
}

/// The root of a plate, L along the grain and t thick: pulled straight out, F / (L t) across the
/// grain; turned about its own middle, T (3 + 1.8 t / L) / (L t^2) (twist of a rectangle,
/// Timoshenko's approximation, from memory); pushed sideways at its outer edge, 6 F h / (L t^2).
/// A plate of the usual least root, 1.5 times its height, sees 5 MPa under that push whatever its
/// size, near the strength of maple: told, and not judged.
fn held(plate: &Plate, wood: &Strengths) -> [Held; 3] {
    let ends = plate.corners.first().zip(plate.corners.last());
    let root = ends.map_or(0.0, |(a, b)| b.x - a.x);
    let thick = 2.0 * plate.half_thickness;
    let out = plate.corners.iter().map(|c| c.out).fold(0.0, f64::max);
    let (long, short) = (root.max(thick), root.min(thick));
    [
        Held {
            name: "plate pulled out",
            stress: PULL / (root * thick),
            strength: wood.across,
            judged: true,
            source: PULLED,
        },
        Held {
            name: "plate turned",
            stress: TORQUE * (3.0 + 1.8 * short / long) / (long * short * short),
            strength: Some(wood.shear),
            judged: true,
            source: TURNED,
        },
        Held {
            name: "plate pushed sideways at its edge",
            stress: 6.0 * SIDE * out / (root * thick * thick),
            strength: wood.across,
            judged: false,
            source: PUSHED,
        },
    ]
}

/// What the tabs of a half withstand together; nothing without tabs. Bars across the window, held at
/// both ends, that the part moves at one end: lifted 2 f (b t^2 / 6) / L, pushed along the chain
/// 2 f (t b^2 / 6) / L, pulled across f b t (beam formulas); they run across the grain, unless they
/// stand on a plate's edge, which is told with the rest.
pub fn tabs(subject: &Subject<'_>, form: &SectionForm, wood: &Strengths) -> Option<Finding> {
    let tabs = &form.features.tabs;
    if tabs.is_empty() {
        return None;
    }
    let total = |one: fn(f64, f64, f64) -> f64| -> Option<f64> {
        let strength = wood.across?;
        let each = tabs
            .iter()
            .map(|t| one(t.width, t.to - t.from, t.length[0].max(t.length[1])));
        Some(strength * each.sum::<f64>())
    };
    let rows = [
        ("lifted", total(|b, t, l| b * t * t / (3.0 * l))),
        (
            "pushed along the chain",
            total(|b, t, l| t * b * b / (3.0 * l)),
        ),
        ("pulled across", total(|b, t, _| b * t)),
    ];
    let rows = rows.map(|(name, force)| Row {
        name: name.to_owned(),
        cells: vec![("breaks at", force.map(Amount::Force))],
        source: "no cutting force is taken as known",
        unit: subject.unit,
    });
    let on_plates = tabs.iter().filter(|t| t.on != TabRoot::Rim).count();
    let long = tabs.iter().flat_map(|t| t.length).fold(0.0, f64::max);
    let plates = match on_plates {
        0 => String::new(),
        n => format!(" ({n} on plates)"),
    };
    let words = format!(
        "screen of {} tabs{plates}, up to {} long, all loaded alike, across the grain",
        tabs.len(),
        Amount::Length(long).text(subject.unit)
    );
    Some(subject.notes("strength", words).table(rows.to_vec()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chain::{Flank, PlateCorner};

    fn plate(root: f64, out: f64, thick: f64) -> Plate {
        let corner = |x: f64| PlateCorner {
            x,
            out,
            radius: 0.0,
        };
        Plate {
            flank: Flank::Plus,
            half_thickness: 0.5 * thick,
            corners: vec![corner(10.0), corner(10.0 + root)],
            ease: 0.0,
        }
    }

    #[test]
    fn the_usual_least_root_sees_the_same_push_whatever_its_size() {
        let wood = Strengths::of("beech");
        for out in [6.0, 12.0, 30.0] {
            let held = held(&plate(1.5 * out, out, 6.0), &wood);
            assert!((held[2].stress - 5.0).abs() < 1e-9);
            assert!((held[0].stress - PULL / (9.0 * out)).abs() < 1e-9);
        }
    }

    /// A square bar twists at 4.8 T / a^3 (table of Timoshenko: 4.81), a thin one at 3 T / (L t^2).
    #[test]
    fn twist_of_rectangles() {
        let wood = Strengths::of("beech");
        let square = held(&plate(6.0, 6.0, 6.0), &wood)[1].stress;
        assert!((square / (4.81 * TORQUE / 216.0) - 1.0).abs() < 0.01);
        let thin = held(&plate(600.0, 6.0, 6.0), &wood)[1].stress;
        assert!((thin / (3.0 * TORQUE / (600.0 * 36.0)) - 1.0).abs() < 0.01);
    }
}
