// Looks at a job while it is edited, as a person does: `traywright look` and Debian's chromium.
//
//   - what is saved is shown; a refused job dims the last good state, says why, and hatches where
//   - a pocket is dragged by mouse and moved by keys alone: the job's file has the place that the
//     page shows, in one line, `check` takes it, and Ctrl+Z takes it back
//   - so it is for pockets and ways that a seed draws (500 of them, without a browser: look_random_test.go)
//   - a number that the job would be refused for is told and not written
//   - a piece that no tray holds is dropped onto the foam, or put there by keys; a label is moved;
//     what `arrange` placed is moved, pinned, let go and taken back: each writes its own value alone
//   - a pocket goes into another tray, dropped onto its drawer or by keys, in one step
//   - an address that names a program and a second is followed as soon as its programs are tried
//   - requests with a wrong token, no cookie, another host or origin are refused
//   - names that are markup stay text; nothing violates the page's policy, nothing is asked for
//     but of the page's own address; nothing is wider than 390 px; axe finds nothing serious,
//     refused or not
//
// usage: node look_live.mjs TRAYWRIGHT DEMO NASTY [PICTURES]
// DEMO and NASTY are folders with a job.yaml, and are copied. Run `npm ci` in this folder first.

import { spawn, spawnSync } from 'node:child_process';
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { request } from 'node:http';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const require = createRequire(import.meta.url);
const { chromium } = require('playwright-core');
const axe = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');

const [tool, demo, nasty, pictures] = process.argv.slice(2);
const faults = [];
const check = (good, message) => { if (!good) faults.push(message); };

// looking runs `look` on a copy of a job, and does something with its address.
async function looking(folder, act) {
  const work = mkdtempSync(join(tmpdir(), 'look-live-'));
  cpSync(folder, work, { recursive: true });
  const job = join(work, 'job.yaml');
  const program = spawn(tool, ['look', job, '--no-open', '--quiet']);
  const address = await new Promise((done) => program.stdout.once('data', (text) => done(String(text).trim())));
  const ended = new Promise((done) => program.once('exit', done));
  try {
    await act({ address, job, read: (name = 'job.yaml') => readFileSync(join(work, name), 'utf8'), write: (text) => writeFileSync(job, text) });
  } finally {
    program.kill('SIGINT');
    check((await ended) === 0, `${folder}: look ends with ${await ended}`);
    rmSync(work, { recursive: true, force: true });
  }
}

// asked is the status of a plain request.
function asked(address, path, headers) {
  const url = new URL(path, address);
  return new Promise((done, failed) => {
    const r = request({ host: url.hostname, port: url.port, path, headers }, (answer) => { answer.resume(); done(answer.statusCode); });
    r.on('error', failed);
    r.end();
  });
}

async function strangers(address) {
  const { host } = new URL(address);
  for (const [name, path, headers] of [
    ['no cookie', '/', {}], ['a wrong token', '/?token=AAAA', {}], ['a wrong cookie', '/state?seen=0', { Cookie: `traywright-look-${new URL(address).port}=AAAA` }],
    ['another host', address.slice(address.indexOf('/', 8)), { Host: '127.evil.com' }], ['another origin', address.slice(address.indexOf('/', 8)), { Host: host, Origin: 'http://evil.com' }],
  ]) check((await asked(address, path, headers)) === 403, `${name} is let in`);
}

async function opened(browser, address, size) {
  const context = await browser.newContext({ viewport: size });
  const page = await context.newPage();
  const host = new URL(address).host;
  page.on('console', (m) => check(m.type() !== 'error' && m.type() !== 'warning', `console: ${m.text()}`));
  page.on('pageerror', (e) => check(false, e.stack));
  page.on('dialog', (d) => { check(false, `a dialog: ${d.message()}`); d.dismiss(); });
  page.on('request', (r) => check(new URL(r.url()).host === host || r.url().startsWith('data:'), `asks for ${r.url()}`));
  await page.addInitScript(() => document.addEventListener('securitypolicyviolation', (e) => console.error(`policy: ${e.violatedDirective} ${e.blockedURI}`)));
  await page.goto(address);
  await page.waitForSelector('html[data-version]', { state: 'attached', timeout: 30000 });
  check(!page.url().includes('token'), 'the token stays in the address');
  return { page, context };
}

const version = (page) => page.locator('html').getAttribute('data-version');

// next does something, and waits until the page shows another state.
async function next(page, act) {
  const before = await version(page);
  await act();
  await page.waitForFunction((v) => document.documentElement.dataset.version !== v, before, { timeout: 30000 });
}

async function accessible(page, where) {
  const result = await page.evaluate(axe + '; axe.run({ resultTypes: ["violations"] })');
  for (const v of result.violations) {
    check(v.impact !== 'serious' && v.impact !== 'critical', `${where}: axe: ${v.id}: ${v.help}: ${v.nodes.slice(0, 3).map((n) => n.target).join('; ')}`);
  }
  const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
  check(wide <= 0, `${where}: ${wide} px wider than the window`);
}

// pocket is the one of the demonstration that is moved, and placed its line in a job.
const pocket = (page) => page.locator('[data-part=pocket]', { hasText: 'Bosun' });
const placed = (text) => text.split('\n').find((l) => l.includes('for: bosun'));

async function hold(page) {
  await pocket(page).click();
  await page.waitForSelector('#hands', { timeout: 30000 });
}

const passes = (name, { job }) => check(spawnSync(tool, ['check', job, '--quiet']).status === 0, `${name}: check refuses it`);

// changed holds a text against one before: only that line may differ, and `check` takes it.
function changed(name, at, before) {
  const [was, is] = [before.split('\n'), at.read().split('\n')];
  const lines = is.filter((l, i) => l !== was[i]);
  check(lines.length === 1 && lines[0].includes('for: bosun') && is.length === was.length, `${name}: ${lines.length} lines are others: ${lines.slice(0, 3).join(' | ')}`);
  passes(`${name}: ${lines[0]}`, at);
}

async function dragged(page, at) {
  const before = at.read();
  await hold(page);
  const box = await pocket(page).locator('path').boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height * 0.7];
  await page.mouse.move(x, y);
  await page.mouse.down();
  for (let k = 1; k <= 20; k++) await page.mouse.move(x - 10 * k, y + k); // far beyond its neighbour's wall
  const shown = await pocket(page).getAttribute('transform');
  await next(page, () => page.mouse.up());
  changed('dragged', at, before);
  const [, dx, dy] = shown.match(/translate\((\S+) (\S+)\)/).map(Number);
  const [, x0, y0] = placed(before).match(/at: \[(.*?), (.*?)\]/).map(Number);
  const [, x1, y1] = placed(at.read()).match(/at: \[(.*?), (.*?)\]/).map(Number);
  check(Math.abs(x1 - x0 - dx) < 1e-6 && Math.abs(y1 - y0 + dy) < 1e-6, `dragged: shown at ${dx} ${-dy} from ${x0} ${y0}, written ${x1} ${y1}`);
  await next(page, () => page.keyboard.press('Control+z'));
  check(at.read() === before, 'undo: the job is not what it was');
}

// drawnDrags drags pockets of the tray that is open to wherever a seed says, by mouse: what is shown when it is let
// go is written, in one line, and `check` takes it.
async function drawnDrags(page, at, count) {
  let state = 21;
  const draw = (low, high) => {
    state = (state * 1664525 + 1013904223) % 4294967296; // Numerical Recipes' generator
    return low + (state / 4294967296) * (high - low);
  };
  let moved = 0;
  for (let n = 0; n < count; n++) {
    await page.waitForSelector('.band', { state: 'attached', timeout: 30000 }); // its programs are tried: no state comes any more
    const before = at.read();
    const one = page.locator('[data-part=pocket]').nth(Math.floor(draw(0, await page.locator('[data-part=pocket]').count())));
    const [name, path] = [await one.getAttribute('aria-label'), one.locator('path')];
    await one.focus();
    await page.keyboard.press('Enter');
    await page.waitForSelector('#hands input', { timeout: 30000 });
    const box = await path.boundingBox();
    const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
    await page.mouse.move(x, y);
    await page.mouse.down();
    const [dx, dy] = [draw(-120, 120), draw(-120, 120)];
    for (let k = 1; k <= 6; k++) await page.mouse.move(x + (dx * k) / 6, y + (dy * k) / 6);
    const shown = await one.getAttribute('transform');
    if (!shown) {
      await page.mouse.up();
      check(at.read() === before, `drawn ${n}: ${name} is written and stays where it was`);
      continue;
    }
    await next(page, () => page.mouse.up());
    moved++;
    const [, mx, my] = shown.match(/translate\((\S+) (\S+)\)/).map(Number);
    const [was, is] = [before.split('\n'), at.read().split('\n')];
    const lines = is.flatMap((l, i) => (l === was[i] ? [] : [[was[i], l]]));
    check(lines.length === 1 && was.length === is.length, `drawn ${n}: ${name}: ${lines.length} lines are others`);
    const place = (l) => l.match(/at: \[(.*?), (.*?)\]/).slice(1).map(Number);
    for (const [a, b] of lines) {
      const [[x0, y0], [x1, y1]] = [place(a), place(b)];
      check(Math.abs(x1 - x0 - mx) < 1e-6 && Math.abs(y1 - y0 + my) < 1e-6, `drawn ${n}: ${name}: shown at ${mx} ${-my} from ${x0} ${y0}, written ${x1} ${y1}`);
    }
    passes(`drawn ${n}`, at);
  }
  check(moved > count / 2, `drawn: only ${moved} of ${count} drags moved anything`);
  console.log(`${moved} of ${count} drawn drags moved a pocket`);
}

async function keyed(page, at) {
  await page.waitForSelector('#hands', { timeout: 30000 });
  const before = at.read();
  await pocket(page).focus();
  await next(page, async () => {
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('ArrowUp');
    await page.keyboard.press('ArrowUp');
  });
  changed('keys', at, before);
  const [, x0, y0] = placed(before).match(/at: \[(.*?), (.*?)\]/).map(Number);
  check(placed(at.read()).includes(`at: [${x0 + 0.5}, ${y0 + 1}]`), `keys: ${placed(at.read())}`);
  check(await page.evaluate(() => document.activeElement?.dataset.part === 'pocket'), 'keys: the pocket has lost the focus');
}

async function numbers(page, at) {
  await page.waitForSelector('#hands', { timeout: 30000 });
  const before = at.read();
  const depth = page.locator('#hands input[aria-label^=depth]');
  await depth.fill('80');
  await depth.press('Enter');
  await page.waitForFunction(() => document.getElementById('hands-told').textContent.includes('deep'), null, { timeout: 30000 });
  check(at.read() === before, 'a depth that is refused is written');
  await page.waitForSelector('#hands', { timeout: 30000 });
  await next(page, async () => {
    await page.locator('#hands input[aria-label^=depth]').fill('20');
    await page.locator('#hands input[aria-label^=depth]').press('Enter');
  });
  changed('depth', at, before);
}

// until waits for what a file or the page comes to.
async function until(what, test) {
  for (const end = Date.now() + 30000; Date.now() < end; await new Promise((done) => setTimeout(done, 50))) if (await test()) return;
  check(false, `${what}: it never came`);
}

const roster = 'id,name,group,count,length,width,height\nkeg,Powder keg,gull,2,20,20,20\nurchin,Urchin,gull,1,22,22,18\n';
const crew = `machine: bench-router
roster: roster.csv
trays:
  - id: crew
    size: [200, 120]
    wall: 6
    edge: 10
    layers: [{foam: pe-30, thickness: 1 in}]
`;

// folderOf is a folder of a few small files.
function folderOf(files) {
  const folder = mkdtempSync(join(tmpdir(), 'look-job-'));
  for (const [name, text] of Object.entries(files)) writeFileSync(join(folder, name), text);
  return folder;
}

// loose puts one piece by keys alone and drops another with the mouse, moves a label, and goes back.
async function loose(page, at) {
  const before = at.read();
  await page.locator('[data-piece=urchin]').focus();
  await page.keyboard.press('Enter');
  await until('put by keys', () => at.read() === before.replace('    labels:', '      - {for: urchin, at: [10, 10]}\n    labels:'));
  await page.waitForFunction(() => document.activeElement?.getAttribute('aria-label')?.startsWith('Urchin') && document.getElementById('hands'), null, { timeout: 30000 });
  await page.keyboard.press('ArrowUp');
  await until('moved by keys', () => at.read().includes('{for: urchin, at: [10, 10.5]}'));
  await page.waitForFunction(() => !document.querySelector('[data-piece=urchin]') && document.querySelector('.band'), null, { timeout: 30000 }); // its programs are tried: no state comes any more
  await page.locator('#chest').scrollIntoViewIfNeeded();
  const [piece, foam] = [await page.locator('[data-piece=keg]').boundingBox(), await page.locator('#foam').boundingBox()];
  await page.mouse.move(piece.x + 9, piece.y + 9);
  await page.mouse.down();
  await page.mouse.move(foam.x + foam.width * 0.6, foam.y + foam.height * 0.7, { steps: 5 });
  await page.waitForSelector('.ghost', { state: 'attached', timeout: 30000 });
  await page.mouse.up();
  await until('dropped', () => /- {for: keg, at: \[\d+(\.5)?, \d+(\.5)?\]}\n {4}labels:/.test(at.read()));
  passes('dropped', at);
  await page.locator('[data-part=mark]').focus();
  await page.keyboard.press('Enter');
  await page.waitForSelector('#hands input[aria-label^=height]', { timeout: 30000 });
  await accessible(page, 'a label');
  await page.locator('[data-part=mark]').focus();
  await page.keyboard.press('ArrowRight');
  await until('a label moved', () => at.read().includes('{text: OIL, at: [20.5, 90], height: 14}'));
  passes('a label moved', at);
  for (let k = 0; at.read() !== before && k < 4; k++) {
    const was = at.read();
    await page.keyboard.press('Control+z');
    await until('taken back', () => at.read() !== was);
  }
  check(at.read() === before, `taken back: ${at.read()}`);
}

// pinned moves what `arrange` has placed, lets it go, and takes both back.
async function pinned(page, at) {
  const [job, before] = [at.read(), at.read('arrangement.yaml')];
  const line = () => at.read('arrangement.yaml').split('\n').find((l, i) => l !== before.split('\n')[i]) ?? '';
  await page.locator('[data-part=pocket]').first().focus();
  await page.keyboard.press('Enter');
  await page.waitForSelector('#hands input[aria-label^=pin]', { timeout: 30000 });
  await page.locator('[data-part=pocket]').first().focus();
  await page.keyboard.press('ArrowUp');
  await until('pinned', () => /, pin: true, at: \[/.test(line()));
  passes('pinned', at);
  await page.waitForSelector('#hands input[aria-label^=pin]:checked', { timeout: 30000 });
  await page.locator('#hands input[aria-label^=pin]').press('Space');
  await until('let go', () => line().includes(', pin: false'));
  await page.waitForSelector('#hands input[aria-label^=pin]:not(:checked)', { timeout: 30000 });
  for (const want of [/pin: true/, /^$/]) {
    await page.locator('[data-part=pocket]').first().focus();
    await page.keyboard.press('Control+z');
    await until('taken back', () => want.test(line()));
  }
  check(at.read('arrangement.yaml') === before && at.read() === job, 'pinned: it is not as it was');
}

// carried takes a pocket into another tray, with the mouse onto its drawer and by keys alone, each in one step, and is
// told of a tray that has no room for it.
async function carried(page, at) {
  const before = at.read();
  const line = '      - {for: crab, at: [20, 20], size: [34, 28], depth: 22} # the crab\n';
  const after = `${before.replace(line, '')}    pockets:\n${line}`;
  const crab = page.locator('[data-part=pocket]', { hasText: 'crab' });
  const opened = (tray) => page.locator('#card h2').innerText().then(async (name) => name === 'crab' && (await page.locator('.drawer.out').innerText()) === tray);
  const drop = async (tray) => {
    await crab.focus();
    await page.keyboard.press('Enter');
    await page.waitForSelector('#hands select', { timeout: 30000 });
    await page.locator('#chest').scrollIntoViewIfNeeded();
    const [box, drawer] = [await crab.locator('path').boundingBox(), await page.locator('.drawer', { hasText: tray }).boundingBox()];
    await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
    await page.mouse.down();
    await page.mouse.move(drawer.x + drawer.width / 2, drawer.y + drawer.height / 2, { steps: 5 });
    check((await page.locator('.drawer.taking').innerText()) === tray, 'carried: the drawer is not marked');
    await page.mouse.up();
  };
  await drop('small');
  await page.waitForFunction(() => document.getElementById('hands-told').textContent.includes('no room for it in tray small'), null, { timeout: 30000 });
  check(at.read() === before, 'carried where there is no room');
  await drop('spare');
  await until('carried', () => at.read() === after);
  await until('the other tray is open', () => opened('spare'));
  passes('carried', at);
  await page.keyboard.press('Control+z');
  await until('carried back', () => at.read() === before);
  await page.waitForFunction(() => document.querySelector('.band'), null, { timeout: 30000 }); // its programs are tried
  await page.locator('.drawer', { hasText: 'crew' }).focus();
  await page.keyboard.press('Enter');
  await crab.focus();
  await page.keyboard.press('Enter');
  await page.waitForSelector('#hands select', { timeout: 30000 });
  await accessible(page, 'trays to choose from');
  if (pictures) await page.screenshot({ path: join(pictures, 'carried.png') });
  await page.locator('#hands select').focus();
  await page.keyboard.press('s');
  await page.keyboard.press('s');
  await page.locator('#hands select').selectOption('spare');
  await page.keyboard.press('Tab');
  await page.keyboard.press('Enter');
  await until('carried by keys', () => at.read() === after);
  await until('the other tray is open by keys', () => opened('spare'));
  check(await page.evaluate(() => document.activeElement?.getAttribute('aria-label')?.startsWith('crab')), 'carried by keys: the pocket has lost the focus');
}

async function refused(page, at) {
  const good = at.read();
  await next(page, () => at.write(good.replace(/(for: bosun.*at: \[)[^,]*/, '$1151')));
  check((await page.locator('html').getAttribute('data-refused')) === 'true', 'a refused job is not shown as one');
  const told = await page.locator('#refused').innerText();
  check(/job\.yaml:\d+:\d+: tray gull-crew, pocket 3 \(bosun\)/.test(told), `refused: ${told}`);
  check((await page.locator('path.wrong').count()) === 1, 'what is wrong is not hatched');
  await accessible(page, 'refused');
  if (pictures) await page.screenshot({ path: join(pictures, 'refused.png') });
  await next(page, () => at.write(good));
  check((await page.locator('html').getAttribute('data-refused')) === 'false', 'a mended job is still shown as refused');
}

const browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: ['--no-sandbox', '--disable-gpu', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync'] });
await looking(demo, async (at) => {
  await strangers(at.address);
  const { page, context } = await opened(browser, at.address, { width: 1240, height: 1000 });
  await hold(page);
  await dragged(page, at);
  await keyed(page, at);
  await numbers(page, at);
  await accessible(page, 'at 1240 px');
  if (pictures) await page.screenshot({ path: join(pictures, 'hands.png') });
  await refused(page, at);
  await page.setViewportSize({ width: 390, height: 844 });
  await page.waitForSelector('#hands', { state: 'attached', timeout: 30000 });
  await accessible(page, 'at 390 px');
  if (pictures) await page.screenshot({ path: join(pictures, 'narrow.png') });
  await context.close();
});
const small = { width: 1240, height: 1000 };
const byHand = folderOf({ 'roster.csv': roster, 'job.yaml': `${crew}    pockets: # by hand
      - {for: crab, at: [150, 10], size: [36, 30]}
    labels:
      - {text: OIL, at: [20, 90], height: 14} # low
` });
await looking(byHand, async (at) => {
  const place = '#setup/crew-1-pe-30-25.4mm-t2.ngc/5';
  const { page, context } = await opened(browser, at.address + place, small);
  const there = async () => (await page.locator('#ribbon').getAttribute('aria-valuetext'))?.startsWith('0:05 of');
  await until('the second of the address', there);
  await page.reload(); // now its programs are tried before the page asks
  await page.waitForFunction(() => Number(document.documentElement.dataset.version) > 0, null, { timeout: 30000 });
  await until('the second of the address again', there);
  check(page.url().endsWith(place), `the address is ${page.url()}`);
  await loose(page, at);
  await context.close();
});
const trays = folderOf({ 'job.yaml': `${crew.replace('roster: roster.csv\n', '')}    pockets:
      - {for: urchin, at: [150, 10], size: [36, 30]}
      - {for: keg, at: [80, 10], size: [30, 30]}
      - {for: crab, at: [20, 20], size: [34, 28], depth: 22} # the crab
  - id: small
    size: [40, 40]
    edge: 10
    layers: [{foam: pe-30, thickness: 1 in}]
  - id: spare
    size: [200, 120]
    layers: [{foam: pe-30, thickness: 1 in}]
` });
await looking(trays, async (at) => {
  const { page, context } = await opened(browser, at.address, small);
  await drawnDrags(page, at, 20);
  await context.close();
});
await looking(trays, async (at) => {
  const { page, context } = await opened(browser, at.address, small);
  await carried(page, at);
  await context.close();
});
const arranged = folderOf({ 'roster.csv': roster, 'job.yaml': `${crew}    holds: [keg, urchin]\n` });
check(spawnSync(tool, ['arrange', join(arranged, 'job.yaml'), '--quiet']).status === 0, 'arrange refuses its job');
await looking(arranged, async (at) => {
  const { page, context } = await opened(browser, at.address, small);
  await pinned(page, at);
  await context.close();
});
for (const folder of [byHand, trays, arranged]) rmSync(folder, { recursive: true });
await looking(nasty, async (at) => {
  const { page, context } = await opened(browser, at.address, { width: 390, height: 844 });
  await page.locator('[data-part=pocket]').first().focus();
  await page.keyboard.press('Enter');
  await page.waitForSelector('#hands', { state: 'attached', timeout: 30000 });
  await next(page, () => at.write(at.read().replace('at: [14, 14]', 'at: [15, 14]')));
  check((await page.title()).startsWith('</script><script>'), `the title is ${await page.title()}`);
  check((await page.locator('img').count()) === 0, 'a name became an image');
  check((await page.evaluate(() => document.body.innerText)).includes('<img src=x'), 'a name is not shown as written');
  await context.close();
});
await browser.close();

if (faults.length > 0) {
  console.error(faults.join('\n'));
  process.exit(1);
}
console.log('look_live.mjs: nothing wrong');
