#!/usr/bin/python3
"""CPU seconds and memory of `check` or `cut`, of one pocket whose outline is a drawing of many points.

    go build -o /tmp/traywright ./cmd/traywright
    /usr/bin/python3 .ci/bench/drawings.py /tmp/traywright check 60000
    /usr/bin/python3 .ci/bench/drawings.py /tmp/traywright cut 20000 --only fan,spikes --machines router --rounds 1

Each family is drawn from a seed, for a router and a laser. Of the rounds the least time counts: what else runs only adds to it.
"""
import argparse
import math
import os
import random
import sys
import tempfile

MIDDLE = 120  # mm, of a tray of 240 x 240


def ring(polar):
    """A closed outline of (radius, angle)."""
    return [(r * math.cos(a), r * math.sin(a)) for r, a in polar]


def fan(n, draw):
    """Rays from a narrow middle, no two of one length."""
    return ring((draw.uniform(40, 100) if i % 2 else 10, math.tau * i / n) for i in range(n))


def spikes(lean):
    """Spikes of up to 12 mm whose tips lean by so many radians from the radius."""
    def outline(n, draw):
        points = []
        for i in range(n):
            a = math.tau * i / n
            x, y = 80 * math.cos(a), 80 * math.sin(a)
            if i % 2:
                high = draw.uniform(8, 12)
                x, y = x + high * math.cos(a + lean), y + high * math.sin(a + lean)
            points.append((x, y))
        return points
    return outline


def saw(n, draw):
    """A rectangle with a fine saw along its top."""
    step = 200 / (n - 2)
    return [(-100 + step * i, draw.uniform(60, 80) if i % 2 else 50) for i in range(n - 2)] + [(100, -80), (-100, -80)]


def spiral(n, draw):
    """A band 6 mm wide in eight turns, its edge a little rough."""
    half = n // 2
    def edge(out):
        return [(20 + 10 * 8 * i / half + out + draw.uniform(-0.05, 0.05), 8 * math.tau * i / half) for i in range(half)]
    return ring(edge(6) + edge(0)[::-1])


def star(n, draw):
    """A ring of points at random."""
    return ring((draw.uniform(30, 100), math.tau * i / n) for i in range(n))


def blob(n, draw):
    """A soft outline of short segments, rough by a hundredth."""
    waves = [(k, draw.uniform(0, 12 / k), draw.uniform(0, math.tau)) for k in range(2, 12)]
    return ring((70 + sum(w * math.cos(k * a + p) for k, w, p in waves) + draw.uniform(-0.01, 0.01), a) for a in (math.tau * i / n for i in range(n)))


def smooth(n, _):
    """A wave of few lobes, exactly drawn."""
    return ring((80 + 15 * math.cos(7 * a), a) for a in (math.tau * i / n for i in range(n)))


FAMILIES = {"fan": fan, "spikes": spikes(0), "spikes-0.5": spikes(0.5), "spikes-1.2": spikes(1.2), "saw": saw, "spiral": spiral, "star": star, "blob": blob, "smooth": smooth}


def write(folder, points, machine):
    """The job, its drawing and the owner's word for foam under a beam."""
    low = min(min(p) for p in points)
    with open(os.path.join(folder, "outline.svg"), "w") as f:
        size = 2 * MIDDLE
        path = "L".join(f"{x - low:.6f} {y - low:.6f}" for x, y in points)
        f.write(f'<svg xmlns="http://www.w3.org/2000/svg" width="{size}mm" height="{size}mm" viewBox="0 0 {size} {size}"><path d="M{path}Z"/></svg>\n')
    with open(os.path.join(folder, "rules.yaml"), "w") as f:
        f.write('owner: Quayside workshop\npermits:\n  - {foam: pe-30, process: laser, when: "extraction running"}\n  - {foam: pe-45, process: laser, when: "extraction running"}\n')
    left, bottom = (MIDDLE + min(p[k] for p in points) for k in (0, 1))
    with open(os.path.join(folder, "job.yaml"), "w") as f:
        f.write(f"""machine: bench-{machine}
shop_rules: rules.yaml
trays:
  - id: drawn
    size: [{2 * MIDDLE}, {2 * MIDDLE}]
    layers: [{{foam: pe-30, thickness: 1/2 in}}, {{foam: pe-45, thickness: 1/4 in}}]
    pockets: [{{outline: outline.svg, at: [{left:.6f}, {bottom:.6f}], depth: 1/2 in}}]
""")


def run(arguments):
    """CPU seconds, MB and the exit code of a program."""
    quiet = [(os.POSIX_SPAWN_OPEN, k, os.devnull, os.O_WRONLY, 0) for k in (1, 2)]
    _, status, used = os.wait4(os.posix_spawn(arguments[0], arguments, os.environ, file_actions=quiet), 0)
    return used.ru_utime, used.ru_stime, used.ru_maxrss / 1000, os.waitstatus_to_exitcode(status)


def main():
    of = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    of.add_argument("program")
    of.add_argument("verb", choices=["check", "cut"])
    of.add_argument("points", type=int, nargs="+")
    of.add_argument("--only", default=",".join(FAMILIES))
    of.add_argument("--machines", default="router,laser")
    of.add_argument("--rounds", type=int, default=3)
    of.add_argument("--seed", type=int, default=1)
    of.add_argument("--keep", help="a folder for the jobs, which are not measured then")
    given = of.parse_args()
    print(f"{'family':12}{'points':>7}  {'machine':8}{'user s':>8}{'system':>8}{'MB':>6}  exit")
    for name in given.only.split(","):
        for n in given.points:
            points = FAMILIES[name](n, random.Random(given.seed))
            for machine in given.machines.split(","):
                with tempfile.TemporaryDirectory() as folder:
                    if given.keep:
                        folder = os.path.join(given.keep, f"{name}-{n}-{machine}")
                        os.makedirs(folder, exist_ok=True)
                    write(folder, points, machine)
                    if given.keep:
                        continue
                    into = ["--out", os.path.join(folder, "out")] if given.verb == "cut" else []
                    rounds = [run([given.program, given.verb, os.path.join(folder, "job.yaml"), *into]) for _ in range(given.rounds)]
                    user, system, memory, code = min(rounds)
                    print(f"{name:12}{n:7}  {machine:8}{user:8.2f}{system:8.2f}{memory:6.0f}  {code}", flush=True)


if __name__ == "__main__":
    sys.exit(main())
