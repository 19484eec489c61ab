"""Read STEP files with a foreign B-rep kernel and print as JSON what it finds.

    python step_check.py FILE...              one JSON object per file, in a list
    python step_check.py --expect LIST.json   compare with a list of expectations; exit 1 if any differs

An expectation names a file (relative to the list) and any of: solids, name, volume,
volume_tolerance (relative, 1e-4 if absent), surfaces, face_names, face_colours, colour, and
edge_gap: the most, in mm, by which an edge may lie off the curve that the kernel itself made of it
in the parameters of its face (it fits one where the edge is no line there, and states too little).
Always wanted: valid solids, millimetres, no tolerance above 1e-6, a positive volume.
"""
import argparse
import json
import sys
from collections import Counter
from pathlib import Path

from OCP.OCP.collections import Sequence_TCollection_AsciiString, Sequence_TDF_Label
from OCP.BRep import BRep_Tool
from OCP.BRepAdaptor import BRepAdaptor_Curve, BRepAdaptor_Surface
from OCP.BRepCheck import BRepCheck_Analyzer
from OCP.BRepClass3d import BRepClass3d_SolidClassifier
from OCP.BRepGProp import BRepGProp
from OCP.GeomAbs import GeomAbs_Plane
from OCP.GProp import GProp_GProps
from OCP.IFSelect import IFSelect_RetDone
from OCP.Interface import Interface_Static
from OCP.Quantity import Quantity_Color, Quantity_TOC_sRGB
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.ShapeAnalysis import ShapeAnalysis_Surface
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_AttributeIterator
from OCP.TDocStd import TDocStd_Document
from OCP.TopAbs import TopAbs_EDGE, TopAbs_FACE, TopAbs_IN, TopAbs_SOLID, TopAbs_VERTEX
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS
from OCP.XCAFDoc import (XCAFDoc_ColorGen, XCAFDoc_ColorSurf, XCAFDoc_DocumentTool,
                         XCAFDoc_ShapeTool)
from OCP.gp import gp_Pnt

TOLERANCE = 1e-6
SURFACES = {
    "GeomAbs_Plane": "PLANE", "GeomAbs_Cylinder": "CYLINDRICAL_SURFACE",
    "GeomAbs_Cone": "CONICAL_SURFACE", "GeomAbs_Sphere": "SPHERICAL_SURFACE",
    "GeomAbs_Torus": "TOROIDAL_SURFACE", "GeomAbs_BSplineSurface": "B_SPLINE_SURFACE_WITH_KNOTS",
    "GeomAbs_BezierSurface": "B_SPLINE_SURFACE_WITH_KNOTS",
}


def parts(shape, kind):
    found, walk = [], TopExp_Explorer(shape, kind)
    while walk.More():
        found.append(walk.Current())
        walk.Next()
    return found


def name_of(label):
    walk = TDF_AttributeIterator(label)
    while walk.More():
        if isinstance(walk.Value(), TDataStd_Name):
            return walk.Value().Get().ToExtString()
        walk.Next()
    return None


def colour_of(tool, label):
    colour = Quantity_Color()
    for kind in (XCAFDoc_ColorSurf, XCAFDoc_ColorGen):
        if tool.GetColor_s(label, kind, colour):
            # The kernel keeps linear values; the file has sRGB ones.
            return [round(c, 3) for c in colour.Values(Quantity_TOC_sRGB)]
    return None


def read(path):
    document = TDocStd_Document(TCollection_ExtendedString("XmlXCAF"))
    reader = STEPCAFControl_Reader()
    # Only a reader that stands makes the setting known.
    Interface_Static.SetIVal_s("read.stepcaf.subshapes.name", 1)
    reader.SetNameMode(True)
    reader.SetColorMode(True)
    if reader.ReadFile(str(path)) != IFSelect_RetDone:
        raise ValueError(f"{path}: the kernel cannot read the file")
    units = [Sequence_TCollection_AsciiString() for _ in range(3)]
    reader.ChangeReader().FileUnits(*units)
    if not reader.Transfer(document):
        raise ValueError(f"{path}: the kernel cannot transfer the file")
    return document, [units[0].Value(i + 1).ToCString() for i in range(units[0].Length())]


def holds(path, place):
    """1 when a place lies within the one part of a file, else 0."""
    document, _ = read(path)
    (label,) = products(document)
    shape = XCAFDoc_ShapeTool.GetShape_s(label)
    seen = BRepClass3d_SolidClassifier(shape, gp_Pnt(*map(float, place)), 1e-6).State()
    return int(seen == TopAbs_IN)


def volume(shape):
    properties = GProp_GProps()
    # Adaptive Gauss-Kronrod: the plain quadrature is off by up to 7e-4.
    reached = BRepGProp.VolumePropertiesGK_s(shape, properties, 1e-6)
    if reached < 0:
        raise ValueError("the quadrature failed")
    return properties.Mass()


def largest_tolerance(shape):
    faces = [BRep_Tool.Tolerance_s(TopoDS.Face(s)) for s in parts(shape, TopAbs_FACE)]
    edges = [BRep_Tool.Tolerance_s(TopoDS.Edge(s)) for s in parts(shape, TopAbs_EDGE)]
    corners = [BRep_Tool.Tolerance_s(TopoDS.Vertex(s)) for s in parts(shape, TopAbs_VERTEX)]
    return max(faces + edges + corners)


def largest_edge_gap(shape, samples=400):
    worst = 0.0
    for face in map(TopoDS.Face, parts(shape, TopAbs_FACE)):
        surface = BRepAdaptor_Surface(face)
        if surface.GetType() == GeomAbs_Plane:
            continue
        for edge in map(TopoDS.Edge, parts(face, TopAbs_EDGE)):
            if BRep_Tool.Degenerated_s(edge):
                continue
            curve = BRepAdaptor_Curve(edge)
            flat = BRep_Tool.CurveOnSurface_s(edge, face, 0.0, 0.0)
            flat = flat[0] if isinstance(flat, tuple) else flat
            first, last = curve.FirstParameter(), curve.LastParameter()
            for i in range(samples + 1):
                t = first + (last - first) * i / samples
                uv = flat.Value(t)
                worst = max(worst, curve.Value(t).Distance(surface.Value(uv.X(), uv.Y())))
    return worst


def largest_edge_distance(shape, samples=24):
    """The most by which an edge lies off the surface of one of its faces, by projection."""
    worst = 0.0
    for face in map(TopoDS.Face, parts(shape, TopAbs_FACE)):
        surface = ShapeAnalysis_Surface(BRep_Tool.Surface_s(face))
        for edge in map(TopoDS.Edge, parts(face, TopAbs_EDGE)):
            if BRep_Tool.Degenerated_s(edge):
                continue
            curve = BRepAdaptor_Curve(edge)
            first, last = curve.FirstParameter(), curve.LastParameter()
            for i in range(samples + 1):
                point = curve.Value(first + (last - first) * i / samples)
                worst = max(worst, point.Distance(surface.Value(surface.ValueOfUV(point, 1e-9))))
    return worst


def surface_of(face):
    kind = BRepAdaptor_Surface(TopoDS.Face(face)).GetType()
    return SURFACES.get(kind.name, kind.name)


def products(document):
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    labels = Sequence_TDF_Label()
    shapes.GetFreeShapes(labels)
    return [labels.Value(i + 1) for i in range(labels.Length())]


def sub_labels(label):
    subs = Sequence_TDF_Label()
    XCAFDoc_ShapeTool.GetSubShapes_s(label, subs)
    return [subs.Value(i + 1) for i in range(subs.Length())]


def face_name(own):
    """The name that the labels of one face give it."""
    names = [n for n in map(name_of, own) if n]
    return names[0] if names else ""


def named_faces(label):
    """All faces of a product with their names."""
    labels = sub_labels(label)
    for face in parts(XCAFDoc_ShapeTool.GetShape_s(label), TopAbs_FACE):
        own = [s for s in labels if XCAFDoc_ShapeTool.GetShape_s(s).IsSame(face)]
        yield face_name(own), TopoDS.Face(face)


def look_at_product(document, label):
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    shape = XCAFDoc_ShapeTool.GetShape_s(label)
    labels = sub_labels(label)
    faces = parts(shape, TopAbs_FACE)

    def of_face(face):
        own = [s for s in labels if XCAFDoc_ShapeTool.GetShape_s(s).IsSame(face)]
        shown = [c for c in (colour_of(colours, s) for s in own) if c]
        return face_name(own), shown[0] if shown else None

    part_colour = colour_of(colours, label)
    for sub in labels:
        if part_colour is None and XCAFDoc_ShapeTool.GetShape_s(sub).ShapeType() == TopAbs_SOLID:
            part_colour = colour_of(colours, sub)
    found = [of_face(f) for f in faces]
    by_name, made_of = {}, {}
    for (name, colour), face in zip(found, faces):
        by_name.setdefault(name, set()).add(tuple(colour or part_colour or ()))
        made_of.setdefault(name, Counter())[surface_of(face)] += 1
    solids = parts(shape, TopAbs_SOLID)
    return {
        "name": name_of(label),
        "solids": len(solids),
        "valid": bool(solids) and all(BRepCheck_Analyzer(s).IsValid() for s in solids),
        "volume": volume(shape),
        "surfaces": dict(sorted(Counter(map(surface_of, faces)).items())),
        "face_names": dict(sorted(Counter(name for name, _ in found).items())),
        "face_surfaces": {n: dict(sorted(c.items())) for n, c in sorted(made_of.items())},
        "face_colours": {n: [list(c) for c in sorted(cs)] for n, cs in sorted(by_name.items())},
        "colour": part_colour,
        "largest_tolerance": largest_tolerance(shape),
        "edge_gap": largest_edge_gap(shape),
        "edge_distance": largest_edge_distance(shape),
    }


def look_at(path):
    document, units = read(path)
    found = [look_at_product(document, label) for label in products(document)]
    return {
        "file": str(path),
        "unit": units,
        "solids": sum(p["solids"] for p in found),
        "valid": bool(found) and all(p["valid"] for p in found),
        "volume": sum(p["volume"] for p in found),
        "largest_tolerance": max((p["largest_tolerance"] for p in found), default=None),
        "edge_gap": max((p["edge_gap"] for p in found), default=None),
        "products": found,
    }


def same_colour(a, b):
    return a is not None and b is not None and all(abs(x - y) < 2e-3 for x, y in zip(a, b))


def differences(found, wanted):
    """What is not as wanted, in words."""
    out = []
    if [u.lower() for u in found["unit"]] not in (["millimetre"], ["mm"], ["millimeter"]):
        out.append(f"unit {found['unit']}")
    if not found["valid"]:
        out.append("not valid")
    if found["largest_tolerance"] is None or found["largest_tolerance"] > TOLERANCE * 1.0001:
        out.append(f"tolerance {found['largest_tolerance']}")
    if not found["volume"] > 0:
        out.append(f"volume {found['volume']}")
    if "solids" in wanted and found["solids"] != wanted["solids"]:
        out.append(f"{found['solids']} solids, wanted {wanted['solids']}")
    if "volume" in wanted:
        off = found["volume"] / wanted["volume"] - 1
        if not abs(off) <= wanted.get("volume_tolerance", 1e-4):
            out.append(f"volume {found['volume']}, wanted {wanted['volume']}: {off:+.2e}")
    if "edge_gap" in wanted and not found["edge_gap"] <= wanted["edge_gap"]:
        out.append(f"edge {found['edge_gap']} mm off, wanted {wanted['edge_gap']}")
    if "name" in wanted or "surfaces" in wanted or "face_names" in wanted:
        if len(found["products"]) != 1:
            return out + [f"{len(found['products'])} products"]
        out += product_differences(found["products"][0], wanted)
    return out


def product_differences(product, wanted):
    out = [f"{key} {product[key]}, wanted {wanted[key]}"
           for key in ("name", "surfaces", "face_names")
           if key in wanted and product[key] != wanted[key]]
    if "colour" in wanted and not same_colour(product["colour"], wanted["colour"]):
        out.append(f"colour {product['colour']}, wanted {wanted['colour']}")
    for name, colour in wanted.get("face_colours", {}).items():
        shown = product["face_colours"].get(name, [])
        if len(shown) != 1 or not same_colour(shown[0], colour):
            out.append(f"colour of {name} {shown}, wanted {colour}")
    return out


def compare(list_path):
    bad = 0
    wanted = json.loads(Path(list_path).read_text(encoding="utf-8"))
    if not wanted:
        print("the list of expectations is empty")
        return 1
    for item in wanted:
        try:
            out = differences(look_at(Path(list_path).parent / item["file"]), item)
        except ValueError as error:
            out = [str(error)]
        bad += bool(out)
        for words in out:
            print(f"{item['file']}: {words}")
    print(f"{len(wanted)} files, {bad} not as expected")
    return 1 if bad else 0


def main():
    arguments = argparse.ArgumentParser(description=__doc__,
                                        formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("files", nargs="*")
    arguments.add_argument("--expect")
    given = arguments.parse_args()
    if given.expect:
        return compare(given.expect)
    if not given.files:
        arguments.error("name at least one file")
    print(json.dumps([look_at(f) for f in given.files], indent=1, ensure_ascii=False))
    return 0


if __name__ == "__main__":
    sys.exit(main())
