"""Holds a coupon's drawing against its table and its report, with ezdxf and csv.

Every row of the table has its square: a closed line of four straight sides,
exactly as long as the row says, where the report says, nothing taken off. No
square touches another, all lie inside the outline, and so do the labels.

usage: coupon_table.py OUT...   (made with `coupon`)
"""

import csv

import cutfolder
import ezdxf
from cutfolder import Faults

INCH = 25.4
SAME = 2e-6  # mm: the drawing rounds to 1e-6
INCHES = 2e-4  # mm: inches that are no sixty-fourths are printed with five decimals


def table(out):
    """The rows of coupon.csv, and what a bare number is in mm."""
    lines = (out / "coupon.csv").read_text(encoding="utf-8").splitlines()
    inches = "# units: in" in lines
    return list(csv.DictReader(line for line in lines if not line.startswith("#"))), INCH if inches else 1.0


def length(text, unit):
    """A length as people write it, in mm: 31, 2.5, 2 1/2, 3/4 in; unit is what a bare number is in mm."""
    words = text.split()
    if words[-1] in ("in", "mm"):
        unit = INCH if words.pop() == "in" else 1.0
    total = 0.0
    for word in words:
        top, _, under = word.partition("/")
        total += float(top) / float(under or 1)
    return total * unit


def box(entity):
    points = [(p[0], p[1]) for p in entity.get_points()] if entity.dxftype() == "LWPOLYLINE" else [(v.dxf.location.x, v.dxf.location.y) for v in entity.vertices]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def straight(entity):
    bulges = [p[4] for p in entity.get_points()] if entity.dxftype() == "LWPOLYLINE" else [v.dxf.bulge for v in entity.vertices]
    return not any(bulges)


def inside(inner, outer, margin):
    return inner[0] >= outer[0] + margin and inner[1] >= outer[1] + margin and inner[2] <= outer[2] - margin and inner[3] <= outer[3] - margin


def apart(a, b):
    return a[2] < b[0] or b[2] < a[0] or a[3] < b[1] or b[3] < a[1]


def check(out, faults):
    document = ezdxf.readfile(out / "coupon.dxf")
    audit = document.audit()
    faults.check(not audit.errors and not audit.fixes, f"{out}: the audit found something")
    layers = {}
    for e in document.modelspace():
        layers.setdefault(e.dxf.layer.split("-")[0], []).append(e)
    faults.check(len(layers.get("OUTLINE", [])) == 1, f"{out}: no single OUTLINE")
    x, y = next(f["zero_mm"] for f, _ in cutfolder.files(out, "dxf") if f["path"] == "coupon.dxf")
    placed = lambda e: tuple(v - z for v, z in zip(box(e), (x, y, x, y)))  # in the program's places
    rim = placed(layers["OUTLINE"][0])
    lines = [(e, placed(e)) for e in layers["POCKET"]]
    rows, unit = table(out)
    squares = cutfolder.report(out)["coupon"]["squares"]
    axes = {}
    for row in rows:
        faults.check(row["hole"] == "" and row["plug"] == "", f"{out}: a reading is filled in already")
        axes.setdefault(row["note"], set()).add(row["axis"])
    for s in squares:
        name = f"{out}: square {s['label']}"
        faults.check(axes.get("square " + s["label"]) == {"x", "y"}, f"{name}: not a row for x and one for y")
        size = {length(r["size"], unit) for r in rows if r["note"] == "square " + s["label"]}
        faults.check(len(size) == 1 and abs(size.pop() - s["size_mm"]) < INCHES, f"{name}: the table has another size")
        want = (s["x_mm"], s["y_mm"], s["x_mm"] + s["size_mm"], s["y_mm"] + s["size_mm"])
        found = [e for e, b in lines if all(abs(p - q) < SAME for p, q in zip(b, want))]
        if faults.check(len(found) == 1, f"{name}: {len(found)} lines of its size at its place"):
            closed = found[0].closed if found[0].dxftype() == "LWPOLYLINE" else found[0].is_closed
            faults.check(closed and straight(found[0]) and len(found[0]) == 4, f"{name}: not a closed square")
    boxes = [b for _, b in lines]
    for i, a in enumerate(boxes):
        faults.check(inside(a, rim, 1), f"{out}: the line at {a} leaves the coupon")
        faults.check(all(apart(a, b) for b in boxes[:i]), f"{out}: the line at {a} meets another")
    for e in layers.get("MARK", []):
        faults.check(inside(box(e), rim, 0), f"{out}: a label at {box(e)} leaves the coupon")
    return len(squares)


def main():
    faults, counted = Faults(), 0
    for out in cutfolder.folders():
        counted += check(out, faults)
    faults.finish(f"coupon_table: checked {counted} squares", counted)


main()
