"""Draws jobs on stock by seed, cuts them for a router and a laser, and holds every setup's programs against
the trays by setups_shapely.py: parts, copies, registration holes, flips.

A job has one to four trays of one to three layers, some of them several times, whose holes lie in them or in
ears, and sheets and offcuts of all sizes. One that is refused has to say that a tray is too full, or that the
sheets are too small: at most half of them may be.

usage: setups_random.py TRAYWRIGHT SHOP_RULES DIR COUNT [FIRST SEED]
"""

import pathlib
import random
import subprocess
import sys

REFUSED = ("has no room for two registration holes", "lies on no sheet of")


def drawn(r):
    """A job's text."""
    lines = ["machine: bench-router", "trays:"]
    cases = []
    for i in range(r.randint(1, 4)):
        x, y, thick = r.randint(70, 220), r.randint(60, 170), r.randint(1, 3)
        layers = ", ".join(["{foam: pe-30, thickness: 1/2 in}"] * (thick - 1) + ["{foam: pe-45, thickness: 1/4 in}"])
        pockets = []
        if r.random() < 0.7:
            w, h = r.randint(20, x - 24), r.randint(20, y - 24)
            depth = "1/2 in" if thick > 1 else "1/4 in"
            pockets.append(f"{{at: [{r.randint(12, x - w - 12)}, {r.randint(12, y - h - 12)}], size: [{w}, {h}], corner: 4, depth: {depth}}}")
        way = r.choice(("dowels", "dowels", "ears", "none"))
        registered = "" if way == "none" else f"registration: {way}, dowel: {r.choice((5, 6, 8))} mm, "
        lines.append(f"  - {{id: t{i}, {registered}layers: [{layers}], pockets: [{', '.join(pockets)}]}}")
        high = 12.7 * (thick - 1) + 6.35
        cases.append(f"  - {{name: c{i}, inside: [{x}, {y}, {high:.2f}], ease: {r.randint(0, 1)}, corner: {r.choice((0, 6))}, copies: {r.randint(1, 3)}, stack: [t{i}]}}")
    lines += ["cases:", *cases, "stock:", f"  margin: {r.randint(0, 20)}", "  sheets:"]
    for foam in ("pe-30, thickness: 1/2 in", "pe-45, thickness: 1/4 in"):
        for n in range(r.randint(0, 2)):
            lines.append(f"    - {{name: rest {n}, foam: {foam}, size: [{r.randint(120, 500)}, {r.randint(120, 400)}], count: 1}}")
        lines.append(f"    - {{foam: {foam}, size: [1000, 500]{r.choice(('', ', price: 9'))}}}")
    return "\n".join(lines) + "\n"


def main():
    program, rules, work, count = sys.argv[1], sys.argv[2], pathlib.Path(sys.argv[3]), int(sys.argv[4])
    first = int(sys.argv[5]) if len(sys.argv) > 5 else 1
    work.mkdir(parents=True, exist_ok=True)
    outs, refused = [], 0
    for seed in range(first, first + count):
        job, out = work / f"{seed}.yaml", work / f"{seed}"
        job.write_text(drawn(random.Random(seed)))
        machine = ("bench-router", "bench-laser")[seed % 2]
        ran = subprocess.run([program, "cut", job, "--machine", machine, "--shop-rules", rules, "--finished", "--quiet", "--out", out], capture_output=True, text=True)
        errors = [line for line in ran.stderr.splitlines() if line.startswith("error: ")]
        if ran.returncode == 0:
            outs.append(out)
        elif ran.returncode == 1 and errors and all(any(why in e for why in REFUSED) for e in errors):
            refused += 1
        else:
            sys.exit(f"{job} for {machine}: exit {ran.returncode}\n{ran.stderr}")
    if refused * 2 > count:
        sys.exit(f"{refused} of {count} random jobs are refused")
    print(f"setups_random: {len(outs)} jobs cut, {refused} refused")
    sys.exit(subprocess.run([sys.executable, pathlib.Path(__file__).with_name("setups_shapely.py"), *outs]).returncode)


if __name__ == "__main__":
    main()
