"""Follows the blade of every knife program, and holds its tip against the finished drawing.

The blade of a drag knife is a trailing wheel: its tip moves the way that it points, as fast as the
axis goes that way. That differential equation,

    dt/ds = (u . h) h,   h = (p - t) / e     t the tip, p the axis, u the axis' way, e the trail

is integrated here step by step (Runge and Kutta's, of fourth order), from the program's words alone;
no closed form of it is used. Only in the air, and straight up or down, the blade stays as it was.

While it is in the foam the tip may come no nearer to foam that is to stay than half a kerf, less 0.05 mm,
and all along every finished edge it has to have come that near, at the deepest pass. Each program is
followed with the blade as the header says that it stands at first, and 150 degrees off to either side: waste has to
take that. A blade that trails twice as far has to be found out, or the check sees nothing.

usage: blade_wheel.py OUT...   (made with `cut --finished`)
"""

import math
import re

import numpy as np
from shapely.geometry import LineString, Point
from shapely.ops import unary_union
from shapely.vectorized import contains

import cutfolder
from cutfolder import Faults

LIMIT = 0.05  # mm
STEP = 0.1  # mm of the axis' way: the rule is good to some 0.00001 mm then
OFF = (0.0, 150.0, -150.0)  # degrees that the blade may stand off at the start


def steps(motion):
    """Places along a move, at most STEP apart, the first one left out; and its length."""
    (x0, y0), (x1, y1) = motion.start[:2], motion.end[:2]
    if motion.center is None:
        length = math.dist((x0, y0), (x1, y1))
        n = max(1, math.ceil(length / STEP))
        return length, [(x0 + (x1 - x0) * i / n, y0 + (y1 - y0) * i / n) for i in range(1, n + 1)]
    cx, cy = motion.center
    length = motion.radius * abs(motion.sweep)
    n = max(1, math.ceil(length / STEP))
    first = math.atan2(y0 - cy, x0 - cx)
    return length, [(cx + motion.radius * math.cos(first + motion.sweep * i / n), cy + motion.radius * math.sin(first + motion.sweep * i / n)) for i in range(1, n + 1)]


def rate(tip, axis, way, e):
    hx, hy = (axis[0] - tip[0]) / e, (axis[1] - tip[1]) / e
    s = way[0] * hx + way[1] * hy
    return s * hx, s * hy


def rolled(tip, a, b, e):
    """The tip after the axis went straight from a to b."""
    way = (b[0] - a[0], b[1] - a[1])
    half = ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
    k1 = rate(tip, a, way, e)
    k2 = rate((tip[0] + k1[0] / 2, tip[1] + k1[1] / 2), half, way, e)
    k3 = rate((tip[0] + k2[0] / 2, tip[1] + k2[1] / 2), half, way, e)
    k4 = rate((tip[0] + k3[0], tip[1] + k3[1]), b, way, e)
    x = tip[0] + (k1[0] + 2 * k2[0] + 2 * k3[0] + k4[0]) / 6
    y = tip[1] + (k1[1] + 2 * k2[1] + 2 * k3[1] + k4[1]) / 6
    far = math.dist((x, y), b)
    return b[0] + (x - b[0]) * e / far, b[1] + (y - b[1]) * e / far


def followed(program, e, off):
    """Places of the tip in the foam: x, y, z, line; and of each whether a mark's operation makes it."""
    top = program.foam_top()
    angle = math.radians(off)
    places, marks = [], []
    tip = None
    for m in program.motions:
        if tip is None:
            tip = (m.start[0] - e * math.cos(angle), m.start[1] - e * math.sin(angle))
        if m.rapid or max(m.start[2], m.end[2]) > top - 1e-6:
            tip = (tip[0] + m.end[0] - m.start[0], tip[1] + m.end[1] - m.start[1])
            continue
        length, way = steps(m)
        at = m.start[:2]
        for to in way if length > 0 else []:
            tip = rolled(tip, at, to, e)
            at = to
            places.append((*tip, m.end[2], m.line))
            marks.append(m.op == "marks")
    return np.array(places), np.array(marks, dtype=bool)


def trouble(places, marks, solid, edges, scored, kerf):
    """What is wrong with a way of the tip, in words."""
    found = []
    near = kerf / 2 - LIMIT
    cuts = places[~marks]
    wrong = np.flatnonzero(contains(solid.buffer(near), cuts[:, 0], cuts[:, 1]))
    if len(wrong):
        x, y, _, line = cuts[wrong[0]]
        found.append(f"line {line:.0f}: the tip is at X{x:.3f} Y{y:.3f}, {solid.distance(Point(x, y)):.3f} mm from foam that stays")
    for x, y, _, line in places[marks]:
        if scored.distance(Point(x, y)) > LIMIT:
            found.append(f"line {line:.0f}: the tip scores at X{x:.3f} Y{y:.3f}, {scored.distance(Point(x, y)):.3f} mm off its mark")
            break
    deepest = cuts[cuts[:, 2] < cuts[:, 2].min() + 1e-6]
    cell = {}
    for x, y, _, _ in deepest:
        cell.setdefault((round(x), round(y)), []).append((x, y))
    for edge in edges:
        for along in np.arange(0, edge.length, 0.25):
            p = edge.interpolate(along)
            around = [q for i in (-1, 0, 1) for j in (-1, 0, 1) for q in cell.get((round(p.x) + i, round(p.y) + j), [])]
            best = min((math.dist((p.x, p.y), q) for q in around), default=math.inf)
            if best > kerf / 2 + LIMIT:
                found.append(f"the tip comes no nearer than {best:.3f} mm to the finished edge at X{p.x:.3f} Y{p.y:.3f}")
                return found
    return found


def wanted(out, entry):
    """The foam that stays, its edges, and the lines that are scored."""
    shapes = [s for _, _, found in cutfolder.drawings(out, entry) for s in found]
    _, polygons, solid = cutfolder.solid(shapes)
    lines = [LineString(s.points(0.0005) + (s.points(0.0005)[:1] if s.closed else [])) for s in shapes if s.layer == "MARK"]
    return solid, [p.exterior for p in polygons], unary_union(lines)


def main():
    faults, programs, length = Faults(), 0, 0.0
    for out in cutfolder.folders():
        for entry, path in cutfolder.files(out, "gcode"):
            if entry["process"] != "knife":
                continue
            program = cutfolder.read_program(path)
            trail = re.fullmatch(r"T\d+ ([\d.]+) mm behind its axis, at the start the blade points along X", program.header.get("trail", [""])[0])
            if not faults.check(trail, f"{path}: the header says no trail: {program.header.get('trail')}"):
                continue
            e, kerf = float(trail.group(1)), next(iter(program.kerfs().values()))
            programs += 1
            solid, edges, scored = wanted(out, entry)
            for off in OFF:
                places, marks = followed(program, e, off)
                if off:  # a line that is scored begins on the face, with nothing to take what it is off
                    places, marks = places[~marks], marks[~marks]
                length += len(places) * STEP
                for text in trouble(places, marks, solid, edges, scored, kerf):
                    faults.check(False, f"{path}, blade {off:g} degrees off at the start: {text}")
            places, marks = followed(program, 2 * e, 0.0)
            faults.check(trouble(places, marks, solid, edges, scored, kerf), f"{path}: a blade that trails twice as far is not found out")
    faults.finish(f"{programs} knife programs, {length / 1000:.0f} m of the tip's way, its edges within {LIMIT} mm", programs)


main()
