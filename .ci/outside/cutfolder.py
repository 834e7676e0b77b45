"""What the outside checks share: reading an output folder of `cut`.

Nothing in here is shared with the program under test. The G-code reader knows
the words that NISTIR 6556 gives for the moves and modes that our programs use,
and refuses anything else.
"""

import json
import math
import re
import sys
from dataclasses import dataclass, field
from pathlib import Path


class Faults:
    """Collects what is wrong, to show all of it at the end."""

    def __init__(self):
        self.messages = []

    def check(self, good, message):
        if not good:
            self.messages.append(message)
        return good

    def finish(self, summary, counted):
        """Prints the summary line; exits with 1 on a fault or when nothing was checked."""
        for message in self.messages[:40]:
            print("FAULT", message)
        if len(self.messages) > 40:
            print(f"FAULT ... and {len(self.messages) - 40} more")
        if not counted:
            print("FAULT nothing was checked")
        print(f"{summary}: {len(self.messages)} faults")
        sys.exit(1 if self.messages or not counted else 0)


def folders():
    """The output folders named on the command line."""
    if len(sys.argv) < 2:
        sys.exit(f"usage: {sys.argv[0]} OUT...")
    return [Path(a) for a in sys.argv[1:]]


def report(out):
    path = out / "report.json"
    if not path.is_file():
        sys.exit(f"FAULT {path} is not there")
    return json.loads(path.read_text(encoding="utf-8"))


def files(out, kind):
    """Entries of one kind in report.json's files, each with its place on disk."""
    found = [f for f in report(out)["files"] if f["kind"] == kind]
    return [(f, out / f["path"]) for f in found]


@dataclass
class Motion:
    """One move, mm, in the program's own zero. Arcs have a centre and a signed sweep in radians."""

    line: int
    rapid: bool
    start: tuple
    end: tuple
    center: tuple = None
    sweep: float = 0.0
    tool: int = 0
    power: float = 0.0  # S while M3 or M4 holds, else 0
    op: str = ""
    turn: tuple = (0.0, 0.0)  # A at its start and end, degrees

    @property
    def radius(self):
        return math.dist(self.start[:2], self.center)


@dataclass
class Program:
    motions: list = field(default_factory=list)
    header: dict = field(default_factory=dict)  # key -> list of texts

    def kerfs(self):
        """Width removed by tool number, from the header's kerf lines."""
        found = {}
        for text in self.header.get("kerf", []):
            number, mm = re.fullmatch(r"T(\d+) ([\d.]+) mm", text).groups()
            found[int(number)] = float(mm)
        return found

    def value(self, key):
        """The header's number in mm for a key."""
        return float(re.fullmatch(r"(-?[\d.]+) mm", self.header[key][0]).group(1))

    def foam_top(self):
        """Z of the foam's top in the program's zero."""
        return self.value("thickness") if self.header["z zero"][0].startswith("bed") else 0.0


WORD = re.compile(r"([A-Z])(-?\d+(?:\.\d+)?)")
COMMENT = re.compile(r"\(([^()]*)\)")
# G54 is the offset that programs start from; the place of X0 Y0 is not this reader's to judge.
# G40, G49 and G80 end what ran before; G64 P says how far corners may be rounded.
IGNORED_G = {4, 17, 21, 40, 49, 54, 64, 80, 90, 94}
IGNORED_M = {0, 2, 6, 7, 8, 9}


def read_program(path):
    """Reads one of our programs; raises ValueError with the line of anything that it does not know."""
    program, state = Program(), {"at": [None, None, None], "mode": None, "tool": 0, "speed": 0.0, "on": False, "op": "", "head": True, "turn": 0.0}
    for number, line in enumerate(path.read_text(encoding="ascii").splitlines(), 1):
        try:
            _read_line(program, state, number, line)
        except (ValueError, TypeError) as error:
            raise ValueError(f"{path.name}:{number}: {error}: {line}") from error
    return program


NUMBERED = re.compile(r"-t\d+$")


def later(entry):
    """Whether a program is not the first of its sheet."""
    return int((re.findall(r"-t(\d+)\.\w+$", entry["path"]) or ["1"])[0]) > 1


def read_sheet(path):
    """All programs of the sheet that a file belongs to, as one: their motions in the order of cutting,
    their headers joined, and the extents of all of them."""
    stem = NUMBERED.sub("", path.stem)
    paths = sorted(p for p in path.parent.glob(stem + "-t*.ngc") if NUMBERED.sub("", p.stem) == stem)
    programs = [read_program(p) for p in paths or [path.with_name(stem + ".ngc")]]
    whole = programs[0]
    for k, more in enumerate(programs[1:], 1):
        for motion in more.motions:
            motion.line += k * 1_000_000  # lines stay different
        whole.motions += more.motions
        for key, texts in more.header.items():
            whole.header[key] = whole.header.get(key, []) + [t for t in texts if t not in whole.header.get(key, [])]
    for axis in "XYZ":
        pairs = [re.fullmatch(r"(-?[\d.]+) to (-?[\d.]+) mm", t).groups() for t in whole.header[axis]]
        whole.header[axis] = [f"{min((a for a, _ in pairs), key=float)} to {max((b for _, b in pairs), key=float)} mm"]
    return whole


def _read_line(program, state, number, line):
    for comment in COMMENT.findall(line):
        key, _, text = comment.partition(": ")
        if key == "op":
            state["op"] = text
        elif key == "tool in the spindle":
            state["tool"] = int(text.split()[0][1:])
        elif state["head"] and key != "+":
            program.header.setdefault(key, []).append(text)
    code = COMMENT.sub("", line).replace(" ", "")
    if not code:
        return
    state["head"] = False
    words = WORD.findall(code)
    if "".join(letter + value for letter, value in words) != code:
        raise ValueError("not words alone")
    axes, centre, turned = {}, {}, state["turn"]
    for letter, text in words:
        value = float(text)
        if letter == "G" and value in (0, 1, 2, 3):
            state["mode"] = int(value)
        elif letter == "M" and value in (3, 4, 5):
            state["on"] = value != 5
        elif letter == "S":
            state["speed"] = value
        elif letter == "T":
            state["tool"] = int(value)
        elif letter in "XYZ":
            axes["XYZ".index(letter)] = value
        elif letter == "A":
            state["turn"] = value
        elif letter in "IJ":
            centre["IJ".index(letter)] = value
        elif letter not in "FP" and not (letter == "G" and value in IGNORED_G) and not (letter == "M" and value in IGNORED_M):
            raise ValueError(f"unknown word {letter}{text}")
    if axes or state["turn"] != turned:
        _move(program, state, number, axes, centre, turned)


def _move(program, state, number, axes, centre, turned):
    start = list(state["at"])
    end = [axes.get(i, start[i]) for i in range(3)]
    state["at"] = end
    mode = state["mode"]
    if mode is None:
        raise ValueError("a move without a mode")
    if end[0] is None or end[1] is None:
        return  # the first retract, before X and Y are known
    start = [e if s is None else s for s, e in zip(start, end)]
    start[2], end[2] = start[2] or 0.0, end[2] or 0.0
    motion = Motion(number, mode == 0, tuple(start), tuple(end), tool=state["tool"],
                    power=state["speed"] if state["on"] else 0.0, op=state["op"], turn=(turned, state["turn"]))
    if mode in (2, 3):
        motion.center = (start[0] + centre.get(0, 0.0), start[1] + centre.get(1, 0.0))
        motion.sweep = _sweep(motion, mode == 3)
    program.motions.append(motion)


def _sweep(motion, counterclockwise):
    ax, ay = motion.start[0] - motion.center[0], motion.start[1] - motion.center[1]
    bx, by = motion.end[0] - motion.center[0], motion.end[1] - motion.center[1]
    angle = math.atan2(ax * by - ay * bx, ax * bx + ay * by)
    if counterclockwise and angle <= 0:
        angle += 2 * math.pi
    if not counterclockwise and angle >= 0:
        angle -= 2 * math.pi
    return angle


@dataclass
class Shape:
    """One polyline: vertices are (x, y, bulge); bulge is tan(angle / 4), positive to the left."""

    layer: str
    closed: bool
    vertices: list

    def segments(self):
        n = len(self.vertices)
        for i in range(n if self.closed else n - 1):
            x0, y0, bulge = self.vertices[i]
            x1, y1, _ = self.vertices[(i + 1) % n]
            yield x0, y0, x1, y1, bulge

    def area(self):
        """Signed, counter-clockwise positive: the polygon's, and the circular segment under each bulge."""
        total = 0.0
        for x0, y0, x1, y1, bulge in self.segments():
            total += (x0 * y1 - x1 * y0) / 2
            if bulge:
                angle = 4 * math.atan(bulge)
                radius = math.hypot(x1 - x0, y1 - y0) / 2 / math.sin(angle / 2)
                total += radius * radius / 2 * (angle - math.sin(angle))
        return total

    def points(self, chord_error):
        """The shape as points, arcs as chords that stray by at most chord_error mm."""
        out = []
        for x0, y0, x1, y1, bulge in self.segments():
            out.append((x0, y0))
            if bulge:
                out += arc_points(x0, y0, x1, y1, bulge, chord_error)
        if not self.closed:
            out.append(self.vertices[-1][:2])
        return out

    def bounds(self):
        """Exact box, arcs in full: (x_min, y_min, x_max, y_max)."""
        xs, ys = [], []
        for x0, y0, x1, y1, bulge in self.segments():
            xs += [x0, x1]
            ys += [y0, y1]
            if bulge:
                for x, y in arc_extremes(x0, y0, x1, y1, bulge):
                    xs.append(x)
                    ys.append(y)
        return min(xs), min(ys), max(xs), max(ys)


def arc_of(x0, y0, x1, y1, bulge):
    """Centre, radius, start angle and signed sweep of a bulged segment."""
    k = (1 - bulge * bulge) / (4 * bulge)
    cx, cy = (x0 + x1) / 2 - k * (y1 - y0), (y0 + y1) / 2 + k * (x1 - x0)
    return cx, cy, math.hypot(x0 - cx, y0 - cy), math.atan2(y0 - cy, x0 - cx), 4 * math.atan(bulge)


def arc_points(x0, y0, x1, y1, bulge, chord_error):
    cx, cy, r, start, sweep = arc_of(x0, y0, x1, y1, bulge)
    n = chords(r, sweep, chord_error)
    return [(cx + r * math.cos(start + sweep * i / n), cy + r * math.sin(start + sweep * i / n)) for i in range(1, n)]


def arc_extremes(x0, y0, x1, y1, bulge):
    """Where the arc runs through the compass points of its circle."""
    cx, cy, r, start, sweep = arc_of(x0, y0, x1, y1, bulge)
    for quarter in range(4):
        angle = quarter * math.pi / 2
        along = (angle - start) % (2 * math.pi) if sweep > 0 else -((start - angle) % (2 * math.pi))
        if abs(along) <= abs(sweep):
            yield cx + r * (1, 0, -1, 0)[quarter], cy + r * (0, 1, 0, -1)[quarter]


def chords(radius, sweep, chord_error):
    """Fewest equal chords that stray from the arc by at most chord_error."""
    if radius <= chord_error:
        return 4
    return max(1, math.ceil(abs(sweep) / (2 * math.acos(1 - chord_error / radius))))


def box_union(boxes):
    boxes = list(boxes)
    return tuple(f(b[i] for b in boxes) for i, f in enumerate((min, min, max, max)))


def drawings(out, entry):
    """The drawings of a program's sheet: of each its entry, its document, and its Shapes in the program's places."""
    found = []
    for f, path in files(out, "dxf"):
        if (f["tray"], f["layer"]) == (entry["tray"], entry["layer"]):
            document, shapes = read_dxf(path)
            x, y = f.get("zero_mm", (0, 0))
            for s in shapes:
                s.vertices = [(v[0] - x, v[1] - y, v[2]) for v in s.vertices]
            found.append((f, document, shapes))
    return found


def kind(shape):
    """The layer's name without the depth behind it."""
    return shape.layer.split("-")[0]


def solid(shapes):
    """The finished edges among Shapes, their Polygons, and the foam that stays between them."""
    from shapely.geometry import Polygon

    finished = [s for s in shapes if kind(s) == "FINISHED"]
    polygons = [Polygon(s.points(0.0005)) for s in finished]
    outline = max(polygons, key=lambda p: p.area)
    foam = outline
    for s, p in sorted(zip(finished, polygons), key=lambda sp: -sp[1].area):
        if p is not outline:
            foam = foam.difference(p) if s.area() > 0 else foam.union(p)
    return finished, polygons, foam


def read_dxf(path):
    """The document as ezdxf reads it and its polylines as Shapes, in order."""
    import ezdxf

    document = ezdxf.readfile(path)
    shapes = []
    for entity in document.modelspace():
        if entity.dxftype() == "LWPOLYLINE":
            vertices = [tuple(v) for v in entity.get_points("xyb")]
            shapes.append(Shape(entity.dxf.layer, bool(entity.closed), vertices))
        elif entity.dxftype() == "POLYLINE":
            vertices = [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0.0)) for v in entity.vertices]
            shapes.append(Shape(entity.dxf.layer, bool(entity.is_closed), vertices))
        else:
            raise ValueError(f"{path}: a {entity.dxftype()} where only polylines are expected")
    return document, shapes
