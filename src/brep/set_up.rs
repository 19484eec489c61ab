//! The two set-ups in which a body is cut.

/// A set-up: which side of a body looks at the cutter, whose axis is +z.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SetUp {
    /// Split face up, the first: the half turned half a turn about x. Of a section in one piece, its
    /// side below the split plane up.
    InsideUp,
    /// Split face down, outer side up: the body's own frame.
    OutsideUp,
}

impl SetUp {
    /// Both, in the order of the work.
    pub const BOTH: [SetUp; 2] = [SetUp::InsideUp, SetUp::OutsideUp];

    /// Its name; a section in one piece has no inside.
    pub const fn word(self, whole: bool) -> &'static str {
        match (self, whole) {
            (SetUp::InsideUp, false) => "inside up",
            (SetUp::OutsideUp, false) => "outside up",
            (SetUp::InsideUp, true) => "lower side up",
            (SetUp::OutsideUp, true) => "upper side up",
        }
    }

    /// A place of the body as the set-up's cutter sees it, and back again.
    pub const fn turn(self, [x, y, z]: [f64; 3]) -> [f64; 3] {
        match self {
            SetUp::OutsideUp => [x, y, z],
            SetUp::InsideUp => [x, -y, -z],
        }
    }
}
