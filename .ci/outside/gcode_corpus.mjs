// Reads a corpus of programs as other people's software writes them with the npm
// package gcode-parser, follows its words on a machine of its own and holds end
// points and extents against what the dry run's reader made of the same text.
//
// Left out, because that parser does not understand it: it hands on words and
// gives no meaning to any of them. That a leading / may skip a line (its words
// come without a sign of the /, so lines are compared as executed), that a second
// % ends a file (it reads on; here the lines behind it are dropped), and
// everything that is an error: it drops what it does not know in silence, so
// refused programs have nothing to be compared with.
//
// usage: TRAYWRIGHT_CORPUS_OUT=DIR go test -count=1 -run TestReaderCorpus ./cam/proof
//        node gcode_corpus.mjs DIR

import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { createRequire } from 'node:module';

const { parseStringSync } = createRequire(import.meta.url)('gcode-parser');

const SAME = 1e-6; // mm: both sides add up the same decimals in their own order
const AXES = ['X', 'Y', 'Z'];
const MOTION = new Set([0, 1, 2, 3]);

class Machine {
  at = [NaN, NaN, NaN];
  unit = 1;
  incremental = false;
  mode = 0;
  system = 1;
  frame = 0;
  low = [Infinity, Infinity, Infinity];
  high = [-Infinity, -Infinity, -Infinity];

  constructor(offsets) { this.offsets = offsets; }

  // The line's codes first, then its move: NISTIR 6556 Table 8.
  line(words) {
    const axis = {};
    let machine = false;
    for (const [letter, value] of words) {
      if (!Number.isFinite(value)) throw new Error(`${letter} has no number`);
      if (letter === 'G') machine = this.code(value) || machine;
      else if ('XYZIJR'.includes(letter)) axis[letter] = value;
    }
    if (!AXES.some((a) => a in axis)) return false;
    this.move(axis, machine);
    return true;
  }

  code(value) {
    if (MOTION.has(value)) this.mode = value;
    if (value === 20) this.unit = 25.4;
    if (value === 21) this.unit = 1;
    if (value === 90) this.incremental = false;
    if (value === 91) this.incremental = true;
    if (value >= 54 && value <= 59) this.system = value - 53;
    return value === 53;
  }

  // Where the words' zero lies for an axis, in the first work offset that was moved in.
  zero(i, machine) {
    if (machine) return -this.offsets[this.frame][i];
    if (this.incremental) return this.at[i];
    return this.frame === this.system ? 0 : this.offsets[this.system][i] - this.offsets[this.frame][i];
  }

  move(axis, machine) {
    this.frame ||= this.system;
    const from = this.at;
    const to = AXES.map((a, i) => (a in axis ? this.zero(i, machine) + axis[a] * this.unit : from[i]));
    this.at = to;
    this.grow(to);
    if (this.mode >= 2) this.arc(from, to, axis);
  }

  grow(p) {
    p.forEach((v, i) => {
      if (Number.isNaN(v)) return;
      this.low[i] = Math.min(this.low[i], v);
      this.high[i] = Math.max(this.high[i], v);
    });
  }

  arc(from, to, axis) {
    const left = this.mode === 3;
    const center = 'R' in axis ? byRadius(from, to, axis.R * this.unit, left)
      : [from[0] + (axis.I ?? 0) * this.unit, from[1] + (axis.J ?? 0) * this.unit];
    const radius = Math.hypot(from[0] - center[0], from[1] - center[1]);
    const angle = (p) => Math.atan2(p[1] - center[1], p[0] - center[0]);
    const forward = (a) => { const t = (left ? a - angle(from) : angle(from) - a) % (2 * Math.PI); return t < 0 ? t + 2 * Math.PI : t; };
    const whole = Math.hypot(to[0] - from[0], to[1] - from[1]) < 1e-9 ? 2 * Math.PI : forward(angle(to));
    [[1, 0], [0, 1], [-1, 0], [0, -1]].forEach(([x, y], quarter) => {
      if (forward(quarter * Math.PI / 2) <= whole) this.grow([center[0] + radius * x, center[1] + radius * y, NaN]);
    });
  }
}

// NISTIR 6556 3.5.3.1: R above 0 is the shorter arc, R below 0 the longer one.
function byRadius(from, to, r, left) {
  const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
  const chord = Math.hypot(dx, dy);
  const rise = Math.sqrt(Math.max(0, r * r - chord * chord / 4)) * (left === r > 0 ? 1 : -1);
  return [from[0] + dx / 2 - dy / chord * rise, from[1] + dy / 2 + dx / chord * rise];
}

// Lines that the parser was given and that a machine executes.
function executed(entry) {
  const lines = entry.text.split(/\r?\n/);
  const second = lines[0].trim() === '%' ? lines.indexOf('%', 1) : -1;
  return second > 0 ? lines.slice(0, second) : lines;
}

function follow(entry) {
  const machine = new Machine(entry.offsets);
  const ends = [];
  executed(entry).forEach((text, i) => {
    const parsed = parseStringSync(text + '\n');
    for (const { words } of parsed) if (machine.line(words)) ends.push({ line: i + 1, to: machine.at });
  });
  return { machine, ends };
}

const differ = (a, b) => a.some((v, i) => !(Math.abs(v - b[i]) <= SAME));

const faults = [];
const has = {};
let moves = 0;
let boxes = 0;
const corpus = JSON.parse(readFileSync(join(process.argv[2], 'corpus.json'), 'utf8'));
corpus.forEach((entry, n) => {
  for (const name of entry.has ?? []) has[name] = (has[name] ?? 0) + 1;
  const { machine, ends } = follow(entry);
  if (ends.length !== entry.ends.length) return faults.push(`program ${n}: ${ends.length} moves, the dry run's reader has ${entry.ends.length}\n${entry.text}`);
  moves += ends.length;
  const off = ends.findIndex((e, i) => e.line !== entry.ends[i].line || differ(e.to, entry.ends[i].to));
  if (off >= 0) faults.push(`program ${n}, line ${ends[off].line}: ends at ${ends[off].to}, the dry run's reader says line ${entry.ends[off].line}, ${entry.ends[off].to}`);
  if (!entry.low) return undefined;
  boxes++;
  if (differ(machine.low, entry.low) || differ(machine.high, entry.high)) {
    faults.push(`program ${n}: runs from ${machine.low} to ${machine.high}, the dry run says ${entry.low} to ${entry.high}`);
  }
  return undefined;
});
faults.slice(0, 20).forEach((message) => console.log('FAULT', message));
if (moves === 0) console.log('FAULT nothing was checked');
console.log('programs with', Object.entries(has).map(([name, count]) => `${name}: ${count}`).join(', '));
console.log(`gcode_corpus: checked ${corpus.length} programs, ${moves} end points, ${boxes} extents: ${faults.length} faults`);
process.exit(faults.length > 0 || moves === 0 ? 1 : 0);
