// Hands: a pocket is dragged, or moved by the arrow keys, turned, and its numbers are set. What
// comes of it is written by whoever answers; this only shows it on the way.

import { byId, make } from "./dom.mjs";
import { mayMove, settle } from "./room.mjs";
import { things } from "./tray.mjs";

const turnDegrees = 15;
const pauseMS = 350; // behind the last arrow key, until the move is written

/** @type {Record<string, Look.Point>} */
const arrows = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowDown: [0, -1], ArrowUp: [0, 1] };

/** @import { Stage } from "./stage.mjs" */

export class Hands {
  /** @type {number | null} */ pocket = null; // that the card shows
  /** @type {Look.Room | null} */ room = null; // of it
  /** @type {Set<number>} */ moving = new Set(); // all that goes with it
  at = ""; // its entry
  /** @type {Look.Point} */ move = [0, 0];
  /** @type {Look.HeldPocket | null} */ held = null;
  busy = false; // a piece is held that is no pocket yet
  steps = 0;
  timer = 0;
  fresh = ""; // the tray that something is being put into: the state that comes shows it
  /** @type {KeyboardEvent | null} */ early = null; // a key that was pressed before the room was told
  over = ""; // the tray whose drawer is under what is held
  /** @type {(() => void)[]} */ waiting = [];

  /** @param {Look.Asker} ask @param {Stage} stage */
  constructor(ask, stage) {
    this.ask = ask;
    this.stage = stage;
    const foam = byId("foam");
    foam.addEventListener("pointerdown", (e) => this.down(e));
    foam.addEventListener("pointermove", (e) => this.drag(e));
    foam.addEventListener("pointerup", () => this.up());
    foam.addEventListener("pointercancel", () => this.letGo());
    foam.addEventListener("keydown", (e) => this.key(e));
    document.addEventListener("keydown", (e) => {
      if ((e.ctrlKey || e.metaKey) && e.key === "z" && !from(e).closest("input")) {
        e.preventDefault();
        this.undo();
      }
    });
  }

  // chosen asks where the pocket that the card shows may go.
  /** @param {Look.Tray} tray @param {number | null} pocket */
  async chosen(tray, pocket) {
    this.pocket = pocket;
    this.room = this.early = null;
    this.move = [0, 0];
    byId("hands")?.remove();
    const p = pocket === null || this.stage.setup.board ? null : things(tray)[pocket];
    if (!p) return;
    const room = await this.ask.room(p.at);
    if (this.pocket !== pocket || !room.told) return;
    if (!room.done) return this.byHand(room.told);
    this.moving = new Set([...room.pockets, ...room.marks.map((i) => i + tray.pockets.length)]);
    this.room = room;
    this.at = p.at;
    this.form();
    if (this.held?.last) this.drag(this.held.last);
    if (this.early) this.act(this.early);
    this.early = null;
  }

  // free is there as soon as nothing is held: another state waits for it.
  /** @returns {Promise<void>} */
  free() {
    if (!this.held && !this.busy && !this.timer) return Promise.resolve();
    return new Promise((done) => this.waiting.push(done));
  }

  rest() {
    if (this.held || this.busy || this.timer) return;
    for (const done of this.waiting.splice(0)) done();
  }

  /** @param {PointerEvent} e */
  down(e) {
    const g = /** @type {SVGElement | null} */ (from(e).closest("[data-pocket]"));
    if (!g || e.button !== 0) return;
    if (Number(g.dataset.pocket) !== this.pocket) this.stage.choose(Number(g.dataset.pocket));
    this.held = { x: e.clientX, y: e.clientY, from: this.move };
    byId("foam").setPointerCapture(e.pointerId);
  }

  /** @param {PointerEvent} e */
  drag(e) {
    if (!this.held) return;
    this.held.last = e;
    if (!this.room) return;
    this.hover(drawerAt(e));
    if (this.over) return this.show([0, 0]);
    const { a, d } = this.stage.scale();
    const [x, y] = this.held.from;
    this.show(settle(this.room, [x + (e.clientX - this.held.x) / a, y - (e.clientY - this.held.y) / d]) ?? this.move);
  }

  async up() {
    if (!this.held) return;
    this.held = null;
    const into = this.over;
    this.hover(null);
    await (into ? this.carry(into) : this.write());
    this.rest();
  }

  letGo() {
    this.held = null;
    this.hover(null);
    this.show([0, 0]);
    this.rest();
  }

  // show moves the pocket, with its grid, over the foam.
  /** @param {Look.Point} move */
  show(move) {
    this.move = move;
    for (const g of this.stage.shapes) {
      const on = this.room !== null && this.moving.has(Number(g.dataset.pocket)) && (move[0] !== 0 || move[1] !== 0);
      g.classList.toggle("held", on);
      if (on) g.setAttribute("transform", `translate(${move[0]} ${-move[1]})`);
      else g.removeAttribute("transform");
    }
  }

  /** @param {KeyboardEvent} e */
  key(e) {
    const way = arrows[e.key];
    const g = /** @type {SVGElement | null} */ (from(e).closest("[data-pocket]"));
    if (!g || e.ctrlKey || e.metaKey || e.altKey || (!way && e.key.toLowerCase() !== "r")) return;
    e.preventDefault();
    e.stopPropagation();
    if (Number(g.dataset.pocket) !== this.pocket) return this.stage.choose(Number(g.dataset.pocket));
    if (this.room) this.act(e);
    else this.early = e;
  }

  // act does what a key says.
  /** @param {KeyboardEvent} e */
  act(e) {
    const way = arrows[e.key];
    if (way) this.nudge(way, e.shiftKey ? 10 : 1);
    else this.turn(e.key === "R" ? -turnDegrees : turnDegrees);
  }

  // nudge goes a step of the grid, or as many of several as are allowed.
  /** @param {Look.Point} way @param {number} most */
  nudge(way, most) {
    const room = this.room;
    if (!room) return;
    let move = this.move;
    for (let n = 0; n < most; n++) {
      const [x, y] = move.map((m, axis) => {
        if (way[axis] === 0) return m;
        const place = (room.at[axis] + m) / room.steps[axis];
        const line = way[axis] > 0 ? Math.floor(place + 1e-6) + 1 : Math.ceil(place - 1e-6) - 1;
        return line * room.steps[axis] - room.at[axis];
      });
      if (!mayMove(room, [x, y])) break;
      move = [x, y];
    }
    if (move === this.move) this.tell([{ message: "It can go no further that way: wall or edge end there." }]);
    this.show(move);
    clearTimeout(this.timer);
    this.timer = setTimeout(async () => {
      this.timer = 0;
      await this.write();
      this.rest();
    }, pauseMS);
  }

  async write() {
    if (!this.room || (this.move[0] === 0 && this.move[1] === 0)) return;
    await this.change({ move: this.move });
  }

  /** @param {number} by */
  turn(by) {
    if (!this.room) return;
    const value = this.room.values.find((v) => v.key === "turn");
    if (!value) return this.tell([{ where: this.room.else, message: "`arrange` chose how it is turned: it is not turned here" }]);
    const now = Number(value.written || 0);
    return this.change({ key: "turn", value: String((((now + by) % 360) + 360) % 360) });
  }

  // hover marks the drawer of another tray, into which what is held would go.
  /** @param {HTMLElement | null} drawer */
  hover(drawer) {
    const id = drawer ? this.stage.drawn.trays[Number(drawer.dataset.tray)].id : "";
    this.over = id === this.stage.tray.id ? "" : id;
    for (const other of document.querySelectorAll(".drawer")) other.classList.toggle("taking", other === drawer && this.over !== "");
  }

  // carry puts the pocket into another tray: to the same place there, or the nearest that is free.
  /** @param {string} tray */
  async carry(tray) {
    const room = this.room;
    if (!room) return;
    this.tell([]);
    const place = await this.ask.place({ at: this.at }, tray);
    const move = place.done ? settle(place, [room.at[0] - place.at[0], room.at[1] - place.at[1]]) : null;
    if (!move) return this.tell(place.done ? [{ message: `There is no room for it in tray ${tray}` }] : (place.told ?? []));
    this.fresh = tray;
    const answer = await this.ask.edit({ sum: place.sum, at: this.at, tray, move });
    if (!answer.done) this.fresh = "";
    this.tell(answer.told ?? []);
  }

  // change has something written; where it is not, all goes back to where it was.
  /** @param {Partial<Look.Change>} what */
  async change(what) {
    this.tell([]);
    if (!this.room) return;
    const answer = await this.ask.edit({ sum: this.room.sum, at: this.at, ...what });
    if (answer.done) return;
    this.show([0, 0]);
    this.form();
    this.tell(answer.told ?? [{ message: "nothing was written" }]);
  }

  async undo() {
    const answer = await this.ask.undo();
    this.tell(answer.told ?? []);
  }

  /** @param {Look.Finding[]} list */
  tell(list) {
    byId("hands-told").replaceChildren(...list.map((f) => make("span", { dir: "auto" }, `${inLine(f)} `)));
  }

  // byHand says on the card what can be done in the file alone.
  /** @param {Look.Finding[]} list */
  byHand(list) {
    byId("hands")?.remove();
    byId("card").append(make("div", { id: "hands", class: "hands" }, ...list.map((f) => make("p", { class: "hint", dir: "auto" }, inLine(f)))));
  }

  // form has the numbers on the card, and what hands can do.
  form() {
    const room = this.room;
    if (!room) return;
    /** @param {string} text @param {() => void} does @param {boolean} [off] */
    const button = (text, does, off) => {
      const b = make("button", { type: "button", disabled: off }, text);
      b.addEventListener("click", does);
      return b;
    };
    const many = room.pockets.length;
    const turns = room.values.some((v) => v.key === "turn");
    const pins = room.values.some((v) => v.key === "pin");
    const others = this.stage.drawn.trays.filter((t) => t.id !== this.stage.tray.id);
    const into = make("select", { "aria-label": "Another tray" }, ...others.map((t) => make("option", { value: t.id }, t.name === t.id ? t.id : `${t.id}: ${t.name}`)));
    const carries = !pins && room.marks.length === 0 && others.length > 0;
    const words = [
      `Drag it, or use the arrow keys (with Shift, ten steps); ${turns ? "R turns it, " : ""}Ctrl+Z takes a step back. It keeps wall and edge by itself, and each step is written into the file.`,
      many > 1 ? `The ${many} of its grid move together.` : "",
      carries ? "Dropped onto another tray's drawer, it moves into that tray." : "",
      pins ? "What you move is pinned: `arrange` leaves it there." : "",
    ];
    const form = make("div", { id: "hands", class: "hands" }, ...room.values.map((v) => this.row(v)),
      ...(carries ? [make("p", { class: "row" }, into, button("Move there", () => this.carry(into.value)))] : []),
      make("p", { class: "row" }, ...(turns ? [button(`Turn by ${turnDegrees}°`, () => this.turn(turnDegrees))] : []), button("Undo", () => this.undo(), this.steps === 0)),
      make("p", { class: "hint" }, words.filter(Boolean).join(" ")),
      make("p", { class: "hint" }, "All else of it is changed in the file, at ", make("code", {}, room.else), "."));
    byId("hands")?.remove();
    byId("card").append(form);
  }

  // row is a value that is set here or, where it stands for others as well, the line where it is.
  /** @param {Look.Value} v */
  row(v) {
    const words = make("span", {}, v.key);
    if (v.line) return make("p", { class: "fixed" }, words, make("span", {}, v.now), make("small", {}, "for several: ", make("code", {}, v.line)));
    const pin = v.key === "pin";
    const input = pin
      ? make("input", { type: "checkbox", checked: v.written === "true" })
      : make("input", { value: v.written, placeholder: v.now, size: 10, autocomplete: "off", spellcheck: "false" });
    input.setAttribute("aria-label", `${v.key}, ${v.of}`);
    input.addEventListener("change", () => this.change({ key: v.key, value: pin ? String(input.checked) : input.value }));
    return make("label", {}, words, input, make("small", {}, v.of));
  }
}

// drawerAt is the drawer under a pointer.
/** @param {PointerEvent} e @returns {HTMLElement | null} */
const drawerAt = (e) => document.elementFromPoint(e.clientX, e.clientY)?.closest(".drawer") ?? null;

// from is what an event has come to.
/** @param {Event} e */
const from = (e) => /** @type {Element} */ (e.target);

// inLine is a finding in one line.
/** @param {Look.Finding} f */
const inLine = (f) => `${f.where ? `${f.where}: ` : ""}${f.message}${f.hint ? `. What to do: ${f.hint}` : ""}`;
