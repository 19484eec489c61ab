//! The cautions that go with every set of files.

/// What a maker must know. Short, and never a claim that a toy complies with anything.
pub const CAUTIONS: [&str; 7] = [
    "Router: spinning cutters maim. Wear eye and ear protection, keep hands clear, stay beside \
     a running machine, and check cutters, zero and clamps before each start.",
    "Dust: wood dust harms lungs and can ignite. Use extraction and a mask.",
    "Adhesive: follow its maker's sheet. Instant glue heats on cotton; keep glue out of the \
     joints.",
    "Small parts: balls, tips and broken pieces can choke a child. What this program says of \
     small parts is a screening, not a test.",
    "Finish: use one fit for things that go into mouths and let it cure. Oily rags can catch \
     fire by themselves; nut oils can cause allergies.",
    "Rules: the laws and standards for toys and for workshops where you are come first. This \
     program screens and warns; it never claims that a toy complies.",
    "Files: check every part and its size in mm in your own toolpath program before cutting.",
];
