//! Near misses of plates, tabs and eyes. The body is a straight upright prism, so that every gap is
//! a plain difference.

use limberwood::brep::build;
use limberwood::chain::{
    Eye, Flank, Flat, HalfForm, Plate, PlateCorner, SectionForm, Side, Tab, TabRoot, Walls,
};
use limberwood::clear::half::{BUILD_GAP, Facing, Feature, ligaments, refusals};
use limberwood::diagnostic::Severity;
use limberwood::mesh::inspect::inspect;
use limberwood::mesh::tessellate;
use limberwood::params::SPECIES;
use limberwood::skin::skin;
use proptest::prelude::*;

use crate::cases;
use crate::forms::{station, straight};
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
        length: [9.0; 2],
    }
}

/// On the first plate of its flank.
fn on_plate(flank: Flank, x: f64) -> Tab {
    Tab {
        on: TabRoot::Plate(0),
        from: 1.0,
        to: 2.0,
        ..tab(flank, x)
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

/// The body with a flat from 20 to 40, 12 high.
fn flat(half_width: f64) -> SectionForm {
    let mut form = body();
    form.outline = [0.0, 20.0, 40.0, LENGTH]
        .map(|x| {
            station(
                x,
                WIDTH,
                if x == 20.0 || x == 40.0 { 12.0 } else { 14.0 },
                2.5,
            )
        })
        .to_vec();
    form.features.flats = vec![Flat {
        side: Side::Upper,
        from: 20.0,
        to: 40.0,
        half_width,
        height: 12.0,
        level: (20.0, 40.0),
    }];
    form
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

    /// The edge of the plate is straight from 17 to 43, the other walls bend away from it.
    #[test]
    fn tab_and_the_corner_of_its_plate(flank in flank(), gap in -0.05..0.05f64, rear in any::<bool>()) {
        let mut form = body();
        form.features.plates = vec![plate(flank, 15.0, 45.0)];
        let x = if rear { 40.0 - gap } else { 20.0 + gap };
        form.features.tabs = vec![on_plate(flank, x)];
        judged(&form, (Feature::Plate(1), Feature::Tab(1)), gap)?;
    }

    /// Straight up to the foot of the rounding; beyond it the wall rises beside the tab.
    #[test]
    fn tab_and_a_hollow_corner(flank in flank(), gap in -0.05..0.05f64) {
        let mut form = body();
        let mut step = plate(flank, 15.0, 45.0);
        let inner = |out: f64| PlateCorner { x: 30.0, out, radius: 1.0 };
        step.corners[0].out = 4.0;
        step.corners.splice(1..1, [inner(4.0), inner(9.0)]);
        form.features.plates = vec![step];
        form.features.tabs = vec![on_plate(flank, 26.0 - gap)];
        judged(&form, (Feature::Plate(1), Feature::Tab(1)), gap)?;
    }

    /// Along a slanted edge the gap is longer than along x. The front corner turns from the leg's
    /// way, straight out, into the edge's: a quarter turn less the slant.
    #[test]
    fn tab_and_the_corner_of_a_slanted_edge(flank in flank(), gap in -0.05..0.05f64, rise in 1.0..12.0f64) {
        let mut form = body();
        let mut fin = plate(flank, 15.0, 45.0);
        fin.corners[1].out += rise;
        let slant = (rise / 30.0).atan();
        let straight = 2.0 * (std::f64::consts::FRAC_PI_4 - 0.5 * slant).tan();
        form.features.plates = vec![fin];
        form.features.tabs = vec![on_plate(flank, 18.0 + (straight + gap) * slant.cos())];
        judged(&form, (Feature::Plate(1), Feature::Tab(1)), gap)?;
    }

    #[test]
    fn tab_and_the_top_of_its_plate(flank in flank(), gap in -0.05..0.05f64, ease in 0.0..1.0f64) {
        let mut form = body();
        form.features.plates = vec![Plate { ease, ..plate(flank, 15.0, 45.0) }];
        form.features.tabs = vec![Tab { to: 3.5 - ease - gap, ..on_plate(flank, 30.0) }];
        judged(&form, (Feature::Plate(1), Feature::Tab(1)), gap)?;
    }

    #[test]
    fn two_tabs_on_a_plate(flank in flank(), gap in 0.0..0.05f64, x in 21.0..33.0f64) {
        let mut form = body();
        form.features.plates = vec![plate(flank, 15.0, 45.0)];
        form.features.tabs = vec![on_plate(flank, x), on_plate(flank, x + 6.0 + gap)];
        judged(&form, (Feature::Tab(1), Feature::Tab(2)), gap)?;
    }

    /// A plate beside its own that leans over it: its corner stands beside the tab's end.
    #[test]
    fn tab_on_a_plate_and_another_plate(flank in flank(), gap in 0.0..0.05f64) {
        let mut form = body();
        let mut tall = plate(flank, 32.0, 45.0);
        tall.corners.iter_mut().for_each(|c| c.out = 14.0);
        form.features.plates = vec![tall, plate(flank, 10.0, 31.0)];
        form.features.tabs = vec![Tab { on: TabRoot::Plate(1), ..on_plate(flank, 25.5) }];
        judged(&form, (Feature::Plate(1), Feature::Tab(1)), 3.5)?;
        form.features.plates[0].corners[0].x = 28.5 + gap;
        form.features.plates[1] = plate(flank, 10.0, 28.0 + gap);
        form.features.plates[1].corners.iter_mut().for_each(|c| c.radius = 0.2);
        form.features.tabs[0].x = 24.5;
        judged(&form, (Feature::Plate(1), Feature::Tab(1)), 1.0 + gap)?;
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

    /// In the middle of a flat, and beside it in plan.
    #[test]
    fn pin_under_a_flat(gap in -0.05..0.05f64, y in -3.0..3.0f64, half_width in 4.0..8.0f64) {
        let mut form = flat(half_width);
        form.pins = vec![pin(30.0, y, 1.5, 0.0, 12.0 - gap)];
        judged(&form, (Feature::PinHole(1), Feature::Flat(1)), gap)?;
    }

    #[test]
    fn eye_beside_a_flat(gap in -0.05..0.05f64, radius in 1.0..3.0f64, along in any::<bool>(), turn in any::<bool>()) {
        let mut form = flat(4.0);
        let far = radius + gap;
        let sign = if turn { -1.0 } else { 1.0 };
        let (x, y) = if along { (30.0 + sign * (10.0 + far), 1.0) } else { (28.0, sign * (4.0 + far)) };
        form.features.eyes = vec![Eye { side: Side::Upper, x, y, radius, depth: 1.0 }];
        judged(&form, (Feature::Eye(1), Feature::Flat(1)), gap)?;
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
