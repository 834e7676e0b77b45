// Parses every program of an output folder with the npm package gcode-parser
// and follows its words: the extents of all moves, arcs in full, have to be
// the header's, and Z and the length of the cut those of report.json.
//
// usage: node gcode_parser.mjs OUT...
// Run `npm ci` in this folder first.

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { createRequire } from 'node:module';

const { parseStringSync } = createRequire(import.meta.url)('gcode-parser');

const PRINTED = 6e-4; // mm: four decimals in the program, arc ends re-rounded, four in the header
const STEP = 1e-4; // mm: what rounding may take off or add to one move's length
const TURN = 2 * Math.PI;

const faults = [];
const check = (good, message) => { if (!good) faults.push(message); };

const hypot = (p, q) => Math.hypot(p.x - q.x, p.y - q.y);

// Angle that an arc turns through, in its own direction; equal ends are a whole turn (NISTIR 6556 3.5.3.2).
function sweep(from, to, center, counterclockwise) {
  const a = Math.atan2(from.y - center.y, from.x - center.x);
  const b = Math.atan2(to.y - center.y, to.x - center.x);
  const turned = counterclockwise ? b - a : a - b;
  const positive = ((turned % TURN) + TURN) % TURN;
  return positive < 1e-9 ? TURN : positive;
}

// The compass points of the circle that the arc runs through.
function extremes(from, center, angle, counterclockwise) {
  const start = Math.atan2(from.y - center.y, from.x - center.x);
  const r = hypot(from, center);
  return [[1, 0], [0, 1], [-1, 0], [0, -1]].flatMap(([cx, cy], i) => {
    const to = (i * TURN) / 4 - start;
    const along = (((counterclockwise ? to : -to) % TURN) + TURN) % TURN;
    return along <= angle ? [{ x: center.x + r * cx, y: center.y + r * cy }] : [];
  });
}

class Machine {
  at = { x: NaN, y: NaN, z: NaN };
  mode = NaN;
  low = { x: Infinity, y: Infinity, z: Infinity };
  high = { x: -Infinity, y: -Infinity, z: -Infinity };
  length = 0;
  moves = 0;
  ended = false;

  grow(point) {
    for (const axis of Object.keys(point)) {
      if (Number.isNaN(point[axis])) continue;
      this.low[axis] = Math.min(this.low[axis], point[axis]);
      this.high[axis] = Math.max(this.high[axis], point[axis]);
    }
  }

  line(words) {
    const value = {};
    for (const [letter, number] of words) {
      if (!Number.isFinite(number)) throw new Error(`${letter} has no number`);
      if (letter === 'G' && number <= 3) this.mode = number;
      if (letter === 'G' && (number === 20 || number === 91)) throw new Error(`G${number} is not ours`);
      if (letter === 'M' && number === 2) this.ended = true;
      value[letter] = number;
    }
    if ('X' in value || 'Y' in value || 'Z' in value) this.move(value);
  }

  move(value) {
    const from = this.at;
    const to = { x: value.X ?? from.x, y: value.Y ?? from.y, z: value.Z ?? from.z };
    this.at = to;
    this.moves++;
    this.grow(to);
    if (this.mode >= 2) return this.arc(from, to, value);
    if (this.mode === 1) this.length += Math.hypot(to.x - from.x, to.y - from.y, (to.z - from.z) || 0);
    if (!(this.mode >= 0)) throw new Error('a move without a mode');
  }

  arc(from, to, value) {
    const center = { x: from.x + (value.I ?? 0), y: from.y + (value.J ?? 0) };
    const radii = [hypot(from, center), hypot(to, center)];
    // NISTIR 6556 3.5.3.2: 0.002 mm
    if (!(Math.abs(radii[0] - radii[1]) <= 0.002)) throw new Error(`the arc's ends are ${radii} mm from its centre`);
    const left = this.mode === 3;
    const angle = sweep(from, to, center, left);
    this.length += Math.hypot(radii[0] * angle, (to.z - from.z) || 0);
    extremes(from, center, angle, left).forEach((point) => this.grow(point));
  }
}

// "X: 0 to 12.5 mm" and the other "key: value" comments before the first block.
function header(text) {
  const found = {};
  for (const line of text.split('\n')) {
    if (!line.startsWith('(')) break;
    const [, key, value] = line.match(/^\((.*?): (.*)\)$/) ?? [];
    if (key) found[key] ??= value;
  }
  return found;
}

function extents(value) {
  const [, low, high] = value.match(/^(-?[\d.]+) to (-?[\d.]+) mm$/) ?? [];
  return [Number(low), Number(high)];
}

function checkFile(entry, path) {
  const text = readFileSync(path, 'utf8');
  const machine = new Machine();
  for (const { line, words } of parseStringSync(text)) {
    try {
      machine.line(words);
    } catch (error) {
      check(false, `${path}: ${line}: ${error.message}`);
      return 0;
    }
  }
  check(machine.ended, `${path}: there is no M2`);
  check(machine.moves > 0, `${path}: there is no move`);
  const head = header(text);
  for (const axis of ['x', 'y', 'z']) {
    const said = extents(head[axis.toUpperCase()] ?? '');
    const seen = [machine.low[axis], machine.high[axis]];
    if (axis === 'z' && seen[0] === Infinity) continue; // a machine without Z
    check(said.every((v, i) => Math.abs(v - seen[i]) <= PRINTED),
      `${path}: ${axis.toUpperCase()} runs from ${seen}, the header says ${said}`);
  }
  checkReport(entry, path, machine, head);
  return machine.moves;
}

// In the report Z is the program's own: the foam's top, and the deepest cut.
function checkReport(entry, path, machine, head) {
  const top = head['z zero']?.startsWith('bed') ? parseFloat(head.thickness) : 0;
  check(Math.abs(top - entry.z_top_mm) <= PRINTED, `${path}: the foam's top is at Z ${top}, report.json says ${entry.z_top_mm}`);
  if (machine.low.z !== Infinity) {
    check(Math.abs(machine.low.z - entry.z_bottom_mm) <= PRINTED, `${path}: the deepest Z is ${machine.low.z}, report.json says ${entry.z_bottom_mm}`);
  }
  const slack = 0.001 + machine.moves * STEP;
  check(Math.abs(machine.length - entry.length_mm) <= slack, `${path}: cuts ${machine.length} mm, report.json says ${entry.length_mm} (within ${slack})`);
}

let programs = 0;
let moves = 0;
for (const out of process.argv.slice(2)) {
  const report = JSON.parse(readFileSync(join(out, 'report.json'), 'utf8'));
  for (const entry of report.files.filter((f) => f.kind === 'gcode')) {
    moves += checkFile(entry, join(out, entry.path));
    programs++;
  }
}
faults.slice(0, 40).forEach((message) => console.log('FAULT', message));
if (moves === 0) console.log('FAULT nothing was checked');
console.log(`gcode_parser: checked ${programs} programs, ${moves} moves: ${faults.length} faults`);
process.exit(faults.length > 0 || moves === 0 ? 1 : 0);
