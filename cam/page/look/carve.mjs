// The page's own virtual foam: how deep each cell of the dry run's lattice is cut, at its
// centre. A cell's centre is at x + (column + 0.5) cell, y + (row + 0.5) cell, mm, Y up.

import { placeOn, sweepOf } from "./follow.mjs";

const chordMM = 0.004; // how far a chord may stray from its arc

export class Foam {
  /** @param {Look.Field} field @param {number} thickMM */
  constructor(field, thickMM) {
    this.x = field.x;
    this.y = field.y;
    this.columns = field.columns;
    this.rows = field.rows;
    this.cell = field.cell_mm;
    this.thickMM = thickMM;
    this.depth = new Float32Array(this.columns * this.rows);
    /** @type {Look.Point | null} */
    this.touched = null; // rows from first to end-1, and columns, since last asked
  }

  // volume removed, mm3: what lies below the foam is none.
  volume() {
    let sum = 0;
    for (const d of this.depth) sum += Math.min(d, this.thickMM);
    return sum * this.cell * this.cell;
  }

  // cut takes away what a move takes away, up to a part of its way. blade: radii by depth;
  // beam: the depth behind it, null for a cutter; lean: of a beam.
  /** @param {Look.Move} move @param {number} part @param {Look.Blade[]} blade @param {number | null} beam @param {number} lean */
  cut(move, part, blade, beam, lean) {
    const level = beam !== null;
    if (level ? !(beam > 0) : !this.bites(move)) return;
    const n = move.centre ? chords(/** @type {Look.Arc} */ (move)) : 1;
    let a = placeOn(move, 0);
    for (let i = 1; i - 1 < part * n; i++) {
      const whole = placeOn(move, i / n);
      const b = i <= part * n ? whole : onWay(a, whole, part * n - i + 1); // on the chord, so that it takes no more than the whole move does
      const from = level ? beam : -a.z;
      const to = level ? beam : -b.z;
      if (level && lean > 0) this.flared(a, b, beam, blade[0].radius_mm, lean);
      else this.blades(a, b, from, to, blade);
      a = b;
    }
  }

  // bites reports whether a cutter takes foam on a move: not at rapid, nor standing still, nor
  // straight up out of its own hole.
  /** @param {Look.Move} m */
  bites(m) {
    const flat = m.centre !== null || m.x0 !== m.x1 || m.y0 !== m.y1;
    return m.on && !m.rapid && Math.min(m.z0, m.z1) < 0 && (flat || m.z1 <= m.z0);
  }

  // blades opens each foam of a block as wide as the tool cuts it, where what lies above is open.
  /** @param {Look.Place} a @param {Look.Place} b @param {number} from @param {number} to @param {Look.Blade[]} blade */
  blades(a, b, from, to, blade) {
    let top = -Infinity;
    for (const part of blade) {
      if (top >= Math.max(from, to)) return;
      this.capsule(a, b, from, to, part.radius_mm, top, part.to_mm);
      top = part.to_mm - 0.02;
    }
  }

  // capsule deepens what a disc passes over on a straight way, while its depth changes evenly;
  // only cells that are down to `above` already, and none below `most`.
  /** @param {Look.Place} a @param {Look.Place} b @param {number} from @param {number} to @param {number} r @param {number} above @param {number} most */
  capsule(a, b, from, to, r, above, most) {
    const way = new Way(a, b);
    this.eachRow(a, b, r, (row, y, first) => {
      const [left, right] = way.span(y, r);
      const c0 = Math.max(0, Math.ceil((left - this.x) / this.cell - 0.5));
      const c1 = Math.min(this.columns, Math.floor((right - this.x) / this.cell - 0.5) + 1);
      for (let c = c0; c < c1; c++) {
        const i = first + c;
        let d = from;
        if (from !== to) d = way.deepest(this.x + (c + 0.5) * this.cell, y, r, from, to);
        if (d > most) d = most;
        if (d > this.depth[i] && this.depth[i] >= above) this.depth[i] = d;
      }
    });
  }

  // flared is a beam that leans: all of its depth within its radius, less towards its rim.
  /** @param {Look.Place} a @param {Look.Place} b @param {number} depth @param {number} r @param {number} lean */
  flared(a, b, depth, r, lean) {
    const way = new Way(a, b);
    const flare = lean * this.thickMM;
    this.eachRow(a, b, r + flare, (row, y, first) => {
      const [left, right] = way.span(y, r + flare);
      const c0 = Math.max(0, Math.ceil((left - this.x) / this.cell - 0.5));
      const c1 = Math.min(this.columns, Math.floor((right - this.x) / this.cell - 0.5) + 1);
      for (let c = c0; c < c1; c++) {
        const beyond = way.distance(this.x + (c + 0.5) * this.cell, y) - r;
        const d = beyond <= 0 ? depth : Math.min(depth, (flare - beyond) / lean);
        if (d > this.depth[first + c]) this.depth[first + c] = d;
      }
    });
  }

  /** @param {Look.Place} a @param {Look.Place} b @param {number} r @param {(row: number, y: number, first: number) => void} f */
  eachRow(a, b, r, f) {
    const r0 = Math.max(0, Math.ceil((Math.min(a.y, b.y) - r - this.y) / this.cell - 0.5));
    const r1 = Math.min(this.rows, Math.floor((Math.max(a.y, b.y) + r - this.y) / this.cell - 0.5) + 1);
    for (let row = r0; row < r1; row++) f(row, this.y + (row + 0.5) * this.cell, row * this.columns);
    this.touch(r0, r1);
  }

  /** @param {number} r0 @param {number} r1 */
  touch(r0, r1) {
    if (r0 >= r1) return;
    const t = this.touched ?? [r0, r1];
    this.touched = [Math.min(t[0], r0), Math.max(t[1], r1)];
  }
}

// chords is how many straight ways stand for an arc.
/** @param {Look.Arc} m */
function chords(m) {
  const r = Math.hypot(m.x0 - m.centre[0], m.y0 - m.centre[1]);
  if (r <= chordMM) return 1;
  return Math.max(1, Math.ceil(Math.abs(sweepOf(m)) / (2 * Math.acos(1 - chordMM / r))));
}

// onWay is the place a part of the way from a to b.
/** @param {Look.Place} a @param {Look.Place} b @param {number} part @returns {Look.Place} */
function onWay(a, b, part) {
  return { x: a.x + part * (b.x - a.x), y: a.y + part * (b.y - a.y), z: a.z + part * (b.z - a.z) };
}

// Way is a straight way from a to b, seen from above.
class Way {
  /** @param {Look.Place} a @param {Look.Place} b */
  constructor(a, b) {
    this.a = a;
    this.b = b;
    this.length = Math.hypot(b.x - a.x, b.y - a.y);
    this.ux = this.length > 0 ? (b.x - a.x) / this.length : 1;
    this.uy = this.length > 0 ? (b.y - a.y) / this.length : 0;
  }

  // span is where the row at y is within r of the way: of a convex shape, so it is one.
  /** @param {number} y @param {number} r @returns {Look.Point} */
  span(y, r) {
    let [left, right] = [Infinity, -Infinity];
    for (const end of [this.a, this.b]) {
      const half = r * r - (y - end.y) ** 2;
      if (half < 0) continue;
      left = Math.min(left, end.x - Math.sqrt(half));
      right = Math.max(right, end.x + Math.sqrt(half));
    }
    if (this.length === 0) return [left, right];
    const dy = y - this.a.y;
    const beside = between(this.uy, dy * this.ux - r, dy * this.ux + r);
    const along = between(this.ux, -dy * this.uy, this.length - dy * this.uy);
    const low = Math.max(beside[0], along[0]);
    const high = Math.min(beside[1], along[1]);
    return low <= high ? [Math.min(left, this.a.x + low), Math.max(right, this.a.x + high)] : [left, right];
  }

  // deepest is the depth of the disc over a place while it covers it, at its deepest.
  /** @param {number} x @param {number} y @param {number} r @param {number} from @param {number} to */
  deepest(x, y, r, from, to) {
    if (this.length === 0) return Math.max(from, to);
    const qx = x - this.a.x;
    const qy = y - this.a.y;
    const middle = qx * this.ux + qy * this.uy;
    const off = qx * this.uy - qy * this.ux;
    const half = Math.sqrt(Math.max(0, r * r - off * off));
    const t0 = Math.max(0, (middle - half) / this.length);
    const t1 = Math.min(1, (middle + half) / this.length);
    return t0 > t1 ? 0 : Math.max(from + t0 * (to - from), from + t1 * (to - from));
  }

  /** @param {number} x @param {number} y */
  distance(x, y) {
    const t = Math.min(this.length, Math.max(0, (x - this.a.x) * this.ux + (y - this.a.y) * this.uy));
    return Math.hypot(x - this.a.x - t * this.ux, y - this.a.y - t * this.uy);
  }
}

// between is where low <= k x <= high.
/** @param {number} k @param {number} low @param {number} high @returns {Look.Point} */
function between(k, low, high) {
  if (Math.abs(k) < 1e-12) return low <= 0 && high >= 0 ? [-Infinity, Infinity] : [Infinity, -Infinity];
  return k > 0 ? [low / k, high / k] : [high / k, low / k];
}
