// The stage: the foam of one setup from above, as its programs leave it at a second, and the
// tool. At the end it shows the sheet as hands leave it, plugs lifted and rim off.

import { byId, draw } from "./dom.mjs";
import { eachRun } from "./area.mjs";
import { placeOn } from "./follow.mjs";
import { Player } from "./player.mjs";
import { Relief } from "./relief.mjs";
import { shapes, things } from "./tray.mjs";

const trailMM = 60;

/** @param {HTMLCanvasElement} canvas */
const contextOf = (canvas) => /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));

export class Stage {
  // what lies on it, once it is open
  /** @type {Look.Scene} */ drawn;
  /** @type {Record<string, string>} */ texts;
  /** @type {Relief} */ relief;
  /** @type {Map<Look.Setup, Player>} */ players;
  /** @type {Look.Setup} */ setup;
  /** @type {Look.Tray} */ tray;
  /** @type {Player} */ player;
  /** @type {ImageData} */ image;
  /** @type {Uint8Array} */ inside;
  /** @type {SVGSVGElement} */ svg;
  /** @type {SVGPolylineElement} */ path;
  /** @type {SVGGElement} */ tool;
  /** @type {SVGGElement[]} */ shapes = [];
  /** @type {Look.Wrong[]} */ wrong = [];
  /** @type {boolean | null} */ done = null;

  // choose(pocket) is called for the pocket that a hand picks.
  /** @param {(pocket: number) => void} choose */
  constructor(choose) {
    this.choose = choose;
    this.canvas = /** @type {HTMLCanvasElement} */ (byId("relief"));
    this.sheet = document.createElement("canvas");
    this.round = draw("circle", { class: "round" });
    this.onSheet = contextOf(this.sheet);
    this.onCanvas = contextOf(this.canvas);
    addEventListener("resize", () => this.setup && this.overlay());
  }

  // take lays another job's trays and programs ready.
  /** @param {Look.Scene} drawn @param {Record<string, string>} texts */
  take(drawn, texts) {
    const css = getComputedStyle(document.documentElement);
    /** @param {string} n */
    const colour = (n) => css.getPropertyValue(n).trim();
    this.drawn = drawn;
    this.texts = texts;
    this.relief = new Relief({ ramp: drawn.ramp, foam: colour("--foam"), ink: colour("--ink"), white: colour("--white") }, drawn.deepest_mm);
    this.players = new Map();
  }

  // open shows a setup of a tray.
  /** @param {Look.Setup} setup @param {Look.Tray} tray */
  open(setup, tray) {
    this.setup = setup;
    this.tray = tray;
    this.player = this.players.get(setup) ?? new Player(setup, this.texts);
    this.players.clear(); // one foam is enough for a phone
    this.players.set(setup, this.player);
    const foam = this.player.foam;
    this.sheet.width = foam.columns;
    this.sheet.height = foam.rows;
    this.image = this.onSheet.createImageData(foam.columns, foam.rows);
    this.inside = new Uint8Array(foam.columns * foam.rows);
    eachRun(foam, tray.outline, (row, c0, c1) => this.inside.fill(1, row * foam.columns + c0, row * foam.columns + c1));
    this.done = null;
    this.overlay();
  }

  // overlay lays pockets and tool over the foam.
  overlay() {
    const foam = this.player.foam;
    const [w, h] = [foam.columns * foam.cell, foam.rows * foam.cell];
    const box = byId("foam");
    box.style.aspectRatio = `${w} / ${h}`;
    box.style.setProperty("--shape", `${w / h}`);
    const pixels = box.clientWidth / w;
    box.querySelector("svg")?.remove();
    this.svg = draw("svg", { viewBox: `${foam.x} ${-foam.y - h} ${w} ${h}`, class: "over", role: "group", "aria-label": "Pockets" });
    this.shapes = shapes(this.tray, this.setup, pixels, this.choose);
    this.path = draw("polyline", { class: "way tool" });
    this.tool = draw("g", { class: "tool" }, this.round, draw("circle", { class: "tip", r: 1.1 }));
    this.svg.append(draw("path", { d: this.tray.outline, transform: "scale(1 -1)", class: "rim" }), ...this.shapes, this.path, this.tool);
    box.append(this.svg);
    this.showWrong(this.wrong);
    const ratio = Math.min(2, devicePixelRatio || 1);
    this.canvas.width = Math.round(box.clientWidth * ratio);
    this.canvas.height = Math.round(box.clientWidth * ratio * (h / w));
    if (this.done !== null) this.draw();
  }

  // seek brings the foam to a second and says where that is in the programs.
  /** @param {number} second */
  seek(second) {
    const place = this.player.seek(second);
    const done = second >= this.player.seconds;
    const foam = this.player.foam;
    let rows = foam.touched;
    foam.touched = null;
    if (done !== this.done) rows = [0, foam.rows];
    this.done = done;
    if (rows) this.shade(rows);
    const at = this.setup.programs.length > 0 ? this.player.at(second) : null;
    this.showTool(done ? null : place, second);
    this.mark(second);
    return at;
  }

  /** @param {Look.Point} rows */
  shade(rows) {
    const foam = this.player.foam;
    const view = { depth: this.done ? this.finished() : foam.depth, thickMM: foam.thickMM, deepestMM: this.drawn.deepest_mm, inside: this.inside, bare: this.done === true, hatch: !this.done || this.setup.last };
    this.relief.paint(this.image, foam, view, rows);
    this.onSheet.putImageData(this.image, 0, 0);
    this.draw();
  }

  // finished is the foam when plugs are lifted out: each pocket and what is cut of labels down to its depth in this sheet.
  finished() {
    const foam = this.player.foam;
    const depth = foam.depth.slice();
    for (const p of things(this.tray)) {
      const d = Math.min(p.depth_mm - this.setup.top_mm, foam.thickMM);
      if (d <= 1e-6) continue;
      eachRun(foam, p.path, (row, c0, c1) => {
        for (let i = row * foam.columns + c0; i < row * foam.columns + c1; i++) depth[i] = Math.max(depth[i], d);
      });
    }
    return depth;
  }

  draw() {
    const context = this.onCanvas;
    context.clearRect(0, 0, this.canvas.width, this.canvas.height);
    context.imageSmoothingQuality = "high";
    context.drawImage(this.sheet, 0, 0, this.canvas.width, this.canvas.height);
  }

  // scale is where the foam lies in the window.
  scale() {
    return /** @type {DOMMatrix} */ (this.svg.getScreenCTM());
  }

  // showTool draws the tool as wide as it cuts, and the way that it has just come.
  /** @param {Look.Place | null} place @param {number} second */
  showTool(place, second) {
    this.tool.style.display = this.path.style.display = place ? "" : "none";
    if (!place) return;
    const n = Math.min(this.player.moveAt(second), this.player.moves.length - 1);
    const m = this.player.moves[n];
    this.tool.setAttribute("transform", `translate(${place.x} ${-place.y})`);
    this.round.setAttribute("r", String(Math.max(1.2, m.blade[0].radius_mm)));
    this.path.setAttribute("points", this.wayTo(n, m, place).map((p) => `${p.x},${-p.y}`).join(" "));
  }

  // wayTo is where the tool has been on its last few centimetres.
  /** @param {number} n @param {Look.Played} m @param {Look.Place} place */
  wayTo(n, m, place) {
    /** @type {Look.Place[]} */
    const points = [];
    let left = trailMM;
    for (let k = n; k >= 0 && left > 0; k--) {
      const w = this.player.moves[k];
      const end = k === n ? place : placeOn(w, 1);
      const part = k === n ? this.player.part : 1;
      points.unshift(...(w.centre ? [0.25, 0.5, 0.75].map((t) => placeOn(w, t * part)) : []), end);
      const start = placeOn(w, 0);
      points.unshift(start);
      left -= Math.hypot(end.x - start.x, end.y - start.y) + (w.centre ? 1 : 0);
    }
    return points;
  }

  // mark tells pockets that are cut from those that are to come.
  /** @param {number} second */
  mark(second) {
    /** @type {Map<number, number>} */
    const cut = new Map();
    this.setup.programs.forEach((p, k) => {
      for (const b of p.bands) {
        for (const i of b.pockets) cut.set(i, Math.max(cut.get(i) ?? 0, b.to + this.player.starts[k]));
      }
    });
    for (const g of this.shapes) {
      const to = cut.get(Number(g.dataset.pocket));
      g.classList.toggle("done", this.done || (to !== undefined && second >= to));
      g.classList.toggle("open", this.done || (to !== undefined && second >= to && !g.classList.contains("plug")));
    }
  }

  // showWrong hatches what a refused job has wrong in the tray, over its last good state.
  /** @param {Look.Wrong[]} list */
  showWrong(list) {
    this.wrong = list;
    if (!this.svg) return;
    for (const old of this.svg.querySelectorAll(".wrong")) old.remove();
    const here = list.filter((w) => w.tray === this.tray.id);
    if (here.length > 0) this.svg.append(draw("pattern", { id: "hazard", class: "wrong", width: 4, height: 4, patternUnits: "userSpaceOnUse", patternTransform: "rotate(45)" }, draw("rect", { width: 4, height: 4, class: "light" }), draw("rect", { width: 2, height: 4, class: "dark" })));
    for (const w of here) this.svg.append(draw("path", { d: w.path, transform: "scale(1 -1)", fill: "url(#hazard)", class: "wrong" }, draw("title", {}, w.text)));
  }

  // select marks the pocket that the card shows.
  /** @param {number | null} pocket */
  select(pocket) {
    for (const g of this.shapes) {
      const chosen = Number(g.dataset.pocket) === pocket;
      g.classList.toggle("chosen", chosen);
      g.setAttribute("aria-pressed", String(chosen));
    }
  }
}
