"""Holds the volume that the dry run removes against exact areas: pockets of every
shape are drawn here with shapely from the job's own numbers, and area times depth
is what has to be gone. The trays are cut by the program under test and tried by
its dry run; nothing but the job, the G-code and the report passes between them.

A round tool leaves corners round: a shape is opened by half the kerf (under a
beam by the recipe's least corner radius). What is cut round the tray is the same
in all trays and is taken off as the tray without pockets shows it; that ring, one
kerf wide and down to the skin, is compared by itself.

The dry run's field has cells of 0.1 mm, each as deep as at its middle, so a wall
may come out half a cell off: a volume may differ by SHARE of it, and a ring or a
groove of a few cells' width by a cell of that width.

usage: volume_shapely.py TRAYWRIGHT WORKDIR
"""

import json
import math
import subprocess
import sys
from pathlib import Path

from shapely import affinity
from shapely.geometry import Point, Polygon, box
from shapely.ops import unary_union

from cutfolder import Faults

SHARE = 1e-3
CELL = 0.1  # mm
SLAB, TRAY = 25.4, (300.0, 280.0)  # mm, thickness and size
CUTTER, SKIN = 3.175, 1.3  # bench-router, flat-3, pe-30: diameter and what stays under the outline
SHEET, BEAM, CORNER, LEAD = 10.0, 0.3, 1.0, 2.0  # bench-laser, eva-90: thickness, kerf, least corner, run-up

QUARTER = 64  # chords in a quarter turn: a disc is short by 4e-5 of its area


def disc(x, y, r):
    return Point(x, y).buffer(r, QUARTER)


def rounded(length, width, r):
    return box(r, r, length - r, width - r).buffer(r, QUARTER) if r else box(0, 0, length, width)


def slot(length, width):
    r = width / 2
    return unary_union([disc(r, r, r), disc(length - r, r, r), box(r, 0, length - r, width)])


def notched(length, width, across, reach):
    """Tongues with half-round ends in the middles of the east and west sides."""
    y, r = width / 2, across / 2
    ends = [disc(length + reach - r, y, r), disc(-reach + r, y, r)]
    return unary_union([box(0, 0, length, width), box(-reach + r, y - r, length + reach - r, y + r), *ends])


def dogbone(length, width, r):
    """Discs of the tool's radius whose edge runs through each corner, on its bisector."""
    s = r / math.sqrt(2)
    return unary_union([opened(box(0, 0, length, width), r)] + [disc(x, y, r) for x in (s, length - s) for y in (s, width - s)])


def opened(shape, r):
    return shape.buffer(-r, QUARTER).buffer(r, QUARTER)


GABLE = [(0, 0), (60, 0), (60, 30), (30, 52), (0, 30)]
RING = box(0, 0, 44, 44).difference(disc(22, 22, 9))
SVG = '<svg xmlns="http://www.w3.org/2000/svg" width="{0}mm" height="{1}mm" viewBox="0 0 {0} {1}"><path fill-rule="evenodd" d="{2}"/></svg>'
DRAWINGS = {
    "gable.svg": SVG.format(60, 52, "M" + "L".join(f"{x},{52 - y}" for x, y in GABLE) + "Z"),
    "ring.svg": SVG.format(44, 44, "M0,0H44V44H0Z M31,22A9,9 0 0 1 13,22A9,9 0 0 1 31,22Z"),
}

# name, what the job says, the shape, its depth, whether corners are as the tool leaves them
POCKETS = [
    ("rect", "at: [12, 12], size: [40, 25]", box(0, 0, 40, 25), 9, True),
    ("rounded", "at: [62, 12], size: [50, 30], corner: 6", rounded(50, 30, 6), 14, True),
    ("round", "at: [122, 12], round: 26.5", disc(0, 0, 13.25), 20, True),
    ("slot", "at: [160, 12], slot: [60, 14]", slot(60, 14), 7, True),
    ("turned", "at: [12, 50], size: [45, 22], corner: 3, turn: 30", rounded(45, 22, 3), 12, True),
    ("turned slot", "at: [82, 60], slot: [44, 12], turn: -37", slot(44, 12), 25.4, True),
    ("notched", "at: [152, 52], size: [30, 40], notch: [e, w], notch_width: 16, notch_reach: 12", notched(30, 40, 16, 12), 11, True),
    ("gable", "at: [12, 130], outline: gable.svg", Polygon(GABLE), 8, True),
    ("turned gable", "at: [90, 130], outline: gable.svg, turn: 100", affinity.rotate(Polygon(GABLE), 100), 15, True),
    ("ring", "at: [170, 130], outline: ring.svg", RING, 10, True),
    ("dogbone", "at: [230, 20], size: [40, 30], relief: dogbone", dogbone(40, 30, CUTTER / 2), 13, False),
    ("grid", "at: [12, 205], round: 20, grid: [4, 2], pitch: [28, 30]", unary_union([disc(28 * i, 30 * j, 10) for i in range(4) for j in range(2)]), 6, True),
    ("coarse grid", "at: [130, 205], size: [24, 18], grid: [3, 2], pitch: [34, 28], corner: 2",
     unary_union([affinity.translate(rounded(24, 18, 2), 34 * i, 28 * j) for i in range(3) for j in range(2)]), 25.4, True),
]

RULES = "owner: Quayside workshop\npermits: [{foam: eva-90, process: laser, when: extraction runs}]\n"


# cut round, in the job "plugs": a groove as wide as the cutter, down to the skin
ROUND = ("rect", "rounded", "round", "turned", "notched", "gable", "turned gable")


def tray(name, foam, thickness, pockets, waste="clear"):
    size = f"[{TRAY[0]:g}, {TRAY[1]:g}]"
    tool = "    tool: flat-3\n" if thickness == SLAB else ""  # whose corners are reckoned with here
    return f"  - id: {name}\n{tool}    size: {size}\n    layers: [{{foam: {foam}, thickness: {thickness} mm}}]\n" + ("    pockets:\n" if pockets else "") + \
        "".join(f"      - {{for: {p[0]}, {p[1]}, waste: {waste}, depth: {'through' if depth >= thickness else depth}}}\n" for p, depth in pockets)


def write_jobs(work):
    """A tray of all the pockets, and one for each of them alone, under a cutter and a beam."""
    for name, text in DRAWINGS.items():
        (work / name).write_text(text, encoding="utf-8")
    (work / "rules.yaml").write_text(RULES, encoding="utf-8")
    beams = [p for p in POCKETS if p[0] != "dogbone"]
    plugs = [(*p[:3], SLAB, True) for p in POCKETS if p[0] in ROUND]
    for job, machine, foam, thickness, pockets in (("router", "bench-router", "pe-30", SLAB, POCKETS), ("plugs", "bench-router", "pe-30", SLAB, plugs), ("laser", "bench-laser", "eva-90", SHEET, beams)):
        depths = [(p, p[3] if job != "laser" else thickness) for p in pockets]
        waste = "plug" if job == "plugs" else "clear"
        trays = [tray("bare", foam, thickness, []), tray("all", foam, thickness, depths, waste)] + [tray(slug(p[0]), foam, thickness, [(p, d)], waste) for p, d in depths]
        head = f"machine: {machine}\nshop_rules: rules.yaml\ntray_defaults: {{wall: 3, edge: 3}}\ntrays:\n"
        (work / f"{job}.yaml").write_text(head + "".join(trays), encoding="utf-8")


def slug(name):
    return name.replace(" ", "-")


def wanted(job, pockets):
    """Volume of the pockets, mm3."""
    if job == "plugs":
        shapes = [opened(p[2], CUTTER / 2) for p in pockets]
        return sum(s.area - s.buffer(-CUTTER, QUARTER).area for s in shapes) * (SLAB - SKIN)
    if job == "router":
        return sum((opened(p[2], CUTTER / 2) if p[4] else p[2]).area * min(p[3], SLAB) for p in pockets)
    return sum(opened(p[2], CORNER).area for p in pockets) * SHEET


def ring(job):
    """Volume cut round the tray, mm3: least and most. A beam's ring has its run-up beside it."""
    whole = box(0, 0, *TRAY)
    kerf, deep, more = (CUTTER, SLAB - SKIN, 0) if job != "laser" else (BEAM, SHEET, LEAD * BEAM)
    area, spread = whole.buffer(kerf, QUARTER).difference(whole).area, whole.length * CELL
    return (area - spread) * deep, (area + spread + more) * deep


def run(tool, *args):
    done = subprocess.run([tool, *args], capture_output=True, text=True)
    if done.returncode:
        sys.exit(f"FAULT {' '.join(map(str, args))}: {done.stderr}{done.stdout[:2000]}")
    return done.stdout


def main():
    if len(sys.argv) != 3:
        sys.exit(f"usage: {sys.argv[0]} TRAYWRIGHT WORKDIR")
    tool, work = sys.argv[1], Path(sys.argv[2])
    work.mkdir(parents=True, exist_ok=True)
    write_jobs(work)
    faults, checked, worst = Faults(), 0, 0.0
    for job in ("router", "plugs", "laser"):
        run(tool, "cut", work / f"{job}.yaml", "--out", work / job, "--quiet")
        programs = sorted((work / job).glob("*/*.ngc"))
        report = json.loads(run(tool, "dryrun", "--json", "--job", work / f"{job}.yaml", *programs))
        gone = {}
        for d in report["dry_run"]:  # a sheet may take a program for each tool
            name = Path(d["path"]).parent.name
            gone[name] = gone.get(name, 0) + d["removed_mm3"]
        bare = gone.pop("bare")
        least, most = ring(job)
        faults.check(least <= bare <= most, f"{job}: {bare:.0f} mm3 are gone round the tray, and {least:.0f} to {most:.0f} ought to be")
        for name, removed in gone.items():
            want = wanted(job, [p for p in POCKETS if (p[0] != "dogbone" or job == "router") and (p[0] in ROUND or job != "plugs") and name in ("all", slug(p[0]))])
            off = abs((removed - bare) / want - 1)
            worst, checked = max(worst, off), checked + 1
            faults.check(off <= (CELL / CUTTER if job == "plugs" else SHARE), f"{job}, {name}: {removed - bare:.0f} mm3 are gone, shapely's areas say {want:.0f} ({100 * off:.3f} % off)")
    faults.finish(f"volume_shapely: checked {checked} trays, worst {100 * worst:.3f} % off", checked)


if __name__ == "__main__":
    main()
