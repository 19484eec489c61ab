//! Layers of a drawing: names, order, colours.

/// What a line of a drawing shows; the order is that of the layers in a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Layer {
    /// Border of a piece of stock.
    Stock,
    /// Between what is kept free for clamps, of a piece.
    Clamps,
    /// Windows cut round the parts of a piece.
    Windows,
    /// Holes for the dowels of the flip.
    Dowels,
    /// The outline in the split plane, with ball, neck, mouth and plates.
    Outline,
    /// Pin holes, as wide as their walls.
    PinHoles,
    /// Mouths of chamfered pin holes: not the size to drill.
    PinChamfers,
    /// Glue groove round a socket.
    GlueGroove,
    /// Arrow and number.
    Marks,
    /// Tabs of the held body.
    Tabs,
    /// Eyes.
    Eyes,
    /// Flats on the outer form.
    Flats,
    /// Bars to measure on paper or wood.
    Bars,
    /// Centre line, datum and the arrow to the front.
    Axis,
    /// Words and the scale bar.
    Notes,
}

impl Layer {
    /// All, in their order.
    pub const ALL: [Layer; 15] = [
        Layer::Stock,
        Layer::Clamps,
        Layer::Windows,
        Layer::Dowels,
        Layer::Outline,
        Layer::PinHoles,
        Layer::PinChamfers,
        Layer::GlueGroove,
        Layer::Marks,
        Layer::Tabs,
        Layer::Eyes,
        Layer::Flats,
        Layer::Bars,
        Layer::Axis,
        Layer::Notes,
    ];

    /// Its name on the near side.
    pub const fn word(self) -> &'static str {
        match self {
            Layer::Stock => "stock",
            Layer::Clamps => "clamps outside",
            Layer::Windows => "windows",
            Layer::Dowels => "dowel holes",
            Layer::Outline => "outline",
            Layer::PinHoles => "pin holes",
            Layer::PinChamfers => "pin chamfers",
            Layer::GlueGroove => "glue groove",
            Layer::Marks => "marks",
            Layer::Tabs => "tabs",
            Layer::Eyes => "eyes",
            Layer::Flats => "flats",
            Layer::Bars => "bars",
            Layer::Axis => "axis",
            Layer::Notes => "notes",
        }
    }

    /// Its full name.
    pub fn name(self, far: bool) -> String {
        let side = if far { " (far side)" } else { "" };
        format!("{}{side}", self.word())
    }

    /// Colour: number in the colour table of DXF, and much the same for SVG, dark enough for paper
    /// (by eye).
    pub const fn colour(self) -> (u8, &'static str) {
        match self {
            Layer::Stock => (9, "#505050"),
            Layer::Clamps => (40, "#b08000"),
            Layer::Windows => (14, "#900000"),
            Layer::Dowels => (150, "#006090"),
            Layer::Outline | Layer::Notes | Layer::Bars => (7, "#000000"),
            Layer::PinHoles => (5, "#0000d0"),
            Layer::PinChamfers => (4, "#0090a0"),
            Layer::GlueGroove => (3, "#008000"),
            Layer::Marks => (6, "#b000b0"),
            Layer::Tabs => (1, "#d00000"),
            Layer::Eyes => (30, "#d06000"),
            Layer::Flats => (34, "#805030"),
            Layer::Axis => (8, "#707070"),
        }
    }
}
