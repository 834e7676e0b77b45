// A setup's programs played through, one after another: where the tool is at a second, and
// what the foam looks like then. All times are the dry run's.

import { follow, placeOn } from "./follow.mjs";
import { eachRun } from "./area.mjs";
import { Foam } from "./carve.mjs";

const keptStates = 10; // of the foam, to go back to

export class Player {
  // texts: the programs' text by path.
  /** @param {Look.Setup} setup @param {Record<string, string>} texts */
  constructor(setup, texts) {
    this.setup = setup;
    this.foam = new Foam(setup.field, setup.thick_mm);
    /** @type {Look.Played[]} */
    this.moves = [];
    /** @type {Map<number, Look.Band>} */
    this.falls = new Map(); // what a beam lets fall, by the number of moves made
    /** @type {number[]} */
    this.starts = []; // second at which each program begins
    this.seconds = 0;
    this.followed = true;
    for (const program of setup.programs) this.add(program, texts[program.path] ?? "");
    /** @type {Float32Array[]} */
    this.kept = [];
    this.each = Math.max(50, Math.ceil(this.moves.length / keptStates));
    this.next = 0; // move
    this.part = 0; // of it that is done
  }

  /** @param {Look.Program} program @param {string} text */
  add(program, text) {
    const about = { zTop: program.z_top_mm, zSign: program.z_sign, scale: program.scale };
    const moves = follow(text, about);
    if (moves.length !== program.ends.length) this.followed = false;
    const deep = program.deep.flatMap(([n, mm]) => Array(n).fill(mm));
    let end = 0;
    let band = 0;
    moves.forEach((m, i) => {
      end += program.ends[i] ?? 0;
      while (program.bands[band + 1]?.first <= i) band++;
      const blade = program.blades[program.bands[band]?.tool] ?? [{ to_mm: 1e6, radius_mm: 0.5 }];
      this.moves.push({ ...m, end: this.seconds + end / 100, blade, beam: program.beam ? deep[i] ?? 0 : null, lean: program.lean });
    });
    for (const b of program.bands) {
      if (b.falls) this.falls.set(this.moves.length - moves.length + this.endOf(program, b), b);
    }
    this.starts.push(this.seconds);
    this.seconds += program.seconds;
  }

  // endOf is the number of moves of a program that have been made when a band is done.
  /** @param {Look.Program} program @param {Look.Band} band */
  endOf(program, band) {
    return program.bands[program.bands.indexOf(band) + 1]?.first ?? program.ends.length;
  }

  // at finds the program and its operation at a second of the setup.
  /** @param {number} second */
  at(second) {
    let p = this.starts.length - 1;
    while (p > 0 && this.starts[p] > second) p--;
    const own = second - this.starts[p];
    const bands = this.setup.programs[p].bands;
    let band = bands.findIndex((b) => own < b.to);
    if (band < 0) band = bands.length - 1;
    return { program: p, second: own, band };
  }

  // seek brings the foam to a second, and says where the tool is.
  /** @param {number} second */
  seek(second) {
    const n = this.moveAt(second);
    const from = n > 0 ? this.moves[n - 1].end : 0;
    const m = this.moves[n];
    const part = m && m.end > from ? Math.min(1, Math.max(0, (second - from) / (m.end - from))) : 0;
    if (n < this.next || (n === this.next && part < this.part)) this.back(n);
    while (this.next < n) this.step();
    if (m && part > 0) this.foam.cut(m, part, m.blade, m.beam, m.lean);
    this.part = part;
    if (m) return placeOn(m, part);
    const last = this.moves[this.moves.length - 1];
    return last ? placeOn(last, 1) : null;
  }

  // moveAt is the first move that has not ended at a second.
  /** @param {number} second */
  moveAt(second) {
    let [low, high] = [0, this.moves.length];
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.moves[middle].end <= second) low = middle + 1;
      else high = middle;
    }
    return low;
  }

  step() {
    const m = this.moves[this.next];
    this.foam.cut(m, 1, m.blade, m.beam, m.lean);
    this.next++;
    this.part = 0;
    this.fall(this.falls.get(this.next));
    if (this.next % this.each === 0) this.kept[this.next / this.each] = this.foam.depth.slice();
  }

  // fall takes out what a band has cut free.
  /** @param {Look.Band | undefined} band */
  fall(band) {
    if (!band?.falls) return;
    const foam = this.foam;
    const deep = band.falls_mm ?? 0;
    eachRun(foam, band.falls, (row, c0, c1) => {
      for (let i = row * foam.columns + c0; i < row * foam.columns + c1; i++) foam.depth[i] = Math.max(foam.depth[i], deep);
      foam.touch(row, row + 1);
    });
  }

  // back puts the foam to the last kept state that is not later.
  /** @param {number} n */
  back(n) {
    const k = Math.floor(n / this.each);
    if (this.kept[k]) this.foam.depth.set(this.kept[k]);
    else this.foam.depth.fill(0);
    this.next = this.kept[k] ? k * this.each : 0;
    this.part = 0;
    this.foam.touch(0, this.foam.rows);
  }
}
