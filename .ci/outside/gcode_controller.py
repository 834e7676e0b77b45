#!/usr/bin/python3
"""Holds the dry run's reader against the interpreter of a PC controller, line by line.

Every program is given to both: what the interpreter does in the end (its canonical
moves) and the steps of our reader have to be the same, to 0.001 mm, in the same lines:
ends and centres, where A is (0.001 degrees), feeds, waits, spindle or beam, air and tools. Where our reader ends at
a word that it does not follow, all before that line. A beam has to be dark in rapids.

Each program is given to the interpreter twice: as it is, and with the number of each
line as its N word, which comes back with every canonical move.

It prints four decimals of the program's unit: in inches that is 0.0013 mm, so much more
is allowed there. What it has of its own is left out: moves that lead nowhere, the place
of an axis that a reference point or machine coordinates have taken away, until the
program names it, and where G49 has taken a length (its tools all have length 0).

usage: gcode_controller.py CONTROLLER PROGRAM|FOLDER...    (CONTROLLER: see controller.sh)
"""
import json
import math
import os
import re
import subprocess
import sys
import tempfile
from concurrent.futures import ThreadPoolExecutor

SAME = 0.001  # mm
PRINTED = 0.00005  # half of the last digit that the interpreter prints
HERE = os.path.dirname(os.path.abspath(__file__))
CANON = re.compile(r"^\s*\d+\s+N(\d+|\.+)\s*([A-Z0-9_]+)\((.*)\)$")
HOME = {5161: 311.1, 5162: 277.7, 5163: 88.8, 5164: 33.3, 5181: 301.3, 5182: 266.6, 5183: 77.7, 5184: 22.2}  # where G28 and G30 lead


class Fault(Exception):
    pass


def numbered(text):
    """The program with each line's number as its N word."""
    lines = []
    for n, line in enumerate(re.split(r"\r\n|\r|\n", text), 1):
        bare = re.sub(r"^([\s/]*)[nN][\s]*[\d\s]*(?=[^\d\s.])", r"\1", line)
        if re.match(r"^\s*[/]?\s*[oO]", bare) or bare.strip() in ("", "%"):
            lines.append(line)
        else:
            slash, rest = re.match(r"^(\s*/?)(.*)$", bare).groups()
            lines.append(f"{slash}N{n} {rest}")
    return "\n".join(lines) + "\n"


def interpret(controller, text):
    """The interpreter's canonical lines, and what it complains of."""
    with tempfile.TemporaryDirectory() as folder:
        path = lambda name: os.path.join(folder, name)
        with open(path("tool.tbl"), "w") as f:
            f.writelines(f"T{n} P{n} D3.175\n" for n in range(1, 100))
        with open(path("v.var"), "w") as f:
            f.writelines(f"{key}\t{value}\n" for key, value in sorted(HOME.items()))
        with open(path("p.ngc"), "w", newline="") as f:
            f.write(text)
        libraries = ":".join(os.path.join(controller, part) for part in ("usr/lib", "usr/lib/x86_64-linux-gnu", "lib/x86_64-linux-gnu", "usr/lib/aarch64-linux-gnu", "lib/aarch64-linux-gnu"))
        ran = subprocess.run(
            [os.path.join(controller, "usr/bin/rs274"), "-t", path("tool.tbl"), "-v", path("v.var"), "-g", path("p.ngc"), path("out")],
            env={**os.environ, "LD_LIBRARY_PATH": libraries, "HOME": folder}, stdin=subprocess.DEVNULL, capture_output=True, text=True, timeout=120)
        if not os.path.exists(path("out")):
            raise Fault("the interpreter does not run: " + ran.stderr.strip())
        with open(path("out")) as f:
            out = f.read().splitlines()
    said = [line for line in ran.stderr.splitlines() if line.strip() and "executing" not in line and "updating variable file" not in line]
    return out, said if ran.returncode else []


class Machine:
    """Follows canonical lines and keeps what they amount to."""

    def __init__(self):
        self.unit, self.at, self.feed, self.s, self.spin, self.tool, self.air = 1.0, (0.0, 0.0, 0.0), 0.0, 0.0, 0, 0, 0
        self.line, self.things, self.ended, self.plane, self.turn = 0, [], False, "XY", 0.0

    def thing(self, kind, **more):
        feed = self.feed if kind == "turn" else self.feed * self.unit  # of degrees, or of a length
        self.things.append(dict(kind=kind, line=self.line, unit=self.unit, feed=feed, s=self.s, spin=self.spin, tool=self.tool, air=self.air, turn=self.turn, **more))

    def follow(self, canonical):
        for text in canonical:
            match = CANON.match(text)
            if match:
                line, name, inside = match.groups()
                self.line = int(line) if line.isdigit() else 0
                self.obey(name, inside)
        return self.things

    def obey(self, name, inside):
        values = [float(v) for v in re.findall(r"-?\d+\.?\d*", inside)]
        if name == "USE_LENGTH_UNITS":
            self.unit = 25.4 if "INCHES" in inside else 1.0
        elif name in ("STRAIGHT_TRAVERSE", "STRAIGHT_FEED"):
            to, was, rapid = tuple(v * self.unit for v in values[:3]), self.turn, name == "STRAIGHT_TRAVERSE"
            self.turn = values[3]
            if max(abs(a - b) for a, b in zip(to, self.at)) > 1e-9:
                self.at = to
                self.thing("rapid" if rapid else "line", to=to)
            elif self.turn != was:
                self.thing("swing" if rapid else "turn")
        elif name == "SELECT_PLANE":
            self.plane = inside[-2:]
        elif name == "ARC_FEED" and self.plane != "XY":
            first, second = {"XZ": (2, 0), "YZ": (1, 2)}[self.plane]
            to, center = [0.0] * 3, {first: values[2] * self.unit, second: values[3] * self.unit}
            to[first], to[second], to[3 - first - second] = (values[k] * self.unit for k in (0, 1, 5))
            self.thing("upright", to=tuple(to), center=center, start=self.at, ccw=values[4] > 0)
            self.at = tuple(to)
        elif name == "ARC_FEED":
            self.at, self.turn = (values[0] * self.unit, values[1] * self.unit, values[5] * self.unit), values[6]
            self.thing("arc", to=self.at, center=(values[2] * self.unit, values[3] * self.unit), ccw=values[4] > 0)
        elif name == "DWELL":
            self.thing("wait", seconds=values[0])
        elif name == "PROGRAM_STOP" or name == "OPTIONAL_PROGRAM_STOP":
            self.thing("stop")
        elif name == "SET_FEED_RATE":
            self.feed = values[0]
        elif name == "SET_SPINDLE_SPEED":
            self.s = values[1]
        elif name in SPINS:
            self.spin = SPINS[name]
        elif name == "CHANGE_TOOL":
            self.tool = int(values[0])
        elif name in AIRS:
            mist, on = AIRS[name]
            self.air = self.air | mist if on else self.air & ~mist
        elif name == "PROGRAM_END":
            self.ended = True


SPINS = {"STOP_SPINDLE_TURNING": 0, "START_SPINDLE_CLOCKWISE": 1, "START_SPINDLE_COUNTERCLOCKWISE": 2}
AIRS = {"MIST_ON": (1, True), "MIST_OFF": (1, False), "FLOOD_ON": (2, True), "FLOOD_OFF": (2, False)}
PROGRAMS = (".ngc", ".nc", ".gcode", ".tap", ".g", ".cnc1")
KINDS = {0: "rapid", 1: "line", 2: "arc", 3: "arc", 4: "wait", 5: "stop", 9: "turn"}


def ours(program):
    """The reader's steps as the same things."""
    things, at, turn = [], (0.0, 0.0, 0.0), None
    for s in program["steps"]:
        was, turn = turn, s["turn"]
        kind = KINDS.get(s["action"])
        if kind == "turn" and turn == was:
            kind = None
        elif kind == "turn" and s["feed"] == 0:
            kind = "swing"
        if not kind:
            continue
        thing = dict(kind=kind, line=s["line"], spin=s["spin"], s=s["s"], tool=s["tool"], air=s["air"], seconds=s["seconds"], feed=s["feed"], turn=turn)
        if kind in ("rapid", "line", "arc"):
            if kind != "arc" and s["from"] == s["to"] and not s["unknown"] and tuple(s["from"]) == at and turn == was:
                continue
            at = tuple(s["to"])
            if kind == "line" and things and things[-1]["kind"] in ("line", "upright") and things[-1]["line"] == s["line"]:
                things[-1].update(kind="upright", to=at, chords=things[-1].get("chords", [things[-1]["to"]]) + [at])
                continue
            thing.update(to=at, unknown=s["unknown"], center=s["center"], ccw=s["action"] == 3)
        things.append(thing)
    return things


def compare(mine, theirs, tally, end):
    """Holds the two lists against each other, up to a line."""
    if end:
        mine, theirs = [t for t in mine if t["line"] < end], [t for t in theirs if t["line"] < end]
    pairs = match(mine, theirs)
    for a, b in pairs:
        where = f"line {a['line']}"
        homed = a.get("unknown") and (a["kind"], b["kind"]) == ("rapid", "swing")  # A alone had a way to go
        if a["kind"] != b["kind"] and not homed or a["line"] != b["line"]:
            raise Fault(f"{where}: {a['kind']} for us, {b['kind']} in line {b['line']} for the interpreter")
        slack = SAME if b["unit"] == 1 else SAME + PRINTED * b["unit"]
        if "to" in b:
            for axis in range(3):
                if a["unknown"] >> axis & 1:
                    continue
                tally.see(abs(a["to"][axis] - b["to"][axis]), b["unit"], slack, f"{where}: {'XYZ'[axis]} {a['to'][axis]:.4f} for us, {b['to'][axis]:.4f} for the interpreter")
        if b["kind"] == "upright":
            radius = math.dist([b["start"][k] for k in b["center"]], b["center"].values())
            for place in a["chords"]:
                tally.see(abs(math.dist([place[k] for k in b["center"]], b["center"].values()) - radius), b["unit"], 3 * slack, f"{where}: a chord's end {place} is off the arc")
            (cu, u), (cv, v) = [(b["center"][k], k) for k in b["center"]]
            first = [b["start"], *a["chords"]]
            if (sum((p[u] - cu) * (q[v] - cv) - (p[v] - cv) * (q[u] - cu) for p, q in zip(first, first[1:])) > 0) != b["ccw"]:
                raise Fault(f"{where}: the upright arc turns the other way")
        if b["kind"] == "arc":
            if a["ccw"] != b["ccw"]:
                raise Fault(f"{where}: the arc turns the other way")
            tally.see(math.dist(a["center"], b["center"]), b["unit"], 2 * slack, f"{where}: centre {a['center']} for us, {b['center']} for the interpreter")
        if a["turn"] is not None and abs(a["turn"] - b["turn"]) > SAME:
            raise Fault(f"{where}: A is at {a['turn']} for us, at {b['turn']} for the interpreter")
        if b["kind"] in ("line", "arc", "upright", "turn") and abs(a["feed"] - b["feed"]) > 0.01 + 1e-4 * b["feed"]:
            raise Fault(f"{where}: feed {a['feed']} for us, {b['feed']} for the interpreter")
        if b["kind"] == "wait" and abs(a["seconds"] - b["seconds"]) > 1e-3:
            raise Fault(f"{where}: waits {a['seconds']} for us, {b['seconds']} for the interpreter")
        same = ("spin", "air") + (("s",) if a["spin"] else ())
        for key in same:
            if a[key] != b[key]:
                raise Fault(f"{where}: {key} is {a[key]} for us, {b[key]} for the interpreter")
        tally.pairs += 1


def match(mine, theirs):
    """Pairs in order. A move of ours whose end is not known may lead nowhere for the
    interpreter, which then says nothing of it."""
    pairs, j = [], 0
    for i, a in enumerate(mine):
        b = theirs[j] if j < len(theirs) else None
        vague = a.get("unknown") and (b is None or len(mine) - i > len(theirs) - j)
        if vague and (b is None or a["line"] != b["line"] or a["kind"] != b["kind"]):
            continue
        if b is None:
            raise Fault(f"line {a['line']}: {a['kind']} is one that the interpreter does not make")
        pairs.append((a, b))
        j += 1
    if j < len(theirs):
        raise Fault(f"line {theirs[j]['line']}: the interpreter makes a {theirs[j]['kind']} more than we do")
    return pairs


class Tally:
    def __init__(self):
        self.pairs, self.mm, self.inch = 0, 0.0, 0.0

    def see(self, miss, unit, slack, message):
        if miss > slack:
            raise Fault(message)
        if unit == 1:
            self.mm = max(self.mm, miss)
        else:
            self.inch = max(self.inch, miss)


def dark(text, things):
    """A beam of ours is off in every rapid."""
    if "(machine: " in text and "laser" in text.split("(machine: ")[1].split(")")[0]:
        for t in things:
            if t["kind"] == "rapid" and t["spin"] and t["s"] > 0:
                raise Fault(f"line {t['line']}: the beam is lit in a rapid")


def obeyed(controller, text, end):
    canonical, said = interpret(controller, text)
    if said and not end:
        raise Fault("refused by the interpreter: " + " / ".join(said))
    return Machine().follow(canonical), said


def bare(thing):
    return {key: value for key, value in thing.items() if key != "line"}


def judge(controller, program):
    tally = Tally()
    with open(program["file"], newline="", encoding="utf-8", errors="surrogateescape") as f:
        text = f.read()
    try:
        end = program["unfollowed"]
        if program["errors"] and not end:
            raise Fault("refused by us: " + program["errors"][0])
        plain, _ = obeyed(controller, text, end)
        things, _ = obeyed(controller, numbered(text), end)
        if [bare(t) for t in plain] != [bare(t) for t in things] and not end:
            raise Fault("the interpreter makes something else of it with line numbers")
        compare(ours(program), things, tally, end)
        dark(text, things)
    except Fault as fault:
        return tally, f"{program['file']}: {fault}"
    return tally, ""


def programs(names):
    for name in names:
        if os.path.isdir(name):
            yield from (os.path.join(folder, f) for folder, _, files in sorted(os.walk(name)) for f in sorted(files) if f.endswith(PROGRAMS))
        else:
            yield name


def main():
    controller, names = sys.argv[1], [os.path.abspath(name) for name in programs(sys.argv[2:])]
    root = os.path.dirname(os.path.dirname(HERE))
    read = subprocess.run(["go", "run", "./.ci/outside/moves", *names], cwd=root, capture_output=True, text=True, check=False)
    if read.returncode or not names:
        sys.exit(f"gcode_controller: {read.stderr or 'no programs'}")
    with ThreadPoolExecutor(os.cpu_count()) as pool:
        results = list(pool.map(lambda line: judge(controller, json.loads(line)), read.stdout.splitlines()))
    faults = [fault for _, fault in results if fault]
    for fault in faults[:20]:
        print("FAULT", fault)
    ended = sum('"unfollowed":0' not in line for line in read.stdout.splitlines())
    print(f"{len(results)} programs, {ended} of them up to a word that is not followed: {sum(t.pairs for t, _ in results)} moves, waits and stops the same;"
          f" worst {max(t.mm for t, _ in results):.5f} mm, in inches {max(t.inch for t, _ in results):.5f} mm; {len(faults)} faults")
    sys.exit(1 if faults else 0)


if __name__ == "__main__":
    main()
