//! The cautions of the work: their one home, for checks and for every set of files.

use super::finding::{Finding, Subject};
use crate::chain::Creature;

/// To which creatures a caution applies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum When {
    Always,
    /// Some section is glued of two halves.
    Glued,
    /// Some part has tabs.
    Tabs,
    /// It is cut at all: no bench body.
    Cut,
}

/// What a maker must know. Short, and never a claim that a toy complies with anything.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Caution {
    /// As printed.
    pub text: &'static str,
    when: When,
}

const fn caution(when: When, text: &'static str) -> Caution {
    Caution { text, when }
}

/// All of them, in the order of the work.
pub const CAUTIONS: [Caution; 8] = [
    caution(
        When::Cut,
        "Router: spinning cutters maim. Wear eye and ear protection, keep hands clear, stay beside \
         a running machine, and check cutters, zero and clamps before each start. Close the collet \
         on the whole shank, and keep under the cutter's speed limit.",
    ),
    caution(
        When::Cut,
        "Dust: wood dust harms lungs and can ignite. Use extraction and a mask.",
    ),
    caution(
        When::Tabs,
        "Tabs: clamp the piece, and cut with the chisel away from the hand that holds it.",
    ),
    caution(
        When::Glued,
        "Adhesive: follow its maker's sheet. Instant glue heats on cotton; keep glue out of the \
         joints.",
    ),
    caution(
        When::Always,
        "Small parts: balls, tips and broken pieces can choke a child. What this program says of \
         small parts is a screening, not a test.",
    ),
    caution(
        When::Cut,
        "Finish: use one fit for things that go into mouths and let it cure. Oily rags can catch \
         fire by themselves; nut oils can cause allergies.",
    ),
    caution(
        When::Always,
        "Rules: the laws and standards for toys and for workshops where you are come first. This \
         program screens and warns; it never claims that a toy complies.",
    ),
    caution(
        When::Always,
        "Files: check every part and its size in mm in your own toolpath program before cutting.",
    ),
];

/// Those that apply to a creature.
pub fn applying(creature: &Creature) -> impl Iterator<Item = &'static Caution> {
    let cut = !creature.bench_only;
    let any = |has: fn(&crate::chain::SectionForm) -> bool| {
        cut && creature.sections.iter().any(|s| has(&s.form))
    };
    let (glued, tabs) = (any(|f| !f.whole), any(|f| !f.features.tabs.is_empty()));
    CAUTIONS.iter().filter(move |c| match c.when {
        When::Always => true,
        When::Cut => cut,
        When::Glued => glued,
        When::Tabs => tabs,
    })
}

/// Those that apply, as notes.
pub fn findings(subject: &Subject<'_>, creature: &Creature) -> Vec<Finding> {
    let all = applying(creature);
    all.map(|c| subject.notes("caution", c.text.to_owned()))
        .collect()
}
