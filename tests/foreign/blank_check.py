"""Read pieces of stock with a B-rep kernel and a mesh library that are not ours.

    python blank_check.py FOLDER...       last line "N passed, M failed"; exit 1 if any failed

A folder is the output of `limberwood blank`. Of each kind of piece in each state: both STEP files hold
one valid solid, as large as the stock, with the origin on the axis of the front dowel, of the volume
that blanks.json says; the second set-up turned half a turn about x is the first; the STL is closed and
of the same volume; no state has wood that the one before lacks, and each has less. A cut just under the
upper face of the finished piece has the area of the stock less windows and dowel holes, one loop for
each, the dowel holes where blanks.json says; before the second set-up there is nothing in it but those
holes.
"""
import json
import math
import sys
from pathlib import Path

import manifold3d
import numpy
import trimesh
from OCP.Bnd import Bnd_Box
from OCP.BRepBndLib import BRepBndLib
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.STEPControl import STEPControl_Reader
from OCP.TopAbs import TopAbs_SOLID
from OCP.TopExp import TopExp_Explorer

# Places of the kernel, mm and relative volume: its own default tolerance is 1e-7 mm.
PLACE = 1e-6
VOLUME = 1e-7
# Relative error that the kernel's quadrature is asked for: with its usual fixed rule it is 1e-4 off on
# faces with long spline borders.
QUADRATURE = 1e-8
STATES = ("inside cut", "rough", "finished")
# Facets of the same face may differ from state to state by their deviation, 0.02 mm: of a hemisphere of
# 10 mm, the largest curved face that is cut from the inside, mm3.
FACETS = 0.02 * 2 * math.pi * 10**2
# A cut so far under the upper face lies above every part: they keep a skin of 0.3 mm.
UNDER = 0.1


def solid_of(path):
    reader = STEPControl_Reader()
    if int(reader.ReadFile(str(path))) != 1:
        raise ValueError("not read")
    reader.TransferRoots()
    shape = reader.OneShape()
    solids, walk = 0, TopExp_Explorer(shape, TopAbs_SOLID)
    while walk.More():
        solids += 1
        walk.Next()
    props = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, props, QUADRATURE, False, False)
    box = Bnd_Box()
    BRepBndLib.AddOptimal_s(shape, box, False, False)
    corners = [[c.X(), c.Y(), c.Z()] for c in (box.CornerMin(), box.CornerMax())]
    centre = props.CentreOfMass()
    return {
        "solids": solids,
        "valid": BRepCheck_Analyzer(shape).IsValid(),
        "volume": props.Mass(),
        "centre": numpy.array([centre.X(), centre.Y(), centre.Z()]),
        "box": numpy.array(corners),
    }


def window_area(core, width):
    """Of all places within a width of a convex polygon (Steiner's formula)."""
    ring = list(zip(core, core[1:] + core[:1]))
    area = 0.5 * sum(p[0] * q[1] - p[1] * q[0] for p, q in ring)
    border = sum(math.dist(p, q) for p, q in ring)
    return area + border * width + math.pi * width**2


class Tally:
    def __init__(self):
        self.passed, self.failed = 0, 0

    def want(self, true, words):
        if true:
            self.passed += 1
        else:
            self.failed += 1
            print("FAILED", words)


def piece(folder, stock, kind, tally):
    name = kind["name"]
    stated = [state["state"] for state in kind["states"]]
    tally.want(tuple(stated) == STATES, f"{name}: states {stated}")
    before = None
    for state in kind["states"]:
        title = f"{name} {state['state']}"
        if state["left_out"]:
            print("left out:", title, state["left_out"])
            continue
        mesh = in_state(folder, stock, kind, state, tally)
        if state["state"] == "finished":
            sections(stock, kind, mesh, tally)
        if state["state"] == "inside cut":
            whole_top(stock, kind, mesh, tally)
        body = manifold3d.Manifold(manifold3d.Mesh64(
            vert_properties=numpy.asarray(mesh.vertices, dtype=numpy.float64),
            tri_verts=numpy.asarray(mesh.faces, dtype=numpy.uint64)))
        tally.want(body.status() == manifold3d.Error.NoError, f"{title}: {body.status()}")
        if before is not None:
            more, less = (body - before).volume(), (before - body).volume()
            tally.want(more < FACETS * len(kind["parts"]), f"{title}: {more} mm3 of new wood")
            tally.want(less > 100 * len(kind["parts"]), f"{title}: but {less} mm3 are cut")
        before = body


def in_state(folder, stock, kind, state, tally):
    """Both poses of a piece in a state; its mesh as it lies outside up."""
    length, width = stock["size_mm"]
    thick = stock["thickness_mm"]
    x, y = stock["origin"]
    ends = {}
    lying = None
    for set_up in ("outside-up", "inside-up"):
        stem = folder / f"{kind['name']}-{state['state'].replace(' ', '-')}-{set_up}"
        named = {f"{stem.name}.{end}" for end in ("stl", "step")} <= set(state["files"])
        tally.want(named, f"{stem.name}: not among {state['files']}")
        found = solid_of(stem.with_suffix(".step"))
        ends[set_up] = found
        tally.want(found["solids"] == 1 and found["valid"], f"{stem.name}: one valid solid")
        off = abs(found["volume"] / state["volume_mm3"] - 1)
        tally.want(off < VOLUME, f"{stem.name}: volume {found['volume']}, not {state['volume_mm3']}")
        low = [-x, -y, 0.0] if set_up == "outside-up" else [-x, y - width, -thick]
        wanted = numpy.array([low, [low[0] + length, low[1] + width, low[2] + thick]])
        tally.want(abs(found["box"] - wanted).max() < PLACE, f"{stem.name}: box {found['box']}")
        mesh = trimesh.load_mesh(stem.with_suffix(".stl"))
        tally.want(mesh.is_watertight and mesh.is_winding_consistent, f"{stem.name}: closed mesh")
        heights = next(h for h in kind["set_ups"] if h["set_up"].replace(" ", "-") == set_up)
        box = abs(mesh.bounds - numpy.array(heights["stock_mm"])).max()
        tally.want(box < 1e-3, f"{stem.name}: corners off by {box} of the stock's")
        level = heights["bed_mm"] < heights["top_mm"] < heights["safe_mm"]
        tally.want(level and heights["bed_mm"] == heights["stock_mm"][0][2], f"{stem.name}: {heights}")
        # Facets lie within 0.02 mm of the faces.
        off = abs(mesh.volume - found["volume"])
        tally.want(off < 0.02 * mesh.area, f"{stem.name}: mesh volume off by {off}")
        if set_up == "outside-up":
            lying = mesh
    a, b = ends["outside-up"], ends["inside-up"]
    title = f"{kind['name']} {state['state']}"
    tally.want(abs(a["volume"] / b["volume"] - 1) < VOLUME, f"{title}: volumes {a} {b}")
    turned = a["centre"] * [1, -1, -1]
    tally.want(abs(turned - b["centre"]).max() < 1e-4, f"{title}: centres {turned} {b['centre']}")
    return lying


def whole_top(stock, kind, mesh, tally):
    """Before the second set-up the outer face has the holes of the dowels and nothing else."""
    cut = mesh.section([0, 0, 1], [0, 0, stock["thickness_mm"] - UNDER])
    loops = sorted((loop_of(points)["area"] for points in cut.discrete), reverse=True)
    holes = sorted((math.pi * d["hole_mm"] ** 2 / 4 for d in stock["dowels"]), reverse=True)
    wanted = [math.prod(stock["size_mm"]), *holes]
    true = len(loops) == 3 and all(abs(a - b) < 1.0 for a, b in zip(loops, wanted))
    tally.want(true, f"{kind['name']}: {loops} at the top, not {wanted}")


def sections(stock, kind, mesh, tally):
    """Cuts through the piece as it lies outside up."""
    name, thick = kind["name"], stock["thickness_mm"]
    holes = sum(math.pi * d["hole_mm"] ** 2 / 4 for d in stock["dowels"])
    windows = sum(window_area(p["core_mm"], p["window_mm"]) for p in kind["parts"])
    wanted = math.prod(stock["size_mm"]) - holes - windows
    cut = mesh.section([0, 0, 1], [0, 0, thick - UNDER])
    loops = sorted((loop_of(points) for points in cut.discrete), key=lambda loop: -loop["area"])
    area = loops[0]["area"] - sum(loop["area"] for loop in loops[1:])
    # Chords of arcs stay within 0.02 mm of them.
    off = abs(area - wanted)
    border = sum(loop["border"] for loop in loops)
    tally.want(off < 0.02 * border, f"{name}: {area} mm2 at the top, not {wanted}")
    tally.want(len(loops) == 3 + len(kind["parts"]), f"{name}: {len(loops)} loops at the top")
    for dowel in stock["dowels"]:
        at = numpy.array(dowel["at_mm"]) - stock["origin"]
        near = [loop for loop in loops if abs(loop["centre"] - at).max() < 0.05]
        true = len(near) == 1 and abs(near[0]["area"] - math.pi * dowel["hole_mm"] ** 2 / 4) < 1.0
        tally.want(true, f"{name}: hole at {at} {near}")


def loop_of(points):
    """Area, centre and border of a closed line in a level plane."""
    p = points[:, :2]
    q = numpy.roll(p, -1, axis=0)
    cross = p[:, 0] * q[:, 1] - p[:, 1] * q[:, 0]
    area = 0.5 * cross.sum()
    return {
        "area": abs(area),
        "centre": ((p + q) * cross[:, None]).sum(axis=0) / (6 * area),
        "border": numpy.linalg.norm(q - p, axis=1).sum(),
    }


def main(folders):
    tally = Tally()
    for folder in map(Path, folders):
        record = json.loads((folder / "blanks.json").read_text())
        for stock in record["stocks"]:
            for kind in stock["kinds"]:
                piece(folder, stock, kind, tally)
    if tally.passed == 0:
        print("FAILED nothing to check")
        tally.failed += 1
    print(f"{tally.passed} passed, {tally.failed} failed")
    return tally.failed == 0


if __name__ == "__main__":
    sys.exit(0 if main(sys.argv[1:]) else 1)
