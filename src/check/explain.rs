//! What each check means, where its limits come from, and what it does not see.

use serde::Serialize;

/// The words on one check.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Explained {
    /// Its name, as in findings and in `accept`.
    pub check: &'static str,
    /// The rule.
    pub rule: &'static str,
    /// Where the limit comes from.
    pub source: &'static str,
    /// What the method does not see.
    pub limits: &'static str,
}

const fn explained(
    check: &'static str,
    rule: &'static str,
    source: &'static str,
    limits: &'static str,
) -> Explained {
    Explained {
        check,
        rule,
        source,
        limits,
    }
}

const HABIT: &str = "Habit: common practice in small shops, no source.";
const DERIVED: &str = "Derived from the geometry of ball, neck, mouth and flare.";
const PLAN: &str = "Placed by a model of the wood that errs on the thin side: room may be left that \
                    it does not see.";
const EXACT: &str =
    "Exact for the solids as designed; the wood you cut has cusps, sanding and moisture.";

/// Every check that a finding can name.
pub const EXPLAINED: &[Explained] = &[
    explained(
        "crossing",
        "No two features of a half come nearer than 0.01 mm, or cross.",
        "Derived: nearer ones cannot be built, printed or meshed apart.",
        EXACT,
    ),
    explained(
        "thin-wall",
        "The wood between socket, pin holes, eyes, mouth and the outer form is at least as thick as is \
         usual for the species: hard maple, beech and birch 3 mm beside a socket, 2.5 under a pin, 3 \
         round a mouth; softer woods more.",
        HABIT,
        "Least distances between designed features, proven to 0.000001 mm. Knots, grain run-out and \
         sanding are not seen.",
    ),
    explained(
        "wall",
        "The shortest way through wood to a face that looks the other way (normals more than 120 \
         degrees apart) is at least as thick as is usual for the species: beside sockets and pins as \
         for `thin-wall`, anywhere else as under a pin. A place nearer than that to an edge which \
         both faces share is no wall: edges are thin. Grooves, marks, chamfers, balls and necks do \
         not count. Solids are judged as they are drawn, so with a shop's record walls come out \
         thicker or thinner by half of what it takes off a diameter.",
        HABIT,
        "Searched on the mesh, then finished on the exact faces to 0.000001 mm; where that fails the \
         finding says so. Of two places between the same two faces that differ by less than twice \
         the deviation the thicker one may be named.",
    ),
    explained(
        "undercut",
        "Every face is seen by a cutter along the axis of the set-up that cuts it: nothing stands over \
         it, and it does not look away.",
        "Derived.",
        "Looked at from 0.001 mm and twice the mesh's deviation beside walls; an overhang narrower than \
         that is not seen.",
    ),
    explained(
        "reach",
        "Each feature is made by a cutter of the shop with its job: holes and slots wider than the cutter, \
         inside corners no tighter, edges as long as it is deep, or a shank that clears the wall; a taper \
         leaves R (1 / cos a - 1) on ball and socket, at most a quarter of the clearance, and H tan a at \
         the foot of an upright wall, at most 0.3 mm; the relief groove is deeper by 0.3 mm than the \
         finishing ball runs below the split face. What is left by all cutters of a set-up together is \
         measured: on joint faces at most that quarter, in pin holes 0.05 mm, on lands 0.1 mm, on the \
         outer form 0.3 mm, at its inside corners the cutter's own radius.",
        "Derived; the quarter, 0.05, 0.1 and 0.3 mm are habit.",
        "Measured depths are looked for at sampled places and where a map of 0.4 mm shows most; a worse \
         place may lie between. Volumes, of surfaces that look up, are told with how far maps of two \
         pitches lie apart: of what is over a limit from finer maps, until they agree within a tenth or \
         are at 0.025 mm. Of the cutters as written, without run-out; a roughing pass leaves its \
         allowance, so only the cutter that finishes a face counts. A holder is looked at when the shop \
         file has the cutter's `holder` and `stick_out`, against the board and the part; against \
         clamps by `blank`; chamfers of pin holes may be cut by hand.",
    ),
    explained(
        "swing",
        "How far a joint bends before neck and mouth meet: asin(mouth / socket) - asin(neck / socket), \
         with fillet and flare; less when the ball is pushed aside by the clearance.",
        DERIVED,
        "For smooth, rigid, round wood.",
    ),
    explained(
        "collision",
        "The finished solids of two neighbours, turned about the joint in 24 directions, touch no \
         earlier than neck and mouth do.",
        DERIVED,
        "Measured on meshes within the stated deviation: what comes no nearer than twice that is not \
         told from a touch of neck and mouth. Neighbours of neighbours are not looked at.",
    ),
    explained(
        "capture",
        "The mouth's radius is less than the ball's by 1.2 mm and by 0.12 of the ball's radius.",
        HABIT,
        EXACT,
    ),
    explained(
        "play",
        "How far the ball moves along the axis in its socket.",
        DERIVED,
        EXACT,
    ),
    explained(
        "gap",
        "The distance between neighbouring end faces at rest, the least and the widest over the whole \
         swing, and how far rods of 5 and 13 mm go in from outside.",
        "Derived; the rods are those of ASTM F963 4.18.1 and EN 71-1.",
        "On the axis at rest; for flat faces at their outermost places in the swing. Beside a dome the \
         gap widens outwards like a wedge, the same in every swing: a rod goes in as far as told. A \
         screening: it never says that a toy complies.",
    ),
    explained(
        "ring",
        "The smallest ring that the whole chain bends into.",
        "Derived: joints at the corners of a polygon, with mean pitch and mean swing.",
        "Exact for equal sections only; sections that touch each other across the ring are not seen.",
    ),
    explained(
        "budget",
        "What is left of the clearance after cusps, taper leftover, flip step, pin slip, unequal sanding, \
         seasonal movement at the stop and finish film, in the worst case and likely; and whether a \
         ball that is sanded by the worst sum is still held.",
        "Derived, row by row; sizes of errors of the shop file and habit; movement and moisture of the \
         Wood Handbook (FPL-GTR-190), its equation 4-5 from memory.",
        "Grain of ball and socket runs along the chain. Losses in different directions are added, which \
         is on the safe side. What the shop's record of a coupon measured takes the place of cusps, \
         leftover, sanding and slip, and a clearance that it found to move does not warn.",
    ),
    explained(
        "flip",
        "What the play of the flip dowels does to a ball on its piece of stock: a step between its two \
         halves, and what that leaves of the clearance. It warns where half of the step takes 0.01 mm \
         more than the budget of every joint takes for it, which is for dowels far apart and halves at \
         the middle of the piece.",
        "Derived from how far the dowels lie apart, their play, and where both halves lie.",
        "Of a layout, so `check` does not name it. For dowels that stand fast in the base, in holes cut \
         in the same set-up as the parts; a dowel line that is askew or off comes on top, as blanks.json \
         says for each ball. For halves that are glued to the one cut beside them.",
    ),
    explained(
        "reach-on-blank",
        "On the laid-out piece neither shank nor holder runs into clamps, which stand `clamp_height` over \
         the stock in the strips kept free for them, nor into the wood round a part or in the holes of \
         the dowels.",
        "Derived, at the deepest place of each work and wherever its axis comes.",
        "Of a layout, so `check` does not name it. Holders of cutters without `holder` and `stick_out` \
         in the shop file are not looked at, nor is the depth of eyes. The first cutter of a job that \
         meets nothing is taken. Moves over the stock are at the safe height.",
    ),
    explained(
        "measured",
        "What the shop's record of a coupon does: balls, sockets and holes are drawn smaller by what they \
         come out larger, feels have the gaps that were found, pin holes the slip.",
        "Derived from what was measured on the coupon, which `limberwood record` wrote into the shop file.",
        "The gaps were found with one wood, one ball and one set of cutters.",
    ),
    explained(
        "coupon",
        "A coupon is made of a design with joints that is to be cut, of a section's own joint.",
        DERIVED,
        "Halves are held dry; glue, finish and a year's weather are not tried.",
    ),
    explained(
        "pin-fit",
        "A pin hole takes the shop's dowel at its thickest, and holds it at 0.3 mm of slip at most.",
        "A dowel maker's tolerance of 0.127 mm (0.005 in) on the diameter; the slip is habit.",
        "Of holes within 1 mm of the shop's dowel; others are for a dowel of their own. A hole that a \
         coupon found to take the dowel does not warn.",
    ),
    explained(
        "strength",
        "Neck, mouth, glue line and plates withstand a pull of 90 N, a torque of 4 in-lbf and prying at \
         the stop (45 N at 40 mm) twice over, by beam formulas.",
        "Loads: EN 71-1 8.4 as quoted by test houses; 16 CFR 1500.53 and the prying from memory. \
         Strengths: Wood Handbook (FPL-GTR-190), tables 5-3, hardwoods as quoted, bending from memory. \
         The factor of two is habit.",
        "A screen with strengths of clear, straight-grained wood, grain along the chain, a glue line as \
         strong as wood across the grain. It is no test: dropping, knots and dry glue are not seen.",
    ),
    explained(
        "glue-area",
        "The area that glue holds together: the split face of a half.",
        "Derived.",
        "All of the split face; the dry band round the joint is not taken off.",
    ),
    explained(
        "glue-width",
        "Wood beside a socket in the glue face; 4 mm or more is usual.",
        HABIT,
        "A glue groove there is counted as wood. It is told alone: the screen of the glue line, `strength`, warns.",
    ),
    explained(
        "small-parts",
        "Which pieces of a section, whole, opened along the glue line or broken at a neck, with its pins, \
         fit into the small-parts cylinder in some pose; and whether the whole creature does.",
        "16 CFR 1501.4: 1.25 in across, 2.25 in deep; the shallow side of 1 in from memory.",
        "A screen of geometry: it claims nothing, and the law where the toy is sold decides. That a piece \
         fits is shown by a pose; that it does not, by a search over poses that does not see all.",
    ),
    explained(
        "sharp-edge",
        "How much of the outside edges sandpaper rounds, and how sharp the sharpest is: 50 degrees of \
         wood or more.",
        HABIT,
        "Angles of the mesh's facets beside the edge. EN 71-1 and 16 CFR 1500.49 measure metal and glass; \
         wood is judged by touch.",
    ),
    explained(
        "weight",
        "Volume of all parts times the density of the wood at 12 % moisture.",
        "Specific gravity of the Wood Handbook (FPL-GTR-190), table 5-3.",
        "Pins, glue and finish are not counted; boards of one wood differ by a tenth or two.",
    ),
    explained(
        "stands",
        "Whether the centre of gravity lies over the hull of the places that touch the ground, and at \
         which tilt it leaves it: straight, and curled sideways to the stops.",
        "Derived; 0.1 mm counts as touching, under 3 degrees as rolling: habit.",
        "The chain is taken as stiff. A real one sags until more sections touch.",
    ),
    explained(
        "caution",
        "What a maker must know before cutting, gluing, finishing and giving away.",
        "Common practice, no source.",
        "Short; the makers of machines, glue and finish say more.",
    ),
    explained(
        "small-ball",
        "Whether a ball that breaks off its neck is smaller than the small-ball template.",
        "16 CFR 1500.19(a), 1.75 in.",
        "The clause speaks of balls meant to be thrown, rolled or bounced; a joint's ball is none.",
    ),
    explained(
        "order",
        "The order in which sections are glued: each closes round the ball of one that is there.",
        "Derived.",
        "Clamping and drying time are yours.",
    ),
    explained(
        "stock",
        "Height of each part, sanding of its split face, and a skin over it fit into a board of the shop.",
        "Boards as measured in the shop file; the skin is habit.",
        "Length and width of boards come with the layout.",
    ),
    explained(
        "zero",
        "Zero on the split face in both set-ups makes the thickness of the stock drop out.",
        "Derived.",
        "Touch-off errors of both set-ups still add up.",
    ),
    explained(
        "auto",
        "Of a joint that says `auto` the widest swing up to 30 degrees is taken, then the smallest ball with it.",
        HABIT,
        "Balls are tried in steps of 0.01 mm near the best, coarser elsewhere.",
    ),
    explained(
        "no-joint",
        "A joint that says `auto` has sizes that pass every check of forms.",
        HABIT,
        "Single changes are tried from a short list; others may do too.",
    ),
    explained(
        "wide-swing",
        "A joint bends up to 30 degrees.",
        HABIT,
        EXACT,
    ),
    explained(
        "thin-capture",
        "The mouth's radius is less than the ball's by 1.2 mm and by 0.12 of the ball's radius.",
        HABIT,
        EXACT,
    ),
    explained(
        "odd-clearance",
        "Ball and socket are 0.25 to 0.5 mm apart, or as far as the shop's record of a coupon found to fit.",
        HABIT,
        EXACT,
    ),
    explained(
        "thin-neck",
        "The neck withstands prying at the stop with a factor of two, and is never under 6.35 mm.",
        "Bending strength of the Wood Handbook (FPL-GTR-190), from memory; 1.8 N m of prying, from \
         memory.",
        "A screening with strengths of clear, straight-grained wood.",
    ),
    explained(
        "thin-land",
        "The ring of wood round a mouth is 3 mm or more.",
        HABIT,
        EXACT,
    ),
    explained(
        "narrow-flare",
        "The flare opens by at least the swing, so that the neck meets it along a line.",
        DERIVED,
        EXACT,
    ),
    explained(
        "pinch-gap",
        "No gap from 3/16 in to under 13 mm between moving faces, where a finger can be pinched.",
        "ASTM F963 4.18.1 (3/16 in, 1/2 in) and EN 71-1 (5, 12 mm) as quoted by test houses; the \
         stricter of each.",
        "At rest on the axis, and for flat faces at the far side of the swing. The wedge beside a dome is \
         told by `gap`. A screening: it never says that a toy complies.",
    ),
    explained(
        "faces-meet",
        "Flat end faces let the joint bend as far as neck and mouth do.",
        DERIVED,
        EXACT,
    ),
    explained("no-pin", "Each half has a place for a pin.", HABIT, PLAN),
    explained(
        "no-room-for-tabs",
        "Two tabs fit on each long side.",
        HABIT,
        PLAN,
    ),
    explained(
        "short-grain",
        "The root of a plate is at least 1.5 times as long as the plate stands out.",
        HABIT,
        "Of the outline in plan; the grain is taken to run along the chain.",
    ),
    explained(
        "no-cutter-for-marks",
        "A cutter of the shop has the job `marks`.",
        "Shop file.",
        "",
    ),
    explained(
        "no-mark",
        "The glue face has room for number and arrow.",
        HABIT,
        PLAN,
    ),
    explained(
        "no-front-groove",
        "The glue face has room for a glue groove.",
        HABIT,
        PLAN,
    ),
    explained(
        "no-rear-groove",
        "The glue face has room for a glue groove.",
        HABIT,
        PLAN,
    ),
    explained(
        "lean",
        "Rim and ends lean away from the cutter by its taper and half a degree.",
        HABIT,
        "Of the finishing cutter as written.",
    ),
    explained(
        "ring-porous",
        "The wood of balls is fine-pored: oak and ash splinter.",
        HABIT,
        "Of the species as written.",
    ),
];

/// The words on the check of this name.
pub fn explain(name: &str) -> Option<&'static Explained> {
    EXPLAINED.iter().find(|e| e.check == name)
}
