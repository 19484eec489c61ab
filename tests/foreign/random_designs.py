"""Write random designs, the same for the same seed.

    python random_designs.py DIR --seed N --count N

Every second one, random-NNN-forms.yaml, has plates, eyes, flats, tabs and whole sections at random:
of these the program may refuse some, with a reason. The others are legal by construction.
"""
import argparse
import random
from pathlib import Path

SCHEMA = "# yaml-language-server: $schema=limberwood.schema.json"
WOODS = ["hard maple", "beech"]


def design(rng, name, forms):
    """A chain round one ball size: outlines keep clear of the socket by construction."""
    ball = rng.uniform(14, 26)
    clearance = rng.uniform(0.25, 0.5)
    turned = rng.random() < 0.3
    ends = ("ball", "socket") if turned else ("socket", "ball")
    land = rng.uniform(3, 5)
    # Round the socket stays a wall of land; a dome takes ends up to 0.97 of its radius.
    end = (ball / 2 + clearance + land) * rng.uniform(0.9, 0.96)
    lines = [SCHEMA, "limberwood: 1", f"name: {name}", "units: mm", f"species: {rng.choice(WOODS)}",
             f"split: {rng.choice(['level', 'upright'])}",
             f"joint: {{ball: {ball:.3f}, clearance: {clearance:.3f}, neck: {0.42 * ball:.3f},"
             f" swing: {rng.uniform(12, 22):.2f} deg, land: {land:.3f}}}",
             "defaults:", f"  front_joint: {ends[0]}", f"  rear_joint: {ends[1]}",
             f"  front: {'flat' if turned else rng.choice(['domed', 'domed', 'flat'])}",
             f"  rear: {rng.choice(['domed', 'flat']) if turned else 'flat'}",
             f"  rim: {rng.uniform(4.5, 5.5):.3f}", f"  lean: {rng.uniform(3.1, 7):.2f} deg", "sections:"]
    count = rng.randint(2, 5)
    for i in range(count):
        lines += section(rng, i, count, end)
        # A section cut in one piece has no socket.
        if forms:
            lines += more(rng, i == (count - 1 if turned else 0), end)
    return "\n".join(lines) + "\n"


def section(rng, i, count, end):
    first, last = i == 0, i == count - 1
    lines = [f"  - name: s{i + 1}", f"    length: {end * rng.uniform(3.0, 4.5):.3f}"]
    if first:
        lines += ["    front: closed", "    front_joint: none"]
    if last:
        lines += ["    rear: closed", "    rear_joint: none"]
    if first or last:
        lines.append(f"    tip_width: {rng.uniform(7, 11):.3f}")
    lines.append("    outline:")
    # Points of unlike size a tenth apart turn too sharply for the lean; the program refuses them.
    between = rng.choice([[30], [40], [50], [60], [70], [30, 60], [30, 70], [40, 70]])
    for at in [0, *between, 100]:
        lines.append(f"      - {{at: {at}%, {point(rng, at, first, last, end)}}}")
    return lines


def more(rng, without_socket, end):
    """Keys of forms. Each keeps off the ends and, as far as it is easy, off the others."""
    lines = []
    plated = None
    if without_socket and rng.random() < 0.5:
        lines.append("    whole: true")
    if rng.random() < 0.5:
        first, last = rng.uniform(36, 44), rng.uniform(56, 62)
        corners = [(first, rng.uniform(4, 9)), (last, rng.uniform(4, 9))]
        if rng.random() < 0.4:
            corners.insert(1, (rng.uniform(46, 54), rng.uniform(5, 11)))
        # A tab goes in the middle of the longest edge.
        edges = [(b[0] - a[0], (a[0] + b[0]) / 2) for a, b in zip(corners, corners[1:])]
        plated = max(edges)[1]
        outline = ", ".join(f"{{at: {at:.2f}%, out: {out:.3f}, round: 2}}" for at, out in corners)
        ease = rng.choice(["", f", ease: {rng.uniform(0.4, 1):.2f}"])
        lines.append(f"    plates: [{{side: both, thickness: {rng.uniform(6.3, 7.5):.2f}{ease},"
                     f" outline: [{outline}]}}]")
    if rng.random() < 0.5:
        lines.append(f"    eyes: [{{at: {rng.uniform(36, 64):.2f}%, across: {end * rng.uniform(0.1, 0.5):.3f},"
                     f" diameter: {rng.uniform(2, 6):.2f}, depth: {rng.uniform(0.8, 2.5):.2f}}}]")
    elif rng.random() < 0.7:
        lines.append(f"    flats: [{{width: {end * rng.uniform(0.2, 0.6):.3f},"
                     f" from: {rng.uniform(43, 47):.2f}%, to: {rng.uniform(52, 57):.2f}%}}]")
    tabs = rng.choice([None, "auto", "none", "1", "list"])
    if tabs == "list" and plated:
        # Low and thin, in the middle of the plate's longest edge.
        thin = "underside: 0.6, thickness: 1" if "    whole: true" not in lines else "thickness: 2"
        tabs = f"[{{side: both, at: {plated:.2f}%, width: 2, {thin}}}]"
    elif tabs == "list":
        places = [rng.uniform(30, 42), rng.uniform(60, 70)]
        tabs = "[" + ", ".join(f"{{side: both, at: {at:.2f}%, width: {rng.uniform(4, 7):.2f}}}" for at in places) + "]"
    if tabs:
        lines.append(f"    tabs: {tabs}")
    return lines


def point(rng, at, first, last, end):
    if (first and at == 0) or (last and at == 100):
        return f"half_width: {rng.uniform(3.5, 5.5):.3f}, height: {rng.uniform(5.8, 7):.3f}"
    if at in (0, 100):
        return f"half_width: {end:.3f}, height: {end:.3f}, squareness: 2"
    width, above, below = (end * rng.uniform(1.05, 1.4) for _ in range(3))
    return (f"half_width: {width:.3f}, above: {above:.3f}, below: {below:.3f},"
            f" squareness: {rng.uniform(2, 3.2):.2f}")


def main():
    arguments = argparse.ArgumentParser(description=__doc__)
    arguments.add_argument("folder", type=Path)
    arguments.add_argument("--seed", type=int, required=True)
    arguments.add_argument("--count", type=int, required=True)
    given = arguments.parse_args()
    given.folder.mkdir(parents=True, exist_ok=True)
    for i in range(given.count):
        rng = random.Random(f"{given.seed}-{i}")
        name = f"Random {given.seed}-{i}"
        forms = i % 2 == 1
        path = given.folder / f"random-{i:03}{'-forms' if forms else ''}.yaml"
        path.write_text(design(rng, name, forms), encoding="utf-8")


if __name__ == "__main__":
    main()
