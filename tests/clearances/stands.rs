//! Near misses of plates, tabs and eyes. The body is a straight upright prism, so that every gap is
//! a plain difference.

use limberwood::brep::build;
use limberwood::chain::{
    Eye, Flank, HalfForm, Plate, PlateCorner, SectionForm, Side, Tab, TabRoot, Walls,
};
use limberwood::clear::half::{BUILD_GAP, Facing, Feature, ligaments, refusals};
use limberwood::diagnostic::Severity;
use limberwood::mesh::inspect::inspect;
use limberwood::mesh::tessellate;
use limberwood::params::SPECIES;
use limberwood::skin::skin;
use proptest::prelude::*;

use crate::cases;
use crate::forms::straight;
use crate::near::pin;

const LENGTH: f64 = 60.0;
const WIDTH: f64 = 15.0;

fn body() -> SectionForm {
    let mut form = straight(LENGTH, WIDTH, 14.0);
    form.rim = 5.0;
    form
}

fn tab(flank: Flank, x: f64) -> Tab {
    Tab {
        flank,
        on: TabRoot::Rim,
        x,
        width: 6.0,
        from: 2.0,
        to: 4.0,
        length: 9.0,
    }
}

fn plate(flank: Flank, from: f64, to: f64) -> Plate {
    let corner = |x: f64| PlateCorner {
        x,
        out: 8.0,
        radius: 2.0,
    };
    Plate {
        flank,
        half_thickness: 3.5,
        corners: vec![corner(from), corner(to)],
        ease: 0.0,
    }
}

/// The held half has this gap between two features and is judged by it; what is not refused is
/// built, and its mesh is sound.
fn judged(form: &SectionForm, pair: (Feature, Feature), wanted: f64) -> Result<(), TestCaseError> {
    let half = HalfForm::held(form, Side::Upper);
    let outer = skin(&half).unwrap();
    let all = ligaments(&half, &outer);
    let of = |between: (Feature, Feature)| between == pair || between == (pair.1, pair.0);
    let least = all.iter().filter(|l| of(l.between)).map(|l| l.gap);
    let gap = least.fold(f64::INFINITY, f64::min);
    prop_assert!((gap - wanted).abs() < 1e-6, "{gap} instead of {wanted}");
    let found = refusals(&all, &Walls::of(&SPECIES[0]), true);
    let refused = |r: &limberwood::clear::half::Refusal| r.severity == Severity::Error;
    let ours = found.iter().any(|r| refused(r) && of(r.between));
    if (wanted - BUILD_GAP).abs() > 1e-6 {
        prop_assert_eq!(ours, wanted < BUILD_GAP, "gap {}", gap);
    }
    if !found.iter().any(refused) {
        let solid = build(&half, &outer).unwrap();
        let mesh = tessellate(&solid, 0.02f64.min(0.25 * gap)).unwrap();
        let written: Vec<[f32; 3]> = mesh.positions.iter().map(|p| p.map(|c| c as f32)).collect();
        let seen = inspect(&written, &mesh.triangles);
        prop_assert!(seen.findings.is_empty(), "{:?}", seen.findings.first());
        prop_assert_eq!(seen.shells, 1);
    }
    Ok(())
}

fn flank() -> impl Strategy<Value = Flank> {
    prop_oneof![Just(Flank::Minus), Just(Flank::Plus)]
}

proptest! {
    #![proptest_config(cases(24))]

    #[test]
    fn tab_and_the_top_of_the_rim(flank in flank(), gap in -0.05..0.05f64) {
        let mut form = body();
        form.features.tabs = vec![Tab { to: 5.0 - gap, ..tab(flank, 30.0) }];
        judged(&form, (Feature::Tab(1), Feature::RimTop), gap)?;
    }

    #[test]
    fn plate_and_the_top_of_the_rim(flank in flank(), gap in -0.05..0.05f64) {
        let mut form = body();
        form.features.plates = vec![Plate { half_thickness: 5.0 - gap, ..plate(flank, 20.0, 40.0) }];
        judged(&form, (Feature::Plate(1), Feature::RimTop), gap)?;
    }

    /// Walls of neighbours are parallel: 0 apart means that they touch, less that they cross.
    #[test]
    fn two_tabs(flank in flank(), gap in 0.0..0.05f64, x in 15.0..35.0f64) {
        let mut form = body();
        form.features.tabs = vec![tab(flank, x), tab(flank, x + 6.0 + gap)];
        judged(&form, (Feature::Tab(1), Feature::Tab(2)), gap)?;
    }

    #[test]
    fn plate_and_tab(flank in flank(), gap in 0.0..0.05f64, x in 25.0..35.0f64) {
        let mut form = body();
        form.features.plates = vec![plate(flank, 10.0, x)];
        form.features.tabs = vec![tab(flank, x + 3.0 + gap)];
        judged(&form, (Feature::Plate(1), Feature::Tab(1)), gap)?;
    }

    #[test]
    fn tab_and_an_end(flank in flank(), gap in 0.0..0.05f64) {
        let mut form = body();
        form.features.tabs = vec![tab(flank, 3.0 + gap)];
        judged(&form, (Feature::Tab(1), Feature::Outline(Facing::Front)), gap)?;
        form.features.tabs = vec![tab(flank, LENGTH - 3.0 - gap)];
        judged(&form, (Feature::Tab(1), Feature::Outline(Facing::Rear)), gap)?;
    }

    /// Two roundings of 90 degrees take their radii of the wall between them.
    #[test]
    fn roundings_that_share_a_wall(flank in flank(), gap in -0.05..0.05f64) {
        let mut form = body();
        let mut fin = plate(flank, 20.0, 30.0);
        for corner in &mut fin.corners {
            corner.radius = 5.0 - 0.5 * gap;
        }
        form.features.plates = vec![fin];
        judged(&form, (Feature::Plate(1), Feature::Plate(1)), gap)?;
    }

    #[test]
    fn an_ease_and_its_plate(flank in flank(), gap in -0.05..0.05f64, by_radius in any::<bool>()) {
        let mut form = body();
        let mut fin = plate(flank, 20.0, 36.0);
        fin.ease = if by_radius { 2.0 - gap } else { 3.5 - gap };
        if !by_radius {
            fin.corners.iter_mut().for_each(|c| c.radius = 5.0);
        }
        form.features.plates = vec![fin];
        judged(&form, (Feature::Plate(1), Feature::Plate(1)), gap)?;
    }

    /// A pin hole's floor under an eye's.
    #[test]
    fn eye_over_a_pin(gap in -0.05..0.05f64, y in -4.0..4.0f64, radius in 1.0..3.0f64) {
        let mut form = body();
        form.pins = vec![pin(30.0, y, 2.5, 0.0, 6.0)];
        let eye = Eye { side: Side::Upper, x: 30.0, y, radius, depth: 1.0 };
        let half = HalfForm::of(&form, Side::Upper);
        let outer = skin(&half).unwrap();
        // From the height of the skin over the eye down to the floor that leaves the gap.
        let floor = limberwood::skin::eye::eye_rim(&outer, &eye).unwrap().floor;
        form.features.eyes = vec![Eye { depth: 1.0 + floor - 6.0 - gap, ..eye }];
        judged(&form, (Feature::Eye(1), Feature::PinHole(1)), gap)?;
    }
}
