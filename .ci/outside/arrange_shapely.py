"""Draws jobs by seed whose pieces `arrange` has to place, and holds what it answers against shapes that
shapely builds anew from arrangement.yaml, knowing nothing of how they were found.

A job has a roster of boxes, round pieces, piles and drawn outlines (hooks, rings, combs, stars, blobs, as DXF
or SVG), ways in of every kind, and trays, halves of trays, or cases whose stacks are chosen, for a router or
a laser. Held are:
  pieces    every one has its place, in a pocket that is as large as it and the fit, and deep enough
  walls     between finished shapes, notches, reliefs and openings included, and from them to the rim; not of notches
            of drawn outlines, whose places the job does not say
  ways in   a finger gets in where the report says so, and where it says none a finding names the piece
  stack     its sheets add up to the case's inside, or a finding says what is left
  bytes     another run, in another folder on one processor, writes the same; a run on its own answer moves nothing
  pins      pockets that a hand moved or pinned stay when the roster changes
What is refused says why and what to do, and leaves no arrangement, or the one that was there.

usage: arrange_shapely.py TRAYWRIGHT DIR COUNT [FIRST SEED]
"""

import json
import math
import os
import pathlib
import random
import re
import shutil
import subprocess
import sys

import yaml
from shapely import affinity
from shapely.geometry import LineString, Point, Polygon, box
from shapely.ops import split, unary_union

TOL = 0.01  # mm, of chords in place of arcs
CHORDS = 64  # of a quarter circle
FIT = {"pe-30": {"tight": -1, "snug": 0, "easy": 1.5}}
FINGER, REACH, HOLD = 20, 10, 5


class Wrong(Exception):
    pass


def held(true, message):
    if not true:
        raise Wrong(message)


# ---- what is drawn


def drawing(r, kind, size):
    """A shape of about a size, its lower left corner at 0, 0."""
    if kind == "ring":
        shape = Point(0, 0).buffer(size / 2, 16).difference(Point(0, 0).buffer(size / 2 - r.uniform(6, size / 4), 16))
    elif kind == "hook":
        t = r.uniform(6, size / 4)
        shape = box(0, 0, size, size * r.uniform(0.5, 1)).difference(box(t, t, size + 1, size * 0.5 - t / 2 + t))
    elif kind == "u":
        t = r.uniform(6, size / 4)
        shape = box(0, 0, size, size * 0.8).difference(box(t, t, size - t, size))
    elif kind == "comb":
        shape = box(0, 0, size, 8).union(unary_union([box(x, 0, x + 6, size * 0.6) for x in range(0, int(size) - 6, 16)]))
    elif kind == "star":
        n = r.randint(4, 7)
        shape = Polygon([(math.cos(i * math.pi / n) * size / (2 + 1.5 * (i % 2)), math.sin(i * math.pi / n) * size / (2 + 1.5 * (i % 2))) for i in range(2 * n)])
    else:
        a, b = r.uniform(0, 6), r.uniform(0, 6)
        shape = Polygon([((1 + 0.25 * math.sin(3 * w + a) + 0.1 * math.sin(5 * w + b)) * math.cos(w) * size / 2.7, (1 + 0.25 * math.sin(3 * w + a)) * math.sin(w) * size / 2.7)
                         for w in (2 * math.pi * i / 90 for i in range(90))])
    x, y = shape.bounds[:2]
    shape = affinity.translate(shape, -x, -y)
    return Polygon(rounded(shape.exterior), [rounded(ring) for ring in shape.interiors])


def rounded(ring):
    return [(round(a, 3), round(b, 3)) for a, b in ring.coords]


def rings(shape):
    for part in getattr(shape, "geoms", [shape]):
        yield from ([part.exterior, *part.interiors])


def as_svg(shape):
    x, y = shape.bounds[2:]
    d = " ".join("M" + " L".join(f"{a:.3f},{y - b:.3f}" for a, b in ring.coords[:-1]) + " Z" for ring in rings(shape))
    return f'<svg xmlns="http://www.w3.org/2000/svg" width="{x:.3f}mm" height="{y:.3f}mm" viewBox="0 0 {x:.3f} {y:.3f}"><path fill-rule="evenodd" d="{d}"/></svg>\n'


def as_dxf(shape):
    lines = "0 SECTION 2 HEADER 9 $ACADVER 1 AC1015 9 $INSUNITS 70 4 0 ENDSEC 0 SECTION 2 ENTITIES".split()
    for ring in rings(shape):
        lines += ["0", "LWPOLYLINE", "8", "0", "90", str(len(ring.coords) - 1), "70", "1"]
        for a, b in ring.coords[:-1]:
            lines += ["10", f"{a:.3f}", "20", f"{b:.3f}"]
    return "\n".join([*lines, "0", "ENDSEC", "0", "EOF"]) + "\n"


class Job:
    """What a seed draws: a job, its roster, its drawings."""

    def __init__(self, seed):
        r = random.Random(seed)
        self.r, self.machine = r, r.choice(("bench-router", "bench-router", "bench-laser"))
        self.outlines, self.roster = {}, []
        for i in range(r.randint(1, 9)):
            self.roster.append(self.piece(f"p{i}", f"g{i // 3}"))
        d = {"layers": "[{foam: pe-30, thickness: 1 in}, {foam: pe-45, thickness: 1/4 in}]", "wall": r.choice((5, 6, 8.3)), "edge": r.choice((8, 10, 12.7)), "fit": r.choice(("easy", "snug"))}
        if r.random() < 0.6:
            d["access"] = r.choice(("notch", "gap", "lift", "none"))
        if r.random() < 0.2:
            d["proud"] = r.choice((3, 5, 8))
        elif r.random() < 0.2:
            d["notch"] = r.choice(("n", "ends", "sides", "[n, e]", "[s, w]"))
        if r.random() < 0.2:
            d["notch_reach"], d["notch_width"] = r.choice((5, 10, 13.3)), r.choice((12, 20, 31))
        if r.random() < 0.3:
            d["headroom"] = r.choice((0, 0.1, 2, 5))
        if r.random() < 0.15 and self.machine == "bench-router":
            d["relief"] = r.choice(("dogbone", "tbone"))
        if r.random() < 0.3:
            d["turn"] = r.choice(("any", "quarter"))
        self.defaults, self.kind = d, r.choice(("tray", "tray", "halves", "case", "each", "stacked"))
        self.inside = [r.randint(150, 280), r.randint(120, 230), r.randint(90, 260)]
        self.corner, self.ease = r.choice((0, 8, 25)), r.choice((0, 1))
        self.pad = r.choice(("1 in", "2 in", "2 in"))
        if self.machine == "bench-laser":
            self.pad = "1 in"
        self.label = r.random() < 0.3
        self.cases = r.choice(("cases: [{name: Gull Watch}]", "cases: [{name: Gull Watch}, {name: g1}]"))

    def piece(self, name, group):
        r = self.r
        p = {"id": name, "group": group, "count": r.choice((1, 1, 2, 3, 5, 8)), "length": round(r.uniform(8, 80), 1), "width": round(r.uniform(8, 50), 1), "height": round(r.uniform(4, 24), 1)}
        if r.random() < 0.3:
            p["height"] = round(r.choice((1, 3)) * r.uniform(1, 16), 1)
        p["pose"] = r.choice(("", "", "upright", "upright", "lying", "any"))
        if p["pose"] == "lying":
            p["width"] = min(p["width"], 24)
        if r.random() < 0.2:
            p["shape"], p["width"] = "round", p["length"]
        elif r.random() < 0.35:
            shape = drawing(r, r.choice(("ring", "hook", "u", "comb", "star", "blob")), r.uniform(14, 90))
            p["outline"] = name + r.choice((".svg", ".dxf"))
            p["length"], p["width"] = (round(shape.bounds[i], 1) for i in (2, 3))
            if p["pose"] == "lying":
                p["width"], p["height"] = p["height"], p["width"]
            p["count"] = min(p["count"], 3)
            self.outlines[p["outline"]] = shape
        if r.random() < 0.25:
            p["pile"] = r.randint(1, 4)
            p["height"] = min(p["height"], round(r.uniform(1, 6), 1))
        if r.random() < 0.2:
            p["often"] = "yes"
        return p

    def text(self):
        d = "\n".join(f"  {k}: {v}" for k, v in self.defaults.items())
        if self.label:
            d += '\n  labels: [{text: "{tray}", at: [25, 30], height: 12, font: strokes}]'
        lines = ["roster: roster.csv", f"machine: {self.machine}", "shop_rules: shop-rules.yaml", "tray_defaults:", d]
        groups = sorted({p["group"] for p in self.roster})
        x, y, z = self.inside
        case = f"case: {{inside: [{x}, {y}, {z}], corner: {self.corner}, ease: {self.ease}}}"
        layers = f"layers: [{{foam: pe-30, thickness: {self.pad}}}, {{foam: pe-45, thickness: 1/4 in}}]"
        hold = ", ".join(f"{{piece: {p['id']}, turn: any}}" if p["id"] == "p0" and "turn" not in self.defaults else p["id"] for p in self.roster)
        if self.kind in ("tray", "halves"):
            half = "halves: 2, " if self.kind == "halves" else ""
            lines += ["trays:", f"  - {{id: a, size: [{x}, {y}], corner: {self.corner}, {half}{layers}, holds: [{hold}]}}", f"  - {{id: b, size: [{x}, {y}], {layers}, holds: [{', '.join(groups)}]}}"]
        elif self.kind == "stacked":
            lines += [case, "trays:", f"  - {{id: a, {layers}, holds: [{hold}]}}", f"  - {{id: b, {layers}, holds: [{', '.join(groups)}]}}", "cases: [{name: Gull Watch, copies: 2, stack: [a, b]}]"]
        elif self.kind == "each":
            lines += [case, "trays:", "  - {id: cover, each: case, layers: [{foam: pe-45, thickness: 10}], label: '{case}'}",
                      "cases:", f"  - {{name: Gull Watch, holds: [{', '.join(groups[:1])}]}}", f"  - {{name: Reef Watch, holds: [{', '.join(groups[1:] or groups)}]}}"]
        else:
            lines += [case, self.cases]
        return "\n".join(lines) + "\n"

    def write(self, folder):
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "job.yaml").write_text(self.text())
        self.write_roster(folder)
        for name, shape in self.outlines.items():
            (folder / name).write_text(as_svg(shape) if name.endswith("svg") else as_dxf(shape))

    def write_roster(self, folder):
        columns = "id,group,count,length,width,height,shape,pose,pile,often,outline".split(",")
        (folder / "roster.csv").write_text("\n".join([",".join(columns)] + [",".join(str(p.get(c, "")) for c in columns) for p in self.roster]) + "\n")


# ---- what is answered


def mm(value):
    if isinstance(value, (int, float)):
        return float(value)
    number, unit = re.fullmatch(r"\s*([\d ./]+?)\s*(mm|in)?\s*", value).groups()
    total = sum(float(a) / float(b) if b else float(a) for a, b in (re.fullmatch(r"([\d.]+)(?:/(\d+))?", part).groups() for part in number.split()))
    return total * (25.4 if unit == "in" else 1)


def tongue(l, w, side, wide, reach, longest):
    """A notch: from the middle to reach beyond the side, its end a half circle or a flatter arc."""
    wide = min(wide, longest)
    half, across = wide / 2, w / 2 if side in "ns" else l / 2
    rise = min(reach, half)
    radius = (half * half + rise * rise) / (2 * rise)
    tip = across + reach
    end = Point(0, tip - radius).buffer(radius, CHORDS).intersection(box(-half, tip - rise, half, tip + 1))
    shape = box(-half, 0, half, tip - rise + 1e-6).union(end)
    turn = {"n": 0, "w": 90, "s": 180, "e": 270}[side]
    return affinity.translate(affinity.rotate(shape, turn, origin=(0, 0)), l / 2, w / 2)


class Pocket:
    def __init__(self, row, of, job, layers, column, line):
        self.row, self.of, self.entry = row, row.get("for"), line
        turn = row.get("turn", 0)
        if "size" in row:
            l, w = map(mm, row["size"])
            c = min(mm(row.get("corner", 0)), l / 2, w / 2)
            shape = box(c, c, l - c, w - c).buffer(c, CHORDS) if c > 0 and min(l, w) > 2 * c else box(0, 0, l, w) if c == 0 else LineString([(c, c), (l - c, w - c)]).buffer(c, CHORDS)
            longest = {"n": l - 2 * c, "s": l - 2 * c, "e": w - 2 * c, "w": w - 2 * c}
        elif "round" in row:
            l = w = mm(row["round"])
            shape = Point(l / 2, l / 2).buffer(l / 2, CHORDS)
            longest = dict.fromkeys("nesw", l * 0.95)
        else:
            shape = job.outlines[row["outline"]]
            l, w = shape.bounds[2:]
            longest = {"n": l, "s": l, "e": w, "w": w}
        self.size = (l, w)
        whole = shape
        self.fingers = False
        self.drawn = "outline" in row and row.get("notch")  # where on its outline a notch is, is not told here: it is left out
        for side in [] if self.drawn else row.get("notch", []):
            wide, reach = mm(row.get("notch_width", FINGER)), mm(row.get("notch_reach", REACH))
            whole = whole.union(tongue(l, w, side, wide, reach, longest[side]))
            self.fingers |= min(wide, longest[side]) >= FINGER - TOL and reach >= REACH - TOL
        if row.get("relief") in ("dogbone", "tbone") and "size" in row and mm(row.get("corner", 0)) == 0:
            for x, y, dx, dy in ((0, 0, 1, 1), (l, 0, -1, 1), (0, w, 1, -1), (l, w, -1, -1)):
                r = 1.5875
                if row["relief"] == "dogbone":
                    whole = whole.union(Point(x + dx * r / math.sqrt(2), y + dy * r / math.sqrt(2)).buffer(r, CHORDS))
                elif l >= w:
                    whole = whole.union(Point(x + dx * r, y).buffer(r, CHORDS))
                else:
                    whole = whole.union(Point(x, y + dy * r).buffer(r, CHORDS))
        whole, shape = (affinity.rotate(s, turn, origin=(0, 0)) for s in (whole, shape))
        x0, y0 = shape.bounds[:2]
        pitch = [mm(p) for p in row.get("pitch", [0, 0])]
        at = [mm(a) + column[i] * pitch[i] - (x0, y0)[i] for i, a in enumerate(row["at"])]
        self.shape, self.bare = (affinity.translate(s, *at) for s in (whole, shape))
        total = sum(layers)
        self.depth = layers[0] if "depth" not in row else total if row["depth"] == "through" else mm(row["depth"])
        self.opening = not self.of and row.get("access") == "gap"

    def solid(self):
        return unary_union([Polygon(p.exterior) for p in getattr(self.shape, "geoms", [self.shape])])


class Tray:
    def __init__(self, row, inside, job):
        self.id, self.row = row["id"], row
        self.layers = [mm(l["thickness"]) for l in row["layers"]]
        ease = mm(row.get("ease", 0))
        self.size = [mm(v) for v in row.get("size") or inside]
        c = mm(row.get("corner", 0))
        l, w = self.size
        self.rim = box(c, c, l - c, w - c).buffer(c, CHORDS) if c else box(0, 0, l, w)
        self.rims = [self.rim]
        if row.get("halves") == 2:
            cut = LineString([(l / 2, 0), (l / 2, w)]) if l >= w else LineString([(0, w / 2), (l, w / 2)])
            self.rims = list(split(self.rim, cut).geoms)
        self.pockets = []
        for n, p in enumerate(row.get("pockets", [])):
            columns, rows = p.get("grid", [1, 1])
            for j in range(rows):
                for i in range(columns):
                    self.pockets.append(Pocket(p, self, job, self.layers, (i, j), n))


def fits(piece, pocket, job, tray):
    """Whether a piece goes into a pocket in one of its poses; and how far it ends under the tray's top."""
    l, w, h = piece["length"], piece["width"], piece["height"]
    fit, pose = FIT["pe-30"][tray.row.get("fit", "snug")], piece.get("pose") or "any"
    pile = min(piece.get("pile", 1), piece["count"])
    if (pile > 1 or "outline" in piece) and pose == "any":
        pose = "upright"
    out = mm(pocket.row.get("proud", 5)) if pocket.row.get("access") == "lift" else 0
    ways = []
    if pose != "lying":
        ways.append((l, w, h, piece.get("shape") == "round"))
    if pose != "upright":
        ways.append((l, h, w, False))
    best = None
    for a, b, deep, round_ in ways:
        if "outline" in piece:
            if pocket.row.get("outline") != piece["outline"]:
                continue
        elif round_:
            d = max(a, b) + fit
            if "round" not in pocket.row or not 0 <= pocket.size[0] - d <= 0.5 + TOL:
                continue
        else:
            ways_ = [(a + fit, b + fit), (b + fit, a + fit)]
            if "size" not in pocket.row or not any(0 <= pocket.size[0] - max(x, 0.5) <= 0.5 + TOL and 0 <= pocket.size[1] - max(y, 0.5) <= 0.5 + TOL for x, y in ways_):
                continue
        head = mm(tray.row.get("headroom", 0))
        many = max(1, min(pile, int((pocket.depth + out + 1e-6) / deep)))
        rest = pocket.depth - many * deep
        if rest < -out - 1e-6 or out == 0 and rest < head - 1e-6:
            if not (out > 0 and rest >= -out - 1e-6):
                continue
        if best is None or many > best[0]:
            best = (many, rest, deep)
    return best


def hold_tray(tray, job, report, found):
    wall, edge = (mm(tray.row.get(k)) for k in ("wall", "edge"))
    total = sum(tray.layers)
    solids = [p.solid() for p in tray.pockets]
    inner = [rim.buffer(-edge, CHORDS) for rim in tray.rims]
    for p, s in zip(tray.pockets, solids):
        what = f"tray {tray.id}: {p.row}"
        held(any(s.difference(i.buffer(TOL)).is_empty for i in inner), f"{what} is nearer to the rim than {edge}, or outside")
        held(p.depth <= total - (tray.layers[-1] if len(tray.layers) > 1 else 2) + 1e-6, f"{what} goes {p.depth} deep into its floor")
        if job.machine == "bench-laser":
            ends = [sum(tray.layers[: i + 1]) for i in range(len(tray.layers))]
            held(any(abs(p.depth - e) < 1e-6 for e in ends), f"{what} ends within a layer")
    for i, p in enumerate(tray.pockets):
        for k in range(i + 1, len(solids)):
            q = tray.pockets[k]
            own = (p.opening and q.entry == p.entry - 1) or (q.opening and p.entry == q.entry - 1)
            if own:
                continue
            d = solids[i].distance(solids[k])
            held(d >= wall - TOL, f"tray {tray.id}: {d:.3f} mm between {p.row} and {q.row}, wall {wall}")
    listed = [q for t in report["trays"] if t["id"] in (tray.id, tray.id + "-1", tray.id + "-2") for q in t["pockets"]]
    held(len(listed) == len(tray.pockets), f"tray {tray.id}: {len(listed)} pockets in the report, {len(tray.pockets)} in the arrangement")
    if tray.row.get("halves") != 2:
        for p, q in zip(tray.pockets, listed):
            b = p.bare.bounds
            far = max(abs(b[0] - q["x_mm"]), abs(b[1] - q["y_mm"]), abs(p.depth - q["depth_mm"]))
            held(far < TOL, f"tray {tray.id}: {p.row} is another in the report: {q}")
            hold_access(tray, p, q, job, found, solids, wall)
    return solids


def hold_access(tray, p, q, job, found, solids, wall):
    if not p.of:
        return
    piece = next(x for x in job.roster if x["id"] == p.of)
    fit = fits(piece, p, job, tray)
    if not fit and p.row.get("pin"):  # it stays as a hand has it, and is told
        roomy = any(min(p.size) >= min(a, b) and max(p.size) >= max(a, b) for a, b in ((piece["length"], piece["width"]), (piece["length"], piece["height"])))
        held(roomy or any(f["severity"] != "note" and p.of in f["where"] for f in found), f"tray {tray.id}: {p.row} is no pocket for {piece}, and nobody says so")
        return
    held(fit, f"tray {tray.id}: {p.row} is no pocket for {piece}")
    many, rest, deep = fit
    asked = p.row.get("access")
    meet = [o for o in tray.pockets if o.opening and o.shape.intersects(p.shape)]
    gap = any(max(o.size) >= FINGER - TOL and min(o.size) >= REACH - TOL and o.depth >= rest + HOLD - 0.05 for o in meet)
    want = "none" if rest > 50 else "notch" if p.fingers else "gap" if gap else None
    if p.drawn and rest <= 50 and q["access"] == "notch":
        return
    if want:
        held(q["access"] == want, f"tray {tray.id}: {p.row} is reached by {want}, the report says {q['access']}")
    elif q["access"] == "lift":
        held(rest <= -3 + 0.05, f"tray {tray.id}: {p.row} does not stand out")
    elif q["access"] == "gap":
        held(any(min(p.size) >= d + REACH - 0.1 for d in (deep, piece["length"], piece["width"], piece["height"])) or "outline" in piece, f"tray {tray.id}: {p.row} has no gap")
    if q["access"] == "none" and asked != "none":
        told = [f for f in found if f["rule"] in ("way-in-gave-way", "no-way-in", "notch-too-small", "piece-too-far-down") and tray.id in f["where"] + f["message"] and p.of in f["message"]]
        held(told or any(f["rule"] == "piece-deep-down" for f in found), f"tray {tray.id}: {p.row} has no way in, and nobody says so: {[f['rule'] for f in found]}")


def hold(job, folder, report):
    """The arrangement in a folder."""
    text = yaml.safe_load((folder / "arrangement.yaml").read_text())
    cases = {c["name"]: c for c in text.get("cases", [])}
    inside = {}
    for c in cases.values():
        for t in c["stack"]:
            inside[t] = c["inside"][:2]
    trays = {row["id"]: Tray(row, [mm(v) for v in inside.get(row["id"], [0, 0])], job) for row in text["trays"]}
    found = report["findings"]
    for t in trays.values():
        hold_tray(t, job, report, found)

    def places(ids):
        n = {}
        for i in dict.fromkeys(ids):
            for p in trays[i].pockets:
                if p.of:
                    piece = next(x for x in job.roster if x["id"] == p.of)
                    fit = fits(piece, p, job, trays[i])
                    n[p.of] = n.get(p.of, 0) + (fit[0] if fit else 1)
        return n

    def hold_all(ids, pieces, what):
        n = places(ids)
        for p in pieces:
            pile = min(p.get("pile", 1), p["count"])
            have = n.get(p["id"], 0)
            held(have >= p["count"], f"{what}: {p['count']} of {p['id']}, places for {have}")
            pockets = sum(1 for i in dict.fromkeys(ids) for k in trays[i].pockets if k.of == p["id"])
            held(pockets > 1 and any(k.row.get("pin") for i in ids for k in trays[i].pockets) or pockets == math.ceil(p["count"] / pile), f"{what}: {pockets} pockets for {p['count']} of {p['id']} in piles of {pile}")

    if job.kind in ("tray", "halves"):
        hold_all(trays, job.roster, "the trays")
    elif job.kind in ("stacked", "case"):
        hold_all([t for c in cases.values() for t in c["stack"]], job.roster, "all cases")
    else:
        groups = sorted({p["group"] for p in job.roster})
        hold_all(cases["Gull Watch"]["stack"], [p for p in job.roster if p["group"] in groups[:1]], "Gull Watch")
        hold_all(cases["Reef Watch"]["stack"], [p for p in job.roster if p["group"] in (groups[1:] or groups)], "Reef Watch")
        for c in cases.values():
            held(any(t.startswith("cover-") and c["name"].split()[0].lower() in t for t in c["stack"]), f"{c['name']} has no cover of its own: {c['stack']}")
    for c in cases.values():
        high = sum(sum(trays[t].layers) for t in c["stack"])
        room = mm(c["inside"][2]) - high
        said = next(x for x in report["cases"] if x["name"] == c["name"])
        held(abs(said["height_mm"] - high) < 1e-6 and abs(said["room_mm"] - room) < 1e-6, f"case {c['name']}: {high} high, {room} left, the report says {said}")
        held(room > -1e-6, f"case {c['name']}: {-room} too high")
        held(room < 1e-6 or any(c["name"] in f["where"] + f["message"] and f["rule"] == "room-left" for f in found), f"case {c['name']}: {room} left, and nobody says so: {found}")
    return trays


# ---- the runs


def run(program, *args, **env):
    ran = subprocess.run([program, *map(str, args)], capture_output=True, text=True, env={**os.environ, **env})
    held(ran.returncode in (0, 1), f"{args}: exit {ran.returncode}\n{ran.stderr}")
    held("panic" not in ran.stderr and "fault of the program" not in ran.stdout + ran.stderr, ran.stdout + ran.stderr)
    return ran.returncode, ran.stdout, ran.stderr


def arranged(program, folder, **env):
    """Runs arrange; its report, or None where it is refused."""
    file = folder / "arrangement.yaml"
    before = file.read_bytes() if file.exists() else None
    code, out, err = run(program, "arrange", folder, "--json", **env)
    report = json.loads(out)
    errors = [f for f in report["findings"] if f["severity"] == "error"]
    if code == 1:
        held(errors and all(f["message"] and f["hint"] for f in errors), f"refused, and no error says why: {report['findings']}")
        held((file.read_bytes() if file.exists() else None) == before, "refused, and the arrangement is another")
        held((folder / "arrangement.png").exists(), "refused, and nothing is drawn")
        return None, [f["rule"] for f in errors]
    held(not errors, f"errors, and exit 0: {errors}")
    code, out, err = run(program, "check", folder, "--json")
    held(code == 0, f"arranged, and check refuses it: {out}")
    checked = json.loads(out)
    checked["findings"] += [f for f in report["findings"] if f not in checked["findings"]]
    checked["moved"] = report["moved"]
    return checked, []


def by_hand(r, folder):
    """Pins a pocket, or moves one to where it is free by a hair; the lines that have to stay."""
    file = folder / "arrangement.yaml"
    lines = file.read_text().split("\n")
    rows = [i for i, l in enumerate(lines) if l.startswith("      - {for: ")]
    if not rows:
        return []
    kept = []
    for i in r.sample(rows, min(len(rows), 2)):
        lines[i] = re.sub(r"\}( #.*)?$", ", pin: true}\\1", lines[i], count=1)
        kept.append(re.sub(r" #.*", "", lines[i]).strip())
    file.write_text("\n".join(lines))
    return kept


def changed(r, job):
    """One thing about the roster is another."""
    p = r.choice(job.roster)
    what = r.choice(("taller", "one more", "one less", "new", "gone"))
    if what == "taller":
        p["height"] = round(p["height"] + 1, 1)
    elif what == "one more":
        p["count"] += 1
    elif what == "one less":
        p["count"] = max(1, p["count"] - 1)
    elif what == "new":
        job.roster.append({"id": "new", "group": p["group"], "count": 1, "length": 22, "width": 21, "height": 10})
    return what


def seed_holds(program, rules, work, seed):
    """One seed; what came of it."""
    job, folder, again = Job(seed), work / f"{seed}", work / f"{seed}-again"
    for f in (folder, again):
        shutil.rmtree(f, ignore_errors=True)
        job.write(f)
        shutil.copy(rules, f / "shop-rules.yaml")
    report, why = arranged(program, folder)
    other, _ = arranged(program, again, GOMAXPROCS="1")
    held((report is None) == (other is None), "another run comes to another end")
    for name in ("arrangement.yaml", "arrangement.png"):
        a, b = (f / name for f in (folder, again))
        held(a.exists() == b.exists() and (not a.exists() or a.read_bytes() == b.read_bytes()), f"{name} is another when run again")
    if report is None:
        return "refused: " + ", ".join(sorted(set(why)))
    hold(job, folder, report)
    first = (folder / "arrangement.yaml").read_bytes()
    report, _ = arranged(program, folder)
    held(report is not None and report["moved"]["pockets"] == 0, f"run on its own answer it moves {report and report['moved']}")
    held((folder / "arrangement.yaml").read_bytes() == first, "run on its own answer it writes another")
    kept = by_hand(job.r, folder)
    what = changed(job.r, job)
    job.write_roster(folder)
    edited = (folder / "arrangement.yaml").read_bytes()
    report, why = arranged(program, folder)
    if report is None:
        held((folder / "arrangement.yaml").read_bytes() == edited, "refused, and what a hand wrote is another")
        return f"{what}, refused: " + ", ".join(sorted(set(why)))
    text = (folder / "arrangement.yaml").read_text()
    for line in kept:
        held(line in text, f"{what}: a pinned pocket is another: {line}")
    if what in ("taller", "one more", "new"):
        hold(job, folder, report)
    return what


def main():
    program, work, count = os.path.abspath(sys.argv[1]), pathlib.Path(sys.argv[2]), int(sys.argv[3])
    first = int(sys.argv[4]) if len(sys.argv) > 4 else 1
    rules = pathlib.Path(__file__).parents[2] / "testdata/tidewrack/shop-rules.yaml"
    ends, wrong = {}, 0
    for seed in range(first, first + count):
        try:
            end = seed_holds(program, rules, work, seed)
            ends[end] = ends.get(end, 0) + 1
            for f in (work / f"{seed}", work / f"{seed}-again"):
                shutil.rmtree(f)
        except Wrong as e:
            wrong += 1
            print(f"seed {seed} ({work / str(seed)}): {e}", flush=True)
    print(f"arrange_shapely: {count} rosters, {wrong} wrong; " + "; ".join(f"{n} {end}" for end, n in sorted(ends.items())))
    sys.exit(wrong > 0)


if __name__ == "__main__":
    main()
