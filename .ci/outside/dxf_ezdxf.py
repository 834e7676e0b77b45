"""Reads every DXF of an output folder back with ezdxf.

An audit without findings is weak evidence (ezdxf lets wrong counts, missing
SEQENDs and numbers that are not finite through), so besides 0 errors and 0
fixes each drawing is held against the SVG, the G-code and the report beside
it: units, layers, colours by name and on each path, number and order of paths,
closing flags, finite coordinates, boxes, and areas worked out from the bulges.
Cutting lines and finished foam are never in one file, a file of cutting lines
has the kerf of the one tool that the report names taken off, and a layer's
depth is one to which the program goes.

usage: dxf_ezdxf.py OUT...   (made with `cut --finished`, with any --dxf)
"""

import math
import re
import xml.etree.ElementTree as ElementTree

import cutfolder
from cutfolder import Faults, Shape, box_union, kind

LAYERS = ["MARK", "BRIDGED", "OPEN", "POCKET", "OUTLINE"]  # in cutting order; BRIDGED is open, from bridge to bridge, OPEN a blade's that stops short
LAYER = re.compile(r"(MARK|BRIDGED|OPEN|OUTLINE|(POCKET|FINISHED)(-(\d+(\.\d{1,4})?)MM)?)")
SAME = 2e-6  # mm: both drawings round to 1e-6
PRINTED = 1e-3  # mm: rounding of the G-code, 1e-4 a coordinate, and of a header's extents
SVG = "{http://www.w3.org/2000/svg}"


def read_svg(path):
    """The paths of one of our SVG files as Shapes in the program's places, in order."""
    root = ElementTree.parse(path).getroot()
    width, height = (float(re.fullmatch(r"([\d.]+)mm", root.get(k)).group(1)) for k in ("width", "height"))
    if [float(v) for v in root.get("viewBox").split()] != [0, 0, width, height]:
        raise ValueError(f"{path}: the viewBox does not match width and height")
    zero = re.search(r"is at x=(-?[\d.]+) y=(-?[\d.]+) on this page", root.find(SVG + "desc").text)
    shapes, origin = [], (float(zero.group(1)), float(zero.group(2)))
    for group in root.findall(SVG + "g"):
        shapes += [path_shape(group.get("id"), p.get("d"), origin) for p in group.findall(SVG + "path")]
    return shapes


def path_shape(layer, data, origin):
    words, i, vertices, closed = data.split(), 0, [], False

    def place(x, y):
        return float(x) - origin[0], origin[1] - float(y)

    while i < len(words):
        command = words[i]
        if command in "ML":
            vertices.append((*place(words[i + 1], words[i + 2]), 0.0))
            i += 3
        elif command == "A":
            rx, ry, turn, large, sweep = (float(w) for w in words[i + 1:i + 6])
            x, y = place(words[i + 6], words[i + 7])
            assert rx == ry and turn == 0 and large == 0, data
            x0, y0, _ = vertices[-1]
            chord = math.hypot(x - x0, y - y0)
            bulge = math.tan(math.asin(min(1, chord / 2 / rx)) / 2)
            vertices[-1] = (x0, y0, -bulge if sweep else bulge)
            vertices.append((x, y, 0.0))
            i += 8
        else:
            assert command == "Z" and i == len(words) - 1, data
            closed, i = True, i + 1
    if closed and math.dist(vertices[0][:2], vertices[-1][:2]) < SAME and vertices[-1][2] == 0:
        vertices.pop()
    return Shape(layer, closed, vertices)


def check_document(document, shapes, name, faults):
    audit = document.audit()
    faults.check(not audit.errors, f"{name}: the audit has errors: {[str(e.message) for e in audit.errors]}")
    faults.check(not audit.fixes, f"{name}: the audit mended: {[str(f.message) for f in audit.fixes]}")
    faults.check(document.header.get("$INSUNITS") == 4, f"{name}: $INSUNITS is not 4")
    faults.check(document.dxfversion in ("AC1009", "AC1015"), f"{name}: version {document.dxfversion}")
    layers = [s.layer for s in shapes]
    faults.check(all(LAYER.fullmatch(l) for l in layers), f"{name}: layers {sorted(set(layers))}")
    faults.check([k for k, l in enumerate(layers) if k == 0 or l != layers[k - 1]] == sorted({layers.index(l) for l in layers}), f"{name}: a layer's paths do not follow each other")
    kinds = [kind(s) for s in shapes]
    faults.check(set(kinds) == {"FINISHED"} if "-finished" in name else kinds == sorted(kinds, key=LAYERS.index),
                 f"{name}: {sorted(set(kinds))} in one file, or not in cutting order")
    if "-finished" not in name:
        check_order(shapes, name, faults)
    declared = {l.dxf.name for l in document.layers} - {"0", "Defpoints"}  # the library adds the second itself
    faults.check(declared == set(layers), f"{name}: declares layers {declared}, uses {set(layers)}")
    check_colours(document, name, faults)


def check_order(shapes, name, faults):
    """Whether a machine goes by layers or by paths: shallow pockets before deep ones, those that go through last, and
    within a layer what lies inside another before that."""
    depths = [float(m.group(4) or "inf") for m in (LAYER.fullmatch(s.layer) for s in shapes) if m and m.group(2) == "POCKET"]
    faults.check(depths == sorted(depths), f"{name}: pockets {depths} are not shallow to deep")
    for i, outer in enumerate(shapes):
        for inner in shapes[i + 1:]:
            if outer.closed and inner.closed and inner.layer == outer.layer != "MARK":
                a, b = outer.bounds(), inner.bounds()
                inside = a[0] < b[0] and a[1] < b[1] and b[2] < a[2] and b[3] < a[3]
                faults.check(not inside, f"{name}: a path of {inner.layer} inside another comes after it")


def check_colours(document, name, faults):
    """A colour of its own for each kind of path, and up to seven depths, said by the layer and by each path."""
    colours = {}
    for e in document.modelspace():
        by_layer = document.layers.get(e.dxf.layer).color
        faults.check(e.dxf.color == by_layer and 1 <= by_layer <= 255, f"{name}: a path of {e.dxf.layer} has colour {e.dxf.color}, its layer {by_layer}")
        colours.setdefault(e.dxf.layer, set()).add(e.dxf.color)
    if "-finished" not in name and len(colours) <= 10:
        every = sorted(c for found in colours.values() for c in found)
        faults.check(len(every) == len(set(every)) == len(colours), f"{name}: layers share a colour: {colours}")


def check_shapes(shapes, name, faults):
    for i, shape in enumerate(shapes, 1):
        where = f"{name}: path {i} ({shape.layer})"
        ends = math.dist(shape.vertices[0][:2], shape.vertices[-1][:2])
        faults.check(shape.closed or shape.layer in ("MARK", "BRIDGED", "OPEN") and (ends > SAME or len(shape.vertices) == 2), f"{where} is open")
        faults.check(len(shape.vertices) >= 2, f"{where} has {len(shape.vertices)} vertices")
        faults.check(all(math.isfinite(v) for vertex in shape.vertices for v in vertex), f"{where} is not finite")
        if shape.closed:
            faults.check(abs(shape.area()) > 0.01, f"{where} has the area {shape.area()} mm2")


def check_against_svg(shapes, page, name, faults):
    """The same paths in the same order: box and area of each."""
    got, want = [s.layer for s in shapes], [s.layer for s in page]
    if not faults.check(got == want, f"{name}: {len(got)} paths, the SVG has {len(want)}, or other layers"):
        return
    for i, (a, b) in enumerate(zip(shapes, page), 1):
        apart = max(abs(p - q) for p, q in zip(a.bounds(), b.bounds()))
        faults.check(apart < 3 * SAME, f"{name}: path {i} ({a.layer}): box differs from the SVG's by {apart:.6f} mm")
        slack = 3 * SAME * (1 + perimeter(a))
        faults.check(a.closed == b.closed and (not a.closed or abs(a.area() - b.area()) < slack),
                     f"{name}: path {i} ({a.layer}): area {a.area():.5f} mm2, in the SVG {b.area():.5f}")


def perimeter(shape):
    points = shape.points(0.01)
    return sum(math.dist(p, q) for p, q in zip(points, points[1:] + points[:1]))


def check_against_header(document, shapes, name, faults):
    box = box_union(s.bounds() for s in shapes)
    faults.check(min(box[:2]) > -SAME, f"{name}: reaches below 0: {box}")
    said = tuple(document.header.get("$EXTMIN"))[:2] + tuple(document.header.get("$EXTMAX"))[:2]
    apart = max(abs(p - q) for p, q in zip(box, said))
    faults.check(apart < SAME, f"{name}: $EXTMIN and $EXTMAX are off by {apart:.6f} mm")


def check_against_program(found, program, tray, name, faults):
    """Boxes, in the program's places: paths inside what it does, kerf outside the foam, the foam as large as the tray."""
    cutting = [s for f, _, shapes in found for s in shapes if "-finished" not in f["path"]]
    finished = [s for f, _, shapes in found for s in shapes if "-finished" in f["path"]]
    cut = box_union(s.bounds() for s in cutting)
    said = extents(program)
    faults.check(all(abs(a - b) < 15 for a, b in zip(cut, said)), f"{name}: the program's extents {said} are far from the drawing's {cut}")
    inside = cut[0] > said[0] - PRINTED and cut[1] > said[1] - PRINTED and cut[2] < said[2] + PRINTED and cut[3] < said[3] + PRINTED
    faults.check(inside, f"{name}: the drawing {cut} reaches beyond the program's extents {said}")
    both = box_union([cut] + [s.bounds() for s in finished])
    for f, _, _ in found:
        low = [b + z for b, z in zip(both, f.get("zero_mm", (0, 0)))]
        faults.check(all(-SAME < v for v in low) and (both[0] > 0 or low[0] < 0.01 + SAME), f"{name}: the lower left of all its drawings is at {low}")
    outline = [s for s in cutting if s.layer == "OUTLINE"]
    if not faults.check(finished and outline, f"{name}: no FINISHED or no OUTLINE"):
        return
    foam = max(finished, key=lambda s: abs(s.area())).bounds()
    path = box_union(s.bounds() for s in outline)
    grown = [foam[0] - path[0], foam[1] - path[1], path[2] - foam[2], path[3] - foam[3]]
    named = [f["kerf_mm"] / 2 for f, _, shapes in found if any(s.layer == "OUTLINE" for s in shapes)]
    faults.check(len(named) == 1 and 2 * named[0] in program.kerfs().values(), f"{name}: the outline is in {len(named)} files, with half a kerf of {named}")
    faults.check(all(abs(g - named[0]) < 3 * SAME for g in grown), f"{name}: the outline runs {grown} mm outside the foam, half the kerf is {named}")
    if found[0][0]["process"] == "router":
        check_depths(cutting + finished, program, name, faults)
    ease = [-foam[0], -foam[1], foam[2] - tray["size_mm"][0], foam[3] - tray["size_mm"][1]]
    without = sum(e < max(ease) - 3 * SAME for e in ease)
    halves = tray["id"].endswith(("-1", "-2"))  # where two halves of a tray meet there is no ease
    faults.check(all(-SAME < e < 5 for e in ease) and without <= halves and all(e < SAME or e > max(ease) - 3 * SAME for e in ease),
                 f"{name}: the foam is {foam}, the tray {tray['size_mm']}: ease {ease}")


def check_depths(shapes, program, name, faults):
    """The depth behind a layer's name is one at which the program ends in the foam; every pocket that ends there has it."""
    said = {float(m.group(4)) for s in shapes if (m := LAYER.fullmatch(s.layer)) and m.group(4)}
    top = program.foam_top()
    ends = {}
    for m in program.motions:
        if not m.rapid and m.op and not m.op.startswith(("outline", "mark")):
            ends[m.op] = max(ends.get(m.op, 0), top - m.end[2])
    reached = set(ends.values())
    faults.check(all(any(abs(d - r) < PRINTED for r in reached) for d in said), f"{name}: layers of depth {said}, the program ends at {reached}")
    short = {r for r in reached if PRINTED < r < program.value("thickness") - PRINTED}
    faults.check(all(any(abs(d - r) < PRINTED for d in said) for r in short), f"{name}: the program ends at {short}, the layers say {said}")


def extents(program):
    """X and Y of the header's extents: (x_min, y_min, x_max, y_max)."""
    pairs = [re.fullmatch(r"(-?[\d.]+) to (-?[\d.]+) mm", program.header[k][0]).groups() for k in "XY"]
    return tuple(float(pairs[axis][end]) for end in (0, 1) for axis in (0, 1))


def main():
    faults, drawings, contours, versions = Faults(), 0, 0, set()
    for out in cutfolder.folders():
        trays = {t["id"]: t for t in cutfolder.report(out)["trays"]}
        for entry, path in cutfolder.files(out, "dxf"):
            name = str(path)
            document, shapes = cutfolder.read_dxf(path)
            versions.add(document.acad_release)
            check_document(document, shapes, name, faults)
            check_shapes(shapes, name, faults)
            check_against_header(document, shapes, name, faults)
            faults.check(bool(entry["tool"]) == ("-finished" not in name), f"{name}: made for the tool {entry['tool']!r}")
            x, y = entry.get("zero_mm", (0, 0))
            page = read_svg(path.with_suffix(".svg"))
            for s in page:
                s.vertices = [(v[0] + x, v[1] + y, v[2]) for v in s.vertices]
            check_against_svg(shapes, page, name, faults)
            drawings += 1
            contours += len(shapes)
        for entry, path in cutfolder.files(out, "gcode"):
            if cutfolder.later(entry):
                continue  # read with the sheet's first program
            check_against_program(cutfolder.drawings(out, entry), cutfolder.read_sheet(path), trays[entry["tray"]], str(path), faults)
    faults.finish(f"dxf_ezdxf: checked {drawings} DXF files ({', '.join(sorted(versions))}), {contours} paths", contours)


if __name__ == "__main__":
    main()
