#!/usr/bin/env python3
"""Times one offset of package geometry against GEOS on shapes that a seed draws: seven families, six of each.

    /usr/bin/python3 .ci/bench/families.py [SEED]      # needs python3-shapely, gcc, Linux

GEOS is called from C (geos.c). It has no arcs: it gets every arc as chords no more than 1 or 10 um off, made
beforehand and not counted, and is asked for round joins as fine. Ours keeps arcs and checks itself, so each is
compared with GEOS alone and with GEOS and its own check of validity. CPU time, turn by turn in one run.

A ratio is GEOS' time over ours: above 1 ours is quicker. The middle and the worst shape of each family are shown.
"""

import json
import math
import os
import resource
import statistics
import subprocess
import sys
import tempfile

import shapely

sys.path.insert(0, os.path.join(os.path.dirname(__file__), "..", "outside"))
import geometry_geos as oracle  # noqa: E402

SECONDS = 0.2  # of CPU for each measurement


def child_time():
    usage = resource.getrusage(resource.RUSAGE_CHILDREN)
    return usage.ru_utime + usage.ru_stime


def ours(binary, name, env):
    """CPU seconds of one Offset: a long run less a short one, by the rounds between them."""
    def run(rounds):
        before = child_time()
        subprocess.run([binary, "-test.run=^$", f"-test.bench=^BenchmarkDrawn$/^{name}$", f"-test.benchtime={rounds}x"],
                       check=True, capture_output=True, env=env)
        return child_time() - before

    idle, rounds = min(run(1), run(1)), 20
    while True:
        spent = run(rounds) - idle
        if spent > SECONDS:
            return spent / (rounds - 1)
        rounds *= 4


def quarter_steps(d, chord):
    """Chords of a quarter circle of radius |d| that are that far off."""
    return max(1, math.ceil(math.pi / 2 / (2 * math.acos(1 - chord / abs(d)))))


def theirs(geos, shape, chord):
    """Microseconds of GEOS' buffer alone, and with its check."""
    oracle.ERROR = chord
    line = f"{shape['d']} {quarter_steps(shape['d'], chord)} {oracle.polygon(shape['contours']).wkb_hex}\n"
    done = subprocess.run([geos, str(SECONDS)], input=line, check=True, capture_output=True, text=True)
    return [float(v) for v in done.stdout.split()]


def main():
    seed = sys.argv[1] if len(sys.argv) > 1 else "1"
    env = {**os.environ, "TRAYWRIGHT_BENCH_SEED": seed, "GOMAXPROCS": "1"}
    with tempfile.TemporaryDirectory() as work:
        binary, geos, drawn = (os.path.join(work, n) for n in ("geometry.test", "geos", "drawn.json"))
        subprocess.run(["go", "test", "-c", "-o", binary, "./geometry"], check=True)
        subprocess.run(["gcc", "-O2", "-o", geos, os.path.join(os.path.dirname(__file__), "geos.c"), "-l:libgeos_c.so.1"], check=True)
        subprocess.run([binary, "-test.run=^TestDrawnShapes$"], check=True, stdout=subprocess.DEVNULL, env={**env, "TRAYWRIGHT_DRAWN_OUT": drawn})
        table = {}
        for shape in json.load(open(drawn, encoding="utf-8")):
            mine = 1e6 * ours(binary, shape["name"], env)
            others = theirs(geos, shape, 0.001) + theirs(geos, shape, 0.010)
            if min(others) < 0:
                sys.exit(f"{shape['name']}: GEOS' own result is not valid")
            table.setdefault(shape["name"].rsplit("-", 1)[0], []).append((mine, [o / mine for o in others]))
    print(f"GEOS {shapely.geos.geos_version_string} from C over traywright, middle (worst) of six; seed {seed}; load {os.getloadavg()[0]:.1f}")
    print()
    print("| family | ours, us | 1 um chords | 1 um, checked | 10 um chords | 10 um, checked |")
    print("|---|---:|---:|---:|---:|---:|")
    for name, rows in table.items():
        columns = zip(*(ratios for _, ratios in rows))
        cells = [f"{statistics.median(c):.1f} ({min(c):.1f})" for c in map(list, columns)]
        print(f"| {name} | {statistics.median(m for m, _ in rows):.0f} | {' | '.join(cells)} |")


if __name__ == "__main__":
    main()
