"""Rebuilds every setup on a sheet of stock from its programs alone, with shapely, and holds it against
the trays: each part is its tray's layer, moved and turned as report.json says.

The finished drawings of the trays' own layers, which no setup was made from, are moved to where setups[]
has their parts. The foam that the setup's programs leave (see rebuild_shapely.py) has to have just these
pockets and outlines, within 0.02 mm. Besides, by numbers alone: parts disjoint, inside the sheet, with two
kerfs between them and one to the edge; offcuts that meet no cut; as many parts as trays x layers x copies.

Registration holes are measured in the foam that the programs take out, and moved back to their tray: those
of all its layers and copies coincide within 0.02 mm, and however a layer is flipped or turned, one of them
is off by more than a hole is wide.

usage: setups_shapely.py OUT...   (made with `cut --finished` from a job with stock)
"""

import collections
import math

from shapely.geometry import Point, Polygon, box
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
        self.holes = collections.defaultdict(list)
        self.setup = next(s for s in report["setups"] if s["sheet"] == entry["sheet"])
        self.thickness = self.setup["thickness_mm"]
        self.trays = trays = {t["id"]: t for t in report["trays"]}
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
            self.measure_holes(pockets, depth)
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

    def measure_holes(self, pockets, depth):
        """The middles of the registration holes in the removed foam, in their tray's places."""
        for part in self.setup["parts"]:
            tray = self.trays[part["tray"]]
            for n, h in enumerate(tray.get("registration", [])):
                x, y, _ = turned(Shape("", True, [(h["x_mm"], h["y_mm"], 0)]), tray, part, self.setup["zero_mm"]).vertices[0]
                own = [p.bounds for p in rebuild.polygons(pockets) if p.contains(Point(x, y))]
                if not self.faults.check(own, f"{self.name}: {self.level(depth)} {part} has no hole at X{x:.3f} Y{y:.3f}"):
                    continue
                x0, y0, x1, y1 = own[0]
                u, v = (x0 + x1) / 2 - part["x_mm"] + self.setup["zero_mm"][0], (y0 + y1) / 2 - part["y_mm"] + self.setup["zero_mm"][1]
                self.holes[part["tray"], n].append((v, tray["size_mm"][1] - u) if part["turn"] == 90 else (u, v))

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


def check_registration(out, report, holes, faults):
    """Holes of all layers of a tray lie on one another, and a layer that lies wrong shows."""
    for tray in report["trays"]:
        length, width = tray["size_mm"]
        places = [(h["x_mm"], h["y_mm"]) for h in tray.get("registration", [])]
        for n, place in enumerate(places):
            found = holes[tray["id"], n]
            faults.check(len(found) >= len(tray["layers"]) * tray["copies"], f"{out}: hole {n + 1} of {tray['id']} is in {len(found)} layers")
            faults.check(all(math.dist(a, b) <= rebuild.LIMIT for a in found + [place] for b in found), f"{out}: hole {n + 1} of {tray['id']} lies at {found}, and ought to at {place}")
        ways = [lambda x, y: (length - x, y), lambda x, y: (x, width - y), lambda x, y: (length - x, width - y)]
        if length == width:
            ways += [lambda x, y: (y, x), lambda x, y: (width - y, length - x), lambda x, y: (width - y, x), lambda x, y: (y, length - x)]
        for way in ways if places else []:
            off = max(min(math.dist(way(*p), q) for q in places) for p in places)
            faults.check(off > tray["registration"][0]["diameter_mm"], f"{out}: a layer of {tray['id']} that lies wrong is only {off:.2f} mm off")
    return sum(len(t.get("registration", [])) for t in report["trays"])


def count(out, report, faults):
    """Every layer of every tray lies once for each copy."""
    times = collections.Counter((p["tray"], p["layer"], p["copy"]) for s in report["setups"] for p in s["parts"])
    want = {(t["id"], l + 1, c + 1) for t in report["trays"] for l in range(len(t["layers"])) for c in range(t["copies"])}
    faults.check(set(times) == want and all(n == 1 for n in times.values()), f"{out}: parts {sorted(set(times) ^ want)} too many or not there")
    return len(times)


def main():
    faults, setups, parts, contours, registered = Faults(), 0, 0, 0, 0
    for out in cutfolder.folders():
        report = cutfolder.report(out)
        parts += count(out, report, faults)
        holes = collections.defaultdict(list)
        for entry, _ in cutfolder.files(out, "gcode"):
            if cutfolder.later(entry):
                continue  # read with the setup's first program
            s = Setup(out, entry, report, faults)
            s.check()
            for key, places in s.holes.items():
                holes[key] += places
            setups += 1
            contours += len(s.contours) + len(s.outlines)
        registered += check_registration(out, report, holes, faults)
        faults.check(setups >= len(report["setups"]), f"{out}: fewer programs than setups")
    faults.finish(f"setups_shapely: checked {setups} setups, {parts} parts, {contours} contours, {registered} registration holes within {rebuild.BUDGET:.4f} mm of {rebuild.LIMIT}", parts)


if __name__ == "__main__":
    main()
