// The page: what is looked at, and when. The address holds the place:
// #setup/PROGRAM/SECONDS.

import { asker } from "./ask.mjs";
import { showCard } from "./card.mjs";
import { pull, showCases, showChest } from "./chest.mjs";
import { byId, clock, make, readJSON, whole } from "./dom.mjs";
import { Hands } from "./hands.mjs";
import { Live } from "./live.mjs";
import { Loose } from "./loose.mjs";
import { Ribbon } from "./ribbon.mjs";
import { Stage } from "./stage.mjs";
import { showStock } from "./stock.mjs";
import { keepTicks } from "./ticks.mjs";
import { plan, section } from "./tray.mjs";

/** @type {Look.Scene} */
let drawn = readJSON("scene");
/** @type {{case: number, tray: number, setup: number, second: number, pocket: number | null}} */
const now = { case: 0, tray: 0, setup: 0, second: 0, pocket: null };
/** @param {string} path */
const baseName = (path) => path.slice(path.lastIndexOf("/") + 1);
const stage = new Stage((pocket) => choosePocket(pocket));
const ask = asker();
const hands = ask ? new Hands(ask, stage) : null;
const ribbon = new Ribbon((second) => seek(second));

// openTray pulls a tray out, and lays its uppermost sheet on the stage, finished.
/** @param {number} tray */
function openTray(tray) {
  const [first] = setupsOf(tray);
  open(first ?? 0, tray, null);
}

// setupsOf are the setups that a sheet of a tray is cut in, uppermost first.
/** @param {number} tray @returns {number[]} */
function setupsOf(tray) {
  /** @param {Look.Setup} s */
  const layer = (s) => s.parts.find(([t]) => t === tray)?.[1];
  return drawn.setups.map((s) => layer(s) ?? -1).map((l, i) => /** @type {Look.Point} */ ([l, i])).filter(([l]) => l >= 0).sort((a, b) => a[0] - b[0]).map(([, i]) => i);
}

// open lays a setup on the stage, at a second of it or, where there is none, done.
/** @param {number} setup @param {number} tray @param {number | null} second */
function open(setup, tray, second) {
  stop();
  Object.assign(now, { setup, tray, pocket: null });
  const s = drawn.setups[setup];
  stage.open(s, boardOf(s));
  const found = drawn.cases.findIndex((c) => c.trays.flat().includes(tray));
  if (found >= 0 && !drawn.cases[now.case]?.trays.flat().includes(tray)) now.case = found;
  showChest(drawn, now.case, openTray);
  pull(tray);
  showLayers();
  ribbon.show(s, stage.player);
  const first = stage.shapes[0];
  choosePocket(first ? Number(first.dataset.pocket) : null);
  seek(second ?? stage.player.seconds);
}

// showLayers are the sheets of the tray, to choose from.
function showLayers() {
  byId("layers").replaceChildren(...setupsOf(now.tray).map((i) => {
    const b = make("button", { type: "button", "aria-pressed": String(i === now.setup) }, nameOf(drawn.setups[i]));
    b.addEventListener("click", () => open(i, now.tray, null));
    return b;
  }));
}

// boardOf is what lies on the stage: the tray or, of a sheet of stock, all that is cut from it.
/** @param {Look.Setup} setup */
const boardOf = (setup) => setup.board ?? drawn.trays[now.tray];

/** @param {Look.Setup} setup */
function nameOf(setup) {
  if (setup.board) return `${setup.board.name}, ${setup.foam}`;
  const layer = setup.parts.find(([t]) => t === now.tray)?.[1];
  return layer ? `layer ${layer}, ${setup.foam}` : `block, ${setup.foam}`;
}

/** @param {number | null} pocket */
function choosePocket(pocket) {
  now.pocket = pocket;
  stage.select(pocket);
  showCard(boardOf(drawn.setups[now.setup]), pocket);
  hands?.chosen(boardOf(drawn.setups[now.setup]), pocket);
}

// seek goes to a second of the setup.
/** @param {number} second */
function seek(second) {
  now.second = Math.min(stage.player.seconds, Math.max(0, second));
  const at = stage.seek(now.second);
  tell(at);
}

// tell says in words and in the address where all is.
/** @param {ReturnType<Stage["seek"]>} at */
function tell(at) {
  const s = drawn.setups[now.setup];
  const tray = boardOf(s);
  const program = at && s.programs[at.program];
  const second = at?.second ?? 0;
  const band = at ? program?.bands[at.band] : undefined;
  byId("title").textContent = tray.name;
  byId("about").textContent = [nameOf(s), band?.tool_name, program && baseName(program.path)].filter(Boolean).join(" · ");
  /** @type {HTMLElement} */ (byId("now").parentElement).hidden = !program;
  byId("now").textContent = !program ? "" : clock(stage.done ? whole(program.seconds) : second);
  byId("whole").textContent = !program ? "" : stage.done ? "to cut" : `of ${clock(whole(program.seconds))}`;
  byId("caption").textContent = stage.done ? "As it will be, plugs lifted out and rim off. The darker the deeper, on one scale for the whole job." : `As the program leaves it at ${clock(second)}. Now: ${band?.name ?? "between operations"}.`;
  if (!stage.player.followed) byId("caption").textContent += " This page could not follow the program: go by the pictures in the folder.";
  ribbon.move(now.second, second, program ? `${clock(second)} of ${clock(whole(program.seconds))}, ${band?.name ?? ""}` : "", stage.done === true);
  if (program) address(program, second);
}

let waiting = 0; // for the address to be written: browsers take it ill when it changes with every picture

/** @param {Look.Program} program @param {number} second */
function address(program, second) {
  clearTimeout(waiting);
  const place = `#setup/${encodeURIComponent(baseName(program.path))}/${Math.round(second * 100) / 100}`;
  if (place === location.hash || !ready) return;
  waiting = setTimeout(() => {
    try {
      history.replaceState(null, "", place);
    } catch {
      // a browser that allows no such change keeps the address as it was
    }
  }, 150);
}

// follow opens what the address names; true where it names something.
function followAddress() {
  const [kind, name, seconds] = location.hash.slice(1).split("/");
  if (kind !== "setup" || !name) return false;
  let wanted = name;
  try {
    wanted = decodeURIComponent(name);
  } catch {
    return false;
  }
  for (const [i, s] of drawn.setups.entries()) {
    const k = s.programs.findIndex((p) => baseName(p.path) === wanted);
    if (k < 0) continue;
    const second = seconds === undefined || Number.isNaN(Number(seconds)) ? s.programs[k].seconds : Number(seconds);
    const before = s.programs.slice(0, k).reduce((sum, p) => sum + p.seconds, 0);
    const parts = s.parts.map(([t]) => t);
    open(i, parts.includes(now.tray) ? now.tray : parts[0], before + Math.min(Math.max(0, second), s.programs[k].seconds));
    return true;
  }
  return false;
}

// step goes to the beginning of the operation before or behind.
/** @param {number} by */
function step(by) {
  const starts = drawn.setups[now.setup].programs.flatMap((p, k) => p.bands.map((b) => b.from + stage.player.starts[k]));
  const list = [...starts, stage.player.seconds];
  seek((by > 0 ? list.find((t) => t > now.second + 0.005) : list.findLast((t) => t < now.second - 0.005)) ?? now.second);
}

/** @type {Record<string, (e: KeyboardEvent) => void>} */
const keys = {
  ArrowLeft: (e) => seek(now.second - (e.shiftKey ? 10 : 1)), ArrowRight: (e) => seek(now.second + (e.shiftKey ? 10 : 1)),
  ArrowDown: (e) => seek(now.second - (e.shiftKey ? 10 : 1)), ArrowUp: (e) => seek(now.second + (e.shiftKey ? 10 : 1)),
  PageDown: () => seek(now.second - 30), PageUp: () => seek(now.second + 30),
  Home: () => seek(0), End: () => seek(stage.player.seconds),
  "[": () => step(-1), "]": () => step(1),
};

// onKey: everything on the ribbon; elsewhere on the bench, or where nothing has the focus,
// only what scrolls nothing.
/** @param {KeyboardEvent} e */
function onKey(e) {
  if (e.ctrlKey || e.metaKey || e.altKey || !keys[e.key]) return;
  const on = document.activeElement;
  const free = on === document.body || on === null || byId("bench").contains(on);
  const sideways = e.key === "[" || e.key === "]" || e.key === "ArrowLeft" || e.key === "ArrowRight";
  if (on !== ribbon.track && !(free && sideways)) return;
  e.preventDefault();
  stop();
  keys[e.key](e);
}

let playing = 0; // the picture that is asked for; 0 for none

function stop() {
  cancelAnimationFrame(playing);
  playing = 0;
  byId("play").textContent = "Play";
  byId("play").setAttribute("aria-pressed", "false");
}

// play runs the setup through in about half a minute.
function play() {
  if (playing) return stop();
  if (stage.done) seek(0);
  let last = performance.now();
  /** @param {number} time */
  const frame = (time) => {
    const speed = stage.player.seconds / 30;
    seek(now.second + Math.max(0, time - last) / 1000 * speed);
    last = time;
    playing = requestAnimationFrame(frame);
    if (stage.done) stop();
  };
  playing = requestAnimationFrame(frame);
  byId("play").textContent = "Pause";
  byId("play").setAttribute("aria-pressed", "true");
}

function showScale() {
  byId("scale").replaceChildren(make("span", {}, "top"), ...drawn.ramp.map((colour) => {
    const i = make("i");
    i.style.background = colour;
    return i;
  }), make("span", {}, drawn.deepest));
}

let ready = false;

// take reads what the page has in it, and fills all that does not hang on what is looked at.
function take() {
  drawn = readJSON("scene");
  stage.take(drawn, readJSON("programs"));
  keepTicks();
  showStock(drawn.stock);
  showScale();
  for (const place of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-section]"))) {
    const tray = drawn.trays[Number(place.dataset.section)];
    place.append(plan(tray), section(tray, tray.box[2] - tray.box[0], 1));
  }
  showCases(drawn.cases, (i) => {
    now.case = i;
    const [top, second] = drawn.cases[i].trays.flat();
    openTray(drawn.cases[i].trays.length > 1 ? second : top);
  });
}

// most is the tray with the most pockets.
const most = () => drawn.trays.reduce((best, t, i) => (t.pockets.length > drawn.trays[best].pockets.length ? i : best), 0);

// again shows the page as it is now, at the tray, the sheet and the pocket that it showed; at what
// the address names, until somebody looks elsewhere: its programs may be tried only now.
/** @param {() => void} renew */
function again(renew) {
  const was = drawn.trays[now.tray]?.id;
  const put = hands?.fresh; // by a hand: it is the tray's last, and the keys are to go on with it
  const id = put || was;
  const [layer, pocket] = [setupsOf(now.tray).indexOf(now.setup), now.pocket];
  const held = document.activeElement?.getAttribute("data-part") === "pocket";
  renew();
  take();
  const tray = drawn.trays.findIndex((t) => t.id === id);
  const setups = setupsOf(tray);
  if (drawn.trays.length === 0) return;
  if (addressed && followAddress()) return;
  if (tray < 0 || setups.length === 0) return openTray(most());
  open(setups[id === was ? Math.max(0, Math.min(layer, setups.length - 1)) : 0], tray, null);
  if (hands) hands.fresh = "";
  const wanted = put ? drawn.trays[tray].pockets.length - 1 : pocket;
  if (wanted !== null && stage.shapes.some((g) => Number(g.dataset.pocket) === wanted)) choosePocket(wanted);
  if (held || put) stage.shapes.find((g) => Number(g.dataset.pocket) === now.pocket)?.focus();
}

let addressed = location.hash !== "";

for (const act of ["pointerdown", "keydown", "click"]) addEventListener(act, () => (addressed = false), { once: true });

take();
if (!followAddress() && drawn.trays.length > 0) openTray(most());
ready = true;
byId("play").addEventListener("click", play);
document.addEventListener("keydown", onKey);
addEventListener("hashchange", followAddress);
if (ask && hands) new Live(ask, again, stage, hands, new Loose(ask, stage, hands, () => drawn.trays[now.tray]?.id ?? "")).follow();
document.documentElement.dataset.state = "ready";
