// Setups as they lie on stock, where the report has them: parts and offcuts of each sheet.

import { byId, draw, make } from "./dom.mjs";

export function showStock(report) {
  const setups = report.setups ?? [];
  byId("stock").hidden = setups.length === 0;
  byId("sheets").replaceChildren(...setups.map((s) => sheet(s, new Map(report.trays.map((t) => [t.id, t])))));
}

function sheet(s, trays) {
  const [w, h] = s.size_mm;
  const svg = draw("svg", { viewBox: `-1 -1 ${w + 2} ${h + 2}`, role: "img", "aria-label": `${s.sheet}: ${s.parts.map((p) => p.tray).join(", ")}` });
  svg.append(draw("rect", { width: w, height: h, class: "stock" }));
  for (const o of s.offcuts ?? []) svg.append(draw("rect", { x: o.x_mm, y: h - o.y_mm - o.width_mm, width: o.length_mm, height: o.width_mm, class: "offcut" }));
  for (const p of s.parts) {
    const [l, b] = p.turn % 180 ? [...trays.get(p.tray).size_mm].reverse() : trays.get(p.tray).size_mm;
    const text = draw("text", { x: p.x_mm + l / 2, y: h - p.y_mm - b / 2, "font-size": Math.min(w / 28, l / 8) });
    text.append(`${p.tray} ${p.layer}`);
    svg.append(draw("rect", { x: p.x_mm, y: h - p.y_mm - b, width: l, height: b, class: "part" }), text);
  }
  const used = s.used_share === undefined ? "" : `, ${Math.round(100 * s.used_share)} % used`;
  return make("figure", {}, svg, make("figcaption", { dir: "auto" }, `${s.sheet}: ${s.foam}${used}`));
}
