"""Measures the PDFs of output folders: page sizes as pdfinfo reads them, and the
templates as pdftoppm prints them at 300 dots per inch.

The bar must be 100 mm long, and every side of the foam must be where a finished
contour of the DXF drawings has it, both to 0.2 mm. No letter is smaller than 7
point, in the text and in the pictures, and the largest text of a page is a time or
a size. Where a tray is spread over
several pages they are laid on each other by their marks, as a person would, and
the sides are measured on the whole. Run `cut` with --finished.
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


def bar_length(picture, lying, least_mm=1.5):
    """Length in mm of the longest solid stretch that is at least so thick."""
    best = 0
    count, line = (picture.width, picture.column) if lying else (picture.height, picture.row)
    runs = [max((len(r) for r in line(i).split(b"\0")), default=0) for i in range(count)]
    thick = int(least_mm / PIXEL)
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


def samples(shapes, share=0.5):
    """Places on the long sides of finished contours, that far along straight ones and in the middle of arcs, and the sides' normals."""
    found = []
    for shape in shapes:
        for x0, y0, x1, y1, bulge in shape.segments():
            chord = math.hypot(x1 - x0, y1 - y0)
            if chord < LEAST_SIDE:
                continue
            nx, ny = (y1 - y0) / chord, -(x1 - x0) / chord
            sagitta = bulge * chord / 2
            along = share if bulge == 0 else 0.5
            found.append((x0 + along * (x1 - x0) + nx * sagitta, y0 + along * (y1 - y0) + ny * sagitta, nx, ny))
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


def anchor(picture, lying, box, wanted):
    """Where the tray's X0 and its Y0, upwards, are on a page, by whichever of its outer sides
    the page shows: the choice with most samples found is taken."""
    band = int(33 / PIXEL)
    left, top = (band, 0) if lying else (0, band)
    xs = lines([sum(picture.column(i)[top:]) for i in range(left, picture.width)], left)
    ys = lines([sum(picture.row(j)[left:]) for j in range(top, picture.height)], top)
    corners = [(x, y) for x in (xs[0] - box[0], xs[1] - box[2]) for y in (ys[0] + box[3], ys[1] + box[1])]
    return max(corners, key=lambda c: sum(near(f) for f in measure(picture, c, wanted)))


def measure(picture, corner, wanted):
    """An offset or None for each sample, with the tray's zero at a corner of the page."""
    x, y = corner
    return [offset(picture, x + sx, y - sy, nx, -ny) for sx, sy, nx, ny in wanted]


def near(found):
    return found is not None and abs(found) <= TOLERANCE


def marks(path, pdf, number):
    """The join marks of a page: letter -> place in mm. A mark is a cross of two blue lines
    of 8 mm; its letter is the nearest word of capitals above its right."""
    data = path.read_bytes()
    width, height = map(int, re.match(rb"P6\s+(\d+)\s+(\d+)\s+255\s", data).groups())
    data = data[-3 * width * height:]
    red = data[0::3].translate(bytes(1 if v < 150 else 0 for v in range(256)))
    blue = data[2::3].translate(bytes(1 if v > 165 else 0 for v in range(256)))
    both = (int.from_bytes(red) & int.from_bytes(blue)).to_bytes(width * height)
    flat = strokes([both[j * width:(j + 1) * width] for j in range(height)])
    upright = strokes([both[i::width] for i in range(width)])
    places = [((xs + 0.5) * PIXEL, (ys + 0.5) * PIXEL) for ys, middle in flat for xs, at in upright
              if abs(xs - middle) < 1 / PIXEL and abs(ys - at) < 1 / PIXEL]
    page = run("pdftotext", "-bbox", "-f", str(number), "-l", str(number), pdf, "-")
    words = [(w, float(x) / 72 * 25.4, float(y) / 72 * 25.4) for x, y, w in
             re.findall(r'<word xMin="([\d.]+)" yMin="[\d.]+" xMax="[\d.]+" yMax="([\d.]+)">([A-Z]{1,3})</word>', page)]
    return {min(words, key=lambda w: math.dist(w[1:], (x + 1.8, y - 1.8)))[0]: (x, y) for x, y in places if words}


def strokes(rows):
    """Strokes of 6 to 10 mm along rows, over neighbouring rows: middle row and middle along it."""
    found = []
    for j, row in enumerate(rows):
        for m in re.finditer(b"\1{%d,%d}" % (6 / PIXEL, 10 / PIXEL), row):
            middle = (m.start() + m.end() - 1) / 2
            for group in found:
                if j - group[-1][0] <= 1 and abs(group[-1][1] - middle) < 1 / PIXEL:
                    group.append((j, middle))
                    break
            else:
                found.append([(j, middle)])
    return [(sum(j for j, _ in g) / len(g), sum(m for _, m in g) / len(g)) for g in found]


def lay(pages, name, faults):
    """Corner of the tray on every page, from that on the first: page by page, by the marks that two share."""
    corners = {0: pages[0].corner}
    for _ in pages:
        for n, page in enumerate(pages):
            for m in set(corners) - {n}:
                shared = sorted(set(page.marks) & set(pages[m].marks))
                if n in corners or not shared:
                    continue
                moves = [(page.marks[k][0] - pages[m].marks[k][0], page.marks[k][1] - pages[m].marks[k][1]) for k in shared]
                faults.check(len(shared) >= 2, f"{name}: pages {m + 1} and {n + 1} share the mark {shared} only")
                faults.check(math.dist(moves[0], moves[-1]) <= TOLERANCE, f"{name}: the marks {shared} of pages {m + 1} and {n + 1} do not meet: {moves}")
                corners[n] = tuple(c + sum(v[i] for v in moves) / len(moves) for i, c in enumerate(corners[m]))
    faults.check(len(corners) == len(pages), f"{name}: only pages {sorted(corners)} hang together by their marks")
    count = {}
    for page in pages:
        for letter in page.marks:
            count[letter] = count.get(letter, 0) + 1
    faults.check(all(n == 2 for n in count.values()), f"{name}: marks not on two pages each: {count}")
    return corners


OVERLAP = 10.0  # mm that neighbouring pages share; marks stand in its middle


def seen_on(page, corner, wanted):
    """Offsets of the samples on a page. A line beside a side that lies at the page's own edge is the
    line to cut along."""
    found = measure(page.picture, corner, wanted)
    for n, (x, y, _, _) in enumerate(wanted):
        at = corner[0] + x, corner[1] - y
        edge = any(abs(abs(at[i] - m[i]) - OVERLAP / 2) < 1 for m in page.marks.values() for i in (0, 1))
        if edge and not near(found[n]):
            found[n] = None
    return found


class Page:
    """One page of a template."""

    def __init__(self, picture, lying, corner, found):
        self.picture, self.lying, self.corner, self.marks = picture, lying, corner, found


def check_templates(out, faults, work):
    """The bars, the sides measured, the farthest that one was off, and the marks met."""
    pdf = out / "templates.pdf"
    sizes = page_sizes(pdf)
    shapes, trays = {}, {}
    for entry, path in files(out, "dxf"):
        _, found = read_dxf(path)
        x, y = entry.get("zero_mm", (0, 0))
        for s in found:  # in the program's places
            s.vertices = [(v[0] - x, v[1] - y, v[2]) for v in s.vertices]
        for tray in entry["trays"]:
            shapes.setdefault(tray, []).extend(s for s in found if s.layer.startswith("FINISHED"))
    run("pdftoppm", "-r", str(DPI), "-gray", str(pdf), str(work / "page"))
    bars = []
    for number, path in enumerate(sorted(work.glob("page-*.pgm")), 1):
        picture = Picture(path)
        path.unlink()
        text = page_text(pdf, number)
        faults.check("Print at 100 %, no fit to page" in text, f"{pdf} page {number}: does not say how to print")
        lying = sizes[number - 1][0] > sizes[number - 1][1]
        bars.append(bar_length(picture, lying))
        faults.check(abs(bars[-1] - 100) <= TOLERANCE, f"{pdf} page {number}: the bar is {bars[-1]:.2f} mm long")
        names = [t for t in shapes if re.search(rf"(?<![\w-]){re.escape(t)}( ·|$| outline)", text)]
        if not faults.check(len(names) == 1, f"{pdf} page {number}: names the trays {names}"):
            continue
        found = {}
        if "lay equal letters on each other" in text:
            run("pdftoppm", "-r", str(DPI), "-f", str(number), "-l", str(number), "-singlefile", str(pdf), str(work / "colour"))
            found = marks(work / "colour.ppm", pdf, number)
        trays.setdefault(names[0], []).append(Page(picture, lying, None, found))
    worst, sides, met = 0.0, 0, 0
    for tray, found in shapes.items():
        wanted = samples(found)
        faults.check(wanted, f"{out}: tray {tray} has no finished contours: was it cut with --finished?")
        pages = trays.get(tray, [])
        if not faults.check(pages, f"{pdf}: no page of the tray {tray}"):
            continue
        pages[0].corner = anchor(pages[0].picture, pages[0].lying, outer(found), wanted)
        corners = lay(pages, f"{pdf}, {tray}", faults)
        met += sum(len(p.marks) for p in pages) // 2
        measured = [seen_on(p, corners[n], wanted) for n, p in enumerate(pages) if n in corners]
        for (x, y, _, _), seen in zip(wanted, zip(*measured)):
            seen = [s for s in seen if s is not None and abs(s) < 3 * TOLERANCE]
            off = max(seen, key=abs, default=None)  # every page that shows the side shows it in its place
            faults.check(near(off), f"{out}: tray {tray}: the side at {x:.2f}, {y:.2f} is off by {off}")
            worst, sides = max(worst, abs(off or 0)), sides + 1
    return bars, sides, worst, met


LEAST_POINTS = 7
LEAST_PIXELS = 22  # of the letters in a picture, as cam/page has them
MEASURE = re.compile(r"[\d./ ×]+(mm|in)|(\d+ h )?\d+ (min|s)( \d+ s)?")


def check_letters(pdf, faults):
    """The size of the smallest letters in points, those of the pictures as they are shown."""
    xml = run("pdftohtml", "-xml", "-i", "-zoom", "3", "-stdout", pdf)
    sizes = {n: int(size) / 3 for n, size in re.findall(r'<fontspec id="(\d+)" size="(\d+)"', xml)}
    for number, page in enumerate(xml.split("<page ")[1:], 1):
        said = [(sizes[font], re.sub(r"<[^>]*>", "", text)) for font, text in re.findall(r'<text [^>]*font="(\d+)">(.*?)</text>', page)]
        largest = max((s for s, text in said if re.search(r"\d", text)), default=0)
        figures = [text.strip() for s, text in said if s == largest]
        if "continued" not in page:
            faults.check(any(MEASURE.fullmatch(f) for f in figures), f"{pdf} page {number}: the largest figure is {figures}, no time and no size")
    dots = [int(line.split()[12]) for line in run("pdfimages", "-list", pdf).splitlines()[2:]]
    shown = [LEAST_PIXELS / d * 72 for d in dots]
    least = min([*sizes.values(), *shown])
    faults.check(least >= LEAST_POINTS, f"{pdf}: has letters of {least:.1f} point")
    return least


def outer(shapes):
    boxes = [s.bounds() for s in shapes]
    return max(boxes, key=lambda b: (b[2] - b[0]) * (b[3] - b[1]))


def check_cut_sheet(out, faults):
    """Every program has its page with every part of it (the work may go on on a page that continues
    it), its cautions and the owner's rules, and a picture; so has cut-sheet.md."""
    pdf = out / "cut-sheet.pdf"
    pages = [page_text(pdf, n + 1) for n in range(len(page_sizes(pdf)))]
    for entry, path in files(out, "gcode"):
        here = [p for p in pages if p.startswith(entry["path"])]
        if not faults.check(here, f"{pdf}: no page for {entry['path']}"):
            continue
        bare = squeeze(here[0])
        for part in parts_of(entry, out):
            first = part in ("Before you start", "Settings", "Zero point", "If it burns")  # the work may go on overleaf
            faults.check(any(part in p for p in here[: 1 if first else None]), f"{pdf}: the page of {entry['path']} has no part {part}")
        for key in ("caution", "required"):
            for text in read_program(path).header.get(key, []):
                faults.check(words_in(text, bare), f"{pdf}: the page of {entry['path']} does not say: {text}")
    said = "\n".join(pages)
    for tray in report(out)["trays"]:
        lists = len(re.findall(r"Packing list of " + re.escape(tray["id"]) + r"(?![\w-])", said))
        faults.check(lists == 1 or not any(p["for"] for p in tray["pockets"]), f"{pdf}: {lists} packing lists of {tray['id']}")
    pictures = run("pdfimages", "-list", pdf).count(" image ")
    faults.check(pictures >= 1 + len(files(out, "gcode")), f"{pdf}: {pictures} pictures")
    return len(pages)


def parts_of(entry, out):
    """The headings that the page of a program must have."""
    parts = ["Before you start", "Settings", "Zero point", "Order of work"]
    stem = re.sub(r"-t\d+\.\w+$", "", entry["path"])
    same = [f["path"] for f in report(out)["files"] if f["kind"] == "gcode" and f["path"].startswith(stem + "-t")]
    if same and entry["path"] != same[-1]:
        return parts + ["If it burns"] * (entry["process"] != "knife")  # it is glued when its last program has run
    layers = next(len(t["layers"]) for t in report(out)["trays"] if t["id"] == entry["tray"])
    parts.append("Glue-up, top to bottom" if layers > 1 else "Section")
    if entry["process"] != "knife":
        parts.append("If it burns")
    return parts


def squeeze(text):
    return set(re.findall(r"\w+", text))


def words_in(text, page):
    """Whether every word stands on the page: lines of two columns are read across."""
    return set(re.findall(r"\w+", text)) <= page


def main():
    faults, counted = Faults(), 0
    for out in folders():
        least = 99
        for entry, path in files(out, "pdf"):
            sizes = page_sizes(path)
            names = {paper_name(*s) for s in sizes}
            faults.check(sizes and len(names) == 1 and None not in names, f"{path}: pages are {sorted(set(sizes))}")
            fonts = run("pdffonts", path).splitlines()[2:]
            least = min(least, check_letters(path, faults))
            faults.check(fonts and all(re.search(r"\byes +(yes|no) +yes\b", f) for f in fonts), f"{path}: fonts that are not embedded or not Unicode: {fonts}")
        with tempfile.TemporaryDirectory() as work:
            bars, sides, worst, met = check_templates(out, faults, Path(work))
        pages = check_cut_sheet(out, faults)
        counted += sides
        print(f"{out}: {paper_name(*page_sizes(out / 'templates.pdf')[0])}, {pages} pages of cut sheet, {len(bars)} of templates;"
              f" bars {min(bars):.3f} to {max(bars):.3f} mm, {sides} sides within {worst:.3f} mm, {met} marks met; letters from {least:.1f} point")
    faults.finish(f"{counted} sides", counted)


if __name__ == "__main__":
    main()
