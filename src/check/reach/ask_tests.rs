//! What a feature asks, against worked values and searches that know no formula.

use proptest::prelude::*;

use super::*;
use crate::check::reach::Profile;

fn tool(profile: Profile, cutting_length: f64, shank_radius: f64) -> Tool {
    Tool {
        profile,
        flat_taper: 0.0,
        cutting_length,
        shank_radius,
        holder: None,
    }
}

fn ball(tip: f64, degrees: f64) -> Profile {
    Profile::Ball {
        tip,
        taper: degrees.to_radians(),
        reach: 60.0,
    }
}

#[test]
fn a_taper_is_held_against_the_clearance() {
    // R 10: 0.038 at 5 degrees passes a quarter of 0.4, 0.154 at 10 does not (shop practice, 5).
    let sphere = Ask::Sphere {
        radius: 10.0,
        hollow: true,
        most: 0.1,
    };
    let left = sphere.of(&tool(ball(1.5, 5.0), 40.0, 3.0)).unwrap();
    assert!((left.unwrap() - 0.0382).abs() < 1e-4);
    let fault = sphere.of(&tool(ball(1.5, 10.0), 40.0, 3.0)).unwrap_err();
    assert!((fault.measured - 0.1543).abs() < 1e-4, "{fault:?}");
    // A flat end leaves steps, a ball wider than the socket does not go in.
    let flat = tool(Profile::Flat { radius: 1.5 }, 40.0, 1.5);
    assert!(sphere.of(&flat).is_err());
    assert!(sphere.of(&tool(ball(10.1, 0.0), 40.0, 3.0)).is_err());
}

#[test]
fn a_groove_takes_the_overrun() {
    // Fact 3.7: r 1.5875 at 3 degrees runs 1.50442 below.
    let relief = |groove| Ask::Relief { draft: 0.0, groove };
    let finish = tool(ball(1.5875, 3.0), 38.0, 3.0);
    assert!(relief(1.8045).of(&finish).is_ok());
    let spare = relief(1.8).of(&finish).unwrap_err();
    assert_eq!(spare.severity, Severity::Warning);
    assert_eq!(
        relief(1.5).of(&finish).unwrap_err().severity,
        Severity::Error
    );
}

/// Whether a shank keeps off the walls of a hollow half ball, place by place of the contact.
fn shank_is_free(radius: f64, tip: f64, edges: f64, shank: f64) -> bool {
    (0..=900).all(|k| {
        let t = std::f64::consts::FRAC_PI_2 * f64::from(k) / 900.0;
        let (x, low) = ((radius - tip) * t.sin(), -(radius - tip) * t.cos() - tip);
        // The shank's outer line, from its lower end up to the split plane.
        (0..=200).all(|j| {
            let z = (low + edges) + (0.0 - low - edges) * f64::from(j) / 200.0;
            z > -1e-9 || (x + shank).hypot(z) <= radius + 1e-6
        })
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_shank_in_a_socket_by_search(
        radius in 6.0..14.0_f64, tip in 0.5..2.0_f64, edges in 2.0..15.0_f64, shank in 1.0..4.0_f64,
    ) {
        let sphere = Ask::Sphere { radius, hollow: true, most: 1.0 };
        let found = sphere.of(&tool(ball(tip, 0.0), edges, shank)).is_ok();
        let (wider, narrower) = (
            shank_is_free(radius, tip, edges, shank + 0.02),
            shank_is_free(radius, tip, edges, shank - 0.02),
        );
        if wider == narrower {
            prop_assert_eq!(found, wider);
        }
    }

    /// The tip's sphere touches a leaning wall; the shank begins over the edges.
    #[test]
    fn a_shank_beside_a_leaning_wall_by_search(
        draft in 0.5..12.0_f64, height in 5.0..25.0_f64, edges in 4.0..30.0_f64, shank in 1.0..5.0_f64,
    ) {
        let (tip, d) = (1.5, draft.to_radians());
        let ask = Ask::Along { draft: d, height, way_out: "" };
        let found = ask.of(&tool(ball(tip, 0.0), edges, shank)).is_ok();
        // Wall: x = z tan d from its foot; the axis stands at -x0, the tip's middle at z0, when
        // contact is at the foot.
        let (x0, z0) = (tip * d.cos(), tip * d.sin());
        let begin = z0 - tip + edges;
        let free = |shank: f64| (0..=400).all(|k| {
            let z = height * f64::from(k) / 400.0;
            z < begin || x0 + z * d.tan() >= shank
        });
        let (wider, narrower) = (free(shank + 0.05), free(shank - 0.05));
        if wider == narrower && (begin - height).abs() > 0.1 {
            prop_assert_eq!(found, wider, "{} {}", begin, x0);
        }
    }
}
