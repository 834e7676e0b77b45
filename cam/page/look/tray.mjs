// Trays as line drawings: in section for drawers and glue-up, from above for paper, and the
// pockets that lie over the foam.

import { draw } from "./dom.mjs";

// section is a tray cut open, as wide as long mm of case, heights `up` times larger.
/** @param {Look.Tray} tray @param {number} longMM @param {number} up */
export function section(tray, longMM, up) {
  const [left, , right] = tray.box;
  const thick = tray.layers.reduce((sum, l) => sum + l.thick_mm, 0);
  const width = Math.max(longMM, right - left);
  const svg = draw("svg", { viewBox: `0 0 ${width} ${thick * up}`, preserveAspectRatio: "none", "aria-hidden": true, focusable: false, class: "cut" });
  let top = 0;
  tray.layers.forEach((layer, i) => {
    svg.append(draw("rect", { x: (width - right + left) / 2, y: top * up, width: right - left, height: layer.thick_mm * up, class: i % 2 ? "layer firm" : "layer" }));
    top += layer.thick_mm;
  });
  for (const [from, to, depth] of tray.holes) {
    svg.append(draw("rect", { x: (width - right + left) / 2 + from - left, y: 0, width: to - from, height: depth * up, class: "hole" }));
  }
  return svg;
}

// leastOnPaperMM is 7 point where a tray is as wide as half a page.
const leastOnPaperMM = 7.4;

// plan is a tray from above in lines.
/** @param {Look.Tray} tray */
export function plan(tray) {
  const [left, bottom, right, top] = tray.box;
  const svg = draw("svg", { viewBox: `${left - 1} ${-top - 1} ${right - left + 2} ${top - bottom + 2}`, class: "plan", "aria-hidden": true, focusable: false });
  const turned = draw("g", { transform: "scale(1 -1)" }, draw("path", { d: tray.outline, class: "rim" }));
  for (const m of tray.marks) turned.append(draw("path", { d: m.path + m.ways, class: "mark" }));
  svg.append(turned);
  for (const p of tray.pockets) {
    turned.append(draw("path", { d: p.path, class: "hole" }));
    svg.append(...name(p, leastOnPaperMM));
  }
  return svg;
}

// name is a pocket's name in it, along or up it, whichever has larger letters; none where
// they would be smaller than least, mm.
/** @param {Look.Pocket} pocket @param {number} least @returns {Element[]} */
export function name(pocket, least) {
  const [left, bottom, right, top] = pocket.box;
  const [w, h] = [right - left, top - bottom];
  const letters = Math.max(3, pocket.name.length) * 0.58;
  /** @param {number} along @param {number} across */
  const most = (along, across) => Math.min(across * 0.8, (along * 0.96) / letters);
  const up = most(w, h) < Math.max(4.6, least) && most(h, w) > most(w, h) * 1.15;
  const mm = Math.min(Math.max(4.6, least), up ? most(h, w) : most(w, h));
  if (mm < least - 1e-9) return [];
  const [x, y] = [(left + right) / 2, -(bottom + top) / 2];
  const text = draw("text", { x, y, "font-size": mm, transform: up ? `rotate(-90 ${x} ${y})` : null });
  text.append(pocket.name);
  return [text];
}

// things are all that can be chosen on a tray: its pockets, then its labels and emblems.
/** @param {Look.Tray} tray @returns {(Look.Pocket | Look.Mark)[]} */
export const things = (tray) => [...tray.pockets, ...tray.marks];

// shapes are what a hand and a key can choose, over the foam; of marks, what the cutter leaves
// where no program shows it.
/** @param {Look.Tray} tray @param {Look.Setup} setup @param {number} pixels @param {(pocket: number) => void} choose */
export function shapes(tray, setup, pixels, choose) {
  /** @type {SVGGElement[]} */
  const list = [];
  things(tray).forEach((p, i) => {
    const isMark = "ways" in p;
    if (p.depth_mm <= setup.top_mm + 1e-6 && !(isMark && setup.top_mm === 0)) return;
    const g = isMark ? markShape(p, setup.programs.length === 0) : pocketShape(p, pixels);
    g.setAttribute("data-pocket", String(i));
    g.addEventListener("click", () => choose(i));
    g.addEventListener("keydown", (e) => {
      if (e.key !== "Enter" && e.key !== " ") return;
      e.preventDefault();
      choose(i);
    });
    list.push(g);
  });
  return list;
}

/** @param {Look.Pocket} p @param {number} pixels */
function pocketShape(p, pixels) {
  const g = draw("g", { role: "button", tabindex: 0, class: `pocket${p.plug ? " plug" : ""}${p.light ? " light" : ""}`, "data-part": "pocket", "aria-label": `${p.name}, ${p.depth} deep` });
  g.append(draw("path", { d: p.path, transform: "scale(1 -1)" }), ...name(p, 9 / pixels));
  return g;
}

/** @param {Look.Mark} m @param {boolean} planned */
function markShape(m, planned) {
  const [left, bottom, right, top] = m.box;
  const g = draw("g", { role: "button", tabindex: 0, class: "pocket mark", "data-part": "mark", "aria-label": m.name, stroke: m.colour, "stroke-width": m.wide_mm });
  if (planned && m.depth_mm === 0) g.append(draw("path", { d: m.ways, transform: "scale(1 -1)", class: "groove" }));
  g.append(draw("path", { d: `M${left} ${-top}H${right}V${-bottom}H${left}Z`, class: "field" }));
  return g;
}
