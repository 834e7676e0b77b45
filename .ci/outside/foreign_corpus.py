#!/usr/bin/python3
"""Writes programs as other people's post-processors write them, in words of our own, for
gcode_controller.py. The same seed writes the same programs.

usage: foreign_corpus.py DIR [COUNT [SEED]]
"""
import math
import os
import random
import sys

# What our reader does not follow, and a controller may: each ends a program here.
STRANGE = ["G41 D1", "G42 D1", "G38.2 Z-5 F90", "G10 L2 P1 X1", "#1=5", "G0 X[1+2]", "G73 X1 Y1 Z-1 R2 Q1 F90", "G85 X1 Y1 Z-1 R2 F90", "O7 call",
           "G57\nG0 X1", "G0 B5", "M101", "G5.1 X1 Y1 I1 J1", "G33 Z-1 K1", "G76 P1 Z-1 I-1 J.1 R1 K.5 Q29 H0 E0 L0", "G95"]


class Author:
    def __init__(self, seed):
        self.r = random.Random(seed)
        r = self.r
        self.inch, self.inc, self.at, self.lines = r.random() < 0.3, False, [0.0, 0.0, 0.0], []
        self.blank, self.lower, self.numbered = r.choice(["", " ", "  "]), r.random() < 0.15, r.random() < 0.4
        self.places, self.absolute_centres, self.motion, self.known = r.choice([3, 4]), False, None, [False] * 3
        self.blade, self.lost = r.random() < 0.15, True  # turned by A; which nobody has said, or a reference point has taken away

    def chance(self, share):
        return self.r.random() < share

    def say(self, *words, comment=""):
        words = [w for w in words if w]
        if len(words) > 2 and self.chance(0.1):
            self.r.shuffle(words)
        text = self.blank.join(words)
        if self.lower:
            text = text.lower()
        if comment:
            text += f" ({comment})"
        if self.numbered and not text.startswith(("%", "(", "O")):
            text = f"N{10 * len(self.lines) % 100000}{' ' if self.chance(0.8) else ''}{text}"
        self.lines.append(text)

    def number(self, mm):
        """Text of a length, and what it says in mm."""
        value = mm / 25.4 if self.inch else mm
        text = f"{value:.{self.places + (1 if self.inch else 0)}f}"
        if self.chance(0.5):
            text = text.rstrip("0")
        if self.chance(0.2):
            text = text.replace("0.", ".", 1) if text.startswith(("0.", "-0.")) and len(text.lstrip("-")) > 2 else text
        return text, float(text) * (25.4 if self.inch else 1)

    def word(self, axis, to):
        text, value = self.number(to - self.at[axis] if self.inc else to)
        self.at[axis] = self.at[axis] + value if self.inc else value
        self.known[axis] = True
        return "XYZ"[axis] + text

    def code(self, name):
        if self.motion == name and self.chance(0.5):
            return ""
        self.motion = name
        return name.replace("G", "G0") if len(name) == 2 and self.chance(0.3) else name

    def feed(self, mm=None):
        return "F" + self.number(mm or self.r.uniform(200, 1500))[0] if self.chance(0.3) or mm else ""

    def a(self):
        """An A word, where a blade is turned."""
        if not self.blade or self.inc and self.lost or self.chance(0.3):
            return ""
        self.lost = self.lost and self.inc
        return f"A{self.r.uniform(-200, 200):.{self.places}f}"

    def swing(self):
        """The blade turned in one place."""
        if word := self.a():
            self.say(self.code(self.r.choice(["G0", "G1"])) or self.motion, word)

    def place(self):
        return self.r.uniform(0, 90), self.r.uniform(0, 60)

    def rapid(self):
        x, y = self.place()
        code = self.code("G0")
        self.say(code, self.word(0, x), self.word(1, y), self.a())

    def line(self):
        x, y = self.place()
        code = self.code("G1")
        words = [self.word(0, x)] if self.chance(0.7) else []
        if not words or self.chance(0.6):
            words.append(self.word(1, y))
        if self.chance(0.2):
            words.append(self.word(2, self.r.uniform(-8, 0)))
        self.say(code, *words, self.a(), self.feed())

    def arc(self):
        turn, clockwise = self.r.uniform(0.2, 6), self.chance(0.5)
        i, j = self.r.uniform(3, 15), self.r.uniform(-9, 9)
        start = self.at[:]
        (itext, i), (jtext, j) = self.number(i), self.number(j)
        if self.absolute_centres:
            itext, ivalue = self.number(start[0] + i)
            jtext, jvalue = self.number(start[1] + j)
            i, j = ivalue - start[0], jvalue - start[1]
        code = self.code("G2" if clockwise else "G3")
        if self.chance(0.15):  # a whole circle, which here names neither X nor Y
            height = [self.word(2, self.r.uniform(-8, 0))] if self.chance(0.5) else []
            self.say(code or self.motion, *height, "I" + itext, "J" + jtext, self.feed())
            return
        turn = -turn if clockwise else turn
        cos, sin = math.cos(turn), math.sin(turn)
        x = self.word(0, start[0] + i - cos * i + sin * j)
        y = self.word(1, start[1] + j - sin * i - cos * j)
        height = [self.word(2, self.r.uniform(-8, 0))] if self.chance(0.2) else []
        if abs(turn) < 2.6 and self.chance(0.3):
            # the chord's ends were rounded: half of it, or more, is what R has to be
            self.say(code, x, y, *height, "R" + self.number(max(math.hypot(i, j), math.dist(start[:2], self.at[:2]) / 2 + 0.01))[0], self.feed())
            return
        self.say(code, x, y, *height, "I" + itext, "J" + jtext, self.a(), self.feed())

    def upright(self):
        """A quarter of a circle in ZX or YZ, and back to G17."""
        self.motion = None
        flat, plane, word = self.r.choice([(0, "G18", "I"), (1, "G19", "J")])
        radius = self.number(self.r.uniform(1, 6))[1]
        code, sign = self.r.choice(["G2", "G3"]), self.r.choice([1, -1])
        # from the top or the side of the circle, whatever way leads there
        self.say(plane)
        ends = {flat: self.at[flat] + sign * radius, 2: self.at[2] - radius}
        words = [self.word(axis, to) for axis, to in ends.items()]
        if self.chance(0.5):
            self.say(code, *words, "R" + self.number(radius * 1.2)[0], self.feed(500))
        else:
            self.say(code, *words, word + "0", "K" + self.number(-radius)[0], self.feed(500))
        self.say("G17")

    def holes(self):
        """A row of holes."""
        if self.inc and self.chance(0.7):
            self.distance(False)
        code, r = self.r.choice(["G81", "G82", "G83"]), self.r
        self.say(self.code("G0") or "G0", self.word(2, r.uniform(1, 20)))
        base = self.at[2]
        if self.inc:
            level, bottom = self.number(-r.uniform(0, 3))[0], self.number(-r.uniform(2, 12))[0]
        else:
            level, bottom = self.number(r.uniform(0.2, 4))[0], self.number(-r.uniform(1, 12))[0]
        words = [self.r.choice(["G98", "G99", "G98"]), code]
        for n in range(r.randint(1, 5)):
            x, y = self.place()
            places, repeats = [self.word(0, x)] if self.chance(0.8) else [], ""
            if not places or self.chance(0.7):
                places.append(self.word(1, y))
            if self.chance(0.2):
                repeats = "L" + str(r.randint(1, 3))
                for w in places if self.inc else []:
                    self.at["XY".index(w[0])] += (int(repeats[1:]) - 1) * float(w[1:]) * (25.4 if self.inch else 1)
            extra = ["Z" + bottom, "R" + level] if n == 0 else []
            if n == 0 and code == "G82":
                extra.append(f"P{r.choice(['0.5', '1', '.25'])}")
            if n == 0 and code == "G83":
                extra.append("Q" + self.number(r.uniform(0.8, 3))[0])
            if n and self.chance(0.15) and not self.inc:
                extra.append("Z" + self.number(-r.uniform(1, 12))[0])
            if n and self.chance(0.15):
                words = [r.choice(["G98", "G99"])]
            self.say(*words, *places, *extra, repeats, self.feed(300) if n == 0 else "")
            words = [code] if self.chance(0.3) else []
        self.motion = None
        self.say("G80")
        if self.inc:
            self.distance(False)
        self.say("G0", self.word(2, max(base, 5) + 5))
        self.motion = "G0"

    def distance(self, inc):
        self.inc = inc
        self.say("G91" if inc else "G90")

    def lift(self):
        """To a reference point and back, as it is usual."""
        way = self.r.randrange(4 if self.blade else 3)
        if way == 0:
            self.say("G28" if self.chance(0.7) else "G30", "G91", "Z0", comment="lift" if self.chance(0.3) else "")
            self.inc = True
            self.distance(False)
        elif way == 1:
            self.say("G91")
            self.say("G28", "Z0.")
            self.say("G28", "X0.", "Y0.")
            self.say("G90")
        elif way == 3:
            self.say("G28")
            self.lost = True
        else:
            self.say("G53", "G0", "Z" + self.number(self.r.uniform(0, 30))[0])
        self.inc, self.motion = False, None

    def tool(self, n):
        if self.chance(0.5):
            self.lift()
        self.say("M5", "M9" if self.chance(0.5) else "")
        self.say(*(["T%d" % n, "M6"] if self.chance(0.7) else ["M6", "T%d" % n]), comment="next tool" if self.chance(0.3) else "")
        self.say("S%d" % self.r.randrange(6000, 24000, 500), self.r.choice(["M3", "M3", "M4"]))
        if self.chance(0.5):
            self.say("G4", "P" + self.r.choice(["2", "1.5", ".5"]))
        if self.chance(0.3):
            self.say(self.r.choice(["M7", "M8"]))
        if self.inc:
            self.distance(False)
        self.rapid()
        if self.with_lengths:
            self.say("G43", self.code("G0") or "G0", self.word(2, 15), "H%d" % n)
        else:
            self.say(self.code("G0") or "G0", self.word(2, 15))
        self.say("G1", self.word(2, -1), self.feed(400))
        self.motion = "G1"

    def opening(self):
        r = self.r
        if self.chance(0.4):
            self.lines.append("%")
            self.percent = True
        if self.chance(0.4):
            self.lines.append(f"O{r.randrange(1, 9999):04d}" + (" (a tray)" if self.chance(0.5) else ""))
        for n in range(1, self.tools + 1):
            if self.chance(0.6):
                self.lines.append(f"(T{n} D{r.choice([3, 3.175, 6])} flat)")
        safe = ["G90", "G94", "G17", "G20" if self.inch else "G21"] + r.sample(["G40", "G49", "G80", "G64 P0.05", "G61"], r.randrange(0, 4))
        if "G61" in safe and "G64 P0.05" in safe:
            safe.remove("G61")
        if self.chance(0.5):
            for w in safe:
                self.say(*w.split())
        else:
            self.say(*[w for w in safe if " " not in w])
        if self.chance(0.3):
            self.say("G91.1")
        if self.chance(0.7):
            self.say(r.choice(["G54", "G54", "G55", "G58"]))
        if self.chance(0.3):
            self.say(r.choice(["M48", "M49", "M50", "M51"]))

    def program(self):
        r = self.r
        self.percent, self.tools, self.with_lengths = False, r.randint(1, 3), self.chance(0.5)
        self.opening()
        for n in range(1, self.tools + 1):
            self.tool(n)
            for _ in range(r.randint(2, 20)):
                self.step()
            if self.inc:
                self.distance(False)
            self.say("G0", self.word(2, 20))
            self.motion = "G0"
        if self.chance(0.17):
            self.lines += r.choice(STRANGE).format(x=self.at[0] / (25.4 if self.inch else 1), z=self.at[2] / (25.4 if self.inch else 1)).split("\n") + ["G0 X1 Y1"]
        self.closing()
        end = r.choice(["\n", "\r\n"])
        return end.join(self.lines) + end

    def step(self):
        n = self.r.random()
        if n < 0.35:
            self.line()
        elif n < 0.6:
            self.arc()
        elif n < 0.66:
            self.rapid()
            self.swing()
        elif n < 0.68 and not self.absolute_centres:
            self.upright()
        elif n < 0.78:
            self.holes()
        elif n < 0.83:
            self.distance(not self.inc)
        elif n < 0.86:
            self.absolute_centres = not self.absolute_centres
            self.say("G90.1" if self.absolute_centres else "G91.1")
        elif n < 0.9:
            self.say("G4", "P" + self.r.choice(["0", "1", "0.25"]))
        elif n < 0.95:
            self.say(self.r.choice(["M7", "M8", "M9", "M0", "M1", "S9000", "M49", "M48", "G61", "G64", "G17", "G94 F700"]))
        else:
            self.lines.append("(" + self.r.choice(["pocket 2", "G0 X5, to be sure", "turn the sheet"]) + ")")

    def closing(self):
        self.say("M5")
        if self.chance(0.5):
            self.say("M9")
        if self.chance(0.3):
            self.lift()
        if self.with_lengths and self.chance(0.4):
            self.say("G49")
        if self.chance(0.2):
            self.say("G28")
        self.say(self.r.choice(["M2", "M30"]))
        if self.percent:
            self.lines.append("%")


def main():
    folder, count, seed = sys.argv[1], int((sys.argv[2:3] or ["400"])[0]), int((sys.argv[3:4] or ["1"])[0])
    os.makedirs(folder, exist_ok=True)
    for n in range(count):
        with open(os.path.join(folder, f"foreign-{n:05d}.nc"), "w", newline="") as f:
            f.write(Author(seed * 1_000_003 + n).program())


if __name__ == "__main__":
    main()
