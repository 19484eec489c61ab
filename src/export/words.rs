//! Words that stand in every kind of file.

use crate::brep::shape::FaceKind;

/// The mark of a body that is for benches and tests only.
pub const NOT_FOR_CUTTING: &str = "NOT FOR CUTTING";

/// The name of a kind of face, as it stands in STEP files and in the manifest.
pub const fn label(kind: FaceKind) -> &'static str {
    match kind {
        FaceKind::SplitFace => "split face",
        FaceKind::Skin => "skin",
        FaceKind::Rim => "rim",
        FaceKind::Front => "front",
        FaceKind::Rear => "rear",
        FaceKind::Socket => "socket",
        FaceKind::Flare => "flare",
        FaceKind::Ball => "ball",
        FaceKind::Neck => "neck",
        FaceKind::Fillet => "fillet",
        FaceKind::PinWall => "pin wall",
        FaceKind::PinFloor => "pin floor",
        FaceKind::PinChamfer => "pin chamfer",
        FaceKind::PlateTop => "plate top",
        FaceKind::PlateWall => "plate wall",
        FaceKind::PlateEase => "plate ease",
        FaceKind::TabTop => "tab top",
        FaceKind::TabUnderside => "tab underside",
        FaceKind::TabWall => "tab wall",
        FaceKind::EyeWall => "eye wall",
        FaceKind::EyeFloor => "eye floor",
        FaceKind::Flat => "flat",
        FaceKind::GrooveWall => "groove wall",
        FaceKind::GrooveFloor => "groove floor",
        FaceKind::MarkWall => "mark wall",
        FaceKind::MarkFloor => "mark floor",
    }
}
