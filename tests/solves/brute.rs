//! Whether a grid over ball, neck and mouth has a joint that is better than the one that was found.

use limberwood::chain::joint::{JointWish, Rule, SWING_AGREEMENT, SWING_USUAL, solve};
use limberwood::chain::{Resolved, Seat, resolve, seats};
use limberwood::check::finding::Finding;
use limberwood::make::{Settings, check, formed, joint_findings};
use limberwood::params::written::{Design, Shop};
use limberwood::units::Unit;

use super::designs::Case;

/// What is compared: first the swing, within the agreement of written sizes; then the ball, which
/// decides how much wood is left round its socket.
#[derive(Debug, Clone, Copy)]
pub struct Worth {
    pub swing: f64,
    pub ball: f64,
}

impl Worth {
    /// Whether this is better, beyond what the rounding of sizes to 0.01 mm may take.
    pub fn beats(&self, other: &Worth) -> bool {
        let reached = |w: &Worth| w.swing >= SWING_USUAL - SWING_AGREEMENT;
        match (reached(self), reached(other)) {
            (true, true) => self.ball < other.ball - 0.02,
            (false, true) => false,
            (true, false) => true,
            (false, false) => self.swing > other.swing + SWING_AGREEMENT,
        }
    }
}

/// What the checks still say about the joint, all checks but the measured leftover.
pub fn open(resolved: &Resolved) -> Vec<Finding> {
    let settings = Settings::of(resolved, Unit::Mm);
    let warnings = resolved.warnings.clone().sorted();
    let all = check(resolved, &settings, &warnings, &|_, _| {});
    let words = ["joint after", "socket", "mouth", "flare", "neck", "ball"];
    let about = |f: &Finding| {
        f.message.rule != "pinch-gap"
            && (f.subject.starts_with("joint after") || words.iter().any(|w| spoken(f).contains(w)))
    };
    all.into_iter().filter(|f| f.open() && about(f)).collect()
}

/// What a finding says, but for the names of cutters.
fn spoken(finding: &Finding) -> String {
    finding.message.found.replace("`tapered ball`", "")
}

/// A joint of the grid that passes all checks and beats `found`; `None` is beaten by any.
pub fn better(case: &Case, shop: &Shop, found: Option<Worth>) -> Option<String> {
    let seat = &seats(&case.design(""), shop)[0];
    for ball in (11 * 2)..(30 * 2) {
        for neck in [6.35, 6.75, 7.0, 7.1, 7.25, 7.6, 8.0, 8.1, 8.5] {
            for part in 0..24 {
                let ball = f64::from(ball) * 0.5;
                let mouth = (ball * (0.6 + 0.0125 * f64::from(part)) * 100.0).floor() / 100.0;
                if let Some(joint) = beats(case, shop, [ball, neck, mouth], seat, found) {
                    return Some(joint);
                }
            }
        }
    }
    None
}

fn beats(
    case: &Case,
    shop: &Shop,
    [ball, neck, mouth]: [f64; 3],
    seat: &Seat,
    found: Option<Worth>,
) -> Option<String> {
    // Closed forms first: what does not beat is not built.
    let wish = JointWish {
        ball: Some(0.5 * ball),
        neck: Some(0.5 * neck),
        mouth: Some(0.5 * mouth),
        ..JointWish::default()
    };
    let solved = solve(&wish, &seat.defaults, seat.face).ok()?;
    let joint = solved.joint;
    if solved.warnings.iter().any(|w| w.rule != Rule::PinchGap) {
        return None;
    }
    let rough = Worth {
        swing: joint.swing,
        ball,
    };
    if joint.swing > SWING_USUAL + 1e-9 || found.is_some_and(|f| !rough.beats(&f)) {
        return None;
    }
    let text = format!("joint: {{ball: {ball}, neck: {neck}, mouth: {mouth}}}\n");
    let resolved = resolve(&case.design(&text), shop).ok()?;
    let worth = Worth {
        swing: resolved.joints[0].joint.swing,
        ball,
    };
    if found.is_some_and(|f| !worth.beats(&f)) || !by_form(&resolved) {
        return None;
    }
    open(&resolved).is_empty().then_some(text)
}

/// The quick checks, so that few joints are built.
fn by_form(resolved: &Resolved) -> bool {
    let told = |w: &limberwood::diagnostic::Diagnostic| {
        w.found.contains("joint after") && w.rule != "pinch-gap"
    };
    if resolved.warnings.iter().any(told) {
        return false;
    }
    let settings = Settings::of(resolved, Unit::Mm);
    let joint = joint_findings(resolved, &settings, 0);
    if joint
        .iter()
        .any(|f| f.open() && f.message.rule != "pinch-gap")
    {
        return false;
    }
    let parts = formed(resolved, &settings, &[0, 1]);
    let stock = |f: &Finding| f.open() && f.message.rule == "stock";
    parts
        .iter()
        .all(|p| p.thin.is_empty() && !p.findings.iter().any(stock))
}

/// The joints of a design with values for all.
pub fn resolved(design: &Design, shop: &Shop) -> Resolved {
    match resolve(design, shop) {
        Ok(resolved) => resolved,
        Err(refused) => panic!("{refused}"),
    }
}
