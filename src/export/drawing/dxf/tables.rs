//! Tables, blocks and objects: what a reader of R2000 wants to find in every file.

use super::super::group::Group;
use super::super::layer::Layer;
use super::super::number::length;
use super::super::sheet::{self, CENTRE, DASHES, Sheet};
use super::handle;
use super::tags::Tags;

/// Line types: name, description, and dashes and gaps in turn, mm.
const LINE_TYPES: [(&str, &str, &[f64]); 5] = [
    ("ByBlock", "", &[]),
    ("ByLayer", "", &[]),
    ("Continuous", "Solid line", &[]),
    ("DASHED", "Dashed __ __ __", DASHES),
    ("CENTER", "Center ____ _ ____", CENTRE),
];

/// The line type of a layer.
fn line_type(layer: Layer, far: bool) -> &'static str {
    match (layer, far) {
        (_, true) => "DASHED",
        (Layer::Axis, _) => "CENTER",
        _ => "Continuous",
    }
}

pub(super) fn tables(t: &mut Tags, groups: &[Group<'_>], sheet: &Sheet) {
    table(t, "VPORT", 1, 1, |t| view(t, sheet));
    table(t, "LTYPE", 2, LINE_TYPES.len(), |t| {
        for (name, words, dashes) in LINE_TYPES {
            entry(t, "LTYPE", 2, "AcDbLinetypeTableRecord", name);
            t.put(3, words).put(72, 65).put(73, dashes.len());
            t.mm(40, dashes.iter().sum());
            // Gaps are negative.
            for (dash, sign) in dashes.iter().zip([1.0, -1.0].into_iter().cycle()) {
                t.mm(49, sign * dash).put(74, 0);
            }
        }
    });
    table(t, "LAYER", 3, groups.len() + 1, |t| {
        // Colour 7 is black or white, whichever shows.
        layer(t, "0", 7, "Continuous");
        for own in groups {
            let line_type = line_type(own.layer, own.far);
            layer(t, &own.name, own.layer.colour().0, line_type);
        }
    });
    table(t, "STYLE", 4, 1, |t| {
        entry(t, "STYLE", 4, "AcDbTextStyleTableRecord", "Standard");
        t.put(40, 0).put(41, 1).put(50, 0).put(71, 0);
        t.put(42, length(sheet::SMALL))
            .put(3, "arial.ttf")
            .put(4, "");
    });
    table(t, "VIEW", 5, 0, |_| ());
    table(t, "UCS", 6, 0, |_| ());
    table(t, "APPID", 7, 1, |t| {
        entry(t, "APPID", 7, "AcDbRegAppTableRecord", "ACAD");
    });
    table(t, "DIMSTYLE", 8, 1, dimension_style);
    table(t, "BLOCK_RECORD", 9, 2, |t| {
        for (own, name) in SPACES {
            t.put(0, "BLOCK_RECORD").handle(5, own).handle(330, 9);
            t.put(100, "AcDbSymbolTableRecord");
            t.put(100, "AcDbBlockTableRecord").put(2, name);
            t.handle(340, 0);
        }
    });
}

/// Width of a window over its height (habit).
const WINDOW: f64 = 1.6;

/// Blocks of every file, and the handles of their records.
const SPACES: [(u32, &str); 2] = [
    (handle::MODEL_SPACE, "*Model_Space"),
    (handle::PAPER_SPACE, "*Paper_Space"),
];

fn table(t: &mut Tags, name: &str, own: u32, count: usize, fill: impl FnOnce(&mut Tags)) {
    t.put(0, "TABLE").put(2, name).handle(5, own).handle(330, 0);
    t.put(100, "AcDbSymbolTable").put(70, count);
    if name == "DIMSTYLE" {
        t.put(100, "AcDbDimStyleTable").put(71, 0);
    }
    fill(t);
    t.put(0, "ENDTAB");
}

fn entry(t: &mut Tags, kind: &str, table: u32, class: &str, name: &str) {
    t.record(kind, table).put(100, "AcDbSymbolTableRecord");
    t.put(100, class).put(2, name).put(70, 0);
}

fn layer(t: &mut Tags, name: &str, colour: u8, line_type: &str) {
    entry(t, "LAYER", 3, "AcDbLayerTableRecord", name);
    // 370: width of lines in hundredths of a mm.
    t.put(62, colour).put(6, line_type);
    t.put(370, (100.0 * sheet::LINE).round());
}

/// The view in which the file opens: the whole sheet, on a window as [`WINDOW`] is wide. The other
/// numbers are those of a plain view (DXF reference, from memory).
fn view(t: &mut Tags, sheet: &Sheet) {
    let (low, high) = sheet.page;
    let (w, h) = (high[0] - low[0], high[1] - low[1]);
    let middle = [0.5 * (low[0] + high[0]), 0.5 * (low[1] + high[1])];
    entry(t, "VPORT", 1, "AcDbViewportTableRecord", "*Active");
    t.flat_place(10, [0.0, 0.0]).flat_place(11, [1.0, 1.0]);
    t.flat_place(12, middle).flat_place(13, [0.0, 0.0]);
    t.flat_place(14, [10.0, 10.0]).flat_place(15, [10.0, 10.0]);
    // Looking down z at the origin.
    t.flat_place(16, [0.0, 0.0]).put(36, 1);
    t.place(17, [0.0, 0.0]);
    t.mm(40, h.max(w / WINDOW)).mm(41, WINDOW).mm(42, 50.0);
    t.put(43, 0).put(44, 0).put(50, 0).put(51, 0);
    for (code, value) in [(71, 0), (72, 100), (73, 1), (74, 3), (75, 0), (76, 0)] {
        t.put(code, value);
    }
    t.put(77, 0).put(78, 0);
}

/// A dimension style has its handle under 105. No dimension uses it.
fn dimension_style(t: &mut Tags) {
    t.put(0, "DIMSTYLE")
        .handle(105, handle::DIMENSION_STYLE)
        .handle(330, 8);
    t.put(100, "AcDbSymbolTableRecord");
    t.put(100, "AcDbDimStyleTableRecord");
    t.put(2, "Standard").put(70, 0);
}

pub(super) fn blocks(t: &mut Tags) {
    for (own, name) in SPACES {
        t.record("BLOCK", own).put(100, "AcDbEntity").put(8, "0");
        t.put(100, "AcDbBlockBegin").put(2, name).put(70, 0);
        t.place(10, [0.0, 0.0]).put(3, name).put(1, "");
        t.record("ENDBLK", own).put(100, "AcDbEntity").put(8, "0");
        t.put(100, "AcDbBlockEnd");
    }
}

pub(super) fn objects(t: &mut Tags) {
    let mut dictionary = |own: u32, owner: u32| {
        t.put(0, "DICTIONARY").handle(5, own).handle(330, owner);
        t.put(100, "AcDbDictionary").put(281, 1);
        if own == handle::ROOT {
            t.put(3, "ACAD_GROUP").handle(350, handle::GROUPS);
        }
    };
    dictionary(handle::ROOT, 0);
    dictionary(handle::GROUPS, handle::ROOT);
}
