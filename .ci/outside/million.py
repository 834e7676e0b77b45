#!/usr/bin/python3
"""Gives the dry run programs as long as it takes them, for each process, and holds it to
its memory and its time: 500 MB and 20 s of CPU time on any machine of these years.

usage: million.py TRAYWRIGHT FOLDER
"""
import math
import os
import sys

LINES, MEGABYTES, SECONDS = 1_000_000, 500, 20
MODES = "G21 G90 G17 G94 G54\n"
CUTTER = (MODES + "G0 Z5\nS10000 M3\nG0 X0 Y0\nG1 Z-3 F300\n", "G0 Z5\nM5\nM2\n")
BEAM = (MODES + "G0 X0 Y0\nM3 S500\n", "M5\nM2\n")
MARKS = (MODES + "(op: marks)\nG0 X0 Y0\nM3 S500\n", "M5\nM2\n")
WIRE = (MODES + "G0 X-20 Y0\n", "G1 X-20\nM5\nM2\n")
BLADE = (MODES + "G0 Z12\nG0 X0 Y0 A0\nG1 Z3 F300\n", "G0 Z12\nM5\nM2\n")
DRAGGED = tuple(part.replace(" A0", "") for part in BLADE)


def relief(f, head, tail):
    """A raster over 200 x 200 mm, with a comment on every line."""
    f.write(head)
    for i in range(LINES - head.count("\n") - tail.count("\n")):
        row, column = divmod(i, 1000)
        x = 0.2 * (1000 - column if row % 2 else column)
        f.write(f"N{i % 100000:05d} G1 X{x:.4f} Y{0.2 * row:.4f} Z{math.sin(x / 7) * math.cos(row / 25) - 3:.4f} F1500 (relief row {row})\n")
    f.write(tail)


def rows(f, head, tail):
    """The same at one depth, with nothing but its words."""
    f.write(head)
    for i in range(LINES - head.count("\n") - tail.count("\n")):
        row, column = divmod(i, 1000)
        f.write(f"G1 X{0.2 * (1000 - column if row % 2 else column):.4f} Y{0.2 * row:.4f} F500\n")
    f.write(tail)


def arcs(f, head, tail):
    """Rows of half turns."""
    f.write(head + "G91\n")
    for i in range(LINES - head.count("\n") - tail.count("\n") - 2):
        sign = "-" if i // 500 % 2 else ""
        f.write(f"G{2 + i % 2} X{sign}0.6 Y{0.1 if i % 500 == 0 else 0} I{sign}0.3 J{0.05 if i % 500 == 0 else 0} F500\n")
    f.write("G90\n" + tail)


# The last number is the most that it may end with: 1 where no such machine should run it, which is as much work.
TRIALS = [
    (relief, CUTTER, ["--kerf", "3"], 0),
    (arcs, CUTTER, ["--kerf", "3"], 0),
    (rows, BEAM, ["--machine", "bench-laser", "--foam", "pe-30", "--thickness", "6mm"], 1),
    (rows, MARKS, ["--machine", "bench-laser"], 1),
    (rows, WIRE, ["--machine", "bench-hotwire", "--foam", "xps-32", "--thickness", "20mm", "--kerf", "1"], 1),
    (rows, BLADE, ["--machine", "bench-knife", "--foam", "pe-30", "--thickness", "6mm"], 1),
    (arcs, DRAGGED, ["--machine", "bench-drag-knife", "--foam", "pe-30", "--thickness", "6mm"], 1),
    (rows, DRAGGED, ["--machine", "bench-drag-knife", "--foam", "pe-30", "--thickness", "6mm"], 1),
]


def main():
    program, folder = sys.argv[1:3]
    path = os.path.join(folder, "million.nc")
    for write, ends, flags, status in TRIALS:
        with open(path, "w") as f:
            write(f, *ends)
        silent = [(os.POSIX_SPAWN_OPEN, 2, os.devnull, os.O_WRONLY, 0)] if status else []
        pid = os.posix_spawn(program, [program, "dryrun", path, *flags, "--quiet"], os.environ, file_actions=silent)
        _, ended, used = os.wait4(pid, 0)
        size, memory, time = os.path.getsize(path) / 1e6, used.ru_maxrss / 1000, used.ru_utime + used.ru_stime
        os.remove(path)
        on = flags[1] if status else "an unnamed router"
        print(f"{LINES} lines of {write.__name__} under {on}, {size:.0f} MB: {memory:.0f} MB of memory, {time:.1f} s of CPU time", flush=True)
        if os.waitstatus_to_exitcode(ended) > status or memory > MEGABYTES or time > SECONDS:
            sys.exit(f"million: ended with {os.waitstatus_to_exitcode(ended)}, or over {MEGABYTES} MB or {SECONDS} s")


if __name__ == "__main__":
    main()
