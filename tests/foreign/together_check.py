"""Check the files that hold all parts of a set: the STEP assembly with a B-rep kernel, the 3MF with
the consortium's reader in strict mode. Called by set_check.py; alone:

    python together_check.py DIR...       exit 1 if any check fails
"""
import json
import sys
from pathlib import Path

import lib3mf
import numpy
import trimesh
from OCP.OCP.collections import Sequence_TDF_Label
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps
from OCP.TDF import TDF_Label
from OCP.TopAbs import TopAbs_SOLID
from OCP.XCAFDoc import XCAFDoc_DocumentTool, XCAFDoc_ShapeTool

import part21_check
import step_check

# Bare wood and the second tone, sRGB, as the project states them.
TONES = [(0.80, 0.62, 0.42), (0.70, 0.50, 0.31)]
# The kernel keeps places in 64 bits; a shift goes through text that reads back exactly.
PLACE = 1e-9
# Numbers of a 3MF are 32-bit in its reader, whose step is 6e-8 of a coordinate.
ROUNDING = 2e-7
# Relative error of volume that the quadrature of centres must reach, of its own choice.
QUADRATURE = 1e-5


def middle(shape):
    """By the kernel's adaptive Gauss quadrature. Measured on the reference body, the newt and the
    offset design: within 3e-6 mm of the same at 1e-9, volumes within 5e-7 of the Gauss-Kronrod
    quadrature. That one took 10 to 30 s a solid for centres at 1e-4."""
    properties = GProp_GProps()
    reached = BRepGProp.VolumeProperties_s(shape, properties, QUADRATURE)
    if not 0 <= reached <= QUADRATURE:
        raise ValueError(f"the quadrature reached {reached}")
    centre = properties.CentreOfMass()
    return numpy.array([centre.X(), centre.Y(), centre.Z()])


def mesh_middle(folder, part):
    return trimesh.load(finished_stl(folder, part), file_type="stl").center_mass


def finished_stl(folder, part):
    (name,) = [f["name"] for f in part["files"] if f["name"].endswith(".stl")]
    return folder / name


def payload(folder, part):
    """The facets without the header, which names the part."""
    return finished_stl(folder, part).read_bytes()[80:]


def matrix_of(location):
    t = location.Transformation()
    return numpy.array([[t.Value(r, c) for c in range(1, 5)] for r in range(1, 4)])


def check_assembly(folder, manifest):
    path = folder / "creature.step"
    yield part21_check.check(path.read_text(encoding="ascii")) > 0, "Part 21"
    marked = b"NOT FOR CUTTING" in path.read_bytes()
    yield marked == manifest["bench_only"], f"mark of a bench body {marked}"
    document, units = step_check.read(path)
    yield [u.lower() for u in units] in (["millimetre"], ["mm"]), f"unit {units}"
    (top,) = step_check.products(document)
    yield step_check.name_of(top) == manifest["creature"], f"name {step_check.name_of(top)!r}"
    found = Sequence_TDF_Label()
    XCAFDoc_ShapeTool.GetComponents_s(top, found, False)
    components = [found.Value(i + 1) for i in range(found.Length())]
    names = [step_check.name_of(c) for c in components]
    parts = {p["name"]: p for p in manifest["parts"]}
    yield sorted(names) == sorted(parts), f"occurrences {names}"
    solids, colours = {}, XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    for component, name in zip(components, names):
        part = parts[name]
        referred = TDF_Label()
        XCAFDoc_ShapeTool.GetReferredShape_s(component, referred)
        solids.setdefault(step_check.name_of(referred), (referred, []))[1].append(part)
        place = matrix_of(XCAFDoc_ShapeTool.GetLocation_s(component))
        off = numpy.abs(place - numpy.array(part["placement"])[:3]).max()
        yield off <= PLACE, f"{name} lies {off:.1e} off its place"
    for name, (label, placed) in solids.items():
        shape = XCAFDoc_ShapeTool.GetShape_s(label)
        bodies = step_check.parts(shape, TopAbs_SOLID)
        yield len(bodies) == 1 and BRepCheck_Analyzer(shape).IsValid(), f"{name}: one valid solid"
        off = step_check.volume(shape) / placed[0]["volume_mm3"] - 1
        yield abs(off) <= 1e-4, f"{name}: volume off by {off:.1e}"
        shown = [step_check.colour_of(colours, label)]
        shown += [step_check.colour_of(colours, s) for s in step_check.sub_labels(label)
                  if XCAFDoc_ShapeTool.GetShape_s(s).ShapeType() == TopAbs_SOLID]
        toned = [any(step_check.same_colour(c, t) for t in TONES) for c in shown if c]
        yield toned and all(toned), f"{name}: colour {shown}"
        # The mesh lies inside the outer form by up to the deviation, so its middle lies lower by
        # less, and along it by less where one end is fuller; across, both sides weigh against each other.
        most = placed[0]["deviation_mm"] * numpy.array([1.0, 0.1, 1.0])
        off = numpy.abs(middle(shape) - mesh_middle(folder, placed[0]))
        yield (off <= most).all(), f"{name}: centre of mass {off} off that of the STL"
        equal = {payload(folder, p) for p in placed}
        yield len(equal) == 1, f"{name} stands for {len(equal)} different parts"
    distinct = len({payload(folder, p) for p in manifest["parts"]})
    yield len(solids) == distinct, f"{len(solids)} solids for {distinct} different parts"


def check_3mf(folder, manifest):
    wrapper = lib3mf.get_wrapper()
    model = wrapper.CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(folder / "creature.3mf"))
    warnings = [reader.GetWarning(i)[0] for i in range(reader.GetWarningCount())]
    yield not warnings, f"warnings {warnings}"
    yield model.GetUnit() == lib3mf.ModelUnit.MilliMeter, f"unit {model.GetUnit()}"
    told = {}
    group = model.GetMetaDataGroup()
    for i in range(group.GetMetaDataCount()):
        one = group.GetMetaData(i)
        told[one.GetName()] = one.GetValue()
    yield told.get("Title") == manifest["creature"], f"title {told.get('Title')!r}"
    marked = "NOT FOR CUTTING" in told.get("Description", "")
    yield marked == manifest["bench_only"], f"mark of a bench body {marked}"
    parts = {p["name"]: p for p in manifest["parts"]}
    items, boxes, names = model.GetBuildItems(), [], []
    while items.MoveNext():
        item = items.GetCurrent()
        resource = item.GetObjectResource()
        name = resource.GetName()
        names.append(name)
        yield item.GetPartNumber() == name, f"part number {item.GetPartNumber()!r}"
        component = model.GetComponentsObjectByID(resource.GetResourceID()).GetComponent(0)
        mesh = model.GetMeshObjectByID(component.GetObjectResourceID())
        yield mesh.IsManifoldAndOriented(), f"{name} is manifold and oriented"
        points = numpy.array([list(v.Coordinates) for v in mesh.GetVertices()])
        faces = numpy.array([list(t.Indices) for t in mesh.GetTriangleIndices()])
        part = parts.get(name)
        if part is None:
            continue
        yield len(faces) == part["triangles"], f"{name}: {len(faces)} triangles"
        box = numpy.array([part["bounding_box"]["min"], part["bounding_box"]["max"]])
        found = numpy.array([points.min(axis=0), points.max(axis=0)])
        off = numpy.abs(found - box).max()
        yield off <= ROUNDING * numpy.abs(box).max(), f"{name}: box off by {off:.1e}"
        body = trimesh.Trimesh(points, faces, process=False)
        allowed = body.area * part["deviation_mm"] + ROUNDING * part["volume_mm3"]
        off = body.volume - part["volume_mm3"]
        yield abs(off) <= allowed, f"{name}: volume off by {off:.2f} mm3, bound {allowed:.2f}"
        shift = numpy.array(item.GetObjectTransform().Fields)[3]
        boxes.append(found + shift)
    yield sorted(names) == sorted(parts), f"items {names}"
    low = min(b[0].min() for b in boxes)
    yield low >= -1e-4, f"all lies in the positive octant: {low}"
    apart = all((a[0][:2] > b[1][:2]).any() or (b[0][:2] > a[1][:2]).any()
                for i, a in enumerate(boxes) for b in boxes[:i])
    yield apart, "parts lie side by side"


def checks(folder, manifest):
    """Results as (right, words); a reader that fails is a failed check."""
    for name, check in (("creature.step", check_assembly), ("creature.3mf", check_3mf)):
        try:
            for right, words in check(folder, manifest):
                yield bool(right), f"{name}: {words}"
        except Exception as error:
            yield False, f"{name}: {type(error).__name__}: {error}"


def main():
    passed = failed = 0
    for folder in map(Path, sys.argv[1:]):
        manifest = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
        for right, words in checks(folder, manifest):
            passed, failed = passed + right, failed + (not right)
            if not right:
                print(f"{folder.name}: {words}")
    print(f"{passed} passed, {failed} failed")
    return 1 if failed or not passed else 0


if __name__ == "__main__":
    sys.exit(main())
