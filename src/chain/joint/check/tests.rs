//! One joint that breaks each rule and one beside it that does not; random sufficient sets;
//! near misses.

use super::super::swing::tests::joints;
use super::super::*;
use proptest::prelude::*;

const USUAL: JointDefaults = JointDefaults::HARD_MAPLE;

fn rules(wish: &JointWish, face: SocketFace) -> Vec<Rule> {
    match solve(wish, &USUAL, face) {
        Ok(solved) => solved.warnings.iter().map(|f| f.rule).collect(),
        Err(found) => {
            assert!(found.iter().all(|f| f.rule.refuses()));
            found.iter().map(|f| f.rule).collect()
        }
    }
}

fn domed(wish: JointWish) -> Vec<Rule> {
    rules(&wish, SocketFace::Domed)
}

fn deg(angle: f64) -> Option<f64> {
    Some(angle.to_radians())
}

#[test]
fn nothing_written_is_a_joint_without_remark() {
    let solved = solve(&JointWish::default(), &USUAL, SocketFace::Domed).unwrap();
    assert_eq!(solved.warnings, []);
    let joint = solved.joint;
    assert_eq!((joint.ball, joint.neck, joint.clearance), (10.0, 4.25, 0.4));
    assert!((joint.swing.to_degrees() - 25.0).abs() < 1e-9);
    assert_eq!(joint.flare, joint.swing);
    assert!((joint.depth() - 13.4).abs() < 1e-12 && (joint.reach() - 17.4).abs() < 1e-12);
    assert!((joint.stem().fillet - 1.74625).abs() < 1e-12);
    // The fillet, not the plain neck, meets the mouth here: the mouth is wider for it.
    let plain = mouth_for_swing(
        &Stem {
            fillet: 0.0,
            ..joint.stem()
        },
        0.4,
        joint.swing,
    )
    .unwrap();
    assert!(joint.mouth > plain + 0.05);
}

/// Each rule: a wish that breaks it, and the same with one value changed that does not.
#[test]
fn each_rule_has_a_bad_and_a_good_joint() {
    let none = JointWish::default();
    let agreeing = {
        let joint = solve(&none, &USUAL, SocketFace::Domed).unwrap().joint;
        JointWish {
            ball: Some(10.0),
            neck: Some(4.25),
            mouth: Some(joint.mouth),
            ..none
        }
    };
    let cases: [(Rule, JointWish, JointWish); 16] = [
        (
            Rule::Size,
            JointWish {
                gap: Some(-1.0),
                ..none
            },
            JointWish {
                gap: Some(4.0),
                ..none
            },
        ),
        (
            Rule::Agreement,
            JointWish {
                swing: deg(24.8),
                ..agreeing
            },
            JointWish {
                swing: deg(24.95),
                ..agreeing
            },
        ),
        (
            Rule::Capture,
            JointWish {
                mouth: Some(10.0),
                ..none
            },
            JointWish {
                mouth: Some(9.999),
                ..none
            },
        ),
        (
            Rule::SwingTooWide,
            JointWish {
                swing: deg(60.0),
                ..none
            },
            JointWish {
                swing: deg(28.0),
                ..none
            },
        ),
        (
            Rule::NeckInBall,
            JointWish {
                neck: Some(10.0),
                ..none
            },
            JointWish {
                neck: Some(5.0),
                swing: deg(15.0),
                ..none
            },
        ),
        (
            Rule::NeckInMouth,
            JointWish {
                mouth: Some(4.65),
                fillet: Some(0.0),
                ..none
            },
            JointWish {
                mouth: Some(4.66),
                fillet: Some(0.0),
                ..none
            },
        ),
        (
            Rule::NoNeck,
            JointWish {
                mouth: Some(5.0),
                swing: deg(29.0),
                ..none
            },
            JointWish {
                mouth: Some(8.0),
                swing: deg(22.0),
                ..none
            },
        ),
        (
            Rule::FilletInMouth,
            JointWish {
                mouth: Some(5.0),
                fillet: Some(5.0),
                ..none
            },
            JointWish {
                mouth: Some(5.0),
                ..none
            },
        ),
        (
            Rule::FilletLength,
            JointWish {
                land: Some(0.5),
                gap: Some(0.5),
                neck: Some(3.0),
                fillet: Some(5.0),
                ..none
            },
            JointWish {
                land: Some(0.5),
                gap: Some(2.0),
                neck: Some(3.0),
                fillet: Some(5.0),
                ..none
            },
        ),
        (
            Rule::FlareAngle,
            JointWish {
                flare: deg(80.0),
                ..none
            },
            JointWish {
                flare: deg(79.0),
                ..none
            },
        ),
        (
            Rule::GapTooSmall,
            JointWish {
                gap: Some(0.4),
                ..none
            },
            JointWish {
                gap: Some(0.5),
                ..none
            },
        ),
        (
            Rule::WideSwing,
            JointWish {
                swing: deg(30.1),
                neck: Some(3.5),
                ..none
            },
            JointWish {
                swing: deg(30.0),
                neck: Some(3.5),
                ..none
            },
        ),
        (
            Rule::ThinCapture,
            JointWish {
                mouth: Some(8.81),
                ..none
            },
            JointWish {
                mouth: Some(8.8),
                ..none
            },
        ),
        (
            Rule::OddClearance,
            JointWish {
                clearance: Some(0.24),
                ..none
            },
            JointWish {
                clearance: Some(0.25),
                ..none
            },
        ),
        (
            Rule::ThinNeck,
            JointWish {
                neck: Some(3.17),
                ..none
            },
            JointWish {
                neck: Some(3.175),
                ..none
            },
        ),
        (
            Rule::PinchGap,
            JointWish {
                gap: Some(5.0),
                ..none
            },
            JointWish {
                gap: Some(13.0),
                ..none
            },
        ),
    ];
    for (rule, bad, good) in cases {
        assert!(domed(bad).contains(&rule), "{rule:?}: {:?}", domed(bad));
        assert!(!domed(good).contains(&rule), "{rule:?}: {:?}", domed(good));
        assert!(
            solve(&good, &USUAL, SocketFace::Domed).is_ok(),
            "{rule:?}: {:?}",
            domed(good)
        );
    }
    assert!(
        domed(JointWish {
            land: Some(2.9),
            ..none
        })
        .contains(&Rule::ThinLand)
    );
    assert!(
        domed(JointWish {
            flare: deg(20.0),
            ..none
        })
        .contains(&Rule::NarrowFlare)
    );
    assert!(
        !domed(JointWish {
            flare: deg(25.0),
            ..none
        })
        .contains(&Rule::NarrowFlare)
    );
}

/// Both parts of the capture: 1.2 mm for a small ball, 0.12 of the radius for a large one.
#[test]
fn capture_is_judged_by_size() {
    for (ball, least) in [(8.0, 1.2), (15.0, 1.8)] {
        let thin = |held: f64| {
            let mouth = Some(ball - held);
            let wish = JointWish {
                ball: Some(ball),
                mouth,
                fillet: Some(0.0),
                ..JointWish::default()
            };
            domed(wish).contains(&Rule::ThinCapture)
        };
        assert!(thin(least - 0.01) && !thin(least + 0.01), "{ball}");
    }
}

#[test]
fn independent_faults_come_together() {
    let wish = JointWish {
        gap: Some(0.1),
        flare: deg(85.0),
        land: Some(f64::NAN),
        ..JointWish::default()
    };
    assert_eq!(
        domed(wish),
        [Rule::Size, Rule::FlareAngle, Rule::GapTooSmall]
    );
}

#[test]
fn a_conflict_names_both_values_and_those_that_agree() {
    let wish = JointWish {
        mouth: Some(8.0),
        neck: Some(4.25),
        swing: deg(30.0),
        ball: Some(10.0),
        ..JointWish::default()
    };
    let found = solve(&wish, &USUAL, SocketFace::Domed).unwrap_err();
    assert_eq!(found.len(), 1);
    let finding = &found[0];
    assert_eq!(finding.rule, Rule::Agreement);
    let keys: Vec<JointKey> = finding.values.iter().map(|(k, _)| *k).collect();
    assert_eq!(
        keys,
        [
            JointKey::Swing,
            JointKey::Mouth,
            JointKey::Neck,
            JointKey::Ball
        ]
    );
    assert_eq!(finding.agrees.len(), 3);
    for &(key, value) in &finding.agrees {
        let mut other = wish;
        match key {
            JointKey::Swing => other.swing = Some(value),
            JointKey::Mouth => other.mouth = Some(value),
            _ => other.neck = Some(value),
        }
        assert!(
            solve(&other, &USUAL, SocketFace::Domed).is_ok(),
            "{key:?} {value}"
        );
    }
}

#[test]
fn a_flare_is_refused_where_it_leaves_its_face() {
    let joint = |face, flare| {
        let wish = JointWish {
            flare: deg(flare),
            ..JointWish::default()
        };
        solve(&wish, &USUAL, face).unwrap().joint
    };
    for face in [SocketFace::Domed, SocketFace::Flat] {
        let wide = joint(face, 60.0);
        let (_, edge) = wide.flare_edge();
        assert_eq!(check_end(&wide, edge * (1.0 + 1e-9)), None);
        let finding = check_end(&wide, edge - 0.5).unwrap();
        assert_eq!(finding.rule, Rule::FlareInFace);
        let (_, flare) = finding.agrees[0];
        let fits = joint(face, flare.to_degrees());
        assert!((fits.flare_edge().1 - (edge - 0.5)).abs() < 1e-9);
    }
}

#[test]
fn a_narrow_flare_lowers_the_swing_to_its_outer_edge() {
    let wish = JointWish {
        flare: deg(10.0),
        fillet: Some(0.0),
        ..JointWish::default()
    };
    let joint = solve(&wish, &USUAL, SocketFace::Domed).unwrap().joint;
    assert!(joint.swing.to_degrees() < 24.9 && joint.swing.to_degrees() > 10.0);
    // The neck's line at that swing passes through the edge: its distance from the axis is n.
    let (x, r) = joint.flare_edge();
    let across = r * joint.swing.cos() - x * joint.swing.sin();
    assert!((across - joint.neck).abs() < 1e-9);
    let limits = JointLimits::of(&joint, 12.0);
    assert!(limits.swing_aside < limits.swing && limits.faces.is_none());
    assert_eq!(limits.usable(), limits.swing_aside);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    /// Every three of ball, neck, mouth and swing lead to the same joint.
    #[test]
    fn any_sufficient_set_decides_the_rest((stem, clearance, mouth) in joints(), leave in 0..4usize) {
        let swing = mouth_swing(&stem, clearance, mouth);
        prop_assume!(swing > 0.02 && swing < 1.3);
        let mut wish = JointWish {
            ball: Some(stem.ball), clearance: Some(clearance), neck: Some(stem.neck),
            mouth: Some(mouth), swing: Some(swing), fillet: Some(stem.fillet),
            gap: Some(4.0 + stem.ball + stem.fillet), ..JointWish::default()
        };
        let all = solve(&wish, &USUAL, SocketFace::Domed).unwrap().joint;
        match leave {
            0 => wish.ball = None,
            1 => wish.neck = None,
            2 => wish.mouth = None,
            _ => wish.swing = None,
        }
        let three = solve(&wish, &USUAL, SocketFace::Domed).unwrap().joint;
        for (a, b) in [(all.ball, three.ball), (all.neck, three.neck), (all.mouth, three.mouth), (all.swing, three.swing)] {
            prop_assert!((a - b).abs() < 1e-5 * a.max(1.0), "{all:?} {three:?}");
        }
    }

    /// A swing that is off by more than the tolerance is refused, one within is taken.
    #[test]
    fn near_misses_of_the_swing((stem, clearance, mouth) in joints(), off in -0.3..0.3f64) {
        let swing = mouth_swing(&stem, clearance, mouth);
        prop_assume!(swing > 0.02 && swing < 1.3 && (off.abs() - 0.1).abs() > 1e-6);
        let wish = JointWish {
            ball: Some(stem.ball), clearance: Some(clearance), neck: Some(stem.neck),
            mouth: Some(mouth), swing: Some(swing + off.to_radians()), fillet: Some(stem.fillet),
            gap: Some(4.0 + stem.ball + stem.fillet), ..JointWish::default()
        };
        let refused = domed(wish).contains(&Rule::Agreement);
        prop_assert_eq!(refused, off.abs() > 0.1);
    }

    /// Whatever is asked: a joint within its rules, or a refusal; no NaN, no panic.
    #[test]
    fn random_wishes_are_solved_or_refused(
        ball in proptest::option::of(0.5..30.0f64), neck in proptest::option::of(0.1..15.0f64),
        mouth in proptest::option::of(0.1..30.0f64), swing in proptest::option::of(0.001..1.57f64),
        flare in proptest::option::of(0.0..1.57f64), fillet in proptest::option::of(0.0..10.0f64),
        land in proptest::option::of(0.01..6.0f64), flat in any::<bool>(),
    ) {
        let wish = JointWish { ball, neck, mouth, swing, flare, fillet, land, ..JointWish::default() };
        let face = if flat { SocketFace::Flat } else { SocketFace::Domed };
        match solve(&wish, &USUAL, face) {
            Err(found) => prop_assert!(!found.is_empty()),
            Ok(solved) => {
                let j = solved.joint;
                prop_assert!(j.mouth < j.ball && j.neck + j.clearance < j.mouth, "{j:?}");
                prop_assert!(j.swing > 0.0 && j.swing < std::f64::consts::FRAC_PI_2, "{j:?}");
                prop_assert!(j.stem().fillet_centre() < j.reach(), "{j:?}");
                let (x, r) = j.flare_edge();
                prop_assert!(x.is_finite() && r > j.mouth, "{j:?}");
                let limits = JointLimits::of(&j, 15.0);
                prop_assert!(limits.swing_aside < limits.swing && limits.play > j.clearance, "{limits:?}");
            }
        }
    }
}
