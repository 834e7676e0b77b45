// Looks at look.html and at `traywright look` in Firefox, as `.ci/outside/look.mjs` and `look_live.mjs` do in
// chromium, by WebDriver BiDi, which Firefox speaks by itself: nothing is needed but Debian's firefox-esr and node. It is not
// in the gate, which would be a minute and a browser of 250 MB longer.
//
//   - ready, no error on the console, nothing asked for but itself
//   - an address names a second, and the page shows the operation that the dry run has there
//   - axe finds nothing serious, and nothing is wider than the window, at 1240 and at 390 px
//   - live: what is saved is shown; a pocket is dragged by mouse, moved by keys, sent into another tray from its card, and taken back
//
// usage: node --experimental-websocket .ci/firefox.mjs TRAYWRIGHT JOBFOLDER PICTURES OUT...

import { spawn, spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join, resolve } from 'node:path';
import { pathToFileURL } from 'node:url';

const [tool, folder, pictures, ...outs] = process.argv.slice(2);
const axe = readFileSync(new URL('outside/node_modules/axe-core/axe.min.js', import.meta.url), 'utf8');
const faults = [];
const check = (good, message) => { if (!good) faults.push(message); };
mkdirSync(pictures, { recursive: true });

const profile = mkdtempSync(join(tmpdir(), 'look-firefox-'));
const firefox = spawn('firefox-esr', ['--headless', '--no-remote', '--profile', profile, '--remote-debugging-port', '0'], { stdio: ['ignore', 'ignore', 'pipe'] });
const port = await new Promise((done, failed) => {
  firefox.stderr.on('data', (text) => { const m = String(text).match(/BiDi listening on ws:\/\/127\.0\.0\.1:(\d+)/); if (m) done(m[1]); });
  firefox.once('exit', () => failed(new Error('firefox-esr does not start')));
});
const socket = new WebSocket(`ws://127.0.0.1:${port}/session`);
await new Promise((done) => socket.addEventListener('open', done));
const asked = new Map();
let heard = () => {};
socket.addEventListener('message', ({ data }) => {
  const m = JSON.parse(data);
  if (m.type === 'event') return heard(m);
  const { done, failed } = asked.get(m.id);
  return m.type === 'error' ? failed(new Error(`${m.error}: ${m.message}`)) : done(m.result);
});
let count = 0;
const send = (method, params = {}) => new Promise((done, failed) => {
  asked.set(++count, { done, failed });
  socket.send(JSON.stringify({ id: count, method, params }));
});

await send('session.new', { capabilities: {} });
await send('session.subscribe', { events: ['log.entryAdded', 'network.beforeRequestSent'] });
const { context } = await send('browsingContext.create', { type: 'tab' });

// evaluate is what an expression, or what it promises, comes to.
async function evaluate(expression) {
  const said = await send('script.evaluate', { expression: `(async () => JSON.stringify(await (${expression})))()`, target: { context }, awaitPromise: true });
  if (said.type !== 'success') throw new Error(said.exceptionDetails.text);
  return said.result.value === undefined ? undefined : JSON.parse(said.result.value);
}

async function until(what, test) {
  for (const end = Date.now() + 30000; Date.now() < end; await new Promise((done) => setTimeout(done, 50))) if (await test()) return true;
  check(false, `${what}: it never came`);
  return false;
}

async function open(url, own) {
  heard = ({ method, params }) => {
    if (method === 'log.entryAdded') check(params.level !== 'error', `${url}: console: ${params.text}`);
    else check(own(params.request.url), `${url}: asks for ${params.request.url}`);
  };
  const started = Date.now();
  await send('browsingContext.navigate', { context, url, wait: 'complete' });
  await until('ready', () => evaluate(`document.documentElement.dataset.state === 'ready'`));
  return Date.now() - started;
}

const sized = (width, height) => send('browsingContext.setViewport', { context, viewport: { width, height } });

async function picture(name) {
  const { data } = await send('browsingContext.captureScreenshot', { context });
  writeFileSync(join(pictures, `firefox-${name}.png`), Buffer.from(data, 'base64'));
}

async function accessible(where) {
  await send('script.evaluate', { expression: axe, target: { context }, awaitPromise: false });
  for (const v of await evaluate(`axe.run({ resultTypes: ['violations'] }).then((r) => r.violations.map((v) => ({ impact: v.impact, text: v.id + ': ' + v.nodes.slice(0, 3).map((n) => n.target).join('; ') })))`)) {
    check(v.impact !== 'serious' && v.impact !== 'critical', `${where}: axe: ${v.text}`);
  }
  const wide = await evaluate('document.documentElement.scrollWidth - innerWidth');
  check(wide <= 0, `${where}: ${wide} px wider than the window`);
}

const key = (value) => [{ type: 'keyDown', value }, { type: 'keyUp', value }];
const press = (...values) => send('input.performActions', { context, actions: [{ type: 'key', id: 'keys', actions: values.flatMap(key) }] });
const undo = () => send('input.performActions', { context, actions: [{ type: 'key', id: 'keys', actions: [{ type: 'keyDown', value: '\uE009' }, ...key('z'), { type: 'keyUp', value: '\uE009' }] }] });
const [enter, right, up] = ['\uE007', '\uE014', '\uE013'];

// drag goes along a line of places in the window.
const drag = (places) => send('input.performActions', { context, actions: [{
  type: 'pointer', id: 'mouse', parameters: { pointerType: 'mouse' },
  actions: [
    { type: 'pointerMove', x: places[0][0], y: places[0][1] }, { type: 'pointerDown', button: 0 },
    ...places.slice(1).map(([x, y]) => ({ type: 'pointerMove', x, y, duration: 30 })), { type: 'pointerUp', button: 0 },
  ],
}] });

// file looks at the page of an output folder.
async function file(out) {
  const url = pathToFileURL(resolve(out, 'look.html')).href;
  await sized(1240, 900);
  const took = await open(url, (asked) => asked.split('#')[0] === url || asked.startsWith('data:'));
  const programs = await evaluate(`JSON.parse(document.getElementById('scene').textContent).setups.flatMap((s) => s.programs.map((p) => ({ path: p.path, bands: p.bands.map((b) => ({ name: b.name, at: (b.from + b.to) / 2 })) })))`);
  for (const p of programs) {
    for (const b of p.bands.filter((_, i) => i % Math.ceil(p.bands.length / 3) === 0)) {
      const place = `#setup/${encodeURIComponent(basename(p.path))}/${b.at.toFixed(2)}`;
      await evaluate(`location.hash = ${JSON.stringify(place)}`);
      await until(`${out}: ${place}: ${b.name}`, () => evaluate(`document.getElementById('ribbon').getAttribute('aria-valuetext').endsWith(${JSON.stringify(`, ${b.name}`)})`));
    }
  }
  await picture(`${basename(out)}-cutting`);
  await accessible(`${out} at 1240 px`);
  await sized(390, 844);
  await accessible(`${out} at 390 px`);
  await picture(`${basename(out)}-narrow`);
  console.log(`${out}: ready after ${took} ms, ${programs.length} programs`);
}

// live looks at a copy of a job while it is edited.
async function live() {
  const work = mkdtempSync(join(tmpdir(), 'look-job-'));
  cpSync(folder, work, { recursive: true });
  const job = join(work, 'job.yaml');
  const program = spawn(tool, ['look', job, '--no-open', '--quiet']);
  const address = await new Promise((done) => program.stdout.once('data', (text) => done(String(text).trim())));
  const read = () => readFileSync(job, 'utf8');
  const passes = (what) => check(spawnSync(tool, ['check', job, '--quiet']).status === 0, `${what}: check refuses it`);
  const quiet = (what) => until(`${what}: its programs are tried`, () => evaluate(`document.documentElement.dataset.version > 0 && !!document.querySelector('.band')`));
  const chosen = () => until('its card', () => evaluate(`!!document.querySelector('#hands input')`));
  await sized(1240, 1100);
  await open(address, (asked) => new URL(asked).host === new URL(address).host || asked.startsWith('data:'));
  await quiet('live');
  const first = read();
  const at = first.match(/at: \[(\d+)/);
  const [saved, version] = [first.replace(at[0], `at: [${Number(at[1]) + 1}`), await evaluate('document.documentElement.dataset.version')];
  writeFileSync(job, saved);
  await until('what is saved', () => evaluate(`document.documentElement.dataset.version > ${version}`));
  writeFileSync(job, first);
  await until('what is saved again', () => evaluate(`document.documentElement.dataset.version > ${version} + 1`));
  await quiet('saved');
  await evaluate(`document.querySelector('[data-part=pocket]').focus()`);
  await press(enter);
  await chosen();
  await evaluate(`document.querySelector('[data-part=pocket]').focus()`);
  await press(right, up);
  await until('moved by keys', () => read() !== first);
  passes('moved by keys');
  await undo();
  await until('taken back', () => read() === first);
  await quiet('taken back');
  await chosen();
  const [x, y] = await evaluate(`(() => { document.getElementById('foam').scrollIntoView({ block: 'center' }); const b = document.querySelector('[data-part=pocket] path').getBoundingClientRect(); return [Math.round(b.x + b.width / 2), Math.round(b.y + b.height / 2)]; })()`);
  await drag([[x, y], [x + 4, y - 4], [x + 12, y - 12], [x + 20, y - 20], [x + 24, y - 24]]);
  if (await until('dragged', () => read() !== first)) {
    const was = first.split('\n');
    check(read().split('\n').filter((line, i) => line !== was[i]).length === 1, 'dragged: more than a line is another');
    passes('dragged');
    await picture('dragged');
    await undo();
    await until('dragged back', () => read() === first);
  }
  await quiet('dragged back');
  await chosen();
  await accessible('live');
  if (await evaluate(`!!document.querySelector('#hands select')`)) {
    await evaluate(`(() => { const s = document.querySelector('#hands select'); s.value = s.options[s.options.length - 1].value; document.querySelector('#hands select + button').focus(); })()`);
    await press(enter);
    await until('carried', () => read() !== first);
    passes('carried');
    await picture('carried');
    await undo();
    await until('carried back', () => read() === first);
  }
  program.kill('SIGINT');
  rmSync(work, { recursive: true, force: true });
  console.log('live: saved, moved by keys, dragged, carried, taken back');
}

for (const out of outs) await file(out);
await live();
socket.close();
firefox.kill();
await new Promise((done) => firefox.once('exit', done));
rmSync(profile, { recursive: true, force: true });
if (faults.length > 0) {
  console.error(faults.join('\n'));
  process.exit(1);
}
console.log('firefox.mjs: nothing wrong');
