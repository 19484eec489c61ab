"""What a design should come out as, beyond what holds for every set.

For a creature by name: parts (their number), sides (the words), has and lacks (section number:
kinds of faces), box (part: size in mm, by the arithmetic of the design), pins (section number:
places [x, y] of hole centres in the section's own frame, y to the left of someone who looks from
the front to the rear with the split face level and the upper half up), wood and air (section
number: places [x, y, z] in the straight creature, x to the tail, z up, so the toy's left is -y,
that are wholly within a part, or in none, in STL and STEP alike), flats (part: [x from, x to,
width, height] of the one flat in its own frame), tabs (section number: how many each held body of it
has, in a whole section counted by the half), held_wood and held_air (the same as wood and air in the
held bodies).
"""
import manifold3d
import numpy

from OCP.BRepAdaptor import BRepAdaptor_Surface
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.GeomAbs import GeomAbs_Cylinder, GeomAbs_Plane
from OCP.TopAbs import TopAbs_FACE
from OCP.TopoDS import TopoDS

import step_check

UPPER = {"upper", "left"}


def checks(manifest, body, step, wanted):
    parts = manifest["parts"]
    if "parts" in wanted:
        yield len(parts) == wanted["parts"], f"{len(parts)} parts, wanted {wanted['parts']}"
    if "sides" in wanted:
        sides = sorted({p["side"] for p in parts})
        yield sides == sorted(wanted["sides"]), f"sides {sides}"
        yield from check_sides(parts)
    for key, there in (("has", True), ("lacks", False)):
        for number, kinds in wanted.get(key, {}).items():
            for part in (p for p in parts if p["section"] == int(number)):
                for kind in kinds:
                    words = f"{part['name']}: {kind} {'there' if there else 'not there'}"
                    yield (part["faces"].get(kind, 0) > 0) == there, words
    for name, size in wanted.get("box", {}).items():
        part = next(p for p in parts if p["name"] == name)
        box = part["bounding_box"]
        have = numpy.subtract(box["max"], box["min"])
        # The mesh keeps within its deviation inside the body.
        near = numpy.abs(have - size).max() <= 2 * manifest["settings"]["deviation_mm"]
        yield bool(near), f"{name}: box {have.round(3).tolist()}, wanted {size}"
    for name, flat in wanted.get("flats", {}).items():
        part = next(p for p in parts if p["name"] == name)
        yield from check_flat(name, body(part), step(part), flat)
    for number, places in wanted.get("pins", {}).items():
        for part in (p for p in parts if p["section"] == int(number)):
            yield from check_pins(part, body(part), step(part), places)
    held = [{**p, **p["held"]} for p in parts if "held" in p]
    for number, count in wanted.get("tabs", {}).items():
        for part in (p for p in held if p["section"] == int(number)):
            found = part["faces"].get("tab top", 0)
            yield found == count, f"{part['name']}: {found} tabs, wanted {count}"
    for key, bodies, filled in (("wood", parts, 1.0), ("air", parts, 0.0),
                                ("held_wood", held, 1.0), ("held_air", held, 0.0)):
        for number, places in wanted.get(key, {}).items():
            own = [p for p in bodies if p["section"] == int(number)]
            for place in places:
                words = f"section {number} has {key} at {place}"
                in_stl = sum(filling_at(p, body(p), place) for p in own)
                yield abs(in_stl - filled) < 1e-3, f"{words} in STL: {in_stl:.3f}"
                in_step = sum(step_check.holds(step(p), seen_from(p, place)) for p in own)
                yield in_step == filled, f"{words} in STEP: {in_step}"


def check_sides(parts):
    """The outer side of each half, or the upper side of a whole section, looks where its name says: x runs to the tail, z up, so the
    toy's own left is -y (derived: up x forward)."""
    outward = {"upper": [0, 0, 1], "lower": [0, 0, -1], "left": [0, -1, 0], "right": [0, 1, 0],
               "whole": [0, 0, 1]}
    for part in parts:
        z = numpy.array(part["placement"])[:3, 2]
        right = numpy.abs(z - outward[part["side"]]).max() < 1e-12
        yield bool(right), f"{part['name']}: outer side to {z.tolist()}"


def check_flat(name, body, path, wanted):
    """One plane of the name in STEP, of this box and area; in STL nothing stands out of it, and
    slices a little under its four corners are all wood."""
    start, end, width, height = wanted
    document, _ = step_check.read(path)
    faces = [face for label in step_check.products(document)
             for word, face in step_check.named_faces(label) if word == "flat"]
    yield len(faces) == 1, f"{name}: {len(faces)} flats in STEP"
    for face in faces:
        yield BRepAdaptor_Surface(face).GetType() == GeomAbs_Plane, f"{name}: the flat is a plane"
        properties = GProp_GProps()
        BRepGProp.SurfaceProperties_s(face, properties)
        area = properties.Mass()
        yield abs(area - (end - start) * width) < 1e-6, f"{name}: a flat of {area} mm2"
        middle = properties.CentreOfMass()
        have = numpy.array([middle.X(), middle.Y(), middle.Z()])
        off = numpy.abs(have - [(start + end) / 2, 0, height]).max()
        yield bool(off < 1e-7), f"{name}: a flat about {have.tolist()}"
    deep = 0.01
    slab = manifold3d.Manifold.cube([end - start, width, deep])
    under = slab.translate([start, -width / 2, height - deep])
    over = slab.translate([start, -width / 2, height])
    full = (body ^ under).volume() / slab.volume()
    yield abs(full - 1) < 1e-4, f"{name}: {full} of the wood under its flat in STL"
    above = (body ^ over).volume() / slab.volume()
    yield above < 1e-4, f"{name}: {above} over its flat in STL"


def axes(path):
    """Places of the axes of pin walls in a STEP file."""
    document, _ = step_check.read(path)
    found = []
    for label in step_check.products(document):
        for name, face in step_check.named_faces(label):
            surface = BRepAdaptor_Surface(face)
            if name == "pin wall" and surface.GetType() == GeomAbs_Cylinder:
                at = surface.Cylinder().Axis().Location()
                found.append((at.X(), at.Y()))
    return numpy.array(found)


def check_pins(part, body, path, places):
    """The lower half is turned about x, so a hole to the left lies at -y in its own frame: on the
    right hand, and never where a mirror would put it."""
    turn = 1 if part["side"] in UPPER else -1
    found = axes(path)
    for x, y in places:
        at, mirrored = (x, turn * y), (x, -turn * y)
        words = f"{part['name']}: hole at {at}"
        # A slot has an axis at each end, so the nearest may be half a slot away along x.
        off = numpy.abs(found - at)
        yield bool(((off[:, 1] < 1e-6) & (off[:, 0] < 1.0)).any()), f"{words} in STEP, has {found.tolist()}"
        yield bool((numpy.abs(found[:, 1] - mirrored[1]) > 1.0).all()), f"{words} not mirrored in STEP"
        yield filling(body, at) < 1e-9, f"{words} is empty in STL"
        yield filling(body, mirrored) > 1 - 1e-9, f"{words}: wood at the mirrored place in STL"


def seen_from(part, place):
    """A place of the creature in a part's own frame."""
    return (numpy.linalg.inv(numpy.array(part["placement"])) @ [*place, 1.0])[:3]


def filling_at(part, body, place):
    """How full a small cube about a place of the creature is."""
    side = 0.2
    cube = manifold3d.Manifold.cube([side] * 3, True).translate(seen_from(part, place).tolist())
    return (body ^ cube).volume() / side ** 3


def filling(body, place):
    """How full a small cube over the split face is."""
    side = 0.5
    cube = manifold3d.Manifold.cube([side] * 3, True).translate([*place, 1.0])
    return (body ^ cube).volume() / side ** 3
