//! What to do about wood that is too thin.

use super::feature::Feature;

/// The way out, a part of a sentence.
pub(super) fn way_out(between: (Feature, Feature)) -> &'static str {
    use Feature::{
        Ball, EndFace, Eye, Flare, FlareEdge, Flat, Groove, Mark, Mouth, Neck, PinChamfer,
        PinFloor, PinHole, Plate, Rim, RimTop, Skin, Socket, SplitFace, Tab,
    };
    match between {
        (Eye(_), Skin) => "make the eye deeper, or move it to where the body is less steep",
        (Eye(_), Flat(_)) => "move the eye out of the flat, or make the flat shorter or narrower",
        (Eye(_), Groove(_)) => "make the eye shallower or move it, or write `glue_groove: off`",
        (Eye(_), Mark(_)) => "make the eye shallower or move it, or write `marks: off`",
        (Eye(_), _) | (_, Eye(_)) => "make the eye shallower or smaller, or move it",
        (Plate(_), RimTop) => "make the plate thinner or the rim higher",
        (Plate(a), Plate(b)) if a == b => {
            "make its roundings or its ease smaller, or move its corners apart"
        }
        (Plate(_), Tab(_)) => "move the tab along the body, make it smaller or the plate larger",
        (Plate(_), _) => "move the plate along the body or make it smaller",
        (Tab(a), Tab(b)) if a == b => {
            "its sides near each other outwards: move it to where the body is not hollow, or make it wider"
        }
        (Tab(_), RimTop) => "make the tab thinner or lower, or the rim higher",
        (Tab(_), SplitFace) => "make the tab's underside higher",
        (Tab(_), _) => "move the tab along the body or make it smaller",
        (Groove(_), _) => "make the section wider there, or write `glue_groove: off`",
        (Mark(_), _) => "write `marks: off`",
        (PinChamfer(_), _) | (_, PinChamfer(_)) => {
            "move the pin, or make the shop's `chamfer` smaller"
        }
        (Socket(a) | Mouth(a), EndFace(b)) if a == b => "make the joint's land larger",
        (Socket(_), Skin | Rim) => "make the section wider or higher there, or the ball smaller",
        (Flare(_), Skin | Rim) => "make the section wider there, or the flare narrower",
        (FlareEdge(_), _) => "make the end wider or higher, the flare narrower or the land smaller",
        (Neck(_), _) => "make the end wider or higher, or the neck thinner",
        (Ball(_), _) => "make the joint's gap or land larger, or the fillet smaller",
        (EndFace(_), _) => "make the section longer or lower, or its lean smaller",
        (PinFloor(_) | PinHole(_), Flat(_)) => {
            "make the pin hole shallower, or the flat's `height` larger"
        }
        (Socket(_) | Flare(_), Flat(_)) => {
            "make the flat's `height` larger, or let it begin further from the socket"
        }
        (PinFloor(_), _) => "make the pin hole shallower, or the section higher there",
        (PinHole(_), PinHole(_)) => "move the two pins apart",
        (PinHole(_), Skin | Rim) => {
            "move the pin inwards, make its hole shallower or thinner, or the section wider there"
        }
        (PinHole(_), EndFace(_)) => "move the pin away from the end",
        (PinHole(_), _) | (_, PinHole(_)) => "move the pin away from the socket",
        _ => "make the section longer, or the ball smaller",
    }
}
