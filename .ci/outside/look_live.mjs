// Looks at a job while it is edited, as a person does: `traywright look` and Debian's chromium.
//
//   - what is saved is shown; a refused job dims the last good state, says why, and hatches where
//   - a pocket is dragged by mouse and moved by keys alone: the job's file has the place that the
//     page shows, in one line, `check` takes it, and Ctrl+Z takes it back
//   - a number that the job would be refused for is told and not written
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
    await act({ address, job, read: () => readFileSync(job, 'utf8'), write: (text) => writeFileSync(job, text) });
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

// changed holds a text against one before: only that line may differ, and `check` takes it.
function changed(name, { job, read }, before) {
  const [was, is] = [before.split('\n'), read().split('\n')];
  const lines = is.filter((l, i) => l !== was[i]);
  check(lines.length === 1 && lines[0].includes('for: bosun') && is.length === was.length, `${name}: ${lines.length} lines are others: ${lines.slice(0, 3).join(' | ')}`);
  check(spawnSync(tool, ['check', job, '--quiet']).status === 0, `${name}: check refuses ${lines[0]}`);
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
