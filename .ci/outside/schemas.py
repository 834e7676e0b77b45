#!/usr/bin/python3
"""Holds the schemas that the program prints against files, by a validator that is not ours.

    schemas.py TRAYWRIGHT WORK [OUT...]

Every job, roster, rules, stock and profiles file of the repo is taken by its schema, and the
report of every folder OUT. Then 200 files are broken, drawn by a seed: each has to be refused
by the schema and by the program. What only the program can refuse is at the end of this file.
"""
import copy
import csv
import json
import os
import random
import re
import subprocess
import sys

import jsonschema
import yaml

program, work, outs = sys.argv[1], sys.argv[2], sys.argv[3:]
BROKEN = 200
faults = []


class Loader(yaml.SafeLoader):
    """A date stays text, as the program reads it."""


Loader.yaml_implicit_resolvers = {
    first: [(tag, regexp) for tag, regexp in resolvers if tag != "tag:yaml.org,2002:timestamp"]
    for first, resolvers in yaml.SafeLoader.yaml_implicit_resolvers.items()
}


def printed(*args):
    return subprocess.run([program, *args], capture_output=True, text=True, check=True).stdout


validators = {}
for kind in ["job", "roster", "profiles", "shop-rules", "arrangement", "report"]:
    schema = json.loads(printed("schema", kind))
    jsonschema.Draft202012Validator.check_schema(schema)
    validators[kind] = jsonschema.Draft202012Validator(schema)


def wrong(kind, document):
    return next(iter(validators[kind].iter_errors(document)), None)


def rows_of(path):
    with open(path, encoding="utf-8-sig") as file:
        lines = [line for line in file if line.strip() and not line.startswith("#")]
    for row in csv.DictReader(lines):
        yield {k: v for k, v in row.items() if v}


def hold(kind, path, document):
    if error := wrong(kind, document):
        faults.append(f"{path}: the schema of {kind} refuses it: {error.message} at {list(error.path)}")


taken = 0
examples = []
tracked = subprocess.run(["git", "ls-files", "*.yaml", "*.csv"], capture_output=True, text=True, check=True).stdout.split()
for path in tracked:
    if path.endswith(".csv"):
        for row in rows_of(path):
            hold("roster", path, row)
    elif path == "profiles/data/controllers/shipped.yaml":
        continue  # of the program's own, in no user's format
    else:
        with open(path, encoding="utf-8") as file:
            document = yaml.load(file, Loader)
        kind = "profiles" if path.startswith("profiles/data") else "shop-rules" if "shop-rules" in path else "job"
        hold(kind, path, document)
        examples.append((kind, path, document))
    taken += 1

os.makedirs(work, exist_ok=True)
tidewrack = "testdata/tidewrack"
for name in ["roster.csv", "shop-rules.yaml", "lantern.svg"]:
    with open(f"{tidewrack}/{name}", "rb") as file, open(f"{work}/{name}", "wb") as copy_:
        copy_.write(file.read())
with open(f"{work}/arrange.yaml", "wb") as file, open(f"{tidewrack}/arrange.yaml", "rb") as source:
    file.write(source.read())
subprocess.run([program, "arrange", f"{work}/arrange.yaml", "--quiet"], check=True)
with open(f"{work}/arrangement.yaml", encoding="utf-8") as file:
    arrangement = yaml.load(file, Loader)
hold("arrangement", "arrangement.yaml", arrangement)
taken += 1
os.remove(f"{work}/arrangement.yaml")

reports = []
for out in outs:
    with open(f"{out}/report.json", encoding="utf-8") as file:
        reports.append(json.load(file))
    hold("report", out, reports[-1])
    taken += 1


def places(value, found, parent=None, key=None):
    """Every value below the outermost: what holds it, and where in that."""
    if parent is not None:
        found.append((parent, key))
    if isinstance(value, dict):
        for k in value:
            places(value[k], found, value, k)
    elif isinstance(value, list):
        for i in range(len(value)):
            places(value[i], found, value, i)
    return found


def broken(rng, document):
    """A copy with one fault, and its name."""
    document = copy.deepcopy(document)
    parent, key = rng.choice(places(document, []))
    value = parent[key]
    kind = rng.choice(["unknown key", "another kind", "nested", "no number", "no word", "empty text"])
    if kind == "unknown key" and isinstance(value, dict):
        value["zz" + rng.choice("abc")] = 1
    elif kind == "another kind" and isinstance(value, (dict, list)) and value:
        parent[key] = "a text" if key in ("trays", "cases", "layers", "pockets", "labels", "foams", "machines", "recipes", "tools", "sheets", "permits", "forbids") else None
        if parent[key] is None:
            return None
    elif kind == "nested" and not isinstance(value, (dict, list)):
        parent[key] = [[value]]
    elif kind == "no number" and isinstance(value, (int, float)) and not isinstance(value, bool):
        parent[key] = rng.choice(["many", "1e3", "0x10", "12;5"])
    elif kind == "no word" and key in ("units", "relief", "cut", "align", "bridges", "process", "z_zero", "arcs", "helix", "answer", "mark"):
        parent[key] = "zzqq"
    elif kind == "empty text" and isinstance(value, str):
        parent[key] = ""
    else:
        return None
    return kind, document


def refused(kind, document):
    """Whether the program refuses it, and what it says."""
    if kind == "profiles":
        own = f"{work}/own"
        os.makedirs(own, exist_ok=True)
        with open(f"{own}/own.yaml", "w", encoding="utf-8") as file:
            yaml.safe_dump(document, file, allow_unicode=True, sort_keys=False)
        args = ["profiles", "--profiles", own]
    elif kind == "shop-rules":
        with open(f"{work}/broken-rules.yaml", "w", encoding="utf-8") as file:
            yaml.safe_dump(document, file, allow_unicode=True, sort_keys=False)
        args = ["check", f"{tidewrack}/job.yaml", "--shop-rules", f"{work}/broken-rules.yaml"]
    else:
        with open(f"{work}/broken.yaml", "w", encoding="utf-8") as file:
            yaml.safe_dump(document, file, allow_unicode=True, sort_keys=False)
        args = ["check", f"{work}/broken.yaml"]
    run = subprocess.run([program, *args, "--quiet"], capture_output=True, text=True)
    return run.returncode in (1, 2), run.stderr


rng = random.Random(22)
sources = [(k, p, d) for k, p, d in examples if not p.startswith(".ci/") and "start/" not in p] + [("arrangement", "arrangement.yaml", arrangement)]
# Only what the program takes as it stands: else its refusal would say nothing of the fault.
sources = [(k, p, d) for k, p, d in sources if not refused(k, d)[0]]
if {k for k, _, _ in sources} != {"job", "profiles", "shop-rules", "arrangement"}:
    faults.append(f"nothing is left to break of some kind: {[p for _, p, _ in sources]}")
counts = {}
tried = 0
while tried < BROKEN:
    kind, path, document = rng.choice(sources)
    if not (made := broken(rng, document)):
        continue
    name, document = made
    tried += 1
    counts[name] = counts.get(name, 0) + 1
    by_schema = wrong(kind, document) is not None
    by_program, said = refused(kind, document)
    if not (by_schema and by_program):
        with open(f"{work}/fault-{tried}.yaml", "w", encoding="utf-8") as file:
            yaml.safe_dump(document, file, allow_unicode=True, sort_keys=False)
        faults.append(f"{path}, {name}, {work}/fault-{tried}.yaml: schema {'refuses' if by_schema else 'takes'}, program {'refuses' if by_program else 'takes'} it {said[:200]}")

# Reports are written and not read, so that the schema alone speaks of them. Their texts may be any.
for _ in range(20 if reports else 0):
    while not (made := broken(rng, rng.choice(reports))) or made[0] in ("empty text", "no word"):
        pass
    if wrong("report", made[1]) is None:
        faults.append(f"a report with {made[0]} is taken by its schema")

# What the schemas cannot say and the program does: no tray without layers, keys that go together (grid and pitch, corner
# and size, one shape only), names that nobody knows, files that are not there, numbers in quotes beyond their limits, a
# length of more than 100 m or a fraction over 0 in a text, sums (a stack too high), two columns or ids alike.
for key, text in {
    "pitch without a grid": "trays: [{id: a, layers: [{foam: pe-30, thickness: 25}], size: [100, 100], pockets: [{at: [10, 10], round: 20, pitch: [1, 1]}]}]",
    "a fraction over 0": "trays: [{id: a, layers: [{foam: pe-30, thickness: 1/0 in}], size: [100, 100]}]",
    "an unknown foam": "trays: [{id: a, layers: [{foam: zzqq, thickness: 25}], size: [100, 100]}]",
}.items():
    document = yaml.load("machine: bench-router\n" + text, Loader)
    if wrong("job", document) is not None or not refused("job", document)[0]:
        faults.append(f"{key}: is said to be the program's alone to refuse")

if faults:
    sys.exit("\n".join(faults))
print(f"{taken} files are taken by their schemas; of {len(sources)} that the program takes, {tried} broken ones are refused by schema and program: " + ", ".join(f"{n} {k}" for k, n in sorted(counts.items())))
