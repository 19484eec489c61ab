//! Undercut and leftover on halves of shipped designs, with the built-in shop's cutters.

use limberwood::brep::pose::{Pose, posed};
use limberwood::brep::set_up::SetUp;
use limberwood::brep::shape::{FaceKind, Half};
use limberwood::chain::{Resolved, resolve};
use limberwood::check::reach::{Fineness, Left, Profile, Surroundings, Tool, leftover};
use limberwood::check::undercut::undercut;
use limberwood::export::step::Stamp;
use limberwood::make::{Model, Place, Settings, model, parts};
use limberwood::mesh::{Mesh, tessellate};
use limberwood::params::{BUILT_IN_SHOP, read_design_str, read_shop_str};

const CATERPILLAR: &str = include_str!("../../params/caterpillar.yaml");
const NEWT: &str = include_str!("../../params/newt.yaml");
const DEVIATION: f64 = 0.02;

fn resolved(design: &str) -> Resolved {
    let (design, _) = read_design_str(design, "design").expect("a design");
    let (shop, _) = read_shop_str(BUILT_IN_SHOP, "shop").expect("a shop");
    resolve(&design, &shop).expect("a creature")
}

/// Halves of sections cut as two, finished.
fn halves(creature: &Resolved, most: usize) -> Vec<Model> {
    let settings = Settings {
        unit: limberwood::units::Unit::Mm,
        deviation: DEVIATION,
        place: Place::Creature,
        only: None,
        from: None,
        stamp: Stamp::default(),
        leftover: false,
    };
    let plans = parts(creature, &settings);
    plans
        .iter()
        .filter(|p| !creature.creature.sections[p.section].form.whole)
        .take(most)
        .map(|plan| {
            let half = plan.half(&creature.creature.sections[plan.section]);
            model(&half, DEVIATION, &creature.walls, true).expect("a half")
        })
        .collect()
}

/// The built-in shop's cutters: eighth flat and tapered ball inside, quarter flat and tapered
/// ball outside.
fn tools(up: SetUp) -> [Tool; 2] {
    let flat = if up == SetUp::InsideUp { 3.175 } else { 6.35 };
    let tool = |profile, cutting_length, shank| Tool {
        profile,
        flat_taper: 0.0,
        cutting_length,
        shank_radius: 0.5 * shank,
        holder: None,
    };
    let ball = Profile::Ball {
        tip: 1.5875,
        taper: 3f64.to_radians(),
        reach: 38.1,
    };
    [
        tool(ball, 38.1, 6.35),
        tool(Profile::Flat { radius: 0.5 * flat }, 25.4, flat),
    ]
}

/// Outside: the groove of 2 in a window of 9.5, the board of 19.05 beyond. Inside: the cutter may
/// run into the surround.
fn around(up: SetUp) -> Surroundings {
    match up {
        SetUp::InsideUp => Surroundings {
            window: 9.5,
            floor: -60.0,
            stock_top: -60.0,
        },
        _ => Surroundings {
            window: 9.5,
            floor: -2.0,
            stock_top: 19.05,
        },
    }
}

fn seen_whole(half: &Half, mesh: &Mesh) {
    for up in SetUp::BOTH {
        let hidden = undercut(half, mesh, up);
        assert!(hidden.is_empty(), "{up:?}: {hidden:?}");
    }
}

#[test]
fn nothing_of_the_designs_is_undercut() {
    for design in [CATERPILLAR, NEWT] {
        for made in halves(&resolved(design), 6) {
            seen_whole(&made.half, &made.mesh);
        }
    }
}

#[test]
fn upside_down_is_seen() {
    let made = &halves(&resolved(CATERPILLAR), 1)[0];
    let turned = posed(
        &made.half,
        Pose {
            quarters: 2,
            ..Pose::NONE
        },
    );
    let mesh = tessellate(&turned, DEVIATION).expect("a mesh");
    let hidden = undercut(&turned, &mesh, SetUp::OutsideUp);
    let skin = hidden.iter().find(|h| h.kind == FaceKind::Skin);
    assert!(skin.expect("the skin is hidden").area_mm2 > 1000.0);
    let inside = undercut(&turned, &mesh, SetUp::InsideUp);
    let split = inside.iter().find(|h| h.kind == FaceKind::SplitFace);
    assert!(split.expect("the split face is hidden").area_mm2 > 500.0);
}

#[test]
fn an_overhang_is_seen() {
    let made = &halves(&resolved(CATERPILLAR), 1)[0];
    let mut mesh = made.mesh.clone();
    // A roof of 6 x 6 over the middle of the skin, one triangle pair looking up.
    let (low, high) = mesh.bounds();
    let [x, z] = [0.5 * (low[0] + high[0]), high[2] + 1.0];
    let first = mesh.positions.len() as u32;
    for (dx, dy) in [(-3.0, -3.0), (3.0, -3.0), (3.0, 3.0), (-3.0, 3.0)] {
        mesh.positions.push([x + dx, dy, z]);
    }
    let kinds = &made.half.kinds;
    let skin = kinds
        .iter()
        .position(|k| *k == FaceKind::Skin)
        .expect("a skin");
    for t in [[0, 1, 2], [0, 2, 3]] {
        mesh.triangles.push(t.map(|k: u32| k + first));
        mesh.face.push(skin as u32);
    }
    let hidden = undercut(&made.half, &mesh, SetUp::OutsideUp);
    assert_eq!(hidden.len(), 1, "{hidden:?}");
    // The skin below is at least as large as the roof in plan, and not steep.
    assert_eq!(hidden[0].kind, FaceKind::Skin);
    assert!((35.0..50.0).contains(&hidden[0].area_mm2), "{hidden:?}");
    assert!(hidden[0].deepest_mm >= 1.0, "{hidden:?}");
}

fn left(made: &Model, change: fn(Tool) -> Tool) -> Vec<Left> {
    SetUp::BOTH
        .into_iter()
        .flat_map(|up| {
            let tools = tools(up).map(change);
            leftover(
                &made.half,
                &made.mesh,
                up,
                &tools,
                &around(up),
                0.4,
                Fineness::default(),
            )
        })
        .collect()
}

/// Kinds of faces on which more is left than their limit, the mesh taken off.
fn over(left: &[Left]) -> Vec<FaceKind> {
    let over = left.iter().filter(|l| {
        let against = l.judged;
        against.normal_mm - l.depth_error_mm > against.limit_mm
    });
    over.map(|l| l.kind).collect()
}

#[test]
fn little_is_left_on_a_caterpillar() {
    for made in halves(&resolved(CATERPILLAR), 3) {
        let left = left(&made, |tool| tool);
        assert_eq!(over(&left), [], "{left:?}");
        let volume: f64 = left.iter().map(|l| l.volume_mm3).sum();
        assert!(volume > 0.0, "{left:?}");
    }
}

#[test]
fn a_wide_ball_leaves_too_much_in_the_fillet() {
    let made = &halves(&resolved(CATERPILLAR), 3)[2];
    let left = left(made, |tool| Tool {
        profile: match tool.profile {
            Profile::Ball { taper, .. } => Profile::Ball {
                tip: 4.0,
                taper,
                reach: 38.1,
            },
            flat => flat,
        },
        ..tool
    });
    assert!(over(&left).contains(&FaceKind::Fillet), "{left:?}");
}
