"""Rebuilds the foam from each program alone, with shapely, and compares it
with the finished sizes.

Every cutting move of the G-code is swept by the kerf of its tool: a straight
one becomes a capsule, an arc an annular sector and a disc at each end, and all
of them are united. (A plain GEOS buffer of a path sampled with hundreds of
chords an arc was seen to return wrong areas; small pieces with moderate chords
do not.) The cutter's foam is looked at in horizontal planes just above and
just below every pocket's floor; a beam goes through the sheet, and its slit is
filled, since what it cuts round falls out.

Wanted at each plane is the union of the contours of the finished DXF's layers
whose pocket, or label or emblem, is that deep; depths and boxes come from report.json. Both edges
have to lie within 0.02 mm of each other, Hausdorff distance, less what chords
and rounding may hide (see BUDGET).

usage: rebuild_shapely.py OUT...   (made with `cut --finished`)
"""

import math
import re

import numpy as np
from shapely.geometry import LineString, MultiPolygon, Point, Polygon, box
from shapely.ops import unary_union

import cutfolder
from cutfolder import Faults, chords

LIMIT = 0.02  # mm, Hausdorff distance between cut and design
CHORD = 0.002  # mm: a chord of the sweep strays by at most this, inward
DESIGN_CHORD = 0.0005  # mm: the same for the design's arcs
PRINTED = 0.0001  # mm: the program's last decimal
BUDGET = LIMIT - CHORD - DESIGN_CHORD - PRINTED
PLANE = 0.01  # mm above and below a floor
LEAST_BRIDGE = 0.3  # mm of foam, at the underside
SLIVER = 1e-4  # mm2: smaller islands come from the oracle's own rounding
SAMPLE = 0.5  # mm: points along an edge whose distance is measured


def sweep(motion, kerf, plane):
    """The plan view of what a move removes at the height plane, or None; plane None is a beam's."""
    part = (0.0, 1.0) if plane is None else below(motion.start[2], motion.end[2], plane)
    if part is None:
        return None
    r = kerf / 2
    if motion.center is None:
        a, b = along(motion, part[0]), along(motion, part[1])
        if math.dist(a, b) < 1e-9:
            return disc(a, r)
        return LineString([a, b]).buffer(r, resolution=quarter_chords(r))
    return sector(motion, part, r)


def below(z0, z1, plane):
    """The part of a straight descent or climb that is at or under the plane, as fractions of the way."""
    if z0 <= plane and z1 <= plane:
        return 0.0, 1.0
    if z0 > plane and z1 > plane:
        return None
    cross = (plane - z0) / (z1 - z0)
    return (0.0, cross) if z0 <= plane else (cross, 1.0)


def along(motion, t):
    if motion.center is None:
        return tuple(a + t * (b - a) for a, b in zip(motion.start[:2], motion.end[:2]))
    angle = math.atan2(motion.start[1] - motion.center[1], motion.start[0] - motion.center[0]) + t * motion.sweep
    return motion.center[0] + motion.radius * math.cos(angle), motion.center[1] + motion.radius * math.sin(angle)


def disc(center, r):
    return Point(center).buffer(r, resolution=quarter_chords(r))


def quarter_chords(r):
    return max(2, chords(r, math.pi / 2, CHORD))


def sector(motion, part, r):
    """An arc swept by a disc: the sector of the ring, and the disc at both ends."""
    n = max(2, chords(motion.radius + r, (part[1] - part[0]) * motion.sweep, CHORD))
    path = [along(motion, part[0] + (part[1] - part[0]) * i / n) for i in range(n + 1)]
    ends = [disc(path[0], r), disc(path[-1], r)]
    cx, cy = motion.center

    def at(distance):
        k = distance / motion.radius
        return [(cx + (x - cx) * k, cy + (y - cy) * k) for x, y in path]

    inner = at(motion.radius - r) if motion.radius > r else [motion.center]
    pieces = [Polygon([p, q, *([inner[i + 1], inner[i]] if len(inner) > 1 else inner)])
              for i, (p, q) in enumerate(zip(at(motion.radius + r), at(motion.radius + r)[1:]))]
    return unary_union([p for p in pieces if p.area > 0] + ends)


def polygons(shape):
    if shape.is_empty:
        return []
    return list(shape.geoms) if isinstance(shape, MultiPolygon) else [shape] if isinstance(shape, Polygon) else \
        [g for g in getattr(shape, "geoms", []) if isinstance(g, Polygon)]


def without_slivers(shape):
    kept = []
    for p in polygons(shape):
        if p.area > SLIVER:
            kept.append(Polygon(p.exterior, [h for h in p.interiors if Polygon(h).area > SLIVER]))
    return unary_union(kept)


def fallen_out(slits):
    """The hole that a beam's slits leave once the waste is out: a slit with all that it
    surrounds, save where another slit inside it goes round an island that stays."""
    rings = sorted(polygons(slits), key=lambda p: -Polygon(p.exterior).area)
    hole = Polygon()
    for i, ring in enumerate(rings):
        around = sum(Polygon(r.exterior).contains(ring) for r in rings[:i])
        if around % 2 == 0:
            hole = hole.union(Polygon(ring.exterior))
        else:
            hole = hole.difference(unary_union([Polygon(h) for h in ring.interiors]))
    return hole


def edges(shape):
    return [ring for p in polygons(shape) for ring in (p.exterior, *p.interiors)]


def hausdorff(a, b):
    """Greatest distance from the edge of either to the edge of the other, and where."""
    worst = (0.0, None)
    for one, other in ((a, b), (b, a)):
        if one.is_empty != other.is_empty:
            return math.inf, one.representative_point() if not one.is_empty else other.representative_point()
        sides = sides_of(other)
        for ring in edges(one):
            worst = max(worst, farthest(ring, sides), key=lambda w: w[0])
    return worst


def sides_of(shape):
    """All straight sides of a shape's edges: an array of x0, y0, x1, y1."""
    rings = [np.asarray(ring.coords)[:, :2] for ring in edges(shape)]
    return np.concatenate([np.hstack([r[:-1], r[1:]]) for r in rings]) if rings else np.empty((0, 4))


def farthest(ring, sides):
    """Of points at most SAMPLE apart along a ring, the one farthest from all the sides."""
    points = []
    corners = list(ring.coords)
    for p, q in zip(corners, corners[1:]):
        n = max(1, math.ceil(math.dist(p, q) / SAMPLE))
        points += [(p[0] + (q[0] - p[0]) * i / n, p[1] + (q[1] - p[1]) * i / n) for i in range(n)]
    points = np.array(points)
    x0, y0, x1, y1 = grown(ring.bounds, 1.0)
    near = sides[(np.minimum(sides[:, 0], sides[:, 2]) <= x1) & (np.maximum(sides[:, 0], sides[:, 2]) >= x0)
                 & (np.minimum(sides[:, 1], sides[:, 3]) <= y1) & (np.maximum(sides[:, 1], sides[:, 3]) >= y0)]
    distances = np.concatenate([to_sides(part, near if len(near) else sides) for part in np.array_split(points, len(points) // 200 + 1)])
    i = int(distances.argmax())
    return float(distances[i]), Point(points[i])


def to_sides(points, sides):
    """Distance of each point from the nearest side."""
    a, way = sides[:, :2], sides[:, 2:] - sides[:, :2]
    from_a = points[:, None, :] - a[None]
    share = np.clip((from_a * way).sum(axis=2) / np.maximum((way * way).sum(axis=1), 1e-30), 0, 1)
    return np.sqrt(((from_a - share[:, :, None] * way) ** 2).sum(axis=2)).min(axis=1)


def reaches(motion, point, distance):
    """Whether a move may come that near to a point, seen from above; never wrongly no."""
    if motion.center is not None:
        return abs(math.dist(motion.center, point[:2]) - motion.radius) <= distance
    return all(min(a, b) - distance <= p <= max(a, b) + distance for a, b, p in zip(motion.start[:2], motion.end[:2], point))


def stroke(mark):
    """A mark's points, back at the first one where it is closed."""
    points = mark.points(DESIGN_CHORD)
    return points + points[:1] if mark.closed else points


def gaps(ways):
    """The gaps between open ways that go round pieces: each end and the start that is nearest to it."""
    starts = [w.vertices[0][:2] for w in ways]
    return [(w.vertices[-1][:2], min(starts, key=lambda s: math.dist(s, w.vertices[-1][:2]))) for w in ways]


class Sheet:
    """One program, what the design wants of it, and the numbers of the job."""

    def __init__(self, out, entry, report, faults):
        self.name, self.faults = str(out / entry["path"]), faults
        self.path = out / entry["path"]
        self.program = cutfolder.read_sheet(self.path)
        self.kerfs = self.program.kerfs()
        faults.check(entry["kerf_mm"] in self.kerfs.values(), f"{self.name}: kerf {entry['kerf_mm']} is not in the header: {self.kerfs}")
        self.laser = entry["process"] == "laser"
        self.passes = entry["passes"]
        plugs = re.fullmatch(r"(\d+) stands? on ([\d.]+) mm, to cut with a knife and lift out", self.program.header.get("plugs", ["0 stand on 0 mm, to cut with a knife and lift out"])[0])
        self.plugs, self.plug_skin = int(plugs.group(1)), float(plugs.group(2))
        shapes = [s for _, _, found in cutfolder.drawings(out, entry) for s in found]
        finished = [s for s in shapes if cutfolder.kind(s) == "FINISHED"]
        faults.check(all(s.closed for s in finished), f"{self.name}: a FINISHED contour is open")
        self.outline = max(finished, key=lambda s: abs(s.area()))
        self.contours = [s for s in finished if s is not self.outline]
        self.bridges = gaps([s for s in shapes if s.layer == "BRIDGED"])
        self.marks = unary_union([LineString(stroke(s)) for s in shapes if s.layer == "MARK"])
        tray = next(t for t in report["trays"] if t["id"] == entry["tray"])
        self.top, self.thickness = layer_span(tray, entry["layer"])
        self.pockets = [p for p in tray["pockets"] + registration_holes(tray) if self.depth(p) > 0]
        self.cut_marks = [m for m in tray["labels"] + tray["emblems"] if m["make"] == "cut" and self.depth(m) > 0]
        self.owners = self.assign()
        self.rectangles = 0

    def depth(self, pocket):
        """The pocket's depth below this sheet's top, at most to its bottom; where it is
        cut round, to the skin that its plug stands on."""
        deep = min(pocket["depth_mm"] - self.top, self.thickness)
        plug = not self.laser and pocket.get("waste") == "plug" and deep >= self.thickness
        return deep - self.plug_skin if plug else deep

    def assign(self):
        """For each contour the pockets whose box lies in its box; holes take what is around them."""
        owners = []
        for contour in self.contours:
            x0, y0, x1, y1 = grown(contour.bounds(), LIMIT)
            owners.append([p for p in self.pockets if x0 <= p["x_mm"] and y0 <= p["y_mm"]
                           and p["x_mm"] + p["length_mm"] <= x1 and p["y_mm"] + p["width_mm"] <= y1])
        for i, contour in enumerate(self.contours):
            if not owners[i] and contour.area() > 0:
                owners[i] = [m for m in self.cut_marks if inside(contour.bounds(), grown(place(m), LIMIT))]
            if contour.area() < 0:
                owners[i] = next((owners[j] for j, c in enumerate(self.contours) if c.area() > 0 and self.polygon(c).contains(self.polygon(contour))), [])
            self.faults.check(owners[i], f"{self.name}: FINISHED contour {i + 1} at {contour.bounds()} belongs to no pocket of report.json")
        for p in self.pockets:
            self.faults.check(any(p in o for o in owners), f"{self.name}: no FINISHED contour for the pocket {p}")
        for m in self.cut_marks:
            self.faults.check(any(m in o for o in owners), f"{self.name}: no FINISHED contour for the mark {m}")
        return owners

    def polygon(self, contour):
        return Polygon(contour.points(DESIGN_CHORD))

    def contour_depth(self, i):
        """The depth of the pocket that fills the contour best."""
        if not self.owners[i]:
            return 0.0
        return self.depth(max(self.owners[i], key=lambda p: p["length_mm"] * p["width_mm"]))

    def wanted(self, plane_depth):
        """The region that is to be missing at a depth below the sheet's top."""
        deep = [c for i, c in enumerate(self.contours) if self.contour_depth(i) > plane_depth]
        solid = unary_union([self.polygon(c) for c in deep if c.area() > 0])
        return solid.difference(unary_union([self.polygon(c) for c in deep if c.area() < 0]))

    def cutting(self):
        """Moves that cut through or into the foam; not the marks on its face."""
        for m in self.program.motions:
            if m.rapid or self.laser and m.power == 0 or self.is_mark(m):
                continue
            yield m

    def is_mark(self, motion):
        return not self.marks.is_empty and all(self.marks.distance(Point(along(motion, t))) < 0.002 for t in (0, 0.5, 1))

    def removed(self):
        """For each of the planes the region that the program clears there; of a beam, what one pass cuts."""
        moves = list(self.cutting())
        if self.laser:
            return {z: self.union(self.swept(m, None) for m in moves if m.end[2] == z) for z in self.planes()}
        found, cleared, whole = {}, Polygon(), set()
        for depth in reversed(self.planes()):  # what is gone deeper down is gone here
            plane = self.program.foam_top() - depth
            new = [m for m in moves if m.line not in whole]
            cleared = self.union([cleared, *(self.swept(m, plane) for m in new)])
            whole |= {m.line for m in new if max(m.start[2], m.end[2]) <= plane}
            found[depth] = cleared
        return found

    @staticmethod
    def union(pieces):
        return without_slivers(unary_union([p for p in pieces if p is not None]))

    def swept(self, motion, plane):
        """What a move clears at a plane; plane None is a beam's."""
        return sweep(motion, self.kerf(motion), plane)

    def kerf(self, motion):
        return self.kerfs.get(motion.tool) or next(iter(self.kerfs.values()))

    def planes(self):
        """Depths at which to look: under the face, above and below every floor. A beam's
        passes are told apart by the focus, and each has to cut all the way round."""
        if self.laser:
            return sorted({m.end[2] for m in self.cutting()})
        floors = {round(self.contour_depth(i), 6) for i in range(len(self.contours))}
        depths = {PLANE} | {d - PLANE for d in floors} | {d + PLANE for d in floors if d + PLANE < self.thickness}
        return sorted(d for d in depths if d > 0)

    def check_rapids(self):
        """No rapid has the beam on; a cutter's goes level above the foam, or up, or down to where foam is gone already."""
        top = self.program.foam_top()
        for i, m in enumerate(self.program.motions):
            if not m.rapid:
                continue
            if self.laser:
                good = m.power == 0
            else:
                level = m.start[:2] != m.end[:2] and min(m.start[2], m.end[2]) < top
                sinks = m.end[2] < min(top, m.start[2])
                good = not level and not (sinks and not self.is_open(i))
            self.faults.check(good, f"{self.path}:{m.line}: a rapid through foam or with the beam on, from {m.start} to {m.end}")

    def is_open(self, i):
        """Whether the moves before number i have cleared the cutter's way down to where that move ends."""
        m = self.program.motions[i]
        cutter = disc(m.end[:2], self.kerf(m) / 2 - LIMIT)
        before = [self.swept(b, m.end[2]) for b in self.program.motions[:i] if not b.rapid and reaches(b, m.end, self.kerf(m))]
        return unary_union([b for b in before if b is not None and b.intersects(cutter)]).contains(cutter)

    def check(self):
        self.check_rapids()
        if self.laser:
            self.faults.check(len(self.planes()) in (1, self.passes), f"{self.name}: {len(self.planes())} focus heights for {self.passes} passes")
        tray = self.polygon(self.outline)
        inner = tray.buffer(-0.05)
        for depth, removed in self.removed().items():
            pockets, rim = [], []
            for p in polygons(removed):
                (pockets if inner.contains(p) else rim).append(p)
            pockets, rim = unary_union(pockets), unary_union(rim)
            if self.laser:
                pockets = fallen_out(self.snapped(pockets))
            else:
                pockets = self.lifted_out(pockets, depth)
            self.compare(pockets, self.wanted(0 if self.laser else depth), depth)
            if self.laser or depth == self.planes()[0]:
                self.check_outline(rim, tray)
            else:
                self.check_rim(rim, tray, depth)
            self.check_rectangles(pockets, depth)

    def snapped(self, slits):
        """The slits once the bridges are snapped: each stands, and its foam, a kerf of the design's rim, is gone."""
        for a, b in self.bridges:
            middle, wide = Point((a[0] + b[0]) / 2, (a[1] + b[1]) / 2), math.dist(a, b)
            kerf = max(self.kerfs.values())
            self.faults.check(wide - kerf >= LEAST_BRIDGE and slits.distance(middle) >= LEAST_BRIDGE / 2,
                              f"{self.name}: the bridge{at(middle)} is {wide - kerf:.2f} mm wide")
            hole = self.wanted(0).intersection(middle.buffer(wide))
            slits = slits.union(hole.difference(self.wanted(0).buffer(-kerf)).buffer(0))
        return without_slivers(slits)

    def lifted_out(self, pockets, depth):
        """The holes that a hand leaves: a groove whose box is that of a pocket which is cut
        round goes with the plug inside it, which has to stand in one piece down to the skin."""
        boxes = [c.bounds() for i, c in enumerate(self.contours) if any(p.get("waste") == "plug" for p in self.owners[i])]
        holes, lifted = [], 0
        for p in polygons(pockets):
            if p.interiors and any(inside(p.bounds, grown(b, LIMIT)) and inside(b, grown(p.bounds, LIMIT)) for b in boxes):
                self.faults.check(len(p.interiors) == 1, f"{self.name}: {self.level(depth)} a plug is in {len(p.interiors)} pieces")
                p, lifted = Polygon(p.exterior), lifted + 1
            holes.append(p)
        standing = self.plugs if depth < self.thickness - self.plug_skin else 0
        self.faults.check(lifted == standing, f"{self.name}: {self.level(depth)} {lifted} plugs stand, and {standing} ought to")
        return unary_union(holes)

    def level(self, depth):
        return f"with the focus at Z{depth:.2f}" if self.laser else f"{depth:.2f} mm down"

    def compare(self, cut, design, depth):
        distance, where = hausdorff(cut, design)
        self.faults.check(distance <= BUDGET, f"{self.name}: {self.level(depth)} the pockets' edges are {distance:.4f} mm off the design"
                          f" (allowed {BUDGET:.4f}){at(where)}")
        count = [sum(len(p.interiors) + 1 for p in polygons(s)) for s in (cut, design)]
        self.faults.check(count[0] == count[1], f"{self.name}: {self.level(depth)} there are {count[0]} edges, the design has {count[1]}")

    def check_outline(self, rim, tray):
        """Near the face the cut round the tray is a ring; its hole is the tray."""
        holes = [Polygon(h) for p in polygons(rim) for h in p.interiors]
        if not self.faults.check(holes, f"{self.name}: nothing is cut round the tray"):
            return
        distance, where = hausdorff(max(holes, key=lambda h: h.area), tray)
        self.faults.check(distance <= BUDGET, f"{self.name}: the tray's edge is {distance:.4f} mm off the design (allowed {BUDGET:.4f}){at(where)}")

    def check_rim(self, rim, tray, depth):
        """Deeper down tabs may interrupt the ring, but it may not cut into the tray."""
        into = rim.intersection(tray.buffer(-BUDGET))
        self.faults.check(into.area < SLIVER, f"{self.name}: {self.level(depth)} the cut round the tray takes {into.area:.4f} mm2 of it")

    def check_rectangles(self, cut, depth):
        """From the job's own numbers: a rectangular pocket's walls stand where report.json says."""
        for i, contour in enumerate(self.contours):
            if len(self.owners[i]) != 1 or contour.area() < 0:
                continue  # merged pockets have no box of their own left
            pocket = self.owners[i][0]
            if pocket.get("shape") != "rect" or (not self.laser and self.depth(pocket) <= depth):
                continue
            x, y = pocket["x_mm"], pocket["y_mm"]
            off = box_error(cut, (x, y, x + pocket["length_mm"], y + pocket["width_mm"]))
            self.faults.check(off <= LIMIT, f"{self.name}: {self.level(depth)} the pocket {pocket} is cut {off:.4f} mm off its box")
            self.rectangles += 1


def registration_holes(tray):
    """The tray's registration holes in the words of its pockets: their boxes are looked at as rectangles' are."""
    high = sum(l.get("measured_mm") or l["thickness_mm"] for l in tray["layers"])
    return [{"x_mm": h["x_mm"] - h["diameter_mm"] / 2, "y_mm": h["y_mm"] - h["diameter_mm"] / 2, "length_mm": h["diameter_mm"],
             "width_mm": h["diameter_mm"], "depth_mm": high, "shape": "rect"} for h in tray.get("registration", [])]


def box_error(cut, rectangle):
    """How far the hole at a rectangle is from having it as its box. A notch or a
    relief takes the hole farther, but leaves part of each wall (a hundredth of the
    side at least: beside a finger's notch in a narrow side a round cutter leaves no more) where the
    rectangle has it; such a side counts as right."""
    hole = next((p for p in polygons(cut) if p.intersects(box(*rectangle))), None)
    if hole is None:
        return math.inf
    off = [abs(a - b) for a, b in zip(hole.bounds, rectangle)]
    x0, y0, x1, y1 = rectangle
    for i, side in enumerate([[(x0, y0), (x0, y1)], [(x0, y0), (x1, y0)], [(x1, y0), (x1, y1)], [(x0, y1), (x1, y1)]]):
        line = LineString(side)
        if hole.boundary.intersection(line.buffer(LIMIT, cap_style=2)).length > 0.01 * line.length:
            off[i] = min(off[i], LIMIT)
    return max(off)


def at(point):
    return f" at X{point.x:.3f} Y{point.y:.3f}" if point is not None else ""


def place(entry):
    """The box of a pocket or mark of report.json."""
    return entry["x_mm"], entry["y_mm"], entry["x_mm"] + entry["length_mm"], entry["y_mm"] + entry["width_mm"]


def inside(bounds, around):
    return bounds[0] >= around[0] and bounds[1] >= around[1] and bounds[2] <= around[2] and bounds[3] <= around[3]


def grown(bounds, d):
    return bounds[0] - d, bounds[1] - d, bounds[2] + d, bounds[3] + d


def layer_span(tray, number):
    """Depth of a sheet's top below the tray's, and its thickness; 0 is the whole block."""
    thicknesses = [l["thickness_mm"] for l in tray["layers"]]
    if number == 0:
        return 0.0, sum(thicknesses)
    return sum(thicknesses[:number - 1]), thicknesses[number - 1]


def main():
    faults, programs, contours, rectangles = Faults(), 0, 0, 0
    for out in cutfolder.folders():
        report = cutfolder.report(out)
        for entry, _ in cutfolder.files(out, "gcode"):
            if cutfolder.later(entry):
                continue  # read with the sheet's first program
            sheet = Sheet(out, entry, report, faults)
            sheet.check()
            contours += len(sheet.contours) + 1
            rectangles += sheet.rectangles
            programs += 1
    faults.check(rectangles, "no rectangular pocket was held against the job's numbers")
    faults.finish(f"rebuild_shapely: checked {programs} programs, {contours} contours, {rectangles} rectangles by the job's numbers,"
                  f" within {BUDGET:.4f} mm of {LIMIT}", contours)


if __name__ == "__main__":
    main()
