//! The flip: facts 6.8 to 6.13 by moving wood about, and what they do to a budget.

use limberwood::blank::{Placed, ball_steps};
use limberwood::chain::Resolved;
use limberwood::chain::joint::flip::{FlipPlay, FlipStep};
use limberwood::check::finding::{Amount, Finding, Row};
use limberwood::diagnostic::Severity;
use limberwood::make::{Laid, check};

use super::cases;
use super::designs::{PAIR, Shop, laid, resolved, settings};
use super::draw::Draw;

/// How wood that lies with its outside up comes to lie: turned by an angle about a place of the
/// machine, then moved.
#[derive(Clone, Copy)]
struct Moved {
    turn: f64,
    about: [f64; 2],
    by: [f64; 2],
}

impl Moved {
    /// Where on the piece a cut comes that is meant for `p`: what lies there under the cutter.
    fn cut(&self, p: [f64; 2]) -> [f64; 2] {
        let [x, y] = [0, 1].map(|k: usize| p[k] - self.by[k] - self.about[k]);
        let (sin, cos) = (-self.turn).sin_cos();
        let turned = [cos * x - sin * y, sin * x + cos * y];
        [0, 1].map(|k: usize| turned[k] + self.about[k])
    }

    /// Wood turned over about a line through `on`, askew by `skew`, when the program takes the line
    /// through the dowels: a half turn about the one undone by a half turn about the other. The plan
    /// of a half turn is a reflection, and two of them are a turn by twice the angle (fact 6.8).
    fn line(on: [f64; 2], skew: f64, off: f64) -> Self {
        let turn = 2.0 * skew;
        // The line through `on` moved across by `off`: reflect `on` in it.
        let across = [-skew.sin(), skew.cos()];
        Moved {
            turn,
            about: on,
            by: [0, 1].map(|k: usize| 2.0 * off * across[k]),
        }
    }

    /// Dowels at two places that let the holes over them move by these.
    fn dowels(at: [[f64; 2]; 2], along: f64, across: [f64; 2]) -> Self {
        let span = at[1][0] - at[0][0];
        Moved {
            turn: ((across[1] - across[0]) / span).atan(),
            about: [0, 1].map(|k: usize| 0.5 * (at[0][k] + at[1][k])),
            by: [along, 0.5 * (across[0] + across[1])],
        }
    }
}

/// A place on a piece in the frame of the section.
fn in_section(placed: &Placed, at: [f64; 2]) -> [f64; 2] {
    let sign = if placed.turned { -1.0 } else { 1.0 };
    let [x, y] = [0, 1].map(|k: usize| sign * (at[k] - placed.at[k]));
    // The lower half is the section's lower side turned over about x.
    if placed.side == 0 { [x, y] } else { [x, -y] }
}

/// The step between the halves of a ball, glued on their pins, which the flip did not move. A ball in
/// one piece has its lower side from the first set-up.
fn step(upper: &Placed, lower: Option<&Placed>, x: f64, wood: &Moved) -> f64 {
    let ball = |p: &Placed| in_section(p, wood.cut(p.apply([x, 0.0])));
    let one = ball(upper);
    let other = lower.map_or([x, 0.0], ball);
    (one[0] - other[0]).hypot(one[1] - other[1])
}

/// A way in which the dowels of this slip lie, at most as far as they can.
fn draw_dowels(draw: &mut Draw, at: [[f64; 2]; 2], slip: f64) -> Moved {
    loop {
        let [along, front, rear] = [0; 3].map(|_| 0.5 * slip * draw.between(-1.0, 1.0));
        if along.hypot(front) <= 0.5 * slip && along.hypot(rear) <= 0.5 * slip {
            return Moved::dowels(at, along, [front, rear]);
        }
    }
}

/// Looks at every ball of a layout; how many there were.
fn look(laid: &Laid, draw: &mut Draw, draws: u32) -> usize {
    let mut seen = 0;
    for (layout, kind) in laid.blanks.kinds() {
        let at = layout.dowels.map(|d| d.at);
        let slip = layout.flip.play.slip;
        for found in ball_steps(layout, kind, &laid.parts) {
            let upper = &kind.placed[found.placed];
            let two = laid.parts[found.part].windows.len() == 2;
            let lower = two.then(|| &kind.placed[found.placed + 1]);
            let x = laid.parts[found.part].balls[found.ball].x;
            let of = |wood: &Moved| step(upper, lower, x, wood);
            let mut most = 0.0f64;
            let mut sum = 0.0;
            for _ in 0..draws {
                let one = of(&draw_dowels(draw, at, slip));
                (most, sum) = (most.max(one), sum + one);
            }
            let mean = sum / f64::from(draws);
            // The worst lies where each dowel is as far off as it can be.
            for k in 0..720 {
                let (sin, cos) = (std::f64::consts::TAU * f64::from(k) / 720.0).sin_cos();
                let r = 0.5 * slip;
                for rear in [1.0, -1.0] {
                    most = most.max(of(&Moved::dowels(at, r * cos, [r * sin, rear * r * sin])));
                }
            }
            let FlipStep {
                worst,
                likely,
                per_line,
                per_turn,
            } = found.step;
            assert!((most / worst - 1.0).abs() < 2e-3, "{most} {worst}");
            assert!((mean / likely - 1.0).abs() < 0.03, "{mean} {likely}");
            let middle = [0, 1].map(|k: usize| 0.5 * (at[0][k] + at[1][k]));
            let line = of(&Moved::line(middle, 0.0, 0.1));
            assert!((line - 0.1 * per_line).abs() < 1e-9, "{line} {per_line}");
            let skewed = of(&Moved::line(middle, 1e-6, 0.0));
            let wanted = 1e-6 * layout.flip.per_skew * per_turn;
            assert!((skewed - wanted).abs() < 1e-9, "{skewed} {wanted}");
            seen += 1;
        }
    }
    seen
}

#[test]
fn the_worked_values() {
    // Fact 6.11: play 0.1, 200 apart: 0.05 mm, 0.0005 rad = 0.02865 deg, 0.075 mm at 150 (derived).
    let play = FlipPlay {
        span: 200.0,
        slip: 0.1,
    };
    assert!((play.shift() - 0.05).abs() < 1e-12 && (play.turn() - 0.0005).abs() < 1e-12);
    assert!((play.turn().to_degrees() - 0.02865).abs() < 1e-5);
    assert!((play.moves([150.0, 0.0]) - 0.075).abs() < 1e-12);
    // Fact 6.9: a line 0.1 off moves by 0.2. Fact 6.10: askew by 0.05 deg, 0.2618 mm at 150 (derived).
    let wood = Moved::line([0.0; 2], 0.0, 0.1);
    let [x, y] = wood.cut([40.0, 70.0]);
    assert!((x - 40.0).abs() < 1e-12 && (70.0 - y - 0.2).abs() < 1e-12);
    let skew = 0.05f64.to_radians();
    let [x, y] = Moved::line([0.0; 2], skew, 0.0).cut([150.0, 0.0]);
    assert!(((x - 150.0).hypot(y) - 0.2618).abs() < 1e-4);
    let laid = laid(&resolved(PAIR, &Shop::default().text()).unwrap(), 1);
    let flip = &laid.blanks.layouts[0].flip;
    assert_eq!((flip.per_line, flip.per_skew), (2.0, 2.0));
}

#[test]
fn balls_step_as_moved_wood_says() {
    let mut seen = 0;
    for case in 0..cases(6) {
        let mut draw = Draw::of(case);
        let stock = format!(
            "thickness: 40, length: {:.1}, width: {:.1}",
            draw.between(160.0, 420.0),
            draw.between(150.0, 260.0)
        );
        let more = format!("fits: {{slip: {:.2}}}\n", draw.between(0.05, 0.5));
        let shop = Shop {
            stock: &stock,
            more: &more,
            ..Shop::default()
        };
        // Now and then the head is cut in one piece.
        let whole = "- name: head\n  whole: true\n";
        let design = match draw.chance(0.4) {
            true => PAIR.replace("- name: head\n", whole),
            false => PAIR.to_owned(),
        };
        let resolved = resolved(&design, &shop.text()).unwrap();
        seen += look(&laid(&resolved, 1 + draw.pick(3)), &mut draw, 20_000);
    }
    assert!(seen as u64 >= cases(6), "{seen}");
}

#[test]
fn a_warning_of_a_layout_is_accepted_by_name() {
    let accept = format!("{PAIR}accept:\n- {{check: flip, reason: a coupon moved}}\n");
    let shop = Shop {
        stock: "thickness: 20, length: 160, width: 300",
        more: "fits: {slip: 0.4}\n",
        ..Shop::default()
    };
    let resolved = resolved(&accept, &shop.text()).unwrap();
    let all = of_flip(&resolved, &laid(&resolved, 1));
    assert_eq!(all[0].message.severity, Severity::Warning);
    assert!(!all[0].open() && all[0].to_string().contains("accepted: a coupon moved"));
    // `check` lays nothing out: there the acceptance is no mistake.
    let checked = check(&resolved, &settings(&resolved), &[], &|_, _| {});
    let about = checked
        .iter()
        .filter(|f| f.to_string().contains("is accepted, but"));
    assert_eq!(about.count(), 0);
}

fn of_flip(resolved: &Resolved, laid: &Laid) -> Vec<Finding> {
    let mut all = laid.findings(resolved, &settings(resolved));
    all.retain(|f| f.message.rule == "flip");
    all
}

fn cell(row: &Row, head: &str) -> f64 {
    match row.cell(head) {
        Some(Amount::Length(mm)) => mm,
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_short_piece_with_loose_dowels_warns_and_a_long_one_does_not() {
    let find = |stock: &str, slip: f64| {
        let more = format!("fits: {{slip: {slip}}}\n");
        let shop = Shop {
            stock,
            more: &more,
            ..Shop::default()
        };
        let resolved = resolved(PAIR, &shop.text()).unwrap();
        let laid = laid(&resolved, 1);
        let mut all = of_flip(&resolved, &laid);
        assert_eq!(all.len(), 1, "one joint");
        let joint = &resolved.joints[0];
        (all.remove(0), joint.joint.clearance)
    };
    let (good, _) = find("thickness: 20, length: 400, width: 180", 0.15);
    assert_eq!(good.message.severity, Severity::Note, "{good}");
    let (bad, clearance) = find("thickness: 20, length: 160, width: 300", 0.4);
    assert_eq!(bad.message.severity, Severity::Warning, "{bad}");
    assert!(bad.open() && bad.message.way_out.contains("further apart"));
    let limit = bad.limit.as_ref().map(|l| l.amount);
    assert_eq!(limit, Some(Amount::Length(0.4)));
    let Some(Amount::Length(step)) = bad.measured else {
        panic!("{bad}");
    };
    assert!(step > 0.42);
    // Half of the step is lost; the rows add up to what is left.
    for head in ["worst", "likely"] {
        let (left, parts) = bad.rows.split_last().unwrap();
        let sum: f64 = parts.iter().map(|r| cell(r, head)).sum();
        assert!((sum - cell(left, head)).abs() < 1e-12 && sum < clearance);
    }
    let row = bad.rows.iter().find(|r| r.name == "flip step").unwrap();
    assert!((cell(row, "worst") + 0.5 * step).abs() < 1e-12);
}
