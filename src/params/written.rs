//! The two written files as records: one field per key, nothing resolved, no default filled in.
//!
//! `need` is a key that must stand in the file, `may` one that can be left out. Each record is
//! declared once; its reader, its list of keys, its ranges and its part of the JSON Schema all
//! come from that declaration. The number after `=` is the range, in millimetres, degrees or
//! plain numbers according to the type.

use super::record::record;
use super::value::{
    Along, CutterKind, CutterTaper, EndForm, Factor, Job, JointKind, Name, Percent, Pins, Scalar,
    SectionTaper, SplitPose, UnitName, Version,
};
use crate::diagnostic::Place;
use crate::units::{Angle, Length};

pub use super::located::Located;

record! {
    /// A design file: the creature.
    Design {
        /// Version of the file's form; this program reads version 1.
        limberwood: need Version,
        /// Name of the creature.
        name: need Name,
        /// Unit of every plain number that is a length: mm or in.
        units: need UnitName,
        /// Wood, by a name of the table of species.
        species: may Name,
        /// How the split plane stands in the toy: level (upper and lower halves) or upright (left and right).
        split: may SplitPose,
        /// A body for benches and tests, not for cutting; every output says so.
        bench_only: may bool,
        /// Whether ball, neck and mouth follow the scale of the section that carries the ball.
        scale_joints: may bool,
        /// Values for every section that does not give its own.
        defaults: may Section,
        /// Values for every joint that does not give its own.
        joint: may Joint,
        /// The sections from front (head) to rear (tail).
        sections: need Vec<Located<Section>>,
        /// Joints that differ from the rest.
        joints: may Vec<Located<JointOverride>>,
    }
}

record! {
    /// One section, or a row of sections by `repeat`; also the `defaults` of all sections.
    Section {
        /// Name, unique whatever the letter case. Needed in `sections`, refused in `defaults`.
        name: may Name,
        /// Name of another section whose keys this one takes; own keys win.
        like: may Name,
        /// Number of sections made from this entry, named NAME-1 to NAME-N.
        repeat: may u32,
        /// Size from one repeated section to the next, as a factor, or of the last one as `{to: 70%}`.
        taper: may SectionTaper,
        /// The repeated sections are grouped in this many equal sizes.
        steps: may u32,
        /// Scale of length and outline (never of rim, lean, pins or clearance).
        scale: may Factor,
        /// Length from the front datum to the rear datum.
        length: may Length,
        /// The outer form at points along the body, from 0 to 100 %.
        outline: may Vec<Located<Point>>,
        /// Height of the rim, the band beside the split plane.
        rim: may Length,
        /// Draft of rim and ends away from the cutter.
        lean: may Angle,
        /// Form of the front face.
        front: may EndForm,
        /// Form of the rear face.
        rear: may EndForm,
        /// What the front carries.
        front_joint: may JointKind,
        /// What the rear carries.
        rear_joint: may JointKind,
        /// Width of the small flat end of a closed nose or tip.
        tip_width: may Length,
        /// Half pins: `auto`, a number, or a list of pins.
        pins: may Pins,
        /// Allowance for sanding the split face of each half.
        sanding: may Length,
    }
}

record! {
    /// A point of the outline. Gives either `height` or both `above` and `below`.
    Point {
        /// Place along the body: percent of the length, or a length from the front.
        at: need Along,
        /// Half of the width at the split plane.
        half_width: need Length,
        /// Height of the upper half and of the lower half, when they are equal.
        height: may Length,
        /// Height of the upper half.
        above: may Length,
        /// Height of the lower half.
        below: may Length,
        /// Exponent of the superellipse: 2 is an ellipse, 4 nearly a box.
        squareness: may Scalar,
    }
}

record! {
    /// A half pin written out.
    Pin {
        /// Place along the body: percent of the length, or a length from the front.
        at: need Along,
        /// Place across the body, from the joint axis.
        across: may Length,
        /// Diameter of the hole.
        diameter: may Length,
        /// How much longer than wide a slotted hole is, along the body; 0 for a round hole.
        slot: may Length,
        /// Depth of the hole in both halves.
        depth: may Length,
        /// Depth of the hole in the upper half.
        depth_above: may Length,
        /// Depth of the hole in the lower half.
        depth_below: may Length,
    }
}

record! {
    /// A joint between two sections. Any sufficient set; the rest follows.
    Joint {
        /// Diameter of the ball.
        ball: may Length,
        /// Radial gap between ball and socket.
        clearance: may Length,
        /// Diameter of the neck.
        neck: may Length,
        /// Diameter of the mouth, the opening of the socket.
        mouth: may Length,
        /// Bend angle to first contact.
        swing: may Angle,
        /// Half-angle of the cone that opens the mouth.
        flare: may Angle,
        /// Thickness of the ring of wood round the mouth.
        land: may Length,
        /// Rest gap between the two faces.
        gap: may Length,
        /// Radius of the fillet between neck and ball; 0 for none.
        fillet: may Length,
    }
}

record! {
    /// One joint that differs from the rest.
    JointOverride {
        /// Name of the section in front of the joint: NAME, or NAME-3 of a repeated one.
        after: need Name,
        ;
        /// The keys of the joint.
        joint: include Joint
    }
}

record! {
    /// A shop file: cutters as measured, stock, fits.
    Shop {
        /// Version of the file's form; this program reads version 1.
        limberwood_shop: need Version,
        /// Name of the shop.
        name: need Name,
        /// Unit of every plain number that is a length: mm or in.
        units: need UnitName,
        /// The cutters.
        cutters: need Vec<Located<Cutter>>,
        /// The stock.
        stock: need Vec<Located<Stock>>,
        /// Clearances and allowances; a key left out is that of the built-in shop.
        fits: may Fits,
    }
}

record! {
    /// A cutter with its jobs.
    Cutter {
        /// Name, unique whatever the letter case.
        name: need Name,
        /// What it is used for.
        jobs: need Vec<Located<Job>>,
        /// Form of the tip: flat or ball.
        kind: need CutterKind,
        /// Diameter of a flat cutter, as sold.
        diameter: may Length,
        /// Diameter of the tip of a ball cutter, as sold.
        tip_diameter: may Length,
        /// Diameter (of the tip, for a ball) as measured; it wins over the sold one.
        measured: may Length,
        /// Taper, saying `per side` or `included`; none when left out.
        taper: may CutterTaper,
        /// Length of the cutting edges.
        cutting_length: may Length,
        /// Diameter of the shank.
        shank: may Length,
    }
}

record! {
    /// A board.
    Stock {
        /// Name, unique whatever the letter case.
        name: need Name,
        /// Thickness as measured.
        thickness: need Length,
        /// Wood, by a name of the table of species.
        species: may Name,
    }
}

record! {
    /// Clearances and allowances of the shop.
    Fits {
        /// Radial gap between ball and socket.
        clearance: may Length,
        /// Diameter of the dowel rod that half pins are cut from.
        dowel: may Length,
        /// How much wider than the dowel a pin hole is, on the diameter.
        slip: may Length,
        /// How much longer than wide the slotted pin hole is.
        slot: may Length,
        /// Allowance for sanding the split face of each half.
        sanding: may Length,
    }
}
