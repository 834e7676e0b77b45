// The case as a chest of drawers in section: each tray a drawer, top to bottom, and the one
// that is looked at pulled out. Without cases it holds all trays.

import { byId, facts, make } from "./dom.mjs";
import { section } from "./tray.mjs";

const pixelsPerMM = 2.2; // of height

// showCases makes the tabs of several cases.
/** @param {Look.Case[]} cases @param {(index: number) => void} choose */
export function showCases(cases, choose) {
  if (cases.length < 2) return;
  byId("tabs").replaceChildren(...cases.map((c, i) => {
    const tab = make("button", { type: "button", dir: "auto" }, c.name);
    tab.addEventListener("click", () => choose(i));
    return tab;
  }));
}

// showChest draws the drawers of a case; of none, of all trays.
/** @param {Look.Scene} drawn @param {number} caseIndex @param {(tray: number) => void} choose */
export function showChest(drawn, caseIndex, choose) {
  const c = drawn.cases[caseIndex];
  byId("chest-hint").textContent = c ? "The case, cut open. Pull a drawer." : "The trays, cut open. Pull one.";
  const levels = c ? c.trays : drawn.trays.map((_, i) => [i]);
  const long = c ? c.long_mm : Math.max(...drawn.trays.map((t) => t.box[2] - t.box[0]));
  const drawers = levels.map((trays) => make("div", { class: "level" }, ...trays.map((t) => drawer(drawn.trays[t], t, long / trays.length, choose))));
  byId("chest").replaceChildren(make("div", { class: c ? "case" : "case open", "data-part": "case" }, ...drawers));
  Array.from(byId("tabs").children).forEach((tab, i) => tab.setAttribute("aria-pressed", String(i === caseIndex)));
  facts(byId("case-facts"), c ? c.facts : []);
}

/** @param {Look.Tray} tray @param {number} index @param {number} longMM @param {(tray: number) => void} choose */
function drawer(tray, index, longMM, choose) {
  const thick = tray.layers.reduce((sum, l) => sum + l.thick_mm, 0);
  const button = make("button", { type: "button", class: "drawer", "data-part": "drawer", "data-tray": index, title: tray.name }, section(tray, longMM, 1), make("span", { dir: "auto" }, tray.id));
  button.style.setProperty("--high", `${thick * pixelsPerMM}px`);
  button.addEventListener("click", () => choose(index));
  return button;
}

// pull marks the drawer of a tray.
/** @param {number} tray */
export function pull(tray) {
  for (const d of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(".drawer"))) {
    const out = Number(d.dataset.tray) === tray;
    d.classList.toggle("out", out);
    d.setAttribute("aria-pressed", String(out));
  }
}
