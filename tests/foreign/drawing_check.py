"""Read DXF and SVG drawings with readers that are not ours, and hold them against each other.

    python drawing_check.py FOLDER...     last line "N passed, M failed"; exit 1 if any failed

A folder is searched with all below it. Each NAME.dxf is read and audited by `ezdxf`, each NAME.svg
by an XML parser, its paths by `svgelements`. Wanted: unit mm, layers in their order, closed
outlines, width in mm equal to the viewBox; and of each pair the same outline (area and box), pin
hole circles, layers and words.
"""
import math
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import ezdxf
from ezdxf import bbox
from ezdxf.lldxf.encoding import decode_dxf_unicode, has_dxf_unicode
from ezdxf.path import make_path
from svgelements import Path as SvgPath

# Lengths are written to four decimals: a corner moves by half of the last one in x and y, and an
# arc's belly by a little more.
PLACE = 2e-4
LAYERS = ["outline", "pin holes", "pin chamfers", "glue groove", "marks", "tabs", "eyes", "axis",
          "notes"]
FAR = " (far side)"
SVG = "{http://www.w3.org/2000/svg}"
# Sense of an area: mm of outline times the rounding of its places.
CHORD = 1e-3


class Wrong(Exception):
    """What was found and what was wanted."""


def want(true, words):
    if not true:
        raise Wrong(words)


def order(names):
    """Layers by their rank, far side behind near side."""
    ranks = []
    for name in names:
        far = name.endswith(FAR)
        plain = name.removesuffix(FAR)
        want(plain in LAYERS, f"a layer {name!r}")
        ranks.append((LAYERS.index(plain), far))
    want(ranks == sorted(set(ranks)), f"layers out of order: {names}")
    for always in ("outline", "axis", "notes"):
        want(always in names, f"no layer {always!r}")


def polygon_area(points):
    pairs = zip(points, points[1:] + points[:1])
    return 0.5 * sum(p[0] * q[1] - p[1] * q[0] for p, q in pairs)


def bulged_area(line):
    """Polygon of the corners and the segments under the bulges; the foreign reader's numbers."""
    corners = list(line.get_points("xyb"))
    area = polygon_area([(x, y) for x, y, _ in corners])
    for (x, y, bulge), (x2, y2, _) in zip(corners, corners[1:] + corners[:1]):
        if bulge:
            turn = 4 * math.atan(bulge)
            radius = math.hypot(x2 - x, y2 - y) / (2 * math.sin(abs(turn) / 2))
            area += 0.5 * radius * radius * (turn - math.sin(turn))
    return abs(area)


def length(line):
    corners = [tuple(p)[:2] for p in make_path(line).flattening(0.01)]
    return sum(math.dist(p, q) for p, q in zip(corners, corners[1:]))


def words_of(text):
    if has_dxf_unicode(text):
        text = decode_dxf_unicode(text)
    return text.encode("utf-16", "surrogatepass").decode("utf-16")


def of_dxf(path):
    doc = ezdxf.readfile(path)
    audit = doc.audit()
    want(not audit.errors, f"audit: {[e.message for e in audit.errors][:3]}")
    want(not audit.fixes, f"audit mended: {[e.message for e in audit.fixes][:3]}")
    want(doc.dxfversion == "AC1015", f"version {doc.dxfversion}")
    want(doc.header["$INSUNITS"] == 4 and doc.header["$MEASUREMENT"] == 1, "the unit is not mm")
    # The reader adds "Defpoints" itself.
    names = [layer.dxf.name for layer in doc.layers if layer.dxf.name not in ("0", "Defpoints")]
    order(names)
    for layer in doc.layers:
        dashed = layer.dxf.linetype == "DASHED"
        want(dashed == layer.dxf.name.endswith(FAR), f"line type of {layer.dxf.name!r}")
        want(layer.dxf.linetype in doc.linetypes, f"no line type {layer.dxf.linetype}")
    space = doc.modelspace()
    for entity in space:
        want(entity.dxf.layer in names, f"an entity on {entity.dxf.layer!r}")
    for line in space.query("LWPOLYLINE"):
        tab = line.dxf.layer == "tabs"
        want(line.closed or tab, f"an open line on {line.dxf.layer!r}")
    outlines = [e for e in space if e.dxf.layer == "outline"]
    want(len(outlines) == 1 and outlines[0].dxftype() == "LWPOLYLINE", "not one outline")
    box = bbox.extents(outlines, fast=False)
    high = doc.header["$EXTMAX"], doc.header["$EXTMIN"]
    whole = bbox.extents([e for e in space if e.dxftype() != "TEXT"], fast=True)
    want(high[1][0] < whole.extmin.x and high[0][0] > whole.extmax.x, "$EXTMIN or $EXTMAX")
    return {
        "names": names,
        "area": bulged_area(outlines[0]),
        "box": (box.extmin.x, box.extmin.y, box.extmax.x, box.extmax.y),
        "length": length(outlines[0]),
        "holes": sorted((c.dxf.center.x, c.dxf.center.y, c.dxf.radius, c.dxf.layer)
                        for c in space.query("CIRCLE")),
        "words": sorted(words_of(t.dxf.text) for t in space.query("TEXT")),
        "counts": {n: sum(e.dxf.layer == n for e in space) for n in names},
    }


def millimetres(text):
    want(text.endswith("mm"), f"a size {text!r} not in mm")
    return float(text[:-2])


def svg_area(path):
    """Straight pieces, and the segments under the arcs as the foreign reader centres them."""
    area = 0.0
    for piece in path:
        if type(piece).__name__ == "Move":
            continue
        (x, y), (x2, y2) = piece.start, piece.end
        area += 0.5 * (x * y2 - y * x2)
        if type(piece).__name__ == "Arc":
            turn = float(piece.sweep)
            area += 0.5 * piece.rx * piece.ry * (turn - math.sin(turn))
    return abs(area)


def of_svg(path):
    root = ET.parse(path).getroot()
    want(root.tag == SVG + "svg" and root.get("version") == "1.1", "no SVG 1.1")
    box = [float(n) for n in root.get("viewBox").split()]
    size = [millimetres(root.get(k)) for k in ("width", "height")]
    want(size == box[2:], f"size {size} mm, viewBox {box}")
    want(root.find(SVG + "title") is not None and root.find(SVG + "desc") is not None, "no title")
    groups = root.findall(SVG + "g")
    names = [g.find(SVG + "title").text for g in groups]
    order(names)
    ids = [g.get("id") for g in groups]
    want(len(set(ids)) == len(ids), "ids twice")
    for group, name in zip(groups, names):
        want((group.get("stroke-dasharray") is not None) == name.endswith(FAR), f"dash of {name}")
    outlines = groups[names.index("outline")].findall(SVG + "path")
    want(len(outlines) == 1 and outlines[0].get("d").endswith("Z"), "not one closed outline")
    outline = SvgPath(outlines[0].get("d"))
    x0, y0, x1, y1 = outline.bbox()
    want(box[0] < x0 and box[1] < y0 and box[0] + box[2] > x1 and box[1] + box[3] > y1,
         "the outline leaves the sheet")
    circles = [(float(c.get("cx")), -float(c.get("cy")), float(c.get("r")), name)
               for group, name in zip(groups, names) for c in group.findall(SVG + "circle")]
    return {
        "names": names,
        "area": svg_area(outline),
        "box": (x0, -y1, x1, -y0),
        "holes": sorted(circles),
        "words": sorted(t.text for t in root.iter(SVG + "text")),
        "counts": {n: sum(c.tag != SVG + "title" for c in g) for g, n in zip(groups, names)},
    }


def alike(dxf, svg):
    for key in ("names", "words", "counts"):
        want(dxf[key] == svg[key], f"{key}: DXF {dxf[key]}, SVG {svg[key]}")
    off = max(abs(a - b) for a, b in zip(dxf["box"], svg["box"]))
    want(off < PLACE, f"boxes of the outline are {off} mm apart")
    off = abs(dxf["area"] - svg["area"])
    allowed = CHORD + PLACE * dxf["length"]
    want(off < allowed, f"areas of the outline are {off} mm2 apart, allowed {allowed}")
    want(len(dxf["holes"]) == len(svg["holes"]), "not the same circles")
    for a, b in zip(dxf["holes"], svg["holes"]):
        want(a == b, f"circles: DXF {a}, SVG {b}")


def check(stem):
    found = {}
    for ending, read in ((".dxf", of_dxf), (".svg", of_svg)):
        path = stem.with_name(stem.name + ending)
        want(path.is_file(), f"no {path.name}")
        found[ending] = read(path)
    alike(found[".dxf"], found[".svg"])


def main(folders):
    if not folders:
        print(__doc__)
        return 2
    files = [p for f in folders for e in ("*.dxf", "*.svg") for p in Path(f).rglob(e)]
    passed = failed = 0
    for stem in sorted({p.with_name(p.name[:-4]) for p in files}):
        try:
            check(stem)
            passed += 1
        except (Wrong, ezdxf.DXFError, ET.ParseError, ValueError, AttributeError) as error:
            failed += 1
            print(f"{stem}: {type(error).__name__}: {error}")
    if passed + failed == 0:
        print("no drawing found")
        failed = 1
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
