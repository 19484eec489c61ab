"""How the parts of a page lie when its levers are moved, by the record and by turns of a library."""
import base64
import math

import numpy
from scipy.spatial.transform import Rotation

# Places of both computations, mm: 64-bit numbers over chains of under a metre.
PLACE = 1e-9
AXES = {"sideways": (0, 0, 1), "up": (0, -1, 0), "wave": (0, 0, 1)}


def packed(mesh):
    """Corner places of a mesh of the record."""
    steps = numpy.frombuffer(base64.b64decode(mesh["places"]), "<u2").reshape(-1, 3)
    return mesh["low"] + steps * numpy.array(mesh["step"])


def wanted_poses(record, how, part, apart):
    """4 x 4 matrices of all parts: each joint turns all behind it about its centre."""
    joints = record["joints"]
    moved, period = [numpy.eye(4)], max(len(joints), 4)
    for k, joint in enumerate(joints):
        share = math.sin(2 * math.pi * (k + 0.5) / period) if how == "wave" else 1.0
        turn = Rotation.from_rotvec(numpy.array(AXES[how]) * part * share * joint["limit"]).as_matrix()
        centre = numpy.array(joint["centre"])
        step = numpy.eye(4)
        step[:3, :3], step[:3, 3] = turn, centre - turn @ centre
        moved.append(moved[-1] @ step)
    tops = [packed(record["meshes"][p["mesh"]])[:, 2].max() for p in record["parts"]]
    opened = 1.1 * max(tops) * apart
    for p in record["parts"]:
        own = numpy.array(p["pose"])
        if not p["whole"]:
            own[:3, 3] += own[:3, 2] * opened
        yield moved[p["section"]] @ own


def slide(browser, how, bend, apart):
    browser.run(f"""(() => {{
      const set = (id, value, kind) => {{
        const own = document.getElementById(id);
        own.value = value;
        own.dispatchEvent(new Event(kind, {{ bubbles: true }}));
      }};
      set('how', '{how}', 'change'); set('bend', {bend}, 'input'); set('apart', {apart}, 'input');
    }})()""")
    browser.settle()


def kinematics(browser, name, record, tally):
    for how, bend, apart in (("sideways", 0, 0), ("sideways", 100, 0), ("sideways", -37, 25),
                             ("up", 100, 0), ("up", -100, 100), ("wave", 80, 0)):
        slide(browser, how, bend, apart)
        ours = numpy.array(browser.run("limberwood.posed")).reshape(-1, 4, 4).transpose(0, 2, 1)
        wanted = numpy.array(list(wanted_poses(record, how, bend / 100, apart / 100)))
        off = abs(ours - wanted).max()
        tally.want(off < PLACE, f"{name}: {how} {bend} {apart}: parts lie {off} off")


def swings(name, record, findings, tally):
    """Limits of the record against those that the checks measured."""
    said = {}
    for f in findings:
        aside = f["check"] == "swing" and "pushed aside" in f["message"]["found"]
        if aside or f["check"] == "collision":
            degrees = f["measured"]["value"]
            said[f["subject"]] = min(degrees, said.get(f["subject"], math.inf))
    ours = sorted(math.degrees(j["limit"]) for j in record["joints"])
    wanted = sorted(said.values())
    same = len(ours) == len(wanted) and all(abs(a - b) < 1e-9 for a, b in zip(ours, wanted))
    tally.want(same, f"{name}: joints bend by {ours}, the checks say {wanted}")
