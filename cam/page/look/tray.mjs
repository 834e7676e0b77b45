// Trays as line drawings: in section for drawers and glue-up, from above for paper, and the
// pockets that lie over the foam.

import { draw } from "./dom.mjs";

// section is a tray cut open, as wide as long mm of case, heights `up` times larger.
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

// plan is a tray from above in lines.
export function plan(tray) {
  const [left, bottom, right, top] = tray.box;
  const svg = draw("svg", { viewBox: `${left - 1} ${-top - 1} ${right - left + 2} ${top - bottom + 2}`, class: "plan", "aria-hidden": true, focusable: false });
  const turned = draw("g", { transform: "scale(1 -1)" }, draw("path", { d: tray.outline, class: "rim" }));
  svg.append(turned);
  for (const p of tray.pockets) {
    turned.append(draw("path", { d: p.path, class: "hole" }));
    svg.append(...name(p, 3));
  }
  return svg;
}

// name is a pocket's name in it, along or up it, whichever has larger letters; none where it
// would be too small to read, pixels per mm given.
export function name(pocket, pixels) {
  const [left, bottom, right, top] = pocket.box;
  const [w, h] = [right - left, top - bottom];
  const letters = Math.max(3, pocket.name.length) * 0.58;
  const size = (along, across) => Math.min(4.6, across * 0.6, (along * 0.92) / letters);
  const up = size(h, w) > size(w, h) * 1.15;
  let mm = up ? size(h, w) : size(w, h);
  if (mm * pixels < 11) mm = Math.min((up ? h : w) * 0.96 / letters, 11 / pixels, (up ? w : h) * 0.8);
  if (mm * pixels < 8.5) return [];
  const [x, y] = [(left + right) / 2, -(bottom + top) / 2];
  const text = draw("text", { x, y, "font-size": mm, transform: up ? `rotate(-90 ${x} ${y})` : null, direction: "auto" });
  text.append(pocket.name);
  return [text];
}

// pockets are the shapes that a hand and a key can choose, over the foam.
export function pockets(tray, topMM, pixels, choose) {
  const list = [];
  tray.pockets.forEach((p, i) => {
    if (p.depth_mm <= topMM + 1e-6) return;
    const g = draw("g", { role: "button", tabindex: 0, class: "pocket", "data-part": "pocket", "data-pocket": i, "aria-label": `${p.name}, ${p.depth} deep` });
    g.append(draw("path", { d: p.path, transform: "scale(1 -1)" }), ...name(p, pixels));
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
