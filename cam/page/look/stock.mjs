// Sheets of the stock as hands handle them: how the large ones are parted, and what lies on each that is cut. What
// has no room in a drawing stands in the list beneath it.

import { byId, draw, make } from "./dom.mjs";

/** @param {Look.Sheet[]} sheets */
export function showStock(sheets) {
  byId("stock").hidden = sheets.length === 0;
  byId("sheets").replaceChildren(...sheets.map(sheet));
}

// sheet draws one to scale, the measures of its cuts beside it.
/** @param {Look.Sheet} s @param {number} number */
function sheet(s, number) {
  const [w, h] = s.size_mm;
  const letters = Math.max(w, h * 0.7) / 20;
  const upright = rows(s.cuts.filter((c) => c.from[0] === c.to[0]), letters);
  const left = s.cuts.length > 0 ? letters * 4.5 : letters;
  const above = letters * (Math.max(0, ...upright.map((c) => c.row)) + 1.6);
  const svg = draw("svg", { viewBox: `${-left} ${-above} ${w + left + 2 * letters} ${h + above + letters}`, role: "img", "aria-label": s.head });
  const stripes = draw("pattern", { id: `hatch-${number}`, width: letters / 2, height: letters / 2, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" }, draw("line", { x1: 0, y1: 0, x2: 0, y2: letters / 2, class: "stripe", "stroke-width": letters / 12 }));
  const turned = draw("g", { transform: `translate(0 ${h}) scale(1 -1)` }, draw("rect", { width: w, height: h, class: "stock" }));
  svg.append(draw("defs", {}, stripes), turned);
  for (const o of s.kept) turned.append(draw("path", { d: o.path, class: "offcut", fill: `url(#hatch-${number})` }));
  for (const p of s.parts) turned.append(draw("path", { d: p.path, class: "part" }));
  for (const c of s.cuts) turned.append(draw("line", { x1: c.from[0], y1: c.from[1], x2: c.to[0], y2: c.to[1], class: "saw" }));
  for (const p of s.parts) if (p.corner) turned.append(draw("circle", { cx: p.corner[0], cy: p.corner[1], r: letters / 3, class: "corner" }));
  if (s.zero) turned.append(draw("path", { d: `M${s.zero[0] - letters} ${s.zero[1]}h${2 * letters}M${s.zero[0]} ${s.zero[1] - letters}v${2 * letters}`, class: "arrow" }));
  for (const laid of [...s.parts, ...s.kept]) svg.append(...named(laid, h, letters));
  for (const c of upright) svg.append(lettered(c.from[0], -letters * (c.row + 0.8), letters, c.at, "middle"));
  for (const c of s.cuts) if (c.from[0] !== c.to[0]) svg.append(measure(c, h, letters));
  if (s.arrow) svg.append(draw("path", { d: s.arrow, class: "arrow", transform: `translate(0 ${h}) scale(1 -1)` }));
  return make("figure", {}, make("figcaption", { dir: "auto" }, s.head), svg, make("ul", { class: "lies", dir: "auto" }, ...s.says.map((text) => make("li", {}, text))));
}

// wide is about how long a text is, in letters' heights.
/** @param {string} text */
const wide = (text) => text.length * 0.62;

// rows gives each cut from front to back the row above the sheet that its measure has room in.
/** @param {Look.SawCut[]} cuts @param {number} letters */
function rows(cuts, letters) {
  /** @type {number[]} */
  const ends = [];
  return cuts.map((c) => {
    const half = (wide(c.at) * letters) / 2;
    let row = ends.findIndex((end) => end <= c.from[0] - half);
    if (row < 0) row = ends.length;
    ends[row] = c.from[0] + half;
    return { ...c, row };
  });
}

// named writes into what lies there what it has room for, along or up it: mark and name, or one of them.
/** @param {Look.Laid} laid @param {number} h @param {number} letters */
function named(laid, h, letters) {
  const [left, bottom, right, top] = laid.box;
  const [x, y] = [(left + right) / 2, h - (bottom + top) / 2];
  for (const text of [laid.mark && !laid.name.startsWith(laid.mark) ? `${laid.mark}: ${laid.name}` : laid.name, laid.mark || laid.name]) {
    /** @param {number} along @param {number} across */
    const fits = (along, across) => wide(text) * letters <= along && letters <= across;
    if (fits(right - left, top - bottom)) return [lettered(x, y, letters, text, "middle")];
    if (fits(top - bottom, right - left)) return [lettered(x, y, letters, text, "middle", `rotate(-90 ${x} ${y})`)];
  }
  return [];
}

// measure is how far a cut from left to right lies from the front edge, at its left end.
/** @param {Look.SawCut} c @param {number} h @param {number} letters */
function measure(c, h, letters) {
  if (c.from[0] === 0) return lettered(-letters / 2, h - c.from[1], letters, c.at, "end");
  return lettered(c.from[0] + letters / 2, h - c.from[1] + letters * 0.7, letters, c.at, "start");
}

/** @param {number} x @param {number} y @param {number} size @param {string} text @param {string} anchor @param {string} [transform] */
function lettered(x, y, size, text, anchor, transform) {
  const t = draw("text", { x, y, "font-size": size, "text-anchor": anchor, transform });
  t.append(text);
  return t;
}
