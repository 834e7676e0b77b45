#!/usr/bin/python3
"""Gives the dry run programs as long as it takes them, of lines and of arcs, and holds it
to its memory and its time: 500 MB and 20 s of CPU time on any machine of these years.

usage: million.py TRAYWRIGHT FOLDER
"""
import math
import os
import sys

LINES, MEGABYTES, SECONDS = 1_000_000, 500, 20


def relief(f):
    """A raster over 200 x 200 mm, with a comment on every line."""
    f.write("G21 G90 G17 G94 G54\nG0 Z5\nS10000 M3\nG0 X0 Y0\nG1 Z-3 F300\n")
    for i in range(LINES - 8):
        row, column = divmod(i, 1000)
        x = 0.2 * (1000 - column if row % 2 else column)
        f.write(f"N{i % 100000:05d} G1 X{x:.4f} Y{0.2 * row:.4f} Z{math.sin(x / 7) * math.cos(row / 25) - 3:.4f} F1500 (relief row {row})\n")
    f.write("G0 Z5\nM5\nM2\n")


def arcs(f):
    """Rows of half turns."""
    f.write("G21 G90 G17 G94 G54\nG0 Z5\nS10000 M3\nG0 X0 Y0\nG1 Z-3 F300\nG91\n")
    for i in range(LINES - 10):
        sign = "-" if i // 500 % 2 else ""
        f.write(f"G{2 + i % 2} X{sign}0.6 Y{0.1 if i % 500 == 0 else 0} I{sign}0.3 J{0.05 if i % 500 == 0 else 0} F1500\n")
    f.write("G90\nG0 Z5\nM5\nM2\n")


def main():
    program, folder = sys.argv[1:3]
    for write in (relief, arcs):
        path = os.path.join(folder, write.__name__ + ".nc")
        with open(path, "w") as f:
            write(f)
        pid = os.posix_spawn(program, [program, "dryrun", path, "--kerf", "3", "--quiet"], os.environ)
        _, status, used = os.wait4(pid, 0)
        size, memory, time = os.path.getsize(path) / 1e6, used.ru_maxrss / 1000, used.ru_utime + used.ru_stime
        os.remove(path)
        print(f"{LINES} lines of {write.__name__}, {size:.0f} MB: {memory:.0f} MB of memory, {time:.1f} s of CPU time")
        if os.waitstatus_to_exitcode(status) != 0 or memory > MEGABYTES or time > SECONDS:
            sys.exit(f"million: refused, or over {MEGABYTES} MB or {SECONDS} s")


if __name__ == "__main__":
    main()
