/** Every screen in Spanish: no English word left, nothing for axe to say, no wider than the smallest phone. */
import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { axeViolations } from '../support/axe-violations.ts';
import { noChromium } from '../support/browser.ts';
import { openChanges } from '../support/changes-pages.ts';
import { PROCEDURE, type RigFixture, sixteenSides, TRAVEL_OUT } from '../support/dashboard-fixtures.ts';
import { englishIn } from '../support/english-words.ts';
import { fakeJoints, passAt } from '../support/fake-joints.ts';
import { openWithJournal, readinessOf } from '../support/fake-journal.ts';
import { openProcedures } from '../support/fake-procedures.ts';
import { FLAGGED, openReview } from '../support/review-pages.ts';
import { openShift } from '../support/shift-pages.ts';
import { hasSidewaysScroll, type OpenOptions, openDetails, shownText, webPage } from '../support/web-page.ts';

const two: readonly RigFixture[] = [
  { rig: 'rig-3', place: 0, alongMm: 400 },
  { rig: 'rig-4', place: 1, alongMm: 430, outOfRange: [TRAVEL_OUT], values: { travelSpeed: 9.6 } },
];
const PHONE = { width: 320, height: 640, reducedMotion: true, language: 'es' } as const;

/** Names of passes, procedures, people and files, and what people typed: as they were typed. */
const TYPED = new Set(
  (
    'root downhill spread review compound solid steel welding hill example only project rule fill scope mainline title pipe wire standard basic tested invented ' +
    'language english rain tents moved line misread ruling asked source terminals torch tip feeder block head ' +
    'label type position unit length depth height degrees clock girth weld joint carriage hand gauge procedure'
  ).split(' '),
);

const leftIn = async (page: Page): Promise<string[]> => {
  const labels = await page
    .locator('[aria-label]')
    .evaluateAll(all => all.map(one => one.getAttribute('aria-label') ?? '').join(' · '));
  // Bibliography stands as it is printed, and is marked as English.
  await page.locator('[lang="en"]').evaluateAll(all => {
    for (const one of all) (one as HTMLElement).hidden = true;
  });
  const left = englishIn(`${await shownText(page.locator('body'))} · ${labels}`, TYPED);
  await page.locator('[lang="en"]').evaluateAll(all => {
    for (const one of all) (one as HTMLElement).hidden = false;
  });
  return left;
};

/** All of it, on the smallest phone and by day: the longest words in the least room. */
async function expectSpanish(page: Page, ready: string): Promise<void> {
  await page.locator(ready).first().waitFor();
  await openDetails(page);
  expect(await page.locator('html').getAttribute('lang')).toBe('es');
  expect(await leftIn(page)).toEqual([]);
  expect(await hasSidewaysScroll(page), 'wider than the screen').toBe(false);
  expect(await axeViolations(page)).toEqual([]);
}

describe.skipIf(noChromium())('in Spanish', () => {
  const web = webPage();
  const { open, fake } = web;

  const plain: readonly (readonly [string, readonly RigFixture[], string, OpenOptions])[] = [
    ['#/', two, '.message.out', {}],
    ['#/', [], 'main ol', {}],
    ['#/', sixteenSides(), '.message.out', { width: 1920, height: 1080 }],
    ['#/trends/spread-1/rig-4?span=60', two, '.trend canvas', {}],
    ['#/assign/spread-1/rig-4', two, '.pick', {}],
    ['#/about', two, 'main ul', {}],
    ['#/settings', two, 'input[name="language"]', {}],
    ['#/alarms', two, 'main h1', {}],
    ['#/sums', two, 'main h1', {}],
    ['#/sums/travel-check', two, 'main h1', {}],
    ['#/sums/preheat', two, 'main h1', {}],
  ];
  it.each(plain)('nothing is left in English, and it fits: %s', async (hash, rigs, ready, options) => {
    const page = await open(rigs, { ...PHONE, ...options, hash });
    await expectSpanish(page, ready);
    if (rigs !== two) return;
    fake().silence(['rig-3']);
    if (hash === '#/') {
      await page.locator('.tile, .chip', { hasText: 'SIN DATOS' }).first().waitFor();
      expect(await leftIn(page)).toEqual([]);
    }
  });

  it.each([
    '#/joints',
    '#/joints/J-0412',
    '#/joints/J-0412/enter/particulars',
    '#/joints/J-0412/enter/temperature',
    '#/joints/J-0412/enter/elsewhere?pass=cap&side=A',
    '#/rigs/spread-1/rig-3/event',
    '#/open-joint',
  ])('nothing is left in English, and it fits: %s', async hash => {
    const page = await open(two, { ...PHONE, hash: '#/about' });
    const joints = await fakeJoints(page, [
      passAt('s:1', 0, { name: 'root' }),
      passAt('s:3', 20, { name: 'hot' }),
    ]);
    joints.enter({
      ...{ kind: 'jointOpened', joint: 'J-0412', station: '14+220', outsideDiameterMm: 610 },
      ...{ procedureId: PROCEDURE.id, procedureRevision: 1 },
    });
    joints.enter({ kind: 'hold', joint: 'J-0412', on: true }, { reason: '12' });
    await page.goto(`${fake().url}/${hash}`);
    await page.reload();
    await expectSpanish(page, 'main h1');
  });

  it.each([
    '#/ready',
    ...['', '/travel', '/arcVoltage', '/clock'].map(check => `#/rigs/spread-1/rig-3/verify${check}`),
  ])('nothing is left in English, and it fits: %s', async hash => {
    const readiness = [readinessOf('rig-3', ['clock', 'gasFlow']), readinessOf('rig-4', ['travel'])];
    const { page } = await openWithJournal(web, two, { ...PHONE, hash }, readiness);
    await expectSpanish(page, hash === '#/ready' ? '.ready-checks' : 'main h1');
  });

  it.each(['#/procedures', '#/procedures/example-610/1', '#/procedures/new'])(
    'nothing is left in English, and it fits: %s',
    async hash => {
      const { page } = await openProcedures(open, hash, undefined, PHONE);
      await expectSpanish(page, 'main h1');
    },
  );

  it.each(['#/changes', '#/changes/over', '#/changes/settings'])(
    'nothing is left in English, and it fits: %s',
    async hash => {
      const { page } = await openChanges(open, hash, PHONE);
      await expectSpanish(page, 'main h1');
    },
  );

  it('nothing is left in English, and it fits: a joint under review', async () => {
    const { page } = await openReview(open, `#/joints/${FLAGGED}/review`, PHONE);
    await expectSpanish(page, '.trend canvas');
  });

  it('nothing is left in English, and it fits: a shift', async () => {
    const { page } = await openShift(open, PHONE);
    await expectSpanish(page, '.shift-totals');
  });
});
