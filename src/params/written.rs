//! The three written files as records: one field per key, nothing resolved, no default filled in.
//!
//! `need` is a key that must stand in the file, `may` one that can be left out. Each record is
//! declared once; its reader, its list of keys, its ranges and its part of the JSON Schema all
//! come from that declaration. The number after `=` is the range, in millimetres, degrees or
//! plain numbers according to the type.

use super::record::record;
use super::value::{
    Along, CutterKind, CutterTaper, EndForm, Factor, Feel, FileName, HalfSide, Job, JointKind,
    Name, OrAuto, Pins, PlateSide, Product, Scalar, SectionTaper, SplitPose, StationSetUp, Tabs,
    UnitName, Version, Wanted, WorkOffset,
};
use crate::units::{Angle, Length};

pub use super::located::Located;

record! {
    /// A design file: the creature.
    Design {
        /// Version of the file's form; this program reads version 1.
        limberwood: need Version,
        /// Design file whose keys this one takes, by its path from this file's folder; own keys win. Sections are told apart by name, joints by `after`; every other list is taken whole.
        based_on: may FileName,
        /// Name of the creature.
        name: need Name,
        /// Unit of every plain number that is a length: mm or in.
        units: need UnitName,
        /// Who made the design, as it stands in what is given away.
        author: may Name,
        /// Terms on which the design may be used, by the name of a licence or in words.
        licence: may Name,
        /// Whom else to name: an earlier design, a helper.
        credit: may Name,
        /// Wood, by a name of the table of species.
        species: may Name,
        /// How the split plane stands in the toy: level (upper and lower halves) or upright (left and right).
        split: may SplitPose,
        /// Thickness of the boards that the design is drawn for; `refit` scales from it, and takes the shop's board when it is left out.
        drawn_for: may Length = 2.0..=300.0,
        /// Diameter of the dowel rod that half pins are cut from; the shop's when left out.
        dowel: may Length = 1.0..=50.0,
        /// A body for benches and tests, not for cutting; every output says so.
        bench_only: may bool,
        /// Whether ball, neck and mouth follow the scale of the section that carries the ball. Joints that say `auto` are found for each size by itself, or with `false` one for all.
        scale_joints: may bool,
        /// Marks in the glue face of each half: its section's number and an arrow to the front. Equal sections carry the number of the first of them.
        marks: may Wanted,
        /// Grooves round the sockets that take up squeezed-out glue.
        glue_groove: may Wanted,
        /// Values for every section that does not give its own.
        defaults: may Section,
        /// Values for every joint that does not give its own.
        joint: may Joint,
        /// The sections from front (head) to rear (tail).
        sections: need Vec<Located<Section>> = 1.0..=1000.0,
        /// Joints that differ from the rest.
        joints: may Vec<Located<JointOverride>> = 0.0..=1000.0,
        /// Warnings of checks that the maker accepts, each with the reason.
        accept: may Vec<Located<Accept>> = 0.0..=1000.0,
    }
}

record! {
    /// One section, or a row of sections by `repeat`; also the `defaults` of all sections.
    Section {
        /// Name, unique whatever the letter case. Needed in `sections`, refused in `defaults`.
        name: may Name,
        /// Name of another section whose keys this one takes, but for name, repeat, taper and steps; own keys win.
        like: may Name,
        /// Number of sections made from this entry, named NAME-1 to NAME-N.
        repeat: may u32 = 1.0..=1000.0,
        /// Size from one repeated section to the next, as a factor, or of the last one as `{to: 70%}`.
        taper: may SectionTaper = 0.5..=1.5,
        /// The repeated sections are grouped in this many equal sizes.
        steps: may u32 = 1.0..=1000.0,
        /// Scale of length and outline (never of rim, lean, pins or clearance).
        scale: may Factor = 0.05..=20.0,
        /// Length from the front datum to the rear datum.
        length: may Length = 1.0..=2000.0,
        /// The outer form at points along the body, from 0 to 100 %.
        outline: may Vec<Located<Point>> = 2.0..=100.0,
        /// Greatest height of the outline over the split plane, above and below: higher points are lowered to it. It does not follow `scale`; a domed end keeps its size.
        highest: may Length = 0.5..=500.0,
        /// Cut in one piece from both sides, from stock twice as thick: no socket, no pins, no glue face.
        whole: may bool,
        /// How the split plane of this section stands, when it differs from the creature's.
        split: may SplitPose,
        /// Height of the rim, the band beside the split plane. `auto`, or left out: as low as tabs and plates let it be.
        rim: may OrAuto<Length> = 0.0..=100.0,
        /// Draft of rim and ends away from the cutter.
        lean: may Angle = 0.0..=30.0,
        /// Form of the front face.
        front: may EndForm,
        /// Form of the rear face.
        rear: may EndForm,
        /// What the front carries.
        front_joint: may JointKind,
        /// What the rear carries.
        rear_joint: may JointKind,
        /// Width of the small flat end of a closed nose or tip.
        tip_width: may Length = 1.0..=200.0,
        /// Half pins: `auto`, a number, or a list of pins.
        pins: may Pins,
        /// Flat fins or feet standing out of the rim.
        plates: may Vec<Located<Plate>> = 0.0..=40.0,
        /// Eyes: round flat-bottomed holes in the outer form.
        eyes: may Vec<Located<Eye>> = 0.0..=20.0,
        /// Flats on the outer form, as a belly that the creature stands on.
        flats: may Vec<Located<Flat>> = 0.0..=4.0,
        /// Tabs that hold each half in the blank: `auto`, `none`, a number for each long side, or a list.
        tabs: may Tabs,
        /// Allowance for sanding the split face of each half.
        sanding: may Length = 0.0..=2.0,
    }
}

record! {
    /// A point of the outline. Gives either `height` or both `above` and `below`.
    Point {
        /// Place along the body: percent of the length, or a length from the front.
        at: need Along,
        /// Half of the width at the split plane.
        half_width: need Length = 0.5..=500.0,
        /// Height of the upper half and of the lower half, when they are equal.
        height: may Length = 0.5..=500.0,
        /// Height of the upper half.
        above: may Length = 0.5..=500.0,
        /// Height of the lower half.
        below: may Length = 0.5..=500.0,
        /// Exponent of the superellipse: 2 is an ellipse, 4 nearly a box.
        squareness: may Scalar = 2.0..=4.0,
    }
}

record! {
    /// A half pin written out.
    Pin {
        /// Place along the body: percent of the length, or a length from the front.
        at: need Along,
        /// Place across the body, from the joint axis.
        across: may Length = -500.0..=500.0,
        /// Diameter of the hole.
        diameter: may Length = 0.5..=50.0,
        /// How much longer than wide a slotted hole is, along the body; 0 for a round hole.
        slot: may Length = 0.0..=50.0,
        /// Depth of the hole in both halves.
        depth: may Length = 0.5..=200.0,
        /// Depth of the hole in the upper half.
        depth_above: may Length = 0.5..=200.0,
        /// Depth of the hole in the lower half.
        depth_below: may Length = 0.5..=200.0,
    }
}

record! {
    /// A flat fin or foot, half of it in each half of the section.
    Plate {
        /// Where it stands.
        side: need PlateSide,
        /// Thickness, both halves together.
        thickness: may Length = 1.0..=100.0,
        /// Corners of its plan outline from front to rear; it is rooted at the places of the first and the last.
        outline: need Vec<Located<PlateCorner>> = 2.0..=40.0,
        /// Width of a chamfer of 45 degrees along its outer edge, in each half; none when left out.
        ease: may Length = 0.0..=20.0,
    }
}

record! {
    /// A corner of a plate.
    PlateCorner {
        /// Place along the body: percent of the length, or a length from the front.
        at: need Along,
        /// How far it stands out of the body there, at right angles to the body's edge in plan.
        out: need Length = 0.2..=300.0,
        /// Radius of the rounding.
        round: may Length = 0.0..=100.0,
    }
}

record! {
    /// An eye, or a pair of them.
    Eye {
        /// Place along the body: percent of the length, or a length from the front.
        at: need Along,
        /// Place across the split face, from the joint axis; upwards when the split stands upright.
        across: may Length = -500.0..=500.0,
        /// Diameter.
        diameter: need Length = 0.8..=100.0,
        /// Depth at its middle; half the diameter when left out.
        depth: may Length = 0.2..=100.0,
        /// Halves that carry it: the upper one of a level split when left out, both of an upright one.
        halves: may HalfSide,
        /// Also at the same distance on the other side of the joint axis: so when left out in a level split.
        pair: may bool,
    }
}

record! {
    /// A flat on the outer form, parallel to the split plane: a rectangle about the middle line.
    Flat {
        /// Halves that carry it: the lower one of a level split when left out, both of an upright one.
        side: may HalfSide,
        /// Width.
        width: need Length = 1.0..=500.0,
        /// Where it begins: percent of the length, or a length from the front.
        from: need Along,
        /// Where it ends: percent of the length, or a length from the front.
        to: need Along,
        /// Its height over the split plane, at most the outline's least height there; that height when left out.
        height: may Length = 1.0..=500.0,
    }
}

record! {
    /// A tab written out, in both halves of the section.
    Tab {
        /// Long side on which it stands.
        side: need PlateSide,
        /// Place of its middle along the body: percent of the length, or a length from the front.
        at: need Along,
        /// Width along the body.
        width: may Length = 1.0..=50.0,
        /// Thickness.
        thickness: may Length = 0.5..=50.0,
        /// Height of its underside over the split face.
        underside: may Length = 0.3..=100.0,
        /// How far it reaches out: the width of the window round the part.
        length: may Length = 1.0..=100.0,
    }
}

record! {
    /// A joint between two sections. Any sufficient set; the rest follows.
    Joint {
        /// Diameter of the ball. `auto` here, at `neck`, `mouth` or `swing` finds the joint that swings most within walls, stock and cutters, those of the four that are left out too.
        ball: may OrAuto<Length> = 3.0..=200.0,
        /// Radial gap between ball and socket.
        clearance: may OrAuto<Length> = 0.05..=3.0,
        /// How the joint moves: solves the clearance from what cutting, gluing, seasons and finish are likely to take of it; not together with a written `clearance`.
        feel: may Feel,
        /// Diameter of the neck.
        neck: may OrAuto<Length> = 1.0..=200.0,
        /// Diameter of the mouth, the opening of the socket.
        mouth: may OrAuto<Length> = 1.0..=200.0,
        /// Bend angle to first contact.
        swing: may OrAuto<Angle> = 1.0..=80.0,
        /// Half-angle of the cone that opens the mouth.
        flare: may OrAuto<Angle> = 1.0..=85.0,
        /// Thickness of the ring of wood round the mouth. `auto`: the least of the wood, or what a domed end needs.
        land: may OrAuto<Length> = 0.5..=100.0,
        /// Rest gap between the two faces.
        gap: may OrAuto<Length> = 0.1..=200.0,
        /// Radius of the fillet between neck and ball; 0 for none.
        fillet: may OrAuto<Length> = 0.0..=50.0,
    }
}

record! {
    /// A warning that the maker accepts.
    Accept {
        /// Name of the check, as it stands in brackets behind its message.
        check: need Name,
        /// Section, or section in front of a joint, that it concerns: all when left out.
        section: may Name,
        /// The reason, printed with the warning.
        reason: need Name,
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
        cutters: need Vec<Located<Cutter>> = 1.0..=100.0,
        /// The stock.
        stock: need Vec<Located<Stock>> = 1.0..=100.0,
        /// Clearances and allowances; a key left out is that of the built-in shop.
        fits: may Fits,
        /// What a coupon showed; `limberwood record` writes it, and it wins over `fits`.
        measured: may Measured,
        /// How halves are laid out on pieces of stock; a key left out is that of the built-in shop.
        blank: may Blank,
        /// What the machine reaches.
        travel: may Travel,
        /// Places on the machine with a saved work offset each.
        stations: may Vec<Located<Station>> = 0.0..=100.0,
    }
}

record! {
    /// A cutter with its jobs.
    Cutter {
        /// Name, unique whatever the letter case.
        name: need Name,
        /// What it is used for.
        jobs: need Vec<Located<Job>> = 1.0..=5.0,
        /// Form of the tip: flat or ball.
        kind: need CutterKind,
        /// Diameter of a flat cutter, as sold.
        diameter: may Length = 0.2..=50.0,
        /// Diameter of the tip of a ball cutter, as sold.
        tip_diameter: may Length = 0.2..=50.0,
        /// Diameter (of the tip, for a ball) as measured; it wins over the sold one.
        measured: may Length = 0.2..=50.0,
        /// Taper, saying `per side` or `included`; none when left out.
        taper: may CutterTaper = 0.0..=45.0,
        /// Length of the cutting edges.
        cutting_length: may Length = 0.5..=200.0,
        /// Diameter of the shank.
        shank: may Length = 0.5..=50.0,
        /// Diameter of the collet nut or whatever holds it; with `stick_out`.
        holder: may Length = 3.0..=200.0,
        /// Length from the tip to the holder; with `holder`.
        stick_out: may Length = 1.0..=300.0,
        /// Feed: length along the cut in a minute.
        feed: may Length = 10.0..=50000.0,
        /// Depth of a pass.
        pass_depth: may Length = 0.02..=50.0,
        /// Distance from a cut to the next one beside it.
        stepover: may Length = 0.01..=50.0,
    }
}

record! {
    /// A board.
    Stock {
        /// Name, unique whatever the letter case.
        name: need Name,
        /// Thickness as measured.
        thickness: need Length = 2.0..=300.0,
        /// Length, along the grain, of the pieces that lie on the machine.
        length: may Length = 30.0..=5000.0,
        /// Width of the pieces that lie on the machine.
        width: may Length = 30.0..=3000.0,
        /// Wood, by a name of the table of species.
        species: may Name,
    }
}

record! {
    /// Clearances and allowances of the shop.
    Fits {
        /// Radial gap between ball and socket.
        clearance: may Length = 0.05..=3.0,
        /// Diameter of the dowel rod that half pins are cut from.
        dowel: may Length = 1.0..=50.0,
        /// How much wider than the dowel a pin hole is, on the diameter.
        slip: may Length = 0.0..=2.0,
        /// How much longer than wide the slotted pin hole is.
        slot: may Length = 0.0..=10.0,
        /// Width of the chamfer of 45 degrees at the mouths of pin holes; 0 for none.
        chamfer: may Length = 0.0..=2.0,
        /// Allowance for sanding the split face of each half.
        sanding: may Length = 0.0..=2.0,
        /// Depth of the relief groove round each outline, from the split face.
        relief: may Length = 0.0..=20.0,
        /// Width of a tab.
        tab_width: may Length = 1.0..=50.0,
        /// Thickness of a tab.
        tab_thickness: may Length = 0.5..=50.0,
        /// Width of the window cut round each part, which the tabs bridge.
        window: may Length = 1.0..=100.0,
    }
}

record! {
    /// What a coupon showed: how sizes come out in this shop, and what fits.
    Measured {
        /// By how much balls come out larger than drawn, on the diameter; less than 0 when smaller.
        ball: may Length = -0.5..=0.5,
        /// By how much sockets come out larger than drawn, on the diameter; less than 0 when smaller.
        socket: may Length = -0.5..=0.5,
        /// By how much pin holes come out larger than drawn, on the diameter; less than 0 when smaller.
        hole: may Length = -0.5..=0.5,
        /// By how much halves come out higher than drawn; less than 0 when lower.
        height: may Length = -1.0..=1.0,
        /// How much wider than the dowel a pin hole is that takes it by hand, on the diameter.
        slip: may Length = 0.0..=2.0,
        /// Radial gap between ball and socket that was found to move stiffly.
        stiff: may Length = 0.05..=3.0,
        /// Radial gap that was found to move easily; that of joints that give none.
        easy: may Length = 0.05..=3.0,
        /// Radial gap that was found to move loosely.
        loose: may Length = 0.05..=3.0,
    }
}

record! {
    /// How halves are laid out on a piece of stock.
    Blank {
        /// Length kept free at both ends for clamps and the dowels of the flip.
        ends: may Length = 0.0..=500.0,
        /// Width kept free along both sides for clamps.
        sides: may Length = 0.0..=500.0,
        /// How far clamps stand over the upper face of the stock.
        clamp_height: may Length = 0.0..=200.0,
        /// Least width of the wood that stays between two windows.
        web: may Length = 1.0..=100.0,
        /// Diameter of the flip dowel near the front end.
        front_dowel: may Length = 1.0..=50.0,
        /// Diameter of the flip dowel near the rear end.
        rear_dowel: may Length = 1.0..=50.0,
        /// Thickness of the temporary board under the stock.
        base: may Length = 0.0..=100.0,
    }
}

record! {
    /// What the machine reaches, in machine coordinates from 0.
    Travel {
        /// Along x.
        x: need Length = 50.0..=10000.0,
        /// Along y.
        y: need Length = 50.0..=10000.0,
    }
}

record! {
    /// A place on the machine where a piece of stock lies in one set-up.
    Station {
        /// Name, unique whatever the letter case.
        name: need Name,
        /// Which side of the piece is up there.
        set_up: need StationSetUp,
        /// Machine x of the axis of the front dowel.
        x: need Length = -10000.0..=10000.0,
        /// Machine y of the axis of the front dowel.
        y: need Length = -10000.0..=10000.0,
        /// Work offset that holds this place.
        offset: need WorkOffset,
    }
}

record! {
    /// A plan file: which creatures are made in one batch.
    Plan {
        /// Version of the file's form; this program reads version 1.
        limberwood_plan: need Version,
        /// Name of the batch.
        name: may Name,
        /// What is made: every design of an entry for each of its shops in each of its sizes.
        entries: need Vec<Located<PlanEntry>> = 1.0..=1000.0,
        /// What is written of each: the set when left out.
        write: may Vec<Located<Product>> = 1.0..=4.0,
    }
}

record! {
    /// Designs, shops and sizes, each with each.
    PlanEntry {
        /// Design files, from the plan's folder.
        designs: need Vec<Located<Name>> = 1.0..=1000.0,
        /// Shop files, from the plan's folder; when left out `shop.yaml` beside the design, else the built-in shop.
        shops: may Vec<Located<Name>> = 1.0..=100.0,
        /// Sizes; one creature in its own size when left out.
        sizes: may Vec<Located<PlanSize>> = 1.0..=100.0,
    }
}

record! {
    /// A size and how many creatures of it.
    PlanSize {
        /// Factor on the scale of every section; 100 % when left out.
        scale: may Factor = 0.05..=20.0,
        /// Number of creatures on the pieces of stock, each design for itself; 1 when left out.
        count: may u32 = 1.0..=1000.0,
    }
}
