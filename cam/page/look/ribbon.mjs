// The time ribbon: a band for each operation of a setup, as wide as its minutes, a notch where
// the tool changes, and the place of the tool in time.

import { byId, clock, make, whole } from "./dom.mjs";

/** @import { Player } from "./player.mjs" */

export class Ribbon {
  // seek(second) is called when a hand moves along the ribbon.
  /** @param {(second: number) => void} seek */
  constructor(seek) {
    this.track = byId("ribbon");
    this.says = make("span");
    this.mark = make("div", { class: "mark tool" }, this.says);
    this.seconds = 1e-3;
    /** @type {[number, number, HTMLElement][]} */
    this.fills = [];
    /** @param {PointerEvent} e */
    const to = (e) => {
      const box = this.track.getBoundingClientRect();
      seek(Math.min(1, Math.max(0, (e.clientX - box.left) / box.width)) * this.seconds);
    };
    this.track.addEventListener("pointerdown", (e) => {
      this.track.setPointerCapture(e.pointerId);
      to(e);
    });
    this.track.addEventListener("pointermove", (e) => {
      if (this.track.hasPointerCapture(e.pointerId)) to(e);
    });
  }

  // show lays out the bands of a setup.
  /** @param {Look.Setup} setup @param {Player} player */
  show(setup, player) {
    this.seconds = Math.max(player.seconds, 1e-3);
    this.fills = [];
    const bands = setup.programs.flatMap((p, k) => p.bands.map((b) => ({ ...b, from: b.from + player.starts[k], to: b.to + player.starts[k] })));
    this.track.replaceChildren(...bands.map((b, i) => this.band(b, bands[i - 1])), this.mark);
    byId("names").replaceChildren(...this.names(bands));
    byId("ends").replaceChildren(...setup.programs.map((p, k) => this.place(make("span", {}, setup.programs.length > 1 ? `${clock(whole(p.seconds))}, program ${k + 1}` : clock(whole(p.seconds))), player.starts[k], player.starts[k] + p.seconds)));
    this.track.setAttribute("aria-valuemax", String(Math.round(player.seconds)));
    byId("ribbon-part").hidden = setup.programs.length === 0;
  }

  /** @param {HTMLElement} element @param {number} from @param {number} to */
  place(element, from, to) {
    element.style.left = `${(100 * from) / this.seconds}%`;
    element.style.width = `${(100 * (to - from)) / this.seconds}%`;
    return element;
  }

  /** @param {Look.Band} b @param {Look.Band | undefined} before */
  band(b, before) {
    const fill = make("i");
    this.fills.push([b.from, b.to, fill]);
    const changes = before && before.tool !== b.tool;
    return this.place(make("div", { class: changes ? "band notch" : "band", title: `${b.name}, ${b.tool_name}` }, fill), b.from, b.to);
  }

  // names are those of operations in a row that are alike, where there is room for them.
  /** @param {Look.Band[]} bands */
  names(bands) {
    /** @type {{name: string, from: number, to: number, count: number}[]} */
    const runs = [];
    for (const b of bands) {
      const last = runs[runs.length - 1];
      if (last?.name === b.name) Object.assign(last, { to: b.to, count: last.count + 1 });
      else runs.push({ name: b.name, from: b.from, to: b.to, count: 1 });
    }
    const names = byId("names"), room = names.clientWidth / this.seconds;
    const style = getComputedStyle(names), pen = document.createElement("canvas").getContext("2d");
    if (pen) pen.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
    /** @param {string} text */
    const wide = (text) => Math.max(7.2 * text.length, pen ? pen.measureText(text).width : 0) + 10;
    /** @type {{text: string, from: number, to: number, left: number, right: number}[]} */
    const taken = [];
    for (const r of runs.sort((a, b) => b.to - b.from - (a.to - a.from))) {
      const text = r.count > 1 ? `${r.name} ×${r.count}` : r.name;
      const [left, right] = [r.from * room, r.from * room + wide(text)];
      if (right > this.seconds * room || taken.some((t) => left < t.right && t.left < right)) continue;
      taken.push({ text, from: r.from, to: r.to, left, right });
    }
    return taken.sort((a, b) => a.from - b.from).map((r) => this.place(make("span", { dir: "auto" }, r.text), r.from, r.to));
  }

  // move puts the mark to a second; own is that of the program.
  /** @param {number} second @param {number} own @param {string} text @param {boolean} done */
  move(second, own, text, done) {
    for (const [from, to, fill] of this.fills) {
      const part = to > from ? Math.min(1, Math.max(0, (second - from) / (to - from))) : Number(second >= to);
      fill.style.width = `${100 * part}%`;
    }
    const part = second / this.seconds;
    this.mark.style.left = `${100 * part}%`;
    this.mark.hidden = done;
    this.says.textContent = clock(own);
    this.mark.classList.toggle("late", part > 0.92);
    this.mark.classList.toggle("early", part < 0.05);
    this.track.setAttribute("aria-valuenow", String(Math.round(second)));
    this.track.setAttribute("aria-valuetext", text);
  }
}
