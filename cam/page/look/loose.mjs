// Pieces of the roster that no tray holds: each is dropped onto the foam, or put into the tray's
// first free place by its button, and is a pocket from then on.

import { byId, draw, make } from "./dom.mjs";
import { settle } from "./room.mjs";

const leastDragPX = 6;

/** @import { Hands } from "./hands.mjs" */
/** @import { Stage } from "./stage.mjs" */

export class Loose {
  /** @type {Look.HeldPiece | null} */ held = null;
  /** @type {SVGElement | null} */ ghost = null;
  dragged = false;

  // tray() is the id of the tray that is looked at.
  /** @param {Look.Asker} ask @param {Stage} stage @param {Hands} hands @param {() => string} tray */
  constructor(ask, stage, hands, tray) {
    this.ask = ask;
    this.stage = stage;
    this.hands = hands;
    this.tray = tray;
  }

  // show lists what a state has loose.
  /** @param {Look.LoosePiece[]} list @param {string} job */
  show(list, job) {
    byId("loose").hidden = list.length === 0;
    byId("loose-list").replaceChildren(...list.map((l) => make("li", {}, this.button(l), make("small", {}, ` ${l.missing} ×, ${l.at}`))));
    byId("loose-arrange").replaceChildren("Or name them in the ", make("code", {}, "holds"), " of a tray, and run ", make("code", {}, `traywright arrange ${job}`), ".");
  }

  /** @param {Look.LoosePiece} l */
  button(l) {
    const b = make("button", { type: "button", dir: "auto", "data-piece": l.id, "aria-label": `Put ${l.name} into this tray` }, l.name);
    b.addEventListener("pointerdown", (e) => this.take(e, b, l));
    b.addEventListener("pointermove", (e) => this.drag(e));
    b.addEventListener("pointerup", () => this.drop());
    b.addEventListener("pointercancel", () => this.letGo());
    b.addEventListener("click", () => !this.dragged && this.put(l));
    return b;
  }

  /** @param {PointerEvent} e @param {HTMLElement} b @param {Look.LoosePiece} l */
  async take(e, b, l) {
    if (e.button !== 0) return;
    b.setPointerCapture(e.pointerId);
    /** @type {Look.HeldPiece} */
    const held = { piece: l.id, x: e.clientX, y: e.clientY };
    this.held = held;
    this.dragged = false;
    this.hands.busy = true; // another state waits until it is let go
    held.place = await this.ask.place({ piece: l.id }, this.tray());
    if (this.held === held && held.last) this.drag(held.last);
  }

  /** @param {PointerEvent} e */
  drag(e) {
    const held = this.held;
    if (!held) return;
    held.last = e;
    this.dragged ||= Math.hypot(e.clientX - held.x, e.clientY - held.y) > leastDragPX;
    const svg = this.stage.svg;
    const on = svg.getBoundingClientRect();
    const inside = e.clientX > on.left && e.clientX < on.right && e.clientY > on.top && e.clientY < on.bottom;
    held.move = null;
    this.ghost?.remove();
    if (!held.place?.done || !inside) return;
    const { a, d, e: left, f: top } = this.stage.scale();
    const [l, b, r, t] = held.place.box;
    held.move = settle(held.place, [(e.clientX - left) / a - (l + r) / 2, (top - e.clientY) / d - (b + t) / 2]);
    if (!held.move) return;
    const [x, y] = held.move;
    this.ghost = draw("rect", { x: l + x, y: -t - y, width: r - l, height: t - b, class: "ghost" });
    svg.append(this.ghost);
  }

  async drop() {
    const held = this.held;
    if (!held) return;
    const { move, place } = held;
    const dragged = this.dragged;
    this.letGo();
    if (!dragged) return;
    if (place && !place.done) this.hands.tell(place.told ?? []);
    if (place && move) await this.write(held.piece, place, move);
  }

  letGo() {
    this.ghost?.remove();
    this.held = null;
    this.hands.busy = false;
    this.hands.rest();
  }

  // put is for who has no pointer: the free place nearest to the tray's lower-left corner.
  /** @param {Look.LoosePiece} l */
  async put(l) {
    const place = await this.ask.place({ piece: l.id }, this.tray());
    const move = place.done ? settle(place, [-place.box[0], -place.box[1]]) : null;
    if (move) return this.write(l.id, place, move);
    this.hands.tell(place.done ? [{ message: `There is no room for ${l.name} in this tray` }] : (place.told ?? []));
  }

  /** @param {string} piece @param {Look.Placing} place @param {Look.Point} move */
  async write(piece, place, move) {
    this.hands.fresh = this.tray();
    const answer = await this.ask.edit({ sum: place.sum, piece, tray: this.tray(), move });
    this.hands.tell(answer.told ?? []);
    if (!answer.done) this.hands.fresh = "";
  }
}
