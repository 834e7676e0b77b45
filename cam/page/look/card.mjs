// The card of what is chosen: a pocket with its piece in its hole, or the tray.

import { byId, draw, facts, make } from "./dom.mjs";
import { things } from "./tray.mjs";

const roomPX = [210, 150];

/** @param {Look.Tray} tray @param {number | null} pocket */
export function showCard(tray, pocket) {
  const list = make("dl", { class: "facts" });
  const p = pocket === null ? null : things(tray)[pocket];
  const play = pocket === null ? undefined : tray.pockets[pocket]?.play;
  /** @type {Element[]} */
  const parts = [make("h2", { dir: "auto" }, p ? p.name : tray.name)];
  if (play) parts.push(...playOf(play));
  facts(list, p ? p.facts : [...tray.facts, ...tray.layers.map((l, i) => /** @type {Look.Fact} */ ([`layer ${i + 1}`, l.name]))]);
  const grip = make("button", { type: "button", class: "grip", "aria-expanded": "false", "aria-label": "More of this card" });
  byId("card").replaceChildren(grip, ...parts, list);
  grip.addEventListener("click", () => grip.setAttribute("aria-expanded", String(byId("card").classList.toggle("open"))));
}

// playOf draws hole and piece to one scale.
/** @param {Look.Play} play */
function playOf(play) {
  const [w, h] = play.hole;
  const scale = Math.min(roomPX[0] / w, roomPX[1] / h);
  /** @param {number} mm */
  const at = (mm) => mm * scale;
  const svg = draw("svg", { viewBox: `-4 -4 ${at(w) + 8} ${at(h) + 8}`, width: at(w) + 8, height: at(h) + 8, role: "img", "aria-label": play.words, class: "play" });
  /** @param {number} l @param {number} b @param {string} name */
  const shape = (l, b, name) =>
    play.round
      ? draw("circle", { cx: at(w) / 2, cy: at(h) / 2, r: at(l) / 2, class: name })
      : draw("rect", { x: at(w - l) / 2, y: at(h - b) / 2, width: at(l), height: at(b), class: name });
  svg.append(shape(w, h, "hole"), shape(play.piece[0], play.piece[1], "piece"));
  return [svg, make("p", { class: "play-words" }, play.words)];
}
