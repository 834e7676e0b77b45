#!/usr/bin/env python3
"""Checks regions, offsets and booleans of package geometry against GEOS.

    TRAYWRIGHT_GEOS_OUT=corpus.jsonl go test -count=1 -run TestGEOSCorpus ./geometry
    /usr/bin/python3 .ci/outside/geometry_geos.py corpus.jsonl

Every line of the corpus has two regions and what the package made of them. GEOS
gets the same regions with arcs as chords no more than ERROR mm off, and makes
its own results: booleans by its overlay, offsets as the union (or difference)
of the region and of the swept pieces - for each line a rectangle, for each arc a
ring sector, for each corner a disc. A plain GEOS buffer of finely chorded arcs is
not used, because it was seen to give wrong areas.

A result passes if
  - its area is that of GEOS within the area between arcs and chords;
  - each, shrunk by 2*ERROR, lies inside the other, grown by as much;
  - the Hausdorff distance of the two boundaries is within the chord error, or, where
    curves meet at a grazing angle, within what that error moves their meeting.
"""

import json
import math
import sys
from multiprocessing import Pool

from shapely.geometry import Point, Polygon
from shapely.ops import unary_union

ERROR = 0.002  # mm, between an arc and its chords


def arc_points(x1, y1, x2, y2, bulge, shift=0.0):
    """Points along a segment, without the last, moved to its right by shift."""
    length = math.hypot(x2 - x1, y2 - y1)
    if bulge == 0:
        return [(x1, y1)]
    sweep = 4 * math.atan(bulge)
    radius = length * (1 / abs(bulge) + abs(bulge)) / 4
    cx = (x1 + x2) / 2 - (y2 - y1) * (1 / bulge - bulge) / 4
    cy = (y1 + y2) / 2 + (x2 - x1) * (1 / bulge - bulge) / 4
    step = 2 * math.acos(max(0.5, 1 - ERROR / max(radius, ERROR)))
    n = max(1, math.ceil(abs(sweep) / step))
    start = math.atan2(y1 - cy, x1 - cx)
    return [(x1, y1)] + [
        (cx + radius * math.cos(start + sweep * i / n), cy + radius * math.sin(start + sweep * i / n))
        for i in range(1, n)
    ]


def segments(contours):
    for contour in contours:
        for i, (x, y, bulge) in enumerate(contour):
            nx, ny, _ = contour[(i + 1) % len(contour)]
            yield x, y, nx, ny, bulge


def ring(contour):
    points = []
    for segment in segments([contour]):
        points += arc_points(*segment)
    return points


def polygon(contours):
    """The region: outer contours less holes, islands put back, from large to small."""
    rings = []
    for contour in contours:
        points = ring(contour)
        if len(points) < 3:
            continue
        area = sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(points, points[1:] + points[:1])) / 2
        shape = Polygon(points)
        rings.append((abs(area), area, shape if shape.is_valid else shape.buffer(0)))
    rings.sort(key=lambda r: -r[0])
    whole = Polygon()
    for _, area, shape in rings:
        whole = whole.union(shape) if area > 0 else whole.difference(shape)
    return whole


def sector(x1, y1, x2, y2, bulge, d):
    """What a disc's diameter across the segment sweeps: both sides, d mm each."""
    if bulge == 0:
        length = math.hypot(x2 - x1, y2 - y1)
        nx, ny = (y2 - y1) / length * d, -(x2 - x1) / length * d
        return Polygon([(x1 + nx, y1 + ny), (x2 + nx, y2 + ny), (x2 - nx, y2 - ny), (x1 - nx, y1 - ny)])
    length = math.hypot(x2 - x1, y2 - y1)
    sweep = 4 * math.atan(bulge)
    radius = length * (1 / abs(bulge) + abs(bulge)) / 4
    cx = (x1 + x2) / 2 - (y2 - y1) * (1 / bulge - bulge) / 4
    cy = (y1 + y2) / 2 + (x2 - x1) * (1 / bulge - bulge) / 4
    start = math.atan2(y1 - cy, x1 - cx)
    n = max(2, math.ceil(abs(sweep) / (2 * math.acos(max(0.5, 1 - ERROR / (radius + d))))))

    def at(r):
        return [(cx + r * math.cos(start + sweep * i / n), cy + r * math.sin(start + sweep * i / n)) for i in range(n + 1)]

    inner = at(radius - d)[::-1] if radius > d else [(cx, cy)]
    shape = Polygon(at(radius + d) + inner)
    return shape if shape.is_valid else shape.buffer(0)


def swept(contours, d):
    quarter = math.ceil(math.pi / 2 / (2 * math.acos(max(0.5, 1 - ERROR / d))))
    pieces = [sector(*s, d) for s in segments(contours)]
    pieces += [Point(x, y).buffer(d, quarter) for contour in contours for x, y, _ in contour]
    return unary_union(pieces)


def areal(shape):
    """The polygons of a shape: an overlay may leave lines and points besides."""
    if shape.geom_type == "GeometryCollection" and not shape.is_empty:
        return unary_union([part for part in shape.geoms if part.area > 0])
    return shape


def opened(shape):
    """The shape without parts and gaps that are thinner than the chord error."""
    return shape.buffer(-2 * ERROR).buffer(4 * ERROR).buffer(-2 * ERROR)


def hausdorff(mine, oracle):
    if mine.is_empty or oracle.is_empty:
        return 0.0 if mine.is_empty and oracle.is_empty else math.inf
    return mine.boundary.hausdorff_distance(oracle.boundary)


def compare(mine, oracle, reach):
    """None if they agree, else what is the matter; and the Hausdorff distance."""
    mine, oracle = areal(mine), areal(oracle)
    if mine.is_empty or oracle.is_empty:
        rest = oracle if mine.is_empty else mine
        return (None if rest.buffer(-2 * ERROR).is_empty else f"one is empty, the other has area {rest.area:g}"), 0.0
    slack = ERROR * (mine.length + oracle.length)
    if abs(mine.area - oracle.area) > slack:
        return f"area {mine.area:.6f}, GEOS {oracle.area:.6f}, allowed {slack:.6f}", 0.0
    for some, other, what in ((mine, oracle, "too much"), (oracle, mine, "missing")):
        thick = some.buffer(-2 * ERROR).difference(other.buffer(2 * ERROR))
        if thick.area > ERROR * ERROR:
            return f"{what}: {thick.area:g} mm2 near {thick.representative_point().wkt}", 0.0
    far = hausdorff(mine, oracle)
    # Two curves of radius R that graze move their meeting by sqrt(2 R * error).
    grazing = 2 * math.sqrt(2 * reach * 2 * ERROR)
    if far > grazing:
        # A part or gap thinner than the chord error may be there in one and not in the other.
        far = hausdorff(opened(mine), opened(oracle))
    if far > grazing:
        return f"Hausdorff distance {far:g} mm, allowed {grazing:g} mm", far
    return None, far


def check(line):
    case = json.loads(line)
    a, b, d = polygon(case["a"]), polygon(case["b"]), case["d"]
    moved = swept(case["a"], d)
    oracle = {
        "in": a.difference(moved),
        "out": a.union(moved),
        "union": a.union(b),
        "both": a.intersection(b),
        "less": a.difference(b),
    }
    problems, far = [], 0.0
    for name, want in oracle.items():
        problem, distance = compare(polygon(case[name]), want, 20 + d)
        far = max(far, distance)
        if problem:
            problems.append(f"case {case['case']} {name}, d = {d:g} {case['traits']}: {problem}")
    return problems, far, case["traits"] or []


def main():
    with open(sys.argv[1], encoding="utf-8") as lines, Pool() as pool:
        cases, islands, tangents, exact, worst, problems = 0, 0, 0, 0, 0.0, []
        for found, far, traits in pool.imap_unordered(check, lines, chunksize=50):
            cases += 1
            islands += "island" in traits
            tangents += "near-tangent" in traits
            exact += far <= 4 * ERROR
            worst = max(worst, far)
            problems += found
    for problem in sorted(problems)[:20]:
        print(problem)
    print(
        f"{cases} cases ({islands} with islands, {tangents} with near-tangent contours), 5 results each, against GEOS: "
        f"{len(problems)} disagree; Hausdorff distance within {4 * ERROR:g} mm in {exact}, largest {worst:.3f} mm"
    )
    sys.exit(1 if problems or cases < 1 else 0)


if __name__ == "__main__":
    main()
