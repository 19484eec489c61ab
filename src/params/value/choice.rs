//! Values that are one of a few words.

use serde_json::{Map, Value as Json, json};

use crate::diagnostic::Place;
use crate::params::limits::Limits;
use crate::params::near::did_you_mean;
use crate::params::reader::{Reader, shortened};
use crate::params::record::Value;
use crate::params::tree::{Kind, Node};
use crate::units::Unit;

/// Reads one of a few words.
fn read_word<T: Copy>(
    node: &Node,
    place: &Place,
    words: &[(&'static str, T)],
    reader: &mut Reader,
) -> Option<T> {
    let known = || words.iter().map(|(word, _)| *word);
    let allowed = known()
        .map(|word| format!("`{word}`"))
        .collect::<Vec<_>>()
        .join(", ");
    let Kind::Text(text) = &node.kind else {
        reader.wrong_kind(place, node, &allowed, "write one of these words");
        return None;
    };
    if let Some((_, value)) = words.iter().find(|(word, _)| **word == **text) {
        return Some(*value);
    }
    let way_out = did_you_mean(text, known(), "write one of these words");
    reader.error(place, format!("`{}`", shortened(text)), allowed, way_out);
    None
}

/// Declares a value that is one of a few words.
macro_rules! choice {
    (
        $(#[doc = $doc:literal])+
        $name:ident { $first:ident = $first_word:literal $first_doc:literal $(, $variant:ident = $word:literal $variant_doc:literal)* $(,)? }
    ) => {
        $(#[doc = $doc])+
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum $name {
            #[doc = $first_doc]
            $first,
            $( #[doc = $variant_doc] $variant, )*
        }

        impl $name {
            /// Every value with its word in the file.
            pub const WORDS: &'static [(&'static str, Self)] =
                &[($first_word, Self::$first) $(, ($word, Self::$variant))*];

            /// The word in the file.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self {
                    Self::$first => $first_word,
                    $( Self::$variant => $word, )*
                }
            }
        }

        impl Value for $name {
            fn read(node: &Node, place: &Place, _: Limits, reader: &mut Reader) -> Option<Self> {
                read_word(node, place, Self::WORDS, reader)
            }

            fn schema(_: Limits, _: &mut Map<String, Json>) -> Json {
                let words = [
                    concat!($first_word, ": ", $first_doc)
                    $(, concat!($word, ": ", $variant_doc))*
                ];
                json!({
                    "description": format!("({})", words.join(" ")),
                    "enum": [$first_word $(, $word)*],
                })
            }

            fn absent() -> Self {
                Self::$first
            }
        }
    };
}

choice! {
    /// How the split plane stands in the toy.
    SplitPose { Level = "level" "Upper and lower halves.", Upright = "upright" "Left and right halves." }
}

choice! {
    /// Which side of a piece of stock is up.
    StationSetUp {
        InsideUp = "inside-up" "The first set-up: split faces up.",
        OutsideUp = "outside-up" "The second set-up: after the flip.",
    }
}

choice! {
    /// A work offset by its word in RS274/NGC.
    WorkOffset {
        G54 = "G54" "The first.",
        G55 = "G55" "The second.",
        G56 = "G56" "The third.",
        G57 = "G57" "The fourth.",
        G58 = "G58" "The fifth.",
        G59 = "G59" "The sixth.",
        G59P1 = "G59.1" "The seventh.",
        G59P2 = "G59.2" "The eighth.",
        G59P3 = "G59.3" "The ninth.",
    }
}

choice! {
    /// Form of an end face.
    EndForm {
        Domed = "domed" "A sphere about the socket's centre.",
        Flat = "flat" "A plane.",
        Closed = "closed" "A nose or a tip.",
    }
}

choice! {
    /// What an end carries.
    JointKind {
        Socket = "socket" "A socket.",
        Ball = "ball" "A ball on a neck.",
        None = "none" "Nothing.",
    }
}

choice! {
    /// How a joint moves in the hand.
    Feel {
        Stiff = "stiff" "Holds a pose: 0.13 mm are likely left.",
        Easy = "easy" "Moves by itself and holds a little: 0.23 mm are likely left.",
        Loose = "loose" "Dangles: 0.38 mm are likely left.",
    }
}

choice! {
    /// A long side of a section, or both: left and right when the split lies level, back and belly
    /// when it stands upright.
    PlateSide {
        Both = "both" "Both sides.",
        Left = "left" "The toy's left, for a level split.",
        Right = "right" "The toy's right, for a level split.",
        Back = "back" "The toy's upper side, for an upright split.",
        Belly = "belly" "The toy's lower side, for an upright split.",
    }
}

choice! {
    /// Halves of a section.
    HalfSide {
        Both = "both" "Both halves.",
        Upper = "upper" "The upper half of a level split.",
        Lower = "lower" "The lower half of a level split.",
        Left = "left" "The left half of an upright split.",
        Right = "right" "The right half of an upright split.",
    }
}

choice! {
    /// Form of a cutter's tip.
    CutterKind { Flat = "flat" "Flat end.", Ball = "ball" "Ball end." }
}

choice! {
    /// What a cutter is used for.
    Job {
        Rough = "rough" "Roughing.",
        Holes = "holes" "Pin and dowel holes.",
        Relief = "relief" "The groove round each outline.",
        Finish = "finish" "Finishing.",
        Marks = "marks" "Marks and glue grooves in the glue face.",
    }
}

choice! {
    /// Whether something is made where there is room for it.
    Wanted { Auto = "auto" "Where it keeps its distances.", Off = "off" "Nowhere." }
}

choice! {
    /// What a batch writes of a creature.
    Product {
        Set = "set" "The files of all parts, as `make` writes them.",
        Blanks = "blanks" "The pieces of stock, as `blank` writes them.",
        Page = "page" "The page.",
        Pack = "pack" "The archive to give away.",
    }
}

/// The unit of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct UnitName(pub Unit);

const UNITS: &[(&str, UnitName)] = &[("mm", UnitName(Unit::Mm)), ("in", UnitName(Unit::Inch))];

impl Value for UnitName {
    fn read(node: &Node, place: &Place, _: Limits, reader: &mut Reader) -> Option<Self> {
        if let Kind::Text(text) = &node.kind
            && ["cm", "m", "ft"].contains(&&**text)
        {
            // The nearest word would make every plain number another length.
            let way_out = "write `mm` or `in`, and every plain number in that unit";
            reader.error(
                place,
                format!("`{text}`"),
                "`mm`, `in`".to_owned(),
                way_out.to_owned(),
            );
            return None;
        }
        read_word(node, place, UNITS, reader)
    }

    fn schema(_: Limits, _: &mut Map<String, Json>) -> Json {
        json!({ "enum": ["mm", "in"] })
    }

    fn absent() -> Self {
        Self(Unit::Mm)
    }
}
