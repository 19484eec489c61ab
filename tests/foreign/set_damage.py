"""The check of the set check: damage a copy of a made set in many ways, each must be seen.

    python set_damage.py DIR    exit 1 if any damage is not seen

Where a damage would show by the hash already, the manifest is made to match the damaged file, so
that the readers themselves have to see it.
"""
import hashlib
import io
import json
import os
import re
import shutil
import struct
import sys
import tempfile
import zipfile
from pathlib import Path

import numpy

import set_check

VERBOSE = "VERBOSE" in os.environ
EXPECTED = Path(__file__).parent.parent / "data" / "expected.json"


def triangles(data):
    return numpy.frombuffer(data[84:], dtype=[("n", "<f4", 3), ("v", "<f4", (3, 3)), ("a", "<u2")]).copy()


def stl(records):
    return b"\0" * 80 + struct.pack("<I", len(records)) + records.tobytes()


def mirrored(data):
    records = triangles(data)
    records["v"][:, :, 1] *= -1
    records["v"] = records["v"][:, ::-1]
    return stl(records)


def scaled(data):
    records = triangles(data)
    records["v"] *= numpy.float32(1.001)
    return stl(records)


def moved(data):
    """One corner of the largest triangle moved wherever it is used: still watertight. One of a
    small pocket would move no more volume than the mesh is allowed."""
    records = triangles(data)
    sides = records["v"][:, 1:] - records["v"][:, :1]
    area = numpy.linalg.norm(numpy.cross(sides[:, 0], sides[:, 1]), axis=1)
    corner = records["v"][area.argmax(), 0].copy()
    records["v"][(records["v"] == corner).all(axis=2)] += numpy.float32(3.0)
    return stl(records)


def in_step(find, put, count=1):
    def change(data):
        text, done = re.subn(find, put, data.decode("ascii"), count=count)
        assert done, find
        return text.encode("ascii")
    return change


STL = {
    "a triangle missing": lambda d: stl(triangles(d)[1:]),
    "a triangle turned": lambda d: stl((lambda r: (r["v"].__setitem__(5, r["v"][5, ::-1].copy()), r)[1])(triangles(d))),
    "a triangle twice": lambda d: stl(numpy.concatenate([triangles(d), triangles(d)[:1]])),
    "inside out": lambda d: stl((lambda r: (r.__setitem__("v", r["v"][:, ::-1].copy()), r)[1])(triangles(d))),
    "mirrored": mirrored, "0.1 percent larger": scaled, "a corner moved": moved,
    "cut short": lambda d: d[:-50],
}
STEP = {
    "in inches": in_step(r"SI_UNIT\(\.MILLI\.,\.METRE\.\)", "SI_UNIT(.CENTI.,.METRE.)"),
    "another name": in_step(r"PRODUCT\('[^']*','[^']*'", "PRODUCT('x','x'"),
    "a face without its name": in_step(r"ADVANCED_FACE\('pin floor'", "ADVANCED_FACE(''"),
    "another colour": in_step(r"COLOUR_RGB\('',0?\.8,", "COLOUR_RGB('',0.1,"),
    "a wider hole": in_step(r"(=CYLINDRICAL_SURFACE\('',#\d+,)[0-9.E+-]+", r"\g<1>2.5"),
    "a face missing": in_step(r"(=CLOSED_SHELL\('',\()#\d+,", r"\1"),
    "a reference into nothing": in_step(r"=VERTEX_POINT\('',#\d+", "=VERTEX_POINT('',#999999"),
}


def change_manifest(folder, change):
    path = folder / "manifest.json"
    manifest = json.loads(path.read_text(encoding="utf-8"))
    change(manifest)
    path.write_text(json.dumps(manifest), encoding="utf-8")


def change_file(folder, ending, change):
    def entries(manifest):
        for part in manifest["parts"]:
            yield from part["files"]

    def both(manifest):
        # The lower half of the first section: the one that a mirror would get wrong.
        part = next(p for p in manifest["parts"] if p["side"] == "lower")
        entry = next(f for f in part["files"] if f["name"].endswith(ending))
        path = folder / entry["name"]
        data = change(path.read_bytes())
        path.write_bytes(data)
        entry.update(sha256=hashlib.sha256(data).hexdigest(), bytes=len(data))
        if ending == ".stl":
            part["triangles"] = (len(data) - 84) // 50
    change_manifest(folder, both)


def change_together(folder, name, change):
    def both(manifest):
        entry = next(f for f in manifest["files"] if f["name"] == name)
        path = folder / name
        data = change(path.read_bytes())
        path.write_bytes(data)
        entry.update(sha256=hashlib.sha256(data).hexdigest(), bytes=len(data))
    change_manifest(folder, both)


def in_model(find, put):
    def change(data):
        out = io.BytesIO()
        with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w") as new:
            for name in old.namelist():
                text = old.read(name).decode("utf-8")
                if name.endswith(".model"):
                    text, done = re.subn(find, put, text, count=1)
                    assert done, find
                new.writestr(name, text)
        return out.getvalue()
    return change


def swapped(find):
    """The first two references that a pattern finds, exchanged."""
    def change(data):
        text = data.decode("ascii")
        one, other = list(re.finditer(find, text))[:2]
        parts = (text[:one.start(1)], other[1], text[one.end(1):other.start(1)], one[1], text[other.end(1):])
        return "".join(parts).encode("ascii")
    return change


ASSEMBLY = {
    "a part at the place of another": swapped(r"=ITEM_DEFINED_TRANSFORMATION\('','',#\d+,(#\d+)"),
    "an occurrence renamed": in_step(r"(=NEXT_ASSEMBLY_USAGE_OCCURRENCE\()'[^']*','[^']*'", r"\1'x','x'"),
    "a part in place of another": swapped(r"[(]REPRESENTATION_RELATIONSHIP\('','',(#\d+),#\d+"),
    "inches": in_step(r"SI_UNIT\(\.MILLI\.,\.METRE\.\)", "SI_UNIT(.CENTI.,.METRE.)"),
}
THREE_MF = {
    "inches": in_model('unit="millimeter"', 'unit="inch"'),
    "a triangle missing": in_model("<triangle [^/]*/>", ""),
    "a name missing": in_model(r'name="01-[^"]*"><comp', 'name="x"><comp'),
    "a part on another": in_model(r'(<item [^>]*transform="1 0 0 0 1 0 0 0 1 )[^"]*', r"\g<1>50 20 0"),
    "a reference into nothing": in_model('component objectid="[0-9]+"', 'component objectid="999"'),
}


def set_first(**values):
    return lambda manifest: manifest["parts"][0].update(values)


def placed_mirror(manifest):
    manifest["parts"][0]["placement"][1][1] *= -1


MANIFEST = {
    "another volume": lambda m: m["parts"][0].update(volume_mm3=m["parts"][0]["volume_mm3"] * 1.01),
    "another mass": set_first(mass_g=1.0),
    "another name": set_first(name="someone"),
    "a mirror as a place": placed_mirror,
    "a place along the chain": lambda m: m["parts"][2]["placement"][0].__setitem__(3, 20.0),
    "another box": lambda m: m["parts"][0]["bounding_box"]["max"].__setitem__(0, 7.0),
    "a hash": lambda m: m["parts"][0]["files"][0].update(sha256="0" * 64),
    "inches": lambda m: m.update(unit="in"),
    "a part missing": lambda m: m["parts"].pop(),
    "a bench body": lambda m: m.update(bench_only=True),
}


def damages():
    for words, change in STL.items():
        yield f"STL {words}", lambda folder, c=change: change_file(folder, ".stl", c)
    for words, change in STEP.items():
        yield f"STEP {words}", lambda folder, c=change: change_file(folder, ".step", c)
    for words, change in MANIFEST.items():
        yield f"manifest with {words}", lambda folder, c=change: change_manifest(folder, c)
    for words, change in ASSEMBLY.items():
        yield f"assembly with {words}", lambda folder, c=change: change_together(folder, "creature.step", c)
    for words, change in THREE_MF.items():
        yield f"3MF with {words}", lambda folder, c=change: change_together(folder, "creature.3mf", c)
    yield "a stray file", lambda folder: (folder / "stray.stl").write_bytes(b"x")


class Pool:
    """Checks only parts that it has not seen just so."""

    def __init__(self):
        self.seen = {}

    def map(self, check, jobs, chunksize):
        out = []
        for folder, part in jobs:
            files = [(folder / f["name"]).read_bytes()
                     for body in set_check.bodies(part) for f in body["files"]]
            key = (json.dumps(part), *files)
            if key not in self.seen:
                self.seen[key] = check((folder, part))
            out.append(self.seen[key])
        return out


def main(folder):
    manifest = json.loads((folder / "manifest.json").read_text(encoding="utf-8"))
    expected = json.loads(EXPECTED.read_text(encoding="utf-8"))[manifest["creature"]]
    pool, passed, failed = Pool(), 0, 0

    def count(right, words):
        nonlocal passed, failed
        passed, failed = passed + right, failed + (not right)
        if not right:
            print(words)
    bad = [words for right, words in set_check.check_set(folder, pool, expected) if not right]
    count(not bad, f"not sound as it is: {bad[:3]}")
    with tempfile.TemporaryDirectory() as room:
        for i, (words, damage) in enumerate(damages()):
            copy = Path(room) / str(i)
            shutil.copytree(folder, copy)
            damage(copy)
            bad = [w for right, w in set_check.check_set(copy, pool, expected) if not right]
            if VERBOSE:
                print(f"{words}: {len(bad)}, {bad[:1]}")
            count(bool(bad), f"not seen: {words}")
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(Path(sys.argv[1])))
