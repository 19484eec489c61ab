//! What `limberwood new` makes of a design before it writes anything.

use std::collections::BTreeSet;

use super::choose::Choices;
use super::nearest::nearest;
use super::{Stop, cannot, refused};
use crate::blank::Layout;
use crate::chain::Resolved;
use crate::check::finding::{Finding, Verdict};
use crate::cli::outcome::Outcome;
use crate::cli::print;
use crate::cli::progress::with_progress;
use crate::kinds::Ruler;
use crate::make::{Laid, PageError, Settings, check, lay_out, look, page};
use crate::params::written::Shop;
use crate::picture::{Size, View};
use crate::units::{Angle, MM_PER_INCH, Unit, angle_text};

/// What is made before anything is written.
pub struct Proof {
    /// The page.
    pub html: String,
    /// The picture, PNG.
    pub picture: Vec<u8>,
    /// One sentence of computed facts.
    pub sentence: String,
}

/// Checks the creature, and makes its page, picture and layout; `own_shop` was there before.
pub fn prove(
    resolved: &Resolved,
    choices: &Choices,
    (own_shop, quiet): (bool, bool),
    outcome: &mut Outcome,
) -> Result<Proof, Stop> {
    let settings = Settings {
        leftover: true,
        ..Settings::of(resolved, choices.frame.unit)
    };
    let findings = with_progress(quiet, |step| {
        check(resolved, &settings, &outcome.messages, step)
    });
    if Verdict::of(&findings) == Verdict::FixFirst {
        outcome.checked(findings);
        return Err(Stop::Messages);
    }
    let laid = match lay_out(resolved, &settings, 1) {
        Ok(laid) => Some(laid),
        // A shop of one's own may say nothing of its pieces yet; ours always does.
        Err(errors) if own_shop => {
            print::say(&errors.to_string());
            None
        }
        Err(errors) => return Err(refused(errors, outcome)),
    };
    let made = page(resolved, &settings, &findings).map_err(|e| match e {
        PageError::Design(errors) => refused(errors, outcome),
        PageError::Picture(e) => cannot(e),
    })?;
    let html = made.html().map_err(cannot)?;
    let drawn = look(resolved, &settings, &View::FRONT_LEFT, Size::default());
    let drawn = drawn.map_err(|errors| refused(errors, outcome))?;
    let picture = drawn.png().map_err(cannot)?;
    outcome.checked(findings);
    let sentence = sentence(resolved, laid.as_ref(), choices.frame.unit);
    Ok(Proof {
        html,
        picture,
        sentence,
    })
}

/// Sizes nearer to each other than this are the same to who asks, mm (habit).
pub const SAME: f64 = 0.5;
/// Stock that is usual, mm: 3/4 in, the thickness of planed boards (common practice, no source).
const USUAL_STOCK: f64 = 0.75 * MM_PER_INCH;

/// Which choice to change when these are refused: one that was found to pass, else stock or wood.
pub fn way_out(choices: &Choices, shop: &Shop, asked: (bool, bool)) -> String {
    let frame = &choices.frame;
    let ruler = Ruler { unit: frame.unit };
    let found = nearest(choices, shop, asked, Verdict::CutACouponFirst);
    let found = found.map(|options| format!("what was found to pass is {options}"));
    let change = found.unwrap_or_else(|| {
        let none = "no length and no number of sections that was tried passes; change";
        if (frame.stock - USUAL_STOCK).abs() >= SAME {
            let stock = ruler.words(frame.stock);
            format!("{none} --stock: {stock} was asked for, 3/4 in (19.05 mm) is usual")
        } else {
            format!("{none} the wood or the kind")
        }
    });
    format!("error: these choices do not go together; {change}")
}

/// The warnings that are open, and what leaves none; nothing when there is none.
pub fn warned(findings: &[Finding], find: impl FnOnce() -> Option<String>) -> Option<String> {
    let open = findings.iter().filter(|f| f.open());
    let checks: BTreeSet<&str> = open.map(|f| f.message.rule.as_str()).collect();
    if checks.is_empty() {
        return None;
    }
    let checks: Vec<&str> = checks.into_iter().collect();
    let way_out = find().map_or("to change or to accept".to_owned(), |options| {
        format!("none with {options}")
    });
    Some(format!(
        "warnings are open ({}); {way_out}",
        checks.join(", ")
    ))
}

/// One sentence of computed facts.
fn sentence(resolved: &Resolved, laid: Option<&Laid>, unit: Unit) -> String {
    let ruler = Ruler { unit };
    let creature = &resolved.creature;
    let held = resolved.joints.iter().map(|j| j.joint.ball - j.joint.mouth);
    let held = held.fold(f64::INFINITY, f64::min);
    let last = creature.sections.last();
    let length = last.map_or(0.0, |s| s.x + s.form.length);
    let sections = creature.sections.len();
    let laid = laid.map_or(String::new(), |laid| {
        let blanks = laid.blanks.layouts.iter().map(Layout::pieces).sum();
        let counted = |n: usize, word: &str| match n {
            1 => format!("1 {word}"),
            _ => format!("{n} {word}s"),
        };
        let (sizes, blanks) = (counted(laid.parts.len(), "size"), counted(blanks, "blank"));
        format!(" in {sizes}, {blanks}")
    });
    format!(
        "{} holds (every mouth is {} or more narrower all round than its ball), swings {}, is {} long: \
         {sections} sections{laid}; first cut the coupon.",
        creature.name,
        ruler.words(held),
        swing(resolved),
        ruler.words(length),
    )
}

/// Least and greatest swing.
fn swing(resolved: &Resolved) -> String {
    let swings = || resolved.joints.iter().map(|j| j.joint.swing);
    let text = |rad: f64| angle_text(Angle::from_radians(rad)).replace(" deg", "");
    let least = text(swings().fold(f64::INFINITY, f64::min));
    let most = text(swings().fold(0.0, f64::max));
    if least == most {
        format!("{least} degrees")
    } else {
        format!("{least} to {most} degrees")
    }
}
