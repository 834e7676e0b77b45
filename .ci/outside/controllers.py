"""Holds programs against what each class of controller takes: line by line, from the
manuals and sources of one controller of each class, and not from how we write.

  controllers.py CLASS OUT...   every program of output folders written for that class
  controllers.py --corpus       broken programs: each has to be refused, and the whole one passed

CLASS is pc, small or printer. A rule's number is the one of the list below.
 1 a line of a pc has at most 252 bytes          14 a pc is told how far corners may be rounded (counted, not refused)
 2 of a small one 79 without blanks, comments    15 T of a small one is at most 255
 3 of printer-style firmware 95                  16 a whole circle has X or Y on a small one
 4 printable ASCII only                          17 18 an arc's two ends are as far from its centre, 0.001 mm
 5 no ! ~ ? on a small one, also in comments     19 an arc does not end where it starts, as printed
 6 brackets close and do not nest                20 I J there, not both 0, no R beside them
 7 no bracket on printer-style firmware          21 a feed before the first cut
 8 there one G, M or T a line, first             22 a dwell says how long: P in seconds, S on printer-style firmware
 9 no N there                                    23 plain numbers
10 no %   11 no /   12 M2 or M30 ends, there none 24 a beam is dark at G0 and G4, M3 M4 with S, S within the scale
13 only the words that a small one knows         25 no stop that asks to jog or set a zero
26 no arc shorter, or of a smaller radius, than 0.1 mm: README, no manual
"""
import json
import math
import re
import sys
from pathlib import Path

NUMBER = re.compile(r"[+-]?(\d+\.?\d*|\.\d+)$")
WORD = re.compile(r"([A-Z])([^A-Z]*)")
SMALL_G = {0, 1, 2, 3, 4, 10, 17, 18, 19, 20, 21, 28, 28.1, 30, 30.1, 38.2, 38.3, 38.4, 38.5, 40, 43.1, 49, 53, 54, 55, 56,
           57, 58, 59, 61, 80, 90, 91, 91.1, 92, 92.1, 93, 94}
SMALL_M = {0, 1, 2, 3, 4, 5, 8, 9, 30}
PRINTER_G, PRINTER_M = {0, 1, 2, 3, 4, 17, 21, 54, 80, 90, 91, 92}, {0, 1, 3, 4, 5, 7, 8, 9}
SLACK = 0.001 + 1e-9
LONGEST = {"pc": 252, "small": 79, "printer": 95}


class Refused(Exception):
    pass


def need(good, rule, why):
    if not good:
        raise Refused(f"rule {rule}: {why}")


def split(line, kind):
    """A line's code and its comment."""
    if kind == "printer":
        code, _, comment = line.partition(";")
        need("(" not in code, 7, "a bracket")
        return code, comment
    code, comment, depth = "", "", 0
    for i, c in enumerate(line):
        if c == "(":
            need(depth == 0, 6, "a bracket in a bracket")
            depth = 1
        elif c == ")" and depth:
            depth = 0
        elif c == ";" and not depth:
            return code, comment + line[i + 1:]
        elif depth:
            comment += c
        else:
            code += c
    need(depth == 0, 6, "an open bracket")
    return code, comment


def words(code, kind):
    """The line's words as (letter, number)."""
    found = WORD.findall(code.replace(" ", ""))
    need("".join(a + b for a, b in found) == code.replace(" ", ""), 23, "no words")
    for letter, text in found:
        need(NUMBER.match(text), 23, f"{letter}{text} is no number")
    need(kind != "printer" or found[0][0] != "N", 9, "N")
    if kind == "printer":
        need(found[0][0] in "GMT", 8, "does not begin with a command")
        need(sum(letter in "GMT" for letter, _ in found) == 1, 8, "two commands")
    return [(letter, float(text)) for letter, text in found]


def codes(list, kind):
    """G and M words that the class knows."""
    for letter, v in list:
        if kind == "small":
            need(letter in "FGIJKLMNPRSTXYZ", 13, f"{letter} is unknown")
            need(letter != "G" or v in SMALL_G, 13, f"G{v:g}")
            need(letter != "M" or v in SMALL_M, 13, f"M{v:g}")
            need(letter != "T" or v <= 255, 15, f"T{v:g}")
            need(letter != "N" or v <= 10_000_000, 9, "N")
        if kind == "printer":
            need(letter != "N", 9, "N")
            need(letter != "M" or v not in (2, 30), 12, f"M{v:g}")
            need(letter != "G" or v in PRINTER_G, 13, f"G{v:g}")
            need(letter != "M" or v in PRINTER_M, 13, f"M{v:g}")


class Machine:
    """What a program has said so far."""

    def __init__(self, kind, beam, scale):
        self.kind, self.beam, self.scale = kind, beam, scale
        self.at, self.mode, self.feed, self.speed, self.on, self.unit = [0.0, 0.0, 0.0], None, 0.0, 0.0, False, 1.0
        self.blend, self.cut_before, self.ended = False, False, False

    def line(self, list):
        """Executes a line in the language's fixed order."""
        need(not self.ended, 12, "stands behind the end")
        has = dict(list)
        g = [v for letter, v in list if letter == "G"]
        m = [v for letter, v in list if letter == "M"]
        self.feed = has.get("F", self.feed)
        if 4 not in g:
            self.speed = has.get("S", self.speed)
        if 3 in m or 4 in m:
            need(not self.beam and self.kind != "printer" or "S" in has, 24, "switches on without S")
            self.on = True
        if 5 in m:
            self.on = False
        need(not self.beam or not self.scale or self.speed <= self.scale + 1e-9, 24, "S beyond the scale")
        self.unit = 25.4 if 20 in g else 1.0 if 21 in g else self.unit
        self.blend = self.blend or 61 in g or 64 in g and "P" in has
        if 4 in g:
            self.dwell(has)
        elif {"X", "Y", "Z", "I", "J"} & set(has):
            self.move(g, has)
        self.ended = 2 in m or 30 in m

    def dwell(self, has):
        if self.kind == "printer":
            need("S" in has and "P" not in has, 22, "G4 P counts milliseconds there")
        else:
            need("P" in has and "S" not in has and has["P"] >= 0, 22, "G4 without P")
        need(not self.beam or not self.on, 24, "lit while it waits")

    def move(self, g, has):
        self.mode = next((v for v in g if v in (0, 1, 2, 3)), self.mode)
        need(self.mode is not None, 8, "a move without a mode")
        end = [has[a] * self.unit if a in has else v for a, v in zip("XYZ", self.at)]
        if self.mode == 0:
            need(not self.beam or not self.on, 24, "lit in a rapid")
        else:
            need(self.feed > 0, 21, "no feed")
            self.cut_before = self.cut_before or not self.blend
        if self.mode in (2, 3):
            self.arc(has, end)
        self.at = end

    def arc(self, has, end):
        need("R" not in has, 20, "R")
        i, j = has.get("I", 0.0) * self.unit, has.get("J", 0.0) * self.unit
        need(i or j, 20, "no centre")
        need(self.kind != "small" or "X" in has or "Y" in has, 16, "neither X nor Y")
        need(end[:2] != self.at[:2], 19, "ends where it starts")
        centre = (self.at[0] + i, self.at[1] + j)
        off = abs(math.dist(self.at[:2], centre) - math.dist(end[:2], centre))
        need(off <= SLACK, 18, f"its ends are {off:.5f} mm apart in radius")
        from_, to = (math.atan2(y - centre[1], x - centre[0]) for x, y in (self.at[:2], end[:2]))
        turn = (to - from_ if self.mode == 3 else from_ - to) % (2 * math.pi)
        radius = math.hypot(i, j)
        need(min(radius, radius * turn) >= 0.1 - 1e-6, 26, f"an arc of {radius:.4f} mm radius and {radius * turn:.4f} mm length")


def check(text, kind, beam=False, scale=0.0):
    """Raises Refused with the line's number; returns whether corners are told of."""
    machine, number = Machine(kind, beam, scale), 0
    lines = text.split(b"\n")
    need(lines[-1] == b"", 4, "the last line has no end")
    for number, raw in enumerate(lines[:-1], 1):
        try:
            need(all(0x20 <= b <= 0x7E for b in raw), 4, "a byte that is no plain ASCII")
            line = raw.decode("ascii")
            need(kind != "small" or not re.search("[!~?]", line), 5, "a letter that acts")
            code, comment = split(line, kind)
            counted = len(code.replace(" ", "")) if kind == "small" else len(line)
            need(counted <= LONGEST[kind], {"pc": 1, "small": 2, "printer": 3}[kind], f"{counted} characters")
            need("%" not in code, 10, "%")
            need("/" not in code, 11, "/")
            need(not re.search(r"\b(jog|set (Z )?zero|zero again)\b", comment, re.I), 25, "asks to jog or set a zero")
            if code.strip():
                found = words(code.strip(), kind)
                codes(found, kind)
                machine.line(found)
        except Refused as fault:
            raise Refused(f"line {number}: {fault}: {raw!r}") from None
    need(machine.ended or kind == "printer", 12, "no end word")
    need(not machine.on, 24, "on at the end")
    return not machine.cut_before


def folders(kind, outs):
    programs, blended = 0, 0
    for out in map(Path, outs):
        report = json.loads((out / "report.json").read_text(encoding="utf-8"))
        for entry in report["files"]:
            if entry["kind"] == "gcode":
                scale = 255.0 if kind == "printer" else 1000.0
                try:
                    blended += check((out / entry["path"]).read_bytes(), kind, entry["process"] == "laser", scale)
                except Refused as fault:
                    sys.exit(f"controllers: {out / entry['path']}, for {kind}: {fault}")
                programs += 1
    if not programs:
        sys.exit(f"controllers: no programs in {outs}")
    print(f"controllers: {programs} programs hold the rules of {kind}; {programs - blended} say nothing of corners")


WHOLE = {
    "pc": "(so)\nG21\nG90\nG17\nG94\nM5\nG0 Z5\nS18000 M3\nG4 P3\nG0 X0 Y0\nG1 Z-1 F300\nG2 X10 Y0 I5 J0 F900\nG1 X20\nG0 Z5\nM5\nM2\n",
    "printer": "; so\nG21\nG90\nM5\nG0 Z5 F3000\nM3 S18000\nG4 S3\nG0 X0 Y0\nG1 Z-1 F300\nG1 X20 F900\nG0 Z5 F3000\nM5\n",
}
WHOLE["small"] = WHOLE["pc"]
BROKEN = [
    ("pc", "(so)", "(" + "a" * 260 + ")", 1), ("small", "G1 X20", "G1 X20." + "0" * 80, 2), ("printer", "; so", "; " + "a" * 100, 3),
    *[(k, "so", "s\u00f6", 4) for k in WHOLE], ("small", "(so)", "(so!)", 5), ("small", "(so)", "(so ?)", 5), ("small", "(so)", "(~so)", 5),
    ("pc", "(so)", "(so", 6), ("small", "(so)", "(s(o))", 6), ("printer", "; so", "(so)", 7),
    ("printer", "M3 S18000", "S18000 M3", 8), ("printer", "G0 X0 Y0", "G90 G0 X0 Y0", 8), ("printer", "G1 X20 F900", "X20 F900", 8),
    ("printer", "G90", "N10 G90", 9), ("small", "G90", "N10000001 G90", 9), *[(k, "G21", "%\nG21", 10) for k in WHOLE], *[(k, "G90", "/G90", 11) for k in WHOLE],
    ("pc", "M2\n", "", 12), ("small", "M2\n", "", 12), ("printer", "M5\n", "M5\nM30\n", 12), ("pc", "M2\n", "M2\nG0 X1\n", 12),
    *[("small", "G94", f"G94\n{w}", 13) for w in ("G64", "G61.1", "G90.1", "G43 H1", "G97", "G98", "T1 M6", "M7")], ("printer", "G90", "G90\nG94", 13),
    ("small", "G94", "G94\nT256", 15), ("small", "G2 X10 Y0 I5 J0", "G2 I5 J0", 16), *[(k, "G2 X10 Y0", "G2 X10.0025 Y0", 18) for k in ("pc", "small")],
    *[(k, "G2 X10 Y0 I5", "G2 X0 Y0 I5", 19) for k in ("pc", "small")], ("pc", "I5 J0", "I0 J0", 20), ("pc", "I5 J0", "R5", 20), ("small", "I5 J0", "I5 J0 R5", 20),
    *[(k, "G2 X10 Y0 I5", "G2 X0.19 Y0 I0.095", 26) for k in ("pc", "small")], ("pc", "G2 X10 Y0 I5 J0", "G3 X0.001 Y0.09 I-5 J0.045", 26),
    *[(k, "Z-1 F300", "Z-1", 21) for k in ("pc", "small")], ("pc", "G4 P3", "G4", 22), ("small", "G4 P3", "G4 S3", 22), ("printer", "G4 S3", "G4 P3", 22),
    ("pc", "X20", "X2e1", 23), ("small", "X20", "X2,0", 23), ("small", "X20", "X--20", 23), ("printer", "X20", "X.", 23),
    ("printer", "M3 S18000", "M3", 24), ("pc", "G0 Z5\nM5", "G0 Z5", 24), ("pc", "G0 Z5\nM5", "G0 Z5\nM5\n(set Z zero again, then start)\nM0", 25),
]
LIT = "G21\nG90\nM5\nG0 X0 Y0\nM3 S450\nG1 X9 F900\nM5\nM2\n"
LIT_BROKEN = [("M5\nM2", "G0 X0\nM5\nM2"), ("G1 X9", "G4 P1\nG1 X9"), ("S450", "S1450"), ("M3 S450", "S450\nM3")]


def corpus():
    missed = []
    for kind, text in WHOLE.items():
        check(text.encode(), kind)
    check(LIT.encode(), "small", True, 1000.0)
    cases = [(kind, WHOLE[kind], old, new, rule, False) for kind, old, new, rule in BROKEN] + [("small", LIT, old, new, 24, True) for old, new in LIT_BROKEN]
    for kind, whole, old, new, rule, beam in cases:
        if old not in whole:
            sys.exit(f"controllers: {old!r} is not in the program for {kind}")
        try:
            check(whole.replace(old, new, 1).encode("latin-1"), kind, beam, 1000.0)
        except Refused as fault:
            if f"rule {rule}:" not in str(fault):
                missed.append(f"{kind}, {new!r}: {fault}, and not rule {rule}")
            continue
        missed.append(f"{kind}, {new!r}: passes, and rule {rule} refuses it")
    if missed:
        sys.exit("controllers: " + "\n  ".join(missed))
    print(f"controllers: {len(cases)} broken programs are refused, each by its rule")


if __name__ == "__main__":
    if sys.argv[1:] == ["--corpus"]:
        corpus()
    elif len(sys.argv) > 2:
        folders(sys.argv[1], sys.argv[2:])
    else:
        sys.exit(__doc__)
