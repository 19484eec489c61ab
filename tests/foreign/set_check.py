"""Check made sets of files with readers that share nothing with the program.

    python set_check.py [--expect EXPECTED.json] DIR...    exit 1 if any check fails

DIR holds a manifest.json and the files it lists. Looked at, per file: size and hash; per STL, with
a mesh library: watertight, one body, volume, box, triangles, and booleans with a box and with the
neighbours at their places; per STEP, with a B-rep kernel: one valid solid, volume, tolerance, kinds
of surfaces, names, colours, unit; with a Part 21 parser: every reference and attribute. The files of
all parts together: see together_check.py.
EXPECTED.json says more of sets by the name of the creature: see set_expect.py.
"""
import argparse
import hashlib
import json
import multiprocessing
import os
import sys
from pathlib import Path

import manifold3d
import numpy
import trimesh

import part21_check
import set_expect
import step_check
import together_check

# Relative: the mesh comes back from 32-bit numbers, whose step is 6e-8 of a coordinate.
ROUNDING = 2e-7
# The kernel's quadrature, relative.
QUADRATURE = 1e-4
# Edges lie on the surfaces of both their faces, mm: the project's model tolerance.
EDGE_DISTANCE = 1e-7

PLANE, SPHERE, CYLINDER = "PLANE", "SPHERICAL_SURFACE", "CYLINDRICAL_SURFACE"
CONE, TORUS, SPLINE = "CONICAL_SURFACE", "TOROIDAL_SURFACE", "B_SPLINE_SURFACE_WITH_KNOTS"
# What each kind of face may be made of: elementary surfaces as such.
INTENDED = {
    "split face": {PLANE}, "skin": {SPLINE}, "rim": {SPLINE, PLANE}, "front": {PLANE, SPHERE},
    "rear": {PLANE, SPHERE}, "socket": {SPHERE}, "flare": {CONE}, "ball": {SPHERE},
    "neck": {CYLINDER}, "fillet": {TORUS}, "pin wall": {CYLINDER, PLANE}, "pin floor": {PLANE},
    "pin chamfer": {CONE, PLANE}, "groove wall": {CYLINDER}, "groove floor": {PLANE},
    "mark wall": {CYLINDER, PLANE}, "mark floor": {PLANE},
    "plate top": {PLANE}, "plate wall": {PLANE, CYLINDER}, "plate ease": {PLANE, CONE},
    "tab top": {PLANE}, "tab underside": {PLANE}, "tab wall": {PLANE},
    "eye wall": {CYLINDER}, "eye floor": {PLANE}, "flat": {PLANE},
}
WOOD = (0.80, 0.62, 0.42)
# Colours as the project states them, sRGB; faces of the outer form have the part's colour.
COLOURS = {
    "split face": (0.93, 0.86, 0.70), "skin": WOOD, "rim": WOOD, "front": WOOD, "rear": WOOD,
    "socket": (0.30, 0.50, 0.75), "flare": (0.45, 0.65, 0.85), "ball": (0.75, 0.35, 0.25),
    "neck": (0.85, 0.50, 0.35), "fillet": (0.90, 0.60, 0.45), "pin wall": (0.35, 0.60, 0.35),
    "pin floor": (0.50, 0.75, 0.50), "pin chamfer": (0.60, 0.80, 0.60),
    "groove wall": (0.55, 0.55, 0.75), "groove floor": (0.45, 0.45, 0.68),
    "mark wall": (0.66, 0.50, 0.66), "mark floor": (0.56, 0.40, 0.56),
    "plate top": (0.72, 0.56, 0.36), "plate wall": (0.62, 0.47, 0.29),
    "plate ease": (0.80, 0.66, 0.46), "tab top": (0.45, 0.45, 0.50),
    "tab underside": (0.38, 0.38, 0.44), "tab wall": (0.52, 0.52, 0.57),
    "eye wall": (0.25, 0.22, 0.20), "eye floor": (0.18, 0.16, 0.15), "flat": (0.85, 0.70, 0.50),
}


def as_manifold(mesh, matrix=None):
    """A mesh as a body of the boolean library, in 64 bits."""
    points = mesh.vertices if matrix is None else trimesh.transform_points(mesh.vertices, matrix)
    return manifold3d.Manifold(manifold3d.Mesh64(
        numpy.ascontiguousarray(points, dtype=numpy.float64),
        numpy.ascontiguousarray(mesh.faces, dtype=numpy.uint64)))


def near(a, b, relative):
    return abs(a - b) <= relative * max(abs(a), abs(b))


def check_files(folder, files):
    for file in files:
        data = (folder / file["name"]).read_bytes()
        yield len(data) == file["bytes"], f"{file['name']} has the size that the manifest says"
        same = hashlib.sha256(data).hexdigest() == file["sha256"]
        yield same, f"{file['name']} has the hash that the manifest says"


def load(path):
    """An STL with equal corners made one, else as written: nothing mended."""
    mesh = trimesh.load(path, file_type="stl", process=False)
    mesh.merge_vertices(digits_vertex=12)
    return mesh


def check_stl(path, part):
    mesh = load(path)
    yield len(mesh.faces) == part["triangles"], f"{len(mesh.faces)} triangles"
    yield mesh.is_watertight and mesh.is_winding_consistent, "watertight, wound alike"
    yield mesh.is_volume, "a volume"
    yield mesh.body_count == 1, f"{mesh.body_count} bodies"
    yield mesh.euler_number == 2, f"Euler number {mesh.euler_number}"
    yield bool((mesh.area_faces > 0).all()), "no triangle without area"
    # Both surfaces lie within the deviation of each other, so the shell between them bounds it.
    bound = mesh.area * part["deviation_mm"] + ROUNDING * part["volume_mm3"]
    off = mesh.volume - part["volume_mm3"]
    yield abs(off) <= bound, f"volume off by {off:.3f} mm3, bound {bound:.3f}"
    box = numpy.array([part["bounding_box"]["min"], part["bounding_box"]["max"]])
    size = numpy.abs(box).max()
    off = numpy.abs(mesh.bounds - box).max()
    yield off <= ROUNDING * size, f"box off by {off:.1e} mm"
    yield from check_booleans(mesh)


def check_booleans(mesh):
    """The boolean library takes the body; cut by a box nothing is lost."""
    body = as_manifold(mesh)
    yield body.status() == manifold3d.Error.NoError, f"status {body.status()}"
    yield body.genus() == 0, f"genus {body.genus()}"
    whole = body.volume()
    yield near(whole, float(mesh.volume), 1e-9), f"volume {whole} by the boolean library"
    low, high = mesh.bounds
    size = (high - low) * [0.5, 2.0, 2.0]
    # Through the middle, and off round numbers so that no face of the box meets one of the body.
    box = manifold3d.Manifold.cube(size.tolist()).translate(
        (low - [size[0] * 0.0137, size[1] * 0.261, size[2] * 0.2571]).tolist())
    both, rest, sum_ = body ^ box, body - box, body + box
    yield 0.05 * whole < both.volume() < 0.95 * whole, "a box takes a part of the body"
    yield near(both.volume() + rest.volume(), whole, 1e-9), "cut off and rest are the whole"
    yield near(sum_.volume() + both.volume(), whole + box.volume(), 1e-9), "sum with a box"


def check_step(path, part):
    found = step_check.look_at(path)
    yield found["solids"] == 1 and len(found["products"]) == 1, f"{found['solids']} solids"
    yield found["valid"], "valid"
    yield [u.lower() for u in found["unit"]] in (["millimetre"], ["mm"]), f"unit {found['unit']}"
    largest = found["largest_tolerance"]
    yield largest <= step_check.TOLERANCE * 1.0001, f"largest tolerance {largest:.3e}"
    off = found["volume"] / part["volume_mm3"] - 1
    yield abs(off) <= QUADRATURE, f"volume off by {off:.2e}"
    product = found["products"][0]
    off = product["edge_distance"]
    yield off <= EDGE_DISTANCE, f"edges off their faces by {off:.2e}"
    name = f"{part['name']}-{part['body']}"
    yield product["name"] == name, f"name {product['name']!r}, wanted {name!r}"
    names = product["face_names"]
    yield names == part["faces"], f"faces {names}"
    for name, kinds in product["face_surfaces"].items():
        yield set(kinds) <= INTENDED.get(name, set()), f"{name} made of {kinds}"
    yield step_check.same_colour(product["colour"], WOOD), f"colour {product['colour']}"
    for name, shown in product["face_colours"].items():
        right = len(shown) == 1 and step_check.same_colour(shown[0], COLOURS.get(name))
        yield right, f"colour of {name} {shown}"


def check_part21(path):
    try:
        count = part21_check.check(path.read_text(encoding="ascii"))
        yield count > 0, f"{count} records"
    except (part21_check.Wrong, UnicodeDecodeError) as error:
        yield False, f"Part 21: {error}"


def guarded(where, checks):
    """Results as (right, words); a reader that fails is a failed check."""
    out = []
    try:
        for right, words in checks:
            out.append((bool(right), f"{where}: {words}"))
    except Exception as error:
        out.append((False, f"{where}: {type(error).__name__}: {error}"))
    return out


def bodies(part):
    """The finished body of a part, which the part's own keys describe, and the held one."""
    yield {**part, "body": "finished"}
    if "held" in part:
        yield {**part, **part["held"], "body": "held"}


def check_held(folder, part):
    """Tabs are added to the finished body and take nothing from it."""
    finished, held = (as_manifold(load(folder / of_kind(b, ".stl"))) for b in bodies(part))
    added = held.volume() - finished.volume()
    yield added > 0, f"tabs of {added:.1f} mm3"
    # Both meshes lie within the deviation of the same surface.
    bound = 2 * finished.surface_area() * part["deviation_mm"]
    lost = finished.volume() - (finished ^ held).volume()
    yield lost <= bound, f"{lost:.3f} mm3 of the finished body are not in the held one"
    exact = part["held"]["volume_mm3"] - part["volume_mm3"]
    yield abs(added - exact) <= bound, f"tabs {added:.2f} mm3 in STL, {exact:.2f} exact"


def of_kind(part, ending):
    found = [f["name"] for f in part["files"] if f["name"].endswith(ending)]
    if len(found) != 1:
        raise ValueError(f"{len(found)} files *{ending}")
    return found[0]


def check_part(job):
    folder, part = job
    out = []
    for body in bodies(part):
        out += guarded(part["name"], check_files(folder, body["files"]))
        for ending, check in ((".stl", check_stl), (".step", check_step)):
            try:
                path = folder / of_kind(body, ending)
            except ValueError as error:
                out.append((False, f"{part['name']}: {error}"))
                continue
            named = path.stem.endswith(f"-{body['body']}")
            out.append((named, f"{path.name} says which body it is: {body['body']}"))
            out += guarded(path.name, check(path, body))
            if ending == ".step":
                out += guarded(path.name, check_part21(path))
    if "held" in part:
        out += guarded(part["name"], check_held(folder, part))
    return out


def check_places(folder, parts):
    """The two halves of a section and neighbours in the chain touch or keep apart, never overlap."""
    placed = []
    for part in parts:
        matrix = numpy.array(part["placement"])
        right = near(numpy.linalg.det(matrix[:3, :3]), 1.0, 1e-9)
        yield right, f"{part['name']} is turned, not mirrored"
        placed.append(as_manifold(load(folder / of_kind(part, ".stl")), matrix))
    for i, (a, one) in enumerate(zip(parts, placed)):
        for b, other in zip(parts[i + 1:], placed[i + 1:]):
            if b["section"] - a["section"] > 1:
                continue
            names = f"{a['name']} and {b['name']}"
            total = one.volume() + other.volume()
            yield near((one + other).volume(), total, 1e-7), f"{names}: sum of the volumes"
            yield (one ^ other).volume() <= 1e-7 * total, f"{names} do not overlap"
            if b["section"] == a["section"]:
                # Pin holes become hollows of the joined body, with negative volumes.
                joined = [b for b in (one + other).decompose() if b.volume() > 0]
                yield len(joined) == 1, f"{names} meet in the split plane: {len(joined)} bodies"


def check_listing(folder, manifest):
    parts = [body for part in manifest["parts"] for body in bodies(part)]
    listed = [f["name"] for p in parts for f in p["files"]]
    listed += [f["name"] for f in manifest["files"]]
    found = {p.name for p in folder.iterdir() if not p.name.startswith(".")}
    yield found == {"manifest.json", *listed}, "the files are those that the manifest lists"
    yield len(listed) == len(set(listed)), "no file is listed twice"
    yield manifest["unit"] == "mm", f"unit {manifest['unit']}"
    yield len(manifest["parts"]) > 0, f"{len(manifest['parts'])} parts"
    yield len(manifest["cautions"]) > 0, f"{len(manifest['cautions'])} cautions"
    for part in manifest["parts"]:
        words = f"{part['name']}: deviation {part['deviation_mm']} mm"
        yield 0 < part["deviation_mm"] <= manifest["settings"]["deviation_mm"], words
        mass = part["volume_mm3"] * 1e-6 * part["density_kg_m3"]
        low, high = (part["bounding_box"][k][2] for k in ("min", "max"))
        room = part["allowances"]["stock_mm"] - (high - low) - part["allowances"]["sanding_mm"]
        # A skin of 0.3 mm to the printed precision of 0.01: the fitted form may rise a little over
        # its points. A whole section has two skins; both halves take the board of the taller one.
        yield room >= 0.29, f"{part['name']}: {room:.3f} mm of stock over height and sanding"
        yield near(part["mass_g"], mass, 1e-9), f"{part['name']}: mass {part['mass_g']} g"


def check_bench_mark(folder, manifest):
    """A body that must not be cut says so in every file; others nowhere."""
    for part in (body for part in manifest["parts"] for body in bodies(part)):
        for file in part["files"]:
            marked = b"NOT FOR CUTTING" in (folder / file["name"]).read_bytes()
            yield marked == manifest["bench_only"], f"{file['name']}: mark of a bench body {marked}"


def check_set(folder, pool, expected):
    manifest = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    results = pool.map(check_part, [(folder, p) for p in manifest["parts"]], chunksize=1)
    out = [line for result in results for line in result]
    name = manifest["creature"]
    out += guarded(name, check_listing(folder, manifest))
    out += guarded(name, check_bench_mark(folder, manifest))
    out += guarded(name, check_places(folder, manifest["parts"]))
    out += guarded(name, check_files(folder, manifest["files"]))
    out += guarded(name, together_check.checks(folder, manifest))
    if expected is not None:
        def body(part):
            return as_manifold(load(folder / of_kind(part, ".stl")))

        def step(part):
            return folder / of_kind(part, ".step")
        out += guarded(name, set_expect.checks(manifest, body, step, expected))
    return out


def main():
    arguments = argparse.ArgumentParser(description=__doc__,
                                        formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("folders", nargs="+", type=Path)
    arguments.add_argument("--expect", type=Path)
    given = arguments.parse_args()
    expected = {}
    if given.expect:
        expected = json.loads(given.expect.read_text(encoding="utf-8"))
    passed = failed = 0
    with multiprocessing.Pool(os.cpu_count()) as pool:
        for folder in given.folders:
            try:
                name = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))["creature"]
                results = check_set(folder, pool, expected.get(name))
            except (OSError, ValueError, KeyError) as error:
                results = [(False, f"{folder}: {type(error).__name__}: {error}")]
            bad = [words for right, words in results if not right]
            passed, failed = passed + len(results) - len(bad), failed + len(bad)
            print(f"{folder.name}: {len(results)} checks, {len(bad)} failed", flush=True)
            for words in bad:
                print(f"  {words}")
    print(f"{passed} passed, {failed} failed")
    return 1 if failed or not passed else 0


if __name__ == "__main__":
    sys.exit(main())
