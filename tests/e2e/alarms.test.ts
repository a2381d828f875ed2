import type { Page } from 'playwright-core';
import { describe, expect, it } from 'vitest';
import { axeViolations } from '../support/axe-violations.ts';
import { noChromium } from '../support/browser.ts';
import { type RigFixture, START_UTC_MS, sixteenSides, TRAVEL_OUT } from '../support/dashboard-fixtures.ts';
import { fakeAlarm, fakeFlood, fakeNoData, fakePicture } from '../support/fake-alarms.ts';
import { waitUntil } from '../support/wait-until.ts';
import { hasSidewaysScroll, type OpenOptions, shownText, shownTexts, webPage } from '../support/web-page.ts';

const two: readonly RigFixture[] = [
  { rig: 'rig-3', place: 0, alongMm: 400 },
  { rig: 'rig-4', place: 1, alongMm: 430, outOfRange: [TRAVEL_OUT], values: { travelSpeed: 9.6 } },
];
const utc = (ms: number): string => new Date(ms).toISOString();
const some = () =>
  fakePicture([
    fakeNoData(4),
    fakeAlarm(3, { count: 3 }),
    fakeNoData(1, {
      lifecycle: 'latched',
      clearedUtc: utc(START_UTC_MS),
      acknowledged: { by: 'p-2', atUtc: utc(START_UTC_MS) },
    }),
  ]);
const away = () =>
  fakePicture([], {
    away: [
      {
        site: 'spread-1',
        rig: 'rig-3',
        cause: 'drifting',
        shelf: {
          by: 'p-1',
          reason: 'Being worked on',
          atUtc: utc(Date.now()),
          untilUtc: utc(Date.now() + 599_000),
        },
        outOfService: null,
      },
      {
        site: 'spread-1',
        rig: 'rig-4',
        cause: 'outOfRange',
        shelf: null,
        outOfService: { by: 'p-2', reason: 'travel sensor sent away', atUtc: utc(Date.now()) },
      },
    ],
  });

const alarm = (page: Page, number: number) => page.locator(`.alarm[data-alarm="${number}"]`);
const button = (page: Page, name: string | RegExp) => page.getByRole('button', { name });
/** Somebody has entered something on this device before. */
const known = (page: Page) =>
  page.evaluate(() => localStorage.setItem('girthlog.person', '{"id":"p-1","name":"Ines Marrow"}'));

describe.skipIf(noChromium())('alarms', () => {
  const { open, fake } = webPage();
  const show = async (picture: ReturnType<typeof some>, options: OpenOptions = {}, rigs = two) => {
    fake().setAlarms(picture);
    return open(rigs, { hash: '#/alarms', ...options });
  };
  const posted = () => fake().posted.at(-1);

  it('says of each how urgent, what, where on the ring, since when, how often, and what to do', async () => {
    const page = await show(some());
    await alarm(page, 3).waitFor();
    const words = await shownText(alarm(page, 3));
    for (const part of [
      'MEDIUM',
      'OUT OF RANGE',
      '× 3',
      'J-0412 · side B · fill 2 · 2:42 o’clock · rig-4',
      'NOT ACKNOWLEDGED',
      'Do: Check the setting against the welding procedure',
    ]) {
      expect(words).toContain(part);
    }
    expect(await alarm(page, 3).locator('.place-ring').getAttribute('aria-label')).toBe(
      'Began at 2:42 o’clock, looking downstream.',
    );
    // As many bars as pulses; HIGH stands first.
    expect(await alarm(page, 3).locator('.pulse-mark rect').count()).toBe(3);
    expect(await alarm(page, 4).locator('.pulse-mark rect').count()).toBe(5);
    const order = await page
      .locator('.alarm')
      .evaluateAll(all => all.map(one => (one as HTMLElement).dataset['alarm']));
    expect(order).toEqual(['4', '3', '1']);
    const view = await shownText(page.locator('.alarms-view'));
    expect(view).toContain('3 announced in the last hour; 6 is the budget');
    expect(view).toContain('No alarm is not acceptance');
  });

  it('acknowledges in one tap under the name last used, from the list and from the strip', async () => {
    const page = await show(some());
    await alarm(page, 3).waitFor();
    await known(page);
    await alarm(page, 3).getByRole('button', { name: 'Acknowledge' }).click();
    await alarm(page, 3).getByText('acknowledged, still so').waitFor();
    expect(posted()).toEqual({
      path: '/api/v1/alarms/acknowledge',
      body: { alarms: [3], author: 'p-1' },
    });
    expect(await shownText(alarm(page, 3))).toContain('Acknowledged by Ines Marrow');
    await page.getByRole('link', { name: 'Live', exact: true }).click();
    await page.locator('.strip-answer').click();
    await page.locator('.strip-alarm[data-lifecycle="acked"]').waitFor();
    expect(posted()?.body).toEqual({ alarms: [4], author: 'p-1' });
  });

  it('asks for a name once where nobody has used this device', async () => {
    const page = await show(some(), { hash: '#/' });
    await page.locator('.strip-answer').click();
    await page.getByText('Say who you are first').waitFor();
    await page.locator('#alarm-who').selectOption('p-2');
    await button(page, 'Act under this name').click();
    await page.getByText('Acting as Tobi Lund').waitFor();
    await alarm(page, 4).getByRole('button', { name: 'Acknowledge' }).click();
    await alarm(page, 4).getByText('acknowledged, still so').waitFor();
    expect(posted()?.body).toEqual({ alarms: [4], author: 'p-2' });
  });

  it('shelves in two taps, with a reason and an end, and shows the time left', async () => {
    const page = await show(some());
    await alarm(page, 3).waitFor();
    await known(page);
    await alarm(page, 3).getByRole('button', { name: 'Shelve' }).click();
    await button(page, 'Sensor is checked: shelve for 10 min').click();
    await alarm(page, 3).waitFor({ state: 'detached' });
    expect(posted()?.body).toEqual({
      site: 'spread-1',
      rig: 'rig-4',
      cause: 'outOfRange',
      reason: 'Sensor is checked',
      minutes: 10,
      author: 'p-1',
    });
    await page.getByRole('link', { name: 'Shelved and out of service (1)' }).click();
    await page
      .locator('.away-list', {
        hasText: /(9:5\d|10:00) left, until \d\d:\d\d:\d\d\. Sensor is checked, by Ines Marrow/,
      })
      .waitFor();
    await button(page, 'Take it off').click();
    await page.getByText('Nothing is on the shelf.').waitFor();
  });

  it('resets what is over, and says why something was refused', async () => {
    const page = await show(some());
    await alarm(page, 1).waitFor();
    await known(page);
    fake().refuseNext('This is still so: it can be reset when it is over.');
    await alarm(page, 1).getByRole('button', { name: 'Reset' }).click();
    await page.getByText('Not done: This is still so').waitFor();
    await alarm(page, 1).getByRole('button', { name: 'Reset' }).click();
    await alarm(page, 1).waitFor({ state: 'detached' });
    expect(posted()?.path).toBe('/api/v1/alarms/reset');
  });

  it('takes an alarm of a rig out of service with a reason, and puts it back', async () => {
    const page = await show(fakePicture([]), { hash: '#/alarms/away' });
    await known(page);
    await page.getByText('Take out of service').first().click();
    await page.locator('#service-rig').selectOption('spread-1/rig-4');
    await page.locator('#service-cause').selectOption('outOfRange');
    await button(page, 'Take out of service').click();
    await page.getByText('Choose a rig and an alarm, and say why.').waitFor();
    await page.locator('#service-reason').fill('travel sensor sent away');
    await button(page, 'Take out of service').click();
    await page.locator('.away-list', { hasText: 'travel sensor sent away, by Ines Marrow' }).waitFor();
    await button(page, 'Put back in service').click();
    await page.getByText('Nothing is out of service.').waitFor();
  });

  it('tells a flood in one line with each of its alarms behind it', async () => {
    const page = await show(fakeFlood(), {}, sixteenSides());
    await page.locator('.alarm-fold').waitFor();
    expect(await shownText(page.locator('.alarm-fold h2').first())).toBe(
      'FLOOD: 16 alarms announced in one line, 14:02:18 to 14:02:20',
    );
    expect(await shownText(page.locator('.budget'))).toContain(
      'FLOOD: more in 10 min than a person can attend to.',
    );
    await known(page);
    await button(page, 'Acknowledge these 16').click();
    await waitUntil(
      async () => (await page.locator('.alarm[data-lifecycle="acked"]').count()) === 16,
      'all of them',
    );
    expect(posted()?.body).toMatchObject({ alarms: Array.from({ length: 16 }, (_, i) => i + 1) });
  });

  it('leads in one tap to the 30 s around it', async () => {
    const sinceUtc = utc(START_UTC_MS + 5000);
    const page = await show(fakePicture([fakeAlarm(1, { sinceUtc })]));
    await alarm(page, 1).getByRole('link', { name: 'The 30 s around it' }).click();
    await page.locator('.trend canvas').first().waitFor();
    expect(page.url()).toContain(`at=${sinceUtc}`);
    // The pass still runs, and is recorded as one only when it is over: its limits are there all the same.
    await page.getByText('Limits of fill 2, joint J-0412.').waitFor();
    expect(await shownText(page.locator('h1'))).toBe('Around 14:03:05: SIDE B, rig-4');
    const [label] = await page
      .locator('.trend canvas')
      .evaluateAll(all => all.map(one => one.getAttribute('aria-label')));
    expect(label).toMatch(/^current, last 30 s\. 2\d\d A to 2\d\d A/);
    // The same place by its address alone.
    await page.reload();
    await page.locator('.trend canvas').first().waitFor();
    expect(await axeViolations(page)).toEqual([]);
  });

  it('is the same on two devices, and what is acknowledged on one is on the other', async () => {
    const first = await show(some());
    const second = await open(two, { hash: '#/alarms' });
    await known(first);
    await alarm(second, 4).waitFor();
    await alarm(first, 4).getByRole('button', { name: 'Acknowledge' }).click();
    await alarm(second, 4).getByText('acknowledged, still so').waitFor();
    expect(await shownTexts(second.locator('.alarm h2'))).toEqual(
      await shownTexts(first.locator('.alarm h2')),
    );
  });

  it('does not pass old alarms for new ones when the server is away', async () => {
    const page = await show(some());
    await alarm(page, 4).waitFor();
    fake().cut();
    await page.getByText(/Not connected since \d\d:\d\d:\d\d: these are the alarms last known\./).waitFor();
    expect(await alarm(page, 4).count()).toBe(1);
  });

  const screens: readonly (readonly [
    string,
    () => ReturnType<typeof some>,
    OpenOptions,
    readonly RigFixture[],
  ])[] = [
    ['list', some, {}, two],
    ['list, phone', some, { width: 320, height: 640 }, two],
    ['list, tablet', some, { width: 820, height: 1180 }, two],
    ['flood', fakeFlood, { width: 1920, height: 1080 }, sixteenSides()],
    ['away', away, { width: 390, height: 844, hash: '#/alarms/away' }, two],
    ['log', some, { width: 390, height: 844, hash: '#/alarms/history' }, two],
    ['live with alarms, truck', some, { width: 1920, height: 1080, hash: '#/' }, two],
  ];
  for (const theme of ['day', 'night'] as const) {
    it.each(screens)(`has nothing for axe to say: %s, ${theme}`, async (_, picture, options, rigs) => {
      const page = await show(picture(), { ...options, theme, reducedMotion: true }, rigs);
      await page
        .locator('.alarm, .alarm-fold, .away-list li, .alarm-history li, .strip-alarm')
        .first()
        .waitFor();
      const shelve = button(page, /^Shelve/).first();
      if (await shelve.count()) await shelve.click();
      expect(await axeViolations(page)).toEqual([]);
      expect(await hasSidewaysScroll(page)).toBe(false);
    });
  }

  it.each([
    [false, 48],
    [true, 96],
  ])('has targets for hands (gloves %s: at least %d px)', async (gloves, size) => {
    const page = await show(some(), { width: 320, height: 800, gloves });
    await alarm(page, 3).getByRole('button', { name: 'Shelve' }).click();
    const small = await page
      .locator('button:visible:not(.skip), a.button:visible')
      .evaluateAll(
        (all, least) =>
          all
            .filter(one => one.getBoundingClientRect().height < least)
            .map(one => one.outerHTML.slice(0, 80)),
        size,
      );
    expect(small).toEqual([]);
    expect(await hasSidewaysScroll(page)).toBe(false);
  });

  it('can be answered with the keyboard alone', async () => {
    const page = await show(some());
    await alarm(page, 4).waitFor();
    await known(page);
    await alarm(page, 4).getByRole('button', { name: 'Acknowledge' }).focus();
    await page.keyboard.press('Enter');
    await alarm(page, 4).getByText('acknowledged, still so').waitFor();
  });
});
