"""Read DXF and SVG drawings with readers that are not ours, and hold them against each other.

    python drawing_check.py FOLDER...     last line "N passed, M failed"; exit 1 if any failed

A folder is searched with all below it. Each NAME.dxf is read and audited by `ezdxf`, each NAME.svg
by an XML parser, its paths by `svgelements`. Wanted: unit mm, layers in their order, closed
lines, width in mm equal to the viewBox; and of each pair the same lines on every layer (area and
box of the closed ones, box of open ones), the same circles, layers and words.
"""
import math
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import ezdxf
from ezdxf import bbox
from ezdxf.lldxf.encoding import decode_dxf_unicode, has_dxf_unicode
from svgelements import Path as SvgPath

# Lengths are written to four decimals: a corner moves by half of the last one in x and y, and the
# middle of a quarter turn by 1.6e-4 at most (ends and radius rounded; derived in the Rust test of
# the arcs). An area changes by no more than this over the length of its line.
PLACE = 2e-4
LAYERS = ["stock", "clamps outside", "windows", "dowel holes", "outline", "pin holes", "pin chamfers", "glue groove", "marks", "tabs", "eyes", "flats",
          "bars", "axis", "notes"]
FAR = " (far side)"
SVG = "{http://www.w3.org/2000/svg}"


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


class Line:
    """A line as straight pieces and arcs, each (from, to, turn); the turn of a straight one is 0."""

    def __init__(self, pieces, closed):
        self.pieces, self.closed = pieces, closed

    def area(self):
        """Polygon of the corners and the segments under the arcs."""
        area = 0.0
        for (x, y), (x2, y2), turn in self.pieces:
            area += 0.5 * (x * y2 - y * x2)
            if turn:
                radius = math.dist((x, y), (x2, y2)) / (2 * math.sin(abs(turn) / 2))
                area += 0.5 * radius * radius * (turn - math.sin(turn))
        return area

    def length(self):
        return sum(math.dist(p, q) * (abs(turn) / 2 / math.sin(abs(turn) / 2) if turn else 1)
                   for p, q, turn in self.pieces)

    def box(self):
        """Least x and y, greatest x and y: of the corners, and where an arc runs level or upright."""
        places = [p for piece in self.pieces for p in piece[:2]]
        for (x, y), (x2, y2), turn in self.pieces:
            if not turn:
                continue
            # The centre lies beside the middle of the chord, to the left of a turn to the left.
            beside = 0.5 / math.tan(turn / 2)
            centre = (0.5 * (x + x2) - beside * (y2 - y), 0.5 * (y + y2) + beside * (x2 - x))
            radius = math.dist(centre, (x, y))
            first = math.atan2(y - centre[1], x - centre[0])
            for quarter in range(4):
                angle = quarter * math.pi / 2
                passed = (angle - first if turn > 0 else first - angle) % (2 * math.pi)
                if passed <= abs(turn):
                    places.append((centre[0] + radius * math.cos(angle),
                                   centre[1] + radius * math.sin(angle)))
        xs, ys = zip(*places)
        return min(xs), min(ys), max(xs), max(ys)


def of_polyline(entity):
    corners = list(entity.get_points("xyb"))
    following = corners[1:] + corners[:1] if entity.closed else corners[1:]
    return Line([(p[:2], q[:2], 4 * math.atan(p[2])) for p, q in zip(corners, following)],
                entity.closed)


def of_path(text):
    """Arcs turn as the foreign reader centres them; y points up again."""
    pieces, closed = [], False
    for piece in SvgPath(text):
        kind = type(piece).__name__
        want(kind in ("Move", "Line", "Arc", "Close"), f"a piece {kind}")
        closed |= kind == "Close"
        if kind == "Move":
            continue
        start, end = (piece.start.x, -piece.start.y), (piece.end.x, -piece.end.y)
        pieces.append((start, end, -float(piece.sweep) if kind == "Arc" else 0.0))
    return Line(pieces, closed)


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
        open_too = line.dxf.layer in ("tabs", "bars")
        want(line.closed or open_too, f"an open line on {line.dxf.layer!r}")
    outlines = [e for e in space if e.dxf.layer == "outline"]
    # A piece of stock has one in each window, the template for its dowels none.
    windows = [e for e in space if e.dxf.layer == "windows"]
    wanted = len(windows) if any(e.dxf.layer == "stock" for e in space) else 1
    lines = all(e.dxftype() == "LWPOLYLINE" for e in outlines)
    want(len(outlines) == wanted and lines, f"{len(outlines)} outlines, not {wanted}")
    low, high = doc.header["$EXTMIN"], doc.header["$EXTMAX"]
    whole = bbox.extents([e for e in space if e.dxftype() != "TEXT"], fast=True)
    want(low[0] < whole.extmin.x and high[0] > whole.extmax.x, "$EXTMIN or $EXTMAX")
    return {
        "names": names,
        "lines": {n: [of_polyline(e) for e in space.query("LWPOLYLINE") if e.dxf.layer == n]
                  for n in names},
        "circles": sorted((c.dxf.center.x, c.dxf.center.y, c.dxf.radius, c.dxf.layer)
                        for c in space.query("CIRCLE")),
        "words": sorted(words_of(t.dxf.text) for t in space.query("TEXT")),
        "counts": {n: sum(e.dxf.layer == n for e in space) for n in names},
    }


def millimetres(text):
    want(text.endswith("mm"), f"a size {text!r} not in mm")
    return float(text[:-2])


def drawn(group, name):
    """The lines of a layer without its rules, which are LINE in a DXF: those of the axis, and of the
    scale bar in the notes."""
    if name in ("axis", "notes"):
        return []
    return [of_path(p.get("d")) for p in group.findall(SVG + "path")]


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
    want(all(o.get("d").endswith("Z") for o in outlines), "an open outline")
    # How many there are is held against the DXF. A template has the border of the stock alone.
    for line in outlines or groups[names.index("stock")].findall(SVG + "path"):
        x0, y0, x1, y1 = SvgPath(line.get("d")).bbox()
        want(box[0] < x0 and box[1] < y0 and box[0] + box[2] > x1 and box[1] + box[3] > y1,
             "the outline leaves the sheet")
    circles = [(float(c.get("cx")), -float(c.get("cy")), float(c.get("r")), name)
               for group, name in zip(groups, names) for c in group.findall(SVG + "circle")]
    return {
        "names": names,
        "lines": {name: drawn(group, name) for group, name in zip(groups, names)},
        "circles": sorted(circles),
        "words": sorted(t.text for t in root.iter(SVG + "text")),
        "counts": {n: sum(c.tag != SVG + "title" for c in g) for g, n in zip(groups, names)},
    }


def alike(dxf, svg):
    for key in ("names", "words", "counts"):
        want(dxf[key] == svg[key], f"{key}: DXF {dxf[key]}, SVG {svg[key]}")
    for name in dxf["names"]:
        ours, theirs = dxf["lines"][name], svg["lines"][name]
        want(len(ours) == len(theirs), f"{name}: {len(ours)} lines in DXF, {len(theirs)} in SVG")
        for one, other in zip(ours, theirs):
            same_line(name, one, other)
    want(len(dxf["circles"]) == len(svg["circles"]), "not the same circles")
    for a, b in zip(dxf["circles"], svg["circles"]):
        want(a == b, f"circles: DXF {a}, SVG {b}")


def same_line(name, dxf, svg):
    want(dxf.closed == svg.closed, f"{name}: closed in one only")
    off = max(abs(a - b) for a, b in zip(dxf.box(), svg.box()))
    want(off < PLACE, f"{name}: boxes are {off} mm apart")
    if dxf.closed:
        off = abs(dxf.area() - svg.area())
        allowed = PLACE * dxf.length()
        want(off < allowed, f"{name}: areas are {off} mm2 apart, allowed {allowed}")


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
