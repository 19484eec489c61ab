use super::*;
use crate::check::reach::Holder;

fn ball(tip: f64, degrees: f64) -> Profile {
    Profile::Ball {
        tip,
        taper: degrees.to_radians(),
        reach: 40.0,
    }
}

#[test]
fn taper_leaves_by_worked_values() {
    // R 10 at 3, 5, 10 degrees (shop practice, point 5).
    for (degrees, left) in [(3.0f64, 0.014), (5.0, 0.038), (10.0, 0.154)] {
        let found = taper_on_sphere(10.0, degrees.to_radians());
        assert!((found - left).abs() < 5e-4, "{found}");
    }
    // Fact 3.8: a wall of 9.525, upright.
    for (degrees, left) in [(3.0f64, 0.49918), (5.0, 0.83333), (6.2, 1.03475)] {
        let found = taper_on_wall(9.525, 0.0, degrees.to_radians());
        assert!((found - left).abs() < 1e-5, "{found}");
    }
    let five = 5f64.to_radians();
    assert_eq!(taper_on_wall(9.525, five, five), 0.0);
    assert!(steeper_than(&ball(1.5, 5.0), 0.08) && !steeper_than(&ball(1.5, 5.0), 0.09));
}

#[test]
fn overrun_by_worked_values() {
    // Fact 3.7.
    for (degrees, below) in [
        (0.0f64, 1.5875),
        (3.0, 1.50442),
        (5.0, 1.44914),
        (10.0, 1.31183),
        (30.0, 0.79375),
    ] {
        let found = overrun(&ball(1.5875, 0.0), degrees.to_radians());
        assert!((found - below).abs() < 1e-5, "{found}");
    }
    // An upright wall and a tapered cutter: the cone touches first.
    assert!((overrun(&ball(1.5875, 3.0), 0.0) - 1.50442).abs() < 1e-5);
    assert_eq!(overrun(&Profile::Flat { radius: 3.0 }, 0.0), 0.0);
    assert!(groove_takes(&ball(1.5875, 0.0), 0.0, 2.0, 0.3));
    assert!(!groove_takes(&ball(1.5875, 0.0), 0.0, 1.8, 0.3));
}

#[test]
fn holes_and_corners() {
    let flat = Profile::Flat { radius: 1.5875 };
    assert!(fits_hole(&flat, 1.5875, 10.0) && !fits_hole(&flat, 1.58, 10.0));
    // Fact 3.6: r 0.79375, 5 degrees: 1.60222 wide at 10.
    let tapered = ball(0.79375, 5.0);
    assert!(fits_hole(&tapered, 1.603, 10.0) && !fits_hole(&tapered, 1.602, 10.0));
    assert!((smallest_inside_radius(&tapered, 10.0) - 1.60222).abs() < 1e-5);
    // The ball is not sunk to its middle, yet it is as wide in plan.
    assert!((smallest_inside_radius(&ball(2.0, 0.0), 0.1) - 2.0).abs() < 1e-12);
}

#[test]
fn shank_and_holder() {
    let tool = Tool {
        profile: Profile::Flat { radius: 1.5 },
        cutting_length: 12.0,
        shank_radius: 3.0,
        holder: Some(Holder {
            radius: 10.0,
            over_tip: 25.0,
        }),
    };
    let beside = |distance, top| Beside { distance, top };
    assert_eq!(reaches(&tool, &[beside(1.5, 12.0)]), None);
    assert_eq!(reaches(&tool, &[beside(1.4, 5.0)]), Some(Obstacle::Edges));
    assert_eq!(reaches(&tool, &[beside(2.9, 12.1)]), Some(Obstacle::Shank));
    assert_eq!(reaches(&tool, &[beside(3.0, 25.0)]), None);
    assert_eq!(
        reaches(&tool, &[beside(1.5, 3.0), beside(9.9, 25.1)]),
        Some(Obstacle::Holder)
    );
    let bare = Tool {
        holder: None,
        ..tool
    };
    assert_eq!(reaches(&bare, &[beside(9.9, 60.0)]), None);
}

#[test]
fn room_between_end_and_ball() {
    // Ball of 10, its centre 14 behind the end: 4 at the split plane, 14 at the top.
    assert!((gap_to_ball(14.0, 10.0, 0.0, 0.0).unwrap() - 4.0).abs() < 1e-12);
    assert!((gap_to_ball(14.0, 10.0, 0.0, 10.0).unwrap() - 14.0).abs() < 1e-12);
    assert!(
        (gap_to_ball(14.0, 10.0, 0.1, 6.0).unwrap() - (6.0 + 6.0 * 0.1f64.tan())).abs() < 1e-12
    );
    assert_eq!(gap_to_ball(14.0, 10.0, 0.0, 10.1), None);
    // A straight ball of 2 sunk by its radius just passes a gap of 4; of 1.99 with 0.02 to spare.
    let room = least_room_behind(&ball(1.99, 0.0), 14.0, 10.0, 0.0, -1.99);
    assert!((room - 0.02).abs() < 1e-9, "{room}");
    assert!(!passes_behind(&ball(2.01, 0.0), 14.0, 10.0, 0.0, -2.01));
    // A taper needs more the deeper it stands.
    let room = least_room_behind(&ball(1.5, 10.0), 14.0, 10.0, 0.0, -1.5);
    assert!(
        room < 4.0 - 2.0 * 1.5 / 10f64.to_radians().cos() + 1e-12,
        "{room}"
    );
}
