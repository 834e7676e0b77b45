#!/usr/bin/env python3
"""Checks letters of package lettering against the fonts, read by fontTools.

    TRAYWRIGHT_LETTERS_OUT=DIR go test -count=1 -run TestFontToolsCorpus ./geometry/lettering
    /usr/bin/python3 .ci/outside/lettering_fonttools.py DIR

DIR has font files and letters.jsonl: texts as the package set them, as lines and
arcs, with 100 font units to the millimetre. fontTools reads the outlines, widths and
kerning of the same files. A single letter passes if

  - its box is that of the font's outlines (BoundsPen, exact) within the tolerance;
  - its area is that of the outlines within the tolerance times their length: by
    AreaPen, exact, where contours do not overlap, and always by GEOS, which gets the
    curves as chords and keeps what they wind around;
  - it has as many contours, and the Hausdorff distance of the boundaries is within the
    tolerance and the chord error (and half a unit each way where a part is scaled, and
    three times the tolerance where contours overlap).

A text of several letters passes if it is as long as the widths and kerning of its
letters. The capital height is checked against the OS/2 table, and the H.
"""

import json
import math
import sys
from multiprocessing import Pool
from pathlib import Path

from fontTools.pens.areaPen import AreaPen
from fontTools.pens.basePen import BasePen
from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont
from shapely.geometry import LinearRing, Polygon
from shapely.ops import polygonize, unary_union

UNITS = 100.0  # font units to the millimetre
CHORD = 0.0005  # mm, between a curve and its chords


class Rings(BasePen):
    """The contours of a glyph as points on its curves, in mm."""

    def __init__(self, glyphs):
        super().__init__(glyphs)
        self.rings = []

    def _moveTo(self, p):
        self.rings.append([p])

    def _lineTo(self, p):
        self.rings[-1].append(p)

    def _curveToOne(self, a, b, c):
        p = self.rings[-1][-1]
        # A cubic leaves its chord by no more than sqrt(3)/18 of twice its second difference.
        bend = max(math.hypot(p[k] - 2 * a[k] + b[k], 0) + math.hypot(a[k] - 2 * b[k] + c[k], 0) for k in (0, 1))
        n = max(4, math.ceil(math.sqrt(bend / (CHORD * UNITS))))
        for i in range(1, n + 1):
            t = i / n
            u = 1 - t
            self.rings[-1].append(
                tuple(u * u * u * p[k] + 3 * u * u * t * a[k] + 3 * u * t * t * b[k] + t * t * t * c[k] for k in (0, 1))
            )


def winding(rings, x, y):
    """How often the rings go around the point."""
    count = 0
    for ring in rings:
        for (ax, ay), (bx, by) in zip(ring, ring[1:] + ring[:1]):
            if (ay <= y) != (by <= y):
                left = (bx - ax) * (y - ay) - (x - ax) * (by - ay)
                if by > ay and left > 0:
                    count += 1
                elif by < ay and left < 0:
                    count -= 1
    return count


def filled(rings):
    """What the rings wind around, by GEOS."""
    lines = [LinearRing(ring) for ring in rings if len(ring) > 2]
    if not lines:
        return Polygon()
    inside = []
    for face in polygonize(unary_union(lines)):
        p = face.representative_point()
        if winding(rings, p.x, p.y):
            inside.append(face)
    return unary_union(inside)


def arc_points(x1, y1, x2, y2, bulge):
    """Points along a segment, without the last."""
    if bulge == 0:
        return [(x1, y1)]
    length = math.hypot(x2 - x1, y2 - y1)
    sweep = 4 * math.atan(bulge)
    radius = length * (1 / abs(bulge) + abs(bulge)) / 4
    cx = (x1 + x2) / 2 - (y2 - y1) * (1 / bulge - bulge) / 4
    cy = (y1 + y2) / 2 + (x2 - x1) * (1 / bulge - bulge) / 4
    n = max(1, math.ceil(abs(sweep) / (2 * math.acos(max(0.5, 1 - CHORD / max(radius, CHORD))))))
    start = math.atan2(y1 - cy, x1 - cx)
    return [(x1, y1)] + [
        (cx + radius * math.cos(start + sweep * i / n), cy + radius * math.sin(start + sweep * i / n)) for i in range(1, n)
    ]


def ours(contours):
    rings = []
    for contour in contours:
        ring = []
        for (x, y, bulge), (nx, ny, _) in zip(contour, contour[1:] + contour[:1]):
            ring += arc_points(x, y, nx, ny, bulge)
        rings.append(ring)
    return rings


class Font:
    def __init__(self, path):
        self.font = TTFont(path)
        self.glyphs = self.font.getGlyphSet()
        self.cmap = self.font.getBestCmap()
        self.pairs = {}
        if "GPOS" in self.font:
            self.pairs = None
        elif "kern" in self.font:
            for table in self.font["kern"].kernTables:
                self.pairs.update(table.kernTable)

    def kern(self, left, right):
        if self.pairs is not None:
            return self.pairs.get((left, right), 0)
        return self.gpos(left, right)

    def gpos(self, left, right):
        """The first pair adjustment for the pair in the kern features of latn, else DFLT."""
        table = self.font["GPOS"].table
        for script in ("latn", "DFLT"):
            indices = []
            for record in table.ScriptList.ScriptRecord:
                if record.ScriptTag == script and record.Script.DefaultLangSys:
                    indices += record.Script.DefaultLangSys.FeatureIndex
            if indices:
                break
        lookups = []
        for i in indices:
            feature = table.FeatureList.FeatureRecord[i]
            if feature.FeatureTag == "kern":
                lookups += feature.Feature.LookupListIndex
        for i in lookups:
            for sub in table.LookupList.Lookup[i].SubTable:
                sub = getattr(sub, "ExtSubTable", sub)
                if sub.LookupType != 2 or left not in sub.Coverage.glyphs:
                    continue
                if sub.Format == 1:
                    for record in sub.PairSet[sub.Coverage.glyphs.index(left)].PairValueRecord:
                        if record.SecondGlyph == right:
                            return getattr(record.Value1, "XAdvance", 0) if record.Value1 else 0
                else:
                    c1 = sub.ClassDef1.classDefs.get(left, 0)
                    c2 = sub.ClassDef2.classDefs.get(right, 0)
                    value = sub.Class1Record[c1].Class2Record[c2].Value1
                    return getattr(value, "XAdvance", 0) if value else 0
        return 0

    def advance(self, text):
        names = [self.cmap[ord(c)] for c in text]
        return sum(self.font["hmtx"][n][0] for n in names) + sum(self.kern(a, b) for a, b in zip(names, names[1:]))

    def bounds(self, name):
        pen = BoundsPen(self.glyphs)
        self.glyphs[name].draw(pen)
        return pen.bounds


FOLDER = Path()
FONTS = {}


def font(name):
    if name not in FONTS:
        FONTS[name] = Font(FOLDER / name)
    return FONTS[name]


def rounded(f, name):
    """Whether a part of the glyph is scaled: the package gets such parts rounded to whole units."""
    if "glyf" not in f.font or not f.font["glyf"][name].isComposite():
        return False
    return any(hasattr(c, "transform") or rounded(f, c.glyphName) for c in f.font["glyf"][name].components)


def check_letter(f, case):
    """What is the matter with a single letter, whether AreaPen could be used, and how far the boundaries are apart."""
    name = f.cmap[ord(case["text"])]
    tolerance = case["tolerance_mm"]
    if rounded(f, name):
        tolerance += math.sqrt(0.5) / UNITS
    pen = Rings(f.glyphs)
    f.glyphs[name].draw(pen)
    rings = [[(x / UNITS, y / UNITS) for x, y in ring] for ring in pen.rings]
    want, mine = filled(rings), ours(case["contours"])
    got = filled(mine)
    if want.area < 1e-9 or got.is_empty:
        return (None if want.area < 1e-9 and got.area < 1e-9 else f"area {got.area:g}, the font's {want.area:g}"), False, 0.0
    problems = []
    slack = (tolerance + 2 * CHORD) * want.length
    if abs(want.area - got.area) > slack:
        problems.append(f"area {got.area:.5f} mm2, the font's by GEOS {want.area:.5f}")
    holes = sum(len(p.interiors) + 1 for p in getattr(want, "geoms", [want]))
    exact = holes == len(rings)
    if exact:
        area = AreaPen(f.glyphs)
        f.glyphs[name].draw(area)
        outlined = abs(area.value) / UNITS / UNITS
        if abs(outlined - want.area) > slack:
            exact = False  # contours overlap after all
        elif abs(outlined - got.area) > slack:
            problems.append(f"area {got.area:.5f} mm2, the font's {outlined:.5f}")
    mine_holes = sum(len(p.interiors) + 1 for p in getattr(got, "geoms", [got]))
    if mine_holes != holes or mine_holes != len(case["contours"]):
        problems.append(f"{len(case['contours'])} contours, the font has {holes}")
    box = [v / UNITS for v in f.bounds(name)]
    if max(abs(a - b) for a, b in zip(box, got.bounds)) > tolerance + CHORD:
        problems.append(f"box {got.bounds}, the font's {box}")
    far = got.boundary.hausdorff_distance(want.boundary)
    # Where contours overlap, curves that each keep the tolerance meet a little further off.
    if far > (tolerance if exact else 3 * tolerance) + 2 * CHORD:
        problems.append(f"boundaries {far:.5f} mm apart")
    return ("; ".join(problems) or None), exact, far


def check(line):
    case = json.loads(line)
    f = font(case["font"])
    problems, exact, far = [], False, 0.0
    if len(case["text"]) == 1:
        problem, exact, far = check_letter(f, case)
        if problem:
            problems.append(problem)
    advance = f.advance(case["text"]) / UNITS
    if abs(advance - case["advance_mm"]) > 1e-6:
        problems.append(f"{case['advance_mm']:.6f} mm long, by the font {advance:.6f}")
    kerned = len(case["text"]) > 1 and any(f.kern(f.cmap[ord(a)], f.cmap[ord(b)]) for a, b in zip(case["text"], case["text"][1:]))
    return case["font"], [f"{case['font']} {case['text']!r}: {p}" for p in problems], exact, far, len(case["text"]) == 1, kerned


def check_capital(name, capital):
    """The capital height is that of the H and, where it is told, of the OS/2 table."""
    f = font(name)
    problems = []
    if ord("H") in f.cmap:
        top = f.bounds(f.cmap[ord("H")])[3]
        if top != capital:
            problems.append(f"{name}: capital height {capital:g}, its H has {top:g}")
    told = getattr(f.font["OS/2"], "sCapHeight", 0)
    # The table rounds, and some fonts leave the overshoot out of it.
    if told and abs(told - capital) > 0.02 * capital:
        problems.append(f"{name}: capital height {capital:g}, its OS/2 table says {told:g}")
    return problems


def start(folder):
    global FOLDER
    FOLDER = Path(folder)


def main():
    start(sys.argv[1])
    letters, texts, kerned, exact, worst, problems = 0, 0, 0, 0, 0.0, []
    capitals = {}
    lines = (FOLDER / "letters.jsonl").read_text(encoding="utf-8").splitlines()
    for line in lines:
        case = json.loads(line)
        capitals[case["font"]] = case["capital"]
    for name, capital in capitals.items():
        problems += check_capital(name, capital)
    with Pool(initializer=start, initargs=(sys.argv[1],)) as pool:
        for _, found, was_exact, far, single, was_kerned in pool.imap(check, lines, chunksize=50):
            letters += single
            texts += not single
            kerned += was_kerned
            exact += was_exact
            worst = max(worst, far)
            problems += found
    for problem in problems[:40]:
        print("FAULT", problem)
    print(
        f"{letters} letters of {len(capitals)} fonts ({exact} also against exact areas), {texts} texts ({kerned} kerned), "
        f"against fontTools: {len(problems)} disagree; boundaries at most {worst:.5f} mm apart"
    )
    sys.exit(1 if problems or letters < 1 else 0)


if __name__ == "__main__":
    main()
