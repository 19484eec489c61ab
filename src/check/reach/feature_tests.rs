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
}

fn tool(profile: Profile) -> Tool {
    Tool {
        profile,
        flat_taper: 0.0,
        cutting_length: 40.0,
        shank_radius: 1.0,
        holder: None,
    }
}

#[test]
fn holes_and_corners() {
    // Fact 3.6: r 0.79375, 5 degrees: 1.60222 wide at 10.
    let tapered = tool(ball(0.79375, 5.0));
    assert!((tapered.widest_to(10.0) - 1.60222).abs() < 1e-5);
    // The ball is not sunk to its middle, yet it is as wide in plan.
    assert!((tool(ball(2.0, 0.0)).widest_to(0.1) - 2.0).abs() < 1e-12);
    let flat = Tool {
        flat_taper: 10f64.to_radians(),
        ..tool(Profile::Flat { radius: 0.4 })
    };
    assert!((flat.widest_to(1.0) - 0.4 - 10f64.to_radians().tan()).abs() < 1e-12);
    let beside = |distance| {
        [Beside {
            distance,
            top: 10.0,
        }]
    };
    assert_eq!(reaches(&tapered, &beside(1.603)), None);
    assert_eq!(reaches(&tapered, &beside(1.602)), Some(Obstacle::Edges));
    // Fact 3.10 on the floor of a pocket: (sqrt 2 - 1) r.
    assert!((left_in_corner(1.5875) - 0.657_564).abs() < 1e-5);
}

#[test]
fn shank_and_holder() {
    let tool = Tool {
        profile: Profile::Flat { radius: 1.5 },
        flat_taper: 0.0,
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
fn room_behind_a_ball_by_search() {
    // Ball of 10, neck of 4: a circle in plan beside neck and ball, as near to the ball as it goes.
    let stem = |fillet| Stem {
        ball: 10.0,
        neck: 4.0,
        fillet,
    };
    for (fillet, radius, reach) in [(1.75, 1.5875, 14.0), (0.0, 1.5, 13.0), (1.0, 2.4, 13.5)] {
        // Its centre lies beside the neck; of all places along it the nearest that is free.
        let (own, touch) = (stem(fillet), stem(fillet.max(radius)));
        let free = |x: f64| {
            let y = touch.neck + touch.fillet;
            x.hypot(y) + 1e-9 >= own.ball + touch.fillet
        };
        let nearest = (0..200_000).map(|k| f64::from(k) * 1e-4).find(|&x| free(x));
        let room = reach - nearest.unwrap() - radius;
        let found = room_behind(&own, reach, radius);
        assert!((found - room).abs() < 2e-4, "{found} {room}");
    }
    // Without a fillet: 13 - sqrt(11.5^2 - 5.5^2) - 1.5.
    let room = room_behind(&stem(0.0), 13.0, 1.5);
    assert!((room - (11.5 - 102f64.sqrt())).abs() < 1e-12, "{room}");
}
