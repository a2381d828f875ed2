/**
 * Takes the pictures of the documents from the running demo: `npm run screenshots` (a few minutes, needs
 * Debian's Chromium and a build). The demo welds until side A's current has left its limit on the hot pass. Some of them:
 * `npm run screenshots -- --only sign-in-phone,people-tablet`.
 */
import { spawn } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { createInterface } from 'node:readline';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { chromium } from 'playwright-core';

const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const dist = process.env.GIRTHLOG_DIST ?? join(root, 'dist');
const pictures = join(root, 'docs', 'screenshots');
const data = mkdtempSync(join(tmpdir(), 'girthlog-pictures-'));
const port = 8197;
const page = `http://127.0.0.1:${port}`;
const PATIENCE_MS = 5 * 60_000;

/** Name, size, night, place in the page; all of the demo's first joint. Signed in, where nothing else is said. */
const shots = [
  ['live-truck-day', 1920, 1080, false, '#/'],
  ['live-truck-night', 1920, 1080, true, '#/'],
  ['live-phone-day', 390, 844, false, '#/'],
  ['trends-day', 1440, 900, false, '#/trends/demo/rig-a?span=60'],
  ['alarms-tablet', 820, 1180, false, '#/alarms'],
  ['sums-phone', 390, 844, false, '#/sums'],
  ['ready-tablet', 820, 1180, false, '#/ready'],
  ['joint-tablet', 820, 1180, false, '#/joints/J-0101'],
  ['review-desk', 1440, 1600, false, '#/joints/J-0101/review'],
  ['changes-settings', 1280, 1100, false, '#/changes/settings'],
  ['shift-desk', 1280, 900, false, '#/shift'],
  ['procedure-tablet', 820, 1180, false, '#/procedures/example-610/1'],
  ['live-spanish-tablet', 820, 1180, false, '#/', { language: 'es' }],
  ['sign-in-phone', 390, 844, false, '#/sign-in', { nobody: true, still: true }],
  ['people-tablet', 820, 1180, false, '#/people', { still: true }],
  ['settings-spanish-phone', 390, 844, false, '#/settings', { language: 'es', still: true }],
];

const { values } = parseArgs({ options: { only: { type: 'string' } } });
const only = values.only?.split(',') ?? shots.map(([name]) => name);
const unknown = only.filter(name => !shots.some(shot => shot[0] === name));
if (unknown.length > 0) throw new Error(`there is no picture ${unknown.join(', ')}`);
const asked = shots.filter(([name]) => only.includes(name));

const demo = spawn(
  process.execPath,
  [join(dist, 'girthlog-demo.js'), '--port', String(port), '--mqtt-port', '18897', '--data', data],
  { stdio: ['inherit', 'pipe', 'inherit'] },
);
const link = new Promise((resolve, reject) => {
  createInterface({ input: demo.stdout }).on('line', line => {
    console.log(line);
    const [found] = /http:\S+#\/sign-in\?code=\S+/.exec(line) ?? [];
    if (found) resolve(found);
  });
  demo.once('exit', code => reject(new Error(`the demo ended with ${code}`)));
});
const browser = await chromium.launch({
  executablePath: '/usr/bin/chromium',
  args: ['--no-sandbox', '--disable-gpu', '--disable-quic', '--disable-background-networking'],
});
try {
  const signedIn = await signIn(await link);
  if (asked.some(([, , , , , how]) => !how?.still)) await outOfRange();
  mkdirSync(pictures, { recursive: true });
  for (const [name, width, height, night, place, how] of asked) {
    const context = await browser.newContext({
      viewport: { width, height },
      colorScheme: night ? 'dark' : 'light',
      timezoneId: 'UTC',
      locale: 'en-GB',
      ...(how?.nobody ? {} : { storageState: signedIn }),
    });
    const { language } = how ?? {};
    if (language) await context.addInitScript(is => localStorage.setItem('girthlog.language', is), language);
    const tab = await context.newPage();
    await tab.goto(`${page}/${place}`);
    await tab.waitForFunction(() => document.querySelector('main')?.textContent?.length > 50);
    // Two sets of live numbers and one of the history.
    await tab.waitForTimeout(2500);
    await tab.screenshot({ path: join(pictures, `${name}.png`) });
    await context.close();
  }
} finally {
  await browser.close();
  const ended = new Promise(resolve => demo.once('exit', resolve));
  demo.kill('SIGINT');
  await ended;
  rmSync(data, { recursive: true, force: true });
}

/** The cookies of a browser that has opened the demo's link, which is good once. */
async function signIn(address) {
  const context = await browser.newContext();
  const tab = await context.newPage();
  await tab.goto(address);
  await tab.waitForFunction(() => document.body.textContent.includes('Demo visitor'));
  const state = await context.storageState();
  await context.close();
  return state;
}

/** Waits until a value has been out of range on side A for a while. */
async function outOfRange() {
  const until = Date.now() + PATIENCE_MS;
  while (Date.now() < until) {
    const answer = await fetch(`${page}/api/v1/rigs`).catch(() => null);
    const rigs = answer?.ok ? (await answer.json()).rigs : [];
    const far = rigs.some(({ live }) => live?.outOfRange.some(({ lengthMm }) => lengthMm > 100));
    if (far) return;
    await new Promise(resolve => setTimeout(resolve, 500));
  }
  throw new Error('nothing left its limits in five minutes');
}
