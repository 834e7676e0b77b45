// Hands: a pocket is dragged, or moved by the arrow keys, turned, and its numbers are set. What
// comes of it is written by whoever answers; this only shows it on the way.

import { byId, make } from "./dom.mjs";
import { mayMove, settle } from "./room.mjs";
import { things } from "./tray.mjs";

const turnDegrees = 15;
const pauseMS = 350; // behind the last arrow key, until the move is written

const arrows = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowDown: [0, -1], ArrowUp: [0, 1] };

export class Hands {
  constructor(ask, stage) {
    Object.assign(this, { ask, stage, pocket: null, room: null, move: [0, 0], held: null, steps: 0, waiting: [] });
    const foam = byId("foam");
    foam.addEventListener("pointerdown", (e) => this.down(e));
    foam.addEventListener("pointermove", (e) => this.drag(e));
    foam.addEventListener("pointerup", () => this.up());
    foam.addEventListener("pointercancel", () => this.letGo());
    foam.addEventListener("keydown", (e) => this.key(e));
    document.addEventListener("keydown", (e) => {
      if ((e.ctrlKey || e.metaKey) && e.key === "z" && !e.target.closest("input")) {
        e.preventDefault();
        this.undo();
      }
    });
  }

  // chosen asks where the pocket that the card shows may go.
  async chosen(tray, pocket) {
    Object.assign(this, { pocket, room: null, move: [0, 0] });
    byId("hands")?.remove();
    const p = pocket === null || this.stage.setup.board ? null : things(tray)[pocket];
    if (!p) return;
    const room = await this.ask.room(p.at);
    if (this.pocket !== pocket || !room.told) return;
    if (!room.done) return this.byHand(room.told);
    const moving = new Set([...room.pockets, ...room.marks.map((i) => i + tray.pockets.length)]);
    Object.assign(this, { room, moving, at: p.at });
    this.form();
    if (this.held?.last) this.drag(this.held.last);
  }

  // free is there as soon as nothing is held: another state waits for it.
  free() {
    if (!this.held && !this.timer) return Promise.resolve();
    return new Promise((done) => this.waiting.push(done));
  }

  rest() {
    if (this.held || this.timer) return;
    for (const done of this.waiting.splice(0)) done();
  }

  down(e) {
    const g = e.target.closest("[data-pocket]");
    if (!g || e.button !== 0) return;
    if (Number(g.dataset.pocket) !== this.pocket) this.stage.choose(Number(g.dataset.pocket));
    this.held = { x: e.clientX, y: e.clientY, from: this.move };
    byId("foam").setPointerCapture(e.pointerId);
  }

  drag(e) {
    if (!this.held) return;
    this.held.last = e;
    if (!this.room) return;
    const { a, d } = this.stage.svg.getScreenCTM();
    const [x, y] = this.held.from;
    this.show(settle(this.room, [x + (e.clientX - this.held.x) / a, y - (e.clientY - this.held.y) / d]) ?? this.move);
  }

  async up() {
    if (!this.held) return;
    this.held = null;
    await this.write();
    this.rest();
  }

  letGo() {
    this.held = null;
    this.show([0, 0]);
    this.rest();
  }

  // show moves the pocket, with its grid, over the foam.
  show(move) {
    this.move = move;
    for (const g of this.stage.shapes) {
      const on = this.room && this.moving.has(Number(g.dataset.pocket)) && (move[0] !== 0 || move[1] !== 0);
      g.classList.toggle("held", on);
      if (on) g.setAttribute("transform", `translate(${move[0]} ${-move[1]})`);
      else g.removeAttribute("transform");
    }
  }

  key(e) {
    const way = arrows[e.key];
    const g = e.target.closest("[data-pocket]");
    if (!g || e.ctrlKey || e.metaKey || e.altKey || (!way && e.key.toLowerCase() !== "r")) return;
    e.preventDefault();
    e.stopPropagation();
    if (Number(g.dataset.pocket) !== this.pocket) return this.stage.choose(Number(g.dataset.pocket));
    if (!this.room) return;
    if (!way) return this.turn(e.key === "R" ? -turnDegrees : turnDegrees);
    this.nudge(way, e.shiftKey ? 10 : 1);
  }

  // nudge goes a step of the grid, or as many of several as are allowed.
  nudge(way, most) {
    let move = this.move;
    for (let n = 0; n < most; n++) {
      const next = move.map((m, axis) => {
        if (way[axis] === 0) return m;
        const place = (this.room.at[axis] + m) / this.room.steps[axis];
        const line = way[axis] > 0 ? Math.floor(place + 1e-6) + 1 : Math.ceil(place - 1e-6) - 1;
        return line * this.room.steps[axis] - this.room.at[axis];
      });
      if (!mayMove(this.room, next)) break;
      move = next;
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

  turn(by) {
    const value = this.room.values.find((v) => v.key === "turn");
    if (!value) return this.tell([{ where: this.room.else, message: "`arrange` chose how it is turned: it is not turned here" }]);
    const now = Number(value.written || 0);
    return this.change({ key: "turn", value: String((((now + by) % 360) + 360) % 360) });
  }

  // change has something written; where it is not, all goes back to where it was.
  async change(what) {
    this.tell([]);
    const answer = await this.ask.edit({ sum: this.room.sum, at: this.at, ...what });
    if (answer.done) return;
    this.show([0, 0]);
    if (this.room) this.form();
    this.tell(answer.told ?? [{ message: "nothing was written" }]);
  }

  async undo() {
    const answer = await this.ask.undo();
    this.tell(answer.told ?? []);
  }

  tell(list) {
    byId("hands-told").replaceChildren(...list.map((f) => make("span", { dir: "auto" }, `${inLine(f)} `)));
  }

  // byHand says on the card what can be done in the file alone.
  byHand(list) {
    byId("hands")?.remove();
    byId("card").append(make("div", { id: "hands", class: "hands" }, ...list.map((f) => make("p", { class: "hint", dir: "auto" }, inLine(f)))));
  }

  // form has the numbers on the card, and what hands can do.
  form() {
    const button = (text, does, off) => {
      const b = make("button", { type: "button", disabled: off }, text);
      b.addEventListener("click", does);
      return b;
    };
    const many = this.room.pockets.length;
    const turns = this.room.values.some((v) => v.key === "turn");
    const pins = this.room.values.some((v) => v.key === "pin");
    const words = [
      `Drag it, or use the arrow keys (with Shift, ten steps); ${turns ? "R turns it, " : ""}Ctrl+Z takes a step back. It keeps wall and edge by itself, and each step is written into the file.`,
      many > 1 ? `The ${many} of its grid move together.` : "",
      pins ? "What you move is pinned: `arrange` leaves it there." : "",
    ];
    const form = make("div", { id: "hands", class: "hands" }, ...this.room.values.map((v) => this.row(v)),
      make("p", { class: "row" }, ...(turns ? [button(`Turn by ${turnDegrees}°`, () => this.turn(turnDegrees))] : []), button("Undo", () => this.undo(), this.steps === 0)),
      make("p", { class: "hint" }, words.filter(Boolean).join(" ")),
      make("p", { class: "hint" }, "All else of it is changed in the file, at ", make("code", {}, this.room.else), "."));
    byId("hands")?.remove();
    byId("card").append(form);
  }

  // row is a value that is set here or, where it stands for others as well, the line where it is.
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

// inLine is a finding in one line.
const inLine = (f) => `${f.where ? `${f.where}: ` : ""}${f.message}${f.hint ? `. What to do: ${f.hint}` : ""}`;
