#!/usr/bin/env python3
"""Times one offset of package geometry, GEOS and Clipper on the same shapes in one run.

    /usr/bin/python3 .ci/bench/offset_compare.py          # needs python3-shapely, python3-pyclipper

The others have no arcs: they get every arc as chords no more than CHORD mm off, made
beforehand and not counted, and are asked for round joins as fine; their result
stays in chords, while ours has arcs again and has checked itself. CPU time of
the process, not time on the wall, so that a busy machine does not matter.
"""

import json
import math
import os
import re
import resource
import subprocess
import sys
import tempfile
import time
from importlib.metadata import version

import pyclipper
import shapely

sys.path.insert(0, os.path.join(os.path.dirname(__file__), "..", "outside"))
import geometry_geos as oracle  # noqa: E402

CHORD = 0.001  # mm
SECONDS = 0.5  # of CPU for each measurement


def child_time():
    usage = resource.getrusage(resource.RUSAGE_CHILDREN)
    return usage.ru_utime + usage.ru_stime


def ours(binary, name):
    """CPU seconds of one Offset, a long run less a short one by the rounds between them; and its allocations."""
    def run(rounds):
        before = child_time()
        done = subprocess.run([binary, "-test.run=^$", f"-test.bench=^BenchmarkOffset$/^{name}$", f"-test.benchtime={rounds}x"],
                              check=True, capture_output=True, text=True)
        return child_time() - before, done.stdout

    rounds = 100
    while run(rounds)[0] < SECONDS and rounds < 1_000_000:
        rounds *= 4
    spent, report = run(rounds)
    size, allocations = re.search(r"(\d+) B/op\s+(\d+) allocs/op", report).groups()
    return (spent - run(1)[0]) / (rounds - 1), f"{allocations} ({int(size) / 1024:.1f} KB)"


def timed(action, seconds):
    rounds, spent = 0, 0.0
    while spent < seconds or rounds == 0:
        before = time.process_time()
        action()
        spent += time.process_time() - before
        rounds += 1
    return spent / rounds


def geos(contours, d, seconds):
    shape = oracle.polygon(contours)
    return timed(lambda: shape.buffer(d, quarter_steps(d)), seconds)


def quarter_steps(d):
    """Chords of a quarter circle of radius |d| that are CHORD off."""
    return max(1, math.ceil(math.pi / 2 / (2 * math.acos(1 - CHORD / abs(d)))))


def clipper(contours, d, seconds):
    scale = 1e6  # whole nanometres
    rings = [[(round(x * scale), round(y * scale)) for x, y in oracle.ring(c)] for c in contours]

    def offset():
        tool = pyclipper.PyclipperOffset(2.0, CHORD * scale)
        tool.AddPaths(rings, pyclipper.JT_ROUND, pyclipper.ET_CLOSEDPOLYGON)
        tool.Execute(d * scale)

    return timed(offset, seconds)


def main():
    oracle.ERROR = CHORD
    with tempfile.TemporaryDirectory() as work:
        binary, shapes = os.path.join(work, "geometry.test"), os.path.join(work, "shapes.json")
        subprocess.run(["go", "test", "-c", "-o", binary, "./geometry"], check=True)
        subprocess.run([binary, "-test.run=^TestBenchShapes$"], check=True, stdout=subprocess.DEVNULL,
                       env={**os.environ, "TRAYWRIGHT_BENCH_OUT": shapes})
        print(f"GEOS {shapely.geos.geos_version_string}, pyclipper {version('pyclipper')}, chords {CHORD * 1000:g} um off; microseconds of CPU per offset")
        print()
        print("| shape, offset | segments | chords | traywright | GEOS | Clipper | faster than the better | allocations |")
        print("|---|---:|---:|---:|---:|---:|---:|---:|")
        by_name = {}
        for shape in json.load(open(shapes, encoding="utf-8")):
            by_name.setdefault(shape["name"], []).append((shape["contours"], shape["d"]))
        for name, offsets in by_name.items():
            mine, allocations = ours(binary, name)
            others = [sum(other(contours, d, SECONDS / len(offsets)) for contours, d in offsets) for other in (geos, clipper)]
            a, b, c = (1e6 * t for t in [mine] + others)
            segments = sum(len(contour) for contours, _ in offsets for contour in contours)
            chords = sum(len(oracle.ring(contour)) for contours, _ in offsets for contour in contours)
            print(f"| {name} | {segments} | {chords} | {a:.1f} | {b:.0f} | {c:.0f} | {min(b, c) / a:.1f} | {allocations} |", flush=True)


if __name__ == "__main__":
    main()
