"""Values and colours of a page at places of its picture against the record, found by rays of our own."""
import base64
import math

import numpy

from page_motion import packed, slide


def arrays(mesh):
    """Triangles of a mesh, the set-up that cuts each, and per corner the wall and what is left in both."""
    kind = "<u4" if mesh["wide"] else "<u2"
    corners = numpy.frombuffer(base64.b64decode(mesh["corners"]), kind).reshape(-1, 3)
    side = numpy.repeat(numpy.arange(len(mesh["runs"])) % 2, mesh["runs"])
    walls = numpy.frombuffer(base64.b64decode(mesh["walls"]), "u1") / 255
    left = [numpy.frombuffer(base64.b64decode(text), "<u2") for text in mesh["left"]]
    return corners, side, walls, left


def rays(browser, record, spots, size):
    """What is met first at each spot (pixels from the lower left): mesh, triangle, shares of its corners."""
    eye = numpy.array(browser.run("limberwood.eye")).reshape(4, 4).T
    posed = numpy.array(browser.run("limberwood.posed")).reshape(-1, 4, 4).transpose(0, 2, 1)
    met = [(math.inf, None)] * len(spots)
    for part, pose in zip(record["parts"], posed):
        mesh = record["meshes"][part["mesh"]]
        places = packed(mesh)
        seen = numpy.c_[places, numpy.ones(len(places))] @ (eye @ pose).T
        flat = (seen[:, :2] / seen[:, 3:] * 0.5 + 0.5) * size
        depth = seen[:, 2] / seen[:, 3]
        corners = arrays(mesh)[0]
        a, b, c = (flat[corners[:, k]] for k in range(3))
        cross = lambda u, v: u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]
        area = cross(b - a, c - a)
        for n, spot in enumerate(spots):
            with numpy.errstate(divide="ignore", invalid="ignore"):
                u = cross(b - spot, c - spot) / area
                v = cross(c - spot, a - spot) / area
            w = 1 - u - v
            for t in numpy.flatnonzero((u > 0) & (v > 0) & (w > 0)):
                shares = numpy.array([u[t], v[t], w[t]])
                far = shares @ depth[corners[t]]
                if far < met[n][0]:
                    met[n] = (far, (part["mesh"], t, shares / seen[corners[t], 3]))
    return [None if own is None else (own[0], own[1], own[2] / own[2].sum()) for _, own in met]


def places(browser, record, chance, count, canvas):
    """Pixels on which facets of meshes lie, by chance after their areas, inside the picture."""
    eye = numpy.array(browser.run("limberwood.eye")).reshape(4, 4).T
    posed = numpy.array(browser.run("limberwood.posed")).reshape(-1, 4, 4).transpose(0, 2, 1)
    spots = []
    for _ in range(count):
        k = chance.integers(len(posed))
        mesh = record["meshes"][record["parts"][k]["mesh"]]
        a, b, c = packed(mesh)[arrays(mesh)[0]].transpose(1, 0, 2)
        areas = numpy.linalg.norm(numpy.cross(b - a, c - a), axis=1)
        t = chance.choice(len(areas), p=areas / areas.sum())
        middle = (a[t] + b[t] + c[t]) / 3
        x, y, _, w = eye @ posed[k] @ [*middle, 1]
        spots.append([(x / w * 0.5 + 0.5) * canvas[0], (y / w * 0.5 + 0.5) * canvas[1]])
    spots = numpy.array(spots).astype(int)
    inside = ((spots >= 0) & (spots < numpy.array(canvas))).all(axis=1)
    return spots[inside]


def linear(v):
    v = numpy.asarray(v) / 255
    return numpy.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)


PIXELS = """(async (png, spots) => {
  const image = new Image();
  image.src = 'data:image/png;base64,' + png;
  await image.decode();
  const frame = document.getElementById('view').getBoundingClientRect();
  const flat = document.createElement('canvas');
  [flat.width, flat.height] = [image.width, image.height];
  const to = flat.getContext('2d');
  to.drawImage(image, 0, 0);
  return spots.map(([x, y]) => {
    const data = to.getImageData(Math.floor(frame.left) + x - 1, Math.floor(frame.bottom) - 2 - y, 3, 3).data;
    return [0, 1, 2].map((c) => [...data.filter((_, k) => k % 4 === c)]);
  });
})"""


def measures(browser, name, record, tally):
    """Values under the pointer and colours at points of the picture against the record."""
    canvas = browser.run("[document.getElementById('view').width, document.getElementById('view').height]")
    browser.run("document.getElementById('view').scrollIntoView({block: 'start', behavior: 'instant'})")
    ramp = numpy.array(record["ramp"])
    chance = numpy.random.default_rng(11)
    count = {way: [0, 0] for way in (2, 3, 4)}
    for view, apart in (("side", 0), ("above", 100), ("below", 100)):
        slide(browser, "sideways", 0, apart)
        browser.run(f"document.querySelector('[data-view={view}]').click()")
        browser.settle()
        spots = places(browser, record, chance, 320, canvas)
        met = rays(browser, record, spots + 0.5, numpy.array(canvas))
        for way, most in ((2, record["walls"][1]), (3, record["left"]["most"]), (4, record["left"]["most"])):
            browser.run(f"document.querySelectorAll('[name=colour]')[{way}].click()")
            browser.settle()
            # Colours of all spots come in one picture; each value is a drawing of its own.
            asked = spots[:80]
            values = browser.run(f"{asked.tolist()}.map(([x, y]) => limberwood.measured(x, y))")
            png = base64.b64encode(browser.picture()).decode()
            colours = browser.run(f"{PIXELS}('{png}', {spots.tolist()})")
            right = looked = 0
            for n, (found, colour) in enumerate(zip(met, colours)):
                if found is None:
                    continue
                mesh, triangle, shares = found
                corners, side, walls, left = arrays(record["meshes"][mesh])
                own = side[triangle] == way - 3 or way == 2
                known = n < len(values)
                looked += known
                if not own:
                    right += known and values[n] is None
                    continue
                ends = corners[triangle]
                codes = left[side[triangle]][ends]
                wanted = shares @ (walls[ends] * most if way == 2 else (codes & 0x3fff) / 1000)
                # A pixel's middle may lie beside the edge of a triangle, where the next one begins.
                spread = 0.02 + 0.5 * numpy.ptp(walls[ends] * most if way == 2 else (codes & 0x3fff) / 1000)
                right += known and values[n] is not None and abs(values[n]["mm"] - wanted) <= spread
                if way > 2 and (codes & 0xc000).any() or spread > 0.1:
                    continue
                # Edges are blended: a pixel and those round it must show one face.
                if numpy.ptp(colour, axis=1).max() > 16:
                    continue
                colour = [own[4] for own in colour]
                share = wanted / most if way == 2 else 1 - wanted / most
                at = min(max(share, 0), 1) * (len(ramp) - 1)
                k = min(int(at), len(ramp) - 2)
                tone = ramp[k] + (at - k) * (ramp[k + 1] - ramp[k])
                light = linear(colour) / tone
                count[way][0] += 1
                count[way][1] += 0.8 < light.min() and light.max() < 1.05 and numpy.ptp(light) < 0.08
            tally.want(looked > 40 and right >= 0.95 * looked,
                       f"{name}: {view}, way {way}: {right} of {looked} values right")
    for way, (toned, tinted) in count.items():
        tally.want(toned > 15 and tinted >= 0.9 * toned, f"{name}: way {way}: {tinted} of {toned} colours right")
    slide(browser, "sideways", 0, 0)
    browser.run("document.querySelectorAll('[name=colour]')[0].click()")


def left_is_checked(name, record, findings, tally):
    """What the map has of leftover lies under what the check measured and over no limit that it keeps."""
    bad = {f["check"] for f in findings if f["message"]["severity"] in ("error", "warning")}
    for mesh in record["meshes"]:
        for codes in arrays(mesh)[3]:
            if "reach" not in bad:
                tally.want(not (codes & 0x8000).any(), f"{name}: faults of reach that the check does not find")
            if "undercut" not in bad:
                tally.want(not (codes & 0x4000).any(), f"{name}: hidden places that the check does not find")


def walls(name, record, tally):
    """A wall at each corner, none but at edges without thickness, some thinner than the most."""
    for k, mesh in enumerate(record["meshes"]):
        own = numpy.frombuffer(base64.b64decode(mesh["walls"]), "u1")
        true = len(own) == len(packed(mesh)) and (own > 0).any() and own.min() < 255
        tally.want(true, f"{name}: walls of mesh {k}: {len(own)}, {own.min()} to {own.max()}")


def ramp(browser, name, tally):
    """Even steps of lightness and one hue, in Oklab (B. Ottosson, 2020, matrices from memory)."""
    lms = numpy.array([[0.4122214708, 0.5363325363, 0.0514459929],
                       [0.2119034982, 0.6806995451, 0.1073969566],
                       [0.0883024619, 0.2817188376, 0.6299787005]])
    lab = numpy.array([[0.2104542553, 0.7936177850, -0.0040720468],
                       [1.9779984951, -2.4285922050, 0.4505937099],
                       [0.0259040371, 0.7827717662, -0.8086757660]])
    tones = numpy.array(browser.run("limberwood.ramp"))
    light, a, b = lab @ numpy.cbrt(lms @ tones.T)
    steps, hues = numpy.diff(light), numpy.arctan2(b, a)
    even = len(tones) > 4 and numpy.ptp(steps) < 0.02 * abs(steps.mean()) and numpy.ptp(hues) < 0.05
    tally.want(even, f"{name}: steps of lightness {steps}, hues {hues}")
