"""Rebuilds every setup on a sheet of stock from its programs alone, with shapely, and holds it against
the trays: each part is its tray's layer, moved and turned as report.json says.

The finished drawings of the trays' own layers, which no setup was made from, are moved to where setups[]
has their parts. The foam that the setup's programs leave (see rebuild_shapely.py) has to have just these
pockets and outlines, within 0.02 mm. Besides, by numbers alone: parts disjoint, inside the sheet, with two
kerfs between them and one to the edge; offcuts that meet no cut; as many parts as trays x layers x copies.

usage: setups_shapely.py OUT...   (made with `cut --finished` from a job with stock)
"""

import collections

from shapely.geometry import Polygon, box
from shapely.ops import unary_union

import cutfolder
import rebuild_shapely as rebuild
from cutfolder import Faults, Shape


def turned(shape, tray, part, zero):
    """A shape in its tray's places as it lies on the setup, from the program's X0 Y0."""
    length, width = tray["size_mm"]
    moved = []
    for x, y, bulge in shape.vertices:
        if part["turn"] == 90:
            x, y = width - y, x
        elif part["turn"]:
            raise ValueError(f"a turn of {part['turn']}")
        moved.append((x + part["x_mm"] - zero[0], y + part["y_mm"] - zero[1], bulge))
    return Shape(shape.layer, shape.closed, moved)


class Setup(rebuild.Sheet):
    """One setup, as a sheet whose wanted shapes come from the trays."""

    def __init__(self, out, entry, report, faults):
        self.name, self.faults, self.path = str(out / entry["path"]), faults, out / entry["path"]
        self.program = cutfolder.read_sheet(self.path)
        self.kerfs = self.program.kerfs()
        self.laser, self.passes = entry["process"] == "laser", entry["passes"]
        self.plugs, self.plug_skin = 0, 0.0
        for text in self.program.header.get("plugs", []):
            words = text.split()
            self.plugs, self.plug_skin = int(words[0]), float(words[3])
        self.setup = next(s for s in report["setups"] if s["sheet"] == entry["sheet"])
        self.thickness = self.setup["thickness_mm"]
        trays = {t["id"]: t for t in report["trays"]}
        self.outlines, self.contours, self.depths, self.plugged = [], [], [], []
        for part in self.setup["parts"]:
            tray = trays[part["tray"]]
            top, _ = rebuild.layer_span(tray, part["layer"])
            shapes = [turned(s, tray, part, self.setup["zero_mm"]) for s in finished(out, part)]
            outline = max(shapes, key=lambda s: abs(s.area()))
            self.outlines.append(self.polygon(outline))
            for s in shapes:
                if s is outline:
                    continue
                self.contours.append(s)
                depth = float(s.layer.split("-")[1].removesuffix("MM")) if "-" in s.layer else self.thickness
                self.depths.append(depth)
            for p in tray["pockets"]:
                if p["waste"] == "plug" and p["depth_mm"] - top >= self.thickness:
                    x, y, w, h = p["x_mm"], p["y_mm"], p["length_mm"], p["width_mm"]
                    corners = Shape("", True, [(x, y, 0), (x + w, y, 0), (x + w, y + h, 0), (x, y + h, 0)])
                    self.plugged.append(turned(corners, tray, part, self.setup["zero_mm"]).bounds())
        self.owners = [[{"waste": "plug"}] if any(rebuild.inside(b, rebuild.grown(c.bounds(), rebuild.LIMIT)) for b in self.plugged) and not self.laser else [{}] for c in self.contours]
        self.bridges = rebuild.gaps([s for _, _, found in self.drawn(out, entry) for s in found if s.layer == "BRIDGED"])
        self.marks = unary_union([rebuild.LineString(rebuild.stroke(s)) for _, _, found in self.drawn(out, entry) for s in found if s.layer == "MARK"])

    @staticmethod
    def drawn(out, entry):
        for f, path in cutfolder.files(out, "dxf"):
            if f.get("sheet") == entry["sheet"]:
                document, shapes = cutfolder.read_dxf(path)
                x, y = f.get("zero_mm", (0, 0))
                for s in shapes:
                    s.vertices = [(v[0] - x, v[1] - y, v[2]) for v in s.vertices]
                yield f, document, shapes

    def contour_depth(self, i):
        if self.owners[i][0] and self.depths[i] >= self.thickness:
            return self.thickness - self.plug_skin
        return self.depths[i]

    def check(self):
        self.check_rapids()
        self.check_layout()
        wanted = unary_union(self.outlines)
        inner = unary_union([o.buffer(-0.05) for o in self.outlines])
        planes = self.planes()
        for depth, removed in self.removed().items():
            pockets = unary_union([p for p in rebuild.polygons(removed) if inner.contains(p)])
            rim = unary_union([p for p in rebuild.polygons(removed) if not inner.contains(p)])
            pockets = rebuild.fallen_out(self.snapped(pockets)) if self.laser else self.lifted_out(pockets, depth)
            self.compare(pockets, self.wanted(0 if self.laser else depth), depth)
            if self.laser or depth == planes[0]:
                self.check_rims(rim, depth)
            else:
                self.check_rim(rim, wanted, depth)

    def check_rims(self, rim, depth):
        """Round each part the cut is a ring, and what it is round is the part, whole."""
        holes = [Polygon(h) for p in rebuild.polygons(rim) for h in p.interiors]
        for part, outline in zip(self.setup["parts"], self.outlines):
            own = [h for h in holes if h.contains(outline.representative_point())]
            if self.faults.check(own, f"{self.name}: nothing is cut round {part}"):
                distance, where = rebuild.hausdorff(min(own, key=lambda h: h.area), outline)
                self.faults.check(distance <= rebuild.BUDGET, f"{self.name}: {self.level(depth)} the edge of {part} is {distance:.4f} mm off{rebuild.at(where)}")

    def check_layout(self):
        """The parts on their sheet, by numbers, without any program."""
        x, y = self.setup["zero_mm"]
        length, width = self.setup["size_mm"]
        kerf = max(self.kerfs.values())
        edge = min(self.kerfs.values())
        sheet = box(-x, -y, length - x, width - y)
        for i, o in enumerate(self.outlines):
            self.faults.check(sheet.contains(o.buffer(edge)), f"{self.name}: the cut round part {i + 1} leaves the sheet")
            for k, other in enumerate(self.outlines[:i]):
                self.faults.check(o.distance(other) >= 2 * edge, f"{self.name}: parts {k + 1} and {i + 1} are {o.distance(other):.3f} mm apart")
        for r in self.setup["offcuts"]:
            rest = box(r["x_mm"] - x, r["y_mm"] - y, r["x_mm"] + r["length_mm"] - x, r["y_mm"] + r["width_mm"] - y)
            self.faults.check(sheet.buffer(0.01).contains(rest), f"{self.name}: the offcut {r} leaves the sheet")
            self.faults.check(all(o.distance(rest) >= edge - 0.01 for o in self.outlines), f"{self.name}: the offcut {r} meets a cut of {kerf} mm")


def finished(out, part):
    """The finished contours of a tray's layer, in the tray's places: those of the first of all that are cut alike."""
    for f, path in cutfolder.files(out, "dxf"):
        if "sheet" not in f and f["path"].endswith("-finished.dxf") and any((p["tray"], p["layer"]) == (part["tray"], part["layer"]) for p in f["parts"]):
            x, y = f.get("zero_mm", (0, 0))
            _, shapes = cutfolder.read_dxf(path)
            return [Shape(s.layer, s.closed, [(v[0] - x, v[1] - y, v[2]) for v in s.vertices]) for s in shapes]
    raise ValueError(f"{out}: no finished drawing of {part}")


def count(out, report, faults):
    """Every layer of every tray lies once for each copy."""
    times = collections.Counter((p["tray"], p["layer"], p["copy"]) for s in report["setups"] for p in s["parts"])
    want = {(t["id"], l + 1, c + 1) for t in report["trays"] for l in range(len(t["layers"])) for c in range(t["copies"])}
    faults.check(set(times) == want and all(n == 1 for n in times.values()), f"{out}: parts {sorted(set(times) ^ want)} too many or not there")
    return len(times)


def main():
    faults, setups, parts, contours = Faults(), 0, 0, 0
    for out in cutfolder.folders():
        report = cutfolder.report(out)
        parts += count(out, report, faults)
        for entry, _ in cutfolder.files(out, "gcode"):
            if cutfolder.later(entry):
                continue  # read with the setup's first program
            s = Setup(out, entry, report, faults)
            s.check()
            setups += 1
            contours += len(s.contours) + len(s.outlines)
        faults.check(setups >= len(report["setups"]), f"{out}: fewer programs than setups")
    faults.finish(f"setups_shapely: checked {setups} setups, {parts} parts, {contours} contours within {rebuild.BUDGET:.4f} mm of {rebuild.LIMIT}", parts)


if __name__ == "__main__":
    main()
