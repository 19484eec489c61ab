//! What the joint room finds: a rule, the keys in conflict with their values, measured against
//! limit, and the values that would agree. Pure records; the resolver adds places and words.

/// A key of a joint record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum JointKey {
    /// Diameter of the ball.
    Ball,
    /// Radial clearance.
    Clearance,
    /// Diameter of the neck.
    Neck,
    /// Diameter of the mouth.
    Mouth,
    /// Swing.
    Swing,
    /// Half-angle of the flare.
    Flare,
    /// Ring of wood round the mouth.
    Land,
    /// Rest gap.
    Gap,
    /// Fillet between neck and ball.
    Fillet,
}

impl JointKey {
    /// The four that one relation ties (`core`).
    pub const TIED: [JointKey; 4] = [
        JointKey::Ball,
        JointKey::Neck,
        JointKey::Mouth,
        JointKey::Swing,
    ];

    /// All keys, in the order of the file.
    pub const ALL: [JointKey; 9] = [
        JointKey::Ball,
        JointKey::Clearance,
        JointKey::Neck,
        JointKey::Mouth,
        JointKey::Swing,
        JointKey::Flare,
        JointKey::Land,
        JointKey::Gap,
        JointKey::Fillet,
    ];

    /// The key as written in a design file.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            JointKey::Ball => "ball",
            JointKey::Clearance => "clearance",
            JointKey::Neck => "neck",
            JointKey::Mouth => "mouth",
            JointKey::Swing => "swing",
            JointKey::Flare => "flare",
            JointKey::Land => "land",
            JointKey::Gap => "gap",
            JointKey::Fillet => "fillet",
        }
    }

    /// The value as a file writes it (diameters), from the value inside (radii).
    #[must_use]
    pub fn written(self, inside: f64) -> Measure {
        match self {
            JointKey::Ball | JointKey::Neck | JointKey::Mouth => Measure::Length(2.0 * inside),
            JointKey::Swing | JointKey::Flare => Measure::Angle(inside),
            _ => Measure::Length(inside),
        }
    }
}

/// A number with its kind.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Measure {
    /// Millimetres.
    Length(f64),
    /// Radians.
    Angle(f64),
}

impl Measure {
    /// The bare number, mm or radians.
    #[must_use]
    pub fn value(self) -> f64 {
        match self {
            Measure::Length(v) | Measure::Angle(v) => v,
        }
    }
}

/// What was broken. Each rule either refuses or warns ([`Rule::refuses`]).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Rule {
    /// A size is not a positive number (a fillet may be 0).
    Size,
    /// Swing, mouth, neck (and ball) are all given and do not belong together.
    Agreement,
    /// The mouth is as wide as the ball, or wider: the ball falls out.
    Capture,
    /// No mouth narrower than the ball gives the wanted swing.
    SwingTooWide,
    /// The neck is as thick as the ball.
    NeckInBall,
    /// The neck, pushed aside by the clearance, fills the mouth.
    NeckInMouth,
    /// The mouth leaves no neck at the wanted swing.
    NoNeck,
    /// The fillet touches the mouth's edge before any swing.
    FilletInMouth,
    /// The fillet begins before the neck has left its end face.
    FilletLength,
    /// The flare cone is outside the angles that can be built.
    FlareAngle,
    /// The flare ends outside the face it opens in.
    FlareInFace,
    /// The faces meet before the ball rests in its socket.
    GapTooSmall,
    /// Swing beyond what is usual.
    WideSwing,
    /// The mouth holds the ball by little.
    ThinCapture,
    /// Clearance beyond what is usual.
    OddClearance,
    /// The neck is thin for prying at the stop.
    ThinNeck,
    /// The ring of wood round the mouth is thin.
    ThinLand,
    /// The flare is narrower than the swing: the neck meets the flare's outer edge first.
    NarrowFlare,
    /// A finger can be pinched between the faces.
    PinchGap,
    /// Flat faces meet before the neck meets the mouth.
    FacesMeet,
}

impl Rule {
    /// Whether the joint is refused; otherwise a warning.
    #[must_use]
    pub fn refuses(self) -> bool {
        self < Rule::WideSwing
    }

    /// Whether the limit is mere habit: common practice without a source.
    #[must_use]
    pub fn is_habit(self) -> bool {
        matches!(
            self,
            Rule::WideSwing
                | Rule::ThinCapture
                | Rule::OddClearance
                | Rule::ThinNeck
                | Rule::ThinLand
        )
    }
}

/// One thing found.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// The rule.
    pub rule: Rule,
    /// The keys in conflict, each with its value inside (radii, mm, radians), written or
    /// followed from others.
    pub values: Vec<(JointKey, f64)>,
    /// What was measured.
    pub measured: Measure,
    /// The limit it broke.
    pub limit: Measure,
    /// Values that agree, each alone in place of its key; values inside. For a one-sided limit
    /// the farthest value that still agrees.
    pub agrees: Vec<(JointKey, f64)>,
}
