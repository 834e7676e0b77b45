"""Sweeps the blade of every program that turns one, and holds what it cuts against the finished drawing.

The blade is a rectangle, as long as the header says that it is wide and as thick as the kerf, its
middle on the axis, its length where the A word says. Between two words the axis goes its line or
arc and A goes evenly. All of it is taken from the program's words; where the blade has to be lifted
or how far it may turn is not looked up, it shows in what stands:

- its edge is in front, no farther off its way than its gouge allows;
- its middle keeps half a kerf from foam that stays, less 0.05 mm, and no corner of it goes farther
  into that than 0.05 mm beside straight edges, and the gouge more beside curves;
- every finished edge is within 0.05 mm of what all places of the deepest pass cover;
- what is left is the tray in one piece, and it hangs on nothing that falls out.

What the report says that the blade has left to a hand may stand: but only where such a blade really
does not fit the finished drawing, on a curve of less than (w^2/4 - g^2) / 2g or on a side shorter than w,
which the drawing alone shows; and what it bounds hangs there. No drawing of cutting lines goes along it.

A blade half as wide, one twice as wide, and an A axis that counts the other way have to be found
out, or the check sees nothing.

usage: blade_chord.py OUT...   (made with `cut --finished`)
"""

import math
import re
import warnings

import numpy as np
from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import unary_union
from shapely.strtree import STRtree
from shapely.vectorized import contains

import cutfolder
from cutfolder import Faults

warnings.simplefilter("ignore")  # of what a later shapely will do otherwise
LIMIT = 0.05  # mm
STEP = 0.2  # mm of the axis' way, and of the way of a corner of the blade that turns


def poses(program, wide):
    """Every place of the blade in the foam: x, y, degrees, z, line."""
    top, out = program.foam_top(), []
    for m in program.motions:
        if m.rapid or min(m.start[2], m.end[2]) > top - 1e-6:
            continue
        if m.center is not None:
            length = m.radius * abs(m.sweep)
        else:
            length = math.dist(m.start[:2], m.end[:2])
        swing = math.radians(abs(m.turn[1] - m.turn[0])) * wide / 2
        n = max(1, math.ceil((length + swing) / STEP))
        for i in range(n + 1):
            share = i / n
            if m.center is not None:
                at = math.atan2(m.start[1] - m.center[1], m.start[0] - m.center[0]) + share * m.sweep
                x, y = m.center[0] + m.radius * math.cos(at), m.center[1] + m.radius * math.sin(at)
            else:
                x, y = (m.start[k] + share * (m.end[k] - m.start[k]) for k in (0, 1))
            z = m.start[2] + share * (m.end[2] - m.start[2])
            if z < top - 1e-6:
                out.append((x, y, m.turn[0] + share * (m.turn[1] - m.turn[0]), z, m.line))
    return out


def rectangle(x, y, degrees, wide, thick):
    a = math.radians(degrees)
    ux, uy = math.cos(a) * wide / 2, math.sin(a) * wide / 2
    nx, ny = -math.sin(a) * thick / 2, math.cos(a) * thick / 2
    return [(x + ux + nx, y + uy + ny), (x - ux + nx, y - uy + ny), (x - ux - nx, y - uy - ny), (x + ux - nx, y + uy - ny)]


def wanted(out, entry):
    """The foam that stays, its edges, and where they are curved."""
    shapes = [s for _, _, found in cutfolder.drawings(out, entry) for s in found]
    finished, polygons, solid = cutfolder.solid(shapes)
    curves = []
    for s in finished:
        for x0, y0, x1, y1, bulge in s.segments():
            if bulge:
                curves.append(LineString([(x0, y0), *cutfolder.arc_points(x0, y0, x1, y1, bulge, 0.001), (x1, y1)]))
    return solid, [p.exterior for p in polygons], unary_union(curves)


def unfit(out, entry, wide, kerf, gouge):
    """What a blade does not fit of the finished edges: too tight curves, and short straight sides."""
    found = []
    for s in cutfolder.solid([s for _, _, found in cutfolder.drawings(out, entry) for s in found])[0]:
        sides = list(s.segments())
        for x0, y0, x1, y1, bulge in sides:
            chord = math.dist((x0, y0), (x1, y1))
            if bulge and chord * (1 + bulge * bulge) / 4 / abs(bulge) < (wide * wide / 4 - gouge * gouge) / 2 / gouge + kerf / 2:
                found.append(LineString([(x0, y0), *cutfolder.arc_points(x0, y0, x1, y1, bulge, 0.001), (x1, y1)]))
            if not bulge and chord < wide:
                found.append(LineString([(x0, y0), (x1, y1)]))
    return unary_union(found)


def trouble(places, solid, edges, curves, wide, kerf, gouge, left, hangs):
    """What is wrong with the ways of a blade, in words."""
    found = []
    deepest = min(p[3] for p in places)
    xy = np.array([p[:2] for p in places])
    for i in np.flatnonzero(contains(solid.buffer(kerf / 2 - LIMIT, join_style=2), xy[:, 0], xy[:, 1]))[:1]:
        found.append(f"line {places[i][4]}: the blade's middle is at X{xy[i][0]:.3f} Y{xy[i][1]:.3f}, {solid.distance(Point(xy[i])):.3f} mm from foam that stays")
    corners = np.array([rectangle(x, y, d, wide, kerf) for x, y, d, _, _ in places]).reshape(-1, 2)
    for i in np.flatnonzero(contains(solid.buffer(-LIMIT), corners[:, 0], corners[:, 1])):
        p = Point(corners[i])
        into = solid.boundary.distance(p)
        if into > LIMIT + (gouge if curves.distance(p) <= wide else 0):
            found.append(f"line {places[i // 4][4]}: a corner of the blade is {into:.3f} mm in foam that stays, at X{p.x:.3f} Y{p.y:.3f}")
            break
    for (x0, y0, d0, z0, _), (x1, y1, d1, z1, line) in zip(places, places[1:]):
        if z0 == z1 and 1e-3 < math.dist((x0, y0), (x1, y1)) < 3 * STEP:
            off = (math.degrees(math.atan2(y1 - y0, x1 - x0)) - (d0 + d1) / 2 + 180) % 360 - 180
            if abs(off) > math.degrees(math.asin(min(1, 2 * gouge / wide))) + 0.2:
                found.append(f"line {line}: the blade points {off:.1f} degrees off the way that it goes, at X{x1:.3f} Y{y1:.3f}")
                break
    cut = [Polygon(rectangle(x, y, d, wide, kerf)) for x, y, d, z, _ in places if z < deepest + 1e-6]
    tree, lonely = STRtree(cut), None
    for edge in edges:
        for along in np.arange(0, edge.length, 0.4):
            p = edge.interpolate(along)
            if left and left.distance(p) <= kerf / 2 + LIMIT:
                continue
            if min((q.distance(p) for q in tree.query(p.buffer(LIMIT))), default=math.inf) > LIMIT:
                lonely = lonely or p
    if lonely:
        found.append(f"nothing is cut within {LIMIT} mm of the finished edge at X{lonely.x:.3f} Y{lonely.y:.3f}")
    sheet = box(*solid.bounds).buffer(20, join_style=2)
    left = sheet.difference(unary_union(cut).buffer(0.002, join_style=2))
    pieces = list(left.geoms) if left.geom_type == "MultiPolygon" else [left]
    tray = [p for p in pieces if p.intersection(solid).area > 0.5 * solid.area]
    others = sum(p.difference(solid).area for p in tray)
    if len(tray) != 1:
        found.append(f"the tray is not one piece: {len(tray)} hold half of it")
    elif hangs and others < 1:
        found.append("what the blade is to leave hanging does not hang")
    elif not hangs and others > 0.3 * kerf * sum(e.length for e in edges):
        found.append(f"{others:.1f} mm2 of foam hang on the tray that should fall out")
    return found


def main():
    faults, programs, count, seen = Faults(), 0, 0, 0
    for out in cutfolder.folders():
        for entry, path in cutfolder.files(out, "gcode"):
            if entry["process"] != "knife":
                continue
            program = cutfolder.read_program(path)
            blade = re.fullmatch(r"T\d+ ([\d.]+) mm wide, gouge ([\d.]+) mm, A0 along X, A (clockwise|counter-clockwise)", program.header.get("blade", [""])[0])
            if not faults.check(blade, f"{path}: the header says no blade: {program.header.get('blade')}"):
                continue
            wide, gouge, sign = float(blade[1]), float(blade[2]), 1 if blade[3] == "counter-clockwise" else -1
            kerf = next(iter(program.kerfs().values()))
            solid, edges, curves = wanted(out, entry)
            programs += 1
            ways = [LineString(w["points_mm"]) for w in entry.get("left", [])]
            left = unary_union(ways) if ways else None
            tight = unfit(out, entry, wide, kerf, gouge)
            for w in ways:
                faults.check(tight.distance(w) <= kerf / 2 + LIMIT and w.within(tight.buffer(kerf / 2 + LIMIT)), f"{path}: {w.length:.2f} mm are left to a hand at {w.coords[0]}, where the blade fits")
            seen += len(ways)

            def tried(wide, sign):
                places = [(x, y, sign * d, z, line) for x, y, d, z, line in poses(program, wide)]
                return len(places), trouble(places, solid, edges, curves, wide, kerf, gouge, left, bool(ways))

            n, found = tried(wide, sign)
            count += n
            for text in found:
                faults.check(False, f"{path}: {text}")
            for what, other in [("half as wide", (wide / 2, sign)), ("twice as wide", (2 * wide, sign)), ("whose A counts the other way", (wide, -sign))]:
                faults.check(tried(*other)[1], f"{path}: a blade {what} is not found out")
    faults.finish(f"{programs} programs of a turned blade, {count} places of it, {seen} ways left to a hand, edges within {LIMIT} mm", programs)


main()
