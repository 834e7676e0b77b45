// Where a pocket may lie: the moves that the program allows, as polygons of [x, y], and the
// grid of its unit. Nothing of walls or edges is worked out here.

const roundingMM = 5e-6; // what the arithmetic takes off a limit

// mayMove tells whether a move is allowed.
/** @param {Look.Room} room @param {Look.Point} move */
export function mayMove(room, move) {
  return within(room.allowed, move) || nearestLimit(room.allowed, move).far <= roundingMM;
}

// settle is the allowed move that puts a pocket onto its grid nearest to where a hand holds it,
// so that it slides along the limits; null where there is none near.
/** @param {Look.Room} room @param {Look.Point} wanted @returns {Look.Point | null} */
export function settle(room, wanted) {
  /** @param {0 | 1} axis @param {number} move */
  const at = (axis, move) => Math.round((room.at[axis] + move) / room.steps[axis]) * room.steps[axis] - room.at[axis];
  /** @param {0 | 1} axis @param {number} move */
  const snap = (axis, move) => (Math.abs(move) < room.steps[axis] / 2 ? 0 : at(axis, move));
  /** @type {Look.Point} */
  const direct = [snap(0, wanted[0]), snap(1, wanted[1])];
  if (mayMove(room, direct)) return direct;
  const near = within(room.allowed, wanted) ? wanted : nearestLimit(room.allowed, wanted).point;
  if (!near) return null;
  /** @type {{move: Look.Point, far: number} | null} */
  let best = null;
  for (let i = -3; i <= 3; i++) {
    for (let j = -3; j <= 3; j++) {
      /** @type {Look.Point} */
      const move = [at(0, near[0]) + i * room.steps[0], at(1, near[1]) + j * room.steps[1]];
      const far = Math.hypot(move[0] - wanted[0], move[1] - wanted[1]);
      if ((!best || far < best.far) && mayMove(room, move)) best = { move, far };
    }
  }
  return best?.move ?? null;
}

/** @param {Look.Point[][]} polygons @param {Look.Point} move */
function within(polygons, [x, y]) {
  let odd = false;
  for (const points of polygons) {
    points.forEach(([ax, ay], i) => {
      const [bx, by] = points[(i + 1) % points.length];
      if (ay > y !== by > y && x < ax + ((y - ay) / (by - ay)) * (bx - ax)) odd = !odd;
    });
  }
  return odd;
}

/** @param {Look.Point[][]} polygons @param {Look.Point} move */
function nearestLimit(polygons, [x, y]) {
  /** @type {{far: number, point: Look.Point | null}} */
  let best = { far: Infinity, point: null };
  for (const points of polygons) {
    points.forEach(([ax, ay], i) => {
      const [bx, by] = points[(i + 1) % points.length];
      const [ux, uy] = [bx - ax, by - ay];
      const long = ux * ux + uy * uy;
      const t = long > 0 ? Math.min(1, Math.max(0, ((x - ax) * ux + (y - ay) * uy) / long)) : 0;
      /** @type {Look.Point} */
      const point = [ax + t * ux, ay + t * uy];
      const far = Math.hypot(point[0] - x, point[1] - y);
      if (far < best.far) best = { far, point };
    });
  }
  return best;
}
