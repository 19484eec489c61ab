"""Check an archive to give away with Python's own zip reader.

    python pack_check.py ARCHIVE.zip DESIGN.yaml    exit 1 if any check fails

Looked at: order and names, times and modes, the design byte for byte, what README.txt must say, the
picture (PNG after ISO/IEC 15948), and the set inside against its manifest.
"""
import hashlib
import json
import struct
import sys
import zipfile
import zlib
from pathlib import Path

import numpy


def pixels(data):
    """Rows of an 8-bit RGB PNG, its filters undone."""
    assert data[:8] == b"\x89PNG\r\n\x1a\n", "no PNG"
    at, body, size = 8, b"", None
    while at < len(data):
        length, kind = struct.unpack(">I4s", data[at:at + 8])
        chunk = data[at + 8:at + 8 + length]
        crc, = struct.unpack(">I", data[at + 8 + length:at + 12 + length])
        assert crc == zlib.crc32(kind + chunk), f"checksum of {kind}"
        if kind == b"IHDR":
            size = struct.unpack(">IIBBBBB", chunk)
        if kind == b"IDAT":
            body += chunk
        at += 12 + length
    width, height, depth, colour = size[:4]
    assert (depth, colour) == (8, 2), "not 8-bit RGB"
    raw = numpy.frombuffer(zlib.decompress(body), dtype=numpy.uint8)
    return width, height, raw.reshape(height, 1 + 3 * width)


def checks(archive, design):
    with zipfile.ZipFile(archive) as found:
        yield found.testzip() is None, "every file is whole"
        infos = found.infolist()
        names = [i.filename for i in infos]
        yield len(names) == len(set(names)), "no name twice"
        top = names[0].split("/")[0]
        yield all(n.startswith(f"{top}/") and ".." not in n for n in names), f"all lies in {top}"
        yield names[0] == f"{top}/README.txt", f"first is {names[0]}"
        yield {i.date_time for i in infos} == {(1980, 1, 1, 0, 0, 0)}, "no clock"
        given = found.read(f"{top}/{design.name}")
        yield given == design.read_bytes(), "the design byte for byte"
        text = found.read(names[0]).decode("utf-8")
        lines = [line for line in text.splitlines() if line.strip()]
        yield lines[2] == "RE-FIT TO YOUR STOCK BEFORE CUTTING", f"first words {lines[:3]}"
        for key in ("author", "licence"):
            (said,) = [line.split(":", 1)[1].strip() for line in design.read_text().splitlines()
                       if line.startswith(f"{key}:")]
            yield said in text, f"{key} {said!r}"
        for word in ("19.05 mm", "hard maple", "Router", "Dust", "Adhesive", "Small parts", "Finish"):
            yield word in text, f"README.txt says {word!r}"
        width, height, rows = pixels(found.read(f"{top}/picture.png"))
        yield (width, height) == (1600, 900), f"picture of {width} x {height}"
        yield len(numpy.unique(rows[:, 1:])) > 64, "the picture shows something"
        manifest = json.loads(found.read(f"{top}/parts/manifest.json"))
        entries = list(manifest["files"])
        for part in manifest["parts"]:
            entries += part["files"] + part.get("held", {}).get("files", [])
        wanted = {f"{top}/parts/{e['name']}" for e in entries} | {f"{top}/parts/manifest.json"}
        yield wanted == {n for n in names if "/parts/" in n}, "the set is that of the manifest"
        same = [hashlib.sha256(found.read(f"{top}/parts/{e['name']}")).hexdigest() == e["sha256"]
                for e in entries]
        yield all(same), f"{same.count(False)} files differ from their hash"


def main():
    passed = failed = 0
    try:
        for right, words in checks(Path(sys.argv[1]), Path(sys.argv[2])):
            passed, failed = passed + bool(right), failed + (not right)
            if not right:
                print(words)
    except (OSError, AssertionError, KeyError, ValueError, zipfile.BadZipFile) as error:
        print(f"{type(error).__name__}: {error}")
        failed += 1
    print(f"{passed} passed, {failed} failed")
    return 1 if failed or not passed else 0


if __name__ == "__main__":
    sys.exit(main())
