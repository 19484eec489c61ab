//! A drawing as DXF R2000 in ASCII (AC1015), after the published DXF reference (from memory; a
//! foreign reader's audit holds it).

mod entities;
mod tables;
mod tags;

use super::group::groups;
use super::sheet::Sheet;
use super::{Drawing, Title};
use tags::Tags;

/// Handles that are fixed (any would do, each once).
pub(super) mod handle {
    pub const MODEL_SPACE: u32 = 0x20;
    pub const PAPER_SPACE: u32 = 0x21;
    pub const DIMENSION_STYLE: u32 = 0x22;
    pub const ROOT: u32 = 0xC;
    pub const GROUPS: u32 = 0xD;
    /// Tables have the handles 1 to 9; from here on they are counted.
    pub const FREE: u32 = 0x30;
}

pub(super) fn write(drawing: &Drawing, title: &Title) -> Vec<u8> {
    let sheet = Sheet::of(drawing, title);
    let groups = groups(drawing, &sheet);
    let mut body = Tags::new(handle::FREE);
    body.section("CLASSES", |_| ());
    body.section("TABLES", |t| tables::tables(t, &groups, &sheet));
    body.section("BLOCKS", tables::blocks);
    body.section("ENTITIES", |t| entities::entities(t, &groups));
    body.section("OBJECTS", tables::objects);
    body.put(0, "EOF");
    let mut head = Tags::new(0);
    let seed = body.next_handle();
    head.section("HEADER", |t| header(t, &sheet, seed));
    (head.text + &body.text).into_bytes()
}

fn header(t: &mut Tags, sheet: &Sheet, seed: u32) {
    let (low, high) = sheet.page;
    t.variable("$ACADVER", &[(1, "AC1015")]);
    t.variable("$DWGCODEPAGE", &[(3, "ANSI_1252")]);
    t.put(9, "$EXTMIN").place(10, low);
    t.put(9, "$EXTMAX").place(10, high);
    t.put(9, "$LIMMIN").flat_place(10, low);
    t.put(9, "$LIMMAX").flat_place(10, high);
    t.variable("$LTSCALE", &[(40, "1")]);
    // 4 is mm; 1 is metric: patterns of lines are in mm too.
    t.variable("$INSUNITS", &[(70, "4")]);
    t.variable("$MEASUREMENT", &[(70, "1")]);
    // Decimal lengths and four places of them, as written (`number.rs`).
    t.variable("$LUNITS", &[(70, "2")]);
    t.variable("$LUPREC", &[(70, "4")]);
    t.put(9, "$HANDSEED").handle(5, seed);
}
