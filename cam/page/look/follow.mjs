// Follows a program: G-code text in, moves out. It knows the words that our programs are
// written with and keeps to what RS-274/NGC says of them; how long a move takes is not its
// business. Heights are from the foam's top, mm, positive up.

const axes = /** @type {const} */ (["X", "Y", "Z"]);
const word = /([A-Z])\s*([+-]?(?:\d+\.?\d*|\.\d+))/g;

// wordsOf is a line without its comments, as a list of [letter, number].
/** @param {string} line @returns {[string, number][]} */
function wordsOf(line) {
  const bare = line.replace(/\([^)]*\)/g, " ").replace(/;.*$/, "").toUpperCase();
  return Array.from(bare.matchAll(word), (m) => /** @type {[string, number]} */ ([m[1], Number(m[2])]));
}

// follow reads a program. about: zTop, the Z of the foam's top in the program; zSign, -1 where
// Z counts down into the foam; scale, true mm for each mm of the program's X and Y.
/** @param {string} text @param {Look.About} about */
export function follow(text, about) {
  /** @type {Look.Said} */
  const s = { mode: 0, inch: 1, absolute: true, spin: false, power: 0, at: { X: null, Y: null, Z: null } };
  /** @type {Look.Move[]} */
  const moves = [];
  text.split(/\r?\n/).forEach((line, i) => {
    const words = wordsOf(line);
    if (words.length === 0) return;
    const move = block(s, words);
    if (move) moves.push(placed(move, i + 1, about));
  });
  return moves;
}

// block carries out one line; it is a move where the line has one.
/** @param {Look.Said} s @param {[string, number][]} words */
function block(s, words) {
  /** @type {Record<string, number>} */
  const value = {};
  let still = false;
  let end = false;
  for (const [letter, number] of words) {
    if (letter === "G") still = modal(s, number) || still;
    else if (letter === "M") end = machine(s, number) || end;
    else value[letter] = number;
  }
  if ("S" in value && !still) s.power = value.S;
  if (end) s.spin = false;
  if (still || !("X" in value || "Y" in value || "Z" in value || "I" in value || "J" in value)) return null;
  return motion(s, value);
}

// modal takes a G word; true where the line's numbers are no place to go to.
/** @param {Look.Said} s @param {number} code */
function modal(s, code) {
  if (code === 0 || code === 1 || code === 2 || code === 3) s.mode = code;
  else if (code === 20) s.inch = 25.4;
  else if (code === 21) s.inch = 1;
  else if (code === 90) s.absolute = true;
  else if (code === 91) s.absolute = false;
  return code === 4 || code === 10 || code === 64 || code === 92;
}

// machine takes an M word; true where the spindle or the beam stops.
/** @param {Look.Said} s @param {number} code */
function machine(s, code) {
  if (code === 3 || code === 4) s.spin = true;
  return code === 5 || code === 2 || code === 30;
}

/** @param {Look.Said} s @param {Record<string, number>} value @returns {Look.Motion} */
function motion(s, value) {
  const from = { ...s.at };
  for (const axis of axes) {
    if (!(axis in value)) continue;
    s.at[axis] = value[axis] * s.inch + (s.absolute ? 0 : s.at[axis] ?? 0);
  }
  const arc = s.mode > 1;
  /** @type {Look.Point | null} */
  const centre = arc ? [(from.X ?? 0) + (value.I ?? 0) * s.inch, (from.Y ?? 0) + (value.J ?? 0) * s.inch] : null;
  return { from, to: { ...s.at }, rapid: s.mode === 0, ccw: s.mode === 3, centre, on: s.spin && s.power > 0 };
}

// placed is a move in the foam's frame. An axis whose place the program has not said yet
// starts where it ends; a height that it has not said is above the foam.
/** @param {Look.Motion} m @param {number} line @param {Look.About} about @returns {Look.Move} */
function placed(m, line, about) {
  const [sx, sy] = about.scale;
  /** @param {number | null} z */
  const height = (z) => (z === null ? 5 : (z - about.zTop) * about.zSign);
  return {
    line, rapid: m.rapid, on: m.on, ccw: m.ccw,
    x0: (m.from.X ?? m.to.X ?? 0) * sx, y0: (m.from.Y ?? m.to.Y ?? 0) * sy, z0: height(m.from.Z ?? m.to.Z),
    x1: (m.to.X ?? 0) * sx, y1: (m.to.Y ?? 0) * sy, z1: height(m.to.Z),
    centre: m.centre && [m.centre[0] * sx, m.centre[1] * sy],
  };
}

// sweepOf is an arc's signed angle, counter-clockwise positive; a whole turn where it ends
// where it starts.
/** @param {Look.Arc} m */
export function sweepOf(m) {
  const ax = m.x0 - m.centre[0];
  const ay = m.y0 - m.centre[1];
  const bx = m.x1 - m.centre[0];
  const by = m.y1 - m.centre[1];
  let angle = Math.hypot(m.x1 - m.x0, m.y1 - m.y0) < 1e-9 ? 0 : Math.atan2(ax * by - ay * bx, ax * bx + ay * by);
  if (m.ccw && angle <= 0) angle += 2 * Math.PI;
  if (!m.ccw && angle >= 0) angle -= 2 * Math.PI;
  return angle;
}

// placeOn is where the tool is, a part (0 to 1) of the way along a move.
/** @param {Look.Move} m @param {number} part @returns {Look.Place} */
export function placeOn(m, part) {
  const z = m.z0 + part * (m.z1 - m.z0);
  if (!m.centre) return { x: m.x0 + part * (m.x1 - m.x0), y: m.y0 + part * (m.y1 - m.y0), z };
  const start = Math.atan2(m.y0 - m.centre[1], m.x0 - m.centre[0]) + part * sweepOf(/** @type {Look.Arc} */ (m));
  const r = Math.hypot(m.x0 - m.centre[0], m.y0 - m.centre[1]);
  return { x: m.centre[0] + r * Math.cos(start), y: m.centre[1] + r * Math.sin(start), z };
}
