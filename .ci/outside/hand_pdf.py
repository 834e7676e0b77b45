"""Measures the templates that a hand cuts along: hand_pdf.py [--printed AxB] FOLDER...

Each layer's own PDF is printed at 300 dots per inch, on a printer that makes A mm of 100 along the
paper's short side and B along its long side (100 each where nobody says), and so is the document of all of
them. Both bars must then be 100 mm long, and every straight line and arc of the layer's drawing lie on the
paper where the drawing has it, all to 0.2 mm; where a layer is spread over several pages, these are laid
on each other by their marks. No layer takes more pages than a count by rows and columns says that it has to.
"""

import math
import re
import sys
import tempfile
from pathlib import Path

import paper_pdf as paper
from cutfolder import Faults, files, read_dxf, report

MARGIN, BAND = 8.0, 46.0  # mm: where the drawing begins, from the paper's edge and below what is written
OVERLAP = 10.0
# A bow's slit may meet a side in its middle, so straight sides are measured as far along as this.
BESIDE_SLIT = 0.37


def printed(pdf, work, printer):
    """The pages of a PDF as a printer makes them, and whether each lies."""
    for number, (width, height) in enumerate(paper.page_sizes(pdf), 1):
        lying = width > height
        short, long = printer
        x, y = (long, short) if lying else (short, long)
        resolution = ["-rx", str(paper.DPI * x / 100), "-ry", str(paper.DPI * y / 100), "-f", str(number), "-l", str(number), "-singlefile"]
        paper.run("pdftoppm", *resolution, "-gray", str(pdf), str(work / "grey"))
        paper.run("pdftoppm", *resolution, str(pdf), str(work / "colour"))
        yield number, paper.Picture(work / "grey.pgm"), lying


def tiles(length, room):
    return 1 if length <= room else math.ceil((length - OVERLAP) / (room - OVERLAP))


def fewest(box, size, printer):
    """Pages that a box takes, whichever way round."""
    width, height = (s * min(p, 100) / 100 for s, p in zip(size, printer))
    short, long = width - 2 * MARGIN, height - MARGIN - BAND
    x, y = box[2] - box[0], box[3] - box[1]
    return min(tiles(x, short) * tiles(y, long), tiles(x, long) * tiles(y, short))


def lines_of(out, pdf):
    """What a layer's own drawings cut, where its X0 Y0 has it."""
    stem = re.sub(r"\.pdf$", "", pdf)
    shapes = []
    for entry, path in files(out, "dxf"):
        if re.fullmatch(re.escape(stem) + r"(-t\d+)?\.dxf", entry["path"]):
            x, y = entry.get("zero_mm", (0, 0))
            for s in read_dxf(path)[1]:
                s.vertices = [(v[0] - x, v[1] - y, v[2]) for v in s.vertices]
                if s.layer in ("POCKET", "OUTLINE"):
                    shapes.append(s)
    return shapes


def scaled_marks(work, pdf, number, lying, printer):
    """The join marks of a printed page: their letters are looked for where the PDF has them."""
    x, y = (printer[1], printer[0]) if lying else printer
    asked = paper.run

    def run(*command):
        text = asked(*command)
        if command[0] != "pdftotext":
            return text
        scale = lambda m: f'xMin="{float(m[1]) * x / 100}" yMin="{float(m[2]) * y / 100}" xMax="{float(m[3]) * x / 100}" yMax="{float(m[4]) * y / 100}"'
        return re.sub(r'xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)"', scale, text)

    paper.run = run
    try:
        return paper.marks(work / "colour.ppm", pdf, number)
    finally:
        paper.run = asked


def seen_on(page, corner, wanted):
    """Offsets of the samples on a page, none of those that would lie in its band or margin."""
    left, top = (BAND, MARGIN) if page.lying else (MARGIN, BAND)
    found = paper.seen_on(page, corner, wanted)
    return [f if corner[0] + x > left - 0.5 and corner[1] - y > top - 0.5 else None for f, (x, y, _, _) in zip(found, wanted)]


def check_layer(out, entry, faults, work, printer):
    """How many places of its lines were measured, and the farthest that one was off."""
    pdf, shapes = out / entry["path"], lines_of(out, entry["path"])
    if not faults.check(shapes, f"{pdf}: no drawing has its lines"):
        return 0, 0.0
    boxes = [s.bounds() for s in shapes]
    whole = (min(b[0] for b in boxes) - 0.2, min(b[1] for b in boxes) - 0.2, max(b[2] for b in boxes) + 0.2, max(b[3] for b in boxes) + 0.2)
    wanted, pages = paper.samples(shapes, BESIDE_SLIT), []
    for number, picture, lying in printed(pdf, work, printer):
        for name, length in (("short", paper.bar_length(picture, lying)), ("long", paper.bar_length(picture, not lying, 0.7))):
            faults.check(abs(length - 100) <= paper.TOLERANCE, f"{pdf} page {number}: the bar along the {name} side is {length:.2f} mm long")
        corner = (BAND - whole[0], MARGIN + whole[3]) if lying else (MARGIN - whole[0], BAND + whole[3])
        text = paper.page_text(pdf, number)
        joined = "lay equal letters on each other" in text
        faults.check(re.search(r"layer \d of \d", text), f"{pdf} page {number}: does not say which layer it is")
        pages.append(paper.Page(picture, lying, corner if number == 1 else None, scaled_marks(work, pdf, number, lying, printer) if joined else {}))
    size = (215.9, 279.4) if paper.paper_name(*paper.page_sizes(pdf)[0]) == "letter" else (210, 297)
    faults.check(len(pages) == fewest(whole, size, printer), f"{pdf}: {len(pages)} pages, where {fewest(whole, size, printer)} do")
    corners = paper.lay(pages, str(pdf), faults)
    measured = [seen_on(p, corners[n], wanted) for n, p in enumerate(pages) if n in corners]
    worst = 0.0
    for (x, y, _, _), seen in zip(wanted, zip(*measured)):
        off = max((s for s in seen if s is not None and abs(s) < 3 * paper.TOLERANCE), key=abs, default=None)
        faults.check(paper.near(off), f"{pdf}: the line at {x:.2f}, {y:.2f} is off by {off}")
        worst = max(worst, abs(off or 0))
    return len(wanted), worst


def main():
    arguments, printer = sys.argv[1:], (100.0, 100.0)
    if arguments[:1] == ["--printed"]:
        printer, arguments = tuple(map(float, arguments[1].split("x"))), arguments[2:]
    faults, counted = Faults(), 0
    for out in map(Path, arguments):
        layers = [e for e, _ in files(out, "pdf") if e.get("parts")]
        faults.check(layers and not files(out, "gcode"), f"{out}: no layer has a template, or one has a program")
        pages = sum(len(paper.page_sizes(out / e["path"])) for e in layers)
        faults.check(len(paper.page_sizes(out / "templates.pdf")) == pages, f"{out}: templates.pdf has not the {pages} pages of all layers")
        with tempfile.TemporaryDirectory() as work:
            found = [check_layer(out, e, faults, Path(work), printer) for e in layers]
        counted += sum(n for n, _ in found)
        print(f"{out}: {len(layers)} layers on {pages} pages, printed {printer[0]:g} x {printer[1]:g}: {sum(n for n, _ in found)} lines within {max((w for _, w in found), default=0):.3f} mm")
    faults.finish(f"{counted} lines", counted)


main()
