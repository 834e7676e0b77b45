// Areas: a region's path, of M, L, A and Z alone and with circles for arcs, as polygons, and
// the cells of a lattice in it.

const strayMM = 0.01;

// polygonsOf is the path's contours as lists of [x, y].
/** @param {string} path @returns {Look.Point[][]} */
export function polygonsOf(path) {
  /** @type {Look.Point[][]} */
  const list = [];
  /** @type {Look.Point[]} */
  let points = [];
  for (const [, letter, rest] of path.matchAll(/([MLAZ])([^MLAZ]*)/g)) {
    const n = rest.trim().split(/[\s,]+/).map(Number);
    if (letter === "M") list.push((points = [[n[0], n[1]]]));
    else if (letter === "L") points.push([n[0], n[1]]);
    else if (letter === "A") points.push(...arc(points[points.length - 1], n));
  }
  return list;
}

// arc is the points behind the first of a circle's arc: r, r, 0, large, turn, x, y.
/** @param {Look.Point} from @param {number[]} to @returns {Look.Point[]} */
function arc([x0, y0], [r0, , , large, turn, x1, y1]) {
  const chord = Math.hypot(x1 - x0, y1 - y0);
  if (chord === 0) return [];
  const r = Math.max(r0, chord / 2);
  const side = (large === turn ? -1 : 1) * Math.sqrt(Math.max(0, r * r - (chord * chord) / 4));
  const cx = (x0 + x1) / 2 - (side * (y1 - y0)) / chord;
  const cy = (y0 + y1) / 2 + (side * (x1 - x0)) / chord;
  const start = Math.atan2(y0 - cy, x0 - cx);
  let sweep = Math.atan2(y1 - cy, x1 - cx) - start;
  if (turn === 1 && sweep <= 0) sweep += 2 * Math.PI;
  if (turn === 0 && sweep >= 0) sweep -= 2 * Math.PI;
  const n = r > strayMM ? Math.max(1, Math.ceil(Math.abs(sweep) / (2 * Math.acos(1 - strayMM / r)))) : 1;
  /** @type {Look.Point[]} */
  const points = [];
  for (let i = 1; i < n; i++) points.push([cx + r * Math.cos(start + (i / n) * sweep), cy + r * Math.sin(start + (i / n) * sweep)]);
  points.push([x1, y1]);
  return points;
}

// eachRun calls visit(row, first, end) with the runs of cells whose centres lie in a path.
/** @param {Look.Lattice} field @param {string} path @param {(row: number, first: number, end: number) => void} visit */
export function eachRun(field, path, visit) {
  /** @type {Map<number, number[]>} */
  const rows = new Map();
  for (const points of polygonsOf(path)) {
    points.forEach((a, i) => crossings(field, a, points[(i + 1) % points.length], rows));
  }
  for (const [row, list] of rows) {
    list.sort((a, b) => a - b);
    for (let k = 0; k + 1 < list.length; k += 2) {
      const c0 = Math.max(0, Math.ceil((list[k] - field.x) / field.cell - 0.5));
      const c1 = Math.min(field.columns, Math.floor((list[k + 1] - field.x) / field.cell - 0.5) + 1);
      if (c0 < c1) visit(row, c0, c1);
    }
  }
}

// crossings files where an edge crosses the rows' middles.
/** @param {Look.Lattice} field @param {Look.Point} a @param {Look.Point} b @param {Map<number, number[]>} rows */
function crossings(field, [ax, ay], [bx, by], rows) {
  const [low, high] = ay < by ? [ay, by] : [by, ay];
  const r0 = Math.max(0, Math.ceil((low - field.y) / field.cell - 0.5));
  const r1 = Math.min(field.rows - 1, Math.ceil((high - field.y) / field.cell - 0.5) - 1);
  for (let row = r0; row <= r1; row++) {
    const y = field.y + (row + 0.5) * field.cell;
    if (!rows.has(row)) rows.set(row, []);
    rows.get(row)?.push(ax + ((y - ay) / (by - ay)) * (bx - ax));
  }
}
