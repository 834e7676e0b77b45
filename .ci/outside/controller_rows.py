"""Cuts a small job for controllers whose every key is drawn at once, under a router, a laser, a
drag knife or a hot wire: whatever a valid row says, the program passes its own dry run and is
held against what its class takes.

  controller_rows.py TRAYWRIGHT DIR [ROWS] [FIRST]

Row N is drawn from seed N, from 1 on, of what README's table lets each key say, and never by
what came of it before. DIR gets what is cut, in a folder N-CLASS. A row that is refused when it is read, or a
job that is refused for it, counts as a fault: keys that cannot stand together are not drawn.
"""
import json
import random
import subprocess
import sys
from pathlib import Path

from controllers import Refused, check

OPTIONAL = {"pc": ["G40", "G49", "G80", "M9"], "small": ["G40", "G49", "G80", "M9"], "printer": ["G17", "G54", "G80", "M9"]}
NEEDED = {"pc": ["G90", "G17", "G94", "G54", "M5"], "small": ["G90", "G17", "G94", "G54", "M5"], "printer": ["G90", "M5"]}
LONGEST = {"pc": 250, "small": 78, "printer": 95}
BLOW = {"pc": ["M7", "M8"], "small": ["M8"], "printer": ["M7", "M8"]}
# Every class with every process in every unit that it takes, in turn.
COMBINATIONS = [(kind, process, unit) for unit in ("mm", "in") for process in ("router", "laser", "knife", "wire") for kind in ("pc", "small", "printer")
                if (kind, unit) != ("printer", "in")]
MACHINES = {"router": "bench-router", "laser": "bench-laser", "knife": "bench-drag-knife", "wire": "bench-hotwire"}
# What each cuts through in whole layers; a wire has no engraving.
JOBS = {"laser": ("pe-30", "12.7"), "knife": ("pe-30", "6"), "wire": ("xps-32", "20")}
JOB = """units: mm
machine: mine
trays:
  - id: a
    size: [80, 60]
    layers: [{foam: pe-30, thickness: 12.7}]
    labels: [{text: "L", at: [8, 6], height: 14, font: strokes, make: mark}]
    pockets:
      - {at: [26, 15], round: 14, depth: through}
      - {at: [50, 18], size: [18, 20], corner: 4, depth: DEEP, tool: TOOL}
"""


def row(r, kind, process, unit):
    """A controller's keys as YAML has them, and the scale of its power."""
    laser, printer, inches = process == "laser", kind == "printer", unit == "in"
    scale = r.choice([100, 255, 1000, 4095.0, 10000, r.randint(200, 100000)])
    start = NEEDED[kind] + r.sample(OPTIONAL[kind], r.randint(0, len(OPTIONAL[kind])))
    if kind != "printer" and r.random() < 0.3:
        start.append("G61")
    r.shuffle(start)
    end = r.sample(["M5", "M9"], r.randint(0, 2)) + ([] if printer else [r.choice(["M2", "M30"])])
    keys = {
        "like": kind,
        "comments": r.choice(["semicolon", "none"] + ([] if printer else ["brackets"])),
        "longest_line": r.randint(70, LONGEST[kind]),
        "decimals": r.randint((5 if process == "knife" else 4) if inches else 3, 6),
        "extension": r.choice(["nc", "ngc", "gcode", "tap", "g", "cnc1"]),
        "units": unit,
        "arcs": r.choice(["centre", "chords"]),
        "chord_mm": round(r.uniform(0.001, 0.05), 4),
        "spindle_words": "ordered" if printer else r.choice(["joined", "ordered"]),
        "dwell_unit": r.choice(["s", "ms"]),
        "spin_up_s": round(r.uniform(3, 20), r.randint(0, 3)),
        "laser_on": r.choice(["M3", "M4"]),
        "power_scale": scale,
        "whole_power": r.choice(["true", "false"]),
        "least_power_percent": round(r.uniform(0, 3), 2),
        "tool_change": r.choice(["files", "none"] + ([] if printer else ["manual"]) + (["automatic"] if kind == "pc" else [])),
        "change_at": [round(r.uniform(-50, -25), 3), round(r.uniform(0, 80), 3), round(r.uniform(35, 45), 2)],
        "park_at": [round(r.uniform(0, 150), 3), round(r.uniform(0, 150), 3), round(r.uniform(10, 30), 2)],
        "start": start, "end": end,
        "air": [r.choice(BLOW[kind]), "M9"], "dust": [r.choice(BLOW[kind]), "M9"],
        "axes": r.sample(["X", "Y", "Z"], 3) + (["A"] if r.random() < 0.3 else []),
    }
    if kind == "pc" and r.random() < 0.7:
        keys["path_tolerance_mm"] = round(r.uniform(0.001, 0.05), 4)
    if not laser:
        del keys["power_scale"], keys["least_power_percent"], keys["laser_on"], keys["whole_power"], keys["air"]
    if process == "wire":
        del keys["park_at"]  # it would go there through the foam: refused
    if process != "router":
        del keys["dust"]  # a cutter's
        if keys["tool_change"] != "none":
            keys["tool_change"] = r.choice(["files", "none"])
    return keys, scale


def text(v):
    return "[" + ", ".join(map(text, v)) + "]" if isinstance(v, list) else f"{v:g}" if isinstance(v, float) else str(v)


def own_machine(traywright, process, keys):
    """The shipped machine under that controller, its two cutters reaching as far."""
    lines = subprocess.run([traywright, "profiles", "--yaml", MACHINES[process], "--as", "mine"],
                           check=True, capture_output=True, text=True).stdout.split("\n")
    for i, line in enumerate(lines):
        if line.startswith("    controller:"):
            lines[i] = "    controller: {" + ", ".join(f"{k}: {text(v)}" for k, v in keys.items()) + "}"
        elif line.startswith("        stickout_mm: {value: 55"):
            lines[i] = line.replace("55", "27", 1)
        elif line.startswith("        flute_mm: {value: 52"):
            lines[i] = line.replace("52", "22", 1)
    return "\n".join(lines)


def job_for(process, keys):
    """The small job as that process cuts it; with one tool where the controller changes none."""
    if process != "router":
        foam, thickness = JOBS[process]
        job = JOB.replace("DEEP, tool: TOOL", "through").replace("pe-30", foam).replace("12.7", thickness)
        return "".join(l for l in job.splitlines(True) if process != "wire" or "labels" not in l)
    if keys["tool_change"] == "none":
        return JOB.replace("DEEP", "6").replace("TOOL", "flat-3").replace("depth: through", "depth: through, tool: flat-3").replace("size: [80, 60]", "size: [80, 60]\n    tool: flat-3")
    return JOB.replace("DEEP", "6").replace("TOOL", "flat-6")


def cut(traywright, folder, number):
    """Row number's programs: how many there are."""
    r = random.Random(number)
    kind, process, unit = COMBINATIONS[(number - 1) % len(COMBINATIONS)]
    laser = process == "laser"
    out = folder / f"{number}-{kind}"
    keys, scale = row(r, kind, process, unit)
    (out / "own").mkdir(parents=True)
    (out / "own" / "mine.yaml").write_text(own_machine(traywright, process, keys))
    job = job_for(process, keys)
    (out / "job.yaml").write_text(job)
    (out / "rules.yaml").write_text('owner: nobody\npermits: [{foam: pe-30, process: laser, when: "lid closed"}]\n')
    command = [traywright, "cut", out / "job.yaml", "--profiles", out / "own", "--shop-rules", out / "rules.yaml", "--out", out / "out", "--quiet"]
    done = subprocess.run(command, capture_output=True, text=True)
    say = f"row {number}, a {process} with {keys}"
    if done.returncode:
        sys.exit(f"controller_rows: {say} is refused:\n{done.stderr}")
    report = json.loads((out / "out" / "report.json").read_text(encoding="utf-8"))
    programs = [f for f in report["files"] if f["kind"] == "gcode"]
    if not programs or not all(run["ok"] for run in report["dry_run"]) or len(report["dry_run"]) != len(programs):
        sys.exit(f"controller_rows: {say}: {len(programs)} programs, and not all have passed")
    for f in programs:
        if not f["path"].endswith("." + keys["extension"]):
            sys.exit(f"controller_rows: {say}: {f['path']}")
        try:
            check((out / "out" / f["path"]).read_bytes(), kind, laser, float(scale) if laser else 0.0)
        except Refused as fault:
            sys.exit(f"controller_rows: {say}: {f['path']}: {fault}")
    again = subprocess.run([traywright, "dryrun", *(out / "out" / f["path"] for f in programs), "--job", out / "job.yaml", "--profiles", out / "own",
                            "--shop-rules", out / "rules.yaml", "--quiet"], capture_output=True, text=True)
    if again.returncode:
        sys.exit(f"controller_rows: {say}: dryrun:\n{again.stderr}")
    return len(programs), f"{kind} {process} {unit}"


def main():
    traywright, folder = sys.argv[1], Path(sys.argv[2])
    rows, first = map(int, (sys.argv[3:] + ["20", "1"][len(sys.argv) - 3:])[:2])
    done = [cut(traywright, folder, n) for n in range(first, first + rows)]
    reached = sorted({what for _, what in done})
    print(f"controller_rows: {sum(n for n, _ in done)} programs of {rows} rows, all keys of each drawn at once, pass their dry run and hold the rules of their class: {', '.join(reached)}")


if __name__ == "__main__":
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    main()
