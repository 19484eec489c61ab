//! Kinds of faces in the few groups that a reader tells apart by colour.

use crate::brep::shape::FaceKind;

/// Names of the groups.
pub(super) const GROUPS: [&str; 7] = [
    "outer form",
    "glue face",
    "ball and neck",
    "socket",
    "pin holes",
    "fins and feet",
    "eyes, marks, grooves",
];

/// Index of a face's group.
pub(super) fn group(kind: FaceKind) -> usize {
    match kind {
        FaceKind::SplitFace | FaceKind::SandingWall => 1,
        FaceKind::Ball | FaceKind::Neck | FaceKind::Fillet => 2,
        FaceKind::Socket | FaceKind::Flare => 3,
        FaceKind::PinWall | FaceKind::PinFloor | FaceKind::PinChamfer | FaceKind::DowelWall => 4,
        FaceKind::PlateTop
        | FaceKind::PlateWall
        | FaceKind::PlateEase
        | FaceKind::TabTop
        | FaceKind::TabUnderside
        | FaceKind::TabWall => 5,
        FaceKind::EyeWall
        | FaceKind::EyeFloor
        | FaceKind::GrooveWall
        | FaceKind::GrooveFloor
        | FaceKind::MarkWall
        | FaceKind::MarkFloor => 6,
        FaceKind::Skin
        | FaceKind::Rim
        | FaceKind::Front
        | FaceKind::Rear
        | FaceKind::Flat
        | FaceKind::StockFace
        | FaceKind::StockSide
        | FaceKind::WindowWall
        | FaceKind::ReliefWall
        | FaceKind::ReliefFloor
        | FaceKind::RoughWall
        | FaceKind::RoughLevel => 0,
    }
}
