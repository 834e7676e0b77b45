// Looks at look.html of output folders as a person does: in Debian's chromium, from the file,
// with the network off.
//
//   - ready, without an error on its console and without one request but for itself
//   - what its own follower and foam carve of each program is the dry run's volume, to 0.2 %
//   - an address names a second, and the page shows the operation that the dry run has there;
//     arrows and brackets move along; heights in the middle of pockets are the plan's
//   - names that are markup are shown and do nothing (the folder named last is a job of such)
//   - the sheets of the stock have their saw cuts, parts, offcuts and names
//   - ticks stay, but for those that are to be seen to each time
//   - nothing is wider than 390 px, and axe finds nothing serious, there and at 1240 px
//
// usage: node look.mjs OUT... NASTY [--carved OUT...] [--random N TRAYWRIGHT RULES]
// Folders behind --carved are not opened, their programs are carved; --random cuts N jobs drawn
// from a seed, and carves those.
// Run `npm ci` in this folder first. Needs /usr/bin/chromium.

import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { basename, join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';

import { Player } from '../../cam/page/look/player.mjs';

const require = createRequire(import.meta.url);
const { chromium } = require('playwright-core');
const axe = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');

const words = process.argv.slice(2);
const behind = (flag) => (words.includes(flag) ? words.slice(words.indexOf(flag) + 1) : []);
const until = (list) => (list.some((w) => w.startsWith('--')) ? list.slice(0, list.findIndex((w) => w.startsWith('--'))) : list);
const folders = until(words);
const faults = [];
const check = (good, message) => { if (!good) faults.push(message); };

// volumes runs the page's follower and foam here, program after program of each setup.
function volumes(out, scene, report, programs) {
  let worst = 0;
  let count = 0;
  for (const setup of scene.setups) {
    const player = new Player(setup, programs);
    let before = 0;
    setup.programs.forEach((p, k) => {
      player.seek(player.starts[k] + p.seconds);
      const volume = player.foam.volume();
      const want = report.dry_run.find((d) => d.path === p.path).removed_mm3;
      const off = Math.abs(volume - before - want) / Math.max(want, 1);
      check(player.followed, `${out}: ${p.path}: not followed`);
      check(off <= 0.002, `${out}: ${p.path}: the page carves ${(volume - before).toFixed(0)} mm3, the dry run ${want}`);
      [worst, count, before] = [Math.max(worst, off), count + 1, volume];
    });
    check(setup.programs.length === 0 || back(player), `${out}: ${setup.programs[0]?.path}: going back and forth leaves another foam`);
    if (setup.programs.length > 0) heights(out, scene, setup, player);
  }
  return `${count} programs carved, worst ${(100 * worst).toFixed(3)} % from the dry run`;
}

// back goes to a third and to the end again: the foam has to be the same.
function back(player) {
  const end = player.foam.depth.slice();
  player.seek(player.seconds / 3);
  player.seek(player.seconds);
  return player.foam.depth.every((d, i) => d === end[i]);
}

// heights of pockets that are milled away and end in this sheet, at their middle.
function heights(out, scene, setup, player) {
  for (const p of (setup.board ?? scene.trays[setup.parts[0][0]]).pockets) {
    const depth = p.depth_mm - setup.top_mm;
    if (p.plug || depth <= 0 || depth > setup.thick_mm - 1e-6) continue;
    if (p.path.split("M").length > 2) continue; // an island may stand in its middle
    const f = player.foam;
    const [x, y] = [(p.box[0] + p.box[2]) / 2, (p.box[1] + p.box[3]) / 2];
    const got = f.depth[Math.floor((y - f.y) / f.cell) * f.columns + Math.floor((x - f.x) / f.cell)];
    check(Math.abs(got - depth) < 0.02, `${out}: ${p.name}: ${got} deep in its middle, planned ${depth}`);
  }
}

// visit opens the page, and says what went wrong while it was there.
async function visit(browser, out, size, look) {
  const context = await browser.newContext({ viewport: size, offline: true, bypassCSP: false });
  const page = await context.newPage();
  const url = pathToFileURL(resolve(out, 'look.html')).href;
  page.on('console', (m) => check(m.type() !== 'error' && m.type() !== 'warning', `${out}: console: ${m.text()}`));
  page.on('pageerror', (e) => check(false, `${out}: ${e.message}`));
  page.on('dialog', (d) => { check(false, `${out}: a dialog: ${d.message()}`); d.dismiss(); });
  page.on('request', (r) => check(r.url().split('#')[0] === url || r.url().startsWith('data:'), `${out}: asks for ${r.url()}`));
  const started = Date.now();
  await page.goto(url);
  await page.waitForSelector('html[data-state=ready]', { state: 'attached', timeout: 20000 });
  const took = Date.now() - started;
  await look(page, url);
  await context.close();
  return took;
}

const told = (page) => page.locator('#ribbon').getAttribute('aria-valuetext');

// seeks goes to the middle of some operations of every program, by address.
async function seeks(out, page, scene) {
  for (const p of scene.setups.flatMap((s) => s.programs)) {
    for (const b of p.bands.filter((_, i) => i % Math.ceil(p.bands.length / 4) === 0)) {
      const middle = Math.round(50 * (b.from + b.to)) / 100;
      await page.evaluate((hash) => { location.hash = hash; }, `#setup/${encodeURIComponent(basename(p.path))}/${middle}`);
      await page.waitForFunction((hash) => decodeURIComponent(location.hash).endsWith(hash), `/${middle}`);
      await page.waitForTimeout(20);
      const text = await told(page);
      check(text.endsWith(`, ${b.name}`), `${out}: ${p.path} at ${middle} s: ${text}, the dry run has ${b.name}`);
    }
  }
}

// keys moves along the ribbon of the first setup without a mouse.
async function keys(out, page, scene) {
  const setup = scene.setups.find((s) => s.programs.some((p) => p.bands.length > 2));
  if (!setup) return;
  const [p] = setup.programs;
  await page.evaluate((hash) => { location.hash = hash; }, `#setup/${encodeURIComponent(basename(p.path))}/0`);
  await page.waitForTimeout(50);
  await page.locator('#ribbon').focus();
  await page.keyboard.press(']');
  const goes = async (key, to) => { // the address follows the ribbon when the page has time for it
    const near = (second) => Math.abs(Number(decodeURIComponent(location.hash).split('/').pop()) - second) < 0.02;
    await page.waitForFunction(near, to, { timeout: 5000 }).catch(() => {});
    check(await page.evaluate(near, to), `${out}: ${key} goes to ${page.url().split('#')[1]}, not to second ${to}`);
  };
  await goes(']', p.bands[0].to);
  await page.keyboard.press('ArrowRight');
  await goes('the right arrow', p.bands[0].to + 1);
  await page.keyboard.press('[');
  await goes('[', p.bands[0].to);
}

// tick sets the first box of the order of work, and one of those that are seen to each time.
async function tick(out, page) {
  await page.locator('.work input').first().check();
  await page.locator('.first input').first().check();
  await page.reload();
  await page.waitForSelector('html[data-state=ready]', { state: 'attached' });
  check(await page.locator('.work input').first().isChecked(), `${out}: a tick is gone after a reload`);
  check(!(await page.locator('.first input').first().isChecked()), `${out}: what is to be seen to each time stays ticked`);
}

async function accessible(out, page) {
  const result = await page.evaluate(axe + '; axe.run({ resultTypes: ["violations"] })');
  for (const v of result.violations) {
    const bad = v.impact === 'serious' || v.impact === 'critical';
    check(!bad, `${out}: axe: ${v.id}: ${v.help}: ${v.nodes.slice(0, 3).map((n) => n.target).join('; ')}`);
  }
}

async function parts(out, page, scene) {
  for (const part of ['case', 'drawer', 'ribbon', 'card']) check((await page.locator(`[data-part=${part}]`).count()) > 0, `${out}: no ${part}`);
  if (scene.trays.some((t) => t.pockets.length > 0)) check((await page.locator('[data-part=pocket]').count()) > 0, `${out}: no pocket`);
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  check(wide <= 0, `${out}: ${wide} px wider than the window`);
}

// stock: on each sheet of the stock every saw cut goes from where to where the scene has it, every part and offcut
// is drawn, and in the middle of each that has room for it stands what it is called.
async function stock(out, page, scene) {
  const drawn = await page.locator('#sheets figure').evaluateAll((figures) => figures.map((f) => {
    const ends = (l) => ['x1', 'y1', 'x2', 'y2'].map((k) => Number(l.getAttribute(k)));
    const paths = (name) => [...f.querySelectorAll(`path.${name}`)].map((p) => p.getAttribute('d'));
    const texts = [...f.querySelectorAll('text')].map((t) => ({ text: t.textContent, at: [Number(t.getAttribute('x')), Number(t.getAttribute('y'))], size: Number(t.getAttribute('font-size')) }));
    return { cuts: [...f.querySelectorAll('line.saw')].map(ends), parts: paths('part'), kept: paths('offcut'), texts };
  }));
  const sheets = scene.stock ?? [];
  check(drawn.length === sheets.length, `${out}: ${drawn.length} sheets of the stock are drawn, the scene has ${sheets.length}`);
  for (const [i, s] of sheets.entries()) {
    if (!drawn[i]) continue;
    const same = (what, got, want) => check(JSON.stringify(got) === JSON.stringify(want), `${out}: ${s.head}: ${what}: drawn ${JSON.stringify(got)}, the scene has ${JSON.stringify(want)}`);
    same('saw cuts', drawn[i].cuts, s.cuts.map((c) => [...c.from, ...c.to]));
    same('parts', drawn[i].parts, s.parts.map((p) => p.path));
    same('offcuts', drawn[i].kept, s.kept.map((o) => o.path));
    for (const c of s.cuts) check(drawn[i].texts.some((t) => t.text === c.at), `${out}: ${s.head}: no measure ${c.at}`);
    for (const laid of [...s.parts, ...s.kept]) {
      const [left, bottom, right, top] = laid.box;
      const [wide, high] = [Math.max(right - left, top - bottom), Math.min(right - left, top - bottom)];
      const letters = Math.max(...s.size_mm.map((mm, k) => (k === 0 ? mm : 0.7 * mm))) / 20;
      if (wide < (laid.mark || laid.name).length * 0.7 * letters || high < 1.1 * letters) continue;
      const middle = drawn[i].texts.find((t) => Math.hypot(t.at[0] - (left + right) / 2, t.at[1] - s.size_mm[1] + (bottom + top) / 2) < 1e-6 * wide);
      check([laid.mark, laid.name, `${laid.mark}: ${laid.name}`].filter(Boolean).includes(middle?.text), `${out}: ${s.head}: in the middle of ${laid.name} stands ${middle?.text}`);
    }
  }
}

// opened is what the page of a folder has in it.
function opened(out) {
  const text = readFileSync(join(out, 'look.html'), 'utf8');
  const part = (id) => JSON.parse(text.match(new RegExp(`<script type="application/json" id="${id}">(.*?)</script>`, 's'))[1]);
  return { size: text.length, scene: part('scene'), report: part('report'), programs: part('programs') };
}

function carved(out) {
  const { scene, report, programs } = opened(out);
  return volumes(out, scene, report, programs);
}

// randomJob is a tray of pockets in a grid of 45 mm, with a seed of its own.
function randomJob(seed) {
  let state = seed * 2654435761 % 4294967296;
  const draw = (low, high) => {
    state = (state * 1664525 + 1013904223) % 4294967296; // Numerical Recipes' generator
    return low + (state / 4294967296) * (high - low);
  };
  const one = (list) => list[Math.floor(draw(0, list.length))];
  const laser = seed % 2 === 1;
  const [columns, rows] = [Math.floor(draw(1, 5)), Math.floor(draw(1, 4))];
  const pockets = [];
  for (let i = 0; i < columns * rows; i++) {
    const at = `at: [${(15 + 45 * (i % columns) + draw(0, 2)).toFixed(2)}, ${(15 + 45 * Math.floor(i / columns) + draw(0, 2)).toFixed(2)}]`;
    const [l, w] = [draw(18, 28).toFixed(2), draw(18, 28).toFixed(2)];
    const shape = one([`round: ${l}`, `size: [${l}, ${w}]`, `size: [${l}, ${w}], corner: 4`, `size: [${l}, ${w}], notch: n, notch_width: 15, notch_reach: 6`, `size: [${l}, ${w}], turn: ${draw(0, 90).toFixed(1)}`]);
    const depth = laser ? '' : one(['', ', depth: through', `, depth: ${draw(2, 24).toFixed(2)}`, ', waste: clear']);
    pockets.push(`      - {${at}, ${shape}${depth}}`);
  }
  const size = `[${columns * 45 + 25}, ${rows * 45 + 25}]`;
  const layers = laser ? '[{foam: pe-30, thickness: 12.7 mm}]' : one(['[{foam: pe-30, thickness: 1 in}]', '[{foam: pe-45, thickness: 1 in}, {foam: pe-30, thickness: 12.7 mm}]']);
  return `machine: ${laser ? 'bench-laser' : 'bench-router'}\nunits: mm\ntrays:\n  - id: drawn\n    size: ${size}\n    wall: 6\n    edge: 10\n    layers: ${layers}\n    pockets:\n${pockets.join('\n')}\n`;
}

function randomJobs([count, tool, rules]) {
  const work = mkdtempSync(join(tmpdir(), 'look-jobs-'));
  for (let seed = 1; seed <= Number(count); seed++) {
    const job = join(work, `job${seed}.yaml`);
    writeFileSync(job, randomJob(seed));
    const done = spawnSync(tool, ['cut', job, '--shop-rules', rules, '--quiet', '--out', join(work, `out${seed}`)], { encoding: 'utf8' });
    check(done.status === 0, `random job ${seed}: ${done.stderr}\n${randomJob(seed)}`);
    if (done.status === 0) carved(join(work, `out${seed}`));
  }
  rmSync(work, { recursive: true, force: true });
  console.log(`${count} random jobs carved`);
}

for (const out of until(behind('--carved'))) console.log(`${out}: ${carved(out)}`);
if (behind('--random').length > 0) randomJobs(behind('--random'));

const profile = mkdtempSync(join(tmpdir(), 'look-'));
const browser = await chromium.launch({
  executablePath: '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync', `--disk-cache-dir=${profile}`],
});
for (const out of folders) {
  const { size, scene } = opened(out);
  const summary = carved(out);
  const took = await visit(browser, out, { width: 1240, height: 860 }, async (page) => {
    await parts(out, page, scene);
    await stock(out, page, scene);
    await seeks(out, page, scene);
    await keys(out, page, scene);
    await tick(out, page);
    await accessible(out, page);
  });
  await visit(browser, out, { width: 390, height: 844 }, async (page) => {
    await parts(out, page, scene);
    await accessible(out, page);
    if (out !== folders[folders.length - 1]) return;
    check((await page.title()).startsWith('</script><script>'), `${out}: the title is ${await page.title()}`);
    check((await page.locator('img').count()) === 0, `${out}: a name became an image`);
    check((await page.evaluate(() => document.body.innerText)).includes('<img src=x'), `${out}: a name is not shown as written`);
  });
  console.log(`${out}: look.html ${(size / 1000).toFixed(0)} kB, ready after ${took} ms; ${summary}`);
}
await browser.close();
rmSync(profile, { recursive: true, force: true });

if (faults.length > 0) {
  console.error(faults.join('\n'));
  process.exit(1);
}
console.log(`look.mjs: ${folders.length} folders, nothing wrong`);
