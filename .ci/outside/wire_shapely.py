"""Follows every program of an upright hot wire with shapely: its way is one, as long as all its
contours and twice all its slits; what its kerf leaves of a sheet is the rest of the sheet, the
trays, each in one piece and as planned, and the plugs of their pockets; and no tray is loose before
the end of its own outline.

The G-code alone says where the wire goes. Contours and slits come from the cutting drawing
(POCKET, OUTLINE, SLIT), what is planned from the drawing of the finished foam.

usage: wire_shapely.py OUT...   (made with `cut --finished` for a process hot-wire)
"""

import math

from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import unary_union

import cutfolder
from cutfolder import Faults
from rebuild_shapely import BUDGET, CHORD, DESIGN_CHORD, hausdorff, polygons, sweep

CRUMB = 0.05  # mm2: what is smaller lies between two passes along one line
AROUND = 40  # mm of foam beside the way


def length(motion):
    if motion.center is None:
        return math.dist(motion.start[:2], motion.end[:2])
    return abs(motion.sweep) * motion.radius


def along(shape):
    """The length of a drawn line."""
    if not shape.closed:
        return sum(math.dist(a, b) for a, b in zip(shape.points(CHORD), shape.points(CHORD)[1:]))
    total = 0.0
    for (x0, y0, bulge), (x1, y1, _) in zip(shape.vertices, shape.vertices[1:] + shape.vertices[:1]):
        total += abs(cutfolder.arc_of(x0, y0, x1, y1, bulge)[4]) * cutfolder.arc_of(x0, y0, x1, y1, bulge)[2] if bulge else math.dist((x0, y0), (x1, y1))
    return total


class Wire:
    def __init__(self, out, entry, faults):
        self.name, self.faults, self.kerf = str(out / entry["path"]), faults, entry["kerf_mm"]
        self.moves = cutfolder.read_program(out / entry["path"]).motions
        stem = entry["path"].rsplit(".", 1)[0]
        shapes = [s for f, _, found in cutfolder.drawings(out, entry) if f["path"] in (stem + ".dxf", stem + "-finished.dxf") for s in found]
        self.cuts = [s for s in shapes if cutfolder.kind(s) in ("POCKET", "OUTLINE")]
        self.slits = [s for s in shapes if cutfolder.kind(s) == "SLIT"]
        outer = max((abs(s.area()) for s in shapes if cutfolder.kind(s) == "OUTLINE"), default=0)
        finished = [s for s in shapes if cutfolder.kind(s) == "FINISHED"]
        self.polygons = [(Polygon(s.points(DESIGN_CHORD)), s.area()) for s in finished]
        self.outlines = [p for p, _ in self.polygons if not any(q is not p and q.contains(p) for q, _ in self.polygons)]
        faults.check(outer > 0 and self.outlines and self.slits, f"{self.name}: no outline, or no slit, in its drawings")

    def check(self):
        check = self.faults.check
        rapids = [m for m in self.moves if m.rapid]
        check(len(rapids) == 1 and self.moves[0].rapid, f"{self.name}: {len(rapids)} rapids, and there is to be one, to where it begins")
        cuts = self.moves[1:]
        for m, n in zip(self.moves, cuts):
            check(m.end[:2] == n.start[:2], f"{self.name}:{n.line}: a gap in the way")
        check(self.moves[0].end[:2] == cuts[-1].end[:2], f"{self.name}: it does not end where it began")
        way, wanted = sum(map(length, cuts)), sum(map(along, self.cuts)) + 2 * sum(map(along, self.slits))
        check(abs(way - wanted) < 0.01 + 2e-4 * len(cuts), f"{self.name}: {way:.3f} mm long, and contours and twice all slits are {wanted:.3f} mm")
        self.check_foam(cuts)
        return way

    def left(self, cuts):
        """The pieces of a sheet that the moves leave."""
        gone = unary_union([p for p in (sweep(m, self.kerf, None) for m in cuts) if p is not None])
        x0, y0, x1, y1 = gone.bounds
        # On the left the sheet ends before the wire begins.
        sheet = box(x0 + self.kerf + 1, y0 - AROUND, x1 + AROUND, y1 + AROUND)
        return [p for p in polygons(sheet.difference(gone)) if p.area > CRUMB]

    def check_foam(self, cuts):
        check, pieces = self.faults.check, self.left(cuts)
        holes = [(p, a) for p, a in self.polygons if p not in self.outlines and a > 0]
        islands = [p for p, a in self.polygons if p not in self.outlines and a < 0]
        want = 1 + len(self.outlines) + len(holes) + len(islands)
        check(len(pieces) == want, f"{self.name}: leaves {len(pieces)} pieces, not {want}: sheet, trays, plugs and islands")
        slits = unary_union([LineString(s.points(CHORD)[:2]).buffer(self.kerf / 2, cap_style=2) for s in self.slits])
        for outline in self.outlines:
            tray = outline.difference(unary_union([p for p, _ in holes])).difference(slits)
            mine = [p for p in pieces if p.intersection(tray).area > 0.5 * p.area and p.area > 0.5 * tray.area]
            check(len(mine) == 1, f"{self.name}: a tray is in {len(mine)} pieces")
            for p in mine:
                off, at = hausdorff(p, tray)
                check(off <= BUDGET, f"{self.name}: a tray is {off:.4f} mm off its plan at {at}")
        for hole, _ in holes:
            plugs = [p for p in pieces if hole.buffer(CHORD).contains(p) and not any(i.buffer(CHORD).contains(p) for i in islands)]
            check(len(plugs) >= 1, f"{self.name}: a pocket at {hole.bounds} has no plug")
        self.check_order(cuts, holes)

    def check_order(self, cuts, holes):
        """Before the last move round an outline its tray hangs on the sheet, and its plugs are loose."""
        for outline in self.outlines:
            inside = outline.buffer(self.kerf)
            on_rim = [i for i, m in enumerate(cuts) if inside.contains(Point(m.end[:2])) and not outline.buffer(-self.kerf / 4).contains(Point(m.end[:2]))]
            last = max(i for i in on_rim if length(cuts[i]) > self.kerf / 4)
            before = self.left(cuts[:last])
            sheet = max(before, key=lambda p: p.area)
            inner = outline.buffer(-0.1).difference(unary_union([p.buffer(0.1) for p, _ in holes]))
            self.faults.check(sheet.intersection(inner).area > 0.5 * inner.area, f"{self.name}: a tray is loose before its outline is closed")
            for hole, _ in holes:
                if outline.contains(hole):
                    self.faults.check(any(hole.buffer(CHORD).contains(p) for p in before), f"{self.name}: the plug at {hole.bounds} is not loose before its tray")


def main():
    faults, programs, metres = Faults(), 0, 0.0
    for out in cutfolder.folders():
        for entry, _ in cutfolder.files(out, "gcode"):
            faults.check(entry["process"] == "hot-wire", f"{entry['path']} is for a {entry['process']}")
            metres += Wire(out, entry, faults).check() / 1000
            programs += 1
    faults.finish(f"wire_shapely: checked {programs} programs, {metres:.1f} m of way: one way each, contours and twice their slits; sheet, trays and plugs as planned", programs)


main()
