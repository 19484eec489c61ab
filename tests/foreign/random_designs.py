"""Write random designs, legal by construction, the same for the same seed.

    python random_designs.py DIR --seed N --count N
"""
import argparse
import random
from pathlib import Path

SCHEMA = "# yaml-language-server: $schema=limberwood.schema.json"
WOODS = ["hard maple", "beech"]


def design(rng, name):
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
        path = given.folder / f"random-{i:03}.yaml"
        path.write_text(design(rng, name), encoding="utf-8")


if __name__ == "__main__":
    main()
