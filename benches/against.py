"""Our pace against two programs that do the same with general-purpose libraries, in one run.

    python against.py --scripts DIR [--rounds N] [--bench FILE]

DIR holds occt_build.py (exact model, mesh, STEP and STL with a B-rep kernel) and manifold_build.py
(meshes alone with a mesh-boolean library); both write to the folder that REFERENCE_OUT names. The
three take turns, so that a machine that is busy for a while slows all of them down. Ours is
`pace --once` on one thread; without --bench it is built first. Run it with the Python of
target/foreign. Prints medians and ratios; exit 1 if a bound of the project is not kept:
at least 8 times as fast as the first, no slower than the second, at most 1.2 times its triangles.
"""
import argparse
import json
import os
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

HOME = Path(__file__).resolve().parent.parent
FASTER, TRIANGLES = 8.0, 1.2


def built():
    """The bench's program, from what cargo says of it."""
    command = ["cargo", "bench", "--bench", "pace", "--no-run", "--message-format", "json"]
    said = subprocess.run(command, cwd=HOME, check=True, stdout=subprocess.PIPE, text=True).stdout
    messages = [json.loads(line) for line in said.splitlines()]
    found = [m["executable"] for m in messages
             if m.get("reason") == "compiler-artifact" and m["target"]["name"] == "pace"]
    return found[-1]


def theirs(script, folder):
    environment = {**os.environ, "REFERENCE_OUT": str(folder)}
    subprocess.run([sys.executable, script.name, "--reps", "1"], cwd=script.parent, check=True,
                   env=environment, stdout=subprocess.DEVNULL)
    return json.loads((folder / "results" / f"{script.stem}.json").read_text())


def turn(bench, scripts, folder):
    """Seconds and triangles of one turn of each."""
    mine = json.loads(subprocess.run([bench, "--once"], check=True, stdout=subprocess.PIPE).stdout)
    kernel = theirs(scripts / "occt_build.py", folder)
    meshes = theirs(scripts / "manifold_build.py", folder)["variants"]["0.02"]
    return mine, {
        "ours": (mine["whole"], mine["triangles"]),
        "B-rep kernel": (kernel["totals"]["model_mesh02_stl_step"]["wall_s"],
                         kernel["triangles_total"]["0.02"]),
        "mesh booleans": (meshes["total"]["wall_s"], meshes["triangles_total"]),
    }


def main():
    arguments = argparse.ArgumentParser(description=__doc__,
                                        formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("--scripts", type=Path, required=True)
    arguments.add_argument("--rounds", type=int, default=5)
    arguments.add_argument("--bench")
    given = arguments.parse_args()
    bench = given.bench or built()
    mine, rounds = [], []
    with tempfile.TemporaryDirectory() as folder:
        for i in range(given.rounds):
            stages, seen = turn(bench, given.scripts.resolve(), Path(folder))
            mine.append(stages["stages"])
            rounds.append(seen)
            print(f"round {i + 1}: " + ", ".join(f"{k} {v[0]:.3f} s" for k, v in seen.items()), flush=True)
    middle = {k: statistics.median(r[k][0] for r in rounds) for k in rounds[0]}
    triangles = {k: rounds[0][k][1] for k in rounds[0]}
    print("\n24 halves at 0.02 mm, one thread, medians:")
    for name in middle:
        print(f"  {name:14} {middle[name]:7.3f} s {triangles[name]:8} triangles")
    for name in mine[0]:
        print(f"    of ours, {name:7} {statistics.median(s[name] for s in mine):7.3f} s")
    # The median of the ratios of each round: what slowed a round down slowed both.
    faster, level = (statistics.median(r[k][0] / r["ours"][0] for r in rounds)
                     for k in ("B-rep kernel", "mesh booleans"))
    more = triangles["ours"] / triangles["B-rep kernel"]
    bounds = [(f"{faster:.2f} times as fast as the B-rep kernel, wanted {FASTER}", faster >= FASTER),
              (f"{level:.2f} times as fast as the mesh booleans, wanted 1", level >= 1),
              (f"{more:.2f} times the kernel's triangles, wanted at most {TRIANGLES}", more <= TRIANGLES)]
    for words, kept in bounds:
        print(f"{words}: {'kept' if kept else 'NOT KEPT'}")
    return 0 if all(kept for _, kept in bounds) else 1


if __name__ == "__main__":
    sys.exit(main())
