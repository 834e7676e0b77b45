"""Measures the PDFs of output folders: page sizes as pdfinfo reads them, and the
templates as pdftoppm prints them at 300 dots per inch.

The bar must be 100 mm long, and every side of the foam must be where a finished
contour of the DXF drawings has it, both to 0.2 mm. Run `cut` with --finished.
"""

import math
import re
import subprocess
import sys
import tempfile
from pathlib import Path

from cutfolder import Faults, files, folders, read_dxf, read_program, report

DPI = 300
PIXEL = 25.4 / DPI  # mm
TOLERANCE = 0.2  # mm
# ISO 216; ANSI/ASME Y14.1: points, 72 to the inch.
SIZES = {"A4": (210 / 25.4 * 72, 297 / 25.4 * 72), "letter": (8.5 * 72, 11 * 72)}
LEAST_SIDE = 5.0  # mm; shorter ones are corners as a tool of 6 mm leaves them, 4.3 mm across


def run(*command):
    return subprocess.run(command, check=True, capture_output=True, text=True, errors="replace").stdout


def page_sizes(pdf):
    """Width and height of each page in points."""
    count = int(re.search(r"Pages:\s+(\d+)", run("pdfinfo", pdf)).group(1))
    text = run("pdfinfo", "-f", "1", "-l", str(count), pdf)
    return [tuple(map(float, m)) for m in re.findall(r"Page\s+\d+ size:\s+([\d.]+) x ([\d.]+) pts", text)]


def paper_name(width, height):
    for name, size in SIZES.items():
        if math.dist(sorted((width, height)), size) < 0.02:
            return name
    return None


def page_text(pdf, page):
    text = run("pdftotext", "-layout", "-f", str(page), "-l", str(page), pdf, "-")
    return " ".join(text.split())


class Picture:
    """A page in grey: darkness 0 to 1 at places in mm from the upper-left corner."""

    def __init__(self, path):
        data = path.read_bytes()
        magic, width, height, most = re.match(rb"(P5)\s+(\d+)\s+(\d+)\s+(\d+)\s", data).groups()
        assert magic == b"P5" and most == b"255"
        self.width, self.height = int(width), int(height)
        self.data = data[-self.width * self.height:]
        self.dark = self.data.translate(bytes(1 if v < 128 else 0 for v in range(256)))

    def at(self, x, y):
        """Darkness between pixel centres, bilinear."""
        x, y = x / PIXEL - 0.5, y / PIXEL - 0.5
        i, j = math.floor(x), math.floor(y)
        if not (0 <= i < self.width - 1 and 0 <= j < self.height - 1):
            return 0.0
        u, v, row = x - i, y - j, j * self.width + i
        a, b, c, d = self.data[row], self.data[row + 1], self.data[row + self.width], self.data[row + self.width + 1]
        return 1 - ((a * (1 - u) + b * u) * (1 - v) + (c * (1 - u) + d * u) * v) / 255

    def column(self, i):
        return self.dark[i::self.width]

    def row(self, j):
        return self.dark[j * self.width:(j + 1) * self.width]


def lines(counts, first):
    """Places in mm, from pixel number first on, of the first and the last of the longest lines."""
    longest = max(counts)
    long = [i for i, n in enumerate(counts) if n >= 0.7 * longest]
    if not long:
        return []

    def centre(start, step):
        group = [start]
        while group[-1] + step in long:
            group.append(group[-1] + step)
        return (first + sum(group) / len(group) + 0.5) * PIXEL

    return [centre(long[0], 1), centre(long[-1], -1)]


def bar_length(picture, lying):
    """Length in mm of the longest solid stretch that is at least 1.5 mm thick."""
    best = 0
    count, line = (picture.width, picture.column) if lying else (picture.height, picture.row)
    runs = [max((len(r) for r in line(i).split(b"\0")), default=0) for i in range(count)]
    thick = int(1.5 / PIXEL)
    for i in range(count - thick):
        least = min(runs[i:i + thick])
        if least > best:
            best, at = least, i + thick // 2
    if not best:
        return 0.0
    # the ends to a fraction of a pixel: darkness summed over the stretch and a little
    # more, held against the ink's own
    cells = line_values(picture, at, lying)
    start = line(at).find(b"\1" * best)
    ink = 255 - cells[start + best // 2]
    return sum((255 - v) / ink for v in cells[start - 3:start + best + 3]) * PIXEL


def line_values(picture, at, lying):
    if lying:
        return picture.data[at::picture.width]
    return picture.data[at * picture.width:(at + 1) * picture.width]


def samples(shapes):
    """Middles of the long sides of finished contours, and the sides' normals."""
    found = []
    for shape in shapes:
        for x0, y0, x1, y1, bulge in shape.segments():
            chord = math.hypot(x1 - x0, y1 - y0)
            if chord < LEAST_SIDE:
                continue
            nx, ny = (y1 - y0) / chord, -(x1 - x0) / chord
            sagitta = bulge * chord / 2
            found.append(((x0 + x1) / 2 + nx * sagitta, (y0 + y1) / 2 + ny * sagitta, nx, ny))
    return found


def offset(picture, x, y, nx, ny):
    """How far from a place, along a direction, the nearest line's middle is; None without a line within 1 mm."""
    step = 0.02
    steps = [k * step for k in range(-50, 51)]
    values = [picture.at(x + nx * s, y + ny * s) for s in steps]
    groups, group = [], []
    for s, v in zip(steps, values):
        if v > 0.35:
            group.append((s, v))
        elif group:
            groups.append(group)
            group = []
    if group:
        groups.append(group)
    middles = [sum(s * v for s, v in g) / sum(v for _, v in g) for g in groups if len(g) * step < 0.6]
    return min(middles, key=abs) if middles else None


def place(picture, lying, box, wanted):
    """Measures the wanted samples on a page. Whichever outer sides of the tray the page shows
    anchor it: the choice with most samples found is taken. Returns an offset or None for each."""
    band = int(33 / PIXEL)
    left, top = (band, 0) if lying else (0, band)
    xs = lines([sum(picture.column(i)[top:]) for i in range(left, picture.width)], left)
    ys = lines([sum(picture.row(j)[left:]) for j in range(top, picture.height)], top)
    best = [None] * len(wanted)
    for x, mm in ((xs[0], box[0]), (xs[1], box[2])):
        for y, up in ((ys[0], box[3]), (ys[1], box[1])):
            found = [offset(picture, x + sx - mm, y + up - sy, nx, -ny) for sx, sy, nx, ny in wanted]
            if sum(near(f) for f in found) > sum(near(f) for f in best):
                best = found
    return best


def near(found):
    return found is not None and abs(found) <= TOLERANCE


def check_templates(out, faults, work):
    """Counts the bars and sides measured, and the farthest that each was off."""
    pdf = out / "templates.pdf"
    sizes = page_sizes(pdf)
    shapes = {}
    for entry, path in files(out, "dxf"):
        _, found = read_dxf(path)
        shapes.setdefault(entry["tray"], []).extend(s for s in found if s.layer == "FINISHED")
    run("pdftoppm", "-r", str(DPI), "-gray", str(pdf), str(work / "page"))
    measured, bars = {}, []
    for number, path in enumerate(sorted(work.glob("page-*.pgm")), 1):
        picture = Picture(path)
        path.unlink()
        text = page_text(pdf, number)
        faults.check("Print at 100 %, no fit to page" in text, f"{pdf} page {number}: does not say how to print")
        lying = sizes[number - 1][0] > sizes[number - 1][1]
        bars.append(bar_length(picture, lying))
        faults.check(abs(bars[-1] - 100) <= TOLERANCE, f"{pdf} page {number}: the bar is {bars[-1]:.2f} mm long")
        trays = [t for t in shapes if re.search(rf"(?<![\w-]){re.escape(t)}( ·|$| outline)", text)]
        if not faults.check(len(trays) == 1, f"{pdf} page {number}: names the trays {trays}"):
            continue
        box = outer(shapes[trays[0]])
        wanted = samples(shapes[trays[0]])
        measured.setdefault(trays[0], []).append(place(picture, lying, box, wanted))
    worst, sides = 0.0, 0
    for tray, found in shapes.items():
        wanted = samples(found)
        faults.check(wanted, f"{out}: tray {tray} has no finished contours: was it cut with --finished?")
        for (x, y, _, _), seen in zip(wanted, zip(*measured.get(tray, []))):
            seen = [s for s in seen if s is not None]
            off = min(seen, key=abs, default=None)
            faults.check(near(off), f"{out}: tray {tray}: the side at {x:.2f}, {y:.2f} is off by {off}")
            worst, sides = max(worst, abs(off or 0)), sides + 1
    return bars, sides, worst


def outer(shapes):
    boxes = [s.bounds() for s in shapes]
    return max(boxes, key=lambda b: (b[2] - b[0]) * (b[3] - b[1]))


def check_cut_sheet(out, faults):
    """Every program has its page, with its cautions and the owner's rules."""
    pdf = out / "cut-sheet.pdf"
    pages = [page_text(pdf, n + 1) for n in range(len(page_sizes(pdf)))]
    for entry, path in files(out, "gcode"):
        here = [p for p in pages if p.startswith(entry["path"])]
        if not faults.check(here, f"{pdf}: no page for {entry['path']}"):
            continue
        bare = squeeze(here[0])
        for key in ("caution", "owner requires"):
            for text in read_program(path).header.get(key, []):
                faults.check(words_in(text, bare), f"{pdf}: the page of {entry['path']} does not say: {text}")
    return len(pages)


def squeeze(text):
    return set(re.findall(r"\w+", text))


def words_in(text, page):
    """Whether every word stands on the page: lines of two columns are read across."""
    return set(re.findall(r"\w+", text)) <= page


def main():
    faults, counted = Faults(), 0
    for out in folders():
        for entry, path in files(out, "pdf"):
            sizes = page_sizes(path)
            names = {paper_name(*s) for s in sizes}
            faults.check(sizes and len(names) == 1 and None not in names, f"{path}: pages are {sorted(set(sizes))}")
            fonts = run("pdffonts", path).splitlines()[2:]
            faults.check(fonts and all(re.search(r"\byes +(yes|no) +yes\b", f) for f in fonts), f"{path}: fonts that are not embedded or not Unicode: {fonts}")
        with tempfile.TemporaryDirectory() as work:
            bars, sides, worst = check_templates(out, faults, Path(work))
        pages = check_cut_sheet(out, faults)
        counted += sides
        print(f"{out}: {paper_name(*page_sizes(out / 'templates.pdf')[0])}, {pages} pages of cut sheet, {len(bars)} of templates;"
              f" bars {min(bars):.3f} to {max(bars):.3f} mm, {sides} sides within {worst:.3f} mm")
    faults.finish(f"{counted} sides", counted)


main()
